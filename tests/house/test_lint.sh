#!/bin/bash
# The lint itself: each kind of breach, planted in a small tree, is found; the clean tree is clean.
. "$(dirname "$0")/../cli/lib.sh"

# A tree with one public header, two rooms and the lint of this checkout.
tree() {
    mkdir -p "$work"/{tests,docs,include/farhue,src/base,src/colour,src/cli}
    cp "$top/tests/lint" "$top/tests/lint.awk" "$work/tests/"
    printf '# References\n\n[Known1950] Somebody.\n' >"$work/docs/references.md"
    cat >"$work/include/farhue/thing.h" <<'C'
#ifndef FARHUE_THING_H
#define FARHUE_THING_H
#define FH_API
/* What a thing weighs [Known1950]. */
FH_API double fh_thing(void);
#endif
C
    cat >"$work/src/colour/thing.c" <<'C'
#include "farhue/thing.h"
#include <string.h>
double fh_thing(void)
{
    return 1.0; /* not malloc(3), printf("%g") or [Unused */
}
C
}

lint() {
    (cd "$work" && CC=${CC:-cc} tests/lint build/none) >"$logs/out" 2>"$logs/err"
    code=$?
}

# finds PATTERN FILE LINE: that line appended to that file is a breach
finds() {
    tree
    printf '%s\n' "$3" >>"$work/$2"
    lint
    exits 1
    says "$1"
}

start "a clean tree is clean"
tree
lint
exits 0
says '^lint: clean$'

start "a room that includes one above it"
finds 'base/x.c:1: "farhue/thing.h" is of room colour' src/base/x.c '#include "farhue/thing.h"'
finds 'base/y.c:1: "colour/tables.h" is of room colour' src/base/y.c '#include "colour/tables.h"'

start "a public header that farhue.h leaves out"
tree
printf '#ifndef FARHUE_H\n#define FARHUE_H\n#endif\n' >"$work/include/farhue.h"
lint
exits 1
says 'include/farhue/thing.h: include/farhue.h leaves it out'

start "a library outside its room"
finds '<png.h> is included' src/colour/x.c '#include <png.h>'
finds '<lcms2.h> is included' src/base/x.c '#include <lcms2.h>'
finds '<cminpack.h> is included' src/colour/x.c '#include <cminpack.h>'
finds '<jansson.h> is included' src/colour/x.c '#include <jansson.h>'

start "a header that the engine may not include"
finds '<time.h> is included' src/colour/x.c '#include <time.h>'
finds '<setjmp.h> is included' src/colour/x.c '#include <setjmp.h>'

start "functions that the engine may not call"
finds 'malloc\(\) is called' src/colour/x.c 'void *f(void) { return malloc(3); }'
finds 'printf\(\) is called' src/colour/x.c 'void f(void) { printf("x"); }'
finds 'getenv\(\) is called' src/colour/x.c 'char *f(void) { return getenv("x"); }'
finds 'strtod\(\) is called' src/colour/x.c 'double f(char *s) { return strtod(s, 0); }'
finds 'long double' src/colour/x.c 'long double f(void);'
finds 'snprintf of a floating-point number' src/colour/x.c 'void f(char *s) { snprintf(s, 9, "%.2f", 1.0); }'

start "the program may print"
tree
echo 'void f(void) { printf("%g", 1.0); exit(getenv("x") != 0); }' >"$work/src/cli/x.c"
lint
exits 0

start "a citation without a reference"
finds '\[Unknown1951\] is not in docs/references.md' src/colour/x.c '/* as in [Known1950, Unknown1951] */'

start "a public function without a comment"
finds 'no comment above this function' include/farhue/thing.h '
FH_API int fh_bare(void);'

start "a public header that does not compile alone"
finds 'size_t' include/farhue/thing.h '/* Uses what it does not include. */
size_t fh_loose(void);'

start "a public header without its guard"
finds 'no guard FARHUE_OTHER_H' include/farhue/other.h 'typedef int fh_other;'

finish
