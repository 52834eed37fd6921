#include "show/streak.h"

#include <math.h>
#include <stdlib.h>

#define BAND_ENTRIES 64 /* of the thinnest band, as far as MOST_ENTRIES go */
#define MOST_ENTRIES 16384

/* Volumes of each place of the stack let out up to a released volume. */
static void let_out(double volumes[RN_LAYERS_MOST], const rn_pour *pour, double order, double released)
{
    const double turns = fmin(floor(released / order), (double)pour->repeat);
    double left = released - turns * order;
    for (int place = 0; place < pour->layer_count; place++) {
        const double band = pour->stack[place].volume / pour->repeat;
        volumes[place] = turns * band + fmin(fmax(left, 0.0), band);
        left -= band;
    }
}

/* The paints let out between two volumes as seen: mingled, or side by side. */
static void see(double rgb[3], const rn_pour *pour, const rn_pigment *pigments, double order, double from, double to,
                bool mingled)
{
    double before[RN_LAYERS_MOST], volumes[RN_LAYERS_MOST], paints[RN_PAINTS_MOST] = {0}, sum = 0.0;
    let_out(before, pour, order, from);
    let_out(volumes, pour, order, to);
    for (int place = 0; place < pour->layer_count; place++) {
        const double volume = volumes[place] - before[place];
        if (volume > 1e-6 * (to - from)) { /* less is rounding */
            paints[pour->stack[place].paint] += volume;
            sum += volume;
        }
    }
    if (mingled) {
        rn_pigment_mix(rgb, pigments, paints, RN_PAINTS_MOST);
        return;
    }
    for (int c = 0; c < 3; c++) {
        rgb[c] = 0.0;
        for (int p = 0; p < RN_PAINTS_MOST; p++)
            if (paints[p] > 0.0)
                rgb[c] += paints[p] / sum * pigments[p].own[c];
    }
}

bool rn_streak_init(rn_streak *streak, const rn_pour *pour, const rn_pigment *pigments)
{
    double order = 0.0, thinnest = INFINITY;
    for (int place = 0; place < pour->layer_count; place++) {
        const double band = pour->stack[place].volume / pour->repeat;
        order += band;
        if (band > 0.0)
            thinnest = fmin(thinnest, band);
    }
    const double total = order * pour->repeat;
    const int entries = (int)fmin(ceil(BAND_ENTRIES * total / thinnest), MOST_ENTRIES);
    double step = total / entries;
    *streak = (rn_streak){
        .volume = (float)total, .band = (float)(order / pour->layer_count), .finest = (float)(2.0 * step), .levels = 0};
    for (int l = 0, count = entries; l < RN_STREAK_LEVELS && (l == 0 || count > 1); l++) {
        if (l > 1) {
            count = (count + 1) / 2;
            step *= 2.0;
        }
        double *past = malloc(3 * ((size_t)count + 1) * sizeof *past);
        if (!past) {
            rn_streak_clear(streak);
            return false;
        }
        past[0] = past[1] = past[2] = 0.0;
        const double half = l == 0 ? 0.5 * step : step; /* a level mingles over two of its entries */
        for (int k = 0; k < count; k++) {
            const double middle = fmin((k + 0.5) * step, total - 1e-3 * step);
            double rgb[3];
            see(rgb, pour, pigments, order, fmax(middle - half, 0.0), fmin(middle + half, total), l > 0);
            for (int c = 0; c < 3; c++)
                past[3 * (k + 1) + c] = past[3 * k + c] + rgb[c];
        }
        streak->level[l].count = count;
        streak->level[l].step = (float)step;
        streak->level[l].past = past;
        streak->levels++;
    }
    return true;
}

void rn_streak_clear(rn_streak *streak)
{
    for (int l = 0; l < streak->levels; l++)
        free(streak->level[l].past);
    *streak = (rn_streak){0};
}

static inline double greater(double a, double b)
{
    return a > b ? a : b;
}

static inline double lesser(double a, double b)
{
    return a < b ? a : b;
}

static void past_at(double rgb[3], const double *past, int count, double at)
{
    const int k = at < count ? (int)at : count - 1;
    const double u = at - k;
    for (int c = 0; c < 3; c++)
        rgb[c] = past[3 * k + c] + u * (past[3 * k + 3 + c] - past[3 * k + c]);
}

static void level_colour(float rgb[3], const rn_streak *streak, int l, float released, float footprint)
{
    const double step = (double)streak->level[l].step, count = streak->level[l].count;
    const double wide = lesser(greater((double)footprint / step, 1.0), count);
    const double middle = (double)released / step;
    double from = middle - 0.5 * wide, to = middle + 0.5 * wide;
    /* Beyond the first and the last drop as at them. */
    from = lesser(greater(from, 0.0), count - 1.0);
    to = lesser(greater(to, from + 1.0), count);
    double before[3], after[3];
    past_at(before, streak->level[l].past, streak->level[l].count, from);
    past_at(after, streak->level[l].past, streak->level[l].count, to);
    for (int c = 0; c < 3; c++)
        rgb[c] = (float)((after[c] - before[c]) / (to - from));
}

void rn_streak_colour(float rgb[3], const rn_streak *streak, float released, float mingled, float footprint)
{
    const float levels = (float)(streak->levels - 1);
    float at = mingled < streak->finest ? mingled / streak->finest : 1.0f + log2f(mingled / streak->finest);
    at = at > levels ? levels : at;
    const int l = at < levels ? (int)at : streak->levels - 1;
    const float u = at - (float)l;
    level_colour(rgb, streak, l, released, footprint);
    if (u > 0.0f) {
        float coarser[3];
        level_colour(coarser, streak, l + 1, released, footprint);
        for (int c = 0; c < 3; c++)
            rgb[c] += u * (coarser[c] - rgb[c]);
    }
}
