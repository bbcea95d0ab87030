/* How the target was measured, and what to do: the texts of the sheet. */
#include <math.h>
#include <string.h>

#include "farhue/cautions.h"

#include "show/sheet_parts.h"

static const char *geometry_words(fh_geometry geometry)
{
    switch (geometry) {
    case FH_GEOMETRY_45_0:
        return "45\xc2\xb0:0\xc2\xb0";
    case FH_GEOMETRY_8_D:
        return "sphere, 8\xc2\xb0:d";
    case FH_GEOMETRY_PHOTO:
        return "photo, camera above, light at about 45\xc2\xb0";
    default:
        return "not stated";
    }
}

/* At 45°:0° no mirror reflection reaches the detector, whether that was stated or not. */
static const char *specular_words(const fh_method *method)
{
    return method->specular == FH_SPECULAR_INCLUDED ? "included"
           : method->specular == FH_SPECULAR_EXCLUDED || method->geometry == FH_GEOMETRY_45_0
               ? "excluded"
               : "not stated";
}

static void put_row(fh_markup *m, const char *what, const char *words)
{
    fh_putf(m, "<tr><th scope=\"row\">%s</th><td>%s</td></tr>", what, words);
}

static void put_length(fh_markup *m, const char *what, double mm)
{
    if (mm >= 0) fh_putf(m, "<tr><th scope=\"row\">%s</th><td>%.3g mm</td></tr>", what, mm);
}

static void put_free_row(fh_markup *m, const char *what, const char *text)
{
    if (!text[0]) return;
    fh_putf(m, "<tr><th scope=\"row\">%s</th><td>", what);
    fh_put_text(m, text);
    fh_put(m, "</td></tr>");
}

/* Where nobody stated how unsure the reading is, a figure of zero would claim that it is exact. */
static void put_uncertainty(fh_markup *m, const fh_reading *part)
{
    const fh_mat3 total = fh_reading_covariance(part);
    if (!fh_reading_is_exact(part))
        fh_putf(m,
                "<tr><th scope=\"row\">Uncertainty, 95 %%</th><td>L* \xc2\xb1 %.1f, "
                "a* \xc2\xb1 %.1f, b* \xc2\xb1 %.1f</td></tr>",
                1.96 * sqrt(total.m[0][0]), 1.96 * sqrt(total.m[1][1]), 1.96 * sqrt(total.m[2][2]));
    else
        put_row(m, "Uncertainty", "not stated; it counts as exact");
}

void fh_sheet_measured(fh_markup *m, const fh_sheet_work *work)
{
    const fh_reading *part = &work->spec->part;
    const fh_method *method = &part->method;
    fh_put(m, "<section><h2>How it was measured</h2><table><tbody>");
    put_free_row(m, "Where", part->name[0] ? part->name : part->id);
    fh_putf(m, "<tr><th scope=\"row\">Readings</th><td>%u</td></tr>", part->repeats);
    put_row(m, "Kind",
            work->spec->aimed                    ? "worked back from the look of the stack"
            : part->origin == FH_ORIGIN_SPECTRUM ? "reflectance curve"
                                                 : "L*a*b* only; the curve is estimated");
    put_row(m, "Geometry", geometry_words(method->geometry));
    put_row(m, "Mirror reflection", specular_words(method));
    put_length(m, "Opening of the instrument", method->port_mm);
    if (method->gloss >= 0)
        fh_putf(m, "<tr><th scope=\"row\">Gloss at 60\xc2\xb0</th><td>%.0f units</td></tr>",
                method->gloss);
    put_length(m, "Thickness", method->thickness_mm);
    put_free_row(m, "Behind it", method->backing);
    put_uncertainty(m, part);
    for (size_t i = 0; i < part->shared_count; i++)
        put_free_row(m, i ? "" : "What it shares", part->shared[i].source);
    put_free_row(m, "Note", part->note);
    fh_put(
        m,
        "</tbody></table><p class=\"small\">Gloss and layer lines change a colour's look: a glossy "
        "or finely layered surface looks deeper than a matt or coarse one of the same paint or "
        "filament. Match them too, or finish the part alike.</p></section>\n");
}

static const char steps[] =
    "<section><h2>Step by step</h2><ol>"
    "<li><strong>Fit and coupon first.</strong> Print the fit test in any filament, and a coupon "
    "in "
    "the candidate's: same wall, infill, layer height and orientation as the part, at least as "
    "large "
    "as the measuring spot and at least as thick. Only then the long print.</li>"
    "<li><strong>Measure it dry and clean</strong>, in four places, along the layer lines and "
    "turned "
    "by 90\xc2\xb0, with the mirror reflection as stated above. If light shines through the "
    "coupon, put "
    "behind it what will be behind the part.</li>"
    "<li><strong>With a phone:</strong> coupon and chart side by side in open shade or under one "
    "lamp "
    "at 45\xc2\xb0, the camera straight above; no flash, no HDR, no night mode; three photos, the "
    "chart "
    "turned half round once. Send pictures as files; a chat shrinks and recolours them.</li>"
    "<li><strong>Check it.</strong> Open the spec file in the page, or run "
    "<code>farhue check coupon.txt --spec spec.txt</code>. It says accept, reject or measure "
    "again.</li>"
    "<li><strong>Reply</strong> with the reply file and the paragraph that comes with it; they say "
    "what they answer. Wait for the answer before the long print if it is anything but accept.</li>"
    "<li><strong>Painting?</strong> Paint the coupon as you will paint the part: same primer, same "
    "number of coats, fully dry, until black and white under it look the "
    "same.</li></ol></section>\n";

static const char by_eye[] =
    "<section><h2>At the end, by eye</h2><ol>"
    "<li>Normal colour vision; two people if possible, who say what they see before they see the "
    "figures.</li>"
    "<li>Old and new behind the same shell, edge to edge, on mid grey, nothing coloured near.</li>"
    "<li>First daylight from a north window or open shade, then the lamp under which the machine "
    "will "
    "stand.</li>"
    "<li>Look for some seconds, rest the eye on grey, swap left and right, look again.</li>"
    "</ol><p class=\"small\">After ISO 3668 and ASTM D1729.</p></section>\n";

static void put_caution(fh_markup *m, const char *title, const char *text)
{
    fh_put(m, "<p>");
    if (title) fh_putf(m, "<strong>%s.</strong> ", title);
    fh_put_text(m, text);
    fh_put(m, "</p>");
}

void fh_sheet_advice(fh_markup *m, const fh_sheet_work *work)
{
    const fh_spec *spec = work->spec;
    fh_put(m, steps);
    fh_put(m, "<div class=\"beside\">");
    fh_put(m, by_eye);
    fh_put(m, "<section><h2>Cautions</h2><div class=\"box\">");
    for (int i = 0; i < FH_CAUTION_COUNT; i++)
        put_caution(m, fh_caution_title((fh_caution)i), fh_caution_text((fh_caution)i));
    for (size_t i = 0; i < spec->caution_count; i++) {
        bool known = false;
        for (int k = 0; k < FH_CAUTION_COUNT; k++)
            known |= strstr(spec->caution[i], fh_caution_text((fh_caution)k)) != NULL;
        if (!known) put_caution(m, NULL, spec->caution[i]);
    }
    fh_put(m, "</div></section></div>\n");
}
