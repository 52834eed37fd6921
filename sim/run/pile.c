#include "run/pile.h"

#include <math.h>
#include <stdlib.h>

#include "run/strata.h"

#define BANDS_MOST 64 /* so many between two points are not told apart */

void rn_pile_add(rn_pile *pile, unsigned char law, float foot)
{
    if (pile->count > 0 && foot <= pile->foot[pile->count - 1]) /* that one has no depth */
        foot = pile->foot[--pile->count];
    if (pile->count > 0 && pile->law[pile->count - 1] == law)
        return;
    if (pile->count == RN_PILE_MOST)
        return;
    pile->law[pile->count] = law;
    pile->foot[pile->count] = pile->count > 0 ? foot : 0;
    pile->count++;
}

int rn_pile_at(const rn_pile *pile, float height)
{
    int k = 0;
    while (k + 1 < pile->count && pile->foot[k + 1] <= height)
        k++;
    return k;
}

void rn_pile_paint(rn_pile *pile, unsigned char law, float from, float to)
{
    const rn_pile was = *pile;
    pile->count = 0;
    for (int k = 0; k < was.count; k++) {
        const float top = k + 1 < was.count ? was.foot[k + 1] : 1;
        if (was.foot[k] < from)
            rn_pile_add(pile, was.law[k], was.foot[k]);
        if (was.foot[k] <= from && from < top)
            rn_pile_add(pile, law, from);
        if (top > to)
            rn_pile_add(pile, was.law[k], fmaxf(was.foot[k], to));
    }
}

double rn_pile_rates(float *rate, const rn_pile *pile, const double *ease, double spread, double laid)
{
    double below[RN_PILE_MOST + 1], sum = 0, speed = 0, own = 0, change = 0;
    for (int k = 0; k < pile->count; k++) {
        const double s = (double)pile->foot[k], top = k + 1 < pile->count ? (double)pile->foot[k + 1] : 1, d = top - s;
        below[k] = sum;
        sum += d * (speed + ease[pile->law[k]] * d * (0.5 * (1 - s) - d / 6));
        speed += ease[pile->law[k]] * d * (1 - s - 0.5 * d);
    }
    for (int k = 0; k < pile->count; k++) {
        const double s = (double)pile->foot[k], more = ease[pile->law[k]] - (k > 0 ? ease[pile->law[k - 1]] : 0);
        const double moves = (s - below[k] / sum) * spread - s * laid;
        rate[k] = (float)moves;
        own += more * (1 - s) * (1 - s) * (1 - s);
        change -= more * 3 * (1 - s) * (1 - s) * moves;
    }
    return change / own;
}

static unsigned char law_of_band(const rn_pile_point *point, int band, const unsigned char *law_of)
{
    return law_of[point->pour->stack[band % point->pour->layer_count].paint];
}

unsigned char rn_pile_law(const rn_pile_point *point, const unsigned char *law_of)
{
    if (point->from)
        return point->from->law[rn_pile_at(point->from, point->sigma)];
    return law_of_band(point, rn_strata_band(point->pour, (double)point->released), law_of);
}

/* NaN: high. */
static float between(float low, float at, float high)
{
    return at < low ? low : at < high ? at : high;
}

/* How high what was at `sigma` has come, by two points of the column or beyond them: sigma over height goes nearly straight
   from the one to the other, see film/chain.c. NaN if it tells nothing. */
static float risen(const rn_pile_point *low, const rn_pile_point *high, float sigma)
{
    const float ratio = high->sigma / high->height;
    float slope = 0;
    if (low->height > 0 && low != high)
        slope = (ratio - low->sigma / low->height) / (high->height - low->height);
    const float straight = ratio - slope * high->height, square = straight * straight + 4 * slope * sigma;
    return square >= 0 ? 2 * sigma / (straight + sqrtf(square)) : NAN;
}

/* Lays what one column held between two heights, moved to where they are now. */
static void lay_between(rn_pile *pile, const rn_pile *from, const rn_pile_point *a, const rn_pile_point *b)
{
    for (int k = rn_pile_at(from, a->sigma) + 1; k < from->count && from->foot[k] <= b->sigma; k++)
        rn_pile_add(pile, from->law[k], between(a->height, risen(a, b, from->foot[k]), b->height));
}

/* Both were in the film. The columns that they came from need not be alike: the one is taken that tells both laws. */
static bool between_two_in_the_film(rn_pile *pile, const rn_pile_point *a, const rn_pile_point *b, unsigned char law_a,
                                    unsigned char law_b)
{
    if (b->sigma > a->sigma) {
        if (a->from->law[rn_pile_at(a->from, b->sigma)] == law_b) {
            lay_between(pile, a->from, a, b);
            return true;
        }
        if (b->from->law[rn_pile_at(b->from, a->sigma)] == law_a) {
            lay_between(pile, b->from, a, b);
            return true;
        }
    }
    if (law_a == law_b)
        return true;
    rn_pile_add(pile, law_b, 0.5f * (a->height + b->height));
    return false;
}

/* Paint was laid on top of what was there: its foot is where the old face has come to. The points below tell it, or if only
   the panel itself is below, those above: its first drop. */
static bool between_film_and_cup(rn_pile *pile, const rn_pile_point *under, const rn_pile_point *a,
                                 const rn_pile_point *b, const rn_pile_point *over, const unsigned char *law_of)
{
    const rn_pile *from = a->from;
    float face = 0.5f * (a->height + b->height);
    if (a->height > 0)
        face = risen(under->from ? under : a, a, 1);
    else if (over && !over->from && over->number == b->number && over->released > b->released)
        face = b->height - b->released * (over->height - b->height) / (over->released - b->released);
    face = between(a->height, face, b->height);
    const float per = a->sigma < 1 ? (face - a->height) / (1 - a->sigma) : 0;
    for (int k = rn_pile_at(from, a->sigma) + 1; k < from->count; k++)
        rn_pile_add(pile, from->law[k], a->height + (from->foot[k] - a->sigma) * per);
    const int last = rn_strata_band(b->pour, (double)b->released);
    for (int band = 0; band < last && last < BANDS_MOST; band++) { /* bands thinner than the points' distance */
        double begins, ends;
        rn_strata_band_range(&begins, &ends, b->pour, band);
        rn_pile_add(pile, law_of_band(b, band, law_of),
                    face + (b->height - face) * (float)begins / fmaxf(b->released, 1e-12f));
    }
    double begins, ends;
    rn_strata_band_range(&begins, &ends, b->pour, last);
    rn_pile_add(pile, law_of_band(b, last, law_of),
                last < BANDS_MOST ? face + (b->height - face) * (float)begins / fmaxf(b->released, 1e-12f) : face);
    return true;
}

/* Both left the same release: bands between them by what had been let out. */
static bool between_two_of_a_pour(rn_pile *pile, const rn_pile_point *a, const rn_pile_point *b,
                                  const unsigned char *law_of)
{
    const int first = rn_strata_band(a->pour, (double)a->released), last = rn_strata_band(b->pour, (double)b->released);
    if (abs(last - first) >= BANDS_MOST) {
        rn_pile_add(pile, law_of_band(b, last, law_of), 0.5f * (a->height + b->height));
        return false;
    }
    for (int band = first; band != last;) {
        double begins, ends;
        const int next = band < last ? band + 1 : band - 1;
        rn_strata_band_range(&begins, &ends, a->pour, band < last ? next : band);
        const float share = ((float)begins - a->released) / (b->released - a->released);
        rn_pile_add(pile, law_of_band(b, next, law_of), a->height + between(0, share, 1) * (b->height - a->height));
        band = next;
    }
    return true;
}

void rn_pile_find(rn_pile *pile, unsigned *sure, const rn_pile_point *points, int count, const unsigned char *law_of)
{
    unsigned char law = rn_pile_law(&points[0], law_of);
    *pile = rn_pile_of(law);
    *sure = 0;
    for (int k = 0; k + 1 < count; k++) {
        const rn_pile_point *a = &points[k], *b = &points[k + 1];
        bool known = true;
        if (a->from && b->from && a->from == b->from && a->from->count == 1)
            ; /* nearly always */
        else if (a->from && b->from)
            known = between_two_in_the_film(pile, a, b, law, rn_pile_law(b, law_of));
        else if (a->from && b->on_top)
            known = between_film_and_cup(pile, k > 0 ? a - 1 : NULL, a, b, k + 2 < count ? b + 1 : NULL, law_of);
        else if (!a->from && !b->from && a->number == b->number)
            known = between_two_of_a_pour(pile, a, b, law_of);
        else {
            rn_pile_add(pile, rn_pile_law(b, law_of), 0.5f * (a->height + b->height));
            known = false;
        }
        law = pile->law[pile->count - 1];
        *sure |= known ? 1u << k : 0;
    }
}
