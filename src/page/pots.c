#include "page/pots.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "page/door.h"

enum { TYPED = 240 };

/* As it was typed, with points for commas that stand between digits. */
static void with_points(const char *text, char out[TYPED])
{
    fh_copy_text(out, TYPED, text);
    for (char *at = out; *at; at++)
        if (*at == ',' && at > out && at[-1] >= '0' && at[-1] <= '9' && at[1] >= '0' &&
            at[1] <= '9')
            *at = '.';
}

fh_status pots_number(const char *text, const char *what, double low, double high, double *out,
                      fh_error *error)
{
    char typed[TYPED];
    double value;
    if (!text[0]) return FH_OK;
    with_points(text, typed);
    if (!fh_parse_number(fh_slice_trim(fh_slice_of(typed)), &value) || !(value >= low) ||
        !(value <= high))
        return fh_fail(error, FH_E_DATA, "The %s is \"%.20s\"; expected a number from %g to %g.",
                       what, text, low, high);
    *out = value;
    return FH_OK;
}

fh_status pots_quantity(const char *text, const char *usual, fh_quantity *out, fh_error *error)
{
    char typed[TYPED];
    with_points(text[0] ? text : usual, typed);
    return fh_quantity_parse(typed, strlen(typed), out, error);
}

fh_status pots_fit(page_desk *desk, const fh_paints **out, fh_error *error)
{
    const desk_state *job = &desk->now;
    if (!job->paints.length)
        return fh_fail(error, FH_E_DATA, "There are no pots yet; open a file of them.");
    if (desk->pots_mark != job->paints_mark) {
        fh_paints paints = {0};
        fh_status status = fh_paints_read(job->paints.bytes, job->paints.length, NULL, &paints,
                                          page_progress, NULL, error);
        if (status) return status;
        fh_paints_free(&desk->pots);
        desk->pots = paints;
        desk->pots_mark = job->paints_mark;
    }
    *out = &desk->pots;
    return FH_OK;
}

static fh_status read_wishes(const desk_painting *p, page_pots *pots, fh_error *error)
{
    pots->wish = (fh_finish){.gloss = -1.0};
    fh_status status =
        pots_number(p->clear, "index of the clear coat", 1.2, 2.0, &pots->wish.index, error);
    if (!status) status = pots_number(p->gloss, "gloss", 0.0, 100.0, &pots->wish.gloss, error);
    return status ? status : pots_quantity(p->least, "0.1ml", &pots->least, error);
}

fh_status pots_open(page_desk *desk, page_pots *out, fh_error *error)
{
    const desk_state *job = &desk->now;
    *out = (page_pots){.has_plain = false};
    fh_status status = read_wishes(&job->settings.paint, out, error);
    if (!status) status = stack_of(job, &out->stack, error);
    if (status) return status;
    status = pots_fit(desk, &out->paints, error);
    if (status) pots_close(out);
    return status;
}

fh_status pots_face(page_pots *pots, fh_error *error)
{
    const fh_method way = fh_target_way(&pots->stack.target);
    fh_status status =
        fh_paints_look_of(pots->paints, &pots->wish, &way, "the target", &pots->look, error);
    pots->has_plain = !status && fh_paints_look_of(pots->paints, NULL, &way, "the target",
                                                   &pots->plain, NULL) == FH_OK;
    return status;
}

void pots_close(page_pots *pots)
{
    stack_free(&pots->stack);
}

bool pots_finished(const page_pots *pots)
{
    return pots->wish.index > 0.0 || pots->wish.gloss >= 0.0;
}

void pots_write_amounts(page_json *j, const fh_paints *p, const size_t *paint, const double *ml,
                        size_t count)
{
    double total = 0.0;
    for (size_t i = 0; i < count; i++) total += ml[i];
    json_number(j, "ml", total);
    json_open(j, "amounts", '[');
    for (size_t i = 0; i < count; i++) {
        const fh_paint *one = &p->paints[paint[i]];
        if (!(ml[i] > 0.0)) continue;
        json_open(j, NULL, '{');
        json_text(j, "id", one->id);
        json_text(j, "name", one->name[0] ? one->name : one->id);
        json_number(j, "percent", 100.0 * ml[i] / total);
        json_number(j, "ml", ml[i]);
        json_number(j, "g", one->density > 0.0 ? ml[i] * one->density : (double)NAN);
        json_number(j, "drops", one->drop > 0.0 ? ml[i] / one->drop : (double)NAN);
        json_close(j, '}');
    }
    json_close(j, ']');
}
