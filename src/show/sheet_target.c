/* Head, target, figures and drawings of the sheet. */
#include "farhue/names.h"
#include "farhue/words.h"

#include "show/sheet_parts.h"

void fh_sheet_patch(fh_markup *m, fh_lab lab, const char *label)
{
    char hex[FH_HEX];
    fh_hex_of_lab(lab, hex, NULL);
    fh_putf(m,
            "<svg viewBox=\"0 0 10 10\" preserveAspectRatio=\"none\" role=\"img\" "
            "aria-label=\"%s\"><rect width=\"10\" height=\"10\" fill=\"%s\"/></svg>",
            label, hex);
}

static void put_meta(fh_markup *m, const char *what, const char *value)
{
    if (!value || !value[0]) return;
    fh_putf(m, "<span>%s ", what);
    fh_put_text(m, value);
    fh_put(m, "</span>");
}

void fh_sheet_head(fh_markup *m, const fh_sheet_work *work)
{
    const fh_spec *spec = work->spec;
    fh_put(m, "<header><h1>");
    fh_put_text(m, spec->title[0] ? spec->title : "A colour to match");
    fh_put(m, "</h1><p class=\"meta\">");
    put_meta(m, "asked for by", spec->owner);
    put_meta(m, "written", spec->created);
    put_meta(m, "needed by", spec->deadline);
    put_meta(m, "check code of the spec file", spec->code);
    fh_put(m, "</p></header>\n");
}

/* The look behind the shell under a light of the target; bare where there is no shell. */
static fh_lab seen_under(const fh_sheet_work *work, const fh_weights *light)
{
    fh_spectrum look = work->reflectance;
    if (work->spec->shell) look = fh_shell_look(&work->spec->shell->curves, &look);
    return fh_lab_of_spectrum(&look, light);
}

static void put_figure(fh_markup *m, fh_lab lab, const char *caption)
{
    bool inside;
    char hex[FH_HEX];
    fh_hex_of_lab(lab, hex, &inside);
    fh_put(m, "<figure>");
    fh_sheet_patch(m, lab, caption);
    fh_putf(m, "<figcaption>%s%s</figcaption></figure>", caption,
            inside ? "" : " (outside what a screen can show)");
}

/* A figure with a true minus sign. */
static void put_axis(fh_markup *m, const char *axis, double value)
{
    fh_putf(m, "%s %s%.1f", axis, value < -0.05 ? "\xe2\x88\x92" : "", value < 0 ? -value : value);
}

void fh_sheet_target(fh_markup *m, const fh_sheet_work *work)
{
    const fh_spec *spec = work->spec;
    char condition[FH_CONDITION_TEXT];
    fh_condition_text(spec->condition, condition);
    fh_put(m, "<section><div class=\"stage\">");
    put_figure(m, work->bare,
               spec->aimed ? "the target, bare (worked back from the look)"
                           : "the target, bare: match this");
    if (spec->shell)
        put_figure(m, seen_under(work, &work->target.light[0]), "how it looks behind the shell");
    fh_put(m, "</div><p class=\"figures\">");
    put_axis(m, "L*", work->bare.L);
    put_axis(m, " &nbsp; a*", work->bare.a);
    put_axis(m, " &nbsp; b*", work->bare.b);
    fh_putf(m,
            "</p><p class=\"small\">of the bare part, %s; illuminant and observer %s. This sheet "
            "and your "
            "screen are no colour reference: measure.</p>",
            spec->aimed       ? "worked back from a look"
            : work->estimated ? "from L*a*b* readings"
                              : "from a reflectance curve",
            condition);
    fh_colour_name name;
    if (!fh_names_of_reading(&spec->part, &name, 1, NULL, NULL))
        fh_putf(m,
                "<p>In plain words: <strong>%s</strong> (ISCC\xe2\x80\x93NBS; a name covers "
                "hundreds of "
                "shades).</p>",
                name.name);
    fh_put(m, "</section>\n");
}

void fh_sheet_figures(fh_markup *m, const fh_sheet_work *work)
{
    const fh_spec *spec = work->spec;
    char sentence[FH_SENTENCE];
    fh_tolerance_sentence(&spec->told, spec->shell != NULL, sentence);
    fh_put(m, "<section><h2>How close it must be</h2><p class=\"lead\">");
    fh_put_text(m, sentence);
    fh_putf(
        m,
        "</p><p>It must be right within \xce\x94"
        "E00 %.1f %s, under each of these lights:</p>"
        "<div class=\"wide\"><table><thead><tr><th>Light</th><th>bare</th>%s</tr></thead><tbody>",
        spec->tolerance, spec->shell ? "as seen through the shell" : "as measured",
        spec->shell ? "<th>behind the shell</th>" : "");
    for (size_t i = 0; i < work->target.light_count; i++) {
        const fh_weights *light = &work->target.light[i];
        char condition[FH_CONDITION_TEXT];
        fh_condition_text(light->condition, condition);
        fh_putf(m, "<tr><th scope=\"row\">%s <span class=\"small\">%s</span></th><td>",
                fh_words_of_light(light->condition.illuminant), condition);
        fh_sheet_patch(m, fh_lab_of_spectrum(&work->reflectance, light), "bare");
        if (spec->shell) {
            fh_put(m, "</td><td>");
            fh_sheet_patch(m, seen_under(work, light), "behind the shell");
        }
        fh_put(m, "</td></tr>");
    }
    fh_put(m, "</tbody></table></div>");
    if (work->extra->spoken) {
        fh_put(m,
               "<div class=\"box\"><p><strong>To read out by phone</strong></p><p class=\"code\">");
        fh_put_text(m, work->extra->spoken);
        fh_put(m, "</p><p class=\"small\">");
        fh_put_text(m, work->extra->spoken_words);
        fh_put(m, "</p><p class=\"small\">");
        fh_put_text(m, work->extra->spoken_note);
        fh_put(m, "</p></div>");
    }
    fh_put(m, "</section>\n");
}
