# The part of tests/lint that reads sources: which room may include what, which functions the engine
# may not call. Reads src and include twice: pass 1 finds the room of each public header (where its
# functions are defined), pass 2 checks. Prints FILE:LINE: what was found; what is allowed.

BEGIN {
    below["base"]   = "base"
    below["colour"] = "base colour"
    below["optics"] = "base colour optics"
    below["match"]  = "base colour optics match"
    below["files"]  = "base colour optics match photo files"
    below["show"]   = "base colour optics match show"
    below["photo"]  = "base colour photo"
    below["host"]   = "base host"
    below["cli"]    = "base colour optics match files show photo host cli"
    below["page"]   = "base colour optics match files show photo page"
    engine = " base colour optics match files show photo "

    # A library header and the only sources that may include it.
    owner["lcms2.h"] = "^src/(colour/|photo/profile)"
    owner["lcms2_plugin.h"] = owner["lcms2.h"]
    owner["cminpack.h"] = "^src/base/fit"
    owner["png.h"] = owner["jpeglib.h"] = owner["jerror.h"] = owner["jmorecfg.h"] = "^src/host/"
    owner["libraw/libraw.h"] = "^src/host/"
    owner["jansson.h"] = "^src/cli/"

    standard = " assert ctype float inttypes limits math stdalign stdarg stdbool stddef stdint" \
               " stdio stdlib string complex "
    heap = " malloc calloc realloc free aligned_alloc strdup strndup "
    banned = " printf fprintf vprintf vfprintf sprintf vsprintf puts putchar fputs fputc putc" \
             " scanf fscanf sscanf fopen freopen fclose fread fwrite fgets getchar tmpfile remove" \
             " rename perror getenv setlocale localeconv strtod strtof strtold atof atoi atol" \
             " strtol strtoul strtoll strtoull strcoll strxfrm time clock localtime gmtime mktime" \
             " strftime rand srand random drand48 qsort_r alloca setjmp longjmp signal raise abort" \
             " exit _Exit atexit quick_exit system strtok errno stdout stderr stdin" \
             " isalpha isalnum isupper islower isspace isprint ispunct toupper tolower "
}

function has(list, word) { return index(" " list " ", " " word " ") > 0 }
function breach(text) { print FILENAME ":" FNR ": " text }

# The room of a source path; for a public header, the room that defines its functions.
function room_of(path,   part) {
    split(path, part, "/")
    if (part[1] == "src") return part[2]
    return path in header_room ? header_room[path] : "base"
}

# $0 without comments and string contents; in_comment carries over lines.
function code_of(line,   at) {
    gsub(/"([^"\\]|\\.)*"/, "\"\"", line)
    if (in_comment) {
        at = index(line, "*/")
        if (!at) return ""
        line = substr(line, at + 2); in_comment = 0
    }
    while ((at = index(line, "/*")) > 0) {
        rest = substr(line, at + 2); end = index(rest, "*/")
        if (!end) { in_comment = 1; line = substr(line, 1, at - 1); break }
        line = substr(line, 1, at - 1) " " substr(rest, end + 2)
    }
    sub(/\/\/.*/, "", line)
    return line
}

FNR == 1 {
    in_comment = 0; before = "blank"; files[FILENAME]++
    pass = files[FILENAME]; public = FILENAME ~ /^include\//
    if (pass == 2) settle()
}

# --- Pass 1: who declares and who defines each function ------------------------------------------
pass == 1 {
    code = code_of($0)
    if (public && code ~ /^FH_API/) { declaring = 1 }
    if (public && declaring && match(code, /fh_[A-Za-z0-9_]+\(/)) {
        declared[substr(code, RSTART, RLENGTH - 1)] = FILENAME; declaring = 0
    }
    if (code ~ /;/) declaring = 0
    if (FILENAME ~ /^src\/.*\.c$/ && code !~ /^static/ && match(code, /^[A-Za-z][A-Za-z0-9_ *]*[ *]fh_[A-Za-z0-9_]+\(/)) {
        name = substr(code, RSTART, RLENGTH - 1); sub(/.*[ *]/, "", name)
        split(FILENAME, part, "/"); defined[name] = part[2]
    }
    next
}

# Between the passes: a header belongs to the room of its functions.
function settle(   name, header) {
    if (settled++) return
    for (name in declared) {
        header = declared[name]
        if (!(name in defined)) { print header ": " name " is declared and defined nowhere"; continue }
        if (header in header_room && header_room[header] != defined[name])
            print header ": functions of two rooms, " header_room[header] " and " defined[name]
        header_room[header] = defined[name]
    }
}

# --- Pass 2: checks --------------------------------------------------------------------------------
{ room = room_of(FILENAME); in_engine = has(engine, room); line = code_of($0) }

$0 ~ /^[ \t]*#[ \t]*include/ { check_include(); before = "code"; next }

function check_include(   name, target) {
    if (!match($0, /["<][^">]+[">]/)) return
    name = substr($0, RSTART + 1, RLENGTH - 2)
    if (substr($0, RSTART, 1) == "<") {
        if (name in owner && FILENAME !~ owner[name])
            breach("<" name "> is included; only " owner[name] " may")
        else if (in_engine && FILENAME != "src/base/text.c" && !(name in owner) && !has(standard, substr(name, 1, length(name) - 2)))
            breach("<" name "> is included; the engine knows only standard headers without files, clock, locale")
        if (public && name in owner) breach("a public header includes <" name ">")
        return
    }
    target = name ~ /^farhue\// ? room_of("include/" name) : substr(name, 1, index(name, "/") - 1)
    if (target == "" || target == "farhue.h") return
    if (public && name !~ /^farhue\//) breach("a public header includes the private \"" name "\"")
    if (room == "host" && name ~ /(photo|farhue)\/pixels\.h$/) return
    if (FILENAME == "include/farhue.h") return
    if (!has(below[room], target))
        breach("\"" name "\" is of room " target "; " room " may include only " below[room])
}

# base/text is the one door for numbers in text and handles the decimal separator itself.
FILENAME == "src/base/text.c" { line = ""; before = "text"; next }

# Function names that the engine may not use, wherever a call or a mention stands outside comments.
in_engine && line != "" {
    rest = line
    while (match(rest, /[A-Za-z_][A-Za-z0-9_]*/)) {
        word = substr(rest, RSTART, RLENGTH)
        after = substr(rest, RSTART + RLENGTH, 1)
        member = substr(rest, RSTART - 1, 1)
        rest = substr(rest, RSTART + RLENGTH)
        if (member == "." || member == ">") continue
        if (after == "(" && has(banned, word)) breach(word "() is called; the engine may not")
        else if (after != "(" && has(" errno stdout stderr stdin ", word)) breach(word " is used; the engine may not")
        else if (after == "(" && has(heap, word) && FILENAME != "src/base/memory.c")
            breach(word "() is called; memory comes only through base/memory")
        else if (word == "long" && rest ~ /^[ \t]+double/) breach("long double; the engine may not")
    }
}

# A number never goes through printf: the locale and the C library must not shape it.
in_engine && /(snprintf|vsnprintf)\(.*%[-+#0-9.*]*[lL]?[aefgAEFG]/ {
    breach("snprintf of a floating-point number; base/text writes numbers")
}

# The program prints and exits; host touches files but does neither.
room == "host" && line ~ /(^|[^A-Za-z0-9_.>])(printf|puts|putchar|exit|abort|getenv|setlocale)\(/ {
    breach("host prints, exits or reads the environment; only cli may")
}

# Every public function has a comment above it, or stands in a block that begins with one.
public && /^FH_API/ && before == "blank" && !/\/\*.*\*\/$/ {
    breach("no comment above this function")
}
public && /^[ \t]*$/ { before = "blank"; next }
{ before = "text" }
