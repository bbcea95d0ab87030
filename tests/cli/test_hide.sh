#!/bin/bash
# farhue hide: coats and walls, bare and seen.
. "$(dirname "$0")/lib.sh"

bands='380 450 520 590 660 730'

# A layer without absorption and without a face (index 1): S X = 1 gives R0 = T = 1/2, over black 0.5
# and over 0.8 it gives 0.5 + 0.25 * 0.8/(1 - 0.4) = 0.833333; contrast ratio 0.6
# (independent computation: Kubelka-Munk at K = 0, by hand).
start "contrast ratio of a white that doesn't absorb"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.5)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.8333333333)"
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --json
exits 0
near "$(number ratio)" 0.6 0.001 ratio
near "$(number fit_dE00)" 0 0.02 fit

# The amount for the ratio 0.98: R0 = x/(1 + x), T = 1/(1 + x), R = R0 + T^2 0.8/(1 - 0.8 R0);
# R0/R = 0.98 at x = 11.4 (solved by halving, in awk).
start "coats and hours"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.5)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.8333333333)"
expected=$(awk 'BEGIN { lo = 0; hi = 1000
    for (i = 0; i < 100; i++) { x = (lo + hi) / 2; r0 = x / (1 + x); t = 1 / (1 + x)
        if (r0 / (r0 + t * t * 0.8 / (1 - 0.8 * r0)) >= 0.98) hi = x; else lo = x }
    print hi }')
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --coat 1 --drying 2 --json
exits 0
amount=$(tr -d '\n ' <"$logs/out" | grep -oE '"goal":"ratio".*' | grep -oE '"amount":[0-9.]+' | head -n 1 | cut -d: -f2)
near "$amount" "$expected" "$(awk -v x="$expected" 'BEGIN { print 0.01 * x }')" amount
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --coat 1 --drying 2
exits 0
coats=$(grep -oE 'ΔE00 1 takes [0-9]+ coats' "$logs/out" | grep -oE '[0-9]+ coats' | cut -d' ' -f1)
[ "$coats" -ge 2 ] || trouble "$coats coats"
says "takes $coats coats: $((2 * coats - 2)) hours of drying, $((2 * coats)) until the last one"
for title in Painting Sanding Solvents Always; do says "^$title: "; done

start "behind a shell less is needed"
table black.txt "black - $(flat 0.04)" "film black $(flat 0.3)"
table white.txt "white - $(flat 0.85)" "film white $(flat 0.6)"
table hood-b.txt "black - $(flat 0.04)" "hood black $(flat 0.1)"
table hood-w.txt "white - $(flat 0.85)" "hood white $(flat 0.4)"
run shell hood-b.txt hood-w.txt -o shell.txt
exits 0
run hide black.txt white.txt --amount 1 --json
exits 0
tr -d '\n ' <"$logs/out" | grep -oE '"goal":"difference".*' >"$logs/goal"
bare=$(grep -oE '"amount":[0-9.]+' "$logs/goal" | sed -n 1p | cut -d: -f2)
seen=$(grep -oE '"amount":[0-9.]+' "$logs/goal" | sed -n 2p | cut -d: -f2)
near "$(awk -v a="$bare" -v b="$seen" 'BEGIN { print (b < a) }')" 1 0 "seen needs less than bare"
run hide black.txt white.txt --wall --amount 0.8 --unit-name mm
exits 0
says 'printed wall'
says "isn't the swatch of its material"
never_says 'Painting'

# A grey paint without a face turns darker under a clear coat; by how much is checked in
# tests/unit/optics/test_hide.c.
start "under a clear coat"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.25)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.5)"
run hide black.txt white.txt --amount 1 --index 1 --clear-coat 1.5
exits 0
says '^Under a clear coat of index 1.5 the opaque paint goes from L\* [0-9.]+'
says 'ΔE00 [0-9]+\.[0-9]+, .*too dark'
warns 'soaks into the paint'
run hide black.txt white.txt --amount 1 --index 1.5 --gloss 10 --json
exits 0
says '"finish"'
says '"clear_coat": false'
run hide black.txt white.txt --amount 1 --index 1 --gloss 10
exits 3
warns 'without a face'
run hide black.txt white.txt --amount 1 --index 1 --clear-coat 0.5
exits 2
run hide black.txt white.txt --amount 1 --wall --clear-coat 1.5
exits 2
warns 'expected no --wall'

# The same part in 45/0 and in the sphere, mirror reflection included: 0.040006 + 0.956258 R, as
# tests/unit/optics/test_hide.c has it.
start "a part to paint over, read in another way"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.25)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.5)"
table here.txt "print - $(flat 0.6)"
table sphere.txt "print - $(flat 0.6137608)"
sed -i 's/^MEASUREMENT_GEOMETRY.*/MEASUREMENT_GEOMETRY "8:di"/' sphere.txt
run hide black.txt white.txt --amount 1 --index 1.5 --over here.txt#print --json
exits 0
first=$(tr -d '\n ' <"$logs/out" | grep -oE '"amount":[0-9.]+' | cut -d: -f2)
run hide black.txt white.txt --amount 1 --index 1.5 --over sphere.txt#print --json
exits 0
second=$(tr -d '\n ' <"$logs/out" | grep -oE '"amount":[0-9.]+' | cut -d: -f2)
[ -n "$first" ] || trouble "no amounts"
[ "$(echo "$first" | wc -l)" = "$(echo "$second" | wc -l)" ] || trouble "other amounts"
while read -r one other; do
    near "$other" "$one" "$(awk -v x="$one" 'BEGIN { print 0.003 * x }')" amount
done < <(paste <(echo "$first") <(echo "$second"))

# 1 - exp(-1.96 * 0.10) = 0.178.
start "coats to be safe"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.25)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.5)"
run hide black.txt white.txt --amount 1 --index 1.5 --coat 0.3
exits 0
says ' to be safe\)'
says '^To be safe: .*weaker than read by two standard deviations, 18 %'
run hide black.txt white.txt --amount 1 --index 1.5 --coat 1000
exits 0
never_says 'o be safe'

start "one file given twice"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.25)"
run hide black.txt black.txt --amount 1 --index 1.5
exits 3
silent
warns 'one and the same, film; expected it over another backing'

# Behind a wall a part known as Lab only is its estimated spectrum, not black.
start "a wall over a part known as Lab only"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.25)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.5)"
table here.txt "print - $(flat 0.6)"
table sphere.txt "print - $(flat 0.6137608)"
sed -i 's/^MEASUREMENT_GEOMETRY.*/MEASUREMENT_GEOMETRY "8:di"/' sphere.txt
run hide black.txt white.txt --wall --amount 0.8 --unit-name mm --part-wall 0.8 --over here.txt#print --json
exits 0
tr -d '\n ' <"$logs/out" | grep -oE '"part_wall":.*' >"$logs/wall"
first=$(grep -oE '"dE00":[0-9.]+' "$logs/wall" | head -n 1 | cut -d: -f2)
run hide black.txt white.txt --wall --amount 0.8 --unit-name mm --part-wall 0.8 --over lab:81.8382,0,0 --json
exits 0
tr -d '\n ' <"$logs/out" | grep -oE '"part_wall":.*' >"$logs/wall"
near "$(grep -oE '"dE00":[0-9.]+' "$logs/wall" | head -n 1 | cut -d: -f2)" "$first" 0.3 dE00
run hide black.txt white.txt --wall --amount 0.8 --unit-name mm --part-wall 0.8 --swatch sphere.txt#print
exits 3
warns 'swatch print was read in 8/d, specular included, the wall in 45/0, specular excluded'

start "looks that don't belong together"
run hide lab:60,0,0=lab:25,0,0 lab:30,0,0=lab:95,0,0 --amount 1
exits 3
warns 'the look over .* \(L\* 60\.0\) is lighter than that over .* \(L\* 30\.0\), which is the lighter backing'
table black.txt "black - $(flat 0.04)" "film black $(flat 0.3)"
table white.txt "white - $(flat 0.85)" "film white $(flat 0.6)"
table more.txt "black - $(flat 0.04)" "film black $(flat 0.1)"
run hide black.txt white.txt more.txt --amount 1 --amount 1 --amount 2
exits 0
warns "these looks don't fit one coat: met within ΔE00 [0-9.]+ only; check backings and amounts"

start "over an existing part"
table black.txt "black - $(flat 0.04)" "film black $(flat 0.3)"
table white.txt "white - $(flat 0.85)" "film white $(flat 0.6)"
run hide black.txt white.txt --amount 1 --over black.txt#black
exits 0
says "over the part"
run hide lab:30,0,0=lab:20,0,0 lab:80,0,0=lab:92,0,0 --amount 1
exits 0
warns 'spectra are estimated'
run hide black.txt white.txt --amount 1 --over lab:50,0,0
exits 0
warns 'known as Lab only; whether it shows through goes by an estimated spectrum'

# The absorption-free film of index 1 above: a wall of amount 1 over nothing is R 0.5, an infinitely
# thick one R 1, so L* 76.07 against 100, and ΔE00 = 23.93 / S_L with S_L = 1 + 0.015 d^2/sqrt(20 + d^2),
# d = 88.03 - 50: 15.27 (independent computation: by hand, CIE 15 and the published formula).
start "a thin wall is not the swatch"
table black.txt "black - $(flat 0.0)" "film black $(flat 0.5)"
table white.txt "white - $(flat 0.8)" "film white $(flat 0.8333333333)"
table shelf.txt "swatch - $(flat 0.5)"
run hide black.txt white.txt --amount 1 --index 1 --part-wall 1 --json
exits 0
wall=$(tr -d '\n ' <"$logs/out" | grep -oE '"part_wall".*' | grep -oE '"dE00":[0-9.]+' | head -n 1 | cut -d: -f2)
near "$wall" 15.27 0.05 'ΔE00 to the thick material'
run hide black.txt white.txt --amount 1 --index 1 --part-wall 1 --swatch shelf.txt#swatch
exits 0
says 'A wall of 1 units over nothing'
says 'bare  ΔE00 0.0'
run hide black.txt white.txt --amount 1 --index 1 --part-wall 1 --over white.txt#white
exits 0
says 'over white'
warns 'not the library'
run hide black.txt white.txt --amount 1 --swatch shelf.txt#swatch
exits 2
warns 'part-wall'
run hide black.txt white.txt --amount 1 --part-wall 1 --swatch lab:50,0,0
exits 3
warns 'Lab only'

start "amounts that can't be"
table black.txt "black - $(flat 0.04)" "film black $(flat 0.3)"
table white.txt "white - $(flat 0.85)" "film white $(flat 0.6)"
run hide black.txt white.txt
exits 2
warns 'THICKNESS_MM'
run hide black.txt white.txt --amount 0
exits 2
run hide black.txt white.txt --amount 1 --amount 2 --amount 3
exits 2
warns '3 amounts for 2 looks'
run hide black.txt white.txt --amount 1 --tolerance 0
exits 2
run hide
exits 2

# The same opaque paint, 0.35 as a smooth coat: read matt it is lighter by 0.050240 x (1 - 5/89.137)
# = 0.047422 (Fresnel's r(45 deg) of index 1.5, by hand).
start "a matt look over black, a glossy one over white"
{
    printf 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nSPECTRAL_UNIT "factor"\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_BACKING GLOSS R380 R555 R730\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf 'k - "" 0.05 0.05 0.05\nw - "" 0.8 0.8 0.8\n'
    printf 'ok k 5 0.397422 0.397422 0.397422\now w 89.2 0.35 0.35 0.35\nEND_DATA\n'
} >glosses.txt
run hide glosses.txt#ok=glosses.txt#k glosses.txt#ow=glosses.txt#w --amount 1
exits 0
never_warns 'is lighter than that over'
sed 's/ok k 5 0.397422 0.397422 0.397422/ok k 5 0.45 0.45 0.45/' glosses.txt >swapped.txt
run hide swapped.txt#ok=swapped.txt#k swapped.txt#ow=swapped.txt#w --amount 1
exits 3
warns 'the look over k .* is lighter than that over w'

finish
