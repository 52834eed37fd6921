/* One film step.

     h_t + div q = s,   q = M(h, |G|) G,   G = -grad p + f,   p = rho g_n h - gamma lap h
     f = rho ( g_t + Omega^2 r - Omega' z x r )

   Cell-centred finite volumes on cells dx * dy; p from the 5-point Laplacian with mirrored neighbours at the rim; face
   depths by van Leer's slope, upwind by the sign of the total drive G; the front on dry ground held by P_hold.

   In time: the two-stage W-method ROS2 [verwer1999] with approximate factorisation,

     (I - tau Lx)(I - tau Ly) k1 = F(h)
     (I - tau Lx)(I - tau Ly) k2 = F(h + dt k1) - 2 k1
     h' = h + dt (3 k1 + k2)/2,    tau = (3 + sqrt 3)/6 dt

   L the linearised flux divergence at h for both stages: gravity, capillarity along the line, upwind advection and
   edge outflow. A W-method keeps its order with any L, so L may be simplified: yield stress is regularised in it, and
   the mixed capillary term, explicit in F, is damped at the front. h' itself is never formed from k: the fluxes are,

     q = 1/2 [ q(h) + tau lin(w1, k1) + q(h1) + tau lin(w2, k2) ],   h' = h - dt div q + dt s

   (w: after the x-sweep, used on x-faces; k: after both, used on y-faces; each sweep adds its own part), so that volume closes to rounding and what
   leaves over each edge is known. Where a cell would fall below 0 its outgoing fluxes are scaled. */
#include "film/height.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "film/mobility.h"
#include "film/state.h"

#define WET_DEPTH 0.1e-3         /* ground with this much paint holds no front [m] */
#define GAMMA 0.7886751345948129 /* (3 + sqrt 3)/6 */
#define FRONT_DAMPING 2.0        /* kappa: less lets the front overshoot, 3 and more biases coverage */
#define FRONT_DRAG 1.5           /* from one-dimensional runs resolved to the slip length */
#define FRONT_CELLS 9.0          /* a front is as mobile as one resolved with cells of 9 slip lengths */
#define NEGATIVE_MOST 1e-5       /* of all paint: more below 0 rejects the step */
#define ROUNDS_MOST 7            /* of scaling outgoing fluxes */
#define LEAST_STEP 1e-9          /* [s] */
#define FRONT_STEP 1.0           /* of a front cell's own time, see front_time */
#define WINDOW_MARGIN 6          /* dry cells kept between paint and the window's rim */

rn_film_options rn_film_defaults(void)
{
    return (rn_film_options){
        .law = {.consistency = 1, .power = 1, .yield = 0},
        .density = 1200,
        .tension = 0.033,
        .advance = 25 * RN_PI / 180,
        .edges = RN_EDGE_CLEAN,
        .side = 0.019,
        .tolerance = NAN,
        .step_most = 0.5,
        .slip = 60e-6,
    };
}

/* 1e-2 up to 128 cells, 3e-3 at 256, 2e-3 from 512 on, in between by the logarithm: on finer grids longer steps are
   rejected so often that they cost more than they save. */
static double tolerance_for(const rn_grid *grid)
{
    int cells = grid->nx > grid->ny ? grid->nx : grid->ny;
    double doublings = fmin(fmax(log2(cells / 128.0), 0), 2);
    return 1e-2 * pow(0.3, fmin(doublings, 1)) * pow(2.0 / 3, fmax(doublings - 1, 0));
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
    film->row = calloc((size_t)(grid->ny + RN_LANES), sizeof *film->row);
    film->column = calloc((size_t)(grid->nx + RN_LANES), sizeof *film->column);
    film->strip_error = calloc((size_t)(grid->nx / RN_LANES + 2), sizeof *film->strip_error);
    film->block_negative = calloc((size_t)(grid->ny / RN_LANES + 2), sizeof *film->block_negative);
    if (!film->inside || !film->row_full || !film->row || !film->column || !film->strip_error || !film->block_negative)
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
            .per_wet = 1 / WET_DEPTH,
            .front_drag = slips ? FRONT_DRAG * fmax(0, log(d / (FRONT_CELLS * o->slip))) : 0,
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
    if (isnan(made->options.tolerance))
        made->options.tolerance = tolerance_for(&made->grid);
    made->stride = (made->grid.nx + RN_LANES - 1) / RN_LANES * RN_LANES + 2 * RN_PAD;
    made->rows = (made->grid.ny + RN_LANES - 1) / RN_LANES * RN_LANES + 5;
    made->cells = made->stride * made->rows;
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
    for (int k = 0; k < film->source_count; k++)
        free(film->sources[k].shape);
    rn_edges_clear(&film->edges);
    free(film->inside);
    free(film->row_full);
    free(film->row);
    free(film->column);
    free(film->strip_error);
    free(film->block_negative);
    free(film->memory);
    free(film->slope_memory);
    free(film);
}

/* The window: everything outside it is dry, and stays so for a step. It only grows. */

static void cut_to_window(rn_film *film)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++) {
        rn_span full = film->row_full[j];
        rn_span cut = {full.from > film->i0 ? full.from : film->i0, full.to < film->i1 ? full.to : film->i1};
        film->row[j] = j >= film->j0 && j < film->j1 && cut.to > cut.from ? cut : (rn_span){0, 0};
    }
    for (int i = 0; i < grid->nx; i++) {
        film->column[i] = (rn_span){0, 0};
        for (int j = film->j0; j < film->j1; j++) {
            if (i < film->row[j].from || i >= film->row[j].to)
                continue;
            if (film->column[i].to == 0)
                film->column[i].from = j;
            film->column[i].to = j + 1;
        }
    }
}

void rn_film_widen(rn_film *film, int i0, int i1, int j0, int j1)
{
    const rn_grid *grid = &film->grid;
    i0 = i0 > WINDOW_MARGIN ? (i0 - WINDOW_MARGIN) / RN_LANES * RN_LANES : 0;
    j0 = j0 > WINDOW_MARGIN ? (j0 - WINDOW_MARGIN) / RN_LANES * RN_LANES : 0;
    i1 = (i1 + WINDOW_MARGIN + RN_LANES - 1) / RN_LANES * RN_LANES;
    j1 = (j1 + WINDOW_MARGIN + RN_LANES - 1) / RN_LANES * RN_LANES;
    i1 = i1 < grid->nx ? i1 : grid->nx;
    j1 = j1 < grid->ny ? j1 : grid->ny;
    if (film->i1 > 0) {
        i0 = film->i0 < i0 ? film->i0 : i0;
        j0 = film->j0 < j0 ? film->j0 : j0;
        i1 = film->i1 > i1 ? film->i1 : i1;
        j1 = film->j1 > j1 ? film->j1 : j1;
    }
    if (i0 == film->i0 && i1 == film->i1 && j0 == film->j0 && j1 == film->j1)
        return;
    film->i0 = i0;
    film->i1 = i1;
    film->j0 = j0;
    film->j1 = j1;
    cut_to_window(film);
    rn_film_mirror_rows(film, film->h);
}

static bool is_wet(const rn_film *film, int i, int j)
{
    return film->h[RN_AT(film, i, j)] > 0;
}

/* Widens the window around all paint. */
static void find_window(rn_film *film)
{
    const rn_grid *grid = &film->grid;
    int i0 = grid->nx, i1 = 0, j0 = grid->ny, j1 = 0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = film->row_full[j].from; i < film->row_full[j].to; i++)
            if (is_wet(film, i, j)) {
                i0 = i < i0 ? i : i0;
                i1 = i + 1 > i1 ? i + 1 : i1;
                j0 = j < j0 ? j : j0;
                j1 = j + 1;
            }
    if (i1 > i0)
        rn_film_widen(film, i0, i1, j0, j1);
}

/* Whether paint has come near the window's rim where there is panel beyond it. */
static bool window_is_tight(const rn_film *film)
{
    const int margin = WINDOW_MARGIN - 2;
    bool left = film->i0 > 0, right = film->i1 < film->grid.nx;
    bool front = film->j0 > 0, back = film->j1 < film->grid.ny;
    if (!left && !right && !front && !back)
        return false;
    for (int j = film->j0; j < film->j1; j++) {
        bool whole = (front && j < film->j0 + margin) || (back && j >= film->j1 - margin);
        for (int i = film->i0; i < film->i1; i++) {
            bool near = whole || (left && i < film->i0 + margin) || (right && i >= film->i1 - margin);
            if (near && is_wet(film, i, j))
                return true;
            if (!near && !whole) /* to the right margin */
                i = right ? film->i1 - margin - 1 : film->i1;
        }
    }
    return false;
}

void rn_film_mirror_rows(const rn_film *film, double *a)
{
    for (int j = film->j0; j < film->j1; j++) {
        rn_span row = film->row[j];
        if (row.to <= row.from)
            continue;
        double *from = a + RN_AT(film, row.from, j), *to = a + RN_AT(film, row.to, j);
        from[-1] = from[-2] = from[0];
        to[0] = to[1] = to[-1];
    }
}

void rn_film_touch(rn_film *film)
{
    find_window(film);
    rn_film_mirror_rows(film, film->h);
    film->next_dt = fmin(film->next_dt, 1e-3);
}

void rn_film_set(rn_film *film, const double *depth)
{
    const rn_grid *grid = &film->grid;
    memset(film->h, 0, (size_t)film->cells * sizeof *film->h);
    for (int j = 0; j < grid->ny; j++)
        for (int i = film->row_full[j].from; i < film->row_full[j].to; i++)
            film->h[RN_AT(film, i, j)] = depth[(long)j * grid->nx + i];
    rn_film_touch(film);
}

void rn_film_get(double *depth, const rn_film *film)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++)
            depth[(long)j * grid->nx + i] = film->inside[(long)j * grid->nx + i] ? film->h[RN_AT(film, i, j)] : 0;
}

const double *rn_film_depth(const rn_film *film, long *stride)
{
    *stride = film->stride;
    return film->h + RN_AT(film, 0, 0);
}

const rn_grid *rn_film_grid(const rn_film *film)
{
    return &film->grid;
}

static double cell_area(const rn_film *film)
{
    return film->grid.dx * film->grid.dy;
}

double rn_film_volume(const rn_film *film)
{
    double sum = 0;
    for (int j = film->j0; j < film->j1; j++)
        sum += film->kernels->sum(film->h + RN_AT(film, film->row[j].from, j), film->row[j].to - film->row[j].from);
    return sum * cell_area(film);
}

/* Positivity. Cells that came out below 0 give less: their outgoing fluxes are scaled to what they have. */

static double source_at(const rn_film *film, size_t at)
{
    return film->source_on ? film->source[at] : 0;
}

static void scale_outflow(rn_film *film, size_t at, bool count_inflow)
{
    double x = film->dt * film->rule_x.per_d, y = film->dt * film->rule_y.per_d;
    double *face[4] = {&film->qx[at], &film->qx[at + 1], &film->qy[at], &film->qy[at + (size_t)film->stride]};
    double sign[4] = {-x, x, -y, y}, out = 0, in = 0;
    for (int k = 0; k < 4; k++) {
        double leaving = *face[k] * sign[k];
        out += fmax(leaving, 0);
        in += fmax(-leaving, 0);
    }
    double has = film->h[at] + film->dt * source_at(film, at) + (count_inflow ? in : 0);
    double share = out > 0 ? fmin(fmax(has / out * (1 - 1e-15), 0), 1) : 1;
    for (int k = 0; k < 4; k++)
        if (*face[k] * sign[k] > 0)
            *face[k] *= share;
}

static void renew_cell(rn_film *film, size_t at)
{
    double h = film->h[at] - (film->qx[at + 1] - film->qx[at]) * (film->dt * film->rule_x.per_d) -
               (film->qy[at + (size_t)film->stride] - film->qy[at]) * (film->dt * film->rule_y.per_d) +
               source_at(film, at) * film->dt;
    film->h1[at] = fabs(h) < RN_NOTHING ? 0 : h;
}

/* False if the step must be taken anew. */
static bool lift_negative_cells(rn_film *film)
{
    for (int round = 0; round <= ROUNDS_MOST; round++) {
        double below = 0;
        long count = 0;
        for (int j = film->j0; j < film->j1; j++)
            for (int i = film->row[j].from; i < film->row[j].to; i++) {
                double h = film->h1[RN_AT(film, i, j)];
                below -= h < 0 ? h : 0;
                count += h < 0;
            }
        if (count == 0)
            return true;
        film->limited += count;
        if (round == ROUNDS_MOST || !(below * cell_area(film) <= NEGATIVE_MOST * fmax(rn_film_volume(film), 1e-12)))
            return false;
        for (int j = film->j0; j < film->j1; j++)
            for (int i = film->row[j].from; i < film->row[j].to; i++)
                if (film->h1[RN_AT(film, i, j)] < 0)
                    scale_outflow(film, RN_AT(film, i, j), round < ROUNDS_MOST - 2);
        for (int j = film->j0; j < film->j1; j++)
            for (int i = film->row[j].from; i < film->row[j].to; i++)
                renew_cell(film, RN_AT(film, i, j));
    }
    return false;
}

/* One attempt of length film->dt; returns the error over the tolerance (> 1: rejected). */
static double attempt(rn_film *film)
{
    film->tau = GAMMA * film->dt;
    rn_film_pass_first(film);
    rn_film_pass_predict(film);
    rn_film_pass_second(film);
    double sum = rn_film_pass_judge(film);
    double error = 0.5 * film->dt * sqrt(sum / (double)film->inside_count) / film->options.tolerance;
    if (!(error <= 1))
        return isfinite(error) ? error : 1e6;
    if (rn_film_pass_advance(film) > 0 && !lift_negative_cells(film))
        return 4;
    return error;
}

/* What went over the rim in the accepted step, and what the rim remembers. */
static void settle_rim(rn_film *film)
{
    const bool wrapped = film->options.edges == RN_EDGE_WRAPPED;
    for (int f = 0; f < film->edges.count; f++) {
        rn_edge_face *face = &film->edges.faces[f];
        double flux = face->sign * *rn_edge_flux_at(film, face);
        double length = face->across_x ? film->grid.dy : film->grid.dx;
        double leaving = flux * film->dt;
        if (wrapped && (leaving > 0 || face->side_volume > 0))
            leaving = face->weight * rn_edge_side_step(face, &film->edges, leaving / face->weight, film->dt);
        film->run_off[face->side] += leaving * length;
        rn_edge_settle(face, &film->edges, film->h[RN_AT(film, face->i, face->j)]);
    }
}

static rn_status step_shrank(const rn_film *film, double t, rn_error *err)
{
    int worst_i = 0, worst_j = 0;
    double worst = -1;
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            double change = fabs(film->k[RN_AT(film, i, j)]);
            if (!(change <= worst)) {
                worst = change;
                worst_i = i;
                worst_j = j;
            }
        }
    return rn_fail(err, RN_E_NUMERIC,
                   "at %.2f s the film moves faster than the grid can follow, %.0f mm right and %.0f mm back of the "
                   "centre (cell %d, %d); a finer grid or thicker paint would do",
                   t, 1e3 * rn_grid_x(&film->grid, worst_i), 1e3 * rn_grid_y(&film->grid, worst_j), worst_i, worst_j);
}

/* How long a front cell takes to level with its neighbour, 3 mu d^2/(rho g e^3) with e the holding depth [s]. Longer
   steps leave ripples at a front that has all but stopped; each crest above the hold wets one more cell, and what is
   wet stays wet: thin paint would creep on past its hold and lose its roundness. */
static double front_time(const rn_film *film)
{
    double d = fmin(film->grid.dx, film->grid.dy), e = film->front_hold;
    return 3 * rn_law_viscosity(&film->options.law, 1) * d * d / (film->options.density * RN_GRAVITY * e * e * e);
}

/* Whether the last step moved paint onto dry ground anywhere. */
static bool front_moves(const rn_film *film)
{
    const size_t up = (size_t)film->stride;
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            const size_t at = RN_AT(film, i, j);
            if (film->h[at] < WET_DEPTH &&
                (film->qx[at] > 0 || film->qx[at + 1] < 0 || film->qy[at] > 0 || film->qy[at + up] < 0))
                return true;
        }
    return false;
}

static double longest_step(const rn_film *film)
{
    double longest = film->options.step_most;
    if (film->front_hold > 0) {
        double front = FRONT_STEP * front_time(film);
        if (front < fmin(film->next_dt, longest) && front_moves(film))
            longest = front;
    }
    return longest;
}

/* dt toward the limit: never a sliver at the end. */
static double fitted(double dt, double rest)
{
    if (dt >= rest)
        return rest;
    return 2 * dt > rest ? 0.5 * rest : dt;
}

rn_status rn_film_step(double *taken, rn_film *film, double t, double limit, rn_film_drive *drive, void *context,
                       rn_error *err)
{
    double volumes[RN_SOURCES_MOST] = {0};
    const double longest = longest_step(film);
    for (;;) {
        double wish = fmin(film->next_dt, longest);
        film->dt = fitted(wish, limit - t);
        drive(&film->input, volumes, context, t, t + film->dt);
        for (int k = 0; k < film->source_count; k++)
            volumes[k] /= film->dt;
        rn_film_sources_on(film, volumes);
        if (window_is_tight(film))
            find_window(film);
        double error = attempt(film);
        if (error <= 1) {
            double growth = fmin(film->held_back ? 1.0 : 1.7, 0.8 / sqrt(error + 1e-9));
            double next = film->dt * growth;
            if (film->dt >= wish || next < wish) /* a step cut short by the limit says little about longer ones */
                film->next_dt = next;
            film->held_back = false;
            break;
        }
        film->rejected++;
        film->held_back = true;
        film->next_dt = film->dt * fmax(0.2, 0.8 / sqrt(error));
        if (!(film->next_dt >= LEAST_STEP))
            return step_shrank(film, t, err);
    }
    double *h = film->h;
    film->h = film->h1;
    film->h1 = h;
    rn_film_mirror_rows(film, film->h);
    settle_rim(film);
    film->steps++;
    *taken = film->dt;
    return RN_OK;
}

void rn_film_run_off(double run_off[4], const rn_film *film)
{
    memcpy(run_off, film->run_off, sizeof film->run_off);
}

static double face_length(const rn_film *film, const rn_edge_face *face)
{
    return face->weight * (face->across_x ? film->grid.dy : film->grid.dx);
}

double rn_film_on_sides(const rn_film *film)
{
    double sum = 0;
    for (int f = 0; f < film->edges.count; f++)
        sum += film->edges.faces[f].side_volume * face_length(film, &film->edges.faces[f]);
    return sum;
}

double rn_film_side_wetted(const rn_film *film)
{
    double wetted = 0, whole = 0;
    for (int f = 0; f < film->edges.count; f++) {
        double length = face_length(film, &film->edges.faces[f]);
        wetted += film->edges.faces[f].side_wetted * length;
        whole += film->edges.side * length;
    }
    return whole > 0 ? wetted / whole : 0;
}

long rn_film_steps(const rn_film *film)
{
    return film->steps;
}

long rn_film_rejected(const rn_film *film)
{
    return film->rejected;
}

const bool *rn_film_inside(const rn_film *film)
{
    return film->inside;
}

double rn_film_front_hold(const rn_film *film)
{
    return film->front_hold;
}

double rn_film_edge_hold(const rn_film *film)
{
    return film->edges.hold;
}

static int ascending(const void *a, const void *b)
{
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

/* The face of a Newtonian film moves at 1.5 q/h; a plug or shear thinning only lowers the factor. */
rn_status rn_film_speed(double *speed, const rn_film *film, double depth, rn_error *err)
{
    float *speeds = malloc((size_t)film->inside_count * sizeof *speeds);
    if (!speeds)
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's speeds");
    long count = 0;
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            const size_t at = RN_AT(film, i, j);
            if (film->h[at] <= depth)
                continue;
            double qx = 0.5 * (film->qx[at] + film->qx[at + 1]);
            double qy = 0.5 * (film->qy[at] + film->qy[at + (size_t)film->stride]);
            speeds[count++] = (float)(1.5 * hypot(qx, qy) / film->h[at]);
        }
    qsort(speeds, (size_t)count, sizeof *speeds, ascending);
    *speed = count > 0 ? (double)speeds[(long)(0.99 * (double)(count - 1))] : 0;
    free(speeds);
    return RN_OK;
}

/* For reference integrations. */

void rn_film_prepare(rn_film *film, const double *depth, const rn_film_input *input)
{
    film->input = *input;
    rn_film_set(film, depth);
    rn_film_widen(film, 0, film->grid.nx, 0, film->grid.ny);
    rn_film_mirror_rows(film, film->h);
    rn_film_pass_rates(film, film->h1, film->h);
}

void rn_film_rates(double *dhdt, double run_off[4], rn_film *film, const double *depth, const rn_film_input *input,
                   const double *source_rates)
{
    double none[RN_SOURCES_MOST] = {0};
    rn_film_sources_on(film, source_rates ? source_rates : none);
    rn_film_prepare(film, depth, input);
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++)
            dhdt[(long)j * grid->nx + i] = film->inside[(long)j * grid->nx + i] ? film->h1[RN_AT(film, i, j)] : 0;
    memset(run_off, 0, 4 * sizeof *run_off);
    for (int f = 0; f < film->edges.count; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        double q = face->sign * *rn_edge_flux_at(film, face);
        run_off[face->side] += q * (face->across_x ? grid->dy : grid->dx);
    }
}

void rn_film_solve(double *z, rn_film *film, const double *r, double tau)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        memcpy(film->w + RN_AT(film, 0, j), r + (long)j * grid->nx, (size_t)grid->nx * sizeof *r);
    rn_film_pass_solve(film, film->w, tau);
    for (int j = 0; j < grid->ny; j++)
        memcpy(z + (long)j * grid->nx, film->w + RN_AT(film, 0, j), (size_t)grid->nx * sizeof *z);
}

void rn_film_settle_edges(rn_film *film, const double *depth)
{
    for (int f = 0; f < film->edges.count; f++) {
        rn_edge_face *face = &film->edges.faces[f];
        rn_edge_settle(face, &film->edges, depth[(long)face->j * film->grid.nx + face->i]);
    }
}
