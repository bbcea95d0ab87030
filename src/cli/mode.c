#include "cli/mode.h"

static int refuse(cli_context *cli, const fh_reading *reading, const char *what, const char *why)
{
    const bool holds = fh_method_mode(&reading->method) == FH_SPECULAR_INCLUDED;
    return cli_fail_text(
        cli, FH_E_DATA, "%s was measured with the mirror reflection %s, %s with it %s; %s",
        reading->id, holds ? "included" : "excluded", what, holds ? "excluded" : "included", why);
}

void cli_note_converted(cli_context *cli, const fh_reading *reading, const char *what)
{
    cli_note(cli,
             "%s was read in another specular mode than %s: converted by its 60° gloss of %.0f",
             reading->id, what, reading->method.gloss);
}

int cli_into_mode(cli_context *cli, fh_reading *reading, const fh_method *as, const char *what)
{
    fh_error why = {0};
    if (!fh_methods_clash(&reading->method, as)) return CLI_DONE;
    if (fh_reading_in_mode(reading, as, FH_INDEX_USUAL, reading, &why))
        return refuse(cli, reading, what, why.message);
    cli_note_converted(cli, reading, what);
    return CLI_DONE;
}

int cli_require_mode(cli_context *cli, const fh_reading *look, const fh_method *as,
                     const char *what)
{
    return fh_methods_clash(&look->method, as)
               ? refuse(cli, look, what, "expected one mode for both; measure one of them again")
               : CLI_DONE;
}
