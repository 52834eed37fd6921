#include "run/cut.h"

#include <math.h>
#include <stdlib.h>

#include "run/strata.h"

rn_status rn_cut_trace(rn_cut *cut, const rn_past *past, const rn_still *still, const double a[2], const double b[2],
                       int columns, int rows, rn_team *team, rn_error *err)
{
    const size_t count = (size_t)columns * (size_t)rows;
    rn_cut made = {.ax = a[0], .ay = a[1], .bx = b[0], .by = b[1], .columns = columns, .rows = rows};
    rn_tracers points;
    rn_status status = rn_tracers_init(&points, (long)count, err);
    if (status != RN_OK)
        return status;
    made.depth = malloc((size_t)columns * sizeof *made.depth);
    made.paint = malloc(count * sizeof *made.paint);
    made.pour = malloc(count * sizeof *made.pour);
    made.released = malloc(count * sizeof *made.released);
    if (!made.depth || !made.paint || !made.pour || !made.released)
        status = rn_fail(err, RN_E_MEMORY, "no memory for the cut");
    for (int i = 0; i < columns && status == RN_OK; i++) {
        const double share = (i + 0.5) / columns, x = a[0] + share * (b[0] - a[0]), y = a[1] + share * (b[1] - a[1]);
        made.depth[i] = rn_still_depth(still, x, y);
        for (int row = 0; row < rows; row++) {
            const long p = (long)i * rows + row;
            points.x[p] = (float)x;
            points.y[p] = (float)y;
            points.sigma[p] = (float)((row + 0.5) / rows);
            points.source[p] = made.depth[i] > RN_STRATA_BARE ? RN_FROM_NOWHERE : 0; /* bare: not to be traced */
        }
    }
    if (status == RN_OK)
        status = rn_layers_trace(&points, &past->layers, still->moment.time, 0, team, err);
    for (long p = 0; p < (long)count && status == RN_OK; p++) {
        const bool wet = made.depth[p / rows] > RN_STRATA_BARE;
        made.paint[p] = wet ? (unsigned char)rn_past_paint(NULL, past, &points, p) : RN_PAINT_NONE;
        made.pour[p] = wet ? points.source[p] : RN_FROM_NOWHERE;
        made.released[p] = wet && points.source[p] >= 0 ? points.released[p] : 0;
    }
    rn_tracers_clear(&points);
    if (status == RN_OK)
        *cut = made;
    else
        rn_cut_clear(&made);
    return status;
}

void rn_cut_clear(rn_cut *cut)
{
    free(cut->depth);
    free(cut->paint);
    free(cut->pour);
    free(cut->released);
    *cut = (rn_cut){0};
}
