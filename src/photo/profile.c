/* Samples to linear light.
 *
 * ICC profiles go through lcms2 with a context of ours: bytes in memory only, memory through
 * base/memory, no error output, no cache. Traps: its integer paths go through coarse tables, so
 * samples are float here and optimisation is off; its PCS is D50 as the ICC rounds it
 * (0.9642, 1, 0.8249), so light is brought back with that white, not the CIE's. */
#include "farhue/profile.h"

#include <lcms2.h>
#include <lcms2_plugin.h>
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"

struct fh_profile {
    fh_coding coding;
    double exponent;
    cmsContext context;
    cmsHTRANSFORM transform;
    bool grey;
    bool starved;   /* an allocation of lcms2's failed */
    fh_mat3 to_rgb; /* XYZ of the connection space (Y = 1) to linear sRGB primaries */
};

const char *fh_coding_name(fh_coding coding)
{
    switch (coding) {
    case FH_CODING_SRGB:
        return "sRGB";
    case FH_CODING_LINEAR:
        return "linear";
    case FH_CODING_GAMMA:
        return "gamma";
    case FH_CODING_ICC:
        return "ICC profile";
    }
    return "unknown";
}

fh_coding fh_profile_coding(const fh_profile *profile)
{
    return profile->coding;
}

fh_status fh_profile_new(fh_coding coding, double exponent, fh_profile **out)
{
    const bool plain = coding == FH_CODING_SRGB || coding == FH_CODING_LINEAR;
    const bool power = coding == FH_CODING_GAMMA && exponent >= 0.2 && exponent <= 5.0;
    if (!plain && !power) return FH_E_ARGUMENT;
    fh_profile *profile = fh_allocate(1, sizeof *profile);
    if (!profile) return FH_E_MEMORY;
    profile->coding = coding;
    profile->exponent = exponent;
    *out = profile;
    return FH_OK;
}

void fh_profile_free(fh_profile *profile)
{
    if (!profile) return;
    if (profile->transform) cmsDeleteTransform(profile->transform);
    if (profile->context) cmsDeleteContext(profile->context);
    fh_free(profile);
}

/* lcms2 takes a failure for damaged data; the profile remembers what it was. While the context is
 * being made it has no profile yet. */
static void *remember(cmsContext context, void *block)
{
    fh_profile *profile = cmsGetContextUserData(context);
    if (!block && profile) profile->starved = true;
    return block;
}

static void *lcms_allocate(cmsContext context, cmsUInt32Number size)
{
    return remember(context, fh_allocate(1, size));
}

static void lcms_free(cmsContext context, void *block)
{
    (void)context;
    fh_free(block);
}

static void *lcms_reallocate(cmsContext context, void *block, cmsUInt32Number size)
{
    return remember(context, fh_reallocate(block, 1, size));
}

/* A profile is for one thread at a time, and the engine knows no threads: locks that do nothing.
 * (lcms2's own would be used unchecked when there is no memory for one.) */
static void *lcms_mutex(cmsContext context)
{
    return context;
}

static void lcms_mutex_end(cmsContext context, void *mutex)
{
    (void)context;
    (void)mutex;
}

static cmsBool lcms_lock(cmsContext context, void *mutex)
{
    (void)context;
    (void)mutex;
    return TRUE;
}

static cmsPluginMutex mutex_plugin(void)
{
    cmsPluginMutex plugin;
    memset(&plugin, 0, sizeof plugin);
    plugin.base.Magic = cmsPluginMagicNumber;
    plugin.base.ExpectedVersion = 2060;
    plugin.base.Type = cmsPluginMutexSig;
    plugin.CreateMutexPtr = lcms_mutex;
    plugin.DestroyMutexPtr = lcms_mutex_end;
    plugin.LockMutexPtr = lcms_lock;
    plugin.UnlockMutexPtr = lcms_mutex_end;
    return plugin;
}

/* No block of ours: lcms2 would fall back on its own allocator without these three. */
static cmsPluginMemHandler memory_plugin(void)
{
    cmsPluginMemHandler plugin;
    memset(&plugin, 0, sizeof plugin);
    plugin.base.Magic = cmsPluginMagicNumber;
    plugin.base.ExpectedVersion = 2000;
    plugin.base.Type = cmsPluginMemHandlerSig;
    plugin.MallocPtr = lcms_allocate;
    plugin.FreePtr = lcms_free;
    plugin.ReallocPtr = lcms_reallocate;
    return plugin;
}

/* Linear sRGB from the connection space: undo the Bradford adaptation from D65 to its D50. */
static fh_mat3 rgb_of_connection(void)
{
    const fh_xyz pcs = {96.42, 100.0, 82.49};
    const fh_mat3 adapt = fh_bradford(pcs, fh_srgb_white());
    fh_mat3 out;
    for (int c = 0; c < 3; c++) {
        fh_vec3 unit = {{0.0, 0.0, 0.0}};
        unit.v[c] = 100.0;
        const fh_vec3 x = fh_mat3_apply(adapt, unit);
        const fh_rgb rgb = fh_srgb_of_xyz((fh_xyz){x.v[0], x.v[1], x.v[2]});
        out.m[0][c] = rgb.r, out.m[1][c] = rgb.g, out.m[2][c] = rgb.b;
    }
    return out;
}

static const char *refusal(cmsHPROFILE icc)
{
    const cmsColorSpaceSignature space = cmsGetColorSpace(icc);
    const cmsProfileClassSignature kind = cmsGetDeviceClass(icc);
    if (space != cmsSigRgbData && space != cmsSigGrayData)
        return "the embedded colour profile is not for RGB or grey; save the photo as sRGB";
    if (kind != cmsSigInputClass && kind != cmsSigDisplayClass && kind != cmsSigColorSpaceClass)
        return "the embedded profile is not an input, display or colour space profile; save the "
               "photo as sRGB";
    return NULL;
}

static fh_status open_transform(fh_profile *profile, const void *bytes, size_t size,
                                fh_error *error)
{
    if (size < 128 || size > 64u * 1024 * 1024)
        return fh_fail(error, FH_E_DATA,
                       "the embedded colour profile has %zu bytes; expected 128 bytes to 64 MiB",
                       size);
    cmsHPROFILE icc = cmsOpenProfileFromMemTHR(profile->context, bytes, (cmsUInt32Number)size);
    if (!icc)
        return fh_fail(error, FH_E_DATA,
                       "the embedded colour profile is damaged; save the photo as sRGB, or say "
                       "how it is coded");
    const char *no = refusal(icc);
    cmsHPROFILE xyz = no ? NULL : cmsCreateXYZProfileTHR(profile->context);
    if (xyz) {
        profile->grey = cmsGetColorSpace(icc) == cmsSigGrayData;
        profile->transform = cmsCreateTransformTHR(
            profile->context, icc, profile->grey ? TYPE_GRAY_DBL : TYPE_RGB_DBL, xyz, TYPE_XYZ_DBL,
            INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE);
        cmsCloseProfile(xyz);
    }
    cmsCloseProfile(icc);
    if (no) return fh_fail(error, FH_E_DATA, "%s", no);
    if (!profile->transform)
        return fh_fail(error, FH_E_DATA,
                       "the embedded colour profile leads to no colours; save the photo as sRGB");
    return FH_OK;
}

fh_status fh_profile_from_icc(const void *bytes, size_t size, fh_profile **out, fh_error *error)
{
    fh_profile *profile = fh_allocate(1, sizeof *profile);
    if (!profile) return fh_fail(error, FH_E_MEMORY, "out of memory");
    cmsPluginMemHandler plugin = memory_plugin();
    cmsPluginMutex mutex = mutex_plugin();
    plugin.base.Next = &mutex.base;
    profile->coding = FH_CODING_ICC;
    profile->to_rgb = rgb_of_connection();
    profile->context = cmsCreateContext(&plugin, profile);
    fh_status status = profile->context ? open_transform(profile, bytes, size, error)
                                        : fh_fail(error, FH_E_MEMORY, "out of memory");
    if (profile->starved) /* what lcms2 makes without a block is not to be trusted */
        status = fh_fail(error, FH_E_MEMORY, "out of memory");
    if (status != FH_OK) {
        fh_profile_free(profile);
        return status;
    }
    *out = profile;
    return FH_OK;
}

static void icc_linear(const fh_profile *profile, fh_rgb *samples, size_t count)
{
    enum { STRIP = 256 };
    double in[3 * STRIP], xyz[3 * STRIP];
    for (size_t at = 0; at < count; at += STRIP) {
        const size_t n = count - at < STRIP ? count - at : STRIP;
        for (size_t i = 0; i < n; i++) {
            const fh_rgb s = samples[at + i];
            if (profile->grey) {
                in[i] = s.g;
            } else {
                in[3 * i] = s.r, in[3 * i + 1] = s.g, in[3 * i + 2] = s.b;
            }
        }
        cmsDoTransform(profile->transform, in, xyz, (cmsUInt32Number)n);
        for (size_t i = 0; i < n; i++) {
            const fh_vec3 x = {{xyz[3 * i], xyz[3 * i + 1], xyz[3 * i + 2]}};
            const fh_vec3 rgb = fh_mat3_apply(profile->to_rgb, x);
            samples[at + i] = (fh_rgb){rgb.v[0], rgb.v[1], rgb.v[2]};
        }
    }
}

static double power(double value, double exponent)
{
    return value < 0.0 ? -pow(-value, exponent) : pow(value, exponent);
}

void fh_profile_linear(const fh_profile *profile, fh_rgb *samples, size_t count)
{
    if (profile->coding == FH_CODING_LINEAR) return;
    if (profile->coding == FH_CODING_ICC) {
        icc_linear(profile, samples, count);
        return;
    }
    const double e = profile->exponent;
    const bool srgb = profile->coding == FH_CODING_SRGB;
    for (size_t i = 0; i < count; i++) {
        fh_rgb *s = &samples[i];
        s->r = srgb ? fh_srgb_decode(s->r) : power(s->r, e);
        s->g = srgb ? fh_srgb_decode(s->g) : power(s->g, e);
        s->b = srgb ? fh_srgb_decode(s->b) : power(s->b, e);
    }
}
