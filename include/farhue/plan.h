/* Routes to a finished part, and what each still allows before a deadline.
 *
 * Three routes: print in a filament that fits; print in anything and paint at the owner's; have the
 * helper paint. In every route the fit of the part and a colour coupon come before the long print.
 * A step has a duration and steps that must be finished before it; from now forwards that gives
 * its earliest start, from the deadline backwards its latest. Steps that need a person take only
 * waking hours; printing, drying and the post run on, but are started in waking hours. */
#ifndef FARHUE_PLAN_H
#define FARHUE_PLAN_H

#include "farhue/moment.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_step {
    FH_STEP_FILAMENT, /* get the filament */
    FH_STEP_PAINT,    /* get the paints */
    FH_STEP_DRAFT,    /* print a draft of what must fit */
    FH_STEP_FIT,      /* measure it against the old part and the shell */
    FH_STEP_COUPON,   /* print a coupon in the filament */
    FH_STEP_PAINTOUT, /* mix, and paint a coupon with all its coats */
    FH_STEP_VERDICT,  /* measure the coupon, reply, check */
    FH_STEP_PRINT,    /* the long print */
    FH_STEP_CLEAN,    /* supports, edges, washing */
    FH_STEP_PRIME,
    FH_STEP_PRIME_DRY,
    FH_STEP_COAT,
    FH_STEP_DRY,  /* between coats */
    FH_STEP_CURE, /* until the last coat can be handled and packed */
    FH_STEP_POST,
    FH_STEP_CHECK, /* colour and fit of the part, where it is needed */
    FH_STEP_ASSEMBLE,
    FH_STEP_COUNT
} fh_step;

typedef enum fh_who { FH_WHO_OWNER, FH_WHO_HELPER, FH_WHO_POST } fh_who;

typedef enum fh_route {
    FH_ROUTE_FILAMENT,
    FH_ROUTE_OWNER_PAINTS,
    FH_ROUTE_HELPER_PAINTS,
    FH_ROUTE_COUNT
} fh_route;

enum { FH_COATS_MAX = 12, FH_PLAN_STEPS = 2 * FH_COATS_MAX + FH_STEP_COUNT };

/* In place of the hours of FH_STEP_PAINTOUT: as long as its coats take. The most hours of a step.
 */
#define FH_PLAN_BY_COATS (-1.0)
#define FH_PLAN_HOURS_MAX 10000.0

/* What is known. */
typedef struct fh_plan_facts {
    fh_moment now, deadline;
    long wake, sleep;            /* minutes of the day between which people work */
    double hours[FH_STEP_COUNT]; /* durations, ≥ 0; COAT and DRY are of one coat; PAINTOUT may be
                                    FH_PLAN_BY_COATS: half an hour, and its coats, painted in
                                    waking hours, with their drying */
    bool done[FH_STEP_COUNT];    /* done, or not needed */
    unsigned coats;              /* of paint, 1 to FH_COATS_MAX; see fh_hide_amount */
    bool open[FH_ROUTE_COUNT];   /* routes to look at: no filament fits, no paint here … */
} fh_plan_facts;

/* One step of a route's schedule. */
typedef struct fh_plan_step {
    fh_step step;
    fh_who who;
    unsigned coat;                            /* 1 … for COAT and DRY, 0 else */
    bool attended;                            /* takes somebody's waking hours, all of it */
    bool ready;                               /* everything before it is done */
    long minutes;                             /* duration, without nights that work waits for */
    fh_moment earliest, earliest_end, latest; /* start, end, latest start */
    unsigned long long after;                 /* bit i: step i of the route comes before */
} fh_plan_step;

typedef struct fh_plan_route {
    fh_route route;
    bool fits;
    fh_moment finish;     /* at the earliest */
    fh_moment open_until; /* the latest start of its most urgent step */
    size_t urgent;        /* that step */
    size_t count;
    fh_plan_step steps[FH_PLAN_STEPS];
} fh_plan_route;

/* Waking hours 8 to 22, three coats, all routes open, nothing done, and durations that are common
 * practice (no source); now and deadline 0. */
FH_API fh_plan_facts fh_plan_usual(void);

/* The schedule of a route. Steps that are done are left out. A route with nothing left to do fits,
 * and ends now. FH_E_ARGUMENT: durations, coats or waking hours (at least one) out of range;
 * FH_E_DATA: a deadline that has passed, or is more than 10 years off. error may be NULL. */
FH_API fh_status fh_plan(const fh_plan_facts *facts, fh_route route, fh_plan_route *out,
                         fh_error *error);

/* The earliest deadline that the route would meet: its finish. What to shorten most: the step that
 * takes longest among those without spare time; FH_PLAN_STEPS when there is none. */
FH_API size_t fh_plan_longest_critical(const fh_plan_route *route);

/* "filament", "paint" …, as options and files name a step; what it is, for people; the route's
 * name and sentence; never NULL. Static. */
FH_API const char *fh_step_name(fh_step step);
FH_API const char *fh_step_words(fh_step step);
FH_API const char *fh_route_name(fh_route route);
FH_API const char *fh_route_words(fh_route route);
FH_API const char *fh_who_name(fh_who who);

/* The step, the route of that name; FH_E_DATA when there is none. */
FH_API fh_status fh_step_parse(const char *name, fh_step *out);
FH_API fh_status fh_route_parse(const char *name, fh_route *out);

/* "8-22" or "7.5-22": the hours of the day in which people work; and as text. FH_E_DATA, facts as
 * they were, for anything but at least an hour of one day. */
FH_API fh_status fh_plan_awake(const char *text, fh_plan_facts *facts);
FH_API void fh_plan_awake_text(const fh_plan_facts *facts, char out[FH_MOMENT_TEXT]);

/* A deadline as fh_moment_parse reads it; a day alone is its evening, when people stop working.
 * FH_E_DATA, facts as they were. */
FH_API fh_status fh_plan_deadline(const char *text, fh_plan_facts *facts);

#ifdef __cplusplus
}
#endif
#endif
