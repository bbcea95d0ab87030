#!/bin/bash
# farhue sample: real photos against what independent programs found in them, and bad input.
. "$(dirname "$0")/lib.sh"

photos=$REFERENCE/../photos
flat=$top/tests/data/chart_flat.png # see tests/unit/photo/test_flat_chart.c for its truth
at=40,40,160,40,160,112,40,112

# shared photos/corners.csv: corners, coding and the mean ΔE00 of a plain 3 x 3 in D50/2.
plain_fits() {
    local file width height x1 y1 x6 y6 x24 y24 x19 y19 pitch coding patches mean max
    while IFS=, read -r file width height x1 y1 x6 y6 x24 y24 x19 y19 pitch coding patches mean max; do
        case $file in '#'* | file | occluded*) continue ;; esac
        run sample "$photos/$file" --json --plain --coding "$coding" --light D50/2 \
            --corners "$x1,$y1,$x6,$y6,$x24,$y24,$x19,$y19"
        exits 0
        near "$(number dE00_mean)" 0 "$(awk -v m="$mean" 'BEGIN { print m + 0.1 }')" "$file"
        near "$(number patches_used)" "$patches" 0 "$file: patches"
    done <"$photos/corners.csv"
}
if [ -f "$photos/corners.csv" ]; then
    start "plain 3 x 3 on the real photos is no worse than published"
    plain_fits

    start "hidden patches are found"
    run sample "$photos/occluded_by_leaf.png" -c 560.6,373.5,550.6,820.2,276.3,817.3,283.5,367.1
    exits 0
    for patch in 7 13 14 19 20; do says " $patch \\((does not fit|covered|textured)\\)"; done

    start "a linear file is recognised by its neutral row, and that is said"
    run sample "$photos/chamber_even.png" -c 233.6,170.1,231,275.8,168.5,274.4,170.5,168.7
    exits 0
    says ', linear;.*left out 19 \(clipped\)'
    warns 'read as linear: the file says nothing'
else
    skip_test "real photos" "no $photos"
fi

start "a spot in its own condition and in another"
run sample "$flat" -c $at -s spot=200,40,9 --light D50/2 --json
exits 0
says '"id": *"spot"'
run sample "$flat" -c $at -s spot=200,40,9 --light D50/2
exits 0
says '^spot +(59\.[5-9]|60\.[0-5]).* +(9\.[5-9]|10\.[0-5]).* (19\.[5-9]|20\.[0-5]).*D50/2'
quiet
run sample "$flat" -c $at -s spot=200,40,9
exits 0
says 'D65/10'

start "circle, rectangle and polygon see the same"
run sample "$flat" -c $at -s a=200,40,9 -s b=191,31,18,18 -s c=191,31,209,31,209,49,191,49 --light D50/2
exits 0
[ "$(grep -oE '^[abc] +[0-9.]+' "$logs/out" | awk '{ print $2 }' | sort -u | wc -l)" = 1 ] ||
    trouble "three shapes, three colours"

start "warnings have figures, and --strict takes none"
run sample "$flat" -c $at -s half=190,110,20,20
exits 0
warns 'chart_flat.png: spot half: its quarters differ by [0-9]+ % in light'
run sample "$flat" -c $at -s half=190,110,20,20 --strict
exits 3
silent
warns '2 warnings, and --strict takes none'
run sample "$flat" -c $at -s half=190,110,20,20 --json
says '"kind": *"patchy"'
run sample "$flat" -c $at -s spot=200,40,9 --strict
exits 0

# The card is Lab 45, 0, 0, the spot 60, 10, 20 (tests/unit/photo/test_flat_chart.c).
start "other references: a grey card, three chips, nothing"
run sample "$flat" --chip card=100,20,8=lab:45,0,0@D50/2 -s spot=200,40,9 --light D50/2
exits 0
says 'good to about 9 ΔE00'
says '^spot +(59|60|61)\.[0-9]+ +(9|10|11)\.[0-9]+ +(19|20|21)\.'
run sample "$flat" --chip card=20,100,8=lab:45,0,0@D50/2 --chip w=40,112,6=lab:96.5,-0.4,1.2@D50/2 \
    --chip r=88,88,6=lab:42.1,53.4,28.2@D50/2 -s spot=200,40,9 --json
exits 0
says '"note|chip r: its colour for D65/10 is estimated'
near "$(number dE00_by_experience)" 7 0
# A single chip comes out as itself, so the difference is what the picture was drawn with: 15, 10, 20.
run sample "$flat" --chip card=100,20,8=lab:45,0,0@D50/2 -s spot=200,40,9 --light D50/2
says '^spot: chip card, and ΔL\* \+1[456]\.[0-9], Δa\* \+(9|10|11)\.[0-9], Δb\* \+(19|20|21)\.[0-9] \(ΔE00 '
# Somebody who takes the card to be lighter gets another reading, and much the same difference.
run sample "$flat" --chip card=100,20,8=lab:48,1,-1@D50/2 -s spot=200,40,9 --light D50/2
says '^spot +6[2-6]\.[0-9]+ '
says '^spot: chip card, and ΔL\* \+1[4567]\.[0-9], Δa\* \+(9|10|11|12)\.[0-9], Δb\* \+(19|20|21|22)\.[0-9] \(ΔE00 '
# Of several the nearest: red 42, 53, 28 is farther from 60, 10, 20 than the grey.
run sample "$flat" --chip red=88,88,6=lab:42.1,53.4,28.2@D50/2 --chip card=100,20,8=lab:45,0,0@D50/2 \
    -s spot=200,40,9 --light D50/2 --json
says '"from_chip"'
says '"id": "card"'
run sample "$flat" -c $at -s spot=200,40,9
never_says 'chip'
run sample "$flat" --no-reference -s spot=200,40,9
exits 0
says 'nothing of known colour: a guess, good to about 13'
run sample "$flat" --no-reference -c $at
exits 2
warns 'exclude each other'
run sample "$flat" --chip card=100,20,8
exits 2
warns 'expected NAME=SHAPE=COLOUR'
run sample "$flat" --chip card=500,20,8=lab:45,0,0
exits 3
warns 'chip card: .*outside the picture'

start "readings go to a table that other commands read"
run sample "$flat" -c $at -s spot=200,40,9 -s '0 two=190,30,20,20' --light D50/2 -o part.txt
exits 0
has part.txt 'SHARED_1_SOURCE "(chart|photo): '
run compare 'part.txt#spot' 'part.txt#0 two' --json
exits 0
near "$(number dE00)" 0 0.1
cp part.txt copy.txt
run sample "$flat" -c $at -o part.txt
exits 2
warns 'nothing is measured'
same part.txt copy.txt
cp "$flat" photo.png
run sample photo.png -c $at -s spot=200,40,9 -o photo.png
exits 4
same photo.png "$flat"
run sample photo.png -c $at -s spot=200,40,900 -o new.txt
exits 3
absent new.txt

start "a chart of one's own"
chart=$top/swatches/chart24.txt
run sample "$flat" -c $at --chart "$chart" -s spot=200,40,9 --light D50/2
exits 0
says '^spot +(59\.[5-9]|60\.[0-5])'
sed 's/CHART_ROWS 4/CHART_ROWS 5/; /^END_DATA$/q' "$chart" >five.txt
run sample "$flat" -c $at --chart five.txt
exits 3
warns 'five.txt:.*so 30 patches, and this table has 24'
run sample "$flat" -c $at --chart none.txt
exits 4
run sample "$flat" -c $at --chart "$flat"
exits 3
# Lab only: fitted in its own condition, and the spot is converted, which is estimated.
sed '/^END_DATA$/q' "$chart" >lab.txt
run sample "$flat" -c $at --chart lab.txt -s spot=200,40,9 -o spot.txt
exits 0
says 'D65/10'
has spot.txt 'estimate: spot'

# Light that rises from 0.6 to 1 across the picture (tests/unit/photo/test_flat_chart.c).
start "a white sheet evens out the light"
uneven=$top/tests/data/chart_uneven.png sheet=$top/tests/data/sheet_uneven.png
run sample "$uneven" -c $at -s spot=200,40,9 --light D50/2
exits 0
warns 'the light changes by [0-9]+ % across the chart'
run sample "$uneven" -c $at --white-sheet "$sheet" -s spot=200,40,9 --light D50/2
exits 0
quiet
says '^spot +(59\.[4-9]|60\.[0-6]).* +(9\.[4-9]|10\.[0-6]).* (19\.[4-9]|20\.[0-6]).*D50/2'
run sample "$uneven" -c $at --white-sheet "$flat" -s spot=200,80,9
exits 3
warns 'only [0-9]+ of 24 patches of the chart can be used'
run sample "$uneven" -c $at --white-sheet none.png
exits 4
if [ -f "$photos/chamber_even.png" ]; then
    run sample "$uneven" -c $at --white-sheet "$photos/chamber_even.png"
    exits 3
    warns 'expected the same camera in the same place'
fi

start "a map of differences"
run sample "$flat" -c $at -s spot=200,40,9 --map map.png
exits 0
[ "$(head -c 8 map.png | od -An -c | tr -d ' ')" = '211PNG\r\n032\n' ] || trouble "map.png is no PNG"
cp "$flat" one.png
cp "$flat" two.png
run sample one.png two.png -c $at --map between.png --map-between
exits 0
has between.png
run sample one.png -c $at --map one.png --map-from lab:50,0,0
exits 4
same one.png "$flat"
run sample one.png -c $at --map new.png
exits 2
warns '--map needs a colour'
run sample one.png -c $at --map-top 5
exits 2
run sample one.png two.png -c $at --map new.png --map-from lab:50,0,0
exits 2
absent new.png

# L*a*b* 60, 10, 20 against 45, 0, 0 for D50/2: ΔE00 and the yellowness by compare and by hand.
start "aged against sheltered plastic"
run sample "$flat" -c $at -s aged=200,40,9 -s inside=100,15,8 --sheltered inside
exits 0
says '^aged against inside: ΔE00 2[0-9]\.[0-9] ± [0-9.]+, '
says '^  yellowness index \(E313\) .* against .*: strongly yellower$'
run sample "$flat" -c $at -s aged=200,40,9 -s inside=100,15,8 --sheltered inside --light D50/2 --json
exits 0
says '"against_sheltered"'
never_says 'yellowness'
run sample "$flat" -c $at -s aged=200,40,9 --sheltered inside -o part.txt
exits 2
absent part.txt
run sample "$flat" -c $at -s inside=100,15,8 --sheltered inside
exits 2
warns 'expected another --spot'

start "the chart is found, drawn, and its absence said"
run sample "$flat" -s spot=200,40,9 --light D50/2 --overlay over.png --json
exits 0
says '"corners_found": *true'
has over.png
run sample "$top/tests/data/sheet_uneven.png" -s spot=200,40,9 --overlay none.png
exits 3
warns 'sheet_uneven.png: no chart of 4 x 6 patches was found; give its corners'
absent none.png
if [ -f "$photos/corners.csv" ]; then
    run sample "$photos/occluded_by_leaf.png"
    exits 3
    run sample "$photos/chart_in_case.png"
    exits 0
    says 'chart found; corners 9[45]\.[0-9],33[89]\.'
fi

# Own requirement: who measured by a chip is not told to check the corners of a chart.
start "a chip that cannot be used is called a chip"
cp "$flat" grey.png
run sample grey.png --chip card=120,60,40=lab:50,0,0@D65/10 -s spot=200,40,9
exits 3
warns 'no chip can be used \(1 given\)'
never_warns 'chart|corners'

# A picture of four lights is 1620 pixels wide, an overlay at most 1600 (own requirement).
start "an overlay that is smaller than the photo says by how much"
run spec --part lab:60,4,14 --bare --lights D65/10,A/10,D50/10,F11/10 --picture big.png
run sample big.png --no-reference -s spot=120,120,20 --overlay over.png
exits 0
warns 'over\.png shows the photo at 1/2 of its size; a place read from it has to be multiplied by 2'
run sample "$flat" --no-reference -s spot=200,40,9 --overlay small.png
never_warns 'of its size'

start "two photos are pooled, or kept apart"
cp "$flat" one.png
cp "$flat" two.png
run sample one.png two.png -c $at -s spot=200,40,9 --light D50/2
exits 0
says '^spot .* 0\.00 *$'
run sample one.png two.png -c $at -s spot=200,40,9 --separate
exits 0
says '^spot-1 '
says '^spot-2 '

start "spots that cannot be measured"
run sample "$flat" -c $at -s far=400,40,9
exits 3
warns 'chart_flat.png: spot far: .*outside the picture of 240 x 160'
run sample "$flat" -c $at -s white=200,80,9
exits 3
warns 'spot white: 100 % of its pixels are clipped; expose one step less'
run sample "$flat" -c $at -s tiny=200,40,1
exits 3
warns 'spot tiny: .*at least 9'
silent

start "corners that are wrong"
run sample "$flat" -c 40,40,160,40,40,112,160,112
exits 3
warns 'chart_flat.png: the corners cross'
run sample "$flat" -c 40,40,40,112,160,112,160,40
exits 3
warns 'counter-clockwise'
run sample "$flat" -c 40,40,160,40,160,112,40
exits 2
warns 'expected eight numbers'
run sample "$flat" -c 40,40,160,40,160,112,40,nan
exits 2
run sample "$flat" -c 2,2,238,2,238,158,2,158
exits 3
warns 'patch 1 of the chart: .*outside the picture'
run sample "$flat" -c 150,50,160,50,160,60,150,60
exits 3

start "no photo, a folder, other files"
run sample none.jpg -c $at
exits 4
warns 'none.jpg'
mkdir folder
run sample folder -c $at
exits 4
warns 'folder'
printf '\0\0\0\030ftypheic\0\0\0\0mif1heic' >photo.jpg
run sample photo.jpg -c $at
exits 3
warns 'photo.jpg: this is a HEIC picture; export the photo as JPEG or PNG'
printf '%%PDF-1.4' >photo.pdf
run sample photo.pdf -c $at
exits 3
warns 'photo.pdf: this is a PDF'
head -c 700 "$flat" >cut.png
run sample cut.png -c $at
exits 3
warns 'cut.png: the PNG is damaged or cut off'
# A baseline JPEG whose frame header claims 60000 x 60000 pixels.
printf '\377\330\377\333\0\103\0' >huge.jpg
head -c 64 /dev/zero | tr '\0' '\020' >>huge.jpg
printf '\377\300\0\021\010\352\140\352\140\003\001\021\0\002\021\0\003\021\0\377\332\0\014\003\001\0\002\0\003\0\0\077\0\0' >>huge.jpg
run sample huge.jpg -c $at
exits 3
warns 'huge.jpg: the picture claims 60000 x 60000 pixels'
nothing_new

start "options that make no sense"
run sample "$flat" -c $at --coding gamma
exits 2
warns '--coding gamma: expected srgb, linear or an exponent'
run sample "$flat" -c $at -s 200,40,9
exits 2
warns 'expected a name'
run sample "$flat" -c $at -s a=200,40
exits 2
run sample "$flat" -c $at -s a=200,40,-3
exits 2
run sample "$flat" -c $at -s 'a#b=200,40,9'
exits 2
run sample "$flat" -c $at -s a=200,40,9 -s a=200,40,9
exits 2
warns 'given 2 times for 1 photos'
run sample "$flat" -c $at --edition 3
exits 2
run sample "$flat" -c $at --light D65
exits 2

finish
