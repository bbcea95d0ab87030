#!/bin/bash
# The test runner itself: what it counts as passed, failed and skipped, and its last line.
. "$(dirname "$0")/../cli/lib.sh"

# program NAME: makes a test program from the script on standard input
program() {
    { echo '#!/bin/bash'; cat; } >"$work/$1"
    chmod +x "$work/$1"
}

runner() { # runs tests/run on those programs in $work
    (cd "$work" && "$top/tests/run" "$@") >"$logs/out" 2>"$logs/err"
    code=$?
}

last_line_is() {
    [ "$(tail -n 1 "$logs/out")" = "$1" ] || { trouble "last line, expected: $1"; show "$logs/out"; }
}

start "passed tests are counted over all programs"
program one <<<'echo 1..2; echo ok 1 - a; echo ok 2 - b'
program two <<<'echo ok 1 - c; echo 1..1'
runner one two
exits 0
last_line_is "3 passed, 0 failed"

start "a failed test is counted, shown in full and makes the run fail"
program bad <<<'echo 1..2; echo ok 1 - a; echo not ok 2 - b; echo "# found 3, expected 4"; exit 1'
runner bad
exits 1
says 'not ok 2 - b'
says 'found 3, expected 4'
last_line_is "1 passed, 1 failed"

start "a skipped test is neither, in the spelling of TAP and in that of cmocka 1.1.5"
program skips <<<'echo 1..3; echo "ok 1 - a # SKIP no data"; echo "not ok 2 # SKIP b"; echo ok 3 - c'
runner skips
exits 0
last_line_is "1 passed, 0 failed, 2 skipped"

start "a crash is a failure"
program crash <<<'echo ok 1 - a; kill -SEGV $$'
runner crash
exits 1
last_line_is "1 passed, 1 failed"

start "an early exit that looks like success is a failure"
program early <<<'echo 1..3; echo ok 1 - a; exit 0'
runner early
exits 1
last_line_is "1 passed, 1 failed"

start "an exit code without a failed test is a failure"
program code <<<'echo 1..1; echo ok 1 - a; exit 3'
runner code
exits 1
says 'exit code 3'
last_line_is "1 passed, 1 failed"

start "a program without any test is a failure"
program nothing <<<'exit 0'
runner nothing
exits 1
says 'ran no test'

start "a program that hangs is stopped and is a failure"
program hangs <<<'echo ok 1 - a; sleep 60'
TEST_SECONDS=1 runner hangs
exits 1
says 'stopped after 1 s'

start "a replay gets the files of its corpus"
mkdir -p "$work/tests/fuzz/corpus/thing"
touch "$work/tests/fuzz/corpus/thing/one" "$work/tests/fuzz/corpus/thing/two"
program fuzz_thing <<<'for file in "$@"; do [ -f "$file" ] && echo "ok - $file"; done'
runner fuzz_thing
exits 0
last_line_is "2 passed, 0 failed"

finish
