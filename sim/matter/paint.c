/* Legend: K consistency, n power, tau_y yield stress, rate the shear rate. */
#include "matter/paint.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>

#include "base/text.h"

/* Each figure lies within what is published for that liquid, rounded as one remembers it; each range ends about where
   the next figure is as many times away as the last (their geometric mean). */
const rn_consistency rn_consistency_ladder[RN_CONSISTENCY_COUNT] = {
    {"sugar syrup", 0.015, 0, "equal weights of sugar and water, 20 °C", 0.015, 0.016,
     "[swindells1958] [genotelle1978]"},
    {"olive oil", 0.08, 0.035, "20 °C; sunflower and rapeseed oil are a little thinner", 0.08, 0.084, "[crc1986]"},
    {"maple syrup", 0.2, 0.13, "66 to 68 % sugar, 20 °C; also 2 parts of sugar and 1 of water by weight", 0.18, 0.3,
     "[genotelle1978]"},
    {"thinned glycerine", 0.5, 0.32, "95 g of glycerine and 5 g of water, 18 to 22 °C", 0.43, 0.62, "[cheng2008]"},
    {"castor oil", 1, 0.7, "20 °C; 0.6 to 0.9 at 25 °C", 0.95, 1.1, "[crc1986]"},
    {"warm honey", 2, 1.4, "clear honey at 40 °C", 1.8, 3.5, "[juszczak2006]"},
    {"honey", 20, 6, "clear honey at 20 °C, 15 to 18 % water", 19, 55, "[juszczak2006]"},
};

const rn_consistency_old rn_consistency_olds[RN_CONSISTENCY_OLD_COUNT] = {
    {"milk", 0.03}, {"thin cream", 0.1}, {"double cream", 0.4}, {"yoghurt", 1}, {"cold honey", 4},
};

int rn_consistency_find(const char *word)
{
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++)
        if (rn_text_same(rn_consistency_ladder[i].word, word))
            return i;
    return -1;
}

int rn_consistency_find_old(const char *word)
{
    for (int i = 0; i < RN_CONSISTENCY_OLD_COUNT; i++)
        if (rn_text_same(rn_consistency_olds[i].word, word))
            return i;
    return -1;
}

const char *rn_consistency_list(char *text, int size)
{
    int used = 0;
    for (int i = 0; i < RN_CONSISTENCY_COUNT && used < size; i++)
        used += snprintf(text + used, (size_t)(size - used), "%s%s",
                         i == 0                          ? ""
                         : i == RN_CONSISTENCY_COUNT - 1 ? " or "
                                                         : ", ",
                         rn_consistency_ladder[i].word);
    return text;
}

const char *rn_consistency_old_text(char *text, int size, int old)
{
    const rn_consistency_old *was = &rn_consistency_olds[old];
    const int now = rn_consistency_find(rn_consistency_word(was->viscosity));
    snprintf(
        text, (size_t)size,
        "'%s' is an old word for %g Pa s, not the food's own figure: give viscosity %g Pa s, or the word %s (%g Pa s)",
        was->word, was->viscosity, was->viscosity, rn_consistency_ladder[now].word,
        rn_consistency_ladder[now].viscosity);
    return text;
}

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
