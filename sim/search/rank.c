#include "search/rank.h"

#include <math.h>
#include <stdlib.h>

typedef struct place {
    double value;
    int at;
} place;

static int compare(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b; /* also of places: the value comes first */
    return x < y ? -1 : x > y;
}

void rn_rank_sort(double *values, int count)
{
    qsort(values, (size_t)count, sizeof *values, compare);
}

rn_status rn_rank(double *ranks, const double *values, int count, rn_error *err)
{
    place *places = malloc(((size_t)count + 1) * sizeof *places);
    if (!places)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0; i < count; i++)
        places[i] = (place){values[i], i};
    qsort(places, (size_t)count, sizeof *places, compare);
    for (int first = 0, next; first < count; first = next) {
        for (next = first + 1; next < count && places[next].value == places[first].value;)
            next++;
        for (int i = first; i < next; i++)
            ranks[places[i].at] = 0.5 * (first + 1 + next);
    }
    free(places);
    return RN_OK;
}

/* Pearson's of two lists of ranks, whose mean is known to the last bit; NaN where one does not vary. */
static double correlation(const double *a, const double *b, int count)
{
    const double mean = 0.5 * (count + 1);
    double aa = 0, bb = 0, ab = 0;
    for (int i = 0; i < count; i++) {
        aa += (a[i] - mean) * (a[i] - mean);
        bb += (b[i] - mean) * (b[i] - mean);
        ab += (a[i] - mean) * (b[i] - mean);
    }
    return aa > 0 && bb > 0 ? ab / sqrt(aa * bb) : NAN;
}

rn_status rn_rank_correlation(double *coefficient, const double *a, const double *b, int count, rn_error *err)
{
    double *room = malloc(4 * ((size_t)count + 1) * sizeof *room);
    if (!room)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    double *kept_a = room, *kept_b = room + count, *ranks_a = room + 2 * count, *ranks_b = room + 3 * count;
    int kept = 0;
    for (int i = 0; i < count; i++)
        if (!isnan(a[i]) && !isnan(b[i])) {
            kept_a[kept] = a[i];
            kept_b[kept++] = b[i];
        }
    rn_status status = rn_rank(ranks_a, kept_a, kept, err);
    if (status == RN_OK)
        status = rn_rank(ranks_b, kept_b, kept, err);
    if (status == RN_OK) {
        const double found = kept >= 3 ? correlation(ranks_a, ranks_b, kept) : NAN;
        *coefficient = isnan(found) ? NAN : fmax(-1, fmin(1, found));
    }
    free(room);
    return status;
}

double rn_rank_noise(int count)
{
    return count > 1 ? fmin(1, 1.96 / sqrt(count - 1.0)) : 1;
}

double rn_rank_quantile(const double *sorted, int count, double share)
{
    const double at = share * (count - 1);
    const int below = (int)floor(at), above = below + 1 < count ? below + 1 : below;
    const double part = at - below;
    if (part == 0 || sorted[above] == sorted[below])
        return sorted[below];
    return sorted[below] + part * (sorted[above] - sorted[below]); /* INFINITY stays so */
}
