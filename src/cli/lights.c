/* Conditions on the command line. */
#include <string.h>

#include "cli/cli.h"
#include "farhue/lamp_file.h"

int cli_condition(cli_context *cli, const char *what, const char *text, fh_condition *out)
{
    if (fh_condition_parse(text, out) == FH_OK) return CLI_DONE;
    return cli_usage(cli,
                     "%s: %s is not a condition; expected ILLUMINANT/OBSERVER such as D65/10 "
                     "(A, C, D50, D55, D65, D75, F2, F7, F11, LED-B1, LED-B3; 2 or 10)",
                     what, text);
}

int cli_lights(cli_context *cli, fh_condition lights[CLI_LIGHTS], size_t *count)
{
    const char *text = cli_value(cli, "lights");
    size_t n = 0;
    while (text && *text) {
        char one[32];
        const char *comma = strchr(text, ',');
        size_t length = comma ? (size_t)(comma - text) : strlen(text);
        fh_copy_slice(one, sizeof one, fh_slice_trim((fh_slice){text, length}));
        if (n == CLI_LIGHTS)
            return cli_usage(cli, "--lights has more than %d lights", (int)CLI_LIGHTS);
        int code = cli_condition(cli, "--lights", one, &lights[n]);
        if (code) return code;
        for (size_t i = 0; i < n; ++i)
            if (fh_condition_equal(lights[i], lights[n]))
                return cli_usage(cli, "--lights has %s twice", one);
        ++n;
        text += length + (comma ? 1 : 0);
        if (comma && !*text) return cli_usage(cli, "--lights ends in a comma");
    }
    if (cli_value(cli, "lights") && n == 0) return cli_usage(cli, "--lights is empty");
    *count = n;
    return CLI_DONE;
}

int cli_lamp(cli_context *cli, fh_observer observer, fh_weights *out, bool *given)
{
    const char *path = cli_value(cli, "lamp");
    cli_input input;
    fh_tables *tables;
    double power[FH_POWER_COUNT];
    size_t held;
    fh_error error = {0};
    *given = path != NULL;
    if (!path) return CLI_DONE;
    int code = cli_text_input(cli, path, "lamp", &input);
    if (!code) code = cli_tables(cli, &input, &tables);
    if (code) return code;
    if (fh_lamp_read(fh_tables_at(tables, 0), power, &held, &error))
        return cli_fail_input(cli, &input, &error);
    if (fh_weights_from_power(power, observer, out))
        return cli_fail_text(cli, FH_E_DATA, "%s: a lamp without light that the eye sees",
                             input.name);
    if (held)
        cli_note(
            cli,
            "%s: %zu of %d values from 380 to 780 nm lie beyond the file and hold the value at "
            "its end",
            input.name, held, (int)FH_POWER_COUNT);
    return CLI_DONE;
}
