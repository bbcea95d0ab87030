/* `farhue help` and `farhue help COMMAND`. */
#include <stdio.h>
#include <string.h>

#include "cli/commands.h"

#define CLI_ROW(name) &cli_##name,
const cli_command *const cli_all_commands[] = {CLI_COMMANDS(CLI_ROW) NULL};
#undef CLI_ROW

enum { WIDTH = 80, INDENT = 29 };

/* Words from column `at` on, broken before WIDTH; further lines are indented. Ends the line. */
static void print_wrapped(fh_slice text, size_t at, size_t indent)
{
    const char *word = text.start, *end = text.start + text.length;
    size_t column = at;
    while (word < end) {
        const char *space = memchr(word, ' ', (size_t)(end - word));
        size_t length = (size_t)((space ? space : end) - word), columns = 0;
        for (size_t i = 0; i < length; ++i) columns += (word[i] & 0xC0) != 0x80; /* UTF-8 */
        if (column > at && column + 1 + columns > WIDTH) {
            printf("\n%*s", (int)indent, "");
            column = at = indent;
        } else if (column > at) {
            putchar(' ');
            ++column;
        }
        printf("%.*s", (int)length, word);
        column += columns;
        word += length + (space ? 1 : 0);
    }
    putchar('\n');
}

static void print_options(const char *title, const cli_option *options)
{
    if (!options || !options->name) return;
    printf("\n%s\n", title);
    for (; options->name; ++options) {
        char left[64], help[512];
        size_t n = 0;
        if (options->letter) n += fh_format(left, sizeof left, "-%c, ", options->letter);
        fh_format(left + n, sizeof left - n, "--%s%s%s", options->name, options->value ? " " : "",
                  options->value ? options->value : "");
        fh_format(help, sizeof help, "%s%s", options->help,
                  options->many ? " (may be repeated)" : "");
        bool fits = strlen(left) < INDENT - 2;
        if (fits)
            printf("  %-26s ", left);
        else
            printf("  %s\n%*s", left, INDENT, "");
        print_wrapped(fh_slice_of(help), INDENT, INDENT);
    }
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
            if (n) print_wrapped((fh_slice){paragraph, n}, 0, 0);
            n = 0;
            if (*text) printf("%.*s\n", (int)length, text);
        }
        text += length;
        end = !*text || !text[1];
        if (end && n) print_wrapped((fh_slice){paragraph, n}, 0, 0);
    }
}

static int help_command(const cli_command *command)
{
    printf("farhue %s: %s\n\n", command->name, command->summary);
    printf("  farhue %s %s%s[options]\n", command->name, command->usage,
           *command->usage ? " " : "");
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
    puts("farhue: the colour of a part behind a translucent shell, as numbers to act on\n\n"
         "  farhue COMMAND [options] [files]\n"
         "  farhue help COMMAND\n\n"
         "Commands, in the order of the job");
    for (size_t i = 0; cli_all_commands[i]; ++i)
        printf("  %-10s %s\n", cli_all_commands[i]->name, cli_all_commands[i]->summary);
    puts("\nA colour is lab:L,a,b  lch:L,C,h  xyz:X,Y,Z (percent)  srgb:rrggbb  or FILE#ID;\n"
         "@D50/2 after it gives its condition where that is not D65/10 (srgb: is D65/2).\n\n"
         "Exit codes: 0 done or accepted, 1 rejected, 2 wrong usage, 3 wrong input data,\n"
         "4 a file or resource failed, 5 measure again");
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
