/* The film's cells: a rectangle of nx * ny cells over the panel, square within 1 %.
   Coordinates: x to the right, y toward the back, origin at the panel's centre, [m].
   Fields are row-major, [y*nx+x]; row 0 lies along the front edge, where the painter stands. */
#ifndef RN_BASE_GRID_H
#define RN_BASE_GRID_H

#include "base/error.h"

#define RN_GRID_LEAST 64
#define RN_GRID_MOST 1024

typedef struct rn_grid {
    int nx, ny;
    double dx, dy; /* [m] */
} rn_grid;

/* Lays `cells` cells (RN_GRID_LEAST..RN_GRID_MOST) along the longer side of a width x height [m]
   rectangle; a few more where that keeps the cells square within 1 %. RN_E_PLAN if the rectangle is
   too narrow for that. */
rn_status rn_grid_make(rn_grid *grid, double width, double height, int cells, rn_error *err);

static inline double rn_grid_x(const rn_grid *grid, int i)
{
    return ((double)i + 0.5 - 0.5 * (double)grid->nx) * grid->dx;
}

static inline double rn_grid_y(const rn_grid *grid, int j)
{
    return ((double)j + 0.5 - 0.5 * (double)grid->ny) * grid->dy;
}

#endif
