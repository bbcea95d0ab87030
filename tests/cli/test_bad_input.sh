#!/bin/bash
# Input that cannot be right: a clear message, the right exit code, and no file left or harmed.
. "$(dirname "$0")/lib.sh"

HEAD='CGATS.17
WEIGHTING_FUNCTION "D65/10"
BEGIN_DATA_FORMAT
SAMPLE_ID LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA'

# refused WHAT EXIT MESSAGE: pool of the file `in` must fail so, and leave all as it was.
refused() {
    start "$1"
    cat >in
    cp in "$logs/before-in"
    echo precious >out
    run pool in -o out
    exits "$2"
    warns "^farhue pool: in$3"
    silent
    nothing_new
    same in "$logs/before-in"
    has out '^precious$'
}

spectrum() { # VALUE
    printf 'id,SPECTRAL_DEC400,SPECTRAL_DEC500,SPECTRAL_DEC600\na,0.5,%s,0.5\n' "$1"
}

refused "NaN in Lab" 3 ':7:3: LAB_L is "nan"; expected a number' <<<"$HEAD
a nan 0 0
END_DATA"
refused "infinity in Lab" 3 ':7:6: LAB_A is "inf"' <<<"$HEAD
a 50 inf 0
END_DATA"
refused "Lab out of any real range" 3 ':7:3: .*is no colour of a surface' <<<"$HEAD
a 50 250 0
END_DATA"
refused "a negative reflectance" 3 ':2:7: a reflectance of -0.2 in SPECTRAL_DEC500' < <(spectrum -0.2)
refused "NaN in a spectrum" 3 ':2:7: SPECTRAL_DEC500 is "NaN"; expected a number' < <(spectrum NaN)
refused "a reflectance beyond what glows" 3 ':2:7: a reflectance of 1.3 .*expected 0 to 1' < <(spectrum 1.3)
refused "no condition" 3 ':1: a table without a condition' <<<"id,L,a,b
a,50,0,0"
refused "an id twice" 3 ':8:1: id a is there twice' <<<"$HEAD
a 50 0 0
a 51 0 0
END_DATA"
refused "a decimal comma" 3 ':7:3: LAB_L is 50,5 with a decimal comma; write a decimal point' <<<"$HEAD
a 50,5 0 0
END_DATA"
refused "decimal commas in CSV" 3 ':2: a row of 6 values; expected 5, one a column \(decimal commas' <<<"id,condition,L,a,b
a,D65/10,50,5,0,0"
refused "a table that is cut off" 3 ':6:1: BEGIN_DATA without END_DATA; the file may be cut off' <<<"$HEAD
a 50 0 0"
refused "an unclosed quote" 3 ':7:1: a quote that is not closed' <<<"$HEAD
\"a 50 0 0
END_DATA"
refused "Latin-1 text" 3 ':7:2: bytes that are not UTF-8; save the file as UTF-8' < <(printf '%s\na\344 50 0 0\nEND_DATA\n' "$HEAD")
refused "an escape sequence in a name" 3 ':7:2: a control character' < <(printf '%s\na\033[31m 50 0 0\nEND_DATA\n' "$HEAD")
refused "a text file in UTF-16" 3 ': a text file in UTF-16; save it as UTF-8' < <(printf '\377\376i\0d\0')
refused "a HEIC picture" 3 ': a HEIC picture; expected a table' < <(printf '\0\0\0\030ftypheic\0\0\0\0')
refused "a PDF document" 3 ': a PDF document; export the table as CSV' < <(printf '%%PDF-1.7\n')
refused "an empty file" 3 ': an empty file' </dev/null

refused "an uncertainty that is no covariance" 3 ':10:3: reading a: its uncertainty is not a covariance' <<<'CGATS.17
WEIGHTING_FUNCTION "D65/10"
KEYWORD "STDEV_A"
KEYWORD "STDEV_B"
KEYWORD "COV_LA"
BEGIN_DATA_FORMAT
SAMPLE_ID LAB_L LAB_A LAB_B STDEV_L STDEV_A STDEV_B COV_LA
END_DATA_FORMAT
BEGIN_DATA
a 50 0 0 1 1 1 3
END_DATA'

# no_sample WHAT EXIT MESSAGE ARGUMENT...: sample of the photo `in` must fail so, and leave all.
no_sample() {
    local what=$1 exit=$2 message=$3
    shift 3
    start "sample: $what"
    cat >in
    cp in "$logs/before-in"
    echo precious >out
    run sample in -s spot=200,40,9 -o out "$@"
    exits "$exit"
    warns "$message"
    silent
    nothing_new
    same in "$logs/before-in"
    has out '^precious$'
}
flat=$top/tests/data/chart_flat.png corpus=$top/tests/fuzz/corpus/picture
at=40,40,160,40,160,112,40,112

no_sample "a PNG that is cut off" 3 '^farhue sample: in: the PNG is damaged or cut off' -c $at < <(head -c 900 "$flat")
no_sample "a JPEG that is cut off" 3 '^farhue sample: in: the JPEG is damaged or cut off' -c $at <"$corpus/truncated.jpg"
no_sample "a JPEG of 60000 x 60000" 3 'in: the picture claims 60000 x 60000 pixels' -c $at <"$corpus/claims-60000.jpg"
no_sample "a PNG of 60000 x 60000" 3 'in: the picture claims 60000 x 60000 pixels' -c $at <"$corpus/claims-60000.png"
no_sample "a HEIC picture" 3 'in: this is a HEIC picture; export the photo as JPEG or PNG' -c $at < <(printf '\0\0\0\030ftypheic\0\0\0\0mif1heic')
no_sample "corners that cross" 3 'in: the corners cross' -c 40,40,160,40,40,112,160,112 <"$flat"
no_sample "a spot outside the picture" 3 'in: spot far: .*outside the picture of 240 x 160' -c $at -s far=400,40,9 <"$flat"
no_sample "a spot on clipped pixels" 3 'in: spot white: 100 % of its pixels are clipped; expose one step less' -c $at -s white=200,80,9 <"$flat"
no_sample "a missing chart file" 4 '^farhue sample: none.txt: no such file' -c $at --chart none.txt <"$flat"
sed 's/CHART_ROWS 4/CHART_ROWS 5/; /^END_DATA$/q' "$top/swatches/chart24.txt" >"$logs/five.txt"
no_sample "a chart file with the wrong number of patches" 3 'five.txt:.*so 30 patches, and this table has 24' -c $at --chart "$logs/five.txt" <"$flat"

start "a photo is never written over"
cp "$flat" photo.png
for name in photo.png ./photo.png; do
    run sample photo.png -c $at -s spot=200,40,9 -o "$name"
    exits 4
    warns 'the output is also an input; nothing was written'
done
same photo.png "$flat"

start "disk full while a photo is sampled"
cp "$flat" photo.png
echo precious >out
ls -A "$work" >"$logs/before"
(ulimit -f 0; "$FARHUE" sample photo.png -c $at -s spot=200,40,9 -o out 2>&1 >/dev/null; echo "code $?") | cat >"$logs/err"
warns 'out: the file would exceed the size limit; nothing was written'
warns 'code 4'
nothing_new
has out '^precious$'

start "up to 1.2 is read, with a note"
spectrum 1.1 >in
run pool in -o out
exits 0
warns 'note: in: 1 reading is above a reflectance of 1: fluorescent or glossy'
has out 1.1

start "a missing file, a directory"
run pool none -o out
exits 4
warns '^farhue pool: none: no such file$'
nothing_new
mkdir folder
run pool folder -o out
exits 4
warns 'folder: this is a directory; expected a file'
nothing_new

start "disk full: nothing is left, what was there stays"
printf '%s\na 50 0 0\nEND_DATA\n' "$HEAD" >in
echo precious >out
ls -A "$work" >"$logs/before"
(ulimit -f 0; "$FARHUE" pool in -o out 2>&1 >/dev/null; echo "code $?") | cat >"$logs/err"
warns 'out: the file would exceed the size limit; nothing was written'
warns 'code 4'
nothing_new
has out '^precious$'

start "a directory that may not be written"
printf '%s\na 50 0 0\nEND_DATA\n' "$HEAD" >in
if [ "$(id -u)" -ne 0 ]; then
    mkdir shut
    chmod a-w shut
    run pool in -o shut/out
    exits 4
    warns 'writing is not allowed here'
fi
run pool in -o /proc/out
exits 4
nothing_new

finish
