/* Do corrections work? docs/accuracy.md, "Paint".
 *
 * Targets are mixtures of four of the 19 acrylic paints; the shelf in the workshop differs from the
 * books: every paint's K and S by a factor each (log-sd 0.10), every quantity by 3 %, every reading
 * by 0.2 in L*, a* and b*. Mix, read, correct, read, correct. Figures are true ΔE00, D65/10. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "check.h"
#include "farhue/batch.h"
#include "farhue/difference.h"
#include "reference.h"

enum { BATCHES = 300, PAINTS = 4, ROUNDS = 3 };

static fh_paint books[FH_MIX_SHELF], real[FH_MIX_SHELF];
static size_t book_count;

static void load_books(void)
{
    reference t = reference_load("acrylic19_K_S_10nm.csv");
    double nm[64], value[64];
    for (size_t c = 1; c < t.columns; ++c) {
        for (size_t r = 0; r < t.rows; ++r) {
            nm[r] = reference_number_at(&t, r, 0);
            value[r] = reference_number_at(&t, r, c);
        }
        const bool first = t.fields[c][0] == 'K';
        if (first) {
            books[book_count] = fh_paint_blank();
            strcpy(books[book_count].id, t.fields[c] + 2);
        }
        fh_spectrum *s = first ? &books[book_count].K : &books[book_count].S;
        assert_int_equal(fh_spectrum_resample(nm, value, t.rows, s, NULL), FH_OK);
        if (!first) ++book_count;
    }
    reference_free(&t);
}

static double normal(uint64_t stream, uint64_t trial, uint64_t index)
{
    return fh_random_normal(7, stream, trial, index);
}

static void make_real(uint64_t trial)
{
    for (size_t p = 0; p < book_count; ++p) {
        real[p] = books[p];
        const double k = exp(0.10 * normal(1, trial, p)), s = exp(0.10 * normal(2, trial, p));
        for (size_t i = 0; i < FH_BANDS; ++i) {
            real[p].K.v[i] *= k;
            real[p].S.v[i] *= s;
        }
    }
}

/* A mixture of white and three others. */
static fh_blend wanted_blend(uint64_t trial)
{
    fh_blend b = {.count = PAINTS};
    for (size_t p = 0; p < book_count; ++p)
        if (strstr(books[p].id, "titanium_white")) b.paint[0] = p;
    for (size_t i = 1; i < PAINTS; ++i) {
        bool twice;
        uint64_t again = 0;
        do {
            b.paint[i] = (size_t)(fh_random_bits(7, 10 + i, trial, again++) % book_count);
            twice = false;
            for (size_t k = 0; k < i; ++k) twice = twice || b.paint[k] == b.paint[i];
        } while (twice);
    }
    for (size_t i = 0; i < PAINTS; ++i)
        b.part[i] = (i == 0 ? 0.5 : 0.05) + 0.4 * fh_random_uniform(7, 20 + i, trial, 0);
    return b;
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* One batch: true ΔE00 after mixing and after each correction. */
static void run_batch(uint64_t trial, double *after, double *growth)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_surface face = fh_mix_options_default().surface;
    fh_blend wanted = wanted_blend(trial);
    const fh_spectrum coat = fh_blend_opaque(books, &wanted, &face);
    fh_reading part = fh_reading_blank(), paint_out[ROUNDS];
    strcpy(part.id, "part");
    part.origin = FH_ORIGIN_SPECTRUM;
    part.reflectance = coat;
    part.lab = fh_lab_of_spectrum(&coat, &day);
    fh_target target;
    fh_target_init(&target, &part, NULL);
    const fh_condition only = fh_condition_default();
    assert_int_equal(fh_target_set_lights(&target, &only, 1, NULL), FH_OK);

    make_real(trial);
    double total = 0.0;
    for (size_t i = 0; i < PAINTS; ++i) total += wanted.part[i];
    fh_batch batch = {.paint_count = PAINTS};
    fh_batch_options options = fh_batch_options_for(&target);
    options.surface = face;
    fh_blend pot = wanted;
    for (size_t i = 0; i < PAINTS; ++i) {
        batch.paint[i] = wanted.paint[i];
        batch.step[0].added[i] = 10.0 * wanted.part[i] / total;
        pot.part[i] = 0.0;
    }
    for (size_t k = 0; k < ROUNDS; ++k) {
        for (size_t i = 0; i < PAINTS; ++i)
            pot.part[i] += batch.step[k].added[i] * (1.0 + 0.03 * normal(30 + k, trial, i));
        const fh_spectrum dry = fh_blend_opaque(real, &pot, &face);
        const fh_lab truth = fh_lab_of_spectrum(&dry, &day);
        after[k] = fh_de2000(part.lab, truth);
        paint_out[k] = fh_reading_blank();
        strcpy(paint_out[k].id, "paint-out");
        paint_out[k].random = fh_mat3_diagonal(0.04, 0.04, 0.04);
        paint_out[k].lab = (fh_lab){truth.L + 0.2 * normal(40 + k, trial, 0),
                                    truth.a + 0.2 * normal(40 + k, trial, 1),
                                    truth.b + 0.2 * normal(40 + k, trial, 2)};
        batch.step[k].paint_out = &paint_out[k];
        batch.step_count = k + 1;
        if (k + 1 == ROUNDS) break;
        fh_batch_advice c;
        fh_error error = {0};
        if (fh_batch_correct(&target, books, &batch, &options, &c, &error))
            fail_msg("%s", error.message);
        for (size_t i = 0; i < PAINTS; ++i) batch.step[k + 1].added[i] = c.add[i];
        *growth = c.new_size / 10.0;
    }
}

static void two_corrections(void **state)
{
    (void)state;
    static double after[ROUNDS][BATCHES], growth[BATCHES];
    load_books();
    for (uint64_t trial = 0; trial < BATCHES; ++trial) {
        double one[ROUNDS];
        run_batch(trial, one, &growth[trial]);
        for (size_t k = 0; k < ROUNDS; ++k) after[k][trial] = one[k];
    }
    for (size_t k = 0; k < ROUNDS; ++k) {
        qsort(after[k], BATCHES, sizeof(double), ascending);
        print_message("# after %zu corrections: median %.2f, 90 %% below %.2f, worst %.2f\n", k,
               after[k][BATCHES / 2], after[k][BATCHES * 9 / 10], after[k][BATCHES - 1]);
    }
    qsort(growth, BATCHES, sizeof(double), ascending);
    print_message("# size in the end: median %.2f of the first, 90 %% below %.2f\n", growth[BATCHES / 2],
           growth[BATCHES * 9 / 10]);
    /* Own requirements; the first row shows that there is something to correct. */
    check_between(after[0][BATCHES / 2], 1.0, 2.0);
    check_between(after[1][BATCHES * 9 / 10], 0.0, 0.7);
    check_between(after[2][BATCHES / 2], 0.0, 0.4);
    check_between(after[2][BATCHES * 9 / 10], 0.0, 0.7);
    check_between(growth[BATCHES / 2], 1.0, 1.3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(two_corrections)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
