/* The stack cut open, and two colours edge to edge. */
#include <math.h>

#include "farhue/diagram.h"

#include "base/text.h"
#include "show/axis.h"

/* Mid grey for comparing: L* 50, a* = b* = 0, so its screen value is neutral. */
static const char surround[] = "#777777";

static void put_block(fh_markup *m, double x, double y, double width, double height, fh_lab fill)
{
    char hex[FH_HEX];
    fh_hex_of_lab(fill, hex, NULL);
    fh_putf(m, "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\"/>", x, y,
            width, height, isfinite(fill.L) ? hex : "url(#fh-unknown)");
}

/* "shell, 2.5 mm" or "shell, not measured". */
static void put_label(fh_markup *m, double y, const char *what, double mm)
{
    char text[64];
    if (mm >= 0)
        fh_format(text, sizeof text, "%s, %.2g mm", what, mm);
    else
        fh_format(text, sizeof text, "%s, not measured", what);
    fh_svg_line(m, 300, y, 318, y, 0.8);
    fh_svg_text(m, 324, y + 4.5, "start", text);
}

/* The eye above the stack and the way its light goes. */
static void put_eye(fh_markup *m)
{
    fh_put(m, "<g fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.5\">"
              "<path d=\"M34 26q22 -20 44 0q-22 20 -44 0z\"/><circle cx=\"56\" cy=\"26\" r=\"6\"/>"
              "<path d=\"M56 178V42\" stroke-dasharray=\"4 3\"/>"
              "<path d=\"M51 50l5 -8l5 8\"/></g>");
    fh_svg_text(m, 88, 31, "start", "you look from here");
}

fh_status fh_diagram_section(fh_sink sink, const fh_section *section)
{
    fh_markup m = fh_markup_to(sink);
    fh_svg_open(&m, 640, 240, "The stack cut open: shell, gap and inner part, and how it looks");
    fh_put(&m, "<defs><pattern id=\"fh-unknown\" width=\"8\" height=\"8\" "
               "patternUnits=\"userSpaceOnUse\"><path d=\"M0 8L8 0\" stroke=\"#777777\"/>"
               "</pattern></defs>");
    bool gap = !(section->gap_mm == 0); /* drawn closed only when it is known to be none */
    double inner_top = gap ? 138 : 104;
    put_block(&m, 20, 64, 270, 40, section->shell);
    put_block(&m, 20, inner_top, 270, 224 - inner_top, section->inner);
    fh_putf(&m,
            "<path d=\"M20 64h270v40h-270zM20 %.1fh270v%.1fh-270z\" fill=\"none\" "
            "stroke=\"currentColor\"/>",
            inner_top, 224 - inner_top);
    put_eye(&m);
    put_label(&m, 84, "shell", section->shell_mm);
    if (gap) put_label(&m, 121, "air gap", section->gap_mm);
    fh_svg_line(&m, 300, (inner_top + 224) / 2, 318, (inner_top + 224) / 2, 0.8);
    fh_svg_text(&m, 324, (inner_top + 224) / 2 + 4.5, "start",
                section->inner_label ? section->inner_label : "inner part");
    fh_putf(&m, "<rect x=\"508\" y=\"40\" width=\"116\" height=\"160\" fill=\"%s\"/>", surround);
    put_block(&m, 524, 56, 84, 128, section->look);
    fh_svg_text(&m, 566, 222, "middle", "how it looks");
    fh_svg_close(&m);
    return m.status;
}

static void put_half(fh_markup *m, double x, fh_lab lab, const char *label)
{
    bool inside;
    char hex[FH_HEX];
    fh_hex_of_lab(lab, hex, &inside);
    put_block(m, x, 30, 220, 160, lab);
    fh_svg_text(m, x + 110, 244, "middle", label ? label : "");
    if (!inside && isfinite(lab.L))
        fh_svg_text(m, x + 110, 262, "middle", "no screen shows this colour exactly");
}

fh_status fh_diagram_pair(fh_sink sink, fh_lab left, const char *left_label, fh_lab right,
                          const char *right_label)
{
    fh_markup m = fh_markup_to(sink);
    fh_svg_open(&m, 520, 270, "Two colours side by side");
    fh_put(&m, "<defs><pattern id=\"fh-unknown\" width=\"8\" height=\"8\" "
               "patternUnits=\"userSpaceOnUse\"><path d=\"M0 8L8 0\" stroke=\"#fff\"/>"
               "</pattern></defs>");
    fh_putf(&m, "<rect width=\"520\" height=\"220\" fill=\"%s\"/>", surround);
    put_half(&m, 40, left, left_label);
    put_half(&m, 260, right, right_label);
    fh_svg_close(&m);
    return m.status;
}
