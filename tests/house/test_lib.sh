#!/bin/bash
# What tests of the program stand on: a check that fails makes its test fail, wherever it stands.
. "$(dirname "$0")/../cli/lib.sh"

# Own requirement: in a pipe, a subshell and a substitution as in the open.
start "a check that fails is never lost"
cat >checks.sh <<END
. "$here/../cli/lib.sh"
start "open"; near 1 2 0.5
start "pipe"; echo 1 | while read -r one; do near "\$one" 2 0.5; done
start "subshell"; ( near 1 2 0.5 )
start "substitution"; said=\$(near 1 2 0.5)
start "sound"; echo 1 | while read -r one; do near "\$one" 1 0; done
finish
END
bash checks.sh >"$logs/out"
code=$?
exits 1
for test in '1 - open' '2 - pipe' '3 - subshell' '4 - substitution'; do says "^not ok $test"; done
says '^ok 5 - sound'
says '^# line 3: .*found 1, expected 2 within 0.5'

finish
