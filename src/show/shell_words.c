/* What a shell's fit is worth, in words. The limits from which something is worth saying are common
 * practice without a source, but for the visibility of differences (fh_words_of_size). */
#include "farhue/shell_words.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/text.h"
#include "farhue/words.h"

typedef struct writer {
    fh_sink sink;
    fh_status status;
} writer;

static void say(writer *w, const char *format, ...) FH_PRINTF(2, 3);

static void say(writer *w, const char *format, ...)
{
    char line[768];
    va_list arguments;
    if (w->status) return;
    va_start(arguments, format);
    size_t length = fh_format_list(line, sizeof line - 1, format, arguments);
    va_end(arguments);
    line[length] = '\n';
    w->status = w->sink.write(w->sink.user, line, length + 1);
}

static void say_kind(writer *w, const fh_shell *shell, const fh_shell_report *report)
{
    switch (shell->kind) {
    case FH_SHELL_FITTED:
        say(w,
            "Fitted to %zu backings; no assumption about the plastic is needed where light "
            "passes.",
            report->count);
        break;
    case FH_SHELL_SHEET:
        say(w,
            "Two readings: the plastic's absorption and scattering were fitted by the sheet model "
            "for a refractive index of %.3g. A third backing (a grey) would test it.",
            shell->index);
        break;
    case FH_SHELL_CLEAR:
        say(w,
            "%s: the shell is taken as a clear sheet of refractive index %.3g. If it is hazy or "
            "milky, read it over a second backing.",
            report->count > 1 ? "As asked" : "One reading only", shell->index);
        break;
    case FH_SHELL_GIVEN:
        say(w, "The curves were given without readings; nothing can be said about their error.");
        break;
    }
    if (shell->kind != FH_SHELL_GIVEN && shell->kind != FH_SHELL_FITTED &&
        shell->method.geometry == FH_GEOMETRY_UNKNOWN)
        say(w, "The geometry isn't stated: the sheet is taken as seen by a 45/0 instrument. To a "
               "sphere (8/d) it looks different; MEASUREMENT_GEOMETRY in the file says which.");
    if (shell->estimated)
        say(w, "Some readings are Lab only: their spectra are estimated, and every result carries "
               "the uncertainty of that.");
}

/* As the look that is proved on the page: from 3 on it does not add up. */
bool fh_shell_fit_fails(const fh_shell_report *report)
{
    double worst = 0.0;
    for (size_t s = 0; s < report->count; ++s) worst = fmax(worst, report->dE[s]);
    return worst > 3.0;
}

static void say_fit(writer *w, const fh_shell_report *report, const char *const *names)
{
    double worst = 0.0, left_out = -1.0;
    size_t at = 0, out_at = 0;
    for (size_t s = 0; s < report->count; ++s) {
        if (report->dE[s] > worst) {
            worst = report->dE[s];
            at = s;
        }
        if (report->left_out[s] > left_out) {
            left_out = report->left_out[s];
            out_at = s;
        }
    }
    if (report->count > 0)
        say(w, "The fit meets its readings within ΔE00 %.2f (worst over %s).", worst, names[at]);
    if (worst > 1.0)
        say(w,
            "That is more than reading noise: look again at the readings over %s (gap, "
            "fingerprints, other spot, other instrument setting?).",
            names[at]);
    if (left_out >= 0.0)
        say(w,
            "Left out in turn, each look is predicted from the others; worst over %s: ΔE00 %.2f, "
            "%s.",
            names[out_at], left_out, fh_words_of_size(left_out));
}

/* Runs of hidden bands: "380–430 nm, 700 nm". */
static void say_hidden(writer *w, const fh_shell_report *report)
{
    char list[256] = "";
    size_t used = 0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        if (!report->hidden[i] || (i > 0 && report->hidden[i - 1])) continue;
        size_t last = i;
        while (last + 1 < FH_BANDS && report->hidden[last + 1]) ++last;
        used +=
            fh_format(list + used, sizeof list - used, "%s%.0f", used ? ", " : "", fh_band_nm(i));
        if (last > i) used += fh_format(list + used, sizeof list - used, "–%.0f", fh_band_nm(last));
    }
    if (report->hidden_count == FH_BANDS)
        say(w, "Nothing of the inner part can be seen through this shell.");
    else if (report->hidden_count > 0)
        say(w,
            "At %s nm the inner part can't be seen: differences there don't show, and the look "
            "says nothing about them.",
            list);
}

static void say_share(writer *w, const fh_shell_report *report)
{
    double percent = 100.0 * report->share;
    say(w,
        "Of the light of a mid-grey part behind it, %.0f %% comes from the part, the rest from "
        "the shell itself%s.",
        percent,
        percent < 20.0   ? "; the part's colour matters little"
        : percent > 90.0 ? "; the part's colour is what one sees"
                         : "");
}

/* What curves that miss their own readings say of the shell is worth nothing. */
static void say_failure(writer *w, const fh_shell *shell, const fh_shell_report *report)
{
    say(w,
        "So the fit fails: how much comes from the part, and how much from the shell itself, can't "
        "be told from it%s.",
        shell->kind == FH_SHELL_CLEAR && report->count == 1
            ? ". No clear sheet looks like that: read the shell over a second backing"
            : "");
}

static void say_warnings(writer *w, const fh_shell_report *report, const char *const *names)
{
    for (size_t s = 0; s < report->count; ++s)
        if (report->glowing[s])
            say(w,
                "%s is brightest at 430–450 nm: it glows (optical brightener), and readings over "
                "it depend on the lamp. Use a white that doesn't, such as plumber's tape.",
                names[s]);
    if (report->gap_loss > 0.01)
        say(w,
            "Some looks were read across a gap with an instrument that sits on the shell: it loses "
            "about %.0f %% of the light from behind. Read shell and backing in dry contact; the "
            "gap "
            "makes no difference to the fit.",
            100.0 * report->gap_loss);
    if (report->count > 1 && report->range < 0.3)
        say(w,
            "The backings are alike (only %.2f apart in some band): errors of the readings are "
            "magnified. A blacker black or a whiter white helps most.",
            report->range);
    size_t bounded = 0, poor = 0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        bounded += report->bounded[i] ? 1 : 0;
        poor += report->condition.v[i] > 1e3 ? 1 : 0;
    }
    if (bounded > FH_BANDS / 3)
        say(w,
            "In %zu of %d bands the fit ran into a physical bound (no light is made, none is "
            "negative): readings are off by more than their noise, or a mirror reflection is in "
            "some of them.",
            bounded, (int)FH_BANDS);
    if (poor > 0)
        say(w,
            "In %zu of %d bands the readings hardly tell the shell's own light from that of the "
            "part.",
            poor, (int)FH_BANDS);
    for (size_t s = 0; s < report->count; ++s)
        if (report->model_dE[s] > 2.0) {
            say(w,
                "A plain plastic wall of that refractive index would look ΔE00 %.1f different "
                "over %s: the shell may be structured, painted, or in optical contact.",
                report->model_dE[s], names[s]);
            break;
        }
}

static void say_next(writer *w, const fh_shell_report *report, const char *const *names)
{
    if (report->count == 0 || !(report->sigma_look > 0.0)) return;
    say(w,
        "Reading noise leaves a look uncertain by %.4f in reflectance (mean over the bands, "
        "standard uncertainty).",
        report->sigma_look);
    if (report->next_sigma < 0.8 * report->sigma_look && report->next_like < report->count)
        say(w, "Reading it over %s once more (pooled) would bring that to %.4f.",
            names[report->next_like], report->next_sigma);
    else if (report->next_sigma < 0.8 * report->sigma_look)
        say(w, "A further backing of reflectance about %.2g would bring that to %.4f.",
            report->next_backing, report->next_sigma);
    else
        say(w, "A further backing would hardly help; repeats of these would.");
}

fh_status fh_shell_explain(const fh_shell *shell, const fh_shell_report *report,
                           const char *const *names, fh_sink sink)
{
    writer w = {sink, FH_OK};
    say_kind(&w, shell, report);
    if (shell->kind == FH_SHELL_GIVEN) return w.status;
    say_fit(&w, report, names);
    if (fh_shell_fit_fails(report)) {
        say_failure(&w, shell, report);
        say_warnings(&w, report, names);
        return w.status;
    }
    say_share(&w, report);
    say_hidden(&w, report);
    say_warnings(&w, report, names);
    say_next(&w, report, names);
    return w.status;
}
