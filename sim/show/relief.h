/* The film as a smooth surface: its depth and slope between the cells, by a cubic B-spline [deboor1978]. */
#ifndef RN_SHOW_RELIEF_H
#define RN_SHOW_RELIEF_H

#include <stdbool.h>

#include "base/grid.h"

typedef struct rn_relief {
    int nx, ny;
    float dx, dy; /* [m] */
    float *depth; /* ny*nx [m]; beyond the mask as at the nearest cells inside, so that a rim is no slope */
} rn_relief;

/* inside[ny*nx] may be NULL: all of it. False if no memory; rn_relief_clear takes either. */
bool rn_relief_init(rn_relief *relief, const rn_grid *grid, const bool *inside, const double *depth);
void rn_relief_clear(rn_relief *relief);

/* Depth [m] and slopes at y and at x[count] [m]; beyond the grid as at its edge. scratch: 2 nx of the relief. */
void rn_relief_row(float *depth, float *slope_x, float *slope_y, const rn_relief *relief, float *scratch,
                   const float *x, int count, float y);

/* Depth [m] at one point. */
float rn_relief_depth(const rn_relief *relief, float x, float y);

/* The four weights of a uniform cubic B-spline and of its slope, u in 0..1 past the second of its knots. */
void rn_relief_spline(float weight[4], float slope[4], float u);

#endif
