# Helpers for tests of the program: each test_*.sh sources this file, runs the program and checks
# exit code, output, messages and files. Results are TAP.
#
#   . "$(dirname "$0")/lib.sh"
#
#   start "a patch that is clipped is refused"         begins a test
#   run sample photo.png -o out.txt                    runs farhue; leaves $code, out, err
#   run_in 'text on stdin' check -                     the same with standard input
#   exits 3                                            the exit code
#   says 'ΔE00 +[0-9.]+'                               stdout matches (extended pattern)
#   silent                                             stdout is empty
#   warns 'photo.png: the white patch is clipped'      stderr matches
#   quiet                                              stderr is empty
#   has FILE 'pattern'    absent FILE    same FILE COPY    nothing_new
#   number KEY                                         prints a number from the JSON on stdout
#   near VALUE EXPECTED TOLERANCE [what]               compares two numbers
#   table FILE ROW...                                  readings by spectrum at the wavelengths $bands
#   flat VALUE                                         the same value at each of them
#   finish                                             ends the last test and prints the plan
#
# Every test runs in $work, an empty folder that is removed at the end; $top is the checkout.
# A check that fails is printed with what was found; the test goes on. It counts in a pipe or other
# subshell as well.

set -u
export LC_ALL=C
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
top=$(cd "$here/../.." && pwd)
FARHUE=${FARHUE:-$top/build/release/farhue}
REFERENCE=${FARHUE_REFERENCE:-$top/../shared/reference}
work=$(mktemp -d)
logs=$(mktemp -d)
trap 'rm -rf "$work" "$logs"' EXIT
cd "$work" || exit 1
unset NO_COLOR

tests=0 current='' any_failed=0 code=0

end_test() {
    [ -n "$current" ] || return 0
    if [ ! -s "$logs/troubles" ]; then
        echo "ok $tests - $current"
    else
        echo "not ok $tests - $current"
        any_failed=1
    fi
    current=''
}

# start NAME: ends the test before it, and begins in an empty $work.
start() {
    end_test
    tests=$((tests + 1)) current=$1
    find "$work" -mindepth 1 -delete
    : >"$logs/out" >"$logs/err" >"$logs/troubles"
}

# skip_test NAME WHY: counts as skipped.
skip_test() {
    end_test
    tests=$((tests + 1))
    echo "ok $tests - $1 # SKIP $2"
}

finish() {
    end_test
    echo "1..$tests"
    exit "$any_failed"
}

trouble() {
    printf '# line %s: %s\n' "${BASH_LINENO[${#BASH_LINENO[@]} - 2]}" "$1" | tee -a "$logs/troubles"
}

show() { # indents a log as TAP comment lines
    head -n "${2:-20}" "$1" | cut -c1-300 | sed 's/^/#   | /'
}

run() {
    ls -A "$work" >"$logs/before"
    "$FARHUE" "$@" >"$logs/out" 2>"$logs/err" </dev/null
    code=$?
}

run_in() {
    local input=$1
    shift
    ls -A "$work" >"$logs/before"
    printf '%s' "$input" | "$FARHUE" "$@" >"$logs/out" 2>"$logs/err"
    code=$?
}

exits() {
    [ "$code" -eq "$1" ] && return 0
    trouble "exit code $code, expected $1"
    show "$logs/err"
}

says() {
    grep -qE -- "$1" "$logs/out" && return 0
    trouble "stdout does not match: $1"
    show "$logs/out"
}

never_says() {
    grep -qE -- "$1" "$logs/out" || return 0
    trouble "stdout must not match: $1"
    show "$logs/out"
}

warns() {
    grep -qE -- "$1" "$logs/err" && return 0
    trouble "stderr does not match: $1"
    show "$logs/err"
}

never_warns() {
    grep -qE -- "$1" "$logs/err" || return 0
    trouble "stderr must not match: $1"
    show "$logs/err"
}

silent() {
    [ ! -s "$logs/out" ] && return 0
    trouble "stdout is not empty"
    show "$logs/out"
}

quiet() {
    [ ! -s "$logs/err" ] && return 0
    trouble "stderr is not empty"
    show "$logs/err"
}

has() {
    [ -f "$1" ] || { trouble "no file $1"; return 0; }
    [ $# -lt 2 ] || grep -qE -- "$2" "$1" && return 0
    trouble "$1 does not match: $2"
    show "$1"
}

absent() {
    [ ! -e "$1" ] || trouble "$1 exists, and must not"
}

same() {
    cmp -s "$1" "$2" && return 0
    trouble "$1 and $2 differ"
    diff "$1" "$2" | head -n 10 | sed 's/^/#   | /'
}

# The last run left no file behind, no half-written one either.
nothing_new() {
    ls -A "$work" | cmp -s "$logs/before" - && return 0
    trouble "the folder changed:"
    ls -A "$work" | diff "$logs/before" - | sed 's/^/#   | /'
}

# number KEY: the first number under that key in the JSON on stdout.
number() {
    tr -d '\n' <"$logs/out" |
        grep -oE "\"$1\" *: *-?[0-9.]+([eE][-+]?[0-9]+)?" | head -n 1 | sed 's/.*: *//'
}

near() {
    awk -v a="$1" -v b="$2" -v t="$3" 'BEGIN {
        exit !(a ~ /^-?[0-9.]+([eE][-+]?[0-9]+)?$/ && a - b <= t && b - a <= t) }' && return 0
    trouble "${4:-value}: found ${1:-nothing}, expected $2 within $3"
}

# table FILE ROW...: readings at the wavelengths $bands; a row is "ID BACKING VALUE...", the backing
# "-" where there is none. Tests of readings of another kind have a table of their own.
table() {
    local file=$1
    shift
    {
        echo 'CGATS.17'
        echo 'MEASUREMENT_GEOMETRY "45/0"'
        echo 'WEIGHTING_FUNCTION "ILLUMINANT, D65"'
        echo 'WEIGHTING_FUNCTION "OBSERVER, 10 degree"'
        echo 'SPECTRAL_UNIT "factor"'
        echo 'BEGIN_DATA_FORMAT'
        echo "SAMPLE_ID SAMPLE_BACKING$(printf ' SPECTRAL_NM%s' $bands)"
        echo 'END_DATA_FORMAT'
        echo 'BEGIN_DATA'
        printf '%s\n' "$@"
        echo 'END_DATA'
    } >"$file"
}

# flat VALUE: a spectrum of that value at every one of $bands.
flat() {
    local band values=()
    for band in $bands; do values+=("$1"); done
    echo "${values[@]}"
}
