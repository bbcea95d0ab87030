/* What the readings amount to, for showing: the shell, whether it adds up, the target. */
#include <math.h>
#include <string.h>

#include "farhue/aim.h"
#include "farhue/diagram.h"
#include "farhue/estimate.h"
#include "farhue/names.h"
#include "farhue/shell_words.h"
#include "farhue/surface.h"
#include "farhue/words.h"
#include "page/door.h"
#include "page/stack.h"

static fh_lab lab_of(const fh_spectrum *spectrum, fh_condition condition)
{
    fh_weights weights = fh_weights_of(condition);
    return fh_lab_of_spectrum(spectrum, &weights);
}

static double worst_fit(const fh_shell_report *report)
{
    double worst = 0;
    for (size_t i = 0; i < report->count; i++) worst = fmax(worst, report->dE[i]);
    return worst;
}

/* Two or three sentences on a fit. */
static void write_shell_words(page_json *j, const fh_shell *shell, const fh_shell_report *report)
{
    char words[400];
    if (fh_shell_fit_fails(report)) {
        fh_format(words, sizeof words,
                  "The model of the shell misses its readings by \xce\x94"
                  "E00 %.1f, so nothing can be told from it; measure again, the backings and the "
                  "shell on each.",
                  worst_fit(report));
        json_text(j, "words", words);
        return;
    }
    size_t length = fh_format(words, sizeof words,
                              "About %.0f %% of the brightness you see comes from the part behind, "
                              "the rest from the shell itself. The readings and the model of the "
                              "shell agree within \xce\x94"
                              "E00 %.1f. ",
                              100 * fmin(fmax(report->share, 0), 1), worst_fit(report));
    if (report->next_sigma < 0.7 * report->sigma_look)
        fh_format(words + length, sizeof words - length,
                  "A further backing that reflects about %.0f %% would help most.",
                  100 * report->next_backing);
    else if (shell->estimated)
        fh_format(words + length, sizeof words - length,
                  "Curves were estimated from L*a*b*; a curve from a spectrophotometer would tell "
                  "more.");
    json_text(j, "words", words);
}

static void write_shell_warnings(page_json *j, const fh_shell_report *report)
{
    char words[120];
    json_open(j, "warnings", '[');
    if (report->hidden_count) {
        fh_format(words, sizeof words,
                  "In %zu of %d bands of the spectrum the part cannot be seen "
                  "at all through this shell.",
                  report->hidden_count, FH_BANDS);
        json_text(j, NULL, words);
    }
    for (size_t i = 0; i < report->count; i++)
        if (report->glowing[i])
            json_text(j, NULL,
                      "A backing seems to glow (it reflects most at 430 to 450 nm, as paper "
                      "with brightener does); use one that does not.");
    json_close(j, ']');
}

static const fh_reading *last_of(const desk_readings *readings)
{
    return readings->count ? &readings->items[readings->count - 1] : NULL;
}

/* Each measured look beside the one that part and shell predict. */
static void write_proof(page_json *j, const desk_state *job, const fh_shell *shell)
{
    json_open(j, "proof", '[');
    fh_reading part, spectral, look;
    const desk_readings *looks = &job->tray[TRAY_LOOK];
    bool able =
        shell && stack_part(job, &part, NULL) == FH_OK &&
        stack_with_spectrum(&part, &spectral, NULL) == FH_OK &&
        fh_reading_in_mode(&spectral, &shell->method, FH_INDEX_USUAL, &spectral, NULL) == FH_OK;
    fh_weights weights = fh_weights_of(fh_condition_default());
    for (size_t i = 0; able && i < looks->count; i++) {
        if (fh_reading_in_condition(&looks->items[i], &weights, &look, NULL)) continue;
        fh_spectrum predicted = fh_shell_look(&shell->curves, &spectral.reflectance);
        fh_lab lab = fh_lab_of_spectrum(&predicted, &weights);
        double dE = fh_de2000(look.lab, lab);
        fh_text svg = {0};
        json_open(j, NULL, '{');
        json_text(j, "name", look.name[0] ? look.name : look.id);
        json_number(j, "dE00", dE);
        /* Common practice, no source. */
        json_text(j, "words",
                  dE <= 1.5 ? "It adds up."
                  : dE <= 3 ? "It adds up roughly."
                            : "It does not add up; measure again.");
        fh_status status =
            fh_diagram_pair(fh_sink_to_text(&svg), lab, "predicted", look.lab, "measured");
        json_drawing(j, "drawing", &svg, status);
        json_close(j, '}');
    }
    json_close(j, ']');
}

/* The inner colour that the last look asks for, beside the measured one. */
static void write_aim(page_json *j, const desk_state *job, const fh_shell *shell)
{
    const fh_reading *measured = last_of(&job->tray[TRAY_LOOK]);
    fh_aim aim;
    if (!shell || !measured || fh_aim_at(shell, measured, &aim, NULL)) return;
    fh_weights weights = fh_weights_of(fh_condition_default());
    fh_reading inner, part, at;
    if (fh_reading_in_condition(&aim.inner, &weights, &inner, NULL)) return;
    char words[420], lab[FH_LAB_WORDS];
    fh_words_of_lab(inner.lab, lab);
    size_t length = fh_format(words, sizeof words,
                              "From the look alone the inner part would have %s, give or take %.1f",
                              lab, 2 * aim.open);
    if (stack_part(job, &part, NULL) == FH_OK &&
        !fh_reading_in_condition(&part, &weights, &at, NULL))
        length += fh_format(words + length, sizeof words - length,
                            "; the part as measured is \xce\x94"
                            "E00 %.1f away from that",
                            fh_de2000(at.lab, inner.lab));
    fh_format(words + length, sizeof words - length, ".%s",
              aim.possible ? ""
                           : " No part gives this look "
                             "exactly; this is the nearest.");
    json_open(j, "aim", '{');
    json_text(j, "words", words);
    json_bool(j, "usable", job->tray[TRAY_PART].count > 0);
    json_close(j, '}');
}

static void write_section(page_json *j, const desk_state *job, const page_stack *stack,
                          const fh_reading *spectral)
{
    const fh_reading *white = desk_find(&job->tray[TRAY_OVER], "white");
    fh_spectrum look = fh_shell_look(&stack->shell->curves, &spectral->reflectance);
    fh_spectrum paper = fh_spectrum_flat(0.9);
    fh_spectrum over = fh_shell_look(&stack->shell->curves, &paper);
    fh_condition d65 = fh_condition_default();
    const desk_settings *s = &job->settings;
    const fh_method *built = &stack->shell->method;
    double own_shell = s->shell_mm >= 0 ? s->shell_mm : built->thickness_mm;
    double own_gap = s->gap_mm >= 0 ? s->gap_mm : built->gap_mm;
    /* A spec that came says how its stack is built; the settings are of the job's own. */
    fh_section section = {stack->spec ? fh_spec_shell_mm(stack->spec) : own_shell,
                          stack->spec ? fh_spec_gap_mm(stack->spec) : own_gap,
                          white ? white->lab : lab_of(&over, d65),
                          lab_of(&spectral->reflectance, d65),
                          lab_of(&look, d65),
                          "inner part: the target"};
    fh_text svg = {0};
    fh_status status = fh_diagram_section(fh_sink_to_text(&svg), &section);
    json_drawing(j, "drawing", &svg, status);
}

/* What is asked for, in words; of a spec that came, also its title and its sentence. */
static void write_wish(page_json *j, const desk_state *job, const page_stack *stack)
{
    char words[200], sentence[FH_SENTENCE];
    fh_format(words, sizeof words,
              job->from_code ? "Keep within \xce\x94"
                               "E00 %.1f of it, measured bare."
              : stack->shell ? "It must be right within \xce\x94"
                               "E00 %.1f as seen through the shell."
                             : "It must be right within \xce\x94"
                               "E00 %.1f.",
              stack->target.tolerance);
    json_text(j, "words", words);
    if (!stack->spec) return;
    fh_tolerance_sentence(&stack->spec->told, stack->shell != NULL, sentence);
    json_text(j, "sentence", sentence);
    json_text(j, "title", stack->spec->title);
    json_text(j, "owner", stack->spec->owner);
    json_text(j, "deadline", stack->spec->deadline);
    json_text(j, "check_code", stack->spec->code);
}

static void write_target(page_json *j, const desk_state *job)
{
    fh_error error = {0};
    page_stack stack;
    fh_reading spectral;
    json_open(j, "target", '{');
    fh_status status = stack_of(job, &stack, &error);
    json_bool(j, "ready", status == FH_OK);
    if (status) {
        json_text(j, "message",
                  strcmp(job->settings.role, "helper") == 0
                      ? "No target yet: open the spec, or type the code."
                      : error.message);
        json_close(j, '}');
        return;
    }
    const fh_reading *part = &stack.target.part;
    json_text(j, "name", part->name[0] ? part->name : part->id);
    json_lab(j, "lab", part->lab);
    json_condition(j, "condition", part->condition);
    json_screen(j, "screen", part->lab);
    fh_colour_name plain;
    if (!fh_names_of_reading(part, &plain, 1, NULL, NULL)) json_text(j, "plain", plain.name);
    if (stack.shell && stack_with_spectrum(part, &spectral, NULL) == FH_OK)
        write_section(j, job, &stack, &spectral);
    write_wish(j, job, &stack);
    json_text(j, "carries",
              job->from_code
                  ? "A code carries the bare target only. Ask for the spec file as well: "
                    "it tells what the shell forgives."
                  : "");
    stack_free(&stack);
    json_close(j, '}');
}

fh_status describe_stack(page_json *j, const desk_state *job)
{
    fh_error error = {0};
    fh_shell_record *record = NULL;
    fh_status status = stack_shell(job, &record, &error);
    if (status == FH_E_MEMORY) return status;
    const fh_shell *shell = record ? &record->shell : NULL;
    json_open(j, "shell", '{');
    json_bool(j, "ready", shell != NULL);
    if (shell) {
        write_shell_words(j, shell, &record->report);
        write_shell_warnings(j, &record->report);
    } else {
        json_text(j, "message", error.message);
    }
    json_close(j, '}');
    write_proof(j, job, shell);
    write_aim(j, job, shell);
    fh_shell_record_free(record);
    write_target(j, job);
    return FH_OK;
}
