#include "run/still.h"

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
