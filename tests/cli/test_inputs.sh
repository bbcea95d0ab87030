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

finish
