/* p: a share; z: standard deviations; t: Hastings' variable. */
#include "search/chance.h"

#include <math.h>

#define ROOT_TWO 1.41421356237309504880
#define ROOT_TWO_PI 2.50662827463100050242
#define NEWTON 3 /* from 5e-4 on, each step doubles the digits or better */

double rn_normal_below(double z)
{
    return 0.5 * erfc(-z / ROOT_TWO);
}

/* The z above which a share of at most a half lies, within 4.5e-4 [abramowitz1964] (26.2.23). */
static double upper_about(double p)
{
    const double t = sqrt(-2 * log(p));
    return t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
}

double rn_normal_at(double share)
{
    const double p = fmin(share, 1 - share); /* the tail, where nothing is lost by taking it from 1 */
    if (!(p > 0))
        return share > 0.5 ? INFINITY : -INFINITY;
    double z = -upper_about(p);
    for (int i = 0; i < NEWTON; i++) /* relative to p, so that far tails come right as well */
        z -= (rn_normal_below(z) - p) * ROOT_TWO_PI * exp(0.5 * z * z);
    return share > 0.5 ? -z : z;
}

rn_interval rn_chance_interval(int met, int of, double sure)
{
    if (of <= 0)
        return (rn_interval){0, 1};
    const double z = rn_normal_at(0.5 + 0.5 * sure), p = (double)met / of, n = of;
    const double middle = (p + z * z / (2 * n)) / (1 + z * z / n);
    const double half = z / (1 + z * z / n) * sqrt(p * (1 - p) / n + z * z / (4 * n * n));
    /* At the ends the formula gives 0 and 1, but for rounding. */
    return (rn_interval){met == 0 ? 0 : fmax(0, middle - half), met == of ? 1 : fmin(1, middle + half)};
}
