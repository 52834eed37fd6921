/* A film's memory, outline and rules: made once, before the first step. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "film/mobility.h"
#include "film/state.h"

#define FRONT_DAMPING 2.0 /* kappa: less lets the front overshoot, 3 and more biases coverage */
#define FRONT_DRAG 1.5    /* from one-dimensional runs resolved to the slip length */
#define HOLDS_LATE_FROM                                                                                                \
    1.4 /* late on cells over 1.4 capillary lengths, whose front shows no meniscus; evenly under half of it */
#define FRONT_CELLS 9.0 /* a front is as mobile as one resolved with cells of 9 slip lengths */

rn_film_options rn_film_defaults(void)
{
    return (rn_film_options){
        .law = {.consistency = 1, .power = 1, .yield = 0},
        .density = 1200,
        .tension = 0.033,
        .advance = 25 * RN_DEGREE,
        .edges = RN_EDGE_CLEAN,
        .side = 0.019,
        .tolerance = RN_FILM_TOLERANCE,
        .ripple_tolerance = INFINITY,
        .step_most = 0.5,
        .slip = 60e-6,
    };
}

static double *carve(double **at, long cells)
{
    double *array = *at;
    *at += cells;
    return array;
}

/* The first place in a block that is aligned to 64 bytes. */
static void *aligned(void *block)
{
    return (char *)block + (64 - (uintptr_t)block % 64) % 64;
}

static rn_status allocate_fields(rn_film *film, rn_error *err)
{
    double **arrays[] = {&film->h, &film->h1, &film->k, &film->w, &film->qx, &film->qy, &film->source};
    rn_slope **slopes[] = {&film->mx, &film->lx, &film->rx, &film->my, &film->ly, &film->ry};
    const int count = (int)(sizeof arrays / sizeof *arrays), slope_count = (int)(sizeof slopes / sizeof *slopes);
    film->memory = calloc((size_t)(count * film->cells + film->stride + 8), sizeof *film->memory);
    film->slope_memory = calloc((size_t)(slope_count * film->cells + 16), sizeof *film->slope_memory);
    if (!film->memory || !film->slope_memory)
        return rn_fail(err, RN_E_MEMORY, "no memory for a film of %d x %d cells", film->grid.nx, film->grid.ny);
    double *at = aligned(film->memory);
    for (int a = 0; a < count; a++)
        *arrays[a] = carve(&at, film->cells);
    film->zero_row = carve(&at, film->stride);
    rn_slope *slope = aligned(film->slope_memory);
    for (int a = 0; a < slope_count; a++)
        *slopes[a] = slope + a * film->cells;
    return RN_OK;
}

static rn_status allocate_scratch(rn_film *film, rn_error *err)
{
    const long row = film->stride, longest = film->grid.nx > film->grid.ny ? film->grid.nx : film->grid.ny;
    const long block = (RN_LANES + 2) * row, work = RN_SWEEP_WORK(longest + RN_LANES);
    film->scratch = calloc((size_t)rn_team_size(film->team), sizeof *film->scratch);
    if (!film->scratch)
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's work rows");
    for (int m = 0; m < rn_team_size(film->team); m++) {
        rn_film_scratch *s = &film->scratch[m];
        s->memory = calloc((size_t)(8 * block + work + 8), sizeof *s->memory);
        if (!s->memory)
            return rn_fail(err, RN_E_MEMORY, "no memory for the film's work rows");
        double *at = aligned(s->memory);
        s->pressure = carve(&at, block);
        s->drive_x = carve(&at, block);
        s->drive_y = carve(&at, block);
        s->flux_x = carve(&at, block);
        s->flux_y = carve(&at, block);
        s->rate = carve(&at, block);
        s->slopes = (rn_slope *)carve(&at, 2 * block); /* three blocks of single precision */
        s->work = at;
    }
    return RN_OK;
}

static rn_status find_inside(rn_film *film, rn_error *err)
{
    const rn_grid *grid = &film->grid;
    film->inside = calloc((size_t)grid->nx * (size_t)grid->ny, sizeof *film->inside);
    film->row_full = calloc((size_t)grid->ny, sizeof *film->row_full);
    film->row = calloc((size_t)grid->ny + RN_LANES, sizeof *film->row);
    film->column = calloc((size_t)grid->nx + RN_LANES, sizeof *film->column);
    film->strip_misfit = calloc((size_t)grid->nx / RN_LANES + 2, sizeof *film->strip_misfit);
    film->block_negative = calloc((size_t)grid->ny / RN_LANES + 2, sizeof *film->block_negative);
    if (!film->inside || !film->row_full || !film->row || !film->column || !film->strip_misfit || !film->block_negative)
        return rn_fail(err, RN_E_MEMORY, "no memory for the panel's outline");
    double radius = 0.5 * grid->nx * grid->dx;
    for (int j = 0; j < grid->ny; j++) {
        rn_span row = {grid->nx, 0};
        for (int i = 0; i < grid->nx; i++) {
            if (film->options.round && hypot(rn_grid_x(grid, i), rn_grid_y(grid, j)) > radius)
                continue;
            film->inside[(long)j * grid->nx + i] = true;
            film->inside_count++;
            row.from = i < row.from ? i : row.from;
            row.to = i + 1;
        }
        film->row_full[j] = row;
    }
    return RN_OK;
}

/* How much more than its cells say a front resists: on coarse ones the slip is too long for its mobility, as long as the
   cell, on fine ones too short; the drag goes on by the same logarithm. */
static double front_drag(double d, double slip)
{
    const double more = FRONT_DRAG * log(d / (FRONT_CELLS * slip));
    return more > 0 ? more : 1 / (1 - more) - 1;
}

void rn_film_set_rules(rn_film *film)
{
    const rn_film_options *o = &film->options;
    double theta = o->advance, lc = sqrt(o->tension / (o->density * RN_GRAVITY));
    film->front_hold = 2 * lc * sin(theta / 2);
    rn_face_rule *rules[2] = {&film->rule_x, &film->rule_y};
    double sizes[2] = {film->grid.dx, film->grid.dy};
    for (int k = 0; k < 2; k++) {
        double d = sizes[k];
        bool slips = o->tension > 0 && o->slip > 0;
        *rules[k] = (rn_face_rule){
            .per_d = 1 / d,
            .hold = o->density * RN_GRAVITY * film->front_hold,
            .per_wet = 1 / RN_WET_GROUND,
            .holds_late = fmin(fmax(HOLDS_LATE_FROM * d / fmax(lc, 1e-9) - 1, 0), 1),
            .front_drag = slips ? front_drag(d, o->slip) : 0,
            .front_damping = FRONT_DAMPING * o->tension / (d * d * d),
        };
        rn_face_rule_law(rules[k], &o->law);
    }
}

rn_status rn_film_new(rn_film **film, const rn_film_options *options, rn_error *err)
{
    rn_film *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory for a film");
    made->options = *options;
    made->grid = options->grid;
    made->stride = (made->grid.nx + RN_LANES - 1) / RN_LANES * RN_LANES + 2 * RN_PAD;
    made->rows = (made->grid.ny + RN_LANES - 1) / RN_LANES * RN_LANES + 5;
    made->cells = made->stride * made->rows;
    made->straight_rim = options->edges != RN_EDGE_WALLS && !options->round;
    made->newtonian = rn_law_is_newtonian(&options->law);
    made->next_dt = 1e-4;
    made->kernels = rn_kernels_choose(options->kernel);
    rn_status status = RN_OK;
    if (!made->kernels)
        status = rn_fail(err, RN_E_USAGE, "no kernel '%s' on this machine; baseline always is", options->kernel);
    if (status == RN_OK)
        status = rn_team_new(&made->team, options->threads, err);
    if (status == RN_OK)
        status = allocate_fields(made, err);
    if (status == RN_OK)
        status = allocate_scratch(made, err);
    if (status == RN_OK)
        status = find_inside(made, err);
    if (status == RN_OK)
        status = rn_edges_init(&made->edges, options, made->inside, err);
    if (status != RN_OK) {
        rn_film_free(made);
        return status;
    }
    rn_film_set_rules(made);
    rn_film_touch(made);
    *film = made;
    return RN_OK;
}

void rn_film_free(rn_film *film)
{
    if (!film)
        return;
    if (film->scratch)
        for (int m = 0; m < rn_team_size(film->team); m++)
            free(film->scratch[m].memory);
    free(film->scratch);
    rn_team_free(film->team);
    rn_film_clear_sources(film);
    rn_edges_clear(&film->edges);
    rn_film_columns_clear(&film->columns);
    free(film->inside);
    free(film->row_full);
    free(film->row);
    free(film->column);
    free(film->strip_misfit);
    free(film->block_negative);
    free(film->memory);
    free(film->slope_memory);
    free(film);
}
