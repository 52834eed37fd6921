#include "sample.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"

#define MOMENTS 201

sample_options sample_defaults(void)
{
    return (sample_options){
        .width = 0.3048, .height = 0.3048, .paints = 3, .title = "Tide table, first try", .cells = 160};
}

static void add_paint(rn_plan *plan, int index)
{
    static const char *const names[] = {"slate",  "kelp",      "brass",    "foam", "mussel",   "driftwood",
                                        "lichen", "sea glass", "wet sand", "rust", "eelgrass", "pearl of the low tide"};
    static const uint8_t colours[][3] = {{0x2b, 0x3a, 0x55}, {0x1f, 0x7a, 0x5c}, {0xc9, 0x96, 0x2f},
                                         {0xee, 0xee, 0xe6}, {0x3a, 0x2f, 0x52}, {0x9a, 0x84, 0x6a},
                                         {0xa8, 0xb0, 0x6a}, {0x8f, 0xc7, 0xb8}, {0xc2, 0xae, 0x88},
                                         {0xa3, 0x4a, 0x28}, {0x4f, 0x8a, 0x3c}, {0xd8, 0xd4, 0xe0}};
    rn_paint paint = {.density = 1200.0, .tension = 0.033, .law = {1.0, 1.0, 0.0}, .solids = 0.35, .price = NAN};
    snprintf(paint.name, sizeof paint.name, "%s", names[index]);
    memcpy(paint.colour, colours[index], 3);
    plan->paints[index] = paint;
}

static rn_plan *make_plan(sample_options o)
{
    rn_plan *plan = rn_plan_new();
    if (!plan)
        abort();
    snprintf(plan->title, sizeof plan->title, "%s", o.title);
    plan->panel = (rn_panel){.round = o.round, .width = o.width, .height = o.height, .advance = 25.0 * RN_DEGREE};
    plan->cover = 0.15e-3;
    plan->paint_count = o.paints;
    for (int p = 0; p < o.paints; p++)
        add_paint(plan, p);
    plan->pour_count = 1;
    rn_pour *pour = &plan->pours[0];
    *pour = (rn_pour){.across = 0.07, .width = 0.01, .start = 5.0, .lifts = 8, .every = 5.0, .open = 4.0, .repeat = 3};
    pour->layer_count = o.paints;
    for (int p = 0; p < o.paints; p++)
        pour->stack[p] = (rn_layer){p, 150e-6 / o.paints};
    const rn_move moves[] = {
        {RN_MOVE_TURN, 5.0, 42.0, 6.0 * RN_RPM, 1.0, 0.0, false},
        {RN_MOVE_TILT, 60.0, 8.0, 8.0 * RN_DEGREE, 0.5, 45.0 * RN_DEGREE, false},
        {RN_MOVE_TILT, 70.0, 8.0, 8.0 * RN_DEGREE, 0.5, -45.0 * RN_DEGREE, false},
        {RN_MOVE_TILT, 80.0, 8.0, 6.0 * RN_DEGREE, 0.5, -135.0 * RN_DEGREE, false},
        {RN_MOVE_TILT, 90.0, 8.0, 4.0 * RN_DEGREE, 0.5, 135.0 * RN_DEGREE, false},
        {RN_MOVE_SPIN, 104.0, 20.0, -40.0 * RN_RPM, 3.0, 0.0, false},
    };
    plan->move_count = (int)(sizeof moves / sizeof moves[0]);
    memcpy(plan->moves, moves, sizeof moves);
    plan->end = 180.0;
    return plan;
}

/* A heap off the centre that thins toward the edges; two corners may be left out. */
static double film_at(sample_options o, double u, double v)
{
    double r = hypot(u - 0.12, v + 0.08);
    double h = 0.5e-3 + 1.6e-3 * exp(-1.4 * r * r) + 0.05e-3 * sin(7.0 * u) * cos(5.0 * v);
    if (o.short_corners) {
        double away = hypot(u + 1.0, v - 1.0) + 0.05 * sin(9.0 * atan2(v - 1.0, u + 1.0));
        h *= 1.0 / (1.0 + exp(-(away - 0.42) / 0.035));
        h *= 1.0 / (1.0 + exp(-(hypot(u - 1.0, v + 1.0) - 0.22) / 0.06));
        if (away < 0.30)
            h = 0.0;
    }
    return h;
}

static void fill_field(sample *s, sample_options o)
{
    rn_record *r = &s->record;
    size_t cells = (size_t)r->grid.nx * (size_t)r->grid.ny;
    r->inside = calloc(cells, sizeof *r->inside);
    r->depth = calloc(cells, sizeof *r->depth);
    r->arrival = calloc(cells, sizeof *r->arrival);
    if (!r->inside || !r->depth || !r->arrival)
        abort();
    for (int j = 0; j < r->grid.ny; j++)
        for (int i = 0; i < r->grid.nx; i++) {
            size_t cell = (size_t)j * (size_t)r->grid.nx + (size_t)i;
            double u = 2.0 * rn_grid_x(&r->grid, i) / o.width, v = 2.0 * rn_grid_y(&r->grid, j) / o.height;
            r->inside[cell] = !o.round || u * u + v * v <= 1.0;
            if (r->inside[cell])
                r->depth[cell] = film_at(o, u, v);
            double away = hypot(u - 0.05, v + 0.04);
            r->arrival[cell] = r->depth[cell] < 0.15e-3
                                   ? NAN
                                   : (float)(5.0 + 48.0 * away * away * (1.0 + 0.15 * sin(3.0 * atan2(v, u))));
        }
}

static void fill_moments(sample *s, double end)
{
    rn_record *r = &s->record;
    r->moment_count = MOMENTS;
    r->moments = calloc(MOMENTS, sizeof *r->moments);
    if (!r->moments)
        abort();
    static const double shares[RN_SIDES] = {0.27, 0.34, 0.2, 0.19};
    for (int k = 0; k < MOMENTS; k++) {
        rn_moment *m = &r->moments[k];
        m->time = end * k / (MOMENTS - 1);
        m->released = 150e-6 * fmin(1.0, fmax(0.0, (m->time - 5.0) / 39.0));
        m->coverage = s->forecast.coverage * (1.0 - exp(-pow(fmax(m->time - 5.0, 0.0) / 38.0, 1.4)));
        m->wet_area = fmin(1.0, m->coverage * 1.01);
        m->deepest = 2e-3 + 3e-3 * exp(-m->time / 30.0);
        for (int e = 0; e < RN_SIDES; e++)
            m->run_off[e] = 29.6e-6 * shares[e] / (1.0 + exp(-(m->time - 100.0) / 9.0));
        for (int c = 0; c < RN_CORNERS; c++)
            m->corner[c] = s->forecast.corners[c].depth * fmin(1.0, m->time / 90.0);
        rn_pose pose = rn_motion_pose(s->plan->moves, s->plan->move_count, &s->plan->panel, m->time);
        m->tilt = pose.tilt;
        m->downhill = pose.downhill;
        m->turned = pose.turned;
        m->rate = pose.rate;
    }
    for (int e = 0; e < RN_SIDES; e++)
        s->forecast.run_off_by_side[e] = r->moments[MOMENTS - 1].run_off[e];
}

static void fill_outcome(sample *s, sample_options o)
{
    rn_forecast *f = &s->forecast;
    rn_record *r = &s->record;
    double sum = 0.0;
    long cells = 0, covered = 0;
    f->least.depth = INFINITY;
    for (int j = 0; j < r->grid.ny; j++)
        for (int i = 0; i < r->grid.nx; i++) {
            size_t cell = (size_t)j * (size_t)r->grid.nx + (size_t)i;
            if (!r->inside[cell])
                continue;
            rn_spot here = {r->depth[cell], rn_grid_x(&r->grid, i), rn_grid_y(&r->grid, j)};
            sum += here.depth;
            cells++;
            covered += here.depth >= f->cover;
            if (here.depth < f->least.depth)
                f->least = here;
            if (here.depth > f->most.depth)
                f->most = here;
        }
    f->mean = sum / (double)cells;
    f->coverage = (double)covered / (double)cells;
    static const double corner_u[RN_CORNERS] = {-1, 1, 1, -1}, corner_v[RN_CORNERS] = {1, 1, -1, -1};
    for (int c = 0; c < RN_CORNERS; c++) {
        double reach = o.round ? sqrt(0.5) : 0.985;
        double depth = film_at(o, reach * corner_u[c], reach * corner_v[c]);
        f->corners[c] = (rn_corner_outcome){depth >= f->cover ? 66.0 + 6.0 * c : (double)NAN, depth};
    }
}

sample sample_make(sample_options o)
{
    sample s = {.plan = make_plan(o)};
    rn_forecast *f = &s.forecast;
    double longer = fmax(o.width, o.height);
    s.record.grid =
        (rn_grid){.nx = (int)lround(o.cells * o.width / longer), .ny = (int)lround(o.cells * o.height / longer)};
    s.record.grid.dx = o.width / s.record.grid.nx;
    s.record.grid.dy = o.height / s.record.grid.ny;
    s.record.end = f->duration = o.stopped ? 120.0 : 180.0;
    s.record.complete = f->complete = !o.stopped;
    snprintf(f->title, sizeof f->title, "%s", o.title);
    f->cover = 0.15e-3;
    fill_field(&s, o);
    fill_outcome(&s, o);
    fill_moments(&s, s.record.end);
    f->covered = !o.short_corners;
    f->covered_at = f->covered ? 96.0 : (double)NAN;
    f->best_coverage = fmin(1.0, f->coverage + 0.009);
    f->best_at = 92.0;
    f->poured = 150e-6;
    for (int e = 0; e < RN_SIDES; e++)
        f->run_off += f->run_off_by_side[e];
    f->on_panel = f->poured - f->run_off;
    f->run_off_cost = f->poured_cost = f->side_coverage = NAN;
    f->round = o.round;
    f->balance_error = 3e-15;
    f->still_moving = 0.8e-3 / 60.0;
    f->wet_least = 6.0 * 3600.0;
    f->wet_most = 12.0 * 3600.0;
    f->steps = 1268;
    f->rejected = 119;
    f->grid = s.record.grid;
    f->wall = 1.6;
    return s;
}

void sample_clear(sample *s)
{
    rn_plan_free(s->plan);
    free(s->record.inside);
    free(s->record.depth);
    free(s->record.arrival);
    free(s->record.moments);
    *s = (sample){0};
}
