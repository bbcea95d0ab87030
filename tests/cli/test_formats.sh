#!/bin/bash
# The examples of docs/formats.md: each block that begins with `file: NAME    read by: COMMAND` is
# saved under its name and read by that command.
. "$(dirname "$0")/lib.sh"

examples=$logs/examples
awk -v folder="$examples" '
    /^```text$/ { block = 1; next }
    /^```$/ { block = 0; file = ""; next }
    block == 1 && /^file: / {
        file = $2; number++; block = 2
        command = $0; sub(/.*read by: */, "", command)
        dir = sprintf("%s/%02d", folder, number); system("mkdir -p " dir)
        print file > (dir "/name"); print command > (dir "/command")
        next
    }
    block == 2 && file { print > (dir "/text") }
' "$top/docs/formats.md"

for example in "$examples"/*/; do
    name=$(cat "$example/name") command=$(cat "$example/command")
    start "$name: $command"
    cp "$example/text" "$name"
    read -ra words <<<"$command"
    [ "${words[0]}" = farhue ] || trouble "the command is not farhue's"
    run "${words[@]:1}"
    exits 0
done

start "there are examples"
[ "$(find "$examples" -name name | wc -l)" -ge 4 ] || trouble "found $(find "$examples" -name name | wc -l)"

finish
