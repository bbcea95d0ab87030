/* The spec: all that the helper needs to know, as one value; and the reply to it.
 *
 * A spec travels as a file (farhue/spec_file.h), as a sheet and, its bare part only, as a spoken
 * code. */
#ifndef FARHUE_SPEC_H
#define FARHUE_SPEC_H

#include "farhue/tolerance.h"
#include "farhue/verdict.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    FH_DATE = 32,           /* ISO 8601 with its NUL */
    FH_CODE = 10,           /* a check code "K7QF-3M0A" with its NUL */
    FH_SPEC_CAUTIONS = 8,   /* sentences at most */
    FH_CAUTION_TEXT = 400,  /* bytes in one */
    FH_BUILT_MM_MAX = 1000, /* thickness of the shell and the gap behind it */
    FH_REPLY_READINGS = 256 /* readings in a reply at most */
};

/* Everything here is stated by the owner; told is computed from it. */
typedef struct fh_spec {
    char title[FH_NAME];   /* what the job is, for people */
    char owner[FH_NAME];   /* who asks; may be empty */
    char created[FH_DATE]; /* date or date and time, ISO 8601; may be empty */
    char deadline[FH_DATE];
    fh_reading part; /* the bare target with its spectrum where known, sources and method */
    bool aimed;      /* worked back from a look */
    bool by_look;    /* that look was measured, and is what candidates are compared with */
    fh_reading look; /* the look then */
    fh_condition condition;
    size_t light_count;
    fh_condition light[FH_LIGHTS_MAX];
    double tolerance;   /* ΔE00 as seen */
    fh_tolerance told;  /* the tolerance in figures for people, rounded to the safe side */
    fh_shell *shell;    /* owned, or NULL: nothing in front */
    double shell_mm; /* its thickness and the air gap behind it as built, 0 to FH_BUILT_MM_MAX; */
    double gap_mm;   /* negative: not stated. For people: no figure depends on them */
    size_t caution_count;
    char caution[FH_SPEC_CAUTIONS][FH_CAUTION_TEXT];
    char code[FH_CODE]; /* check code over the file's content; empty before it was written */
} fh_spec;

/* A spec of a target, with its tolerance worked out; the shell is copied, how it is built is not
 * stated yet. Free with fh_spec_free.
 * Errors as fh_tolerance_find; FH_E_DATA for a light that is no standard one. *out is written on
 * success only. */
FH_API fh_status fh_spec_new(const fh_target *target, fh_spec **out, fh_error *error);

/* Free a spec and its shell; NULL is fine. */
FH_API void fh_spec_free(fh_spec *spec);

/* The shell's thickness and the air gap behind it as built: as stated, else as the shell's readings
 * say; negative: not known, or there is no shell. */
FH_API double fh_spec_shell_mm(const fh_spec *spec);
FH_API double fh_spec_gap_mm(const fh_spec *spec);

/* The target a spec states; it borrows the spec's shell. Errors as fh_target_check. */
FH_API fh_status fh_spec_target(const fh_spec *spec, fh_target *out, fh_error *error);

/* What the helper sends back: the coupon as it was read, and what it came to. */
typedef struct fh_reply {
    char answers[FH_CODE]; /* check code of the spec that it answers */
    char title[FH_NAME];   /* that spec's title */
    char helper[FH_NAME];  /* who answers; may be empty */
    char created[FH_DATE];
    char note[FH_CAUTION_TEXT]; /* free words; may be empty */
    fh_decision decision;       /* the helper's own verdict on the first reading, by this spec */
    double p_within;            /* its probability */
    double seen;                /* its median seen ΔE00 under the worst light */
    size_t count;
    fh_reading *readings; /* owned */
    char code[FH_CODE];   /* check code over the reply's own content */
} fh_reply;

/* Free a reply and its readings; NULL is fine. */
FH_API void fh_reply_free(fh_reply *reply);

/* An empty reply to a spec, with room for count readings (1 to FH_REPLY_READINGS).
 * FH_E_ARGUMENT, FH_E_MEMORY. */
FH_API fh_status fh_reply_new(const fh_spec *spec, size_t count, fh_reply **out);

/* Does the reply answer this spec? FH_E_DATA with a sentence when it answers another one. */
FH_API fh_status fh_reply_answers(const fh_reply *reply, const fh_spec *spec, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
