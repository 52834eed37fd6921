#include "show/pigment.h"

#include <math.h>

#include "show/colour.h"

/* No paint is darker than this in a mixture: a screen's black absorbs without bound and would swallow any other
   paint (common practice, no source: deep blacks without their gloss reflect some tenths of a per cent). */
#define DARKEST 0.003

#define SCATTERING_OF_BLACK 0.3

double rn_pigment_ratio(double reflectance)
{
    return (1.0 - reflectance) * (1.0 - reflectance) / (2.0 * reflectance);
}

double rn_pigment_reflectance(double ratio)
{
    /* 1 + x - sqrt(x^2 + 2x) without its cancellation at large x. */
    return 1.0 / (1.0 + ratio + sqrt(ratio * (ratio + 2.0)));
}

double rn_pigment_over(double absorption, double scattering, double x, double ground)
{
    const double ratio = absorption / scattering;
    const double a = 1.0 + ratio, b = sqrt(ratio * (ratio + 2.0)), optical = scattering * x;
    if (b * optical < 1e-8) /* no absorption: b coth(b S x) -> 1 / (S x) */
        return (optical * (1.0 - a * ground) + ground) / (optical * (a - ground) + 1.0);
    const double slope = b / tanh(b * optical);
    return (1.0 - ground * (a - slope)) / (a - ground + slope);
}

double rn_pigment_seen(double inside)
{
    return (1.0 - RN_PIGMENT_INNER) * inside / (1.0 - RN_PIGMENT_INNER * inside);
}

double rn_pigment_inside(double seen)
{
    return seen / (1.0 - RN_PIGMENT_INNER + RN_PIGMENT_INNER * seen);
}

rn_pigment rn_pigment_from_srgb(const uint8_t rgb[3])
{
    rn_pigment pigment;
    double lab[3];
    rn_lab_from_srgb(lab, rgb);
    const double light = fmin(fmax(lab[0] / 100.0, 0.0), 1.0);
    const double scattering = SCATTERING_OF_BLACK + (1.0 - SCATTERING_OF_BLACK) * light * light;
    for (int c = 0; c < 3; c++) {
        pigment.own[c] = rn_srgb_decode(rgb[c] / 255.0);
        pigment.scattering[c] = scattering;
        pigment.absorption[c] = scattering * rn_pigment_ratio(rn_pigment_inside(fmax(pigment.own[c], DARKEST)));
    }
    return pigment;
}

void rn_pigment_mix(double seen[3], const rn_pigment *pigments, const double *volumes, int count)
{
    int present = 0, last = 0;
    for (int p = 0; p < count; p++)
        if (volumes[p] > 0.0) {
            present++;
            last = p;
        }
    for (int c = 0; c < 3; c++) {
        double absorption = 0.0, scattering = 0.0;
        for (int p = 0; p < count; p++) {
            absorption += volumes[p] * pigments[p].absorption[c];
            scattering += volumes[p] * pigments[p].scattering[c];
        }
        seen[c] =
            present == 1 ? pigments[last].own[c] : rn_pigment_seen(rn_pigment_reflectance(absorption / scattering));
    }
}
