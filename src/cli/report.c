/* The report: text or one JSON object, to the terminal or to a file. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "cli/cli.h"
#include "cli/terminal.h"

/* Figures of a JSON number: more than any measurement carries, and no 2.0499999999999998. */
enum { DIGITS = 12 };

void cli_print(cli_context *cli, const char *format, ...)
{
    char piece[1024];
    va_list arguments;
    va_start(arguments, format);
    size_t length = fh_format_list(piece, sizeof piece, format, arguments);
    va_end(arguments);
    cli_add_visible(&cli->text, (fh_slice){piece, length}, true);
}

void cli_put(cli_context *cli, const char *text)
{
    fh_buffer_text(&cli->text, text);
}

static json_t *number(cli_context *cli, const char *key, double value)
{
    if (fabs(value) < 1e-12) return json_integer(0); /* what rounding leaves of a zero */
    if (fabs(value) < 1e15 && floor(value) == value) return json_integer((json_int_t)value);
    if (isfinite(value)) return json_real(value);
    cli_note(cli, "%s has no value here", key);
    return json_null();
}

void cli_json_number(cli_context *cli, json_t *object, const char *key, double value)
{
    if (object) json_object_set_new(object, key, number(cli, key, value));
}

void cli_json_text(json_t *object, const char *key, const char *text)
{
    if (object) json_object_set_new(object, key, cli_json_string(text));
}

void cli_json_bool(json_t *object, const char *key, bool value)
{
    if (object) json_object_set_new(object, key, json_boolean(value));
}

void cli_json_numbers(cli_context *cli, json_t *object, const char *key, const double *values,
                      size_t count)
{
    json_t *array = cli_json_array(object, key);
    for (size_t i = 0; array && i < count; ++i)
        json_array_append_new(array, number(cli, key, values[i]));
}

void cli_json_lab(cli_context *cli, json_t *object, const char *key, fh_lab lab)
{
    const double values[3] = {lab.L, lab.a, lab.b};
    cli_json_numbers(cli, object, key, values, 3);
}

void cli_json_condition(json_t *object, const char *key, fh_condition condition)
{
    char text[FH_CONDITION_TEXT];
    fh_condition_text(condition, text);
    cli_json_text(object, key, text);
}

json_t *cli_json_object(json_t *object, const char *key)
{
    if (!object) return NULL;
    json_object_set_new(object, key, json_object());
    return json_object_get(object, key);
}

json_t *cli_json_array(json_t *object, const char *key)
{
    if (!object) return NULL;
    json_object_set_new(object, key, json_array());
    return json_object_get(object, key);
}

json_t *cli_json_append(json_t *array)
{
    if (!array) return NULL;
    json_array_append_new(array, json_object());
    return json_array_get(array, json_array_size(array) - 1);
}

/* The report's bytes in cli->text. */
static bool make_report(cli_context *cli)
{
    if (!cli->json) return !cli->text.failed;
    json_object_set(cli->root, "notes", cli->notes);
    char *dump = json_dumps(cli->root, JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS));
    if (!dump) return false;
    cli->text.length = 0;
    cli_add_json(&cli->text, dump);
    cli_put(cli, "\n");
    free(dump);
    return !cli->text.failed;
}

/* The report as a terminal shows it: long lines are broken between words. Tables fit already; a
 * line with colour codes is one of theirs. */
static void fill(fh_buffer *text, size_t width)
{
    fh_buffer out = {0};
    for (const char *at = text->text, *end = at + text->length; at < end;) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        fh_slice line = {at, (size_t)((stop ? stop : end) - at)};
        if (line.length > width && !memchr(line.start, '\x1b', line.length))
            cli_wrap(line, width, CLI_HANGING, &out);
        else
            fh_buffer_add(&out, line);
        if (stop) fh_buffer_text(&out, "\n");
        at += line.length + (stop ? 1 : 0);
    }
    fh_buffer_free(text);
    *text = out;
}

static int write_report(cli_context *cli)
{
    const char *path = cli->product ? NULL : cli_value(cli, "output");
    if (cli->text.length == 0) return CLI_DONE;
    if (cli->width && !cli->json) fill(&cli->text, cli->width);
    if (cli->text.failed) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (path) return cli_write(cli, path, cli->text.text, cli->text.length);
    if (fwrite(cli->text.text, 1, cli->text.length, cli->report) != cli->text.length ||
        fflush(cli->report))
        return cli_fail_text(cli, FH_E_IO, "the report could not be written");
    return CLI_DONE;
}

void cli_put_cautions(cli_context *cli, const fh_caution *wanted, size_t count)
{
    json_t *list = cli->json ? cli_json_array(cli->root, "cautions") : NULL;
    if (!list) cli_put(cli, "\n");
    for (size_t i = 0; i < count; ++i) {
        const char *text = fh_caution_text(wanted[i]);
        if (list)
            json_array_append_new(list, json_string(text));
        else
            cli_print(cli, "%s: %s\n", fh_caution_title(wanted[i]), text);
    }
}

void cli_put_painting_cautions(cli_context *cli)
{
    static const fh_caution wanted[] = {FH_CAUTION_PAINTING, FH_CAUTION_SANDING,
                                        FH_CAUTION_SOLVENTS, FH_CAUTION_SHEET};
    cli_put_cautions(cli, wanted, sizeof wanted / sizeof *wanted);
}

int cli_finish(cli_context *cli, int code)
{
    cli_clear_progress(cli);
    bool answered =
        cli->report_anyway || code == CLI_DONE || code == CLI_REJECTED || code == CLI_AGAIN;
    if (!answered) return code;
    if (!make_report(cli)) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int written = write_report(cli);
    return written ? written : code;
}
