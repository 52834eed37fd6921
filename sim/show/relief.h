/* The film as a smooth surface: its depth and slope between the cells, by a cubic B-spline of the depths. */
#ifndef RN_SHOW_RELIEF_H
#define RN_SHOW_RELIEF_H

#include <stdbool.h>

#include "base/grid.h"

typedef struct rn_relief {
    int nx, ny;
    float dx, dy;   /* [m] */
    float *depth;   /* ny*nx [m]; beyond the mask as at the nearest cells inside, so that a rim is no slope */
    float *rows[2]; /* one picture row's sums over four film rows: depth, slope toward the back */
} rn_relief;

/* inside[ny*nx] may be NULL: all of it. False if no memory; rn_relief_clear takes either. */
bool rn_relief_init(rn_relief *relief, const rn_grid *grid, const bool *inside, const double *depth);
void rn_relief_clear(rn_relief *relief);

/* Depth [m] and slopes at y and at x[count] [m]; beyond the grid as at its edge. */
void rn_relief_row(float *depth, float *slope_x, float *slope_y, rn_relief *relief, const float *x, int count, float y);

#endif
