/* The shell in front of an inner part: what it does to the colour behind it.
 *
 * Over an opaque matt part of reflectance ρ the look of the stack is, whatever scatters inside the
 * shell and with any air gap, exactly
 *
 *     R(ρ) = A + B ρ / (1 − C ρ)
 *
 * A: the shell's own light; B: in through the shell and out again; C: what the shell throws back
 * on to the part. A, B ≥ 0, 0 ≤ C < 1, A + B/(1 − C) ≤ 1. */
#ifndef FARHUE_SHELL_H
#define FARHUE_SHELL_H

#include <stdint.h>

#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

/* FH_SHELL_HIDDEN: a band whose look changes by less than this from a black to a white part
 * doesn't show the part (common practice, no source). */
enum { FH_SHELL_SAMPLES = 8, FH_SHELL_MODES = 40 };
#define FH_SHELL_HIDDEN 0.01

typedef struct fh_shell_curves {
    fh_spectrum A, B, C;
} fh_shell_curves;

/* The look of a stack whose inner part has this reflectance (0–1.2). */
FH_API fh_spectrum fh_shell_look(const fh_shell_curves *curves, const fh_spectrum *inner);

/* d look / d inner, band by band: B/(1 − C ρ)². */
FH_API fh_spectrum fh_shell_slope(const fh_shell_curves *curves, const fh_spectrum *inner);

/* How much the look changes from a black part to a white one, band by band: B/(1 − C). */
FH_API fh_spectrum fh_shell_reach(const fh_shell_curves *curves);

/* The inner reflectance that gives a look, band by band. Bands in which none does hold the nearest
 * of 0 and 1, and hidden bands (reach below FH_SHELL_HIDDEN) the value at the nearest band that
 * shows it. *impossible (may be NULL): how many bands were cut by more than 0.001 of the look.
 * FH_E_IMPOSSIBLE when every band is hidden. */
FH_API fh_status fh_shell_inner(const fh_shell_curves *curves, const fh_spectrum *look,
                                fh_spectrum *inner, size_t *impossible);

/* One error of a shell: its curves move by step times a standard normal, which is draw number
 * index of the stream. Errors of a shared source have the stream of that source's tag, so that
 * they are drawn together with those of target and candidates. */
typedef struct fh_shell_mode {
    uint64_t stream;
    unsigned index;
    fh_shell_curves step;
} fh_shell_mode;

/* How a shell's curves were come by. */
typedef enum fh_shell_kind {
    FH_SHELL_FITTED, /* three or more backings */
    FH_SHELL_SHEET,  /* two readings and the sheet model */
    FH_SHELL_CLEAR,  /* one reading, taken as a clear sheet */
    FH_SHELL_GIVEN   /* the curves themselves, no readings */
} fh_shell_kind;

/* A shell with its uncertainty. About 35 KiB: keep it on the heap, not in a frame. */
typedef struct fh_shell {
    char id[FH_ID];
    char name[FH_NAME];
    fh_shell_kind kind;
    fh_shell_curves curves;
    bool estimated;                     /* some of its spectra were estimated from Lab */
    fh_method method;                   /* of the looks it was fitted from */
    double index;                       /* refractive index; negative: not known */
    bool modelled;                      /* the next two hold the sheet model's values */
    fh_spectrum absorption, scattering; /* μa and μs′ times the thickness */
    size_t mode_count;
    fh_shell_mode mode[FH_SHELL_MODES];
} fh_shell;

/* A Monte Carlo draw: the curves moved by all modes, kept inside the bounds. */
FH_API fh_shell_curves fh_shell_draw(const fh_shell *shell, uint64_t seed, uint64_t trial);

/* One look with what was behind the shell. Borrowed. */
typedef struct fh_shell_sample {
    const fh_reading *look;
    const fh_reading *backing;
} fh_shell_sample;

/* The fit's options; start from fh_shell_options_default. */
typedef struct fh_shell_options {
    double noise;       /* standard error of a reflectance that no reading states, > 0 */
    double index;       /* refractive index of the plastic, at least 1 */
    double index_sigma; /* its standard uncertainty, ≥ 0; matters where the sheet model does */
    bool clear; /* the sheet is known not to scatter (needed for nothing but two readings) */
    const fh_reading *transmittance; /* a total transmittance as a spectrum, or NULL */
} fh_shell_options;

/* Noise 0.001, FH_INDEX_PLASTIC ± 0.04 (plastics run from 1.46 to 1.59), not clear, no
 * transmittance. */
FH_API fh_shell_options fh_shell_options_default(void);

/* What the fit has to say for itself. */
typedef struct fh_shell_report {
    size_t count;                          /* samples */
    double residual[FH_SHELL_SAMPLES];     /* largest |look − fitted| over the bands */
    double dE[FH_SHELL_SAMPLES];           /* ΔE00 of look against fitted, D65/10 */
    double left_out[FH_SHELL_SAMPLES];     /* ΔE00 predicted from the others; −1: too few */
    bool glowing[FH_SHELL_SAMPLES];        /* the backing's white peaks at 430–450 nm */
    double model_dE[FH_SHELL_SAMPLES];     /* ΔE00 of look against the sheet model's */
    fh_spectrum sigma_A, sigma_B, sigma_C; /* standard uncertainties of the fit */
    fh_spectrum condition; /* of the normal equations, scaled: 1 good, above 1e3 poor */
    bool hidden[FH_BANDS]; /* the part can't be seen in these */
    size_t hidden_count;
    bool bounded[FH_BANDS]; /* a bound of the curves was reached */
    double share;           /* of the look's Y that comes from a part of 0.2, D65/10 */
    double range;           /* smallest difference of the lightest and darkest backing */
    double gap_loss;     /* share of the light that a contact head loses across the largest stated
                            gap: 1 − a²/(a² + d²), a the port's radius, d the gap; 0: none known */
    double sigma_look;   /* largest standard uncertainty of a look, mean over the bands */
    double next_backing; /* reflectance of the further backing that would help most */
    size_t next_like;    /* the sample whose backing is like that already; count: none is */
    double next_sigma;   /* sigma_look with it */
} fh_shell_report;

/* Fit a shell to at most FH_SHELL_SAMPLES backings, weighted by the readings' uncertainty.
 *
 * Three or more: A, B, C of every band, where C is drawn to the sheet model's value as far as the
 * readings leave it open. Two, or one and a transmittance: the sheet model's absorption and
 * scattering for options->index. One reading, or a transmittance alone: a sheet that doesn't
 * scatter. The readings' errors, random and shared, are carried into out->mode. report and error
 * may be NULL; out and report are untouched on failure.
 * FH_E_ARGUMENT: nothing to fit or too many samples, options outside their domain. FH_E_DATA: a
 * reading that is not sound, backings alike, a backing called "white" that is darker than the one
 * called "black", geometry or specular mode mixed, a transmittance above 1, a look that grows
 * darker as its backing grows lighter, an opaque shell. FH_E_IMPOSSIBLE: a Lab that no reflectance
 * has; FH_E_MEMORY. */
FH_API fh_status fh_shell_fit(const fh_shell_sample *samples, size_t count,
                              const fh_shell_options *options, fh_shell *out,
                              fh_shell_report *report, fh_error *error);

/* The same shell with its wall ratio times as thick, through the sheet model: the curves move as
 * the model's do, and the uncertainty with them. FH_E_ARGUMENT: ratio not above 0 or above 20;
 * FH_E_DATA: the shell isn't modelled. out may be shell. */
FH_API fh_status fh_shell_thickness(const fh_shell *shell, double ratio, fh_shell *out);

#ifdef __cplusplus
}
#endif
#endif
