#!/bin/bash
# rank: order, groups, marks, refusals. Figures are invented.
. "$(dirname "$0")/lib.sh"

table() { # ROW...
    printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\n'
    printf 'SAMPLE_ID LAB_L LAB_A LAB_B STDEV_L STDEV_A STDEV_B\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf '%s\n' "$@" END_DATA
}

# The ids in the order of the JSON report.
order() { grep -oE '"id": "[^"]*"' "$logs/out" | sed '1d; s/.*: "//; s/"//' | paste -sd' '; }

start "nearest first, bare, under one light"
table 'far 60 10 40 .1 .1 .1' 'near 60.5 10 20 .1 .1 .1' 'mid 62 10 23 .1 .1 .1' >shelf.txt
run rank --part lab:60,10,20 --lights D65/10 --json
exits 0
quiet
[ "$(order)" = "near mid far" ] || trouble "order: $(order)"
near "$(number worst_median)" 0.46 0.1 "median of the first"
says '"verdict": "accept"'
says '"verdict": "reject"'
run rank --part lab:60,10,20 --lights D65/10
exits 0
says 'group +id +name +bare +D65/10 +worst, 95 % +P +verdict'
says '1 +near'

start "noise: one group"
table 'a 60.5 10 20 2 2 2' 'b 60 10.5 20 2 2 2' 'c 60 10 20.5 2 2 2' >shelf.txt
run rank --part lab:60,10,20 --lights D65/10 --json
exits 0
[ "$(grep -c '"group": 1' "$logs/out")" = 3 ] || trouble "not one group"

start "a spectrum that fits in daylight and fails under a lamp is marked"
metamer() { awk -v id="$1" -v k="$2" -F, '!/^#/ && /^1,/ { if ($2 % 10 == 0 && $2 <= 730) v[$2] = $k }
    END { printf "%s", id; for (nm = 380; nm <= 730; nm += 10) printf ",%s", v[nm]; print "" }' \
    "$REFERENCE/metamers_spectra.csv"; }
if [ -f "$REFERENCE/metamers_spectra.csv" ]; then
    { echo "id,$(seq -s, 380 10 730)"; metamer one 3; metamer two 4; } >pair.csv
    run rank --part pair.csv#one --unit factor --condition D65/10 pair.csv --tolerance 1
    exits 0
    says 'two .* m'
    says 'm: fits in daylight and fails under a lamp'
else
    echo "# without the reference data the metamers are left out"
fi

start "candidates from several files and as colours"
table 'a 60 10 20 .1 .1 .1' >one.txt
table 'a 61 10 20 .1 .1 .1' 'b 62 10 20 .1 .1 .1' >two.txt
run rank --part lab:60,10,20 one.txt two.txt#b srgb:a08870 --json
exits 0
near "$(number count)" 3 0 candidates
run rank --part lab:60,10,20 one.txt two.txt --json --top 1
near "$(number count)" 3 0 candidates
[ "$(grep -c '"place"' "$logs/out")" = 1 ] || trouble "--top 1 shows more"

start "what cannot be judged is said, the rest is ranked"
table 'good 60 10 20 .1 .1 .1' 'none 20 120 120 .1 .1 .1' >shelf.txt
run rank --part lab:60,10,20
exits 0
says '1 +good'
says 'Not judged: .*'
run rank --part lab:60,10,20 --json
says '"not_judged": \['
says '"id": "none"'

start "usage"
run rank --part lab:60,10,20
exits 2
warns 'no file for shelf is given'
table 'a 60 10 20 .1 .1 .1' >shelf.txt
run rank
exits 2
warns 'no file for part is given'
run rank --part lab:60,10,20 --spec shelf.txt
exits 2
run rank --part lab:60,10,20 --top 0
exits 2
run rank --part lab:60,10,20 none.txt
exits 4
warns 'none.txt: no such file'
nothing_new

finish
