/* `farhue help` and `farhue help COMMAND`. */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli/commands.h"
#include "cli/terminal.h"

#define CLI_ROW(name) &cli_##name,
const cli_command *const cli_all_commands[] = {CLI_COMMANDS(CLI_ROW) NULL};
#undef CLI_ROW

enum { WIDTH = 80, INDENT = 29, NARROW = 60, LESS = 6, ANY = 10000 };

static size_t help_width(void)
{
    const size_t columns = cli_terminal_columns(STDOUT_FILENO);
    return columns && columns < WIDTH ? columns : WIDTH;
}

/* For lines that are broken on a terminal only, such as examples. */
static size_t line_width(void)
{
    const size_t columns = cli_terminal_columns(STDOUT_FILENO);
    return columns ? columns : ANY;
}

/* A line, broken before the width; what follows a break is indented. */
static void print_wrapped(const char *line, size_t width, size_t indent)
{
    fh_buffer out = {0};
    cli_wrap(fh_slice_of(line), width, indent, &out);
    puts(out.failed ? line : out.text ? out.text : "");
    fh_buffer_free(&out);
}

static void print_options(const char *title, const cli_option *options)
{
    const size_t indent = help_width() < NARROW ? LESS : INDENT;
    if (!options || !options->name) return;
    printf("\n%s\n", title);
    for (; options->name; ++options) {
        char left[64], line[640];
        size_t n = 0;
        if (options->letter) n += fh_format(left, sizeof left, "-%c, ", options->letter);
        fh_format(left + n, sizeof left - n, "--%s%s%s", options->name, options->value ? " " : "",
                  options->value ? options->value : "");
        const bool fits = strlen(left) < INDENT - 2 && indent == INDENT;
        if (!fits) printf("  %s\n", left);
        n = fits ? fh_format(line, sizeof line, "  %-26s ", left)
                 : fh_format(line, sizeof line, "%*s", (int)indent, "");
        fh_format(line + n, sizeof line - n, "%s%s", options->help,
                  options->many ? " (may be repeated)" : "");
        print_wrapped(line, help_width(), indent);
    }
}

/* An example, broken as a shell takes it: a backslash at the end of a line. */
static void print_example(const char *text, size_t length)
{
    const size_t width = line_width();
    size_t column = 0;
    for (size_t at = 0; at < length;) {
        size_t end = at;
        while (end < length && text[end] == ' ') ++end;
        while (end < length && text[end] != ' ') ++end;
        const bool last = end == length;
        if (column > 4 && column + (end - at) + (last ? 0 : 2) > width) {
            printf(" \\\n   ");
            column = 3;
        }
        printf("%.*s", (int)(end - at), text + at);
        column += end - at;
        at = end;
    }
    putchar('\n');
}

/* Paragraphs, each filled anew; lines that are indented (examples) stay as they are. */
static void print_details(const char *text)
{
    char paragraph[2048];
    size_t n = 0;
    for (bool end = false; !end; ++text) {
        bool plain = *text && *text != '\n' && *text != ' ';
        size_t length = strcspn(text, "\n");
        if (plain) {
            n += fh_format(paragraph + n, sizeof paragraph - n, "%s%.*s", n ? " " : "", (int)length,
                           text);
        } else {
            if (n) print_wrapped(paragraph, help_width(), 0);
            n = 0;
            if (*text) print_example(text, length);
        }
        text += length;
        end = !*text || !text[1];
        if (end && n) print_wrapped(paragraph, help_width(), 0);
    }
}

static int help_command(const cli_command *command)
{
    char line[256];
    fh_format(line, sizeof line, "farhue %s: %s", command->name, command->summary);
    print_wrapped(line, line_width(), 0);
    putchar('\n');
    fh_format(line, sizeof line, "  farhue %s %s%s[options]", command->name, command->usage,
              *command->usage ? " " : "");
    print_wrapped(line, line_width(), LESS);
    if (command->details && *command->details) {
        putchar('\n');
        print_details(command->details);
    }
    print_options("Options", command->options);
    print_options("Options of every command", cli_common_options);
    return CLI_DONE;
}

static int help_all(void)
{
    static const char *const before[] = {
        "farhue: the colour of a part behind a translucent shell, as numbers to act on",
        "",
        "  farhue COMMAND [options] [files]",
        "  farhue help COMMAND",
        "",
        "Commands, in the order of the job"};
    static const char *const after[] = {
        "",
        "A colour is lab:L,a,b  lch:L,C,h  xyz:X,Y,Z (percent)  srgb:rrggbb  or FILE#ID;",
        "@D50/2 after it gives its condition where that is not D65/10 (srgb: is D65/2).",
        "-#ID is a reading of standard input; with --job, NAME#ID one of the job's table NAME.",
        "",
        "Exit codes: 0 done or accepted, 1 rejected, 2 wrong usage, 3 wrong input data,",
        "4 a file or resource failed, 5 measure again"};
    for (size_t i = 0; i < sizeof before / sizeof *before; ++i)
        print_wrapped(before[i], line_width(), 0);
    for (size_t i = 0; cli_all_commands[i]; ++i) {
        char line[160];
        fh_format(line, sizeof line, "  %-10s %s", cli_all_commands[i]->name,
                  cli_all_commands[i]->summary);
        print_wrapped(line, line_width(), 13);
    }
    for (size_t i = 0; i < sizeof after / sizeof *after; ++i)
        print_wrapped(after[i], line_width(), 0);
    return CLI_DONE;
}

static const char *command_name(const void *user, size_t i)
{
    (void)user;
    return cli_all_commands[i] ? cli_all_commands[i]->name : NULL;
}

const cli_command *cli_find_command(const char *name, int *code)
{
    for (size_t i = 0; cli_all_commands[i]; ++i)
        if (strcmp(cli_all_commands[i]->name, name) == 0) return cli_all_commands[i];
    const char *nearest = cli_nearest(name, command_name, NULL);
    if (nearest)
        *code = cli_usage(NULL, "unknown command %s; did you mean %s?", name, nearest);
    else
        *code = cli_usage(NULL, "unknown command %s", name);
    return NULL;
}

int cli_help(int count, char **words)
{
    if (count == 0) return help_all();
    int code = CLI_DONE;
    const cli_command *command = cli_find_command(words[0], &code);
    return command ? help_command(command) : code;
}
