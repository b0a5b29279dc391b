#!/bin/sh
# Cards and labels of the invented studio, as programs of other people read them: pdfinfo, pdftotext and pdftoppm of
# poppler, and the QR reader of zbar.
. "$(dirname "$0")/lib/tap.sh"

XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data" XDG_STATE_HOME="$work/state"
export XDG_CONFIG_HOME XDG_DATA_HOME XDG_STATE_HOME
tonebath() { "$TONEBATH" --demo "$@"; }

for size in a4 letter; do
    tonebath card --tone 'sterling: blue' --paper $size --out "$work/$size.pdf" --json >"$work/$size.json"
    check "card, $size: written" same 0 $?
    check "card, $size: one page" holds "$(pdfinfo "$work/$size.pdf")" 'Pages:           1'
done
# Digits of the times at least 8 mm high at 100 %, measured on the picture of the page: 254 dots an inch are 10 a mm. A band
# of rows with ink, in the column of the times, is a line of digits.
pdftoppm -gray -r 254 -singlefile "$work/a4.pdf" "$work/a4"
check 'card: the times are digits of 8 mm at 100 %' python3 - "$work/a4.pgm" <<'PY'
import sys
data = open(sys.argv[1], 'rb').read()
kind, width, height, most = data.split(None, 4)[:4]
width, height = int(width), int(height)
pixels = data[-width * height:]
bands, run = [], 0
for y in range(height):
    # The column "out at" of the table begins at about 60 mm; its digits are the first things there.
    row = pixels[y * width + 630:y * width + 800]
    if min(row) < 100 and max(row) > 200:
        run += 1
    else:
        if run:
            bands.append(run)
        run = 0
high = [b for b in bands if 80 <= b <= 95]
print('# heights in tenths of a mm:', bands)
sys.exit(0 if len(high) >= 4 else 1)
PY
text=$(pdftotext -layout "$work/a4.pdf" -)
time_now=$(python3 -c 'import json, sys; print(json.load(sys.stdin)["blocks"][1]["figures"][0]["value"].split()[0])' <"$work/a4.json")
check 'card: the time on paper is the time of the plan' same "$time_now" \
    "$(tonebath plan --tone 'sterling: blue' | sed -n 's/^  out at \([0-9:]*\).*/\1/p')"
check 'card: and stands on the paper' holds "$text" "$time_now"
check 'card: who decides stands on it' holds "$text" 'Your local rules and a licensed professional decide'
check 'card: a tone that no scale has is refused' sh -c "'$TONEBATH' --demo card --tone 'sterling: pink' 2>&1 | grep -q pink"
check 'card: a place that cannot be written is refused with its name' sh -c \
    "'$TONEBATH' --demo card --tone 'sterling: blue' --out '$work/no/such/card.pdf' 2>&1 | grep -q 'no/such/card.pdf'"

tonebath label --bath 46 --piece L-071..L-080 --out "$work/labels.pdf" --json >"$work/labels.json"
pdftoppm -gray -r 200 "$work/labels.pdf" "$work/labels"
zbarimg -q --raw "$work"/labels*.pgm 2>/dev/null | sort >"$work/read"
python3 -c 'import json, sys; print("\n".join(sorted(one["code"] for one in json.load(sys.stdin))))' <"$work/labels.json" | sort >"$work/meant"
check 'label: eleven codes' same 11 "$(wc -l <"$work/read" | tr -d ' ')"
check 'label: another reader reads every code' cmp "$work/read" "$work/meant"
check 'label: the bath says what it never meets' holds "$(pdftotext "$work/labels.pdf" - | tr '\n' ' ')" 'Never with acids'
tonebath label --piece L-071..L-073 --used 23 --out "$work/two.pdf" >/dev/null
check 'label: places that are gone stay empty, the rest goes on a new sheet' holds "$(pdfinfo "$work/two.pdf")" 'Pages:           2'
tonebath label --piece L-071 --sheet 62x29mm --out "$work/one.pdf" >/dev/null
check 'label: one a page, in its own size' holds "$(pdfinfo "$work/one.pdf")" '175.748 x 82.2047 pts'
for sheet in 0x4 3x 50x50 ten 5000x29mm; do
    check "label: $sheet is no sheet" sh -c "'$TONEBATH' --demo label --piece L-071 --sheet $sheet 2>&1 | grep -q 'Sheet $sheet: '"
done
check 'label: nothing named is refused' sh -c "'$TONEBATH' --demo label 2>&1 | grep -q 'Name baths'"

# Students as a studio may keep them: with initials, on a seat of the class that the hand-out is for.
tonebath person add --initials ZQX --role student >/dev/null
tonebath class seat --seat 5 --person ZQX >/dev/null
students=$(tonebath person list --json | python3 -c 'import json, sys; print(" ".join(one["initials"] for one in json.load(sys.stdin) if one["role"] == "student"))')
check 'hand-out: the class has a student' same ZQX "$students"
for card in 'hand-out' 'door-sign' 'repeat-card R-07' 'care-card L-058' 'tone-card sterling'; do
    # shellcheck disable=SC2086  # name and number
    tonebath $card --out "$work/card.pdf" >/dev/null
    check "$card: written" same 0 $?
    words=$(pdftotext -layout "$work/card.pdf" - | tr '\n' ' ')
    check "$card: says that the studio is invented" holds "$words" 'nvented demo studio'
    check "$card: pages by pdfinfo" test "$(pdfinfo "$work/card.pdf" | sed -n 's/^Pages: *//p')" -le 3
    named=
    for one in $students; do
        case " $words " in *[!A-Za-z]"$one"[!A-Za-z]*) named="$named $one" ;; esac
    done
    check "$card: no student stands on it" same '' "$named"
done
check 'tone-card: print is not colour' holds "$(tonebath tone-card sterling)" 'Print is not colour'
check 'care-card: a piece that there is not is refused' sh -c "'$TONEBATH' --demo care-card L-999 2>&1 | grep -q 'L-999'"

number=$(python3 -c 'import json, sys; one = [x for x in json.load(sys.stdin) if x["number"] == "L-074"][0]; print(one["number"] + "+" + one["check"])' <"$work/labels.json")
check 'a number typed off its label is understood' holds "$(tonebath story "$number" 2>&1)" 'L-074'
swapped=$(printf '%s' "$number" | sed 's/L-074/L-047/')
check 'two digits that changed places are refused' holds "$(tonebath story "$swapped" 2>&1)" 'changed places'
check 'a digit that is wrong is refused' holds "$(tonebath story "$(printf '%s' "$number" | sed 's/L-074/L-075/')" 2>&1)" 'one is wrong'
finish
