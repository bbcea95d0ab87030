#!/bin/bash
# farhue mix: recipes from the shipped, invented shelf; corrections; mistakes.
. "$(dirname "$0")/lib.sh"
pots=$top/swatches/pots.txt

# The coat "red-30" of the shelf is 30 parts of red and 70 of white: independent computation by
# demo/pots.sh.
start "a known mixture is found again"
run mix "$pots" --part "$pots#red-30" --json
exits 0
quiet
near "$(number dE00)" 0 0.1 dE00
says '"coats": 22'
near "$(number percent)" 70 2 "percent of white"
says '"cautions"'
says 'safety data sheet'

start "a batch in grams, rounded to drops"
run mix "$pots" --part "$pots#red-30" --batch 25g --least 1drop
exits 0
says '^white +70\.[0-9] %'
says 'Rounded to what can be dispensed it shows ΔE00 0\.'
says 'Painting: '
says 'Always: .*safety data sheet'

start "at most so many paints, so many shown"
run mix "$pots" --part "$pots#blue-30" --most 1 --show 2 --json
exits 0
says '"percent": 100'

start "a target beyond the pots"
run mix "$pots" --part lab:60,70,60
exits 0
says "These pots don't reach the target"
says 'A paint in the direction of .* would help'
warns 'known as Lab only'
run mix "$pots" --part lab:60,70,60 --json
says '"missing"'

start "what the pots can't be is no target"
run mix "$pots" --part lab:50,150,0
exits 3
warns 'no reflectance can have'
silent

# 6 ml of red in 14 of white, wanted 5 in 95: 100 ml of white to add.
start "a correction only adds"
run mix "$pots" --part "$pots#red-5" --added white=14ml,red=6ml --paint-out "$pots#red-30" --growth 10 --json
exits 0
near "$(number size_ml)" 20 0.001 size
near "$(number new_size_ml)" 120 3 "new size"
near "$(number predicted)" 0 0.2 predicted
quiet
run mix "$pots" --part "$pots#red-5" --added white=14ml,red=6ml --paint-out "$pots#red-30"
exits 0
says 'That makes (3[0-9]|40)\.[0-9]+ ml'
run mix "$pots" --part "$pots#red-30" --added white=14ml,red=6ml --paint-out "$pots#red-30"
exits 0
says 'within the uncertainty of the readings: nothing should be added'

start "quantities that don't explain the paint-out"
run mix "$pots" --part "$pots#red-30" --added white=1ml,red=6ml --paint-out lab:70,30,5
exits 0
warns "can't be explained"

start "mistakes of the command line"
run mix "$pots" --part "$pots#red-30" --batch 0ml
exits 2
warns 'expected more than 0'
run mix "$pots" --part "$pots#red-30" --batch 20cups
exits 2
warns 'expected a quantity such as 20ml'
run mix "$pots" --part "$pots#red-30" --added white=1
exits 2
warns 'expected one reading for each'
run mix "$pots" --part "$pots#red-30" --added pink=1 --paint-out lab:50,0,0
exits 3
warns 'there is no paint pink'
run mix "$pots" --part "$pots#red-30" --most 5
exits 2
run mix --part "$pots#red-30"
exits 2
warns 'paints'

# A shell that passes little below 500 nm: B = 0.02 there and 0.6 above (A = 0, C = 0.1), so that a
# part which differs in the blue looks right. Independent computation: A + B R/(1 - C R) in awk.
look() {
    awk -v r="$1" 'BEGIN { for (i = 0; i < 7; i++) { b = i < 3 ? 0.02 : 0.6
        printf " %.7f", b * r / (1 - 0.1 * r) } }'
}
flat() { for _ in 1 2 3 4 5 6 7; do printf ' %s' "$1"; done; }
readings() {
    printf 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nSPECTRAL_UNIT "factor"\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_BACKING R380 R440 R500 R560 R620 R680 R730\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf '%s\n' "$@"
    printf 'END_DATA\n'
}
start "as seen through a shell"
readings "black -$(flat 0.05)" "hood black$(look 0.05)" >black.txt
readings "grey -$(flat 0.4)" "hood grey$(look 0.4)" >grey.txt
readings "white -$(flat 0.85)" "hood white$(look 0.85)" >white.txt
run shell black.txt grey.txt white.txt -o hood.txt
exits 0
run mix "$pots" --part lab:80,5,-25 --shell hood.txt --most 2 --json
exits 0
through=$(number dE00)
run mix "$pots" --part lab:80,5,-25 --bare --most 2 --json
exits 0
bare=$(number dE00)
awk -v a="$through" -v b="$bare" 'BEGIN { exit !(a < 0.7 * b) }' || trouble "seen $through, bare $bare"

start "a batch too small to dispense"
run mix "$pots" --part "$pots#red-30" --batch 0.05ml --least 1ml
exits 3
warns 'too small'

start "mistakes of the paint file"
printf 'CGATS.17\nGEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PERCENT_1 PAINT_2 PERCENT_2 LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na white 100 "" "" 95 0 2\nb red 20 white 70 60 30 10\nEND_DATA\n' >bad.txt
run mix bad.txt --part lab:50,0,0
exits 3
warns 'bad\.txt:9:[0-9]+: the percents of this coat sum to 90; expected 100'
# Rows of SAMPLE_ID PAINT_1 PERCENT_1 PAINT_2 PERCENT_2 LAB_L LAB_A LAB_B.
coats() {
    {
        printf 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PERCENT_1 PAINT_2 PERCENT_2 LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n'
        printf '%s\n' "$@"
        echo END_DATA
    } >coats.txt
    run mix coats.txt --part lab:60,10,10
}
start "paint files that can't be right are refused"
coats 'a red -20 white 120 50 0 0'
exits 3
warns 'coats.txt:8:7: a negative part'
coats 'a red 50 red 50 50 0 0'
exits 3
warns 'coats.txt:8:10: the same paint twice'
coats 'a red 100 "" "" 40 0 0' 'b white 100 "" "" 30 0 0' 'c red 10 white 90 95 0 0'
exits 3
warns 'coats.txt: c .* lighter than each of its paints .*: a white darker than its tints'
coats 'a red 100 "" "" 40 0 0' 'a white 100 "" "" 90 0 0'
exits 3
warns 'coats.txt:9:1: id a is there twice'
silent

start "what is only half known is said"
coats 'a white 100 "" "" 95 0 2' 'b red 100 "" "" 40 55 30'
exits 0
warns 'note: coats.txt: known by a masstone alone, so that only K/S is known .*: white, red'
warns 'note: coats.txt: spectra were estimated from Lab: white, red'
coats 'a white 100 "" "" 95 0 2' 'b red 100 "" "" 40 55 30' 'c red 10 white 90 50 -30 30'
exits 0
warns "note: coats.txt: red doesn't fit: its coats are met to ΔE00 [0-9.]+ on average"

# Known from Lab alone the same pot leaves more open: the interval is wider.
start "Lab alone has the larger interval"
{
    printf 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 PAINT_2 PARTS_2 LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    for coat in 'white 1 "" ""' 'red 1 "" ""' 'red 30 white 70' 'red 5 white 95'; do
        read -r one part two rest <<<"$coat"
        id=$one
        [ "$two" = white ] && id=$one-$part
        "$FARHUE" compare --json "$pots#$id" "$pots#$id" --lights D65/10 |
            awk -v id="$id" -v coat="$coat" '/"lab": \[/ && !seen { for (i = 0; i < 3; i++) { getline; gsub(/[ ,]/, ""); v[i] = $0 }
                seen = 1; print id, coat, v[0], v[1], v[2] }'
    done
    echo END_DATA
} >lab.txt
width() { tr -d '\n ' <"$logs/out" | grep -oE '"dE00_95":\[[0-9.,]+' | head -n 1 | awk -F'[[,]' '{ print $3 - $2 }'; }
run mix lab.txt --part "$pots#red-30" --json
exits 0
says 'estimated from Lab'
rough=$(width)
run mix "$pots" --part "$pots#red-30" --most 2 --json
fine=$(width)
awk -v a="$rough" -v b="$fine" 'BEGIN { exit !(b > 0 && a > 1.2 * b) }' || trouble "$rough from Lab, $fine from spectra"

finish
