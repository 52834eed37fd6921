#include "run/strata.h"

#include <math.h>
#include <stdlib.h>

void rn_strata_free(rn_strata *strata)
{
    if (!strata)
        return;
    free(strata->sigma);
    free(strata->paint);
    free(strata->pour);
    free(strata->released);
    free(strata);
}

static double order_volume(const rn_pour *pour)
{
    double total = 0;
    for (int l = 0; l < pour->layer_count; l++)
        total += pour->stack[l].volume;
    return total / pour->repeat;
}

int rn_strata_band(const rn_pour *pour, double released)
{
    const double order = order_volume(pour);
    int turn = order > 0 ? (int)floor(released / order) : 0;
    turn = turn < 0 ? 0 : turn >= pour->repeat ? pour->repeat - 1 : turn;
    double left = released - turn * order;
    int place = 0;
    while (place < pour->layer_count - 1 && (left -= pour->stack[place].volume / pour->repeat) >= 0)
        place++;
    return turn * pour->layer_count + place;
}

void rn_strata_band_range(double *from, double *to, const rn_pour *pour, int band)
{
    *from = band / pour->layer_count * order_volume(pour);
    for (int place = 0; place < band % pour->layer_count; place++)
        *from += pour->stack[place].volume / pour->repeat;
    *to = *from + pour->stack[band % pour->layer_count].volume / pour->repeat;
}
