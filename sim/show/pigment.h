/* What colour paints have, alone and mingled: the two-flux theory of Kubelka and Munk [kubelka1931], by channel of
   linear sRGB. A paint's colour is taken as seen without the gloss on it; what the wet surface throws back inside is
   Saunderson's correction [saunderson1942]. */
#ifndef RN_SHOW_PIGMENT_H
#define RN_SHOW_PIGMENT_H

#include <stdint.h>

/* Share of the light from inside that the surface throws back inside: Saunderson's own choice for paint [-]. */
#define RN_PIGMENT_INNER 0.4

typedef struct rn_pigment {
    double own[3];        /* linear sRGB, as seen */
    double absorption[3]; /* K and S in units of what a white paint scatters */
    double scattering[3];
} rn_pigment;

/* K/S of a layer too thick to see through, R its reflectance: (1 - R)^2 / 2R [kubelka1931, allen1980]. */
double rn_pigment_ratio(double reflectance);

/* The inverse: 1 + K/S - sqrt((K/S)^2 + 2 K/S). */
double rn_pigment_reflectance(double ratio);

/* A layer of thickness x [m] over a ground of known reflectance; K and S [1/m], S > 0:
   R = (1 - ground (a - b coth bSx)) / (a - ground + b coth bSx), a = 1 + K/S, b = sqrt(a^2 - 1). */
double rn_pigment_over(double absorption, double scattering, double x, double ground);

/* Reflectance inside the paint <-> as seen without its gloss: seen = (1 - k) R / (1 - k R), k RN_PIGMENT_INNER. */
double rn_pigment_seen(double inside);
double rn_pigment_inside(double seen);

/* K and S from a paint's colour. Only their ratio follows from it: scattering is taken to grow with lightness from
   0.3 (black) to 1 (white), an estimate without a source, for light pigments are the ones that hide. */
rn_pigment rn_pigment_from_srgb(const uint8_t rgb[3]);

/* The colour of a mixture, linear sRGB as seen; volumes[count] in any one unit, their sum > 0. One paint alone keeps
   its own colour exactly. */
void rn_pigment_mix(double seen[3], const rn_pigment *pigments, const double *volumes, int count);

#endif
