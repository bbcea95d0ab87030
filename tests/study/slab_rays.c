/* Light through plastic slabs, ray by ray: an own small Monte Carlo that shares no code with the
 * engine, to judge its sheet model at another thickness.
 *
 *   slab_rays                 traces 300,000 rays a run and compares with tests/data/slab_rays.csv
 *   slab_rays --table RAYS    prints that table
 *
 * A slab (index, thickness, scattering coefficient, Henyey–Greenstein g) in air, smooth faces,
 * endless sideways. Rays scatter, are mirrored or refracted by chance (Fresnel, unpolarised); their
 * path inside is kept, so that one run serves every absorption: weight exp(−μa · path). Scattering
 * does not depend on the wavelength here. From four runs, over a Lambertian part behind a gap:
 *   beam 45° → T45      beam 0° → T0 and what leaves at 40–50° (by reciprocity A of 45°:0°)
 *   beam 8°  → T8 and R8 without the first mirror reflection     diffuse from below → C and Td
 *   45°:0°: B = T45 · T0        8°:d: A = R8, B = T8 · Td */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BANDS = 36, SLABS = 4 };

typedef struct slab {
    const char *name;
    double index, scattering, g, thickness; /* 1/mm, mm; traced once and twice as thick */
    double absorption[BANDS];               /* 1/mm */
} slab;

static uint64_t state;

/* xorshift64*, 53 bits, never 0. */
static double chance(void)
{
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return ((double)((state * UINT64_C(2685821657736338717)) >> 11) + 0.5) / 9007199254740992.0;
}

/* Reflectance of a face; from, to: indices; c: cosine on the near side; *out: on the far side. */
static double mirror(double from, double to, double c, double *out)
{
    double s2 = (from / to) * (from / to) * (1.0 - c * c);
    if (s2 >= 1.0) return 1.0;
    *out = sqrt(1.0 - s2);
    double a = (from * c - to * *out) / (from * c + to * *out);
    double b = (from * *out - to * c) / (from * *out + to * c);
    return 0.5 * (a * a + b * b);
}

/* The cosine to the normal after a scattering; only that matters in an endless slab. */
static double scatter(double c, double g)
{
    double u = chance(), turn;
    if (fabs(g) < 1e-6) {
        turn = 2.0 * u - 1.0;
    } else {
        double q = (1.0 - g * g) / (1.0 - g + 2.0 * g * u);
        turn = (1.0 + g * g - q * q) / (2.0 * g);
    }
    double around = cos(6.283185307179586 * chance());
    return c * turn + sqrt(fmax(0.0, (1.0 - c * c) * (1.0 - turn * turn))) * around;
}

typedef struct sums {
    double up[BANDS], down[BANDS], ring[BANDS]; /* leaving above, below, above at 40–50° */
} sums;

/* Trace one ray that has just entered at the top with the inner cosine c; the slab is thick mm. */
static void trace(const slab *s, double thick, double c, sums *sum)
{
    double z = 0.0, path = 0.0, out = 0.0;
    const double ring_low = cos(50 * 0.017453292519943295),
                 ring_high = cos(40 * 0.017453292519943295);
    for (;;) {
        double free_path = -log(chance()) / s->scattering;
        double wall = c > 0.0 ? (thick - z) / c : c < 0.0 ? -z / c : 1e30;
        if (free_path < wall) {
            z += c * free_path;
            path += free_path;
            c = scatter(c, s->g);
            continue;
        }
        path += wall;
        if (path * s->absorption[0] > 40.0 && path > 4000.0) return;
        z = c > 0.0 ? thick : 0.0;
        if (chance() < mirror(s->index, 1.0, fabs(c), &out)) {
            c = -c;
            continue;
        }
        for (int i = 0; i < BANDS; ++i) {
            double w = exp(-s->absorption[i] * path);
            if (c > 0.0)
                sum->down[i] += w;
            else
                sum->up[i] += w;
            if (c < 0.0 && out > ring_low && out < ring_high) sum->ring[i] += w;
        }
        return;
    }
}

/* rays from a beam at this cosine outside, or diffuse for a cosine of 0. The first mirror
 * reflection is left out; *mirrored is its share. Returns sums over rays. */
static sums run(const slab *s, double thick, double cosine, long rays, double *mirrored)
{
    sums sum;
    memset(&sum, 0, sizeof sum);
    *mirrored = 0.0;
    for (long k = 0; k < rays; ++k) {
        double c = cosine > 0.0 ? cosine : sqrt(chance()), inside;
        if (chance() < mirror(1.0, s->index, c, &inside))
            *mirrored += 1.0;
        else
            trace(s, thick, inside, &sum);
    }
    *mirrored /= (double)rays;
    for (int i = 0; i < BANDS; ++i) {
        sum.up[i] /= (double)rays;
        sum.down[i] /= (double)rays;
        sum.ring[i] /= (double)rays;
    }
    return sum;
}

typedef struct result {
    double A45[BANDS], B45[BANDS], A8[BANDS], B8[BANDS], C[BANDS];
} result;

static result measure(const slab *s, double thick, long rays)
{
    const double degree = 0.017453292519943295;
    double none, mirrored;
    sums flat = run(s, thick, 1.0, rays, &none),
         lamp = run(s, thick, cos(45 * degree), rays, &none);
    sums near = run(s, thick, cos(8 * degree), rays, &none),
         fan = run(s, thick, 0.0, rays, &mirrored);
    const double ring = pow(sin(50 * degree), 2) - pow(sin(40 * degree), 2);
    result r;
    for (int i = 0; i < BANDS; ++i) {
        r.A45[i] = flat.ring[i] / ring;
        r.B45[i] = lamp.down[i] * flat.down[i];
        r.A8[i] = near.up[i];
        r.B8[i] = near.down[i] * fan.down[i];
        r.C[i] = mirrored + fan.up[i];
    }
    return r;
}

static double bump(double nm, double centre, double width)
{
    return exp(-(nm - centre) * (nm - centre) / (width * width));
}

/* Four invented plastics: nearly clear amber, hazy blue, frosted green, milky pink. */
static void invent(slab slabs[SLABS])
{
    slabs[0] = (slab){"amber", 1.49, 0.05, 0.90, 1.5, {0}};
    slabs[1] = (slab){"blue", 1.586, 0.4, 0.85, 1.5, {0}};
    slabs[2] = (slab){"green", 1.586, 2.5, 0.80, 1.0, {0}};
    slabs[3] = (slab){"pink", 1.49, 6.0, 0.60, 0.8, {0}};
    for (int i = 0; i < BANDS; ++i) {
        double nm = 380 + 10 * i;
        slabs[0].absorption[i] = 0.01 + 0.9 / (1.0 + exp((nm - 540) / 15.0));
        slabs[1].absorption[i] = 0.02 + 0.5 * bump(nm, 620, 70);
        slabs[2].absorption[i] = 0.02 + 0.4 * bump(nm, 400, 60) + 0.3 * bump(nm, 660, 60);
        slabs[3].absorption[i] = 0.01 + 0.3 * bump(nm, 530, 45);
    }
}

static void print_rows(const slab *s, double thick, const result *r)
{
    for (int i = 0; i < BANDS; ++i) {
        printf("%s,%.3f,%.2f,45/0,%d,%.5f,%.5f,%.5f\n", s->name, s->index, thick, 380 + 10 * i,
               r->A45[i], r->B45[i], r->C[i]);
        printf("%s,%.3f,%.2f,8/d,%d,%.5f,%.5f,%.5f\n", s->name, s->index, thick, 380 + 10 * i,
               r->A8[i], r->B8[i], r->C[i]);
    }
}

/* Largest difference of a run from the rows of the table; −1 when the table can't be read. */
static double compare(const slab *s, double thick, const result *r)
{
    FILE *file = fopen("tests/data/slab_rays.csv", "r");
    char line[256], name[16], geometry[8];
    double worst = file ? 0.0 : -1.0, index, there, A, B, C;
    int nm, rows = 0;
    while (file && fgets(line, sizeof line, file)) {
        if (sscanf(line, "%15[^,],%lf,%lf,%7[^,],%d,%lf,%lf,%lf", name, &index, &there, geometry,
                   &nm, &A, &B, &C) != 8)
            continue;
        int i = (nm - 380) / 10;
        if (strcmp(name, s->name) != 0 || fabs(there - thick) > 1e-9 || i < 0 || i >= BANDS)
            continue;
        ++rows;
        int sphere = geometry[0] == '8';
        worst = fmax(worst, fabs(A - (sphere ? r->A8[i] : r->A45[i])));
        worst = fmax(worst, fabs(B - (sphere ? r->B8[i] : r->B45[i])));
        worst = fmax(worst, fabs(C - r->C[i]));
    }
    if (file) fclose(file);
    return rows == 2 * BANDS ? worst : -1.0;
}

int main(int count, char **words)
{
    int table = count == 3 && strcmp(words[1], "--table") == 0;
    long rays = table ? strtol(words[2], NULL, 10) : 300000;
    slab slabs[SLABS];
    invent(slabs);
    if (table) {
        printf(
            "# Shells traced ray by ray: tests/study/slab_rays.c --table %ld. Invented plastics.\n"
            "# A, B, C of look = A + B rho/(1 - C rho) over a Lambertian part behind an air gap;\n"
            "# specular excluded (8/d: only the first face's mirror reflection). Licence: MIT.\n"
            "slab,index,mm,geometry,nm,A,B,C\n",
            rays);
    }
    for (int k = 0; k < SLABS; ++k)
        for (int times = 1; times <= 2; ++times) {
            double thick = slabs[k].thickness * times;
            state =
                UINT64_C(88172645463325252) + (uint64_t)(10 * k + times) * 7919 + (table ? 0 : 1);
            result r = measure(&slabs[k], thick, rays);
            if (table)
                print_rows(&slabs[k], thick, &r);
            else
                printf("slab rays: %-6s %.2f mm: at most %.4f from the table (%ld rays)\n",
                       slabs[k].name, thick, compare(&slabs[k], thick, &r), rays);
        }
    return 0;
}
