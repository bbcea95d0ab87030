/* Errors, notes and progress on stderr. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/memory.h"
#include "cli/cli.h"
#include "cli/terminal.h"

enum { MESSAGE = 2048 };

static const char *name_of(const cli_context *cli)
{
    return cli && cli->command ? cli->command->name : "";
}

void cli_clear_progress(cli_context *cli)
{
    if (cli && cli->progress_shown > 0) fputs("\r\033[K", stderr);
    if (cli) cli->progress_shown = -1;
}

/* One line on stderr, whatever a file name in it holds. */
static void complain(cli_context *cli, const char *kind, const char *text)
{
    fh_buffer visible = {0};
    cli_add_visible(&visible, fh_slice_of(text), false);
    cli_clear_progress(cli);
    fh_buffer line = {0}, shown = {0};
    fh_buffer_format(&line, "farhue%s%s: %s", *name_of(cli) ? " " : "", name_of(cli), kind);
    fh_buffer_text(&line, visible.failed ? "out of memory" : visible.text ? visible.text : "");
    const size_t width = cli_terminal_columns(STDERR_FILENO);
    if (width && !line.failed) cli_wrap((fh_slice){line.text, line.length}, width, 2, &shown);
    const bool wrapped = width && !shown.failed && shown.text;
    fprintf(stderr, "%s\n",
            wrapped       ? shown.text
            : line.failed ? "farhue: out of memory"
                          : line.text);
    fh_buffer_free(&visible);
    fh_buffer_free(&line);
    fh_buffer_free(&shown);
}

int cli_usage(cli_context *cli, const char *format, ...)
{
    char text[MESSAGE];
    va_list arguments;
    va_start(arguments, format);
    fh_format_list(text, sizeof text, format, arguments);
    va_end(arguments);
    complain(cli, "", text);
    fprintf(stderr, "Try: farhue help%s%s\n", *name_of(cli) ? " " : "", name_of(cli));
    return CLI_USAGE;
}

int cli_exit_code(fh_status status)
{
    switch (status) {
    case FH_OK:
        return CLI_DONE;
    case FH_E_ARGUMENT:
        return CLI_USAGE;
    case FH_E_DATA:
    case FH_E_IMPOSSIBLE:
    case FH_E_LIMIT:
        return CLI_DATA;
    case FH_E_MEMORY:
    case FH_E_IO:
    case FH_E_STOPPED:
        return CLI_IO;
    }
    return CLI_IO;
}

int cli_fail(cli_context *cli, const fh_error *error)
{
    char text[MESSAGE];
    size_t used = 0;
    if (error->file[0]) used += fh_format(text, sizeof text, "%s:", error->file);
    if (error->line) used += fh_format(text + used, sizeof text - used, "%zu:", error->line);
    if (error->line && error->column)
        used += fh_format(text + used, sizeof text - used, "%zu:", error->column);
    const char *message = error->message[0] ? error->message : fh_status_text(error->status);
    fh_format(text + used, sizeof text - used, "%s%s", used ? " " : "", message);
    complain(cli, "", text);
    return cli_exit_code(error->status);
}

int cli_fail_text(cli_context *cli, fh_status status, const char *format, ...)
{
    char text[MESSAGE];
    va_list arguments;
    va_start(arguments, format);
    fh_format_list(text, sizeof text, format, arguments);
    va_end(arguments);
    complain(cli, "", text);
    return cli_exit_code(status);
}

void cli_note(cli_context *cli, const char *format, ...)
{
    char text[MESSAGE];
    va_list arguments;
    va_start(arguments, format);
    fh_format_list(text, sizeof text, format, arguments);
    va_end(arguments);
    json_t *note = cli_json_string(text);
    bool said = false;
    for (size_t i = 0; i < json_array_size(cli->notes); ++i)
        said = said || json_equal(json_array_get(cli->notes, i), note);
    if (!said) json_array_append(cli->notes, note);
    json_decref(note);
    if (!said && !cli->json) complain(cli, "note: ", text);
}

bool cli_show_progress(void *context, double done)
{
    cli_context *cli = context;
    if (!isatty(STDERR_FILENO)) return true;
    if (cli->progress_shown >= 0 && done < cli->progress_shown + 0.01) return true;
    cli->progress_shown = done;
    char text[64];
    fh_format(text, sizeof text, "\r%3.0f %%", 100 * done);
    fputs(done >= 1 ? "\r\033[K" : text, stderr);
    fflush(stderr);
    return true;
}

struct cli_kept {
    void *block;
    void (*release)(void *block);
};

void *cli_keep_with(cli_context *cli, void *block, void (*release)(void *block))
{
    if (!block) return NULL;
    if (fh_reserve(&cli->kept, &cli->kept_capacity, cli->kept_count + 1, sizeof *cli->kept)) {
        release(block);
        return NULL;
    }
    cli->kept[cli->kept_count++] = (struct cli_kept){block, release};
    return block;
}

void *cli_keep(cli_context *cli, void *block)
{
    return cli_keep_with(cli, block, fh_free);
}

void cli_release(cli_context *cli)
{
    while (cli->kept_count) {
        struct cli_kept *last = &cli->kept[--cli->kept_count];
        last->release(last->block);
    }
    fh_free(cli->kept);
    for (size_t i = 0; i < cli->input_count; ++i) fh_file_free(&cli->inputs[i]);
    fh_free(cli->inputs);
    fh_buffer_free(&cli->text);
    json_decref(cli->root);
    json_decref(cli->notes);
}
