#include "cli/mode.h"

bool cli_modes_differ(const fh_method *a, const fh_method *b)
{
    const fh_specular one = fh_method_mode(a), other = fh_method_mode(b);
    return one != FH_SPECULAR_UNKNOWN && other != FH_SPECULAR_UNKNOWN && one != other;
}

static int refuse(cli_context *cli, const fh_reading *reading, const char *what, const char *why)
{
    const bool holds = fh_method_mode(&reading->method) == FH_SPECULAR_INCLUDED;
    return cli_fail_text(
        cli, FH_E_DATA, "%s was measured with the mirror reflection %s, %s with it %s; %s",
        reading->id, holds ? "included" : "excluded", what, holds ? "excluded" : "included", why);
}

int cli_into_mode(cli_context *cli, fh_reading *reading, const fh_method *as, const char *what)
{
    fh_error why = {0};
    if (!cli_modes_differ(&reading->method, as)) return CLI_DONE;
    if (fh_reading_in_mode(reading, as, FH_INDEX_USUAL, reading, &why))
        return refuse(cli, reading, what, why.message);
    cli_note(cli,
             "%s was read in another specular mode than %s: converted by its 60° gloss of %.0f",
             reading->id, what, reading->method.gloss);
    return CLI_DONE;
}

int cli_require_mode(cli_context *cli, const fh_reading *look, const fh_method *as,
                     const char *what)
{
    return cli_modes_differ(&look->method, as)
               ? refuse(cli, look, what, "expected one mode for both; measure one of them again")
               : CLI_DONE;
}
