#include "exact.h"

#include "check.h"
#include "reference.h"

#include "farhue/difference.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void exact_load(exact_shell shells[EXACT_SHELLS])
{
    static const char *const names[EXACT_SHELLS][2] = {{"S1", "45/0"}, {"S1", "8/d"},
                                                       {"S2", "45/0"}, {"S2", "8/d"},
                                                       {"S4", "45/0"}, {"S4", "8/d"}};
    reference table = reference_load("shell_air_gap_monte_carlo.csv");
    check(table.rows == EXACT_SHELLS * FH_BANDS);
    size_t filled = 0;
    for (int s = 0; s < EXACT_SHELLS; ++s) {
        shells[s].shell = names[s][0];
        shells[s].geometry = names[s][1];
        for (size_t row = 0; row < table.rows; ++row) {
            if (strcmp(reference_text(&table, row, "shell"), names[s][0]) != 0 ||
                strcmp(reference_text(&table, row, "geometry"), names[s][1]) != 0)
                continue;
            size_t band =
                (size_t)((reference_number(&table, row, "nm") - FH_FIRST_NM) / FH_STEP_NM);
            for (int k = 0; k < 13; ++k) {
                char column[16];
                snprintf(column, sizeof column, "w%d", k);
                shells[s].w[band][k] = reference_number(&table, row, column);
            }
            shells[s].mirror[band] = reference_number(&table, row, "first_surface_specular");
            ++filled;
        }
    }
    check(filled == EXACT_SHELLS * FH_BANDS);
    reference_free(&table);
}

fh_spectrum exact_look(const exact_shell *shell, const fh_spectrum *part)
{
    fh_spectrum look;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double *w = shell->w[i], rho = part->v[i];
        double upper = 0.0, lower = 0.0, sum = 0.0, power = 1.0;
        for (int k = 1; k <= 12; ++k) {
            if (k >= 2) upper += w[k];
            if (k <= 11) lower += w[k];
        }
        double q = lower > 0.0 ? upper / lower : 0.0;
        for (int k = 0; k <= 12; ++k, power *= rho) sum += w[k] * power;
        look.v[i] = sum + w[12] * power * q / (1.0 - q * rho);
    }
    return look;
}

static double bump(double nm, double centre, double width)
{
    double x = (nm - centre) / width;
    return exp(-x * x);
}

static double step(double nm, double middle, double width)
{
    return 1.0 / (1.0 + exp((middle - nm) / width));
}

fh_spectrum exact_part(int which)
{
    static const double greys[5] = {0.10, 0.20, 0.50, 0.70, 0.95};
    if (which < 5) return fh_spectrum_flat(greys[which]);
    fh_spectrum part;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double nm = fh_band_nm(i);
        part.v[i] = which == 5   ? 0.25 + 0.42 * step(nm, 500, 45)
                    : which == 6 ? 0.06 + 0.38 * bump(nm, 495, 55)
                                 : 0.07 + 0.40 * step(nm, 595, 18);
    }
    return part;
}

fh_reading exact_reading(const char *id, fh_spectrum reflectance)
{
    const fh_weights weights = fh_weights_of(fh_condition_default());
    fh_reading reading = fh_reading_blank();
    snprintf(reading.id, sizeof reading.id, "%s", id);
    reading.origin = FH_ORIGIN_SPECTRUM;
    reading.reflectance = reflectance;
    reading.lab = fh_lab_of_spectrum(&reflectance, &weights);
    return reading;
}

double exact_difference(const fh_spectrum *a, const fh_spectrum *b)
{
    const fh_weights weights = fh_weights_of(fh_condition_default());
    return fh_de2000(fh_lab_of_spectrum(a, &weights), fh_lab_of_spectrum(b, &weights));
}

fh_shell_curves exact_ramps(void)
{
    fh_shell_curves curves;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double x = (double)i / (FH_BANDS - 1);
        curves.A.v[i] = 0.02 + 0.1 * x;
        curves.B.v[i] = 0.05 + 0.6 * x;
        curves.C.v[i] = 0.1 + 0.1 * x;
    }
    return curves;
}

void exact_over_flats(const double *grey, size_t count, fh_reading *looks, fh_reading *backings,
                      fh_shell_sample *samples)
{
    fh_shell_curves curves = exact_ramps();
    for (size_t i = 0; i < count; ++i) {
        fh_spectrum backing = fh_spectrum_flat(grey[i]);
        looks[i] = exact_reading("look", fh_shell_look(&curves, &backing));
        backings[i] = exact_reading("backing", backing);
        samples[i] = (fh_shell_sample){&looks[i], &backings[i]};
    }
}
