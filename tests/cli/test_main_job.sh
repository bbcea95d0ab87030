#!/bin/bash
# The whole job on the demo's invented clock, from the owner's and the helper's side, with figures
# held against the truth that the demo's programs know (truth.txt; the hood by ray tracing).
. "$(dirname "$0")/lib.sh"

demo=${DEMO_BIN:-$(dirname "$FARHUE")/demo}
files=$logs/files
mkdir "$files"
if ! "$demo/photos" "$files" || ! "$demo/readings" "$files" ||
    ! cp "$top"/swatches/{filaments,paints}.txt "$files"; then
    start "the demo's files"
    trouble "cannot make them with $demo"
    finish
fi

# begin NAME: a test that finds what the tests before it made; keep FILE...: for those after it.
begin() { start "$1" && cp "$files"/* "$work"; }
keep() { cp "$@" "$files"; }

# dE A B: their ΔE00 under the first light.
dE() { "$FARHUE" compare "$1" "$2" --json 2>/dev/null >"$logs/out" && number dE00; }

# seen KEY: the first number under KEY behind the shell, in the JSON on stdout.
seen() {
    tr -d '\n' <"$logs/out" | sed 's/.*"seen"//' | grep -oE "\"$1\" *: *-?[0-9.]+" | head -n 1 |
        sed 's/.*: *//'
}

# Position of an id in a ranking in JSON on stdout; the target's own id comes before them.
place() { tr -d '\n' <"$logs/out" | sed 's/"id"//' | grep -oE '"id" *: *"[^"]*"' | grep -n "\"$1\"\$" | cut -d: -f1; }

begin "owner: three photos, the chart turned once, give the old part within what they say"
run sample part-1.jpg part-2.jpg part-3.png \
    --corners 104,227,637,241,629,564,87,549 --corners 636,562,93,572,97,249,630,239 \
    --corners 107,219,640,242,626,564,85,540 \
    --spot face=945,282,30 --spot face=939,267,30 --spot face=947,288,30 \
    --spot sheltered=942,572,26 --spot sheltered=949,557,26 --spot sheltered=939,578,26 -o part.txt
exits 0
near "$(dE truth.txt#face part.txt#face)" 0 2.0 "face, ΔE00 to the truth"
near "$(dE truth.txt#sheltered part.txt#sheltered)" 0 2.0 "sheltered place, ΔE00 to the truth"
run compare truth.txt#face part.txt#face
says 'D65/10 +[0-9.]+ +[0-9.]+ … [0-9.]+' # with an interval
keep part.txt

begin "owner: readings of the part are pooled"
run pool face-read.txt --as face -o face.txt
exits 0
near "$(dE truth.txt#face face.txt#face)" 0 0.2 "face, ΔE00 to the truth"
keep face.txt

begin "owner: the shell is fitted, and predicts what was not used for it"
run shell black.txt grey.txt white.txt -o shell.txt
exits 0
keep shell.txt
run predict chip.txt#chip chip.txt#hood --json
exits 0
near "$(number dE00)" 0 0.5 "chip under the hood, ΔE00 predicted to measured"
for part in face sheltered coupon-good coupon-bad; do
    run predict "truth.txt#$part" "truth.txt#$part-seen" --json
    exits 0
    near "$(number dE00)" 0 0.2 "$part under the hood, ΔE00 predicted to traced"
done

begin "owner: two backings do nearly as well, one reading says that it assumes a clear shell"
run shell black.txt white.txt -n acrylic -o two.txt
exits 0
run predict truth.txt#face truth.txt#face-seen -s two.txt --json
near "$(number dE00)" 0 0.6 "face, ΔE00 predicted from two backings to traced"
run shell white.txt
exits 0
says 'clear sheet'

begin "owner: a spec, the same whenever it is written on a date"
run spec --part face.txt#face --tolerance 2 --title 'Ondrel tide clock' --date 2026-03-02 -o spec.txt
exits 0
run spec --part face.txt#face --tolerance 2 --title 'Ondrel tide clock' --date 2026-03-02 -o again.txt
same spec.txt again.txt
keep spec.txt

begin "owner: back from the assembled look to a part, through predict to the look again"
run aim truth.txt#face-seen -o aimed.txt
exits 0
run predict aimed.txt truth.txt#face-seen --json
exits 0
near "$(number dE00)" 0 0.1 "look of the aimed part, ΔE00 to the wanted look"

begin "helper: the shelf is ranked as seen, not as bare"
run rank filaments.txt paints.txt --spec spec.txt --json
exits 0
near "$(place F05)" 1 0 "place of sage"
near "$(place F06)" 3 1 "place of celadon, ΔE00 4.8 off when bare"
run rank filaments.txt paints.txt --spec spec.txt
says 'F06 +celadon +4\.[0-9] +1\.[0-9].*accept'
says 'F17 +lagoon +1\.[0-9] +0\.[0-9] +2\.[0-9].*reject +m' # by day, not under the lamp
run rank paints.txt filaments.txt --spec spec.txt --json
near "$(place F05)" 1 0 "place of sage, libraries swapped"

begin "helper: a shelf from one photo sorts out what is far off"
run sample shelf.jpg -o shelf.txt \
    --spot F05=854,135,40 --spot F06=1033,138,40 --spot F07=853,314,40 --spot F08=1034,317,40 \
    --spot F09=852,496,40 --spot F11=1035,499,40 --spot F12=851,682,40 --spot F17=1036,685,40
exits 0
for id in F05 F06 F07 F08 F09 F11 F12 F17; do
    near "$(dE filaments.txt#$id shelf.txt#$id)" 0 2.5 "$id, ΔE00 to its spectrum"
done
run rank shelf.txt --spec spec.txt
says 'F08 .*reject'
says 'F05 .*measure again'
run rank shelf.txt --spec spec.txt --json
near "$(place F05)" 2 1 "place of sage"
near "$(place F08)" 8 0 "place of sea green"

begin "helper: a good coupon is accepted, and the figure is the true one"
run pool coupon-good.txt --as coupon -o coupon.txt
run check coupon.txt --spec spec.txt --json -o reply.txt
exits 0
near "$(seen dE00)" "$(dE truth.txt#face-seen truth.txt#coupon-good-seen)" 0.3 "seen ΔE00"
run check coupon.txt --spec spec.txt -o reply.txt
exits 0
says 'Accept'
keep reply.txt coupon.txt

begin "helper: the command that the sheet prints does what it says"
run spec --part face.txt#face --tolerance 2 --date 2026-03-02 --sheet sheet.html
exits 0
printed=$(grep -oE '<code>farhue [^<]*</code>' sheet.html | sed 's/<[^>]*>//g')
read -ra words <<<"$printed"
[ "${words[1]:-}" = check ] || trouble "the sheet prints no check: $printed"
run "${words[@]:1}"
exits 0
says 'Accept'

begin "owner: the reply holds for this spec and no other, and not when it was changed"
run check reply.txt --spec spec.txt
exits 0
sed 's/^"coupon"\(.*\)\t73\./"coupon"\1\t63./' reply.txt >changed.txt
run check changed.txt --spec spec.txt
exits 3
warns 'check code'
run spec --part face.txt#face --tolerance 1 --date 2026-03-02 -o other.txt
run check reply.txt --spec other.txt
exits 3
warns 'answers'

begin "helper: a bad coupon is rejected, in words"
run pool coupon-bad.txt --as coupon -o coupon-2.txt
run check coupon-2.txt --spec spec.txt
exits 1
says 'Bare: .*too yellow.*too light'
run check coupon-2.txt --spec spec.txt --json
exits 1
near "$(seen dE00)" "$(dE truth.txt#face-seen truth.txt#coupon-bad-seen)" 0.3 "seen ΔE00"

begin "helper: a noisy coupon is to be measured again, and how often is said"
run check coupon-noisy.txt --pool --spec spec.txt
exits 5
says '[0-9]+ more readings? of the coupon would settle it'

begin "only a phone call: the spoken code gives the bare target, and says what it doesn't know"
run spec --part face.txt#face --code -o called.txt
exits 0
spoken=$(grep -oE '[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}' "$logs/out" | tail -n 1)
run spec --from-code "$(tr A-Z- 'a-z ' <<<"$spoken")" -o heard.txt
exits 0
warns 'carries the bare target only'
run check coupon.txt --spec heard.txt
exits 5
says 'under D65/10 alone it would be: accept'
says 'By an estimated spectrum it fits in daylight'

begin "all of it in one job file"
cp filaments.txt shelf.txt
run swatches join face.txt shell.txt spec.txt shelf.txt coupon.txt reply.txt -o job.txt
exits 0
mkdir elsewhere && mv job.txt elsewhere && cd elsewhere || exit 1
run check --job job.txt
exits 0
run rank --job job.txt
exits 0
says 'sage'
cd "$work" || exit 1

start "make demo ends well"
DEMO_OUT=$work/demo DEMO_BIN=$demo FARHUE=$FARHUE "$top/demo/run" >"$logs/out" 2>"$logs/err"
code=$?
exits 0
says 'Every answer is the expected one'
never_says 'MISSED|expected exit code'

start "the libraries that ship are those that demo/swatches.c writes"
"$demo/swatches" "$work"
same filaments.txt "$top/swatches/filaments.txt"
same paints.txt "$top/swatches/paints.txt"

finish
