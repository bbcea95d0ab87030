#!/bin/bash
# farhue shell, predict, aim: the invented hood over backings; bad input.
. "$(dirname "$0")/lib.sh"

bands='380 440 500 560 620 680 730'

# over R: the look of a flat part of reflectance R behind the invented hood, A + B R/(1 - C R)
# (independent computation: the formula, in awk).
over() {
    awk -v r="$1" 'BEGIN {
        split("0.01 0.02 0.02 0.03 0.03 0.03 0.03", A); split("0.02 0.05 0.15 0.45 0.6 0.7 0.7", B)
        C = 0.12
        for (i = 1; i <= 7; i++) printf "%s%.9f", (i > 1 ? " " : ""), A[i] + B[i] * r / (1 - C * r) }'
}

backings() {
    table black.txt "black - $(flat 0.04)" "hood black $(over 0.04)"
    table grey.txt "grey - $(flat 0.35)" "hood grey $(over 0.35)"
    table white.txt "white - $(flat 0.88)" "hood white $(over 0.88)"
    table chip.txt "chip - $(flat 0.6)" "hood chip $(over 0.6)"
}

start "three backings by their usual names, and a part that was not used"
backings
run shell -o shell.txt
exits 0
says 'Fitted to 3 backings'
says 'left out'
has shell.txt 'CURVE_A'
run predict chip.txt#chip chip.txt#hood -s shell.txt --json
exits 0
near "$(number dE00)" 0 0.05 dE00
run predict chip.txt#chip chip.txt#hood
exits 0
says 'off by ΔE00 0\.0[0-9]: no visible difference\.'

start "files, pairs and a job give the same shell"
backings
run shell black.txt grey.txt white.txt --json
exits 0
share=$(number share)
run shell black.txt#hood=black.txt#black grey.txt#hood=grey.txt#grey \
    white.txt#hood=white.txt#white --json
exits 0
near "$(number share)" "$share" 1e-9 share
run shell white.txt#hood=white.txt#white -o shell.txt
exits 0
says 'One reading only'

start "two readings without a word about backings: the second over the first"
table a.txt "card - $(flat 0.04)" "hood - $(over 0.04)"
table b.txt "tape - $(flat 0.88)" "hood - $(over 0.88)"
run shell a.txt b.txt --json
exits 0
says 'taken as the look over'
says '"kind": "sheet"'

start "aim comes back to the part"
backings
run shell -o shell.txt
run aim chip.txt#hood -s shell.txt -p chip.txt#chip --json -o aimed.txt
exits 0
says '"possible": true'
has aimed.txt 'chip|hood'
run predict aimed.txt chip.txt#hood -s shell.txt --json
exits 0
near "$(number dE00)" 0 0.01 dE00
run aim lab:95,0,-60 -s shell.txt
exits 0
says 'No part behind this shell can have that look\. The inner part is the one that comes nearest; its look stays ΔE00 [1-9]'
never_says 'likeliest|nan|inf'

# Own requirement: what a measured look asks for is known by the look, so the part itself passes.
start "a target worked back from a look with a spectrum"
backings
run shell -o shell.txt
run aim chip.txt#hood -s shell.txt -o part.txt
exits 0
has part.txt 'look: hood'
run spec --part part.txt -o spec.txt
exits 0
run check chip.txt#chip --spec spec.txt
exits 0
says '^Accept'
never_says 'estimated'

# The readings are made from the part by the formula: the part lies within what the look leaves open.
start "part and look agree, or they don't"
backings
run shell -o shell.txt
run aim chip.txt#hood -s shell.txt -p chip.txt#chip
exits 0
says 'which lies within what look, shell and part leave open'
never_says 'across the room'
run aim chip.txt#hood -s shell.txt -p chip.txt#chip --json
says '"agrees": true'
run aim chip.txt#hood -s shell.txt -p lab:40,0,0
exits 0
says 'much too dark.*: more than look, shell and part leave open .*visible across the room\.'
says "don't add up"
run aim chip.txt#hood -s shell.txt -p lab:40,0,0 --json
says '"agrees": false'

start "from Lab alone"
cat >black.csv <<'END'
id,backing,L,a,b,condition
card,,23.7,0,0,D65/10
hood,card,26.1,3.4,9.0,D65/10
END
cat >white.csv <<'END'
id,backing,L,a,b,condition
tape,,95.2,0,0,D65/10
hood,tape,72.3,14.7,60.1,D65/10
END
run shell black.csv white.csv -o shell.txt
exits 0
says 'Lab only: their spectra are estimated'
never_says 'nan|inf'
run predict white.csv#tape white.csv#hood -s shell.txt --json
exits 0
says '"estimated": true'
near "$(number dE00)" 0 0.6 dE00
run aim white.csv#hood -s shell.txt --json
exits 0
says '"possible": true'

start "curves without readings"
printf 'CGATS.17\nSHELL_TABLE "curves"\nBEGIN_DATA_FORMAT\nNM CURVE_A CURVE_B CURVE_C\nEND_DATA_FORMAT\nBEGIN_DATA\n380 0.1 0.2 0.1\n730 0.1 0.4 0.1\nEND_DATA\n' >shell.txt
run predict lab:50,0,0
exits 0
warns 'curves without the readings'

start "another wall"
backings
run shell --wall 2 -o shell.txt
exits 0
says '2 times as thick'
run shell --wall 0 -o thin.txt
exits 2
warns '\-\-wall 0 is out of range; expected 0\.05 to 20'
sed 's/^MEASUREMENT.*/&\nTHICKNESS_MM 0/' white.txt >zero.txt
run shell black.txt zero.txt -o thin.txt
exits 3
warns 'zero.txt:3:14: a thickness of 0; expected mm above 0'
absent thin.txt

start "what can't be a shell"
backings
table dark.txt "white - $(flat 0.88)" "hood white $(over 0.01)"
run shell black.txt dark.txt -o shell.txt
exits 3
warns 'were the readings swapped'
absent shell.txt
table black2.txt "black - $(flat 0.88)" "hood black $(over 0.88)"
table white2.txt "white - $(flat 0.04)" "hood white $(over 0.04)"
run shell black2.txt white2.txt -o shell.txt
exits 3
warns 'the white backing is darker than the black one \(0\.040 and 0\.880 .*were the readings swapped'
absent shell.txt
table alike.txt "nearly - $(flat 0.05)" "hood nearly $(over 0.05)"
run shell black.txt alike.txt -o shell.txt
exits 3
warns 'too much alike'
absent shell.txt
table many.txt "one - $(flat 0.1)" "two - $(flat 0.2)" "three - $(flat 0.3)"
run shell many.txt
exits 3
warns 'many.txt: 3 readings'
run shell missing.txt
exits 4
run shell black.txt -n 0.9 -o shell.txt
exits 2
warns '\-\-index 0.9 is out of range; expected 1 to 4'
absent shell.txt
run shell black.txt white.txt -t lab:50,0,0@D65/10 -n acrylic
exits 0

start "more that can't be, and what has to be said"
backings
table opaque.txt "white - $(flat 0.88)" "hood white $(over 0.0401)"
run shell black.txt opaque.txt -o shell.txt
exits 3
warns 'it is opaque'
absent shell.txt
sed 's/^MEASUREMENT.*/&\nSPECULAR "included"/; s|45/0|8/d|' white.txt >in.txt
sed 's/^MEASUREMENT.*/&\nSPECULAR "excluded"/; s|45/0|8/d|' black.txt >ex.txt
run shell in.txt ex.txt -o shell.txt
exits 3
warns 'different specular modes'
absent shell.txt
run shell in.txt black.txt
exits 3
warns 'different geometries'
table t.txt "t - 0.9 1.1 0.9 0.9 0.9 0.9 0.9"
run shell black.txt white.txt -t t.txt#t -o shell.txt
exits 3
warns 'the transmittance .t. is 1\.[0-9]+ at [0-9]+ nm; expected at most 1'
absent shell.txt
table glow.txt "white - 0.8 1.05 0.88 0.85 0.85 0.85 0.85" "hood white $(over 0.88)"
run shell black.txt grey.txt glow.txt
exits 0
says 'it glows'
never_says 'nan|inf'
table nan.txt "white - 0.8 nan 0.88 0.85 0.85 0.85 0.85" "hood white $(over 0.88)"
run shell black.txt nan.txt
exits 3
warns 'nan.txt:10'
table below.txt "white - 0.8 -0.5 0.88 0.85 0.85 0.85 0.85" "hood white $(over 0.88)"
run shell black.txt below.txt
exits 3
warns 'below.txt:10:.*a reflectance of -0.5'
run shell black.txt white.txt --wall nan
exits 2
run shell black.txt white.txt --noise 0
exits 2
nothing_new

# curves A B C: a shell by its curves, the same in every band.
curves() {
    printf 'CGATS.17\nKEYWORD "SHELL_TABLE"\nSHELL_TABLE "curves"\nBEGIN_DATA_FORMAT\n'
    printf 'NM CURVE_A CURVE_B CURVE_C\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    for nm in $(seq 380 10 730); do echo "$nm $1 $2 $3"; done
    echo END_DATA
}

start "opaque shells and curves that no shell has"
curves 0.1 0 0 >shell.txt
run predict lab:50,0,0
exits 0
warns 'the shell hides the part in every band: any part looks the same behind it'
never_says 'nan|inf'
run aim lab:50,0,0 -o aimed.txt
exits 3
warns 'the shell is opaque'
run rank lab:50,0,0 --part lab:50,1,0
exits 3
warns 'the shell hides the part in every band'
run spec --part lab:50,0,0 -o spec.txt
exits 3
warns 'the shell hides the part in every band'
absent spec.txt
curves 0.5 0.6 0.1 >shell.txt
run predict lab:50,0,0 -o look.txt
exits 3
warns 'shell.txt:1: no shell has A 0\.5000, B 0\.6000, C 0\.1000 \(380 nm\); expected'
curves -0.1 0.6 0.1 >shell.txt
run predict lab:50,0,0 -o look.txt
exits 3
warns 'no shell has A -0\.1000'
curves 0.1 nan 0.1 >shell.txt
run predict lab:50,0,0 -o look.txt
exits 3
warns 'shell.txt:8:9: CURVE_B is "nan"; expected a number'
nothing_new

start "no shell, no readings"
run shell
exits 2
warns 'black.txt'
run predict lab:50,0,0
exits 2
warns 'shell.txt'
table shell.txt "one - $(flat 0.1)"
run predict lab:50,0,0
exits 3
warns 'SHELL_TABLE'

start "never over an input"
backings
run shell black.txt white.txt -o black.txt
exits 4
has black.txt 'hood black'

start "what aim saves says that it was worked back, and a spec of it too"
backings
run shell -o shell.txt
run aim grey.txt#hood -o aimed.txt
exits 0
has aimed.txt '^BASIS "look"'
run spec --part aimed.txt -o spec.txt --sheet sheet.html
exits 0
has spec.txt '^AIMED "yes"'
has sheet.html 'of the bare part, worked back from a look;'
says 'worked back from a look'
run spec --part grey.txt#grey -o spec-2.txt
has spec-2.txt '^AIMED "no"'
run swatches convert aimed.txt -o aimed.csv
exits 0
run spec --part aimed.csv -o spec-3.txt
has spec-3.txt '^AIMED "yes"'

finish
