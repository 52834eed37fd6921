/* What the sources of the film's inner loops share: small functions that vanish into the loops. Each source is compiled
   once per instruction set with RN_KERNEL_SUFFIX naming it. */
#ifndef RN_FILM_KERNEL_LOOPS_H
#define RN_FILM_KERNEL_LOOPS_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "film/kernels.h"

#define PASTE_(a, b) a##b
#define PASTE(a, b) PASTE_(a, b)
#define TEXT_(a) #a
#define TEXT(a) TEXT_(a)

/* The loops' pointers never overlap where one is written. */
#define EACH _Pragma("GCC ivdep") for
#define INLINE static inline __attribute__((always_inline))

INLINE double greater(double a, double b)
{
    return a > b ? a : b;
}

INLINE double lesser(double a, double b)
{
    return a < b ? a : b;
}

#define LEAST_DEPTH 1e-12 /* a film thinner than a molecule gives nothing [m]: no endless tails of tiny numbers */

/* |G| with the hold of the dry ground ahead taken off; on coarse cells one that is wet in part still holds. */
INLINE double held_drive(const rn_face_rule *rule, double G, double ahead, double p_ahead)
{
    double wet = ahead * rule->per_wet, square = wet * wet;
    double dry = greater(0.0, 1.0 - wet + rule->holds_late * (wet - square * square));
    return greater(0.0, fabs(G) - dry * greater(0.0, rule->hold - p_ahead) * rule->per_d);
}

/* van Leer's harmonic slope at the face [vanleer1974]. */
INLINE double face_depth(double far, double up, double down)
{
    double ahead = down - up, behind = up - far;
    double product = ahead * behind;
    return up + (product > 0.0 ? product / (ahead + behind) : 0.0);
}

/* How uneven the four depths are, 0..1: the explicit mixed capillary term is damped where the front is. */
INLINE double unevenness(double a, double b, double c, double d)
{
    double least = lesser(lesser(a, b), lesser(c, d)), most = greater(greater(a, b), greater(c, d));
    return 1.0 - least / (most + 1e-9);
}

/* log2 and exp2 to a few units in the last place by series, from operations that every instruction set has;
   x > 0 and normal; the argument of exp2 within +-1000. */
INLINE double log2_series(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    uint64_t exponent_bits = (bits >> 52) | UINT64_C(0x4330000000000000);
    uint64_t mantissa_bits = (bits & UINT64_C(0x000fffffffffffff)) | UINT64_C(0x3ff0000000000000);
    double exponent, mantissa;
    memcpy(&exponent, &exponent_bits, sizeof exponent);
    memcpy(&mantissa, &mantissa_bits, sizeof mantissa);
    exponent -= 4503599627370496.0 + 1023.0;
    bool big = mantissa > 1.4142135623730951;
    mantissa = big ? 0.5 * mantissa : mantissa;
    exponent = big ? exponent + 1.0 : exponent;
    double z = (mantissa - 1.0) / (mantissa + 1.0), y = z * z;
    double series = 1.0 / 21;
    series = series * y + 1.0 / 19;
    series = series * y + 1.0 / 17;
    series = series * y + 1.0 / 15;
    series = series * y + 1.0 / 13;
    series = series * y + 1.0 / 11;
    series = series * y + 1.0 / 9;
    series = series * y + 1.0 / 7;
    series = series * y + 1.0 / 5;
    series = series * y + 1.0 / 3;
    series = series * y + 1.0;
    return exponent + z * series * 2.8853900817779268; /* 2/ln 2 */
}

INLINE double exp2_series(double x)
{
    x = lesser(greater(x, -1000.0), 1000.0);
    double shifted = x + 6755399441055744.0; /* 1.5 * 2^52: rounds to the nearest whole number */
    double f = (x - (shifted - 6755399441055744.0)) * 0.6931471805599453;
    uint64_t bits;
    memcpy(&bits, &shifted, sizeof bits);
    bits = (bits + 1023) << 52;
    double scale;
    memcpy(&scale, &bits, sizeof scale);
    double series = 1.0 / 6227020800;
    series = series * f + 1.0 / 479001600;
    series = series * f + 1.0 / 39916800;
    series = series * f + 1.0 / 3628800;
    series = series * f + 1.0 / 362880;
    series = series * f + 1.0 / 40320;
    series = series * f + 1.0 / 5040;
    series = series * f + 1.0 / 720;
    series = series * f + 1.0 / 120;
    series = series * f + 1.0 / 24;
    series = series * f + 1.0 / 6;
    series = series * f + 0.5;
    series = series * f + 1.0;
    series = series * f + 1.0;
    return scale * series;
}

/* In kernels_columns.c. */
rn_flux_columns PASTE(rn_flux_columns_, RN_KERNEL_SUFFIX);

#endif
