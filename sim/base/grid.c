#include "base/grid.h"

#include <math.h>
#include <stdbool.h>

#define SQUARENESS 0.01 /* greatest |dx/dy - 1| */
#define SHORT_LEAST 8   /* cells across the shorter side: the stencils are five wide */

/* Cells across the shorter side when `cells` lie along the longer one; 0 if they would not be square. */
static int cells_across(int cells, double ratio)
{
    int across = (int)lround(cells * ratio);
    if (across < 1 || fabs(cells * ratio / across - 1) > SQUARENESS)
        return 0;
    return across;
}

/* The number of cells along the longer side, from `cells` up, that keeps them square. Rounding is off by
   ratio/2 of a cell at best, 1/(2 cells) of the side, so that a fit is never more than 1/ratio away. */
static int cells_along(int cells, double ratio)
{
    for (int n = cells; n <= RN_GRID_MOST; n++)
        if (cells_across(n, ratio))
            return n;
    for (int n = cells - 1; n >= RN_GRID_LEAST; n--)
        if (cells_across(n, ratio))
            return n;
    return 0;
}

rn_status rn_grid_make(rn_grid *grid, double width, double height, int cells, rn_error *err)
{
    if (cells < RN_GRID_LEAST || cells > RN_GRID_MOST)
        return rn_fail(err, RN_E_USAGE, "the grid must have %d to %d cells along the longer side, not %d",
                       RN_GRID_LEAST, RN_GRID_MOST, cells);
    if (!(width > 0 && height > 0 && isfinite(width) && isfinite(height)))
        return rn_fail(err, RN_E_PLAN, "a panel needs two sides, such as 12 in x 12 in");

    bool wide = width >= height;
    double ratio = wide ? height / width : width / height;
    int along = cells_along(cells, ratio);
    int across = along ? cells_across(along, ratio) : 0;
    if (across < SHORT_LEAST)
        return rn_fail(err, RN_E_PLAN,
                       "a panel of %.4g mm x %.4g mm is too narrow for %d cells along it: "
                       "at least %d must fit across",
                       width * 1e3, height * 1e3, cells, SHORT_LEAST);
    grid->nx = wide ? along : across;
    grid->ny = wide ? across : along;
    grid->dx = width / grid->nx;
    grid->dy = height / grid->ny;
    return RN_OK;
}
