#!/bin/bash
# farhue compare: published pairs, tolerance, conditions, bad colours.
. "$(dirname "$0")/lib.sh"

# Sharma, Wu, Dalal 2005, table 1, pairs 1, 15 and 12 (hue angles nearly 180 degrees apart).
start "published pairs of CIEDE2000, to half the last digit"
run compare --json lab:50,2.6772,-79.7751 lab:50,0,-82.7485
exits 0
near "$(number dE00)" 2.0425 0.00005 dE00
run compare --json lab:50,-0.001,2.49 lab:50,0.0011,-2.49
near "$(number dE00)" 4.7461 0.00005 dE00
run compare --json lab:50,2.49,-0.001 lab:50,-2.49,0.0011
near "$(number dE00)" 7.2195 0.00005 dE00

start "text report"
run compare lab:50,2.6772,-79.7751 lab:50,0,-82.7485
exits 0
says '^D65/10 +2\.04 +– +\+0\.00 +\+0\.63 +-1\.48$'
says '^D65/10 +4\.00 +1\.40'
quiet

start "tolerance decides the exit code"
run compare lab:50,2.6772,-79.7751 lab:50,0,-82.7485 --tolerance 2.1
exits 0
says 'Within the tolerance of 2.1'
run compare lab:50,2.6772,-79.7751 lab:50,0,-82.7485 --tolerance 2
exits 1
says 'Not within the tolerance of 2\.'
run compare lab:50,2.6772,-79.7751 lab:50,0,-82.7485 --tolerance 2 --json
exits 1
says '"within": false'
run compare lab:50,0,0 lab:50,0,0 --tolerance 0
exits 2
warns '\-\-tolerance 0 is out of range'

# sRGB 808080 is neutral grey; L* of 0.2158605 linear: 116 (0.2158605)^(1/3) - 16 = 53.585
# (independent computation: by hand from IEC 61966-2-1 and the formula of L*).
start "the ways to write a colour agree"
run compare --json srgb:808080 lab:53.585,0,0@D65/2
exits 0
near "$(number dE00)" 0 0.01 dE00
run compare --json lch:50,10,30 lab:50,8.660254,5
near "$(number dE00)" 0 0.00001 dE00
run compare --json LAB:50,1,1 'lab:50, 1, 1'
near "$(number dE00)" 0 1e-9 dE00
run compare --json 'srgb:#808080' srgb:808080
near "$(number dE00)" 0 1e-9 dE00

# The white of A, 2 degrees, by ASTM E308: 109.850, 100, 35.585; any multiple is neutral.
# Own requirement: chroma is a length; a negative one is a slip, and no other hue is guessed.
run compare lch:50,-20,10 lab:50,0,0
exits 2
silent
warns 'lch:50,-20,10: a chroma of -20; expected C from 0'

start "xyz in percent, with the condition's white"
run compare --json xyz:54.925,50,17.7925@A/2 lab:76.069,0,0@A/2
exits 0
near "$(number dE00)" 0 0.05 dE00

start "factors"
run compare --json lab:50,0,0 lab:52,0,0
one=$(number dE00)
run compare --json lab:50,0,0 lab:52,0,0 --factors 2:1:1
near "$(number dE00)" "$(awk -v x="$one" 'BEGIN { printf "%.12g", x / 2 }')" 1e-9 dE00
run compare lab:50,0,0 lab:52,0,0 --factors 2:1
exits 2
warns 'expected kL:kC:kH'
run compare lab:50,0,0 lab:52,0,0 --factors 2:0:1
exits 2

# A neutral stays neutral under any light; a colour's estimate carries its uncertainty.
start "two conditions without spectra: estimated, and said so"
run compare --json lab:50,0,0@D50/2 lab:50,0,0
exits 0
near "$(number dE00)" 0 0.5 dE00
says '"estimated": true'
says 'is known by its Lab for D65/10 only'
says '"dE00_95"'
run compare lab:60,40,30 lab:60,41,30 --lights D65/10,A/10
exits 0
says '^A/10 \*'
says '^D65/10 '
warns 'note: lab:60,40,30 is known by its Lab for D65/10 only'
run compare lab:50,0,0 lab:50,120,100@D50/2
exits 3
warns 'no reflectance|nearest'

start "bad colours"
run compare lab:50,0 lab:50,0,0
exits 2
warns 'has 2 numbers; expected lab:L,a,b'
run compare lab:50,0,nan lab:50,0,0
exits 2
warns '"nan" is not a number'
run compare lab:50,0,1e999 lab:50,0,0
exits 2
run compare lab:150,0,0 lab:50,0,0
exits 3
warns 'no colour of a surface'
run compare srgb:80808 lab:50,0,0
exits 2
warns 'six hexadecimal digits'
run compare srgb:808080@D50/2 lab:50,0,0
exits 2
run compare lab:50,0,0@D66/10 lab:50,0,0
exits 2
warns 'D66/10 is not a condition'
run compare red lab:50,0,0
exits 2
warns 'red is neither a file nor a colour'
run compare lab:50,0,0 lab:50,0,0 --lights D65/10,D65/10
exits 2
warns 'D65/10 twice'

# Munsell 5Y9/1 and 5Y9/2 under D65/10: XYZ and YI from tests/data/yellowness_e313_examples.csv
# (16.027 is printed there for the first; the second by its coefficients 1.3013 and 1.1498, in awk).
start "yellowness of pale colours, with what it means"
row() { awk -F, -v chip="$1" '$1 == chip && $2 == "D65" && $3 == 10 { print $4 "," $5 "," $6, $9 }' "$top/tests/data/yellowness_e313_examples.csv"; }
read -r xyz1 yi1 <<<"$(row 5Y9/1)"
read -r xyz2 yi2 <<<"$(row 5Y9/2)"
run compare --json "xyz:$xyz1" "xyz:$xyz2"
exits 0
near "$(number difference)" "$(awk -v a="$yi1" -v b="$yi2" 'BEGIN { print b - a }')" 0.01 difference
says '"words": "plainly yellower"'
never_says 'half_interval'
run compare "xyz:$xyz1" "xyz:$xyz2"
exits 0
says "^Yellowness index \\(E313\\) for D65/10: A ${yi1%??}[0-9]*, B "
says '^B is plainly yellower than A\.$'
run compare "xyz:$xyz2" "xyz:$xyz1"
says '^B is plainly less yellow than A\.$'

start "yellowness of colours for which it says nothing"
run compare lab:40,20,-40 lab:42,20,-40
exits 0
never_says 'Yellowness'
run compare lab:40,20,-40 lab:42,20,-40 --json
never_says 'words'
says '"yellowness"'
run compare lab:80,0,10@A/10 lab:80,0,20@A/10 --json
never_says 'yellowness'

# u(b*) = 5 of one reading alone: dYI/db* = 1.1498 * 100 Zn / (200 Y) * 3 f^2 at L* 80, a* 0, b* 10,
# f = 96/116 - 10/200 (independent computation: by hand in awk; Zn = 107.305).
start "less than the uncertainty"
printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B STDEV_B\nEND_DATA_FORMAT\nBEGIN_DATA\nold 80 0 10 5\nend 80 0 8 0\nEND_DATA\n' >r.txt
run compare r.txt#end r.txt#old --json
exits 0
near "$(number half_interval)" "$(awk 'BEGIN { y = (96/116)^3; f = 96/116 - 10/200
    print 1.96 * 5 * 100 * 1.1498 * 1.07305 * 3 * f * f / (200 * y) }')" 0.3 "half interval"
run compare r.txt#end r.txt#old
says '^B is slightly yellower than A, by less than the uncertainty of the difference\.$'

# Illuminant A by its definition [CIE15] as a lamp from a file: the figures of A/10.
start "a lamp from a file"
{
    echo NM,POWER
    awk 'BEGIN { c = 1.435e7 / 2848
        for (nm = 380; nm <= 780; nm++) printf "%d,%.8g\n", nm, (560 / nm) ^ 5 / (exp(c / nm) - 1) }'
} >lamp.csv
run compare lab:50,20,20 lab:52,18,22 --lights A/10 --lamp lamp.csv --json
exits 0
says '"condition": "file/10"'
{ read -r of_A && read -r of_file; } < <(tr -d '\n ' <"$logs/out" | grep -oE '"dE00":[0-9.]+' | cut -d: -f2)
near "$of_file" "$of_A" 0.01 "dE00 under the lamp"
printf 'NM,POWER\n420,1\n700,1\n' >short.csv
run compare lab:50,20,20 lab:52,18,22 --lamp short.csv
exits 3
warns 'short.csv:1:1: too little of a lamp; expected its power from 400 to 700 nm'
printf 'NM,POWER\n400,1\n700,1\n' >ends.csv
run compare lab:50,20,20 lab:52,18,22 --lamp ends.csv
exits 0
warns 'ends.csv: 20 of 81 values from 380 to 780 nm lie beyond the file'
run rank --part lab:50,20,20 --bare lab:50,20,21 --lights A/10 --lamp lamp.csv
exits 0
says 'A/10 +file/10'
run rank --part lab:50,20,20 --bare lab:50,20,21 --lights D50/2,D65/2,A/2,C/2,F2/2,F7/2 --lamp lamp.csv
exits 2
warns 'at most 6 are judged'
run compare lab:50,20,20 lab:52,18,22 --lamp absent.csv
exits 4

finish
