#!/bin/bash
# `make setup`: what it asks of the machine, and that everything else waits for it. apt-get and the
# rest are stand-ins that write down how they were called; nothing is installed.
. "$(dirname "$0")/../cli/lib.sh"

# stand_in NAME: a program in $work/bin from the script on standard input
stand_in() {
    mkdir -p "$work/bin"
    { echo '#!/bin/bash'; cat; } >"$work/bin/$1"
    chmod +x "$work/bin/$1"
}

# A machine on which dpkg knows `$1` of the packages asked for, and the user's id is $2.
machine() {
    stand_in dpkg-query <<<"for ((i = 0; i < $1; i++)); do echo installed; done; exit 1"
    stand_in id <<<"echo $2"
    stand_in apt-get <<<'echo "apt-get $* [$DEBIAN_FRONTEND]" >>calls'
    for needed in bash sh env grep; do ln -s "$(command -v $needed)" "bin/$needed"; done
    : >calls
}

setup() { # with nothing on the path but the stand-ins
    env -i PATH="$work/bin" "$(command -v sh)" "$top/tests/setup" "$@" >"$logs/out" 2>"$logs/err"
    code=$?
}

start "all installed: nothing is called"
machine 2 0
setup gcc make
exits 0
same calls /dev/null

start "as root: update, then install without questions"
machine 1 0
setup gcc make
exits 0
cp calls "$logs/out"
says '^apt-get -q update'
says '^apt-get -q -y install --no-install-recommends gcc make \[noninteractive\]$'

start "as another user: through sudo"
machine 0 1000
stand_in sudo <<<'echo "sudo $1" >>calls; exec "$@"'
setup gcc
exits 0
cp calls "$logs/out"
says '^sudo apt-get'
says '^sudo env'
says 'install --no-install-recommends gcc'

start "as another user without sudo: says what to run"
machine 0 1000
setup gcc make
exits 2
warns 'apt-get install gcc make'
same calls /dev/null

start "no apt-get: prints the list"
machine 0 0
rm bin/apt-get
setup gcc make
exits 2
says '^ *gcc$'
says '^ *make$'
warns 'no apt-get'

start "everything waits for setup, in any order and in parallel"
machine 0 0
stand_in apt-get <<'SH'
case $* in *install*) sleep 0.5; touch "$MACHINE/installed" ;; esac
SH
for tool in pkg-config cc; do
    stand_in $tool <<SH
[ -e "\$MACHINE/installed" ] || echo "$tool ran before setup" >>"\$MACHINE/calls"
exec $(command -v $tool) "\$@"
SH
done
mkdir tree
cp -r "$top/Makefile" "$top/src" "$top/include" "$top/tests" tree/
MACHINE=$work PATH=$work/bin:$PATH MAKEFLAGS= make -s -j4 -C tree config=release build/release/src/base/text.o \
    build/release/src/base/error.o setup CC=cc >"$logs/out" 2>"$logs/err"
code=$?
exits 0
has installed
has tree/build/release/src/base/text.o
same calls /dev/null

finish
