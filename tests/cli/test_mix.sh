#!/bin/bash
# farhue mix: recipes from the shipped, invented shelf; corrections; mistakes.
. "$(dirname "$0")/lib.sh"
pots=$top/swatches/pots.txt

# The coat "red-30" of the shelf is 30 parts of red and 70 of white: independent computation by
# swatches/make_pots.sh.
start "a known mixture is found again"
run mix "$pots#red-30" --paints "$pots" --json
exits 0
quiet
near "$(number dE00)" 0 0.1 dE00
near "$(number percent)" 70 2 "percent of white"
says '"cautions"'
says 'safety data sheet'

start "a batch in grams, rounded to drops"
run mix "$pots#red-30" --paints "$pots" --batch 25g --least 1drop
exits 0
says '^white +70\.[0-9] %'
says 'Rounded to what can be dispensed it shows ΔE00 0\.'
says 'Painting: '
says 'Always: .*safety data sheet'

start "at most so many paints, so many shown"
run mix "$pots#blue-30" --paints "$pots" --most 1 --show 2 --json
exits 0
says '"percent": 100'

start "a target beyond the pots"
run mix lab:60,70,60 --paints "$pots"
exits 0
says "These pots don't reach the target"
says 'A paint in the direction of .* would help'
warns 'known as Lab only'
run mix lab:60,70,60 --paints "$pots" --json
says '"missing"'

start "what the pots can't be is no target"
run mix lab:50,150,0 --paints "$pots"
exits 3
warns 'no reflectance can have'
silent

# 6 ml of red in 14 of white, wanted 5 in 95: 100 ml of white to add.
start "a correction only adds"
run mix "$pots#red-5" --paints "$pots" --added white=14ml,red=6ml --paint-out "$pots#red-30" --growth 10 --json
exits 0
near "$(number size_ml)" 20 0.001 size
near "$(number new_size_ml)" 120 3 "new size"
near "$(number predicted)" 0 0.2 predicted
quiet
run mix "$pots#red-5" --paints "$pots" --added white=14ml,red=6ml --paint-out "$pots#red-30"
exits 0
says 'That makes (3[0-9]|40)\.[0-9]+ ml'
run mix "$pots#red-30" --paints "$pots" --added white=14ml,red=6ml --paint-out "$pots#red-30"
exits 0
says 'within the uncertainty of the readings: nothing should be added'

start "quantities that don't explain the paint-out"
run mix "$pots#red-30" --paints "$pots" --added white=1ml,red=6ml --paint-out lab:70,30,5
exits 0
warns "can't be explained"

start "mistakes of the command line"
run mix "$pots#red-30" --paints "$pots" --batch 0ml
exits 2
warns 'expected more than 0'
run mix "$pots#red-30" --paints "$pots" --batch 20cups
exits 2
warns 'expected a quantity such as 20ml'
run mix "$pots#red-30" --paints "$pots" --added white=1
exits 2
warns 'expected one reading for each'
run mix "$pots#red-30" --paints "$pots" --added pink=1 --paint-out lab:50,0,0
exits 3
warns 'there is no paint pink'
run mix "$pots#red-30" --paints "$pots" --most 5
exits 2
run mix "$pots#red-30"
exits 2
warns 'paints'

start "a batch too small to dispense"
run mix "$pots#red-30" --paints "$pots" --batch 0.05ml --least 1ml
exits 3
warns 'too small'

start "mistakes of the paint file"
printf 'CGATS.17\nGEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PERCENT_1 PAINT_2 PERCENT_2 LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na white 100 "" "" 95 0 2\nb red 20 white 70 60 30 10\nEND_DATA\n' >bad.txt
run mix lab:50,0,0 --paints bad.txt
exits 3
warns 'bad\.txt:9:[0-9]+: the percents of this coat sum to 90; expected 100'
finish
