/* The base coat as a film: what is on the panel before the clock starts. */
#ifndef RN_RUN_BASE_COAT_H
#define RN_RUN_BASE_COAT_H

#include <stdbool.h>

#include "base/grid.h"
#include "plan/plan.h"

/* Adds every base coat of the plan to depth[ny*nx] [m]; cells outside the face (inside false) get nothing.
   A coat given by volume is laid evenly over its place. */
void rn_base_coat_lay(double *depth, const rn_plan *plan, const rn_grid *grid, const bool *inside);

/* Whether a base coat covers a place. */
bool rn_base_coat_covers(const rn_plan *plan, const rn_base *base, double x, double y);

#endif
