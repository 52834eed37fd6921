#include "poured.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

poured_options poured_defaults(void)
{
    return (poured_options){.width = 0.2, .height = 0.2, .cells = 128, .points = 256, .depth = 1e-3};
}

static rn_plan *make_plan(poured_options options)
{
    static const struct {
        const char *name;
        uint8_t colour[3];
    } paints[4] = {
        {"slate", {43, 58, 85}}, {"brass", {201, 150, 47}}, {"kelp", {31, 122, 92}}, {"foam", {236, 235, 228}}};
    rn_plan *plan = rn_plan_new();
    if (!plan)
        abort();
    plan->panel.round = options.round;
    plan->panel.width = options.width;
    plan->panel.height = options.height;
    plan->panel.edges = RN_EDGE_CLEAN;
    plan->paint_count = 4;
    for (int p = 0; p < 4; p++) {
        snprintf(plan->paints[p].name, sizeof plan->paints[p].name, "%s", paints[p].name);
        for (int c = 0; c < 3; c++)
            plan->paints[p].colour[c] = paints[p].colour[c];
    }
    plan->pour_count = 1;
    plan->pours[0] = (rn_pour){.across = 0.07, .width = 0.01, .lifts = 1, .repeat = 2, .layer_count = 2};
    plan->pours[0].stack[0] = (rn_layer){.paint = 0, .volume = 20e-6};
    plan->pours[0].stack[1] = (rn_layer){.paint = 1, .volume = 20e-6};
    return plan;
}

static void *taken(size_t count, size_t size)
{
    void *memory = calloc(count, size);
    if (!memory)
        abort();
    return memory;
}

poured poured_make(poured_options options)
{
    const double longer = fmax(options.width, options.height);
    poured made = {.plan = make_plan(options)};
    rn_error err = {0};
    if (rn_grid_make(&made.still.grid, options.width, options.height, options.cells, &err) != RN_OK)
        abort();
    const rn_grid *grid = &made.still.grid;
    const size_t cells = (size_t)grid->nx * (size_t)grid->ny;
    made.still.inside = taken(cells, sizeof *made.still.inside);
    made.still.depth = taken(cells, sizeof *made.still.depth);
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            const bool inside = !options.round || hypot(rn_grid_x(grid, i), rn_grid_y(grid, j)) <= 0.5 * options.width;
            made.still.inside[j * grid->nx + i] = inside;
            made.still.depth[j * grid->nx + i] = inside ? options.depth : 0.0;
        }
    made.still.spill_count = 80;
    made.still.spill = taken(80, sizeof *made.still.spill);
    rn_strata *strata = &made.strata;
    strata->nx = (int)lround(options.points * options.width / longer);
    strata->ny = (int)lround(options.points * options.height / longer);
    strata->planes = 1;
    strata->width = options.width;
    strata->height = options.height;
    const size_t points = (size_t)strata->nx * (size_t)strata->ny;
    strata->sigma = taken(1, sizeof *strata->sigma);
    strata->sigma[0] = 1.0f;
    strata->paint = taken(points, sizeof *strata->paint);
    strata->pour = taken(points, sizeof *strata->pour);
    strata->released = taken(points, sizeof *strata->released);
    for (int j = 0; j < strata->ny; j++)
        for (int i = 0; i < strata->nx; i++) {
            const bool off = options.round && hypot(poured_x(&made, i), poured_y(&made, j)) > 0.5 * options.width;
            const bool bare = off || options.depth < RN_STRATA_BARE;
            poured_set(&made, i, j, bare ? RN_PAINT_NONE : 0, bare ? -1 : 0, bare ? 0.0 : 5e-6);
        }
    return made;
}

void poured_clear(poured *made)
{
    rn_plan_free(made->plan);
    free(made->still.inside);
    free(made->still.depth);
    free(made->still.spill);
    free(made->strata.sigma);
    free(made->strata.paint);
    free(made->strata.pour);
    free(made->strata.released);
    *made = (poured){0};
}

void poured_set(poured *made, int i, int j, int paint, int pour, double released)
{
    const size_t p = (size_t)j * (size_t)made->strata.nx + (size_t)i;
    made->strata.paint[p] = (unsigned char)paint;
    made->strata.pour[p] = (short)pour;
    made->strata.released[p] = (float)released;
}

double poured_x(const poured *made, int i)
{
    return ((i + 0.5) / made->strata.nx - 0.5) * made->strata.width;
}

double poured_y(const poured *made, int j)
{
    return ((j + 0.5) / made->strata.ny - 0.5) * made->strata.height;
}
