#!/bin/sh
# The real window on a virtual display: start, keys, pictures, idle load, full screen, clipboard, clean end.
. "$(dirname "$0")/lib/tap.sh"

probe=$TONEBATH_BUILD/tests/shell/shell_probe
settings=$work/settings/settings.toml
start_display || { echo 'not ok 1 - a virtual display starts'; exit 1; }

says() { grep -q "^$1 " "$work/out"; }
value() { sed -n "s/^$1 //p" "$work/out" | tail -n 1; }

shown "$probe" "$TONEBATH_SOURCE/data/themes" "$settings" >"$work/out" 2>"$work/err" &
window_pid=$!
check 'the window draws its first frame' wait_until 60 says first_frame
wait_until 10 xdotool search --onlyvisible --name 'shell probe'
id=$(xdotool search --onlyvisible --name 'shell probe' | head -n 1)
xdotool windowfocus "$id" mousemove 5 5
sleep 0.5

# Press and release within one frame used to be lost: 200 of each, as fast as GLFW can tell two presses apart
# (it takes a release and a press within 20 ms for a key held down).
xdotool key --delay 25 $(i=0; while [ $i -lt 200 ]; do printf 'ctrl+a BackSpace '; i=$((i + 1)); done)
sleep 0.5

# A word set from another program, read here, and the other way round.
printf 'from outside' | xclip -selection clipboard -loops 1
xdotool key --delay 60 p
wait_until 10 says clipboard
check 'text is pasted from another program' same 'from outside' "$(value clipboard)"
xdotool key --delay 60 y
sleep 0.3
check 'text is copied to another program' same 'from the probe' "$(timeout 10 xclip -selection clipboard -o)"

# Work on the side wakes the window without any input.
xdotool key --delay 60 w
check 'work on the side wakes the window' wait_until 10 says woken

# The theme of the settings changes the picture, and is written once it has rested.
import -window "$id" "$work/dark.png"
xdotool key --delay 60 t
sleep 0.7
import -window "$id" "$work/light.png"
check 'the theme changes between frames' is "$(compare -metric AE "$work/dark.png" "$work/light.png" null: 2>&1) > 100000"
check 'settings are written while the window is open' wait_until 10 grep -q chalk "$settings"

# Nothing moves: hardly any work.
sleep 1
before=$(cpu_of "$window_pid")
sleep 5
after=$(cpu_of "$window_pid")
echo "# idle: $(((after - before) / 5)) % of a core over 5 s, $(awk '/VmRSS/ { print int($2 / 1024) }' "/proc/$window_pid/status") MB"
check 'idle under 3 % of a core' is "$after - $before < 15"

# Full screen and back.
xdotool key --delay 60 F11
check 'F11 fills the screen' wait_until 10 sh -c "xwininfo -id $id | grep -q 'Width: 1400'"
xdotool key --delay 60 F11
check 'F11 again gives the window back' wait_until 10 sh -c "xwininfo -id $id | grep -q 'Width: 1280'"

kill -TERM "$window_pid"
wait "$window_pid"
check 'SIGTERM ends it cleanly' same 0 $?
check 'it was told that it closes' same 1.000 "$(value closed)"
check '200 of 200 fast Ctrl+A arrived' same 200.000 "$(value ctrl_a)"
check '200 of 200 fast Backspace arrived' same 200.000 "$(value backspace)"
check 'every press is stamped' same 1.000 "$(value stamped)"
[ -s "$work/err" ] && sed 's/^/# /' "$work/err"
check 'nothing was complained of' test ! -s "$work/err"

check 'the theme is kept for the next start' grep -q "theme = 'chalk'\|theme = \"chalk\"" "$settings"

# A picture of the program itself, larger than the screen, on a display of its own.
export XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data"
(shown "$TONEBATH" --demo --screenshot "$work/shot.png" --size 1280x800 --scale 2 --theme slate)
check 'a picture is saved' same 0 $?
check 'of the size asked for' same '2560x1600' "$(identify -format '%wx%h' "$work/shot.png")"
(shown "$TONEBATH" --demo --screenshot "$work/again.png" --size 1280x800 --scale 2 --theme slate)
check 'byte for byte the same the second time' cmp "$work/shot.png" "$work/again.png"
check 'with letters on it' is "$(identify -format '%k' "$work/shot.png") > 100"
check 'a picture leaves no settings behind' test ! -e "$work/config/tonebath/settings.toml"
message=$(shown "$TONEBATH" --demo --screenshot "$work/x.png" --page nowhere 2>&1)
check 'an unknown page is refused' same 1 $?
check 'with the pages that there are' holds "$message" today

# Over a plot Ctrl C copies its figures, Ctrl S keeps picture and figures beside the log.
export XDG_STATE_HOME="$work/state"
shown "$TONEBATH" --demo --page safety/air --size 1280x800 >"$work/out" 2>&1 &
window_pid=$!
wait_until 30 xdotool search --onlyvisible --name 'Tonebath'
sleep 2
xdotool windowfocus "$(xdotool search --onlyvisible --name 'Tonebath' | head -n 1)" mousemove 430 400
sleep 0.5
kept() { ls "$work"/state/tonebath/pictures/*."$1" 2>/dev/null | head -n 1 | grep .; }
keep() { xdotool mousemove_relative 1 0 key --delay 60 ctrl+s; sleep 1; kept png; }  # again while the first frame is not there yet
check 'Ctrl S over a plot keeps its picture' wait_until 40 keep
check 'as large as the plot' is "$(identify -format '%w' "$(kept png)") > 600 && $(identify -format '%w' "$(kept png)") < 900"
check 'and its figures, with names and units' holds "$(head -n 1 "$(kept csv)")" '(min)'
xdotool key --delay 60 ctrl+c
sleep 0.3
check 'Ctrl C copies the same figures' same "$(cat "$(kept csv)")" "$(timeout 10 xclip -selection clipboard -o)"
kill -TERM "$window_pid"
wait "$window_pid"

# Without a display: one line that names the commands, exit code 3.
unset DISPLAY
message=$("$TONEBATH" --demo 2>&1)
check 'without a display the exit code is 3' same 3 $?
check 'and the line names the commands' holds "$message" 'tonebath --help'
check 'in one line' same 1 "$(printf '%s\n' "$message" | wc -l)"
finish
