#include "run/still.h"

#include <math.h>
#include <stdlib.h>

rn_still *rn_still_new(const rn_grid *grid)
{
    const size_t cells = (size_t)grid->nx * (size_t)grid->ny;
    rn_still *made = calloc(1, sizeof *made);
    if (!made)
        return NULL;
    made->grid = *grid;
    made->spill_count = RN_STILL_STRETCHES;
    made->inside = calloc(cells, sizeof *made->inside);
    made->depth = calloc(cells, sizeof *made->depth);
    made->spill = calloc(RN_STILL_STRETCHES, sizeof *made->spill);
    if (made->inside && made->depth && made->spill)
        return made;
    rn_still_free(made);
    return NULL;
}

void rn_still_free(rn_still *still)
{
    if (!still)
        return;
    free(still->inside);
    free(still->depth);
    free(still->spill);
    free(still);
}

static double cell_depth(const rn_still *still, int i, int j)
{
    const rn_grid *grid = &still->grid;
    i = i < 0 ? 0 : i >= grid->nx ? grid->nx - 1 : i;
    j = j < 0 ? 0 : j >= grid->ny ? grid->ny - 1 : j;
    return still->depth[(long)j * grid->nx + i];
}

double rn_still_depth(const rn_still *still, double x, double y)
{
    const rn_grid *grid = &still->grid;
    const double u = x / grid->dx + 0.5 * grid->nx, v = y / grid->dy + 0.5 * grid->ny;
    if (u < 0 || v < 0 || u > grid->nx || v > grid->ny)
        return 0;
    const double fi = floor(u - 0.5), fj = floor(v - 0.5), a = u - 0.5 - fi, b = v - 0.5 - fj;
    const int i = (int)fi, j = (int)fj;
    return (1 - b) * ((1 - a) * cell_depth(still, i, j) + a * cell_depth(still, i + 1, j)) +
           b * ((1 - a) * cell_depth(still, i, j + 1) + a * cell_depth(still, i + 1, j + 1));
}
