/* A field laid over the panel, ready to be looked at between its cells: one ring of cells wider than the grid, the
   face's values carried outward past the rim. */
#ifndef RN_SHOW_SHEET_H
#define RN_SHOW_SHEET_H

#include <stdbool.h>

#include "base/grid.h"

typedef struct rn_sheet {
    rn_grid grid;  /* of the field it came from */
    int nx, ny;    /* two more than the grid's */
    double *value; /* ny*nx; node (i, j) is the centre of the grid's cell (i-1, j-1) */
} rn_sheet;

/* From field[ny*nx] on grid, of which `inside` cells count. False if no memory. */
bool rn_sheet_from_doubles(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const double *field);
bool rn_sheet_from_floats(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const float *field);
/* Binomial mean over 3 x 3 nodes, so many times over; NaN stays NaN and is left out of the means. False if no memory. */
bool rn_sheet_smooth(rn_sheet *sheet, int passes);

void rn_sheet_clear(rn_sheet *sheet);

/* Bilinear value at a point of the panel [m]; NaN near a NaN. */
double rn_sheet_at(const rn_sheet *sheet, double x, double y);

/* Panel coordinates [m] of a node, fractions allowed. */
static inline double rn_sheet_x(const rn_sheet *sheet, double i)
{
    return (i - 0.5 * (sheet->nx - 1)) * sheet->grid.dx;
}

static inline double rn_sheet_y(const rn_sheet *sheet, double j)
{
    return (j - 0.5 * (sheet->ny - 1)) * sheet->grid.dy;
}

#endif
