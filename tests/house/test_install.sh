#!/bin/bash
# What `make install` leaves is usable: headers, both libraries, pkg-config file, program.
. "$(dirname "$0")/../cli/lib.sh"

build=$(dirname "$FARHUE")
config=$(basename "$build")
flags=
[ "$config" = sanitize ] && flags='-fsanitize=address,undefined'
[ "$config" = coverage ] && flags='--coverage'

start "a program built against the installed library runs; soname and exported names"
MAKEFLAGS= make -s -C "$top" config="$config" install DESTDIR="$work/root" PREFIX=/opt/here >"$logs/out" 2>&1 ||
    { trouble "make install failed"; show "$logs/out"; }
[ ! -d "$top/src/cli" ] || has root/opt/here/bin/farhue
has root/opt/here/lib/libfarhue.a
cat >use.c <<'C'
#include <farhue.h>
#include <math.h>
int main(void)
{
    fh_lab a = {50, 2.6772, -79.7751}, b = {50, 0, -82.7485};
    return fabs(fh_de2000(a, b) - 2.0425) <= 0.00005 ? 0 : 1; /* [Sharma2005] pair 1 */
}
C
export PKG_CONFIG_PATH=$work/root/opt/here/lib/pkgconfig PKG_CONFIG_SYSROOT_DIR=$work/root
${CC:-cc} $flags -std=c11 use.c -o use $(pkg-config --cflags --libs farhue) -lm 2>"$logs/err" ||
    { trouble "does not compile"; show "$logs/err"; }
LD_LIBRARY_PATH=$work/root/opt/here/lib ./use 2>"$logs/err" || { trouble "does not run"; show "$logs/err"; }

# The shared library is needed by its soname, and exports fh_ names alone.
readelf -d use >"$logs/out"
says 'NEEDED.*\[libfarhue\.so\.[0-9]+\]'
nm -D --defined-only root/opt/here/lib/libfarhue.so | awk '{ print $3 }' >"$logs/out"
says '^fh_de2000$'
[ "$config" = coverage ] || never_says '^[^f]|^f[^h]|^fh[^_]' # gcov brings its own

finish
