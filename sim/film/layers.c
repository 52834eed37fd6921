/* Legend: u v depth-mean velocity, k the cell's motion, sigma z/h, phi F the profile and its integral, R rim radius,
   x signed distance to the rim, G the release's share within a distance of it. */
#include "film/layers.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "film/flow.h"

#define BLOCK 2048        /* points that one member traces at a time */
#define ASIDE 1e-5f       /* far enough from a rim to be on one side of it [m] */
#define GROWTH_MOST 1.99f /* of the mean depth in one interval: ground that was dry has grown without bound */
#define STEEP 0.2f        /* see is_steep */
#define STEEP_STEPS 5     /* to each growth by e */
#define STEEP_STEPS_MOST 64
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
    long count; /* of those taken up so far */
    rn_flow flow;
    float dt; /* negative: on in time */
    int active_count;
    active active[RN_SOURCES_MOST_ACTIVE];
} trace;

rn_status rn_tracers_init(rn_tracers *points, long count, rn_error *err)
{
    const size_t n = (size_t)count;
    float *numbers = malloc(4 * n * sizeof *numbers + 1);
    short *source = malloc(n * sizeof *source + 1);
    if (!numbers || !source) {
        free(numbers);
        free(source);
        return rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
    }
    *points = (rn_tracers){count, numbers, numbers + n, numbers + 2 * n, source, numbers + 3 * n, NULL};
    for (long p = 0; p < count; p++)
        source[p] = RN_FROM_NOWHERE;
    return RN_OK;
}

void rn_tracers_clear(rn_tracers *points)
{
    free(points->x);
    free(points->source);
    *points = (rn_tracers){0};
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
    rn_motion_cell k = rn_flow_sample(&t->flow, x, y);
    float rx = x - rim->x, ry = y - rim->y, r = sqrtf(rx * rx + ry * ry) + 1e-9f, aside = r - rim->radius;
    *distance = aside;
    if (fabsf(aside) >= rim->half_width)
        return k;
    rx /= r;
    ry /= r;
    rn_motion_cell at_rim = rn_flow_sample(&t->flow, rim->x + rim->radius * rx, rim->y + rim->radius * ry);
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
    const float x = points->x[p], y = points->y[p], sigma = points->sigma[p], dt = t->dt;
    float start, end, middle;
    rn_motion_cell k = sample_at_rim(t, rim, x, y, &start);
    rn_drift f = rn_flow_at(&t->flow, &k, x, y, sigma);
    float half_x = x - 0.5f * dt * f.phi * k.u, half_y = y - 0.5f * dt * f.phi * k.v;
    float half_sigma = rn_flow_clamped(sigma - 0.5f * dt * f.rise, 1);
    rn_motion_cell half = sample_at_rim(t, rim, half_x, half_y, &middle);
    if (start * middle < 0) { /* the midpoint lies across the rim, where all flows the other way */
        half = k;
        half_sigma = sigma;
    }
    f = rn_flow_at(&t->flow, &half, half_x, half_y, half_sigma);
    float to_x = x - dt * f.phi * half.u, to_y = y - dt * f.phi * half.v;
    sample_at_rim(t, rim, to_x, to_y, &end);
    float share = dt > 0 ? crossing(start, end) : -1; /* what is carried on moves away from where paint comes up */
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
    points->sigma[p] = rn_flow_clamped(sigma - dt * f.rise, 1);
}

/* ln(h1/h0) over an interval in which the depth grew evenly, by the share r of its mean. */
static float log_growth(float r)
{
    r = r > -GROWTH_MOST ? r : -GROWTH_MOST;
    r = r < GROWTH_MOST ? r : GROWTH_MOST;
    return logf((2 + r) / (2 - r));
}

/* Where on its way through an interval a trace was, of its length, when it had come so far in the time that runs as 1/h. */
static float time_share(float way, float log_growth)
{
    return fabsf(log_growth) < 1e-3f ? way : (1 - expf(-way * log_growth)) / (1 - expf(-log_growth));
}

/* By what share of its mean depth a film grows in one interval, at most without being followed in short steps. */
static bool is_steep(rn_motion_cell k, float dt)
{
    return fabsf((k.feed - k.spread) * dt) > STEEP;
}

/* One interval in which the film grows or thins much, under a cup or where a front runs over what lies there: a thin film
   may grow fifty times within one. Fluxes are even over it, and what they do to sigma goes as 1/h. So it is gone through in
   the time that runs as 1/h, in short steps, and sigma by its logarithm: what does not flow keeps its depth. What a cup lays
   on top lowers all that is there; traced back, it lifts the point toward the face, and out through it. */
static void step_steeply(const trace *t, const active *cup, long p)
{
    const rn_tracers *points = t->points;
    float x = points->x[p], y = points->y[p], sigma = points->sigma[p];
    rn_motion_cell k = rn_flow_sample(&t->flow, x, y);
    const float r = (k.feed - k.spread) * fabsf(t->dt), grown = log_growth(r);
    const float all = t->dt * (fabsf(r) < 1e-3f ? 1 : grown / r), laid = cup ? 1 : 0;
    int steps = 1 + (int)(fabsf(all) * (fabsf(k.feed) + fabsf(k.spread)) * STEEP_STEPS);
    steps = steps < STEEP_STEPS_MOST ? steps : STEEP_STEPS_MOST;
    const float dt = t->dt / (float)steps, thinning = all / (float)steps;
    for (int n = 0; n < steps; n++) {
        rn_drift f = rn_flow_at(&t->flow, &k, x, y, sigma);
        const float half_x = x - 0.5f * dt * f.phi * k.u, half_y = y - 0.5f * dt * f.phi * k.v;
        float half_sigma = sigma;
        if (sigma > 0)
            half_sigma = rn_flow_clamped(sigma * expf(0.5f * thinning * (laid * k.feed - f.rise / sigma)), 1);
        k = rn_flow_sample(&t->flow, half_x, half_y);
        f = rn_flow_at(&t->flow, &k, half_x, half_y, half_sigma);
        const float rise = half_sigma > 0 ? thinning * (laid * k.feed - f.rise / half_sigma) : 0;
        const float to_face = -logf(sigma);
        const bool leaves = cup && dt > 0 && k.feed > 0 && sigma > 0 && rise > to_face;
        const float part = leaves ? to_face / rise : 1;
        x -= part * dt * f.phi * k.u;
        y -= part * dt * f.phi * k.v;
        sigma = leaves ? 1 : rn_flow_clamped(sigma * expf(rise), 1);
        if (leaves) {
            leave(points, p, cup, time_share(((float)n + part) / (float)steps, grown));
            break;
        }
        if (n + 1 < steps)
            k = rn_flow_sample(&t->flow, x, y);
    }
    points->x[p] = x;
    points->y[p] = y;
    points->sigma[p] = sigma;
}

/* One step in the open film. */
static inline void step_in_film(const trace *t, long p)
{
    const rn_tracers *points = t->points;
    const float x = points->x[p], y = points->y[p], sigma = points->sigma[p], dt = t->dt;
    rn_motion_cell k = rn_flow_sample(&t->flow, x, y);
    if (sigma < 1 && is_steep(k, dt)) {
        step_steeply(t, NULL, p);
        return;
    }
    rn_drift f = rn_flow_at(&t->flow, &k, x, y, sigma);
    float half_x = x - 0.5f * dt * f.phi * k.u, half_y = y - 0.5f * dt * f.phi * k.v;
    float half_sigma = sigma == 1 ? 1 : rn_flow_clamped(sigma - 0.5f * dt * f.rise, 1);
    k = rn_flow_sample(&t->flow, half_x, half_y);
    f = rn_flow_at(&t->flow, &k, half_x, half_y, half_sigma);
    points->x[p] = x - dt * f.phi * k.u;
    points->y[p] = y - dt * f.phi * k.v;
    if (sigma != 1)
        points->sigma[p] = rn_flow_clamped(sigma - dt * f.rise, 1);
}

/* Many points of the open film side by side: loops that the compiler turns into vector code, for plain viscosities. The
   same arithmetic as step_in_film. */
#define LANES 32

typedef struct lanes {
    int count;
    long point[LANES];
    float x[LANES], y[LANES], sigma[LANES];
} lanes;

static inline void sample_lanes(float motion[restrict LANES][4], const trace *t, const float *restrict x,
                                const float *restrict y)
{
    const float most_x = (float)t->flow.grid->nx - 1.001f, most_y = (float)t->flow.grid->ny - 1.001f;
    const float x0 = t->flow.x0, y0 = t->flow.y0, per_dx = t->flow.per_dx, per_dy = t->flow.per_dy;
    const int nx = t->flow.grid->nx;
    float a[LANES], b[LANES];
    int cell[LANES];
    for (int l = 0; l < LANES; l++) {
        float fx = (x[l] - x0) * per_dx - 0.5f, fy = (y[l] - y0) * per_dy - 0.5f;
        fx = fx > 0 ? fx : 0;
        fy = fy > 0 ? fy : 0;
        fx = fx < most_x ? fx : most_x;
        fy = fy < most_y ? fy : most_y;
        const int i = (int)fx, j = (int)fy;
        a[l] = fx - (float)i;
        b[l] = fy - (float)j;
        cell[l] = j * nx + i;
    }
    for (int l = 0; l < LANES; l++) {
        const rn_motion_cell *p = t->flow.cells + cell[l], *q = p + nx;
        rn_four p0 = *(const rn_four *)p, p1 = *(const rn_four *)(p + 1), q0 = *(const rn_four *)q,
                q1 = *(const rn_four *)(q + 1);
        rn_four low = p0 + a[l] * (p1 - p0), high = q0 + a[l] * (q1 - q0);
        *(rn_four *)motion[l] = low + b[l] * (high - low);
    }
}

static inline float lane_phi(float sigma)
{
    return sigma * (3.0f - 1.5f * sigma);
}

static inline float lane_rise(float sigma, float spread)
{
    return (sigma - sigma * sigma * (1.5f - 0.5f * sigma)) * spread;
}

/* The same arithmetic as rn_flow_in_column. */
static inline void flow_in_columns(float phi[restrict LANES], float rise[restrict LANES], const rn_flow *f,
                                   float motion[restrict LANES][4], const float *restrict x, const float *restrict y,
                                   const float *restrict sigma)
{
    const float most_x = f->lattice_most_x, most_y = f->lattice_most_y, x0 = f->x0, y0 = f->y0;
    const float per_x = f->lattice_per_x, per_y = f->lattice_per_y;
    const int nx = f->lattice_nx, plane = (int)f->lattice_plane;
    float a[LANES], b[LANES], d[LANES], mixed[LANES][4], right[LANES][4], back[LANES][4];
    int cell[LANES], part[LANES];
    for (int l = 0; l < LANES; l++) {
        float fx = (x[l] - x0) * per_x - 0.5f, fy = (y[l] - y0) * per_y - 0.5f;
        fx = fx > 0 ? fx : 0;
        fy = fy > 0 ? fy : 0;
        fx = fx < most_x ? fx : most_x;
        fy = fy < most_y ? fy : most_y;
        const int i = (int)fx, j = (int)fy;
        a[l] = fx - (float)i;
        b[l] = fy - (float)j;
        cell[l] = j * nx + i;
        part[l] = (int)(sigma[l] * RN_FLOW_PARTS);
        part[l] = part[l] < RN_FLOW_PARTS ? part[l] : RN_FLOW_PARTS - 1;
    }
    for (int l = 0; l < LANES; l++) {
        const int level = f->heights.height_of[part[l]];
        d[l] = sigma[l] - f->heights.share[level];
        const rn_motion_cell *p = f->levels + (long)level * plane + cell[l], *q = p + nx;
        const rn_four p0 = *(const rn_four *)p, p1 = *(const rn_four *)(p + 1), q0 = *(const rn_four *)q,
                      q1 = *(const rn_four *)(q + 1);
        const rn_four right_low = p1 - p0, right_high = q1 - q0;
        const rn_four low = p0 + a[l] * right_low, rises = q0 + a[l] * right_high - low;
        *(rn_four *)mixed[l] = low + b[l] * rises;
        *(rn_four *)right[l] = right_low + b[l] * (right_high - right_low);
        *(rn_four *)back[l] = rises;
    }
    for (int l = 0; l < LANES; l++) {
        const float *m = mixed[l], *r = right[l], *k = back[l];
        phi[l] = m[0] + d[l] * (2 * m[2] + d[l] * (3 * m[3]));
        const float below = m[1] + d[l] * (m[0] + d[l] * (m[2] + d[l] * m[3]));
        const float by_x = (r[1] + d[l] * (r[0] + d[l] * (r[2] + d[l] * r[3]))) * per_x;
        const float by_y = (k[1] + d[l] * (k[0] + d[l] * (k[2] + d[l] * k[3]))) * per_y;
        const float rises = (sigma[l] - below) * motion[l][2] - motion[l][0] * by_x - motion[l][1] * by_y;
        rise[l] = sigma[l] == 1 || sigma[l] == 0 ? 0 : rises;
    }
}

/* How the lanes move: phi and dsigma/dt. */
static inline void flow_lanes(float phi[restrict LANES], float rise[restrict LANES], const trace *t,
                              float motion[restrict LANES][4], const float *restrict x, const float *restrict y,
                              const float *restrict sigma)
{
    if (t->flow.kind == RN_FLOW_COLUMNS) {
        flow_in_columns(phi, rise, &t->flow, motion, x, y, sigma);
        return;
    }
    for (int l = 0; l < LANES; l++) {
        phi[l] = lane_phi(sigma[l]);
        rise[l] = lane_rise(sigma[l], motion[l][2]);
    }
}

static void step_lanes(const trace *t, lanes *set)
{
    const rn_tracers *points = t->points;
    const float dt = t->dt;
    float motion[LANES][4], x[LANES], y[LANES], sigma[LANES], phi[LANES], rise[LANES];
    bool steep[LANES];
    for (int l = set->count; l < LANES; l++) { /* idle lanes do as the first */
        set->x[l] = set->x[0];
        set->y[l] = set->y[0];
        set->sigma[l] = set->sigma[0];
    }
    sample_lanes(motion, t, set->x, set->y);
    for (int l = 0; l < LANES; l++)
        steep[l] = fabsf((motion[l][3] - motion[l][2]) * dt) > STEEP && set->sigma[l] < 1;
    flow_lanes(phi, rise, t, motion, set->x, set->y, set->sigma);
    for (int l = 0; l < LANES; l++) {
        const float half = 0.5f * dt;
        x[l] = set->x[l] - half * phi[l] * motion[l][0];
        y[l] = set->y[l] - half * phi[l] * motion[l][1];
        float s = set->sigma[l] - half * rise[l];
        s = s > 0 ? s : 0;
        sigma[l] = s < 1 ? s : 1;
    }
    sample_lanes(motion, t, x, y);
    flow_lanes(phi, rise, t, motion, x, y, sigma);
    for (int l = 0; l < LANES; l++) {
        x[l] = set->x[l] - dt * phi[l] * motion[l][0];
        y[l] = set->y[l] - dt * phi[l] * motion[l][1];
        float s = set->sigma[l] - dt * rise[l];
        s = s > 0 ? s : 0;
        sigma[l] = s < 1 ? s : 1;
    }
    for (int l = 0; l < set->count; l++) {
        const long p = set->point[l];
        if (steep[l]) {
            step_steeply(t, NULL, p);
            continue;
        }
        points->x[p] = x[l];
        points->y[p] = y[l];
        points->sigma[p] = sigma[l];
    }
    set->count = 0;
}

static void step_open_film(const trace *t, lanes *set, long p)
{
    if (t->flow.kind == RN_FLOW_POWER || t->flow.kind == RN_FLOW_PLUG) {
        step_in_film(t, p);
        return;
    }
    const int l = set->count++;
    set->point[l] = p;
    set->x[l] = t->points->x[p];
    set->y[l] = t->points->y[p];
    set->sigma[l] = t->points->sigma[p];
    if (set->count == LANES)
        step_lanes(t, set);
}

/* Paint laid down at once: under a cup it lies on what was there, its first drop lowest; from a rim it is the new paint
   where most of the film is new. */
static void step_at_once(const trace *t, const active *source, long p)
{
    const rn_tracers *points = t->points;
    if (!source)
        return;
    const float fresh = rn_flow_sample(&t->flow, points->x[p], points->y[p]).feed;
    if (source->on_top && points->sigma[p] <= 1 - fresh)
        points->sigma[p] = fresh < 1 ? rn_flow_clamped(points->sigma[p] / (1 - fresh), 1) : 1;
    else if (source->on_top && fresh > 0)
        leave(points, p, source, (1 - points->sigma[p]) / fresh);
    else if (fresh > 0.5f)
        leave(points, p, source, 0);
}

static void step_among_sources(const trace *t, lanes *set, long p)
{
    const rn_tracers *points = t->points;
    const active *rim = NULL, *cup = NULL;
    for (int a = 0; a < t->active_count; a++) {
        const active *source = &t->active[a];
        if (!near_rim(source, points->x[p], points->y[p]))
            continue;
        if (source->on_top)
            cup = source;
        else
            rim = source;
    }
    if (t->dt == 0)
        step_at_once(t, rim ? rim : cup, p);
    else if (rim)
        step_at_rim(t, rim, p);
    else if (cup)
        step_steeply(t, cup, p);
    else
        step_open_film(t, set, p);
}

static void trace_block(void *context, int block, int member)
{
    (void)member;
    const trace *t = context;
    const rn_tracers *points = t->points;
    long from = (long)block * BLOCK, to = from + BLOCK < t->count ? from + BLOCK : t->count;
    lanes set = {0};
    if (t->active_count > 0) {
        for (long p = from; p < to; p++)
            if (points->source[p] == RN_FROM_NOWHERE)
                step_among_sources(t, &set, p);
    } else if (t->dt != 0) {
        for (long p = from; p < to; p++)
            if (points->source[p] == RN_FROM_NOWHERE)
                step_open_film(t, &set, p);
    }
    if (set.count > 0)
        step_lanes(t, &set);
}

static void find_active(trace *t, const rn_layers *layers, double begins, double ends)
{
    t->active_count = 0;
    for (int s = 0; s < layers->source_count && t->active_count < RN_SOURCES_MOST_ACTIVE; s++) {
        const rn_source *source = &layers->sources[s];
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

static void step_interval(trace *t, const rn_layers *layers, int interval, bool back, rn_team *team)
{
    const rn_tracers *points = t->points;
    double begins = rn_history_time(layers->history, interval), ends = rn_history_time(layers->history, interval + 1);
    t->dt = (float)(back ? ends - begins : begins - ends);
    while (t->count < points->count && (!points->interval || points->interval[t->count] >= interval))
        t->count++;
    find_active(t, layers, begins, ends);
    rn_flow_read(&t->flow, layers->history, interval, team);
    rn_team_share(team, (int)((t->count + BLOCK - 1) / BLOCK), trace_block, t);
}

static rn_status begin(trace *t, const rn_tracers *points, const rn_layers *layers, rn_error *err)
{
    *t = (trace){.points = points, .count = points->interval ? 0 : points->count};
    return rn_flow_begin(&t->flow, layers->history, layers->power, err);
}

rn_status rn_layers_trace(const rn_tracers *points, const rn_layers *layers, double from, double to, rn_team *team,
                          rn_error *err)
{
    const rn_history *history = layers->history;
    trace t;
    rn_status status = begin(&t, points, layers, err);
    if (status != RN_OK)
        return status;
    for (int k = rn_history_find(history, from); k >= 0 && rn_history_time(history, k) >= to - 1e-9 && status == RN_OK;
         k--) {
        step_interval(&t, layers, k, true, team);
        status = rn_team_ends(team, err);
    }
    rn_flow_end(&t.flow);
    return status;
}

rn_status rn_layers_carry(const rn_tracers *points, const rn_layers *layers, double from, double to, rn_team *team,
                          rn_error *err)
{
    const rn_history *history = layers->history;
    trace t;
    rn_status status = begin(&t, points, layers, err);
    if (status != RN_OK)
        return status;
    t.count = points->count;
    const int count = rn_history_count(history);
    for (int k = 0; k < count && rn_history_time(history, k + 1) <= to + 1e-9 && status == RN_OK; k++)
        if (rn_history_time(history, k) >= from - 1e-9 &&
            rn_history_time(history, k + 1) > rn_history_time(history, k)) {
            step_interval(&t, layers, k, false, team);
            status = rn_team_ends(team, err);
        }
    rn_flow_end(&t.flow);
    return status;
}
