#!/bin/bash
# spec, check and rank, from the readings to the verdict. Figures are invented; the shell is given by
# its curves, an amber one that lets little blue through.
. "$(dirname "$0")/lib.sh"

table() { # COLUMNS ROW...
    printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nBEGIN_DATA_FORMAT\n%s\n' "$1"
    printf 'END_DATA_FORMAT\nBEGIN_DATA\n'
    shift
    printf '%s\n' "$@" END_DATA
}

lab='SAMPLE_ID LAB_L LAB_A LAB_B STDEV_L STDEV_A STDEV_B'

# ID BASE STEP SLOPE AT: a smooth step in the spectrum.
spectrum() {
    awk -v id="$1" -v base="$2" -v step="$3" -v at="${4:-560}" 'BEGIN {
        printf "%s", id
        for (nm = 380; nm <= 730; nm += 10)
            printf " %.4f", base + step / (1 + exp(-(nm - at) / 25)); print "" }'
}

spectra() { # ROW...
    printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nKEYWORD "SPECTRAL_UNIT"\nSPECTRAL_UNIT "factor"\n'
    printf 'BEGIN_DATA_FORMAT\nSAMPLE_ID%s\nEND_DATA_FORMAT\nBEGIN_DATA\n' \
        "$(seq -f ' SPECTRAL_NM%.0f' 380 10 730 | tr -d '\n')"
    printf '%s\n' "$@" END_DATA
}

amber() {
    printf 'CGATS.17\nKEYWORD "SHELL_TABLE"\nSHELL_TABLE "curves"\n'
    printf 'BEGIN_DATA_FORMAT\nNM CURVE_A CURVE_B CURVE_C\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    awk 'BEGIN { for (nm = 380; nm <= 730; nm += 10)
        printf "%d 0.01 %.4f 0.1\n", nm, 0.02 + 0.5 / (1 + exp(-(nm - 520) / 20)) }'
    echo END_DATA
}

# The D65/10 Lab of a file's only reading: "L a b".
lab_of() {
    "$FARHUE" compare --json "$1" "$1" | tr -d ' \n' | sed 's/.*"a":{[^}]*"lab":\[\([^]]*\)\].*/\1/; s/,/ /g'
}

ring() {
    spectra "$(spectrum ring 0.25 0.30)" >part.txt
    amber >shell.txt
}

start "a spec holds what check needs"
ring
run spec --tolerance 1.5 --title "Ondrel tide clock" --owner "the owner" --deadline 2031-03-01 \
    --date 2031-02-03 -o spec.txt
exits 0
warns "curves without the readings" # and nothing else
[ "$(wc -l <"$logs/err")" -eq 1 ] || trouble "more than one note"
says 'Any bare difference below [0-9.]+ shows less than 1\.5 through the shell'
has spec.txt '^TOLERANCE_SEEN 1\.5'
has spec.txt '^CREATED "2031-02-03"'
has spec.txt 'CAUTION "Painting'
run check part.txt
exits 0
says 'Accept: the probability that it is right under every light is above 0\.999\.'

start "a good coupon, a bad one in words, a noisy one"
ring
run spec -o spec.txt --date 2031-02-03
spectra "$(spectrum good 0.251 0.298)" >coupon.txt
run check
exits 0
says 'Accept'
spectra "$(spectrum light 0.32 0.30)" >coupon.txt
run check
exits 1
says 'As seen under D65/10: .*too light'
spectra "$(spectrum yellow 0.25 0.30 540)" >coupon.txt
run check --json
exits 1
says '"verdict": "reject"'
says '"words_seen": ".*too (yellow|green)'
run spec --bare --tolerance 4 --lights D65/10 -o bare.txt
table "$lab" "noisy $(lab_of part.txt) 2.0 2.0 2.0" >coupon.txt
run check --spec bare.txt
exits 5
says 'Measure again'
says '[0-9]+ more readings? of the coupon'

start "a shared error that no repetition removes"
ring
run spec --bare --tolerance 2 --lights D65/10 -o spec.txt
{
    printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nKEYWORD "SHARED_1_SOURCE"\n'
    printf 'SHARED_1_SOURCE "instrument: helper"\n'
    for axis in L A B; do printf 'KEYWORD "SHARED_1_STDEV_%s"\nSHARED_1_STDEV_%s 1.5\n' $axis $axis; done
    printf 'BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf 'c %s\nEND_DATA\n' "$(lab_of part.txt)"
} >coupon.txt
run check
exits 5
says 'No number of readings with these instruments will settle it'
says 'instrument: helper; a tie of the two instruments'

start "a reply echoes the spec and is checked anew"
ring
run spec -o spec.txt
spectra "$(spectrum c2 0.251 0.298)" >coupon.txt
run check -o reply.txt --helper "the helper" --note "second coat" --date 2031-02-10
exits 0
has reply.txt '^VERDICT "accept"'
has reply.txt '^REMARK "second coat"'
rm coupon.txt
run check
exits 0
says 'from reply.txt'
run check reply.txt --json
exits 0
says '"reply_says": "accept"'
run spec --tolerance 1 -o other.txt
run check reply.txt --spec other.txt
exits 3
warns 'reply.txt: the reply answers the spec with check code'
sed 's/^P_WITHIN.*/P_WITHIN 0.5/' reply.txt >changed.txt
run check changed.txt
exits 3
warns 'changed.txt:[0-9]+:[0-9]+: check code .*the file was changed or damaged'

start "everything from one job file"
ring
run spec -o spec.txt
spectra "$(spectrum c2 0.251 0.298)" >coupon.txt
run check
says 'Accept'
run swatches join part.txt shell.txt spec.txt coupon.txt -o clock.txt
exits 0
rm part.txt shell.txt spec.txt coupon.txt
run check --job clock.txt
exits 0
says 'Accept'
run spec --job clock.txt --json
exits 0
says '"shell": true'
run rank --job clock.txt coupon#c2 --json
exits 0
says '"verdict": "accept"'

start "a long id that isn't ASCII is cut at a whole character"
ring
long=x$(printf 'ä%.0s' {1..30})
spectra "$(spectrum "$long" 0.2 0.3)" >long.txt
for job in predict aim; do
    run $job long.txt --shell shell.txt -o "$job.txt"
    exits 0
    has "$job.txt" "^\"?x(ä)+(-seen)?[\" ]"
done

start "a spec from the measured look of the assembled stack"
ring
spectra "$(spectrum c2 0.251 0.298)" >coupon.txt
run predict part.txt --shell shell.txt -o look.txt
exits 0
rm part.txt
run spec --look look.txt -o spec.txt
exits 0
says '^Look '
says 'worked back from a look'
run check --json
exits 0
says '"look": \{'
run rank --look look.txt coupon.txt --json
exits 0
says '"verdict": "accept"'
run spec --look look.txt --bare
exits 2
warns 'a look needs the shell'
run spec --look look.txt --part coupon.txt
exits 2

start "a changed spec is found"
ring
run spec -o spec.txt
sed 's/^TOLERANCE_SEEN.*/TOLERANCE_SEEN 9/' spec.txt >changed.txt
run check part.txt --spec changed.txt
exits 3
warns 'changed.txt:[0-9]+:[0-9]+: check code'
silent
run check part.txt --spec part.txt
exits 3
warns 'part.txt: .*expected a spec that farhue wrote'

start "several readings are not guessed at"
ring
run spec -o spec.txt
table "$lab" 'a 66 8 16 .2 .2 .2' 'b 67 8 17 .2 .2 .2' 'c 66 9 16 .2 .2 .2' >coupon.txt
run check
exits 3
warns '3 readings; say which one with coupon.txt#ID, or --pool'
run check --pool --json
says '3 readings pooled into one'
run check coupon.txt#b --json
says '"id": "b"'
table "$lab" 'a 66 8 16 .2 .2 .2' 'b 67 8 17 .2 .2 .2' >part.txt
run spec -o two.txt
exits 3
warns '2 readings; say which one is the target with --part part.txt#ID'
absent two.txt

start "usage and bad values"
ring
run spec --tolerance 0 -o none.txt
exits 2
warns '\-\-tolerance 0 is out of range; expected 0\.01 to 50'
run spec --tolerance 2,5
exits 2
run spec --lights D65/10,B/10
exits 2
run spec --deadline tomorrow
exits 2
warns 'expected a date such as'
run spec --shell none.txt
exits 4
run spec --part lab:20,120,120 --bare
exits 3
warns 'expected|nearest|no reflectance'
run check
exits 2
warns 'no file for spec is given; expected its name, or spec.txt here'
nothing_new

start "mixed specular modes are refused"
ring
spectra "$(spectrum c 0.25 0.30)" | sed 's/^BEGIN_DATA_FORMAT/KEYWORD "SPECULAR"\nSPECULAR "included"\n&/' >coupon.txt
sed -i 's/^BEGIN_DATA_FORMAT/KEYWORD "SPECULAR"\nSPECULAR "excluded"\n&/' part.txt
run spec -o spec.txt
exits 0
run check
exits 3
warns 'measured with the mirror reflection included, the target with it excluded; the gloss of c is not known'

# Both in the sphere, the coupon with the mirror reflection of a face of index 1.5 and 60° gloss
# 89.137, all that a smooth one has: r(8 deg) = 0.040006 more in every band (Fresnel, by hand).
start "another specular mode is converted by the gloss"
mode() { sed "s/^BEGIN_DATA_FORMAT/KEYWORD \"SPECULAR\"\nMEASUREMENT_GEOMETRY \"8\/d\"\nSPECULAR \"$1\"\n&/"; }
ring
spectra "$(spectrum ring 0.25 0.30)" | mode excluded >part.txt
spectra "$(spectrum c 0.290006 0.30)" | mode included >coupon.txt
run spec -o spec.txt
exits 0
run check
exits 3
warns 'the gloss of c is not known; expected GLOSS'
sed 's/^SAMPLE_ID/SAMPLE_ID GLOSS/; s/^c /c 89.14 /' coupon.txt >glossy.txt
run check glossy.txt --json
exits 0
near "$(number dE00)" 0 0.02 dE00
says '"converted": true'
says 'converted by its 60° gloss of 89'
run check glossy.txt
exits 0
warns 'c was read in another specular mode than the target: converted by its 60° gloss of 89'
run rank glossy.txt --spec spec.txt
exits 0
says '^ +1 .* accept +g$'
says '^g: read in another specular mode'
# The part itself, before a shell that was read without.
spectra "$(spectrum ring 0.290006 0.30)" | mode included | sed 's/^SAMPLE_ID/SAMPLE_ID GLOSS/; s/^ring /ring 89.14 /' >part.txt
sed -i 's/^KEYWORD "SHELL_TABLE"/KEYWORD "SPECULAR"\nMEASUREMENT_GEOMETRY "8\/d"\nSPECULAR "excluded"\n&/' shell.txt
run spec -o spec.txt
exits 0
warns 'ring was read in another specular mode than the shell: converted'
has spec.txt '^SPECULAR "excluded"|SPECULAR.*excluded'
spectra "$(spectrum c 0.25 0.30)" | mode excluded >coupon.txt
run check --json
near "$(number dE00)" 0 0.02 dE00

# 45/0 never holds the mirror reflection, stated or not. 0.25 there, smooth and of index 1.5, is
# 0.040006 + 0.387505/0.405231 x 0.25 = 0.279070 in a sphere that holds it, and 0.30 more is
# 0.286877 more (Fresnel, by hand as in tests/unit/optics/test_mode.c).
start "45/0 against a sphere with the mirror reflection"
ring
plain() { sed "s/^BEGIN_DATA_FORMAT/MEASUREMENT_GEOMETRY \"45\/0\"\n&/"; }
shiny() { sed "s/^SAMPLE_ID/SAMPLE_ID GLOSS/; s/^$1 /$1 89.14 /"; }
spectra "$(spectrum ring 0.25 0.30)" | plain >part.txt
spectra "$(spectrum c 0.279070 0.286877)" | mode included >coupon.txt
run spec -o spec.txt
exits 0
run check
exits 3
warns 'c was measured with the mirror reflection included, the target with it excluded; the gloss of c is not known'
shiny c <coupon.txt >glossy.txt
run check glossy.txt --json
exits 0
near "$(number dE00)" 0 0.02 dE00
run compare glossy.txt#c part.txt#ring --json
near "$(number dE00)" 0 0.02 dE00
run compare glossy.txt#c part.txt#ring
warns 'note: c was read in another specular mode than ring: converted by its 60° gloss of 89'
run compare coupon.txt#c part.txt#ring
exits 0
warns 'c was read with the mirror reflection included, ring with it excluded: part of the difference is that'
# Behind a shell that was read at 45/0.
sed -i 's/^KEYWORD "SHELL_TABLE"/MEASUREMENT_GEOMETRY "45\/0"\n&/' shell.txt
run predict part.txt#ring --json
exits 0
lightness() { tr -d '\n ' <"$logs/out" | grep -oE '"lab":\[[0-9.]+' | head -n 1 | cut -d[ -f2; }
looks=$(lightness)
run predict coupon.txt#c
exits 3
warns 'c was measured with the mirror reflection included, the shell with it excluded; the gloss of c'
run predict glossy.txt#c
warns 'c was read in another specular mode than the shell: converted'
run predict glossy.txt#c --json
exits 0
near "$(lightness)" "$looks" 0.02 'L\* of the look'
run aim coupon.txt#c
exits 3
warns 'c was measured with the mirror reflection included, the shell with it excluded; expected one mode'
run aim part.txt#ring --part coupon.txt#c
exits 3
warns 'the gloss of c is not known'

start "the spec's own file is never written over"
ring
run spec -o spec.txt
cp spec.txt copy.txt
spectra "$(spectrum c 0.25 0.30)" >coupon.txt
run check -o spec.txt
exits 4
same spec.txt copy.txt

start "a seller's hex value is not exact, and repeats of it settle nothing"
run spec --part lab:66.47,0.8,18.8 --bare --tolerance 8 --lights D65/10 -o spec.txt --date 2031-02-03
run check srgb:b0a080
exits 5 # own requirement: with σ of 4, 5, 5 a colour at the target is not above 0.95 within 8
never_warns exact
says 'ΔE00 is the median'
says 'known from a screen only, and repeats do not lessen'
never_says 'more readings? of the coupon would settle'
run check srgb:b0a080 --json
near "$(number more_readings)" 0 0

finish
