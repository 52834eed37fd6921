#include "film/flow.h"

#include <math.h>
#include <stdlib.h>

#include "film/profile.h"

#define LEVELS_MOST 64 /* of a column */

/* Eighths of the depth, and between them and the panel and the face some more. */
static const unsigned char parts[RN_FLOW_HEIGHTS + 1] = {0, 1, 3, 8, 16, 32, 48, 64, 80, 96, 112, 120, RN_FLOW_PARTS};

static void fill_shapes(rn_shapes *table, double power)
{
    for (int r = 0; r < RN_SHAPE_ROWS; r++)
        for (int c = 0; c < RN_SHAPE_COLUMNS; c++) {
            const double yielded = fmax((double)r / (RN_SHAPE_ROWS - 1), 1e-6),
                         sigma = (double)c / (RN_SHAPE_COLUMNS - 1);
            table->phi[r][c] = (float)rn_profile_plug_speed(power, yielded, sigma);
            table->below[r][c] = (float)rn_profile_plug_below(power, yielded, sigma);
        }
}

static void set_heights(rn_flow_heights *heights)
{
    for (int k = 0, part = 0; k <= RN_FLOW_HEIGHTS; k++) {
        heights->part[k] = parts[k];
        heights->share[k] = (float)parts[k] / RN_FLOW_PARTS;
        for (; part < parts[k]; part++)
            heights->height_of[part] = (unsigned char)(k - 1);
    }
}

/* One column's levels, from the panel up. */
typedef struct pile {
    int count;
    float top[LEVELS_MOST], ease[LEVELS_MOST]; /* share of the depth; 1/mu in the first law's */
} pile;

/* A level without paint is like that below it, or else above. */
static void read_pile(pile *made, const rn_history_columns *columns, const double *viscosities, int laws, long at)
{
    const long plane = (long)columns->nx * columns->ny;
    float ease = 1;
    int known = 0;
    made->count = columns->levels < LEVELS_MOST ? columns->levels : LEVELS_MOST;
    while (known < made->count && columns->law[at + known * plane] >= laws)
        known++;
    for (int level = 0; level < made->count; level++) {
        const long from = at + (level < known && known < made->count ? known : level) * plane;
        if (columns->law[from] < laws)
            ease = (float)(viscosities[0] / viscosities[columns->law[from]]);
        made->ease[level] = ease;
        made->top[level] = level + 1 == made->count ? 1
                           : columns->foot          ? columns->foot[at + (level + 1) * plane] / (float)RN_FOOT_UNIT
                                                    : (float)(level + 1) / (float)made->count;
    }
}

/* u grows by (1 - s)/mu ds: phi and F, not yet over the mean, at each of the heights above the panel. */
static void sum_up(float *phi, float *below, long stride, const pile *of, const rn_flow_heights *heights)
{
    float s = 0, speed = 0, sum = 0;
    int level = 0;
    for (int k = 1; k <= RN_FLOW_HEIGHTS; k++) {
        const float end = heights->share[k];
        while (s < end) {
            while (level + 1 < of->count && of->top[level] <= s)
                level++;
            const float to = level + 1 < of->count && of->top[level] < end ? of->top[level] : end;
            const float d = to - s, ease = of->ease[level];
            sum += d * (speed + ease * d * (0.5f * (1 - s) - d / 6));
            speed += ease * d * (1 - s - 0.5f * d);
            s = to;
        }
        phi[(k - 1) * stride] = speed;
        below[(k - 1) * stride] = sum;
    }
}

typedef struct profiling {
    const rn_flow *f;
    const double *viscosities;
    int laws;
} profiling;

/* Laws jump from point to point of the lattice, the paint's speed does not: what is summed up is smoothed over two points
   to either side, first along the rows and then across them, before it is taken over the mean. */
#define SUMS (2L * RN_FLOW_HEIGHTS)

static inline float smoothed(float a, float b, float c, float d, float e)
{
    return (a + e) * (1.0f / 16) + (b + d) * (4.0f / 16) + c * (6.0f / 16);
}

static int held(int i, int n)
{
    return i < 0 ? 0 : i >= n ? n - 1 : i;
}

static void sum_row(void *context, int j, int member)
{
    (void)member;
    const profiling *job = context;
    const rn_flow *f = job->f;
    const int nx = f->columns->nx;
    const long row = (long)j * nx, plane = (long)f->columns->ny * nx;
    float *first = f->sums + row, *to = f->sums + SUMS * plane + row;
    for (int i = 0; i < nx; i++) {
        pile of;
        read_pile(&of, f->columns, job->viscosities, job->laws, row + i);
        sum_up(first + i, first + RN_FLOW_HEIGHTS * plane + i, plane, &of, &f->heights);
    }
    for (long sum = 0; sum < SUMS; sum++) {
        const float *restrict a = first + sum * plane;
        float *restrict b = to + sum * plane;
        for (int i = 0; i < nx; i++) {
            if (i >= 2 && i < nx - 2)
                continue;
            b[i] = smoothed(a[held(i - 2, nx)], a[held(i - 1, nx)], a[i], a[held(i + 1, nx)], a[held(i + 2, nx)]);
        }
        for (int i = 2; i < nx - 2; i++)
            b[i] = smoothed(a[i - 2], a[i - 1], a[i], a[i + 1], a[i + 2]);
    }
}

static void profile_row(void *context, int j, int member)
{
    (void)member;
    const rn_flow *f = ((const profiling *)context)->f;
    const int nx = f->columns->nx, ny = f->columns->ny;
    const long plane = (long)nx * ny;
    float *to = f->sums + (long)j * nx; /* this row's first sums have been used */
    for (long sum = 0; sum < SUMS; sum++) {
        const float *from = f->sums + (SUMS + sum) * plane;
        const float *restrict a = from + (long)held(j - 2, ny) * nx, *restrict b = from + (long)held(j - 1, ny) * nx,
                              *restrict c = from + (long)j * nx, *restrict d = from + (long)held(j + 1, ny) * nx,
                              *restrict e = from + (long)held(j + 2, ny) * nx;
        float *restrict all = to + sum * plane;
        for (int i = 0; i < nx; i++)
            all[i] = smoothed(a[i], b[i], c[i], d[i], e[i]);
    }
    const float *phis = to, *belows = to + RN_FLOW_HEIGHTS * plane, *mean = belows + (RN_FLOW_HEIGHTS - 1) * plane;
    for (int k = 0; k < RN_FLOW_HEIGHTS; k++) {
        const float per = 1 / (f->heights.share[k + 1] - f->heights.share[k]);
        const float *phi1 = phis + k * plane, *below1 = belows + k * plane;
        rn_motion_cell *made = f->levels + k * plane + (long)j * nx;
        for (int i = 0; i < nx; i++) {
            const float scale = 1 / mean[i], low = k > 0 ? phi1[i - plane] : 0, under = k > 0 ? below1[i - plane] : 0;
            const float step = (below1[i] - under) * per; /* mean phi in between */
            made[i] = (rn_motion_cell){scale * low, scale * under, scale * per * (3 * step - 2 * low - phi1[i]),
                                       scale * per * per * (low + phi1[i] - 2 * step)};
        }
    }
}

/* Profiles of the columns that hold now, unless they stand there already. */
static void read_columns(rn_flow *flow, const rn_history *history, int interval, rn_team *team)
{
    const rn_history_columns *columns = rn_history_columns_at(history, interval);
    if (columns == flow->columns)
        return;
    profiling job = {.f = flow};
    flow->columns = columns;
    flow->lattice_per_x = (float)(columns->nx / (flow->grid->nx * flow->grid->dx));
    flow->lattice_per_y = (float)(columns->ny / (flow->grid->ny * flow->grid->dy));
    flow->lattice_nx = columns->nx;
    flow->lattice_plane = (long)columns->nx * columns->ny;
    flow->lattice_most_x = (float)columns->nx - 1.001f;
    flow->lattice_most_y = (float)columns->ny - 1.001f;
    job.viscosities = rn_history_viscosities(&job.laws, history);
    rn_team_share(team, columns->ny, sum_row, &job);
    rn_team_share(team, columns->ny, profile_row, &job);
}

/* Where F, which rises, is `share`; halving is exact enough and cannot go astray. */
static double height_in_pile(double share, const pile *of)
{
    double all = 0, speed = 0, foot = 0;
    for (int pass = 0; pass < 2; pass++) { /* the whole flux, then up to the share of it */
        double sum = 0;
        const double wanted = share * all;
        speed = foot = 0;
        for (int level = 0; level < of->count; level++) {
            const double top = (double)of->top[level], ease = (double)of->ease[level];
            double d = top - foot, low = 0;
            const double more = d * (speed + ease * d * (0.5 * (1 - foot) - d / 6));
            if (pass == 1 && sum + more >= wanted) {
                for (double high = d; high - low > 1e-7;) {
                    d = 0.5 * (low + high);
                    if (sum + d * (speed + ease * d * (0.5 * (1 - foot) - d / 6)) < wanted)
                        low = d;
                    else
                        high = d;
                }
                return foot + low;
            }
            sum += more;
            speed += ease * d * (1 - foot - 0.5 * d);
            foot = top;
        }
        all = sum;
    }
    return 1;
}

double rn_flow_height_of(double share, const rn_history *history, double power, int interval, double x, double y)
{
    const rn_history_columns *columns = rn_history_columns_at(history, interval);
    if (columns && columns->law) {
        const rn_grid *grid = rn_history_grid(history);
        const int i = held((int)floor((x / (grid->nx * grid->dx) + 0.5) * columns->nx), columns->nx);
        const int j = held((int)floor((y / (grid->ny * grid->dy) + 0.5) * columns->ny), columns->ny);
        int laws;
        const double *viscosities = rn_history_viscosities(&laws, history);
        pile of;
        read_pile(&of, columns, viscosities, laws, (long)j * columns->nx + i);
        return height_in_pile(share, &of);
    }
    double low = 0, high = 1;
    for (int k = 0; k < 24; k++) {
        const double s = 0.5 * (low + high);
        if (rn_profile_below(power, s) < share)
            low = s;
        else
            high = s;
    }
    return 0.5 * (low + high);
}

void rn_flow_read(rn_flow *flow, const rn_history *history, int interval, rn_team *team)
{
    rn_history_read(flow->cells, history, interval, team);
    if (flow->kind == RN_FLOW_COLUMNS)
        read_columns(flow, history, interval, team);
    else if (flow->kind == RN_FLOW_PLUG)
        rn_history_read_yielded(flow->yielded, history, interval);
}

void rn_flow_end(rn_flow *flow)
{
    free(flow->cells);
    free(flow->yielded);
    free(flow->levels);
    free(flow->sums);
    free(flow->table);
    *flow = (rn_flow){0};
}

/* What each kind needs besides the cells. False if no memory. */
static bool begin_kind(rn_flow *flow, const rn_history_columns *columns, double power)
{
    const size_t cells = (size_t)flow->grid->nx * (size_t)flow->grid->ny;
    if (flow->kind == RN_FLOW_COLUMNS) {
        const size_t levels = RN_FLOW_HEIGHTS * (size_t)columns->ny * (size_t)columns->nx;
        set_heights(&flow->heights);
        flow->levels = malloc(levels * sizeof *flow->levels);
        flow->sums = malloc(4 * levels * sizeof *flow->sums);
        return flow->levels && flow->sums;
    }
    if (flow->kind == RN_FLOW_NEWTONIAN)
        return true;
    flow->table = malloc(sizeof *flow->table);
    if (flow->table)
        fill_shapes(flow->table, power);
    if (flow->kind == RN_FLOW_POWER)
        return flow->table;
    flow->yielded = malloc(cells * sizeof *flow->yielded);
    return flow->table && flow->yielded;
}

rn_status rn_flow_begin(rn_flow *flow, const rn_history *history, double power, rn_error *err)
{
    const rn_grid *grid = rn_history_grid(history);
    const rn_history_columns *columns = rn_history_columns_at(history, 0);
    *flow = (rn_flow){
        .grid = grid,
        .per_dx = (float)(1 / grid->dx),
        .per_dy = (float)(1 / grid->dy),
        .x0 = (float)(-0.5 * grid->nx * grid->dx),
        .y0 = (float)(-0.5 * grid->ny * grid->dy),
        .cells = malloc((size_t)grid->nx * (size_t)grid->ny * sizeof *flow->cells),
        .face_speed = (float)rn_profile_speed(power, 1),
        .plug_part = (float)(1 / (1 / power + 2)),
    };
    if (columns)
        flow->kind = RN_FLOW_COLUMNS;
    else if (rn_history_has_yield(history))
        flow->kind = RN_FLOW_PLUG;
    else if (power != 1)
        flow->kind = RN_FLOW_POWER;
    if (flow->cells && begin_kind(flow, columns, power))
        return RN_OK;
    rn_flow_end(flow);
    return rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
}
