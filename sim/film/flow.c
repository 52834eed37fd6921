#include "film/flow.h"

#include <math.h>
#include <stdlib.h>

#include "film/profile.h"

#define LEVELS_MOST 64 /* of a column */

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
    const rn_flow *f;
    const double *viscosities;
    int laws;
} profiling;

/* 1/mu along one row of one level, where a level without paint is like that below it, or else above. */
static void ease_row(void *context, int row, int member)
{
    (void)member;
    const profiling *job = context;
    const rn_history_columns *columns = job->f->columns;
    const long plane = (long)columns->nx * columns->ny, all = columns->levels * plane;
    for (int i = 0; i < columns->nx; i++) {
        const long own = (long)row * columns->nx + i;
        long at = own;
        while (at >= plane && columns->law[at] >= job->laws)
            at -= plane;
        while (at + plane < all && columns->law[at] >= job->laws)
            at += plane;
        job->f->ease[own] =
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
    const rn_flow *f = ((const profiling *)context)->f;
    const int nx = f->columns->nx;
    const float *from = f->ease + (long)row * nx;
    float *to = f->ease + (long)f->columns->levels * f->columns->ny * nx + (long)row * nx;
    for (int i = 0; i < nx; i++)
        to[i] = smoothed(from, 1, i, nx);
}

static void profile_row(void *context, int j, int member)
{
    (void)member;
    const rn_flow *f = ((const profiling *)context)->f;
    const int nx = f->columns->nx, ny = f->columns->ny, count = f->columns->levels;
    const long plane = (long)nx * ny;
    const float *from = f->ease + count * plane;
    for (int i = 0; i < nx; i++) {
        float ease[LEVELS_MOST];
        for (int k = 0; k < count; k++)
            ease[k] = smoothed(from + k * plane + i, nx, j, ny);
        profile_of(f->levels + (long)j * nx + i, plane, ease, count);
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
    flow->level_count = (float)columns->levels;
    flow->level_depth = 1 / flow->level_count;
    job.viscosities = rn_history_viscosities(&job.laws, history);
    rn_team_share(team, columns->levels * columns->ny, ease_row, &job);
    rn_team_share(team, columns->levels * columns->ny, smooth_row, &job);
    rn_team_share(team, columns->ny, profile_row, &job);
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
    free(flow->ease);
    free(flow->table);
    *flow = (rn_flow){0};
}

/* What each kind needs besides the cells. False if no memory. */
static bool begin_kind(rn_flow *flow, const rn_history_columns *columns, double power)
{
    const size_t cells = (size_t)flow->grid->nx * (size_t)flow->grid->ny;
    if (flow->kind == RN_FLOW_COLUMNS) {
        const size_t levels = (size_t)columns->levels * (size_t)columns->ny * (size_t)columns->nx;
        flow->levels = malloc(levels * sizeof *flow->levels);
        flow->ease = malloc(2 * levels * sizeof *flow->ease);
        return flow->levels && flow->ease;
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
