#include "run/origin.h"

#include <math.h>
#include <stdlib.h>

#include "film/layers.h"
#include "run/base_coat.h"

int rn_origin_poured(const rn_pour *pour, double released)
{
    double total = 0;
    for (int l = 0; l < pour->layer_count; l++)
        total += pour->stack[l].volume;
    double order = total / pour->repeat, left = fmod(fmin(released, total * (1 - 1e-7)), order);
    for (int l = 0; l < pour->layer_count; l++) {
        left -= pour->stack[l].volume / pour->repeat;
        if (left < 0)
            return pour->stack[l].paint;
    }
    return pour->stack[pour->layer_count - 1].paint;
}

int rn_origin_based(const rn_plan *plan, double x, double y)
{
    for (int b = plan->base_count - 1; b >= 0; b--)
        if (rn_base_coat_covers(plan, &plan->bases[b], x, y))
            return plan->bases[b].paint;
    return RN_PAINT_NONE;
}

/* The first paint of the pour whose centre is nearest. */
static int front_paint(const rn_plan *plan, const rn_source *sources, double x, double y)
{
    int paint = RN_PAINT_NONE;
    double nearest = INFINITY;
    for (int p = 0; p < plan->pour_count; p++) {
        double distance = hypot(x - sources[p].x, y - sources[p].y);
        if (distance < nearest) {
            nearest = distance;
            paint = plan->pours[p].stack[0].paint;
        }
    }
    return paint;
}

static void lay_lattice(const rn_tracers *points, const rn_plan *plan, int nx, int ny, double sigma)
{
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            long p = (long)j * nx + i;
            points->x[p] = (float)(((i + 0.5) / nx - 0.5) * plan->panel.width);
            points->y[p] = (float)(((j + 0.5) / ny - 0.5) * plan->panel.height);
            points->sigma[p] = (float)sigma;
            points->source[p] = RN_FROM_NOWHERE;
        }
}

rn_status rn_origin_lattice(unsigned char *paints, long *unknown, int nx, int ny, double sigma, double t,
                            const rn_plan *plan, const rn_history *history, int threads, rn_error *err)
{
    size_t count = (size_t)nx * (size_t)ny;
    rn_source sources[RN_POURS_MOST];
    rn_team *team = NULL;
    rn_tracers points = {.count = (long)count};
    float *numbers = malloc(4 * count * sizeof *numbers);
    points.source = malloc(count * sizeof *points.source);
    if (!numbers || !points.source) {
        free(numbers);
        free(points.source);
        return rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
    }
    rn_status status = rn_team_new(&team, threads, err);
    if (status == RN_OK) {
        points.x = numbers;
        points.y = numbers + count;
        points.sigma = numbers + 2 * count;
        points.released = numbers + 3 * count;
        for (int p = 0; p < plan->pour_count; p++)
            sources[p] = rn_pour_source(plan, &plan->pours[p]);
        lay_lattice(&points, plan, nx, ny, sigma);
        double volume;
        status = rn_layers_trace(&points, history, sources, plan->pour_count, rn_plan_mixture(&volume, plan).law.power,
                                 t, 0, team, err);
    }
    if (status == RN_OK) {
        *unknown = 0;
        for (size_t p = 0; p < count; p++) {
            int paint = points.source[p] >= 0
                            ? rn_origin_poured(&plan->pours[points.source[p]], (double)points.released[p])
                            : rn_origin_based(plan, (double)points.x[p], (double)points.y[p]);
            if (paint == RN_PAINT_NONE) {
                paint = front_paint(plan, sources, (double)points.x[p], (double)points.y[p]);
                ++*unknown;
            }
            paints[p] = (unsigned char)paint;
        }
    }
    rn_team_free(team);
    free(points.source);
    free(numbers);
    return status;
}
