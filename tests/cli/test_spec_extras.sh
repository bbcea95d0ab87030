#!/bin/bash
# spec: spoken code, sheet and picture; check: the reply's paragraph. The readings are invented.
. "$(dirname "$0")/lib.sh"

# A part, and a shelf with a name that tries to be markup.
files() {
    cat >part.txt <<'END'
CGATS.17
WEIGHTING_FUNCTION "D65/10"
NUMBER_OF_FIELDS 7
BEGIN_DATA_FORMAT
SAMPLE_ID LAB_L LAB_A LAB_B STDEV_L STDEV_A STDEV_B
END_DATA_FORMAT
NUMBER_OF_SETS 1
BEGIN_DATA
ring 71.2 3.1 14.8 0.2 0.2 0.2
END_DATA
END
    cat >shelf.csv <<'END'
SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B
sand,"<script>alert(1)</script>",71.4,3.0,15.2
ivory,ivory,80,1,9
END
}

start "a spoken code, in words as well, that reads back"
files
run spec --part 'lab:71.2,3.1,14.8' --code --json --date 2031-01-02
exits 0
says '"spoken_code": "[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}"'
says 'bare target only'
code_said=$(grep -oE '"spoken_code": "[^"]+"' "$logs/out" | cut -d'"' -f4)
safe=$(number safe)
run spec --from-code "$(tr 'A-Z-' 'a-z ' <<<"$code_said")" --json --date 2031-01-02
exits 0
near "$(tr -d '\n' <"$logs/out" | grep -oE '"lab": \[ *[0-9.]+' | head -1 | grep -oE '[0-9.]+$')" 71.2 0.051 "L* of the code"
near "$(number tolerance)" "$safe" 0.1 "the tolerance, rounded down"
says 'bare target only'

# Own requirement: what was read for C/2 is read out for C/2, not as estimated for D65/10.
start "the code of a part known by Lab alone carries its own condition"
run spec --part 'lab:60,4,14@C/2' --bare --code --json --date 2031-01-02
exits 0
code_said=$(grep -oE '"spoken_code": "[^"]+"' "$logs/out" | cut -d'"' -f4)
run spec --from-code "$code_said" --date 2031-01-02
exits 0
says '^Target .* L\* 60\.00, a\* 4\.00, b\* 14\.00 under C/2, spectrum estimated'
warns 'what lights other than its own show is estimated'

start "a code that was heard wrongly"
run spec --from-code 19FM-VZYZ-1A2B
exits 3
silent
warns 'check of this spoken code fails'
run spec --from-code 19FM-VZYZ
exits 3
warns '8 characters'
run spec --from-code 19FM-VZYZ-1A2B --part lab:50,0,0
exits 2

start "a sheet is one file without scripts, and escapes what comes from files"
files
run spec --part part.txt --title '"><img src=x>' --owner "A & B" --sheet sheet.html --shelf shelf.csv \
    --condition D65/10 --date 2031-01-02
exits 0
has sheet.html '^<!DOCTYPE html>'
has sheet.html '&quot;&gt;&lt;img src=x&gt;'
has sheet.html 'A &amp; B'
has sheet.html '&lt;script&gt;alert'
grep -qE '<script|<img|https?://[^w]|javascript:' sheet.html && trouble "the sheet has markup or addresses that it must not"
for part in 'How close it must be' 'Where it lies' Reflectance Candidates 'How it was measured' 'Step by step' \
    'by eye' Cautions 'cathode-ray' 'To read out by phone' 'no colour reference'; do
    has sheet.html "$part"
done

start "a sheet is never written over an input, nor half"
files
cp part.txt before
run spec --part part.txt --sheet part.txt
exits 4
same part.txt before
run spec --part part.txt --sheet no/such/folder/s.html
exits 4
nothing_new
run spec --part part.txt --shelf shelf.csv
exits 2

# Own requirement: how the stack is built reaches the helper.
start "thickness and gap of the shell are in the spec, and what reads it tells them"
files
bands='400 450 500 550 600 650 700'
table white.txt "white - $(flat 0.88)" "hood white $(flat 0.5)"
run shell white.txt#hood=white.txt#white -o shell.txt
run spec --part part.txt --shell-mm 2.5 --gap-mm 3 -o spec.txt --sheet sheet.html --lights D65/10
exits 0
says '^Shell    2\.5 mm thick, air gap behind it 3 mm$'
has spec.txt '^SHELL_MM 2\.5$'
has spec.txt '^SHELL_GAP_MM 3$'
has sheet.html 'shell, 2\.5 mm'
has sheet.html 'air gap, 3 mm'
run check 'lab:71.4,3.0,15.0' --spec spec.txt
says '^Shell    2\.5 mm thick, air gap behind it 3 mm$'
run check 'lab:71.4,3.0,15.0' --spec spec.txt --json
near "$(number gap_mm)" 3 0
run check 'lab:71.4,3.0,15.0' --spec spec.txt --bare
never_says 'mm thick'
sed 's/^SHELL_GAP_MM 3$/SHELL_GAP_MM 2/' spec.txt >changed.txt
run check 'lab:71.4,3.0,15.0' --spec changed.txt
exits 3
warns 'check code'
run spec --part part.txt --lights D65/10
says 'Right '
never_says 'mm thick'
run spec --part part.txt --gap-mm -1
exits 2
run spec --part part.txt --bare --gap-mm 3
exits 2
warns 'there is none'

start "a picture is a PNG that says sRGB"
files
run spec --part part.txt --picture p.png
exits 0
[ "$(head -c 8 p.png | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a ] || trouble "no PNG"
grep -qa sRGB p.png || trouble "no sRGB chunk"

start "a reply comes with a paragraph for the chat"
files
run spec --part part.txt --title 'Ondrel tide clock, dial ring' -o spec.txt --lights D65/10
exits 0
run check 'lab:71.4,3.0,15.0' --reply reply.txt --helper Ito
has reply.txt 'LAB_L'
says 'Answer to "Ondrel tide clock, dial ring" \(check code [0-9A-Z]{4}-[0-9A-Z]{4}\)'
says 'Verdict: '
run check 'lab:71.4,3.0,15.0' --reply other.txt --json
says '"paragraph": "Answer to '
run check reply.txt
says 'Accept|Measure again'

finish
