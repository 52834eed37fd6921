/* The base coat as a film: what is on the panel before the clock starts. */
#ifndef RN_RUN_BASE_COAT_H
#define RN_RUN_BASE_COAT_H

#include <stdbool.h>

#include "base/grid.h"
#include "plan/plan.h"

/* Adds every base coat of the plan to depth[ny*nx] [m]; cells outside the face (inside false) get nothing.
   A coat given by volume is laid evenly over its place. */
void rn_base_coat_lay(double *depth, const rn_plan *plan, const rn_grid *grid, const bool *inside);

/* The base coats that lie over each other at a place, as they were laid: from the panel up, the first laid at the panel.
   pile[RN_BASES_MOST]; their number. */
typedef struct rn_coat {
    int paint;
    double foot; /* where it begins, as a share of the depth */
} rn_coat;

int rn_base_coat_pile(rn_coat *pile, const rn_plan *plan, double x, double y);

#endif
