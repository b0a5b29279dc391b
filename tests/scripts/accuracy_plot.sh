#!/bin/sh
# Draws docs/pictures/accuracy.svg from the table "Against the notebook" of docs/accuracy.md, so that the two cannot differ.
# usage: sh tests/scripts/accuracy_plot.sh > docs/pictures/accuracy.svg
root=$(cd "$(dirname "$0")/../.." && pwd)
awk -F'|' '
/^\| strips today/ { in_table = 1; next }
in_table && /^\|[- |]*$/ { next }
in_table && /^\|/ {
    n++
    strips[n] = $2 + 0
    for (k = 1; k <= 4; k++) { value = $(k + 2); gsub(/[* ]/, "", value); error[n, k] = value + 0 }
    next
}
in_table { exit }
function y(e) { return 250 - 420 * e }
END {
    if (n < 2) { print "no table found" > "/dev/stderr"; exit 1 }
    split("notebook|notebook, today first|least squares|Tonebath", name, "|")
    split("#8a8f98|#5f7f9f|#a08a50|#b5652b", ink, "|")
    print "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 720 310\" font-family=\"sans-serif\" font-size=\"13\">"
    print "<title>Median error of the dip time by strips dipped today</title>"
    print "<rect width=\"720\" height=\"310\" fill=\"#fbf9f5\"/>"
    for (e = 0; e <= 0.5; e += 0.1) {
        printf "<line x1=\"60\" y1=\"%.1f\" x2=\"500\" y2=\"%.1f\" stroke=\"#ddd6ca\"/><text x=\"50\" y=\"%.1f\" text-anchor=\"end\">%.1f</text>\n", y(e), y(e), y(e) + 4, e
    }
    for (i = 1; i <= n; i++) printf "<text x=\"%.1f\" y=\"272\" text-anchor=\"middle\">%d</text>\n", 80 + 100 * strips[i], strips[i]
    print "<text x=\"280\" y=\"298\" text-anchor=\"middle\">strips dipped in today&#8217;s bath</text>"
    print "<text x=\"60\" y=\"22\">median |log time error|, 300 studios, 24 dips logged</text>"
    for (k = 1; k <= 4; k++) {
        printf "<polyline fill=\"none\" stroke=\"%s\" stroke-width=\"%s\" points=\"", ink[k], k == 4 ? "3.5" : "2"
        for (i = 1; i <= n; i++) printf "%.1f,%.1f ", 80 + 100 * strips[i], y(error[i, k])
        print "\"/>"
        for (i = 1; i <= n; i++) printf "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4\" fill=\"%s\"/>\n", 80 + 100 * strips[i], y(error[i, k]), ink[k]
        printf "<line x1=\"525\" y1=\"%d\" x2=\"550\" y2=\"%d\" stroke=\"%s\" stroke-width=\"3\"/><text x=\"558\" y=\"%d\">%s</text>\n", 60 + 26 * k, 60 + 26 * k, ink[k], 64 + 26 * k, name[k]
    }
    print "</svg>"
}' "$root/docs/accuracy.md"
