/* A plastic wall: straight beams exactly, and two fluxes of what they scatter.
 *
 * Straight, at the cosine c inside, with a = exp(−(μa + μs′) d/c) and the mirror reflection F of a
 * face (both faces alike), by summing the bounces:
 *   T = (1 − F)² a/(1 − F² a²)      R = F + (1 − F)² F a²/(1 − F² a²)
 * Inside run (1 − F)/(1 − F² a²) · [exp(−k z) down, F a exp(−k (1 − z)) up], k = (μa + μs′) d/c and
 * z the depth from 0 to 1. Per depth they lose q(z) = μs′ d/c · (down + up) to scattering.
 *
 * The two fluxes i (down) and j (up) obey [Kubelka1931] with a source:
 *   di/dz = −(K + S) i + S j + q/2        dj/dz = (K + S) j − S i − q/2
 * K = 2 μa d, S = ¾ μs′ d, which makes K–M agree with diffusion theory where light is diffuse
 * ([Star1988]; its − ¼ μa is left out so that S stays positive). At both faces r = inner diffuse
 * reflectance: i(0) = r j(0), j(1) = r i(1).
 *
 * Reciprocity gives the rest: what an eye along the normal sees of a Lambertian part below is the
 * total transmittance of a beam along the normal, so B = T(lamp) T(eye), C = R averaged over the
 * fan 2 c dc.
 *
 * Traps: "interface – K-M body – interface" takes all light inside as diffuse, so that 0.59 is
 * turned back at each face, and gives a clear sheet R = 0.35 over black where 0 is right. The
 * particular solution is singular where k meets the decay rate of the fluxes; it is bridged. */
#include "farhue/sheet.h"

#include "farhue/body.h"
#include "farhue/fresnel.h"
#include "optics/quadrature.h"

#include <assert.h>
#include <math.h>

static fh_sheet_ray ray(double index, double cosine_outside, double weight)
{
    return (fh_sheet_ray){.cosine = fh_fresnel_refract(index, cosine_outside),
                          .mirror = fh_fresnel_outside(index, cosine_outside),
                          .weight = weight};
}

static double cosine_of(double degrees)
{
    return cos(degrees * (3.14159265358979323846 / 180.0));
}

fh_status fh_sheet_of(double index, fh_geometry geometry, fh_specular specular, fh_sheet *out)
{
    if (!(index >= 1.0) || !isfinite(index)) return FH_E_ARGUMENT;
    bool sphere = geometry == FH_GEOMETRY_8_D;
    if (!sphere && specular == FH_SPECULAR_INCLUDED) return FH_E_ARGUMENT;
    fh_sheet sheet = {.index = index, .geometry = geometry, .specular = specular};
    sheet.inner = fh_fresnel_diffuse_inside(index);
    sheet.beam = ray(index, cosine_of(sphere ? 8.0 : 45.0), 1.0);
    sheet.eye = ray(index, 1.0, 1.0);
    sheet.toward = sphere ? 1.0 - sheet.inner : (1.0 - sheet.eye.mirror) / (index * index);
    for (int i = 0; i < FH_SHEET_RAYS; ++i) { /* c = x²: the steep rise at grazing angles */
        double x = fh_gauss_node[i];
        sheet.fan[i] = ray(index, x * x, fh_gauss_weight[i] * 4.0 * x * x * x);
    }
    *out = sheet;
    return FH_OK;
}

/* What becomes of a beam. mirrored leaves in the mirror direction, from both faces; diffuse light
 * arrives at the faces from inside. */
typedef struct fate {
    double mirrored, straight;
    double at_top, at_bottom;
} fate;

typedef struct fluxes {
    double absorption, scattering; /* μa d, μs′ d */
    double alpha, S, gamma;        /* K + S, S, √(K (K + 2S)) */
    fh_body body;
    double inner;
} fluxes;

/* The diffuse light at the faces for the source top·exp(−k z) + bottom·exp(−k (1 − z)). */
static void respond(const fluxes *f, double k, double top, double bottom, fate *out)
{
    double det = f->gamma * f->gamma - k * k, decay = exp(-k);
    double same = 0.5 * (f->alpha + k + f->S) / det; /* in the sense of the source's decay */
    double against = 0.5 * (f->alpha - k + f->S) / det;
    double i0 = top * same + bottom * decay * against, j0 = top * against + bottom * decay * same;
    double i1 = top * decay * same + bottom * against, j1 = top * decay * against + bottom * same;
    double r = f->inner, diagonal = 1.0 - r * f->body.R0, cross = r * f->body.T;
    double e = r * j0 - i0, g = r * i1 - j1, whole = diagonal * diagonal - cross * cross;
    double x = (e * diagonal + g * cross) / whole, y = (g * diagonal + e * cross) / whole;
    out->at_top = j0 + f->body.R0 * x + f->body.T * y;
    out->at_bottom = i1 + f->body.T * x + f->body.R0 * y;
}

static fate follow(const fluxes *f, const fh_sheet_ray *beam)
{
    const double F = beam->mirror, k = (f->absorption + f->scattering) / beam->cosine;
    const double a = exp(-k), round = (1.0 - F) / fmax(1.0 - F * F * a * a, 1e-300);
    fate out = {.straight = (1.0 - F) * a * round, .mirrored = F + (1.0 - F) * F * a * a * round};
    if (f->scattering <= 0.0 || F >= 1.0) return out;
    double top = f->scattering / beam->cosine * round, bottom = top * F * a;
    const double bridge = 1e-4 * k;
    double off = (k - f->gamma + bridge) / (2.0 * bridge); /* 0–1 inside the bridge */
    if (off <= 0.0 || off >= 1.0) {
        respond(f, k, top, bottom, &out);
        return out;
    }
    fate low = out, high = out;
    respond(f, f->gamma - bridge, top, bottom, &low);
    respond(f, f->gamma + bridge, top, bottom, &high);
    out.at_top = low.at_top + off * (high.at_top - low.at_top);
    out.at_bottom = low.at_bottom + off * (high.at_bottom - low.at_bottom);
    return out;
}

fh_sheet_band fh_sheet_band_of(const fh_sheet *sheet, double absorption, double scattering)
{
    assert(absorption >= 0.0 && scattering >= 0.0 && isfinite(absorption) && isfinite(scattering));
    fluxes f = {.absorption = absorption, .scattering = scattering, .inner = sheet->inner};
    double K = 2.0 * absorption;
    f.S = 0.75 * scattering;
    f.alpha = K + f.S;
    f.gamma = sqrt(K) * sqrt(K + 2.0 * f.S);
    f.body = fh_body_of((fh_body_pair){K, f.S});
    const double out_of = 1.0 - f.inner;
    fate lamp = follow(&f, &sheet->beam), eye = follow(&f, &sheet->eye);
    fh_sheet_band band = {.A = sheet->toward * lamp.at_top,
                          .T = eye.straight + out_of * eye.at_bottom};
    double through = 0.0; /* of diffuse light, either way */
    for (int i = 0; i < FH_SHEET_RAYS; ++i) {
        fate one = follow(&f, &sheet->fan[i]);
        band.C += sheet->fan[i].weight * (one.mirrored + out_of * one.at_top);
        through += sheet->fan[i].weight * (one.straight + out_of * one.at_bottom);
    }
    double in = lamp.straight + out_of * lamp.at_bottom;
    if (sheet->geometry == FH_GEOMETRY_8_D) {
        band.A += lamp.mirrored;
        if (sheet->specular != FH_SPECULAR_INCLUDED) band.A -= sheet->beam.mirror;
        band.B = in * through;
    } else {
        band.B = in * band.T;
    }
    return band;
}

fh_shell_curves fh_sheet_curves(const fh_sheet *sheet, const fh_spectrum *absorption,
                                const fh_spectrum *scattering, fh_spectrum *transmittance)
{
    fh_shell_curves curves;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        fh_sheet_band band = fh_sheet_band_of(sheet, absorption->v[i], scattering->v[i]);
        curves.A.v[i] = band.A;
        curves.B.v[i] = band.B;
        curves.C.v[i] = band.C;
        if (transmittance) transmittance->v[i] = band.T;
    }
    return curves;
}
