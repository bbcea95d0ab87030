/* Plans. Expected times: independent computation, by hand on a calendar. */
#include "check.h"

#include <math.h>
#include <string.h>

#include "farhue/plan.h"

static fh_moment at(const char *text)
{
    fh_moment t = 0;
    assert_int_equal(fh_moment_parse(text, &t, NULL), FH_OK);
    return t;
}

static void is_at(fh_moment t, const char *expected)
{
    char text[FH_MOMENT_TEXT];
    fh_moment_text(t, text);
    assert_string_equal(text, expected);
}

static fh_plan_facts facts(const char *now, const char *deadline)
{
    fh_plan_facts f = fh_plan_usual();
    f.now = at(now);
    f.deadline = at(deadline);
    return f;
}

static fh_plan_route plan(const fh_plan_facts *f, fh_route route)
{
    fh_plan_route r;
    fh_error error = {0};
    if (fh_plan(f, route, &r, &error)) fail_msg("%s", error.message);
    return r;
}

static const fh_plan_step *find(const fh_plan_route *r, fh_step step, unsigned coat)
{
    for (size_t i = 0; i < r->count; ++i)
        if (r->steps[i].step == step && r->steps[i].coat == coat) return &r->steps[i];
    fail_msg("no step %s", fh_step_name(step));
    return NULL;
}

/* Filament route, usual durations. Forwards from Mon 10:00: filament 48 h to Wed 10:00, coupon to
 * 11:00, verdict to 12:00, print 24 h to Thu 12:00, clean to 13:00, post to Sat 13:00, check to
 * 14:00, in at 15:00. Backwards from Sun 20:00: in 19:00, check 18:00, post Fri 18:00, clean 17:00,
 * print Thu 17:00, verdict 16:00, coupon 15:00, filament Tue 15:00; fit 16:00 and draft 14:00 on
 * Thu. */
static void by_hand(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-15T20:00");
    fh_plan_route r = plan(&f, FH_ROUTE_FILAMENT);
    assert_true(r.fits);
    is_at(r.finish, "2026-03-14T15:00");
    is_at(r.open_until, "2026-03-10T15:00");
    assert_int_equal(r.steps[r.urgent].step, FH_STEP_FILAMENT);
    is_at(find(&r, FH_STEP_PRINT, 0)->earliest, "2026-03-11T12:00");
    is_at(find(&r, FH_STEP_PRINT, 0)->latest, "2026-03-12T17:00");
    is_at(find(&r, FH_STEP_DRAFT, 0)->latest, "2026-03-12T14:00");
    is_at(find(&r, FH_STEP_FIT, 0)->latest, "2026-03-12T16:00");
    is_at(find(&r, FH_STEP_ASSEMBLE, 0)->latest, "2026-03-15T19:00");
}

/* A print that ends in the night waits for somebody to clean it; one that must start in the night
 * is started in the evening. */
static void nights(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-11T12:00");
    for (int i = 0; i < FH_STEP_COUNT; ++i) f.done[i] = true;
    f.done[FH_STEP_PRINT] = f.done[FH_STEP_CLEAN] = false;
    f.hours[FH_STEP_PRINT] = 14; /* Mon 10:00 to midnight */
    f.hours[FH_STEP_CLEAN] = 16; /* Tue 08:00 to 22:00, Wed 08:00 to 10:00 */
    fh_plan_route r = plan(&f, FH_ROUTE_FILAMENT);
    assert_int_equal(r.count, 2);
    is_at(r.steps[1].earliest, "2026-03-10T08:00");
    is_at(r.finish, "2026-03-11T10:00");
    /* backwards: 4 h on Wed from 08:00, 12 h on Tue from 10:00; the print ends by Tue 10:00, so
       starts Mon 20:00 */
    is_at(r.steps[1].latest, "2026-03-10T10:00");
    is_at(r.steps[0].latest, "2026-03-09T20:00");
    f.hours[FH_STEP_PRINT] = 11; /* from Mon 23:00: asleep, so 22:00 */
    r = plan(&f, FH_ROUTE_FILAMENT);
    is_at(r.steps[0].latest, "2026-03-09T22:00");
}

/* Whatever step i waits for, directly or through others. */
static unsigned long long all_before(const fh_plan_route *r, size_t i)
{
    unsigned long long set = r->steps[i].after;
    for (size_t k = i; k-- > 0;)
        if (set >> k & 1) set |= r->steps[k].after;
    return set;
}

static void fit_and_coupon_before_the_print(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-04-15T20:00");
    for (int route = 0; route < FH_ROUTE_COUNT; ++route) {
        fh_plan_route r = plan(&f, (fh_route)route);
        size_t print = (size_t)(find(&r, FH_STEP_PRINT, 0) - r.steps);
        size_t fit = (size_t)(find(&r, FH_STEP_FIT, 0) - r.steps);
        size_t verdict = (size_t)(find(&r, FH_STEP_VERDICT, 0) - r.steps);
        assert_true(all_before(&r, print) >> fit & 1);
        assert_true(all_before(&r, print) >> verdict & 1);
        /* and the last step waits for everything */
        assert_true(all_before(&r, r.count - 1) == (1ull << (r.count - 1)) - 1);
    }
}

static void who_paints(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-04-15T20:00");
    fh_plan_route owner = plan(&f, FH_ROUTE_OWNER_PAINTS),
                  helper = plan(&f, FH_ROUTE_HELPER_PAINTS);
    assert_int_equal(find(&owner, FH_STEP_COAT, 3)->who, FH_WHO_OWNER);
    assert_int_equal(find(&helper, FH_STEP_COAT, 3)->who, FH_WHO_HELPER);
    assert_true(find(&owner, FH_STEP_POST, 0) < find(&owner, FH_STEP_PRIME, 0));
    assert_true(find(&helper, FH_STEP_POST, 0) > find(&helper, FH_STEP_CURE, 0));
    f.coats = 2;
    helper = plan(&f, FH_ROUTE_HELPER_PAINTS);
    find(&helper, FH_STEP_DRY, 1);
    for (size_t i = 0; i < helper.count; ++i) assert_true(helper.steps[i].coat <= 2);
}

/* A route fits exactly when no step starts later than it may. */
static void passes_agree(void **state)
{
    (void)state;
    for (int day = 10; day < 31; ++day)
        for (int hour = 0; hour < 24; hour += 5)
            for (int route = 0; route < FH_ROUTE_COUNT; ++route) {
                fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-10");
                f.deadline += (fh_moment)(day - 10) * FH_DAY + hour * FH_HOUR;
                fh_plan_route r = plan(&f, (fh_route)route);
                bool late = false;
                for (size_t i = 0; i < r.count; ++i)
                    late = late || r.steps[i].latest < r.steps[i].earliest;
                assert_int_equal(r.fits, !late);
                assert_int_equal(r.fits, r.open_until >= r.steps[r.urgent].earliest);
            }
}

static void done_steps(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-15T20:00");
    f.done[FH_STEP_FILAMENT] = f.done[FH_STEP_DRAFT] = true;
    fh_plan_route r = plan(&f, FH_ROUTE_FILAMENT);
    assert_true(find(&r, FH_STEP_COUPON, 0)->ready);
    assert_true(find(&r, FH_STEP_FIT, 0)->ready);
    assert_false(find(&r, FH_STEP_PRINT, 0)->ready);
    for (int i = 0; i < FH_STEP_COUNT; ++i) f.done[i] = true;
    r = plan(&f, FH_ROUTE_FILAMENT);
    assert_int_equal(r.count, 0);
    assert_true(r.fits);
    assert_int_equal(fh_plan_longest_critical(&r), FH_PLAN_STEPS);
}

static void longest_critical(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-12T20:00");
    f.hours[FH_STEP_PRINT] = 60;
    fh_plan_route r = plan(&f, FH_ROUTE_FILAMENT);
    assert_false(r.fits);
    assert_int_equal(r.steps[fh_plan_longest_critical(&r)].step, FH_STEP_PRINT);
}

static void refused(void **state)
{
    (void)state;
    fh_plan_route r = {.count = 77};
    fh_error error = {0};
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-09T10:00");
    assert_int_equal(fh_plan(&f, FH_ROUTE_FILAMENT, &r, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "has passed"));
    f = facts("2026-03-09T10:00", "2126-03-09T10:00");
    assert_int_equal(fh_plan(&f, FH_ROUTE_FILAMENT, &r, NULL), FH_E_DATA);
    f = facts("2026-03-09T10:00", "2026-03-12");
    f.hours[FH_STEP_POST] = NAN;
    assert_int_equal(fh_plan(&f, FH_ROUTE_FILAMENT, &r, &error), FH_E_ARGUMENT);
    f.hours[FH_STEP_POST] = -1;
    assert_int_equal(fh_plan(&f, FH_ROUTE_FILAMENT, &r, &error), FH_E_ARGUMENT);
    f.hours[FH_STEP_POST] = 1;
    f.coats = 0;
    assert_int_equal(fh_plan(&f, FH_ROUTE_FILAMENT, &r, &error), FH_E_ARGUMENT);
    f.coats = 1;
    f.sleep = f.wake;
    assert_int_equal(fh_plan(&f, FH_ROUTE_FILAMENT, &r, &error), FH_E_ARGUMENT);
    assert_int_equal(r.count, 77);
}

/* The coupon is painted with all its coats: half an hour and ten times 0.5 h and 12 h of drying,
 * 125.5 h, by hand; or as long as somebody says. Whoever has it measures it. */
static void a_paint_out_takes_all_its_coats(void **state)
{
    (void)state;
    fh_plan_facts facts = fh_plan_usual();
    fh_plan_route r;
    facts.deadline = facts.now + 60ll * FH_DAY;
    facts.coats = 10;
    facts.hours[FH_STEP_DRY] = 12.0;
    assert_int_equal(fh_plan(&facts, FH_ROUTE_HELPER_PAINTS, &r, NULL), FH_OK);
    const fh_plan_step *s = find(&r, FH_STEP_PAINTOUT, 0);
    assert_int_equal(s->minutes, (long)(125.5 * 60));
    assert_int_equal(find(&r, FH_STEP_VERDICT, 0)->who, FH_WHO_HELPER);
    assert_int_equal(find(&r, FH_STEP_FIT, 0)->who, FH_WHO_HELPER);
    facts.hours[FH_STEP_PAINTOUT] = 20.0;
    assert_int_equal(fh_plan(&facts, FH_ROUTE_OWNER_PAINTS, &r, NULL), FH_OK);
    s = find(&r, FH_STEP_PAINTOUT, 0);
    assert_int_equal(s->minutes, 20 * 60);
    assert_int_equal(find(&r, FH_STEP_VERDICT, 0)->who, FH_WHO_OWNER);
    /* Minutes are rounded up, never down: 0.01 h is 0.6 min. */
    facts.hours[FH_STEP_PAINTOUT] = 0.01;
    assert_int_equal(fh_plan(&facts, FH_ROUTE_OWNER_PAINTS, &r, NULL), FH_OK);
    assert_int_equal(find(&r, FH_STEP_PAINTOUT, 0)->minutes, 1);
}

/* Five coats with 9 h of drying between, waking hours 8 to 22, the paints there. From Mon 10:00:
 * mixed 10:30, coats Mon 10:30–11:00 (dry 20:00), Mon 20:00–20:30 (Tue 5:30), Tue 8:00–8:30
 * (17:30), 17:30–18:00 (Wed 3:00), Wed 8:00–8:30, dry Wed 17:30. To be dry by Sat 14:00: the last
 * coat is over by Sat 5:00, so by Fri 22:00 (21:30), the one before by 12:30 (12:00), by 3:00 of
 * Fri, so Thu 22:00 (21:30), by 12:30 (12:00), by 3:00, so Wed 22:00 (21:30): mixing from 21:00. */
static void a_coupon_is_painted_in_waking_hours(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-14T14:00");
    f.coats = 5;
    f.hours[FH_STEP_DRY] = 9.0;
    for (int i = 0; i < FH_STEP_COUNT; ++i) f.done[i] = i != FH_STEP_PAINTOUT;
    const fh_plan_route r = plan(&f, FH_ROUTE_OWNER_PAINTS);
    assert_int_equal(r.count, 1);
    is_at(r.steps[0].earliest, "2026-03-09T10:00");
    is_at(r.steps[0].earliest_end, "2026-03-11T17:30");
    is_at(r.steps[0].latest, "2026-03-11T21:00");
    assert_int_equal(r.steps[0].minutes, 30 + 5 * (30 + 9 * 60));

    /* Not begun at bedtime; as long as somebody says, it is theirs to say when. */
    f = facts("2026-03-09T22:00", "2026-03-14T14:00");
    f.coats = 1;
    for (int i = 0; i < FH_STEP_COUNT; ++i) f.done[i] = i != FH_STEP_PAINTOUT;
    is_at(plan(&f, FH_ROUTE_OWNER_PAINTS).steps[0].earliest, "2026-03-10T08:00");
    f.hours[FH_STEP_PAINTOUT] = 20.0;
    is_at(plan(&f, FH_ROUTE_OWNER_PAINTS).steps[0].earliest_end, "2026-03-10T18:00");
}

/* The coats of the coupon go as those of the part, which begin with the primer. */
static void coats_of_coupon_and_part_go_alike(void **state)
{
    (void)state;
    for (int hour = 0; hour < 24; ++hour)
        for (unsigned coats = 1; coats <= FH_COATS_MAX; ++coats) {
            fh_plan_facts f = facts("2026-03-09T00:00", "2026-05-09T00:00");
            f.now += hour * FH_HOUR;
            f.coats = coats;
            f.hours[FH_STEP_DRY] = f.hours[FH_STEP_CURE] = 7.0;
            f.hours[FH_STEP_PRIME_DRY] = 0.0;
            for (int i = 0; i < FH_STEP_COUNT; ++i) f.done[i] = i != FH_STEP_PAINTOUT;
            const fh_plan_route coupon = plan(&f, FH_ROUTE_OWNER_PAINTS);
            for (int i = 0; i < FH_STEP_COUNT; ++i)
                f.done[i] = i < FH_STEP_PRIME || i > FH_STEP_CURE;
            const fh_plan_route part = plan(&f, FH_ROUTE_OWNER_PAINTS);
            assert_true(coupon.finish == part.finish);
            assert_true(coupon.open_until == find(&part, FH_STEP_PRIME, 0)->latest);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_paint_out_takes_all_its_coats),
        cmocka_unit_test(a_coupon_is_painted_in_waking_hours),
        cmocka_unit_test(coats_of_coupon_and_part_go_alike),
        cmocka_unit_test(by_hand),
        cmocka_unit_test(nights),
        cmocka_unit_test(fit_and_coupon_before_the_print),
        cmocka_unit_test(who_paints),
        cmocka_unit_test(passes_agree),
        cmocka_unit_test(done_steps),
        cmocka_unit_test(longest_critical),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
