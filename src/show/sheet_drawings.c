/* The drawings of the sheet: stack, chromaticity, lightness, curve; and the candidates. */
#include <math.h>

#include "farhue/diagram.h"
#include "farhue/words.h"

#include "base/text.h"
#include "show/sheet_parts.h"

enum { CONTOUR = 72, MARKED = 9 };

static fh_lab under_default(const fh_spectrum *spectrum)
{
    fh_weights weights = fh_weights_of(fh_condition_default());
    return fh_lab_of_spectrum(spectrum, &weights);
}

/* A drawing of its own function; a status of its own counts as the writer's. */
static void note_status(fh_markup *m, fh_status status)
{
    if (!m->status) m->status = status;
}

static void put_section(fh_markup *m, const fh_sheet_work *work)
{
    const fh_spec *spec = work->spec;
    if (!spec->shell) return;
    fh_spectrum white = fh_spectrum_flat(0.9);
    fh_spectrum over = fh_shell_look(&spec->shell->curves, &white);
    fh_spectrum look = fh_shell_look(&spec->shell->curves, &work->reflectance);
    fh_section section = {fh_spec_shell_mm(spec), fh_spec_gap_mm(spec),
                          under_default(&over),   under_default(&work->reflectance),
                          under_default(&look),   "inner part: to be made"};
    fh_put(m, "<h2>The stack</h2><div class=\"drawing\">");
    note_status(m, m->status ? m->status : fh_diagram_section(m->sink, &section));
    fh_put(m, "</div>");
}

/* Target and candidates as marks, target first; returns their number. left_out: there are more. */
static size_t collect_marks(const fh_sheet_work *work, fh_mark marks[MARKED + 1],
                            char labels[MARKED][4], bool *left_out)
{
    size_t count = 1;
    marks[0] = (fh_mark){FH_MARK_TARGET, work->bare, "target"};
    *left_out = false;
    for (size_t i = 0; i < work->extra->count; i++) {
        const fh_ranked *place = &work->extra->places[i];
        if (!place->judged) continue;
        *left_out = count > MARKED;
        if (*left_out) break;
        fh_format(labels[count - 1], sizeof labels[0], "%zu", i + 1);
        marks[count] =
            (fh_mark){FH_MARK_CANDIDATE, place->verdict.bare.candidate, labels[count - 1]};
        count++;
    }
    return count;
}

static void put_diagrams(fh_markup *m, const fh_sheet_work *work)
{
    fh_mark marks[MARKED + 1];
    char labels[MARKED][4];
    fh_lab contour[CONTOUR];
    fh_vec3 offsets[CONTOUR], ends[4];
    const fh_vec3 L = {{1, 0, 0}}, a = {{0, 1, 0}}, b = {{0, 0, 1}};
    bool left_out;
    size_t count = collect_marks(work, marks, labels, &left_out);
    bool outlined = !fh_tolerance_contour(&work->target, a, b, CONTOUR, offsets, NULL, NULL) &&
                    !fh_tolerance_contour(&work->target, L, a, 4, ends, NULL, NULL);
    for (size_t i = 0; outlined && i < CONTOUR; i++)
        contour[i] =
            (fh_lab){work->bare.L, work->bare.a + offsets[i].v[1], work->bare.b + offsets[i].v[2]};
    fh_put(m, "<h2>Where it lies, bare</h2><p class=\"small\">Inside the dashed outline a part of "
              "that colour is right; the outline is drawn at the target's own lightness.</p>"
              "<div class=\"diagrams\">");
    note_status(m, m->status
                       ? m->status
                       : fh_diagram_chroma(m->sink, marks, count, contour, outlined ? CONTOUR : 0));
    note_status(m, m->status ? m->status
                             : fh_diagram_lightness(m->sink, marks, count,
                                                    outlined ? work->bare.L + ends[2].v[0] : 1,
                                                    outlined ? work->bare.L + ends[0].v[0] : 0));
    fh_put(m, "</div>");
}

static void put_curves(fh_markup *m, const fh_sheet_work *work)
{
    fh_curve curves[FH_CURVES_MAX];
    size_t count = 0;
    curves[count++] = (fh_curve){work->reflectance, "target, bare", work->estimated};
    for (size_t i = 0; i < work->extra->count && count < 4; i++) {
        const fh_reading *candidate = &work->extra->candidates[work->extra->places[i].index];
        if (candidate->origin != FH_ORIGIN_SPECTRUM) continue;
        curves[count++] = (fh_curve){candidate->reflectance,
                                     candidate->name[0] ? candidate->name : candidate->id, false};
    }
    fh_put(m, "<h2>Reflectance</h2><div class=\"drawing\">");
    note_status(m, m->status ? m->status : fh_diagram_curves(m->sink, curves, count));
    fh_put(m, "</div>");
}

void fh_sheet_drawings(fh_markup *m, const fh_sheet_work *work)
{
    fh_put(m, "<div class=\"beside keep\">");
    if (work->spec->shell) {
        fh_put(m, "<section>");
        put_section(m, work);
        fh_put(m, "</section>");
    }
    fh_put(m, "<section>");
    put_curves(m, work);
    fh_put(m, "</section></div><section class=\"keep\">");
    put_diagrams(m, work);
    fh_put(m, "</section>\n");
}

static const char *verdict_words(const fh_verdict *v)
{
    return v->decision == FH_ACCEPT   ? "\xe2\x9c\x93 fits"
           : v->decision == FH_REJECT ? "\xe2\x9c\x95 does not fit"
                                      : "? open";
}

static void put_candidate(fh_markup *m, const fh_sheet_work *work, size_t place_index)
{
    const fh_ranked *place = &work->extra->places[place_index];
    const fh_reading *candidate = &work->extra->candidates[place->index];
    fh_putf(m, "<tr><td>%zu</td><th scope=\"row\">", place_index + 1);
    fh_put_text(m, candidate->name[0] ? candidate->name : candidate->id);
    if (!place->judged) {
        fh_putf(m, "</th><td colspan=\"%zu\">not comparable: ", work->target.light_count + 2);
        fh_put_text(m, place->why);
        fh_put(m, "</td></tr>");
        return;
    }
    const fh_verdict *v = &place->verdict;
    fh_put(m, "</th><td data-of=\"bare\"><span class=\"pair\">");
    fh_sheet_patch(m, v->bare.target, "target, bare");
    fh_sheet_patch(m, v->bare.candidate, "candidate, bare");
    fh_putf(m, "</span>%.1f</td>", v->bare.interval.median);
    for (size_t i = 0; i < v->light_count; i++) {
        fh_putf(m, "<td data-of=\"%s\"><span class=\"pair\">",
                fh_words_of_light(v->seen[i].condition.illuminant));
        fh_sheet_patch(m, v->seen[i].target, "target, seen");
        fh_sheet_patch(m, v->seen[i].candidate, "candidate, seen");
        fh_putf(m, "</span>%.1f <span class=\"small\">%.1f\xe2\x80\x93%.1f</span></td>",
                v->seen[i].interval.median, v->seen[i].interval.low, v->seen[i].interval.high);
    }
    char words[FH_WORDS];
    fh_words_of_difference(v->seen[v->worst].target, v->seen[v->worst].candidate, words);
    fh_putf(m, "<td class=\"said\">%s<br><span class=\"small\">%s%s</span></td></tr>",
            verdict_words(v), words, v->lamp_fails ? "; by daylight only" : "");
}

void fh_sheet_candidates(fh_markup *m, const fh_sheet_work *work)
{
    if (!work->extra->count) return;
    fh_put(
        m,
        "<section><h2>Candidates</h2><div class=\"wide\"><table class=\"ranked\"><caption>\xce\x94"
        "E00 to the target: "
        "bare, and as seen under each light with the range of 95 % chance. Left of each pair is "
        "the target.</caption><thead><tr><th></th><th>candidate</th><th>bare</th>");
    for (size_t i = 0; i < work->target.light_count; i++)
        fh_putf(m, "<th>%s</th>", fh_words_of_light(work->target.light[i].condition.illuminant));
    fh_put(m, "<th>verdict</th></tr></thead><tbody>");
    for (size_t i = 0; i < work->extra->count && i < 20; i++) put_candidate(m, work, i);
    fh_put(m, "</tbody></table></div>");
    if (work->extra->count > 20)
        fh_putf(m, "<p class=\"small\">%zu more are left out; the best come first.</p>",
                work->extra->count - 20);
    fh_put(m, "</section>\n");
}
