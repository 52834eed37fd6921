/* Legend: K consistency, n power, tau_y yield stress, rate the shear rate. */
#include "matter/paint.h"

#include <math.h>
#include <stddef.h>

/* What each word stands for and where its range begins. The figures are a convention of this program, of the
   order that kitchens know; they are no standard. */
const rn_consistency rn_consistency_ladder[RN_CONSISTENCY_COUNT] = {
    {"milk", 0.03, 0},   {"thin cream", 0.1, 0.05}, {"double cream", 0.4, 0.2},
    {"yoghurt", 1, 0.7}, {"warm honey", 2, 1.5},    {"cold honey", 4, 3},
};

const char *rn_consistency_word(double viscosity)
{
    int i = RN_CONSISTENCY_COUNT - 1;
    while (i > 0 && viscosity < rn_consistency_ladder[i].range_from)
        i--;
    return rn_consistency_ladder[i].word;
}

double rn_law_viscosity(const rn_law *law, double rate)
{
    /* Kept apart so that at rest a Newtonian liquid has its viscosity and a yielding one an infinite one. */
    double flowing = law->power == 1 ? law->consistency : law->consistency * pow(rate, law->power - 1);
    return law->yield > 0 ? law->yield / rate + flowing : flowing;
}

/* Means are taken of what each law differs from the first, so that equal laws mix to the very same law: a film of
   plain viscosity stays one, and fast. */
rn_law rn_law_mixed(const rn_law *laws, const double *volumes, int count)
{
    double total = 0, log_consistency = 0, power = 0, yield = 0;
    const rn_law *first = NULL;
    for (int i = 0; i < count; i++) {
        total += volumes[i];
        if (!first && volumes[i] > 0)
            first = &laws[i];
    }
    for (int i = 0; i < count; i++) {
        double share = volumes[i] / total;
        if (share <= 0)
            continue;
        log_consistency += share * log(laws[i].consistency / first->consistency);
        power += share * (laws[i].power - first->power);
        yield += share * (laws[i].yield - first->yield);
    }
    return (rn_law){first->consistency * exp(log_consistency), first->power + power, first->yield + yield};
}

double rn_law_spread(const rn_law *laws, const double *volumes, int count)
{
    double least = INFINITY, greatest = 0;
    for (int i = 0; i < count; i++) {
        if (volumes[i] <= 0)
            continue;
        double viscosity = rn_law_viscosity(&laws[i], 1);
        least = fmin(least, viscosity);
        greatest = fmax(greatest, viscosity);
    }
    return greatest > 0 ? greatest / least : 1;
}
