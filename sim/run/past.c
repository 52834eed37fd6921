#include "run/past.h"

#include <math.h>

#include "run/base_coat.h"
#include "run/strata.h"

void rn_past_init(rn_past *past, const rn_plan *plan, const rn_history *history)
{
    const rn_grid *grid = rn_history_grid(history);
    double volume;
    past->plan = plan;
    for (int p = 0; p < plan->pour_count; p++) {
        past->sources[p] = rn_pour_source(plan, &plan->pours[p]);
        rn_source_coarsen(&past->sources[p], fmax(grid->dx, grid->dy));
    }
    past->layers = (rn_layers){
        .history = history,
        .power = rn_plan_mixture(&volume, plan).law.power,
        .sources = past->sources,
        .source_count = plan->pour_count,
    };
}

int rn_past_based(const rn_plan *plan, double x, double y, double sigma)
{
    rn_coat pile[RN_BASES_MOST];
    const int count = rn_base_coat_pile(pile, plan, x, y);
    int paint = RN_PAINT_NONE;
    for (int c = 0; c < count && pile[c].foot <= sigma; c++)
        paint = pile[c].paint;
    return paint;
}

static int front_paint(const rn_past *past, double x, double y)
{
    const rn_plan *plan = past->plan;
    int paint = RN_PAINT_NONE;
    double nearest = INFINITY;
    for (int p = 0; p < plan->pour_count; p++) {
        const double distance = hypot(x - past->sources[p].x, y - past->sources[p].y);
        if (distance < nearest) {
            nearest = distance;
            paint = plan->pours[p].stack[0].paint;
        }
    }
    return paint == RN_PAINT_NONE && plan->base_count > 0 ? plan->bases[0].paint : paint;
}

int rn_past_paint(bool *front, const rn_past *past, const rn_tracers *points, long point)
{
    if (front)
        *front = false;
    if (points->source[point] >= 0) {
        const rn_pour *pour = &past->plan->pours[points->source[point]];
        const int band = rn_strata_band(pour, (double)points->released[point]);
        return pour->stack[band % pour->layer_count].paint;
    }
    const double x = (double)points->x[point], y = (double)points->y[point];
    const int paint = rn_past_based(past->plan, x, y, (double)points->sigma[point]);
    if (paint != RN_PAINT_NONE)
        return paint;
    if (front)
        *front = true;
    return front_paint(past, x, y);
}
