/* The paragraph of a reply. */
#include "farhue/chat.h"

#include "base/text.h"
#include "farhue/words.h"

static const char *verdict_sentence(const fh_verdict *v)
{
    if (v->decision == FH_ACCEPT) return "Verdict: accept, I can go ahead";
    return v->decision == FH_REJECT ? "Verdict: reject, not this one"
                                    : "Verdict: measure again, these readings leave it open";
}

static size_t put_settle(char *out, size_t size, const fh_verdict *v)
{
    if (v->decision != FH_MEASURE_AGAIN) return 0;
    if (v->settle.candidate)
        return fh_format(out, size, " About %u more readings of the coupon would settle it.",
                         v->settle.candidate);
    if (v->settle.both)
        return fh_format(out, size,
                         " About %u more readings each of coupon and old part would "
                         "settle it.",
                         v->settle.both);
    return fh_format(out, size, " More readings with these instruments will not settle it%s.",
                     v->estimated ? "; a spectrum, or a look by eye under the lamp, would" : "");
}

/* What is answered: a spec file has a check code, a spoken code has neither file nor title. */
static size_t put_asked(char out[FH_CHAT], const fh_spec *spec)
{
    if (!spec->code[0]) return fh_format(out, FH_CHAT, "Answer to the code that you read to me");
    return fh_format(out, FH_CHAT, "Answer to \"%s\" (check code %s)",
                     spec->title[0] ? spec->title : "your spec", spec->code);
}

void fh_chat_of_reply(const fh_spec *spec, const fh_reading *coupon, const fh_verdict *verdict,
                      const char *helper, char out[FH_CHAT])
{
    char condition[FH_CONDITION_TEXT], lab[FH_LAB_WORDS], bare[FH_WORDS], seen[FH_WORDS],
        chance[FH_CHANCE];
    const fh_sight *worst = &verdict->seen[verdict->worst];
    fh_condition_text(coupon->condition, condition);
    fh_words_of_lab(coupon->lab, lab);
    fh_words_of_difference(verdict->bare.target, verdict->bare.candidate, bare);
    fh_words_of_difference(worst->target, worst->candidate, seen);
    fh_words_of_probability(verdict->p_within, 2, chance);
    size_t n = put_asked(out, spec);
    n += fh_format(out + n, FH_CHAT - n,
                   ": I measured %s: %s (%s). Bare it is \xce\x94"
                   "E00 %.1f from the target, %s. ",
                   coupon->name[0] ? coupon->name : coupon->id, lab, condition,
                   verdict->bare.interval.median, bare);
    n += fh_format(out + n, FH_CHAT - n,
                   "%s, at worst under %s, \xce\x94"
                   "E00 %.1f, with 95 %% between "
                   "%.1f and %.1f; allowed is %.1f: %s. ",
                   spec->shell ? "Behind the shell" : "As seen",
                   fh_words_of_light(worst->condition.illuminant), worst->interval.median,
                   worst->interval.low, worst->interval.high, spec->tolerance, seen);
    n += fh_format(out + n, FH_CHAT - n, "%s (probability that it is right under every light: %s).",
                   verdict_sentence(verdict), chance);
    n += put_settle(out + n, FH_CHAT - n, verdict);
    if (spec->code[0])
        n += fh_format(out + n, FH_CHAT - n, " The reply file carries the readings.");
    if (helper && helper[0]) n += fh_format(out + n, FH_CHAT - n, " \xe2\x80\x93 %s", helper);
    for (size_t i = 0; i < n; i++)
        if ((unsigned char)out[i] < ' ') out[i] = ' ';
}
