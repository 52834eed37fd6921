#include "run/base_coat.h"

#include <math.h>

#include "base/physical.h"

#define SUB 4 /* points per cell and direction that see a coat's outline */

/* Where the discs of a coat lie: up to four centres. */
typedef struct discs {
    int count;
    double x[4], y[4], radius;
} discs;

static discs discs_of(const rn_plan *plan, const rn_base *base)
{
    discs found = {.radius = 0.5 * base->across};
    if (base->kind == RN_BASE_CORNERS) {
        static const int side_x[4] = {-1, 1, 1, -1}, side_y[4] = {1, 1, -1, -1};
        found.count = 4;
        for (int c = 0; c < 4; c++)
            rn_panel_place(&found.x[c], &found.y[c], &plan->panel, side_x[c], side_y[c], found.radius);
    } else if (base->kind == RN_BASE_DISC) {
        found.count = 1;
        rn_place_point(&found.x[0], &found.y[0], &plan->panel, &base->at, found.radius);
    }
    return found;
}

static bool covers(const rn_plan *plan, const rn_base *base, const discs *round, double x, double y)
{
    if (base->kind == RN_BASE_ALL)
        return true;
    if (base->kind == RN_BASE_STRIP) {
        const rn_panel *panel = &plan->panel;
        double bearing = rn_place_bearing(panel, base->at.side_x, base->at.side_y);
        if (panel->round) /* the segment cut off by a straight line */
            return x * cos(bearing) + y * sin(bearing) > 0.5 * panel->width - base->width;
        return base->at.side_x ? x * base->at.side_x > 0.5 * panel->width - base->width
                               : y * base->at.side_y > 0.5 * panel->height - base->width;
    }
    for (int c = 0; c < round->count; c++)
        if (hypot(x - round->x[c], y - round->y[c]) < round->radius)
            return true;
    return false;
}

/* The stretch of a cell from centre - size/2 to centre + size/2 that lies beyond `from`, as a share. */
static double beyond(double centre, double size, double from)
{
    return fmin(fmax((centre - from) / size + 0.5, 0), 1);
}

static double coated_share(const rn_plan *plan, const rn_base *base, const discs *round, const rn_grid *grid, int i,
                           int j)
{
    const rn_panel *panel = &plan->panel;
    if (base->kind == RN_BASE_ALL)
        return 1;
    if (base->kind == RN_BASE_STRIP && !panel->round)
        return base->at.side_x
                   ? beyond(rn_grid_x(grid, i) * base->at.side_x, grid->dx, 0.5 * panel->width - base->width)
                   : beyond(rn_grid_y(grid, j) * base->at.side_y, grid->dy, 0.5 * panel->height - base->width);
    int count = 0;
    for (int v = 0; v < SUB; v++)
        for (int u = 0; u < SUB; u++)
            count += covers(plan, base, round, rn_grid_x(grid, i) + ((u + 0.5) / SUB - 0.5) * grid->dx,
                            rn_grid_y(grid, j) + ((v + 0.5) / SUB - 0.5) * grid->dy);
    return (double)count / (SUB * SUB);
}

/* Area of the cells that a coat covers, as the points that look for it see it. */
static double coated_area(const rn_plan *plan, const rn_base *base, const discs *round, const rn_grid *grid,
                          const bool *inside)
{
    double area = 0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++)
            if (inside[(long)j * grid->nx + i])
                area += coated_share(plan, base, round, grid, i, j);
    return area * grid->dx * grid->dy;
}

void rn_base_coat_lay(double *depth, const rn_plan *plan, const rn_grid *grid, const bool *inside)
{
    for (int b = 0; b < plan->base_count; b++) {
        const rn_base *base = &plan->bases[b];
        discs round = discs_of(plan, base);
        double puddles = round.count * RN_PI * round.radius * round.radius;
        round.radius = fmax(round.radius, 0.75 * fmax(grid->dx, grid->dy)); /* a finer one would be missed */
        double even = base->depth;
        if (!isnan(base->volume))
            even = base->volume / coated_area(plan, base, &round, grid, inside);
        else if (round.count > 0) /* puddles hold what their outline does, not its cells */
            even = base->depth * puddles / coated_area(plan, base, &round, grid, inside);
        for (int j = 0; j < grid->ny; j++)
            for (int i = 0; i < grid->nx; i++)
                if (inside[(long)j * grid->nx + i])
                    depth[(long)j * grid->nx + i] += even * coated_share(plan, base, &round, grid, i, j);
    }
}

int rn_base_coat_pile(rn_coat *pile, const rn_plan *plan, double x, double y)
{
    double depth = 0;
    int count = 0;
    for (int b = 0; b < plan->base_count; b++) {
        const rn_base *base = &plan->bases[b];
        const discs round = discs_of(plan, base);
        if (!covers(plan, base, &round, x, y))
            continue;
        if (count == 0 || pile[count - 1].paint != base->paint)
            pile[count++] = (rn_coat){base->paint, depth};
        depth += rn_plan_base_depth(plan, base);
    }
    for (int c = 0; c < count; c++)
        pile[c].foot /= depth;
    return count;
}
