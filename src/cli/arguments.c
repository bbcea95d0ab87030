/* Words of the command line into operands and options. */
#include <string.h>

#include "base/memory.h"
#include "cli/cli.h"

const cli_option cli_common_options[] = {
    {"output", 'o', "FILE", "save the result in FILE ('-': standard output)", false},
    {"job", 0, "FILE", "take what is not named from this job file", false},
    {"condition", 0, "COND", "condition of Lab and XYZ in files that do not say it", false},
    {"unit", 0, "UNIT", "factor or percent: spectra in files that do not say it", false},
    {"family", 0, "TEXT", "the wavelength columns to read, by the text before the number", false},
    {"json", 0, NULL, "report as one JSON object on standard output", false},
    {"patches", 0, NULL, "show colour patches even where the report does not go to a terminal",
     false},
    {0},
};

static const cli_option *find_in(const cli_option *options, fh_slice name, char letter)
{
    for (; options && options->name; ++options)
        if (letter ? options->letter == letter : fh_slice_is(name, options->name)) return options;
    return NULL;
}

static const cli_option *find(const cli_context *cli, fh_slice name, char letter)
{
    const cli_option *own = find_in(cli->command->options, name, letter);
    return own ? own : find_in(cli_common_options, name, letter);
}

/* The option names of a command, its own and then the common ones. */
static const char *option_name(const void *user, size_t i)
{
    const cli_command *command = user;
    for (const cli_option *o = command->options; o && o->name; ++o)
        if (i-- == 0) return o->name;
    for (const cli_option *o = cli_common_options; o->name; ++o)
        if (i-- == 0) return o->name;
    return NULL;
}

static int unknown(cli_context *cli, const char *word, fh_slice name)
{
    char copy[64];
    fh_copy_slice(copy, sizeof copy, name);
    const char *nearest = cli_nearest(copy, option_name, cli->command);
    if (nearest) return cli_usage(cli, "unknown option %s; did you mean --%s?", word, nearest);
    return cli_usage(cli, "unknown option %s", word);
}

static bool given(const cli_context *cli, const cli_option *option)
{
    for (size_t i = 0; i < cli->given_count; ++i)
        if (cli->given[i].option == option) return true;
    return false;
}

/* Does the value come to stand in what the program saves? Readers would refuse it there. */
static bool reaches_a_file(const cli_option *option)
{
    return strcmp(option->value, "ID") == 0 || strcmp(option->value, "TEXT") == 0 ||
           strncmp(option->value, "NAME", 4) == 0;
}

/* Record an option; value is what followed it in the same word, or NULL. Moves *at past a value
 * that is a word of its own. */
static int take(cli_context *cli, const cli_option *option, const char *value, int count,
                char **words, int *at)
{
    const char *word = words[*at];
    if (!option->value && value) return cli_usage(cli, "%s takes no value", word);
    if (!option->many && given(cli, option))
        return cli_usage(cli, "--%s is given twice; expected once", option->name);
    if (option->value && !value) {
        if (*at + 1 >= count)
            return cli_usage(cli, "%s lacks its value; expected --%s %s", word, option->name,
                             option->value);
        value = words[++*at];
    }
    if (value && reaches_a_file(option) && !fh_utf8_is_line(fh_slice_of(value)))
        return cli_usage(cli, "--%s %s: expected one line of plain text in UTF-8", option->name,
                         value);
    cli->given[cli->given_count++] = (cli_given){option, value};
    return CLI_DONE;
}

static int take_long(cli_context *cli, int count, char **words, int *at)
{
    const char *word = words[*at], *equals = strchr(word, '=');
    fh_slice name = {word + 2, equals ? (size_t)(equals - word) - 2 : strlen(word + 2)};
    const cli_option *option = find(cli, name, 0);
    if (!option) return unknown(cli, word, name);
    return take(cli, option, equals ? equals + 1 : NULL, count, words, at);
}

static int take_short(cli_context *cli, int count, char **words, int *at)
{
    const char *word = words[*at];
    const cli_option *option = find(cli, (fh_slice){0}, word[1]);
    if (!option) return unknown(cli, word, fh_slice_of(word + 1));
    return take(cli, option, word[2] ? word + 2 : NULL, count, words, at);
}

static int check_operands(cli_context *cli)
{
    const cli_command *command = cli->command;
    size_t n = cli->operand_count;
    if (n > command->most && command->most == 0)
        return cli_usage(cli, "%s was not expected; %s takes only options", cli->operands[0],
                         command->name);
    if (n > command->most)
        return cli_usage(cli, "%s was not expected; the usage is farhue %s %s",
                         cli->operands[command->most], command->name, command->usage);
    if (n < command->least)
        return cli_usage(cli, "%zu of at least %zu arguments given; the usage is farhue %s %s", n,
                         command->least, command->name, command->usage);
    return CLI_DONE;
}

int cli_parse(cli_context *cli, int count, char **words)
{
    size_t room = (size_t)count + 1;
    cli->operands = cli_keep(cli, fh_allocate(room, sizeof *cli->operands));
    cli->given = cli_keep(cli, fh_allocate(room, sizeof *cli->given));
    if (!cli->operands || !cli->given) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    bool options = true;
    for (int i = 0; i < count; ++i) {
        const char *word = words[i];
        int code = CLI_DONE;
        if (!options || word[0] != '-' || word[1] == '\0' || word[1] == '#') /* -#ID */
            cli->operands[cli->operand_count++] = word;
        else if (strcmp(word, "--") == 0)
            options = false;
        else if (word[1] == '-')
            code = take_long(cli, count, words, &i);
        else
            code = take_short(cli, count, words, &i);
        if (code) return code;
    }
    cli->json = cli_flag(cli, "json");
    return check_operands(cli);
}

const char *cli_value_at(const cli_context *cli, const char *name, size_t index)
{
    for (size_t i = 0; i < cli->given_count; ++i)
        if (strcmp(cli->given[i].option->name, name) == 0 && index-- == 0)
            return cli->given[i].text ? cli->given[i].text : "";
    return NULL;
}

const char *cli_value(const cli_context *cli, const char *name)
{
    return cli_value_at(cli, name, 0);
}

bool cli_flag(const cli_context *cli, const char *name)
{
    return cli_value_at(cli, name, 0) != NULL;
}

int cli_number(cli_context *cli, const char *name, double low, double high, double *out)
{
    const char *text = cli_value(cli, name);
    double value;
    if (!text) return CLI_DONE;
    if (!fh_parse_number(fh_slice_of(text), &value)) {
        if (strchr(text, ','))
            return cli_usage(cli, "--%s %s is not a number; write a decimal point", name, text);
        return cli_usage(cli, "--%s %s is not a number", name, text);
    }
    if (value < low || value > high)
        return cli_usage(cli, "--%s %s is out of range; expected %g to %g", name, text, low, high);
    *out = value;
    return CLI_DONE;
}

int cli_whole(cli_context *cli, const char *name, long low, long high, long *out)
{
    const char *text = cli_value(cli, name);
    long value;
    if (!text) return CLI_DONE;
    if (!fh_parse_integer(fh_slice_of(text), &value))
        return cli_usage(cli, "--%s %s is not a whole number", name, text);
    if (value < low || value > high)
        return cli_usage(cli, "--%s %s is out of range; expected %ld to %ld", name, text, low,
                         high);
    *out = value;
    return CLI_DONE;
}
