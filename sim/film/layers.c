/* Legend: u v depth-mean velocity, k the cell's motion, sigma z/h, phi F the profile and its integral, R rim radius,
   x signed distance to the rim, G the release's share within a distance of it. */
#include "film/layers.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"

#define BLOCK 2048   /* points that one member traces at a time */
#define ASIDE 1e-5f  /* far enough from a rim to be on one side of it [m] */
#define THROUGH 0.5f /* where the far side flows on at this share of the near side's speed, paint passes the rim */

/* A release during one interval. */
typedef struct active {
    short number;
    bool on_top;
    float x, y, radius, half_width;
    float before, after; /* released when the interval begins and ends [m3] */
} active;

#define RN_SOURCES_MOST_ACTIVE 32

typedef struct trace {
    const rn_tracers *points;
    const rn_motion_cell *cells;
    const rn_grid *grid;
    float per_dx, per_dy, x0, y0;
    float dt;
    double power;
    bool newtonian;
    int active_count;
    active active[RN_SOURCES_MOST_ACTIVE];
} trace;

double rn_layers_profile(double power, double sigma)
{
    double n = power;
    return (2 * n + 1) / (n + 1) * (1 - pow(1 - sigma, 1 + 1 / n));
}

double rn_layers_profile_below(double power, double sigma)
{
    double n = power, m = 2 + 1 / n;
    return (2 * n + 1) / (n + 1) * (sigma - (1 - pow(1 - sigma, m)) / m);
}

static inline float profile(const trace *t, float sigma)
{
    return t->newtonian ? sigma * (3.0f - 1.5f * sigma) : (float)rn_layers_profile(t->power, (double)sigma);
}

static inline float profile_below(const trace *t, float sigma)
{
    return t->newtonian ? sigma * sigma * (1.5f - 0.5f * sigma)
                        : (float)rn_layers_profile_below(t->power, (double)sigma);
}

static inline float clamped(float value, float most)
{
    return value < 0 ? 0 : value > most ? most : value;
}

/* Bilinear between cell centres, constant beyond the outermost. */
static inline rn_motion_cell sample(const trace *t, float x, float y)
{
    float fx = clamped((x - t->x0) * t->per_dx - 0.5f, (float)t->grid->nx - 1.001f);
    float fy = clamped((y - t->y0) * t->per_dy - 0.5f, (float)t->grid->ny - 1.001f);
    int i = (int)fx, j = (int)fy;
    float a = fx - (float)i, b = fy - (float)j;
    const float *p = (const float *)(t->cells + (long)j * t->grid->nx + i), *q = p + 4L * t->grid->nx;
    float mixed[4];
    for (int k = 0; k < 4; k++) {
        float low = p[k] + a * (p[k + 4] - p[k]), high = q[k] + a * (q[k + 4] - q[k]);
        mixed[k] = low + b * (high - low);
    }
    return (rn_motion_cell){mixed[0], mixed[1], mixed[2], mixed[3]};
}

/* Share of a raised cosine of that half width that lies within x of its middle. */
static inline float within(float x, float half_width)
{
    float u = x / half_width;
    return u >= 1 ? 1 : u + sinf((float)RN_PI * u) / (float)RN_PI;
}

/* Motion at (x, y) beside a rim, with the rim a line; *distance to it, + outside. */
static rn_motion_cell sample_at_rim(const trace *t, const active *rim, float x, float y, float *distance)
{
    rn_motion_cell k = sample(t, x, y);
    float rx = x - rim->x, ry = y - rim->y, r = sqrtf(rx * rx + ry * ry) + 1e-9f, aside = r - rim->radius;
    *distance = aside;
    if (fabsf(aside) >= rim->half_width)
        return k;
    rx /= r;
    ry /= r;
    rn_motion_cell at_rim = sample(t, rim->x + rim->radius * rx, rim->y + rim->radius * ry);
    /* One side's share of the line's strength is half the profile's integral over its height. */
    float normal = 0.5f * rim->half_width * at_rim.feed * (1 - within(fabsf(aside), rim->half_width));
    normal = aside < 0 ? -normal : normal;
    k.u += normal * rx;
    k.v += normal * ry;
    k.spread -= k.feed;
    return k;
}

static bool near_rim(const active *rim, float x, float y)
{
    float rx = x - rim->x, ry = y - rim->y, r2 = rx * rx + ry * ry;
    float inner = rim->radius - rim->half_width, outer = rim->radius + rim->half_width;
    return r2 < outer * outer && (inner <= 0 || r2 > inner * inner);
}

/* Whether paint leaves the rim to both sides at a point of it: then a trace that comes from `side` began there. */
static bool rim_parts(const trace *t, const active *rim, float x, float y, float side)
{
    float rx = x - rim->x, ry = y - rim->y, r = sqrtf(rx * rx + ry * ry) + 1e-9f, unused;
    rx /= r;
    ry /= r;
    float toward = side > 0 ? ASIDE : -ASIDE;
    rn_motion_cell near =
        sample_at_rim(t, rim, rim->x + (rim->radius + toward) * rx, rim->y + (rim->radius + toward) * ry, &unused);
    rn_motion_cell far =
        sample_at_rim(t, rim, rim->x + (rim->radius - toward) * rx, rim->y + (rim->radius - toward) * ry, &unused);
    float near_speed = near.u * rx + near.v * ry, far_speed = far.u * rx + far.v * ry;
    return near_speed * far_speed <= 0 || fabsf(far_speed) < THROUGH * fabsf(near_speed);
}

/* Where on its way from distance a to b a trace crosses the rim, 0..1; negative if it does not. */
static float crossing(float a, float b)
{
    return (a > 0) != (b > 0) && a != b ? a / (a - b) : -1;
}

static void leave(const rn_tracers *points, long p, const active *source, float share)
{
    points->source[p] = source->number;
    points->released[p] = source->after + share * (source->before - source->after);
}

/* One step back beside a rim. */
static void step_at_rim(const trace *t, const active *rim, long p)
{
    const rn_tracers *points = t->points;
    float x = points->x[p], y = points->y[p], sigma = points->sigma[p], start, end, middle;
    rn_motion_cell k = sample_at_rim(t, rim, x, y, &start);
    float phi = profile(t, sigma);
    float half_x = x - 0.5f * t->dt * phi * k.u, half_y = y - 0.5f * t->dt * phi * k.v;
    float half_sigma = clamped(sigma - 0.5f * t->dt * (sigma - profile_below(t, sigma)) * k.spread, 1);
    rn_motion_cell half = sample_at_rim(t, rim, half_x, half_y, &middle);
    if (start * middle < 0) { /* the midpoint lies across the rim, where all flows the other way */
        half = k;
        half_sigma = sigma;
    }
    phi = profile(t, half_sigma);
    float to_x = x - t->dt * phi * half.u, to_y = y - t->dt * phi * half.v;
    sample_at_rim(t, rim, to_x, to_y, &end);
    float share = crossing(start, end);
    if (share >= 0) {
        float at_x = x + share * (to_x - x), at_y = y + share * (to_y - y);
        if (rim_parts(t, rim, at_x, at_y, start)) {
            points->x[p] = at_x;
            points->y[p] = at_y;
            leave(points, p, rim, share);
            return;
        }
    }
    points->x[p] = to_x;
    points->y[p] = to_y;
    points->sigma[p] = clamped(sigma - t->dt * (half_sigma - profile_below(t, half_sigma)) * half.spread, 1);
}

/* One step back in the open film; a cup's disc overhead lifts the trace toward the face, and out through it. */
static void step_in_film(const trace *t, const active *cup, long p)
{
    const rn_tracers *points = t->points;
    float x = points->x[p], y = points->y[p], sigma = points->sigma[p];
    rn_motion_cell k = sample(t, x, y);
    float phi = profile(t, sigma);
    float half_x = x - 0.5f * t->dt * phi * k.u, half_y = y - 0.5f * t->dt * phi * k.v;
    float half_sigma = clamped(sigma - 0.5f * t->dt * (sigma - profile_below(t, sigma)) * k.spread, 1);
    k = sample(t, half_x, half_y);
    phi = profile(t, half_sigma);
    points->x[p] = x - t->dt * phi * k.u;
    points->y[p] = y - t->dt * phi * k.v;
    float fall = (half_sigma - profile_below(t, half_sigma)) * k.spread;
    if (cup)
        fall -= half_sigma * k.feed;
    float before = sigma - t->dt * fall;
    if (cup && k.feed > 0 && before > 1) {
        leave(points, p, cup, sigma < 1 ? (1 - sigma) / (before - sigma) : 0);
        before = 1;
    }
    points->sigma[p] = clamped(before, 1);
}

/* Paint laid down at once is the new paint where most of the film is new. */
static void step_at_once(const trace *t, const active *source, long p)
{
    const rn_tracers *points = t->points;
    if (source && sample(t, points->x[p], points->y[p]).feed > 0.5f)
        leave(points, p, source, 0);
}

static void trace_block(void *context, int block, int member)
{
    (void)member;
    const trace *t = context;
    const rn_tracers *points = t->points;
    long from = (long)block * BLOCK, to = from + BLOCK < points->count ? from + BLOCK : points->count;
    for (long p = from; p < to; p++) {
        if (points->source[p] != RN_FROM_NOWHERE)
            continue;
        const active *rim = NULL, *cup = NULL;
        for (int a = 0; a < t->active_count; a++) {
            const active *source = &t->active[a];
            if (near_rim(source, points->x[p], points->y[p])) {
                if (source->on_top)
                    cup = source;
                else
                    rim = source;
            }
        }
        if (t->dt == 0)
            step_at_once(t, rim ? rim : cup, p);
        else if (rim)
            step_at_rim(t, rim, p);
        else
            step_in_film(t, cup, p);
    }
}

static void find_active(trace *t, const rn_source *sources, int count, double begins, double ends)
{
    t->active_count = 0;
    for (int s = 0; s < count && t->active_count < RN_SOURCES_MOST_ACTIVE; s++) {
        const rn_source *source = &sources[s];
        bool at_once = source->open == 0; /* then all that is due at a moment is out in that moment's jump */
        if (at_once != (begins == ends))
            continue;
        float before = (float)rn_source_released(source, at_once ? begins - 2 * RN_SAME_MOMENT : begins);
        float after = (float)rn_source_released(source, ends);
        if (!(after > before))
            continue;
        t->active[t->active_count++] = (active){
            .number = (short)s,
            .on_top = source->on_top,
            .x = (float)source->x,
            .y = (float)source->y,
            .radius = source->on_top ? 0 : 0.5f * (float)source->across,
            .half_width = 0.5f * (float)(source->on_top ? source->across : source->width),
            .before = before,
            .after = after,
        };
    }
}

rn_status rn_layers_trace(const rn_tracers *points, const rn_history *history, const rn_source *sources, int count,
                          double power, double from, double to, rn_team *team, rn_error *err)
{
    const rn_grid *grid = rn_history_grid(history);
    rn_motion_cell *cells = malloc((size_t)grid->nx * (size_t)grid->ny * sizeof *cells);
    if (!cells)
        return rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
    trace t = {
        .points = points,
        .cells = cells,
        .grid = grid,
        .per_dx = (float)(1 / grid->dx),
        .per_dy = (float)(1 / grid->dy),
        .x0 = (float)(-0.5 * grid->nx * grid->dx),
        .y0 = (float)(-0.5 * grid->ny * grid->dy),
        .power = power,
        .newtonian = power == 1,
    };
    int blocks = (int)((points->count + BLOCK - 1) / BLOCK);
    for (int k = rn_history_find(history, from); k >= 0 && rn_history_time(history, k) >= to - 1e-9; k--) {
        double begins = rn_history_time(history, k), ends = rn_history_time(history, k + 1);
        t.dt = (float)(ends - begins);
        find_active(&t, sources, count, begins, ends);
        rn_history_read(cells, history, k, team);
        rn_team_share(team, blocks, trace_block, &t);
    }
    free(cells);
    return RN_OK;
}
