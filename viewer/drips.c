#include "drips.h"

#include <math.h>

#include "base/physical.h"

void drips_side(double *from, double *length, const rn_panel *panel, rn_side side)
{
    if (panel->round) {
        *from = 0.25 * side;
        *length = 0.25;
        return;
    }
    const double w = panel->width, h = panel->height, all = 2 * (w + h);
    const double start[RN_SIDES] = {0, w, w + h, 2 * w + h};
    *from = start[side] / all;
    *length = (side == RN_FRONT || side == RN_BACK ? w : h) / all;
}

double drips_rim(const rn_panel *panel)
{
    return panel->round ? RN_PI * panel->width : 2 * (panel->width + panel->height);
}

double drips_spilled(const rn_still *still, double from, double to)
{
    const double begin = fmax(from, 0) * still->spill_count, end = fmin(to, 1) * still->spill_count;
    double sum = 0;
    for (int k = (int)begin; k < still->spill_count && k < end; k++) /* parts of the first and last stretch */
        sum += (fmin(end, k + 1.0) - fmax(begin, k)) * still->spill[k];
    return sum;
}

void drips_place(double place[2], double out[2], rn_box panel, bool round, rn_side side, double u)
{
    const double cx = panel.x + 0.5 * panel.width, cy = panel.y + 0.5 * panel.height;
    if (round) {
        const double bearing = (-135 + 90 * (side + u)) * RN_DEGREE;
        out[0] = cos(bearing);
        out[1] = -sin(bearing);
        place[0] = cx + 0.5 * panel.width * out[0];
        place[1] = cy + 0.5 * panel.width * out[1];
        return;
    }
    static const double ways[RN_SIDES][2] = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}};
    out[0] = ways[side][0];
    out[1] = ways[side][1];
    /* Counter-clockwise on a page whose y grows downward: front rightward, right side upward, and so round. */
    place[0] = cx + 0.5 * panel.width * out[0] + (u - 0.5) * panel.width * out[1];
    place[1] = cy + 0.5 * panel.height * out[1] - (u - 0.5) * panel.height * out[0];
}
