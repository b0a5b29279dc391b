#!/bin/sh
# The program installed into another place, and the Debian package: what they hold, and that they find their data.
. "$(dirname "$0")/lib/tap.sh"
: "${CMAKE:?}" "${TONEBATH_VERSION:?}"

"$CMAKE" --install "$TONEBATH_BUILD" --prefix "$work/a place/usr" >"$work/install.log" 2>&1
check 'it installs into a folder with a blank in its name' same 0 $?
installed="$work/a place/usr/bin/tonebath"
check 'the installed program says the project version' same "tonebath $TONEBATH_VERSION" "$("$installed" --version)"
check 'the built one too' same "tonebath $TONEBATH_VERSION" "$("$TONEBATH" --version)"
check 'help is printed' holds "$("$installed" --help)" '--screenshot'

shared="$work/a place/usr/share"
for kept in tonebath/checklists tonebath/data/themes/slate.toml man/man1/tonebath.1 doc/tonebath/LICENSE \
            applications/tonebath.desktop icons/hicolor/scalable/apps/tonebath.svg icons/hicolor/256x256/apps/tonebath.png; do
    check "installed: $kept" test -e "$shared/$kept"
done
check 'every data file of the source tree is installed' same \
    "$(cd "$TONEBATH_SOURCE/data" && find . -type f ! -path './desktop/*' | sort)" \
    "$(cd "$shared/tonebath/data" && find . -type f | sort)"
check 'every checklist too' same \
    "$(cd "$TONEBATH_SOURCE/checklists" && find . -type f | sort)" "$(cd "$shared/tonebath/checklists" && find . -type f | sort)"

# Run from its own place: with an unusable theme there, it must complain of that very file, not read the source tree's.
start_display || { echo 'not ok - a virtual display starts'; exit 1; }
export XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/own" XDG_STATE_HOME="$work/state"
(shown "$installed" --demo --screenshot "$work/shot.png")
check 'the installed program draws' same 0 $?
check 'nothing installed leads back to the source tree' same '' "$(find "$shared" -type l)"
[ "$tap_failed" -eq 0 ] || finish
echo 'not = a theme' >"$shared/tonebath/data/themes/slate.toml"
message=$(shown "$installed" --demo --screenshot "$work/x.png" 2>&1)
check 'with its own data, not those of the source tree' same 3 $?
check 'and says which file is at fault' holds "$message" 'slate'
message=$(TONEBATH_DATA="$work/nowhere"; export TONEBATH_DATA; shown "$installed" --demo --screenshot "$work/x.png" 2>&1)
check 'a wrong TONEBATH_DATA is said' holds "$message" TONEBATH_DATA

(cd "$work" && "${CMAKE%cmake}cpack" --config "$TONEBATH_BUILD/CPackConfig.cmake" -B "$work/pack" >"$work/pack.log" 2>&1)
check 'a Debian package is made' same 0 $?
package=$(find "$work/pack" -maxdepth 1 -name '*.deb')
check 'named by the version' holds "$package" "tonebath_${TONEBATH_VERSION}_"
check 'its version is the project version' same "$TONEBATH_VERSION" "$(dpkg-deb -f "$package" Version)"
depends=$(dpkg-deb -f "$package" Depends)
for name in libsqlite3-0 libglfw3 fonts-inter fonts-dejavu-core; do
    check "it depends on $name" holds "$depends" "$name"
done
content=$(dpkg-deb -c "$package")
for name in ./usr/bin/tonebath ./usr/share/tonebath/checklists/ ./usr/share/tonebath/data/themes/ \
            ./usr/share/man/man1/tonebath.1 ./usr/share/applications/tonebath.desktop ./usr/share/doc/tonebath/; do
    check "it holds $name" holds "$content" "$name"
done
check 'and nothing of the tests' sh -c "! dpkg-deb -c '$package' | grep -q shell_probe"
[ "$tap_failed" -eq 0 ] || tail -n 20 "$work/install.log" "$work/pack.log"
finish
