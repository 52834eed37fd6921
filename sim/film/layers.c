/* Legend: u v depth-mean velocity, k the cell's motion, sigma z/h, phi F the profile and its integral, R rim radius,
   x signed distance to the rim, G the release's share within a distance of it. */
#include "film/layers.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "film/profile.h"

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

typedef enum profile_kind { NEWTONIAN, POWER, PLUG, COLUMNS } profile_kind;

#define LEVELS_MOST 64

/* phi and F by yielded share and sigma, for laws that are no plain viscosity: powers are dear. */
#define SHAPE_ROWS 65
#define SHAPE_COLUMNS 129

typedef struct shapes {
    float phi[SHAPE_ROWS][SHAPE_COLUMNS], below[SHAPE_ROWS][SHAPE_COLUMNS];
} shapes;

typedef struct trace {
    const rn_tracers *points;
    long count; /* of those taken up so far */
    rn_motion_cell *cells;
    float *yielded;                    /* PLUG: the yielded share of each cell's film */
    const rn_history_columns *columns; /* COLUMNS: those whose profiles stand in `levels` */
    float *ease;                       /* COLUMNS: 1/mu on the lattice, twice */
    rn_motion_cell *levels; /* levels*ny*nx of their lattice: phi, F at a level's bottom, dphi/d(s - s^2/2) in it */
    float lattice_per_x, lattice_per_y, level_count, level_depth; /* of their lattice [1/m], and levels */
    const rn_grid *grid;
    float per_dx, per_dy, x0, y0;
    float dt; /* negative: on in time */
    profile_kind profile;
    shapes *table;    /* POWER, PLUG */
    float plug_part;  /* 1/(m+2), m = 1/n: a plug's face moves at 1/(1 - that times the yielded share) */
    float face_speed; /* phi(1), but for PLUG */
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

static inline float clamped(float value, float most)
{
    return value < 0 ? 0 : value > most ? most : value;
}

/* Where a point lies among four cell centres; beyond the outermost it stays on them. */
typedef struct spot {
    long cell; /* the lower left one */
    float a, b;
} spot;

static inline spot find_spot(const trace *t, float x, float y)
{
    float fx = clamped((x - t->x0) * t->per_dx - 0.5f, (float)t->grid->nx - 1.001f);
    float fy = clamped((y - t->y0) * t->per_dy - 0.5f, (float)t->grid->ny - 1.001f);
    int i = (int)fx, j = (int)fy;
    return (spot){(long)j * t->grid->nx + i, fx - (float)i, fy - (float)j};
}

typedef float four __attribute__((vector_size(16), aligned(4), may_alias));

/* Bilinear. */
static inline rn_motion_cell sample(const trace *t, float x, float y)
{
    const spot at = find_spot(t, x, y);
    const rn_motion_cell *p = t->cells + at.cell, *q = p + t->grid->nx;
    four p0 = *(const four *)p, p1 = *(const four *)(p + 1), q0 = *(const four *)q, q1 = *(const four *)(q + 1);
    four low = p0 + at.a * (p1 - p0), high = q0 + at.a * (q1 - q0), mixed = low + at.b * (high - low);
    return (rn_motion_cell){mixed[0], mixed[1], mixed[2], mixed[3]};
}

/* How a point at sigma moves where the film moves as k: phi, and dsigma/dt but for what is laid on top. */
typedef struct flow {
    float phi, rise;
} flow;

static void fill_shapes(shapes *table, double power)
{
    for (int r = 0; r < SHAPE_ROWS; r++)
        for (int c = 0; c < SHAPE_COLUMNS; c++) {
            const double yielded = fmax((double)r / (SHAPE_ROWS - 1), 1e-6), sigma = (double)c / (SHAPE_COLUMNS - 1);
            table->phi[r][c] = (float)rn_profile_plug_speed(power, yielded, sigma);
            table->below[r][c] = (float)rn_profile_plug_below(power, yielded, sigma);
        }
}

static inline float shape_between(const float *row, const float *next, float a, float b)
{
    const float low = row[0] + a * (row[1] - row[0]), high = next[0] + a * (next[1] - next[0]);
    return low + b * (high - low);
}

/* phi, F, and dF/d(yielded share). */
static inline void look_up_shape(float *phi, float *below, float *below_by_yielded, const shapes *table, float yielded,
                                 float sigma)
{
    const float fr = clamped(yielded * (SHAPE_ROWS - 1), SHAPE_ROWS - 1.001f);
    const float fc = clamped(sigma * (SHAPE_COLUMNS - 1), SHAPE_COLUMNS - 1.001f);
    const int r = (int)fr, c = (int)fc;
    const float a = fc - (float)c, b = fr - (float)r;
    *phi = shape_between(&table->phi[r][c], &table->phi[r + 1][c], a, b);
    *below = shape_between(&table->below[r][c], &table->below[r + 1][c], a, b);
    const float *row = &table->below[r][c], *next = &table->below[r + 1][c];
    *below_by_yielded = (next[0] + a * (next[1] - next[0]) - row[0] - a * (row[1] - row[0])) * (SHAPE_ROWS - 1);
}

static inline flow power_flow(const trace *t, const rn_motion_cell *k, float sigma)
{
    float phi, below, unused;
    look_up_shape(&phi, &below, &unused, t->table, 1, sigma);
    return (flow){phi, (sigma - below) * k->spread};
}

static inline flow plug_flow(const trace *t, const rn_motion_cell *k, float x, float y, float sigma)
{
    const spot at = find_spot(t, x, y);
    const float *p = t->yielded + at.cell, *q = p + t->grid->nx;
    float low = p[0] + at.a * (p[1] - p[0]), high = q[0] + at.a * (q[1] - q[0]);
    const float yielded = low + at.b * (high - low);
    if (sigma == 1)
        return (flow){1 / (1 - t->plug_part * yielded), 0};
    float by_x = ((p[1] - p[0]) * (1 - at.b) + (q[1] - q[0]) * at.b) * t->per_dx, by_y = (high - low) * t->per_dy;
    float phi, below, below_by_yielded;
    look_up_shape(&phi, &below, &below_by_yielded, t->table, yielded, sigma);
    return (flow){phi, (sigma - below) * k->spread - below_by_yielded * (k->u * by_x + k->v * by_y)};
}

/* The profile of one column: u grows by (1 - s)/mu ds from level to level; all over the mean. ease: 1/mu in any unit. */
static void profile_of(rn_motion_cell *levels, long stride, const float *ease, int count)
{
    float phi[LEVELS_MOST + 1] = {0}, below[LEVELS_MOST + 1] = {0};
    const float d = 1.0f / (float)count;
    for (int k = 0; k < count; k++) {
        const float own = ease[k], s = (float)k * d;
        phi[k + 1] = phi[k] + own * d * (1 - s - 0.5f * d);
        below[k + 1] = below[k] + d * (phi[k] + own * d * (0.5f * (1 - s) - d / 6));
    }
    const float scale = 1 / below[count];
    for (int k = 0; k < count; k++)
        levels[k * stride] = (rn_motion_cell){scale * phi[k], scale * below[k], scale * ease[k], 0};
}

typedef struct profiling {
    const trace *t;
    const double *viscosities;
    int laws;
} profiling;

/* 1/mu along one row of one level, where a level without paint is like that below it, or else above. */
static void ease_row(void *context, int row, int member)
{
    (void)member;
    const profiling *job = context;
    const rn_history_columns *columns = job->t->columns;
    const long plane = (long)columns->nx * columns->ny, all = columns->levels * plane;
    for (int i = 0; i < columns->nx; i++) {
        const long own = (long)row * columns->nx + i;
        long at = own;
        while (at >= plane && columns->law[at] >= job->laws)
            at -= plane;
        while (at + plane < all && columns->law[at] >= job->laws)
            at += plane;
        job->t->ease[own] =
            columns->law[at] < job->laws ? (float)(job->viscosities[0] / job->viscosities[columns->law[at]]) : 1;
    }
}

/* Laws jump from point to point of the lattice, the paint's speed does not: 1/mu is smoothed over two points to either
   side before the profiles are made of it. */
static float smoothed(const float *a, long stride, int i, int n)
{
    static const float weight[5] = {1.0f / 16, 4.0f / 16, 6.0f / 16, 4.0f / 16, 1.0f / 16};
    float sum = 0;
    for (int k = 0; k < 5; k++) {
        const int j = i + k - 2;
        sum += weight[k] * a[(j < 0 ? 0 : j >= n ? n - 1 : j) * stride];
    }
    return sum;
}

static void smooth_row(void *context, int row, int member)
{
    (void)member;
    const trace *t = ((const profiling *)context)->t;
    const int nx = t->columns->nx;
    const float *from = t->ease + (long)row * nx;
    float *to = t->ease + (long)t->columns->levels * t->columns->ny * nx + (long)row * nx;
    for (int i = 0; i < nx; i++)
        to[i] = smoothed(from, 1, i, nx);
}

static void profile_row(void *context, int j, int member)
{
    (void)member;
    const trace *t = ((const profiling *)context)->t;
    const int nx = t->columns->nx, ny = t->columns->ny, count = t->columns->levels;
    const long plane = (long)nx * ny;
    const float *from = t->ease + count * plane;
    for (int i = 0; i < nx; i++) {
        float ease[LEVELS_MOST];
        for (int k = 0; k < count; k++)
            ease[k] = smoothed(from + k * plane + i, nx, j, ny);
        profile_of(t->levels + (long)j * nx + i, plane, ease, count);
    }
}

static inline flow column_flow(const trace *t, const rn_motion_cell *k, float x, float y, float sigma)
{
    const rn_history_columns *columns = t->columns;
    const float fx = clamped((x - t->x0) * t->lattice_per_x - 0.5f, (float)columns->nx - 1.001f);
    const float fy = clamped((y - t->y0) * t->lattice_per_y - 0.5f, (float)columns->ny - 1.001f);
    const int i = (int)fx, j = (int)fy;
    const float a = fx - (float)i, b = fy - (float)j;
    int level = (int)(sigma * t->level_count);
    level = level >= columns->levels ? columns->levels - 1 : level;
    const float s = (float)level * t->level_depth, d = sigma - s;
    const float up = d * (1 - s - 0.5f * d), sum = d * d * (0.5f * (1 - s) - d * (1.0f / 6));
    const rn_motion_cell *p = t->levels + ((long)level * columns->ny + j) * columns->nx + i, *q = p + columns->nx;
    const four p0 = *(const four *)p, p1 = *(const four *)(p + 1), q0 = *(const four *)q, q1 = *(const four *)(q + 1);
    const four right_low = p1 - p0, right_high = q1 - q0;
    const four low = p0 + a * right_low, high = q0 + a * right_high, back = high - low, mixed = low + b * back;
    const float phi = mixed[0] + mixed[2] * up;
    if (sigma == 1 || sigma == 0)
        return (flow){phi, 0};
    const four right = right_low + b * (right_high - right_low);
    const float below = mixed[1] + mixed[0] * d + mixed[2] * sum;
    const float below_by_x = (right[1] + right[0] * d + right[2] * sum) * t->lattice_per_x;
    const float below_by_y = (back[1] + back[0] * d + back[2] * sum) * t->lattice_per_y;
    return (flow){phi, (sigma - below) * k->spread - k->u * below_by_x - k->v * below_by_y};
}

static inline flow flow_at(const trace *t, const rn_motion_cell *k, float x, float y, float sigma)
{
    if (t->profile == PLUG)
        return plug_flow(t, k, x, y, sigma);
    if (t->profile == COLUMNS)
        return column_flow(t, k, x, y, sigma);
    if (sigma == 1)
        return (flow){t->face_speed, 0};
    if (t->profile == NEWTONIAN)
        return (flow){sigma * (3.0f - 1.5f * sigma), (sigma - sigma * sigma * (1.5f - 0.5f * sigma)) * k->spread};
    return power_flow(t, k, sigma);
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
    const float x = points->x[p], y = points->y[p], sigma = points->sigma[p], dt = t->dt;
    float start, end, middle;
    rn_motion_cell k = sample_at_rim(t, rim, x, y, &start);
    flow f = flow_at(t, &k, x, y, sigma);
    float half_x = x - 0.5f * dt * f.phi * k.u, half_y = y - 0.5f * dt * f.phi * k.v;
    float half_sigma = clamped(sigma - 0.5f * dt * f.rise, 1);
    rn_motion_cell half = sample_at_rim(t, rim, half_x, half_y, &middle);
    if (start * middle < 0) { /* the midpoint lies across the rim, where all flows the other way */
        half = k;
        half_sigma = sigma;
    }
    f = flow_at(t, &half, half_x, half_y, half_sigma);
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
    points->sigma[p] = clamped(sigma - dt * f.rise, 1);
}

/* One step in the open film. A cup's disc overhead lowers what is there; traced back, it lifts the point toward the
   face, and out through it. */
static inline void step_in_film(const trace *t, const active *cup, long p)
{
    const rn_tracers *points = t->points;
    const float x = points->x[p], y = points->y[p], sigma = points->sigma[p], dt = t->dt;
    rn_motion_cell k = sample(t, x, y);
    flow f = flow_at(t, &k, x, y, sigma);
    float half_x = x - 0.5f * dt * f.phi * k.u, half_y = y - 0.5f * dt * f.phi * k.v;
    float half_sigma = sigma == 1 ? 1 : clamped(sigma - 0.5f * dt * f.rise, 1);
    k = sample(t, half_x, half_y);
    f = flow_at(t, &k, half_x, half_y, half_sigma);
    points->x[p] = x - dt * f.phi * k.u;
    points->y[p] = y - dt * f.phi * k.v;
    if (sigma == 1 && !cup)
        return;
    if (cup)
        f.rise -= half_sigma * k.feed;
    float before = sigma - dt * f.rise;
    if (cup && dt > 0 && k.feed > 0 && before > 1) {
        leave(points, p, cup, sigma < 1 ? (1 - sigma) / (before - sigma) : 0);
        before = 1;
    }
    points->sigma[p] = clamped(before, 1);
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
    const float most_x = (float)t->grid->nx - 1.001f, most_y = (float)t->grid->ny - 1.001f;
    const float x0 = t->x0, y0 = t->y0, per_dx = t->per_dx, per_dy = t->per_dy;
    const int nx = t->grid->nx;
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
        const rn_motion_cell *p = t->cells + cell[l], *q = p + nx;
        four p0 = *(const four *)p, p1 = *(const four *)(p + 1), q0 = *(const four *)q, q1 = *(const four *)(q + 1);
        four low = p0 + a[l] * (p1 - p0), high = q0 + a[l] * (q1 - q0);
        *(four *)motion[l] = low + b[l] * (high - low);
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

/* How the lanes move: phi and dsigma/dt. */
static inline void flow_lanes(float phi[restrict LANES], float rise[restrict LANES], const trace *t,
                              float motion[restrict LANES][4], const float *restrict x, const float *restrict y,
                              const float *restrict sigma)
{
    if (t->profile == COLUMNS) {
        for (int l = 0; l < LANES; l++) {
            const rn_motion_cell k = {motion[l][0], motion[l][1], motion[l][2], motion[l][3]};
            const flow f = column_flow(t, &k, x[l], y[l], sigma[l]);
            phi[l] = f.phi;
            rise[l] = f.rise;
        }
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
    for (int l = set->count; l < LANES; l++) { /* idle lanes do as the first */
        set->x[l] = set->x[0];
        set->y[l] = set->y[0];
        set->sigma[l] = set->sigma[0];
    }
    sample_lanes(motion, t, set->x, set->y);
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
        points->x[p] = x[l];
        points->y[p] = y[l];
        points->sigma[p] = sigma[l];
    }
    set->count = 0;
}

static void step_open_film(const trace *t, lanes *set, long p)
{
    if (t->profile == POWER || t->profile == PLUG) {
        step_in_film(t, NULL, p);
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

/* Paint laid down at once is the new paint where most of the film is new. */
static void step_at_once(const trace *t, const active *source, long p)
{
    const rn_tracers *points = t->points;
    if (source && sample(t, points->x[p], points->y[p]).feed > 0.5f)
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
        step_in_film(t, cup, p);
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
    rn_history_read(t->cells, layers->history, interval, team);
    if (t->profile == COLUMNS && rn_history_columns_at(layers->history, interval) != t->columns) {
        profiling job = {.t = t};
        t->columns = rn_history_columns_at(layers->history, interval);
        t->lattice_per_x = (float)(t->columns->nx / (t->grid->nx * t->grid->dx));
        t->lattice_per_y = (float)(t->columns->ny / (t->grid->ny * t->grid->dy));
        t->level_count = (float)t->columns->levels;
        t->level_depth = 1 / t->level_count;
        job.viscosities = rn_history_viscosities(&job.laws, layers->history);
        rn_team_share(team, t->columns->levels * t->columns->ny, ease_row, &job);
        rn_team_share(team, t->columns->levels * t->columns->ny, smooth_row, &job);
        rn_team_share(team, t->columns->ny, profile_row, &job);
    }
    if (t->profile == PLUG)
        rn_history_read_yielded(t->yielded, layers->history, interval);
    rn_team_share(team, (int)((t->count + BLOCK - 1) / BLOCK), trace_block, t);
}

static void end(trace *t)
{
    free(t->cells);
    free(t->yielded);
    free(t->levels);
    free(t->ease);
    free(t->table);
}

static rn_status begin(trace *t, const rn_tracers *points, const rn_layers *layers, rn_error *err)
{
    const rn_grid *grid = rn_history_grid(layers->history);
    const size_t cells = (size_t)grid->nx * (size_t)grid->ny;
    const rn_history_columns *columns = rn_history_columns_at(layers->history, 0);
    const bool plug = !columns && rn_history_has_yield(layers->history);
    const size_t levels = columns ? (size_t)columns->levels * (size_t)columns->ny * (size_t)columns->nx : 0;
    *t = (trace){
        .points = points,
        .count = points->interval ? 0 : points->count,
        .cells = malloc(cells * sizeof *t->cells),
        .yielded = plug ? malloc(cells * sizeof *t->yielded) : NULL,
        .levels = columns ? malloc(levels * sizeof *t->levels) : NULL,
        .ease = columns ? malloc(2 * levels * sizeof *t->ease) : NULL,
        .grid = grid,
        .per_dx = (float)(1 / grid->dx),
        .per_dy = (float)(1 / grid->dy),
        .x0 = (float)(-0.5 * grid->nx * grid->dx),
        .y0 = (float)(-0.5 * grid->ny * grid->dy),
        .profile = columns              ? COLUMNS
                   : plug               ? PLUG
                   : layers->power == 1 ? NEWTONIAN
                                        : POWER,
        .plug_part = (float)(1 / (1 / layers->power + 2)),
        .face_speed = (float)rn_profile_speed(layers->power, 1),
    };
    const bool shaped = t->profile == POWER || t->profile == PLUG;
    t->table = shaped ? malloc(sizeof *t->table) : NULL;
    if (t->table)
        fill_shapes(t->table, layers->power);
    if (t->cells && (t->yielded || !plug) && ((t->levels && t->ease) || !columns) && (t->table || !shaped))
        return RN_OK;
    end(t);
    return rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
}

rn_status rn_layers_trace(const rn_tracers *points, const rn_layers *layers, double from, double to, rn_team *team,
                          rn_error *err)
{
    const rn_history *history = layers->history;
    trace t;
    rn_status status = begin(&t, points, layers, err);
    if (status != RN_OK)
        return status;
    for (int k = rn_history_find(history, from); k >= 0 && rn_history_time(history, k) >= to - 1e-9; k--)
        step_interval(&t, layers, k, true, team);
    end(&t);
    return RN_OK;
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
    for (int k = 0; k < count && rn_history_time(history, k + 1) <= to + 1e-9; k++)
        if (rn_history_time(history, k) >= from - 1e-9 && rn_history_time(history, k + 1) > rn_history_time(history, k))
            step_interval(&t, layers, k, false, team);
    end(&t);
    return RN_OK;
}
