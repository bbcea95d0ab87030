/* Sentences about a plan. */
#include "farhue/plan_words.h"

#include "base/text.h"

void fh_words_of_span(long long minutes, char out[FH_SPAN])
{
    const char *sign = minutes < 0 ? "-" : "";
    if (minutes < 0) minutes = -minutes;
    if (minutes >= 2 * FH_DAY)
        fh_format(out, FH_SPAN, "%s%ld d %ld h", sign, (long)(minutes / FH_DAY),
                  (long)(minutes % FH_DAY / FH_HOUR));
    else if (minutes >= FH_HOUR && minutes % FH_HOUR)
        fh_format(out, FH_SPAN, "%s%ld h %ld min", sign, (long)(minutes / FH_HOUR),
                  (long)(minutes % FH_HOUR));
    else if (minutes >= FH_HOUR)
        fh_format(out, FH_SPAN, "%s%ld h", sign, (long)(minutes / FH_HOUR));
    else
        fh_format(out, FH_SPAN, "%s%ld min", sign, (long)minutes);
}

void fh_words_of_step(const fh_plan_step *s, char out[FH_STEP_TEXT])
{
    if (s->step == FH_STEP_DRY)
        fh_format(out, FH_STEP_TEXT, "let coat %u dry", s->coat);
    else if (s->coat)
        fh_format(out, FH_STEP_TEXT, "%s %u", fh_step_words(s->step), s->coat);
    else
        fh_format(out, FH_STEP_TEXT, "%s", fh_step_words(s->step));
}

void fh_words_of_route(const fh_plan_facts *facts, const fh_plan_route *r, char out[FH_OUTLOOK])
{
    char finish[FH_MOMENT_TEXT], length[FH_SPAN];
    const long long spare = facts->deadline - r->finish;
    fh_moment_words(r->finish, finish);
    fh_words_of_span(r->fits ? spare : -spare, length);
    fh_format(out, FH_OUTLOOK, "%s, done %s at the earliest, %s %s",
              r->fits ? "fits" : "DOES NOT FIT", finish, length, r->fits ? "to spare" : "too late");
}

void fh_words_of_outlook(const fh_plan_facts *facts, const fh_plan_route *r, char out[FH_OUTLOOK])
{
    char when[FH_MOMENT_TEXT], step[FH_STEP_TEXT], length[FH_SPAN];
    const fh_moment tonight = facts->now - fh_moment_of_day(facts->now) + FH_DAY;
    if (r->count == 0) {
        fh_format(out, FH_OUTLOOK, "nothing is left to do");
    } else if (r->fits) {
        fh_moment_words(r->open_until, when);
        fh_words_of_step(&r->steps[r->urgent], step);
        fh_format(out, FH_OUTLOOK, "open until %s%s; then it is too late to %s", when,
                  r->open_until < tonight ? ", so decide today" : "", step);
    } else {
        const size_t longest = fh_plan_longest_critical(r);
        fh_words_of_span(r->finish - facts->deadline, length);
        size_t n = fh_format(out, FH_OUTLOOK, "closed, unless %s are saved", length);
        if (longest == FH_PLAN_STEPS) return;
        fh_words_of_step(&r->steps[longest], step);
        fh_words_of_span(r->steps[longest].minutes, length);
        fh_format(out + n, FH_OUTLOOK - n, "; the longest step without spare time is: %s (%s)",
                  step, length);
    }
}
