#!/bin/bash
# Files as inputs of any command: FILE#ID, conditions and units, jobs, and what is no table.
. "$(dirname "$0")/lib.sh"

table() { # CONDITION ROW...
    printf 'CGATS.17\nWEIGHTING_FUNCTION "%s"\nBEGIN_DATA_FORMAT\n' "$1"
    printf 'SAMPLE_ID LAB_L LAB_A LAB_B STDEV_L\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    shift
    printf '%s\n' "$@" END_DATA
}

spectra() {
    echo "id,$(seq -s, 380 10 730)"
    echo "half,$(seq 36 | sed 's/.*/50/' | paste -sd,)"
}

start "a reading by FILE#ID"
table D65/10 '0012 50 2.6772 -79.7751 0' 'two#1 50 0 -82.7485 0' >part.txt
run compare --json part.txt#0012 lab:50,0,-82.7485
exits 0
near "$(number dE00)" 2.0425 0.00005 dE00 # Sharma, Wu, Dalal 2005, pair 1
run compare --json lab:50,0,-82.7485 part.txt#two#1
exits 0 # the last # leaves no file's name, the first does
run compare part.txt#12 lab:50,0,0
exits 3
warns 'part.txt: no reading 12; the first is 0012'
run compare part.txt lab:50,0,0
exits 3
warns '2 readings; say which one with part.txt#ID'

start "an existing file of the whole name wins"
table D65/10 'a 50 0 0 0' >part.txt
table D65/10 'b 60 0 0 0' >part.txt#a
run compare --json part.txt#a lab:60,0,0
exits 0
near "$(number dE00)" 0 1e-9 dE00
run compare --json part.txt#a#b lab:60,0,0
exits 0

start "standard input"
run_in "$(table D65/10 'a 50 0 0 0')" compare --json - lab:50,0,0
exits 0
near "$(number dE00)" 0 1e-9 dE00
run_in "$(table D65/10 'a 50 0 0 0')" compare - -
exits 2
warns 'standard input \(-\) is given twice'

start "a missing file, a directory, other kinds of files"
run compare none.txt#a lab:50,0,0
exits 4
warns '^farhue compare: none.txt: no such file$'
run compare none.txt lab:50,0,0
exits 2
run compare . lab:50,0,0
exits 4
warns 'directory'
printf '\0\0\0\030ftypheic\0\0\0\0' >photo.heic
run compare photo.heic lab:50,0,0
exits 3
warns 'photo.heic: a HEIC picture; .*farhue sample'
printf 'PK\3\4xxxxxxxx' >shelf.xlsx
run compare shelf.xlsx lab:50,0,0
exits 3
warns 'export the table as CSV'
: >empty.txt
run compare empty.txt lab:50,0,0
exits 3
warns 'an empty file'
silent

start "errors name file, line and column"
table D65/10 'a 50 0 0 0' 'b 50 0,5 0 0' >bad.txt
run compare bad.txt#a lab:50,0,0
exits 3
warns '^farhue compare: bad.txt:8:6: LAB_A is 0,5 with a decimal comma; write a decimal point$'
table D65/10 'a 50 0 0 0' 'a 51 0 0 0' >twice.txt
run compare twice.txt#a lab:50,0,0
exits 3
warns '^farhue compare: twice.txt:8:1: id a is there twice'

start "a condition, where the file has none"
printf 'id,L,a,b\nx,50,0,0\n' >shelf.csv
run compare shelf.csv#x lab:50,0,0
exits 3
warns 'shelf.csv:1: a table without a condition; .*--condition'
run compare --json shelf.csv#x lab:50,0,0@D50/2 --condition D50/2
exits 0
says '"condition": "D50/2"'
run compare shelf.csv#x lab:50,0,0 --condition D51/2
exits 2

start "the unit of spectra, where the file does not say it"
spectra >spectra.csv
run compare spectra.csv#half lab:76.069,0,0
exits 3
warns 'spectra.csv:1:4: the unit of 380 and its like is not said'
run compare --json spectra.csv#half lab:76.069,0,0 --unit percent
exits 0
near "$(number dE00)" 0 0.001 dE00
run compare spectra.csv#half lab:76.069,0,0 --unit factor
exits 3
warns 'a reflectance of 50 in 380'
run compare spectra.csv#half lab:76.069,0,0 --unit watts
exits 2

start "two spectra are compared under three lights"
spectra >spectra.csv
run compare --json spectra.csv#half spectra.csv#half --unit percent
says '"condition": "D65/10"'
says '"condition": "A/10"'
says '"condition": "LED-B1/10"'

start "notes go to stderr, or into the JSON"
printf 'id,srgb\nscreen,808080\n' >screen.csv
run compare screen.csv#screen srgb:808080
exits 0
warns 'note: screen.csv: 1 colour is known as sRGB only'
run compare --json screen.csv#screen srgb:808080
quiet
says '1 colour is known as sRGB only'

start "uncertainty gives an interval, and a probability"
table D65/10 'a 50 0 0 0.5' >part.txt
run compare --json part.txt#a lab:50,0,1.5 --tolerance 2
exits 0
says '"dE00_95"'
near "$(number p_within)" 0.95 0.1 p_within
run compare part.txt#a lab:50,0,0.1 --tolerance 20
exits 0
says 'probability of being within it is above 0\.999\.'
run compare part.txt#a lab:50,0,40 --tolerance 2
exits 1
says 'probability of being within it is below 0\.001\.'

start "an output is never an input"
table D65/10 'a 50 0 0 0' >part.txt
cp part.txt copy.txt
ln part.txt link.txt
for name in part.txt ./part.txt link.txt; do
    run compare part.txt#a lab:50,0,0 -o "$name"
    exits 4
    warns 'the output is also an input; nothing was written'
done
same part.txt copy.txt

start "a job holds all, and errors in it keep their lines"
table D65/10 'a 50 0 0 0' >part.txt
{
    sed 's/^CGATS.17/&\nJOB "shell"/' part.txt
    sed 's/^CGATS.17/&\nJOB part/; s/^a /dial /' part.txt
} >job.txt
run compare --json --job job.txt part#dial lab:50,0,0
exits 0
near "$(number dE00)" 0 1e-9 dE00
run compare --job job.txt part.txt#dial lab:50,0,0
exits 3 # the file exists and wins
rm part.txt
run compare --job job.txt part.txt#dial lab:50,0,0
exits 0
finish_line=$(grep -n '^dial' job.txt | cut -d: -f1)
sed -i 's/^dial 50/dial 5O/' job.txt
run compare --job job.txt part.txt#dial lab:50,0,0
exits 3
warns "job.txt:$finish_line:6: LAB_L is \"5O\""
run compare --job job.txt coupon#dial lab:50,0,0
exits 3
warns 'job.txt: no table for coupon; the job has shell, part'

start "several readings of standard input, by their ids"
run_in "$(table D65/10 'a 50 0 0 0' 'b 60 0 0 0')" compare --json -#a lab:50,0,0
exits 0
near "$(number dE00)" 0 1e-9 dE00
run_in "$(table D65/10 'a 50 0 0 0' 'b 60 0 0 0')" compare --json -#a -#b
exits 0
near "$(number dE76)" 10 1e-9 "by hand: 60 - 50"
run_in "$(table D65/10 'a 50 0 0 0')" compare -#c lab:50,0,0
exits 3
warns 'no reading c; the first is a'

# job.txt of the tables under these names
job() { run swatches join "$@" -o job.txt; }

start "an operand that is no file but a table of the job is taken from the job"
table D65/10 'dial 70 3 15 0.2' >part.txt
table D65/10 'S1 71 3 15 0.2' 'S2 50 3 15 0.2' >shelf.txt
table D65/10 'a 30 10 5 0' 'b 50 -10 20 0' 'c 70 3 15 0' 'd 60 30 -20 0' >chips.txt
table D65/10 'a 32 10 5 0' 'b 52 -10 20 0' 'c 72 3 15 0' 'd 62 30 -20 0' >mine.txt
run spec --bare --lights D65/10 -o spec.txt --date 2031-02-03
table D65/10 'C1 70.2 3 15 0.2' 'C2 40 3 15 0.2' >coupons.txt
run check coupons.txt#C1 --reply reply.txt --date 2031-02-04
exits 0
job part.txt shelf.txt chips.txt mine.txt spec.txt reply.txt coupons.txt
exits 0
mkdir away
cp job.txt away
cd away || exit 1
for words in 'check reply' 'check reply#C1' 'check coupons#C1' 'rank shelf' 'pool shelf --as z' \
    'tie chips mine' tie 'swatches list shelf' 'compare shelf#S1 part' 'rank coupons.txt'; do
    # shellcheck disable=SC2086
    run $words --job job.txt
    [ "$code" -eq 0 ] || trouble "$words: exit code $code: $(head -n 1 "$logs/err")"
done
run check 'reply#C1' --job job.txt --json
says '"reply_says": "accept"' # judged as the reply that it is in
run check 'reply#C9' --job job.txt
exits 3
warns 'no reading C9'
run check coupons --job job.txt
exits 3
warns '2 readings; say which one'
run rank none --job job.txt
exits 3
warns 'no table for none; the job has part, shelf'
run tie chips --job job.txt
exits 2
cd .. || exit 1

start "a missing or broken job is said once, before anything else"
for command in spec shell rank 'check a'; do
    # shellcheck disable=SC2086
    run $command --job none.txt
    exits 4
    [ "$(wc -l <"$logs/err")" -eq 1 ] || trouble "$command: not one line"
    warns 'none.txt: no such file'
done
echo 'id,L' >table.csv
run shell --job table.csv
exits 3

# The page's table of a job, as rows SETTING VALUE.
page() {
    printf 'CGATS.17\nKEYWORD "JOB"\nJOB "page"\nKEYWORD "FARHUE_FILE"\nFARHUE_FILE "page"\n'
    printf 'BEGIN_DATA_FORMAT\nSETTING VALUE\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf '%s\n' "$@" END_DATA
}

# NAME R: a flat backing, and the look of it through a hood of A = 0.02, B = 0.5, C = 0.1
backing() {
    echo "id,backing,$(seq -f 'R_%.0f' -s, 400 50 700)" | sed 's/R_/SPECTRAL_DEC/g'
    awk -v n="$1" -v r="$2" 'BEGIN { look = 0.02 + 0.5 * r / (1 - 0.1 * r)
        printf "%s,", n; for (i = 0; i < 7; i++) printf ",%.6f", r; print ""
        printf "hood,%s", n; for (i = 0; i < 7; i++) printf ",%.6f", look; print "" }'
}

start "a job without a shell has the one that its backings give, not the folder's"
table D65/10 'dial 70 3 15 0.2' 'side 72 3 18 0.2' >part.txt
backing black 0.04 >black.csv
backing grey 0.3 >grey.csv
backing white 0.85 >white.csv
job part.txt black.csv grey.csv white.csv
exits 0
backing black 0.04 | sed 's/,0.04/,0.08/g' >black.txt # the folder's are others
run shell --job job.txt --json
exits 0
says '"kind": "fitted"'
run shell --job job.txt -o shell-of-job.txt
run spec --job job.txt --part part#dial -o spec.txt --date 2031-02-03
exits 0
warns 'the job has no shell: fitted from its 3 backings'
has spec.txt '^SHELL "yes"'
run spec --part part.txt#dial --shell shell-of-job.txt -o same.txt --date 2031-02-03
[ "$(grep ^CHECK_CODE spec.txt)" = "$(grep ^CHECK_CODE same.txt)" ] ||
    trouble "own requirement: the same spec as with what farhue shell --job saves"
run predict part#dial --job job.txt
exits 0
# Own requirement: the spec of a job is built as its page says, where no option says otherwise.
{ cat job.txt; echo; page 'shell_mm 2.5' 'gap_mm 3'; } >page.txt
run spec --job page.txt --part part#dial --gap-mm 1 -o spec.txt
exits 0
has spec.txt '^SHELL_MM 2\.5$'
has spec.txt '^SHELL_GAP_MM 1$'
run spec --job job.txt --part part#dial --bare -o spec.txt
has spec.txt '^SHELL "no"'
job part.txt black.csv
run spec --job job.txt --part part#dial
exits 2
warns 'farhue shell --job'

start "what the page of a job has chosen counts where no option says otherwise"
table D65/10 'dial 70 3 15 0.2' 'side 72 3 18 0.2' >part.txt
run swatches join part.txt -o job.txt
{ cat job.txt; echo; page 'match side' 'tolerance 1.25' 'light D50/2' 'light A/10' 'title ""'; } >page.txt
run spec --job page.txt -o spec.txt
exits 0
has spec.txt '^TOLERANCE_SEEN 1.25'
has spec.txt '^LIGHTS "D50/2 A/10"'
has spec.txt '^"side"'
warns 'side is matched, as its page says'
warns 'a tolerance of 1.25, as its page says'
run spec --job page.txt --part part#dial --tolerance 3 --lights D65/10 -o spec.txt
has spec.txt '^TOLERANCE_SEEN 3'
has spec.txt '^LIGHTS "D65/10"'
has spec.txt '^"dial"'
quiet
{ cat job.txt; echo; page 'match ""'; } >page.txt
run spec --job page.txt -o spec.txt
warns 'the mean of 2 spots is matched'
has spec.txt '^"part".*71.*16.5' # by hand: the mean of 70, 72 and of 15, 18
{ cat job.txt; echo; page 'match gone'; } >page.txt
run spec --job page.txt
exits 3
{ cat job.txt; echo; page 'tolerance 90'; } >page.txt
run spec --job page.txt --part part#dial
exits 3
warns 'page.txt:[0-9]+:[0-9]+: .*0.01 to 50'

finish
