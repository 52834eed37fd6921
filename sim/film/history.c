/* An interval is kept as 16-bit numbers over the window of wet cells, each of the four quantities with a scale of its
   own: the rounding of a velocity is at most 1/65000 of the interval's fastest, a micrometre in a whole session. */
#include "film/history.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "film/history_state.h"
#include "film/profile.h"
#include "film/state.h"

#define QUANTITIES RN_HISTORY_QUANTITIES
#define SHARES 255 /* a yielded share is kept in so many parts */
#define DRY 1e-6   /* thinner film has no velocity worth keeping [m] */

/* A film that hardly moves is remembered in longer intervals: until paint somewhere has gone this far [m], or thinned or
   been fed by this share, and no longer than so much [s]. Film under MOVES_DEPTH [m] does not count. */
#define MOVED_LEAST 0.1e-3
#define SPREAD_LEAST 0.01
#define INTERVAL_MOST 5.0
#define MOVES_DEPTH 5e-5

static long cell_count(const rn_history *history)
{
    return (long)history->grid.nx * history->grid.ny;
}

void rn_history_begin(rn_history *history, const rn_film *film)
{
    size_t bytes = (size_t)cell_count(history) * sizeof(double);
    rn_film_get(history->before, film);
    memset(history->qx, 0, bytes);
    memset(history->qy, 0, bytes);
    memset(history->spread, 0, bytes);
    memset(history->feed, 0, bytes);
    memset(history->spill, 0, (size_t)history->place_count * sizeof *history->spill);
    history->begun = history->now;
}

/* The scaled fluxes that a search finds a cell's yielded share by. */
static bool set_up_yield(rn_history *history, const rn_film *film)
{
    const rn_law *law = &film->options.law;
    if (law->yield <= 0)
        return true;
    history->yielded = calloc((size_t)cell_count(history), sizeof *history->yielded);
    history->flux_at = malloc((SHARES + 1) * sizeof *history->flux_at);
    history->flux_scale = pow(law->yield / law->consistency, 1 / law->power);
    if (!history->yielded || !history->flux_at)
        return false;
    for (int k = 0; k <= SHARES; k++)
        history->flux_at[k] = rn_profile_scaled_flux(law->power, (double)k / SHARES);
    return true;
}

static uint8_t yielded_share(const rn_history *history, double depth, double flux)
{
    const double wanted = flux / (depth * depth * history->flux_scale);
    int low = 0, high = SHARES + 1;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (history->flux_at[middle] <= wanted)
            low = middle;
        else
            high = middle;
    }
    return (uint8_t)low;
}

#define OFF_RIM 3.0   /* so many cells off the rim are asked for a motion */
#define UNDER_RIM 1.0 /* they move as what lies so many cells within it */

/* Without this traces near a round rim would slow down by chance, as its stairs have it. */
static bool find_rim(rn_history *history, const rn_film *film)
{
    const rn_grid *grid = &history->grid;
    const double radius = 0.5 * grid->nx * grid->dx;
    if (!film->options.round)
        return true;
    history->rim = malloc((size_t)cell_count(history) * sizeof *history->rim);
    for (int j = 0; history->rim && j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            const double x = rn_grid_x(grid, i), y = rn_grid_y(grid, j), r = hypot(x, y);
            if (film->inside[(long)j * grid->nx + i] || r > radius + OFF_RIM * grid->dx)
                continue;
            const double scale = (radius - UNDER_RIM * grid->dx) / r;
            const int u = (int)(x * scale / grid->dx + 0.5 * grid->nx),
                      v = (int)(y * scale / grid->dy + 0.5 * grid->ny);
            history->rim[history->rim_count++] = (rn_rim_cell){j * grid->nx + i, v * grid->nx + u};
        }
    return history->rim;
}

static bool find_places(rn_history *history, const rn_film *film)
{
    const rn_edges *edges = &film->edges;
    history->place_count = edges->count;
    history->places = malloc((size_t)(edges->count + 1) * sizeof *history->places);
    history->spill = malloc((size_t)(edges->count + 1) * sizeof *history->spill);
    if (!history->places || !history->spill)
        return false;
    for (int f = 0; f < edges->count; f++) {
        const rn_edge_face *face = &edges->faces[f];
        history->places[f] = (rn_spill_place){(float)rn_grid_x(&film->grid, face->i),
                                              (float)rn_grid_y(&film->grid, face->j), face->side};
    }
    return true;
}

rn_status rn_history_new(rn_history **history, const rn_film *film, rn_error *err)
{
    rn_history *made = calloc(1, sizeof *made);
    if (made) {
        made->grid = *rn_film_grid(film);
        double **fields[] = {&made->before, &made->qx, &made->qy, &made->spread, &made->feed};
        for (int f = 0; f < 5; f++)
            *fields[f] = calloc((size_t)cell_count(made), sizeof(double));
    }
    if (made) {
        made->motion = calloc((size_t)cell_count(made) * QUANTITIES, sizeof *made->motion);
        made->greatest = calloc((size_t)made->grid.ny * QUANTITIES, sizeof *made->greatest);
    }
    if (!made || !find_places(made, film) || !find_rim(made, film) || !set_up_yield(made, film) || !made->motion ||
        !made->greatest || !made->before || !made->qx || !made->qy || !made->spread || !made->feed) {
        rn_history_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
    }
    rn_history_begin(made, film);
    *history = made;
    return RN_OK;
}

void rn_interval_let_go(rn_interval *kept)
{
    free(kept->numbers);
    free(kept->yielded);
    kept->numbers = NULL;
    kept->yielded = NULL;
}

void rn_interval_clear(rn_interval *kept)
{
    rn_interval_let_go(kept);
    free(kept->spill);
    kept->spill = NULL;
}

void rn_history_free(rn_history *history)
{
    if (!history)
        return;
    for (int k = 0; k < history->count; k++)
        rn_interval_clear(&history->intervals[k]);
    for (int k = 0; k < history->column_count; k++)
        rn_history_columns_let_go(&history->columns[k]);
    free(history->columns);
    free(history->places);
    free(history->spill);
    free(history->yielded);
    free(history->flux_at);
    free(history->rim);
    free(history->intervals);
    free(history->motion);
    free(history->greatest);
    free(history->before);
    free(history->qx);
    free(history->qy);
    free(history->spread);
    free(history->feed);
    free(history);
}

/* A job on the rows of the window, shared among the film's team. */
typedef struct rows_job {
    rn_history *history;
    const rn_film *film;
    const rn_interval *kept;
    double scale; /* dt, or 1 per length */
} rows_job;

static void add_row(void *context, int block, int member)
{
    (void)member;
    const rows_job *job = context;
    const rn_film *film = job->film;
    const int j = film->j0 + block;
    const size_t first = RN_AT(film, 0, j), up = (size_t)film->stride;
    const long row = (long)j * job->history->grid.nx;
    const double *restrict qx = film->qx + first, *restrict qy = film->qy + first;
    double *restrict sum_x = job->history->qx + row, *restrict sum_y = job->history->qy + row;
    double *restrict spread = job->history->spread + row, *restrict feed = job->history->feed + row;
    const double half = 0.5 * job->scale, per_dx = job->scale * film->rule_x.per_d,
                 per_dy = job->scale * film->rule_y.per_d;
    for (int i = film->row[j].from; i < film->row[j].to; i++) {
        sum_x[i] += half * (qx[i] + qx[i + 1]);
        sum_y[i] += half * (qy[i] + qy[i + (long)up]);
        spread[i] += (qx[i + 1] - qx[i]) * per_dx + (qy[i + (long)up] - qy[i]) * per_dy;
    }
    if (film->source_on)
        for (int i = film->row[j].from; i < film->row[j].to; i++)
            feed[i] += job->scale * film->source[first + (size_t)i];
}

static void add_step(rn_history *history, const rn_film *film, double dt)
{
    rows_job job = {history, film, NULL, dt};
    rn_team_share(film->team, film->j1 - film->j0, add_row, &job);
    for (int f = 0; f < history->place_count; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        double length = face->across_x ? film->grid.dy : film->grid.dx;
        history->spill[f] += face->sign * *rn_edge_flux_at(film, face) * length * dt;
    }
}

/* Whether the interval at hand has seen hardly any motion. */
static bool rests(const rn_history *history, const rn_film *film)
{
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            const double h = film->h[RN_AT(film, i, j)];
            const long cell = (long)j * history->grid.nx + i;
            if (h > MOVES_DEPTH &&
                (fabs(history->qx[cell]) + fabs(history->qy[cell]) > MOVED_LEAST * h ||
                 fabs(history->spread[cell]) > SPREAD_LEAST * h || history->feed[cell] > SPREAD_LEAST * h))
                return false;
        }
    return true;
}

static rn_status keep_spill(rn_interval *kept, const rn_history *history, rn_error *err)
{
    double sum = 0;
    for (int f = 0; f < history->place_count; f++)
        sum += history->spill[f];
    if (!(sum > 0))
        return RN_OK;
    kept->spill = malloc((size_t)history->place_count * sizeof *kept->spill);
    if (!kept->spill)
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
    for (int f = 0; f < history->place_count; f++)
        kept->spill[f] = (float)history->spill[f];
    return RN_OK;
}

static double mean_depth(const rn_history *history, const rn_film *film, int i, int j)
{
    if (i < film->row[j].from || i >= film->row[j].to)
        return 0;
    return 0.5 * (history->before[(long)j * history->grid.nx + i] + film->h[RN_AT(film, i, j)]);
}

static rn_motion_cell motion_of_wet(const rn_history *history, long cell, double depth, double per_time)
{
    double scale = per_time / depth;
    return (rn_motion_cell){(float)(history->qx[cell] * scale), (float)(history->qy[cell] * scale),
                            (float)(history->spread[cell] * scale), (float)(history->feed[cell] * scale)};
}

/* The four means of one cell. A dry cell beside wet ones moves as they do on the whole: between the two, the film's
   front then has the film's speed and not half of it. */
static rn_motion_cell motion_of(const rn_history *history, const rn_film *film, int i, int j, double per_time)
{
    static const int step_x[4] = {-1, 1, 0, 0}, step_y[4] = {0, 0, -1, 1};
    double depth = mean_depth(history, film, i, j);
    if (depth > DRY)
        return motion_of_wet(history, (long)j * history->grid.nx + i, depth, per_time);
    rn_motion_cell sum = {0};
    int count = 0;
    for (int k = 0; k < 4; k++) {
        int x = i + step_x[k], y = j + step_y[k];
        if (y < film->j0 || y >= film->j1)
            continue;
        depth = mean_depth(history, film, x, y);
        if (!(depth > DRY))
            continue;
        rn_motion_cell beside = motion_of_wet(history, (long)y * history->grid.nx + x, depth, per_time);
        sum.u += beside.u;
        sum.v += beside.v;
        count++;
    }
    if (count > 0) {
        sum.u /= (float)count;
        sum.v /= (float)count;
    }
    return sum;
}

static void mean_row(void *context, int block, int member)
{
    (void)member;
    const rows_job *job = context;
    const rn_film *film = job->film;
    const int j = film->j0 + block;
    float greatest[QUANTITIES] = {0};
    for (int i = film->row[j].from; i < film->row[j].to; i++) {
        rn_motion_cell cell = motion_of(job->history, film, i, j, job->scale);
        float *parts = job->history->motion + ((long)j * job->history->grid.nx + i) * QUANTITIES;
        memcpy(parts, &cell, sizeof cell);
        for (int q = 0; q < QUANTITIES; q++)
            greatest[q] = fabsf(parts[q]) > greatest[q] ? fabsf(parts[q]) : greatest[q];
        if (job->history->yielded) {
            const double depth = fmax(mean_depth(job->history, film, i, j), DRY);
            const double flux = hypot((double)cell.u, (double)cell.v) * depth;
            job->history->yielded[(long)j * job->history->grid.nx + i] = yielded_share(job->history, depth, flux);
        }
    }
    memcpy(job->history->greatest + (long)j * QUANTITIES, greatest, sizeof greatest);
}

static void pack_row(void *context, int block, int member)
{
    (void)member;
    const rows_job *job = context;
    const rn_interval *kept = job->kept;
    const int j = kept->j0 + block, width = kept->i1 - kept->i0;
    const rn_span row = job->film->row[j];
    const float *parts = job->history->motion + ((long)j * job->history->grid.nx + row.from) * QUANTITIES;
    int16_t *numbers = kept->numbers + ((long)block * width + row.from - kept->i0) * QUANTITIES;
    float per_unit[QUANTITIES];
    for (int q = 0; q < QUANTITIES; q++)
        per_unit[q] = kept->unit[q] > 0 ? 1 / kept->unit[q] : 0;
    for (int i = row.from; i < row.to; i++, parts += QUANTITIES, numbers += QUANTITIES)
        for (int q = 0; q < QUANTITIES; q++) {
            float scaled = parts[q] * per_unit[q];
            numbers[q] = (int16_t)(scaled + (scaled < 0 ? -0.5f : 0.5f));
        }
}

static void pack(rn_interval *kept, rn_history *history, const rn_film *film, double per_time)
{
    rows_job job = {history, film, kept, per_time};
    rn_team_share(film->team, kept->j1 - kept->j0, mean_row, &job);
    for (int q = 0; q < QUANTITIES; q++) {
        float greatest = 0;
        for (int j = kept->j0; j < kept->j1; j++)
            greatest = fmaxf(greatest, history->greatest[j * QUANTITIES + q]);
        kept->unit[q] = greatest / 32767.0f;
    }
    rn_team_share(film->team, kept->j1 - kept->j0, pack_row, &job);
}

static rn_status keep_yielded(rn_interval *kept, rn_history *history, rn_error *err)
{
    if (!history->yielded)
        return RN_OK;
    const size_t width = (size_t)(kept->i1 - kept->i0);
    kept->yielded = malloc(width * (size_t)(kept->j1 - kept->j0) + 1);
    if (!kept->yielded)
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
    for (int j = kept->j0; j < kept->j1; j++)
        memcpy(kept->yielded + (size_t)(j - kept->j0) * width, history->yielded + (long)j * history->grid.nx + kept->i0,
               width);
    history->bytes += (long)(width * (size_t)(kept->j1 - kept->j0));
    return RN_OK;
}

static rn_status keep_interval(rn_history *history, const rn_film *film, double per_time, rn_error *err)
{
    if (history->count == history->size) {
        int size = history->size ? 2 * history->size : 256;
        rn_interval *more = realloc(history->intervals, (size_t)size * sizeof *more);
        if (!more)
            return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
        history->intervals = more;
        history->size = size;
    }
    rn_interval *kept = &history->intervals[history->count];
    *kept = (rn_interval){.end = history->now, .i0 = film->i0, .i1 = film->i1, .j0 = film->j0, .j1 = film->j1};
    size_t numbers = (size_t)(kept->i1 - kept->i0) * (size_t)(kept->j1 - kept->j0) * QUANTITIES;
    kept->numbers = calloc(numbers + 1, sizeof *kept->numbers);
    if (!kept->numbers)
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
    history->bytes += (long)(numbers * sizeof *kept->numbers);
    history->count++;
    pack(kept, history, film, per_time);
    rn_status status = keep_spill(kept, history, err);
    if (status == RN_OK)
        status = keep_yielded(kept, history, err);
    rn_history_begin(history, film);
    return status;
}

rn_status rn_history_close(rn_history *history, const rn_film *film, rn_error *err)
{
    double length = history->now - history->begun;
    return length > 0 ? keep_interval(history, film, 1 / length, err) : RN_OK;
}

rn_status rn_history_jump(rn_history *history, const rn_film *film, rn_error *err)
{
    /* A cell's motion is divided by the mean depth over the interval; this undoes it. */
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            const long cell = (long)j * history->grid.nx + i;
            double was = history->before[cell], is = film->h[RN_AT(film, i, j)];
            history->feed[cell] = is > 0 ? (is - was) / is * 0.5 * (was + is) : 0;
        }
    return keep_interval(history, film, 1, err);
}

rn_status rn_history_note(rn_history *history, const rn_film *film, double dt, rn_error *err)
{
    add_step(history, film, dt);
    history->now += dt;
    const double length = history->now - history->begun;
    if (length < RN_HISTORY_INTERVAL * (1 - 1e-9) || (length < INTERVAL_MOST && rests(history, film)))
        return RN_OK;
    return rn_history_close(history, film, err);
}

const rn_grid *rn_history_grid(const rn_history *history)
{
    return &history->grid;
}

int rn_history_places(const rn_spill_place **places, const rn_history *history)
{
    *places = history->places;
    return history->place_count;
}

const float *rn_history_spill(const rn_history *history, int index)
{
    return history->intervals[index].spill;
}

int rn_history_count(const rn_history *history)
{
    return history->count;
}

double rn_history_time(const rn_history *history, int index)
{
    return index > 0 ? history->intervals[index - 1].end : 0;
}

long rn_history_bytes(const rn_history *history)
{
    return history->bytes;
}

int rn_history_find(const rn_history *history, double t)
{
    int low = -1, high = history->count; /* begins before t; does not */
    while (high - low > 1) {
        int middle = (low + high) / 2;
        if (rn_history_time(history, middle) < t)
            low = middle;
        else
            high = middle;
    }
    return low;
}

typedef struct reading {
    rn_motion_cell *cells;
    const rn_grid *grid;
    const rn_interval *from;
} reading;

static void read_row(void *context, int j, int member)
{
    (void)member;
    const reading *job = context;
    const rn_interval *from = job->from;
    const int nx = job->grid->nx;
    rn_motion_cell *row = job->cells + (long)j * nx;
    memset(row, 0, (size_t)nx * sizeof *row);
    if (j < from->j0 || j >= from->j1 || !from->numbers)
        return;
    const int16_t *numbers = from->numbers + (long)(j - from->j0) * (from->i1 - from->i0) * QUANTITIES;
    for (int i = from->i0; i < from->i1; i++, numbers += QUANTITIES)
        row[i] = (rn_motion_cell){from->unit[0] * (float)numbers[0], from->unit[1] * (float)numbers[1],
                                  from->unit[2] * (float)numbers[2], from->unit[3] * (float)numbers[3]};
}

void rn_history_read(rn_motion_cell *cells, const rn_history *history, int index, rn_team *team)
{
    reading job = {cells, &history->grid, &history->intervals[index]};
    rn_team_share(team, history->grid.ny, read_row, &job);
    for (int n = 0; n < history->rim_count; n++)
        cells[history->rim[n].at] = cells[history->rim[n].as];
}

bool rn_history_has_yield(const rn_history *history)
{
    return history->yielded;
}

void rn_history_read_yielded(float *yielded, const rn_history *history, int index)
{
    const rn_interval *from = &history->intervals[index];
    const int nx = history->grid.nx, width = from->i1 - from->i0;
    memset(yielded, 0, (size_t)cell_count(history) * sizeof *yielded);
    if (!from->yielded)
        return;
    for (int j = from->j0; j < from->j1; j++)
        for (int i = from->i0; i < from->i1; i++)
            yielded[(long)j * nx + i] = (float)from->yielded[(long)(j - from->j0) * width + i - from->i0] / SHARES;
}

void rn_history_forget(rn_history *history, double before)
{
    for (; history->forgotten < history->count && history->intervals[history->forgotten].end <= before &&
           rn_history_time(history, history->forgotten) < before;
         history->forgotten++) {
        rn_interval *kept = &history->intervals[history->forgotten];
        history->bytes -= rn_interval_bytes(kept);
        rn_interval_let_go(kept);
    }
    for (; history->columns_forgotten + 1 < history->column_count &&
           history->columns[history->columns_forgotten + 1].begins <= before;
         history->columns_forgotten++) {
        rn_history_columns *kept = &history->columns[history->columns_forgotten];
        history->bytes -= rn_history_columns_bytes(kept);
        rn_history_columns_let_go(kept);
    }
}

bool rn_history_columns_copy(rn_history_columns *to, const rn_history_columns *from)
{
    const size_t size = (size_t)from->levels * (size_t)from->ny * (size_t)from->nx;
    *to = *from;
    to->law = malloc(size);
    to->foot = from->foot ? malloc(size * sizeof *to->foot) : NULL;
    if (!to->law || (from->foot && !to->foot)) {
        rn_history_columns_let_go(to);
        return false;
    }
    memcpy(to->law, from->law, size);
    if (from->foot)
        memcpy(to->foot, from->foot, size * sizeof *to->foot);
    return true;
}

void rn_history_columns_let_go(rn_history_columns *columns)
{
    free(columns->law);
    free(columns->foot);
    columns->law = NULL;
    columns->foot = NULL;
}

long rn_history_columns_bytes(const rn_history_columns *columns)
{
    const long size = (long)columns->levels * columns->ny * columns->nx;
    return columns->law ? size * (1 + (columns->foot ? (long)sizeof *columns->foot : 0)) : 0;
}

rn_status rn_history_note_columns(rn_history *history, const rn_history_columns *columns, const double *viscosities,
                                  int count, rn_error *err)
{
    if (history->column_count == history->column_size) {
        const int more_size = history->column_size ? 2 * history->column_size : 64;
        rn_history_columns *more = realloc(history->columns, (size_t)more_size * sizeof *more);
        if (!more)
            return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
        history->columns = more;
        history->column_size = more_size;
    }
    rn_history_columns *made = &history->columns[history->column_count];
    if (!rn_history_columns_copy(made, columns))
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's history");
    history->column_count++;
    history->bytes += rn_history_columns_bytes(made);
    history->viscosity_count = count < RN_FILM_LAWS ? count : RN_FILM_LAWS;
    memcpy(history->viscosities, viscosities, (size_t)history->viscosity_count * sizeof *viscosities);
    return RN_OK;
}

const rn_history_columns *rn_history_columns_at(const rn_history *history, int index)
{
    const double begins = rn_history_time(history, index) + 1e-9;
    int k = history->column_count - 1;
    while (k > history->columns_forgotten && history->columns[k].begins > begins)
        k--;
    return k >= 0 ? &history->columns[k] : NULL;
}

const double *rn_history_viscosities(int *count, const rn_history *history)
{
    *count = history->viscosity_count;
    return history->viscosities;
}
