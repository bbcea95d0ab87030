#!/bin/bash
# Runs what README.md and docs/*.md show: every line of a ```sh block that begins with `farhue`,
# in order, in one folder a document, on the demo's photos and readings. `# exit 1` at the end of a
# line says which exit code the text promises (0 without it).
. "$(dirname "$0")/lib.sh"

demo=${DEMO_BIN:-$(dirname "$FARHUE")/demo}

# The farhue commands of a document, one a line; a backslash at the end carries on.
commands_of() {
    awk '/^```sh/ { on = 1; next } /^```/ { on = 0 }
         on { line = line $0; if (sub(/\\$/, "", line)) next
              if (line ~ /^farhue /) print line
              line = "" }' "$1"
}

run_document() { # FILE
    commands_of "$top/$1" >"$logs/commands"
    [ -s "$logs/commands" ] || return 0
    start "$1: every command works as shown"
    cp "$logs/photos/"* "$work/"
    local line wanted
    while IFS= read -r line; do
        wanted=0
        [[ $line =~ \#\ exit\ ([0-9]) ]] && wanted=${BASH_REMATCH[1]}
        bash -c "farhue() { '$FARHUE' \"\$@\"; }; $line" >"$logs/out" 2>"$logs/err" </dev/null
        code=$?
        [ "$code" -eq "$wanted" ] && continue
        trouble "exit code $code, expected $wanted: $line"
        show "$logs/err"
    done <"$logs/commands"
}

mkdir "$logs/photos"
"$demo/photos" "$logs/photos" && "$demo/readings" "$logs/photos" && cp "$top"/swatches/{filaments,paints,pots}.txt "$logs/photos/" || {
    start "the demo's files"
    trouble "cannot make them with $demo"
    finish
}
for document in "$top"/README.md "$top"/docs/*.md "$top"/demo/*.md; do
    run_document "${document#"$top/"}"
done

# Headings of a document as anchors: lower case, blanks as dashes, other signs dropped.
anchors_of() {
    grep -E '^#+ ' "$1" | sed -E 's/^#+ +//' | tr 'A-Z ' 'a-z-' | tr -cd 'a-z0-9_\n-'
}

start "links between the documents lead somewhere"
for document in "$top"/{README,DEVELOPERS}.md "$top"/docs/*.md "$top"/demo/*.md; do
    while IFS= read -r link; do
        path=${link%%#*} anchor=
        [[ $link == *#* ]] && anchor=${link#*#}
        target=$document
        [ -n "$path" ] && target=$(dirname "$document")/$path
        [ -e "$target" ] || trouble "${document#"$top/"}: no file $link"
        [ -z "$anchor" ] || [ ! -f "$target" ] || anchors_of "$target" | grep -qxF -- "$anchor" ||
            trouble "${document#"$top/"}: no heading $link"
    done < <(grep -oE '\]\([^)]+\)' "$document" | sed 's/^](//; s/)$//' | grep -vE '^[a-z]+:')
done

start "the ranking that README.md shows is what the program prints"
cp "$logs/photos/"* "$work/"
run pool face-read.txt --as face -o face.txt
run shell black.txt grey.txt white.txt -o shell.txt
run spec --part face.txt#face -o spec.txt
run rank filaments.txt paints.txt --spec spec.txt
exits 0
tr -s ' ' <"$logs/out" | sed 's/ *$//' >printed
shown=0
while IFS= read -r line; do
    shown=$((shown + 1))
    grep -qxF -- "$line" printed || trouble "not printed: $line"
done < <(grep -E '^ +[0-9]+  [FP][0-9]+ ' "$top/README.md" | tr -s ' ' | sed 's/ *$//')
[ "$shown" -ge 5 ] || trouble "README.md shows only $shown lines of it"
finish
