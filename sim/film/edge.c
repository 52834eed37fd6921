#include "film/edge.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"

#define LEAST_INSET 0.01 /* of a cell: a disc's cell may have its middle on the rim */
#define ROUNDS_MOST 60   /* of looking for a rim's depth */
#define ROUNDING 1e-15   /* of it */

static bool is_inside(const rn_grid *grid, const bool *inside, int i, int j)
{
    return i >= 0 && j >= 0 && i < grid->nx && j < grid->ny && inside[(long)j * grid->nx + i];
}

/* A disc's rim belongs to the side that its normal looks at. */
static int side_of(double nx, double ny)
{
    if (fabs(ny) >= fabs(nx))
        return ny < 0 ? 0 : 2;
    return nx > 0 ? 1 : 3;
}

static rn_edge_face make_face(const rn_film_options *options, int i, int j, bool across_x, int sign)
{
    const rn_grid *grid = &options->grid;
    rn_edge_face face = {.i = i, .j = j, .across_x = across_x, .sign = sign, .weight = 1};
    face.x = rn_grid_x(grid, i) + (across_x ? 0.5 * sign * grid->dx : 0);
    face.y = rn_grid_y(grid, j) + (across_x ? 0 : 0.5 * sign * grid->dy);
    face.normal_x = across_x ? sign : 0;
    face.normal_y = across_x ? 0 : sign;
    if (options->round) { /* projected on its axis, the staircase has the circle's extent: weights add up to 2 pi R */
        double r = hypot(face.x, face.y);
        face.normal_x = face.x / r;
        face.normal_y = face.y / r;
        face.weight = fabs(across_x ? face.normal_x : face.normal_y);
    }
    face.inset = 0.5 * (across_x ? grid->dx : grid->dy);
    if (options->round)
        face.inset =
            fmax(0.5 * grid->nx * grid->dx - hypot(rn_grid_x(grid, i), rn_grid_y(grid, j)), LEAST_INSET * grid->dx);
    face.side = side_of(face.normal_x, face.normal_y);
    return face;
}

rn_status rn_edges_init(rn_edges *edges, const rn_film_options *options, const bool *inside, rn_error *err)
{
    const rn_grid *grid = &options->grid;
    double theta = options->advance, rho_g = options->density * RN_GRAVITY;
    double lc = sqrt(options->tension / rho_g);
    *edges = (rn_edges){.kind = options->edges,
                        .capillary_length = lc,
                        .side = options->side,
                        .density = options->density,
                        .half_cell = 0.5 * grid->dx};
    edges->hold = fmax(2 * lc * sin((RN_PI / 2 + theta) / 2), RN_EDGE_LEAST_HOLD);
    edges->rehold = fmin(fmax(2 * lc * sin(theta / 2), RN_EDGE_LEAST_HOLD), edges->hold);
    edges->row_first = calloc((size_t)grid->ny + 1, sizeof *edges->row_first);
    long most = options->round ? 4L * (grid->nx + grid->ny) : 2L * (grid->nx + grid->ny);
    edges->faces = calloc((size_t)most, sizeof *edges->faces);
    if (!edges->row_first || !edges->faces) {
        rn_edges_clear(edges);
        return rn_fail(err, RN_E_MEMORY, "no memory for the panel's edges");
    }
    static const int step_x[4] = {-1, 1, 0, 0}, step_y[4] = {0, 0, -1, 1};
    for (int j = 0; j < grid->ny; j++) {
        edges->row_first[j] = edges->count;
        for (int i = 0; i < grid->nx && options->edges != RN_EDGE_WALLS; i++) {
            if (!is_inside(grid, inside, i, j))
                continue;
            for (int k = 0; k < 4; k++)
                if (!is_inside(grid, inside, i + step_x[k], j + step_y[k]))
                    edges->faces[edges->count++] = make_face(options, i, j, k < 2, k % 2 ? 1 : -1);
        }
    }
    edges->row_first[grid->ny] = edges->count;
    return RN_OK;
}

void rn_edges_clear(rn_edges *edges)
{
    free(edges->faces);
    free(edges->row_first);
    *edges = (rn_edges){0};
}

/* Flux of a drive G that grows with h as G_by_h. */
static void driven(double *q, double *slope, const rn_column *column, double h, double G, double G_by_h)
{
    double by_depth, by_drive;
    *q = rn_column_flux(column, h, G);
    rn_column_flux_slopes(&by_depth, &by_drive, column, h, G);
    *slope = by_depth + by_drive * G_by_h;
}

/* Body force along the outward normal [N/m3]. */
static double outward_force(const rn_edges *edges, const rn_edge_face *face, const rn_film_input *input)
{
    double turn = input->rate * input->rate, spin_up = input->acceleration;
    double fx = input->gravity_x + turn * face->x + spin_up * face->y;
    double fy = input->gravity_y + turn * face->y - spin_up * face->x;
    return edges->density * (fx * face->normal_x + fy * face->normal_y);
}

/* A rim at work: what it lets out at a depth r, and what the slope on the way to it leaves of the force. */
typedef struct rim_balance {
    double h, f;                 /* depth in the cell's middle [m]; body force outward [N/m3] */
    double threshold, per_ramp;  /* [m], [1/m] */
    double per_length, per_rise; /* rho g_n over l_c, and over the way to the rim [N/m4] */
} rim_balance;

/* Drive [Pa/m] and how it grows with the rim's depth. */
static double let_out(double *by_depth, const rim_balance *at, double r)
{
    double excess = r - at->threshold;
    *by_depth = 0;
    if (excess <= 0)
        return 0;
    bool full = excess * at->per_ramp >= 1;
    *by_depth = (full ? 0 : at->f * at->per_ramp) + at->per_length;
    return at->f * (full ? 1 : excess * at->per_ramp) + at->per_length * excess;
}

/* How far a rim of depth r lies above the cell's middle, were the face straight; where that would reach below the panel
   the paint is a wedge. */
static double rise_at(double *by_depth, double *by_h, double h, double r)
{
    const double share = 0.5 * r / h;
    *by_depth = share < 1 ? 1 : share;
    *by_h = share < 1 ? -1 : -share * share;
    return share < 1 ? r - h : share * share * h;
}

/* The drive with which what is let out, which grows with the rim's depth, is what the slope leaves of the force, which
   falls; how it grows with h, and with the threshold. */
static double rim_drive(double *by_h, double *by_threshold, const rim_balance *at)
{
    const double rise = at->f / at->per_rise; /* at rest */
    double high = rise < at->h ? at->h + rise : 2 * sqrt(at->h * rise), low = at->threshold, r = high;
    double let_by, rise_by, rise_by_h, let = let_out(&let_by, at, r);
    *by_h = 0;
    *by_threshold = 0;
    for (int round = 0; let > 0 && round < ROUNDS_MOST; round++) {
        double residual = let - at->f + at->per_rise * rise_at(&rise_by, &rise_by_h, at->h, r);
        if (residual > 0)
            high = r;
        else
            low = r;
        double next = r - residual / (let_by + at->per_rise * rise_by);
        if (!(next > low && next < high))
            next = 0.5 * (low + high);
        bool found = fabs(next - r) <= ROUNDING * high;
        r = next;
        let = let_out(&let_by, at, r);
        if (found)
            break;
    }
    if (!(let > 0))
        return 0;
    rise_at(&rise_by, &rise_by_h, at->h, r);
    const double ramps = let_by - at->per_length, both = let_by + at->per_rise * rise_by;
    *by_h = -let_by * at->per_rise * rise_by_h / both;
    *by_threshold = -(at->per_length + ramps * r / at->threshold) * at->per_rise * rise_by / both;
    return let;
}

/* How far the edge has spilled with its rim so deep. */
static double spilled_at(const rn_edge_face *face, const rn_edges *edges, double rim)
{
    return fmax(face->spilled, fmin((rim - edges->hold) / (RN_EDGE_SPILL_RANGE * edges->hold), 1));
}

void rn_edge_flux(double *q, double *slope, const rn_edges *edges, const rn_edge_face *face, const rn_column *column,
                  double h, double rim, const rn_film_input *input)
{
    *q = 0;
    *slope = 0;
    if (h <= 0)
        return;
    const double f = outward_force(edges, face, input), weight = edges->density * input->gravity_normal;
    double drive, by_h, by_threshold;
    if (edges->kind == RN_EDGE_OPEN) { /* the film falls to nothing at the rim, half a cell on */
        by_h = 0.25 * weight / edges->half_cell;
        drive = f + by_h * h;
    } else {
        const double spilled = spilled_at(face, edges, rim), fall = edges->rehold - edges->hold;
        const rim_balance at = {
            .h = h,
            .f = f,
            .threshold = edges->hold + spilled * fall,
            .per_ramp = 1 / (RN_EDGE_RAMP * (edges->hold + spilled * fall)),
            .per_length = weight / edges->capillary_length,
            .per_rise = weight / face->inset,
        };
        drive = rim_drive(&by_h, &by_threshold, &at);
        if (!(drive > 0))
            return;
        if (spilled > face->spilled && spilled < 1)
            by_h += by_threshold * fall / (RN_EDGE_SPILL_RANGE * edges->hold);
    }
    driven(q, slope, column, h, drive, by_h);
    *q *= face->weight;
    *slope = fmax(*slope * face->weight, 0);
}

void rn_edge_settle(rn_edge_face *face, const rn_edges *edges, double rim)
{
    if (edges->kind != RN_EDGE_OPEN)
        face->spilled = spilled_at(face, edges, rim);
}

/* One implicit step of a side's film. */
typedef struct side_problem {
    const rn_column *column;
    double G, dt, volume, length; /* length: wetted before, or the side's height */
} side_problem;

/* Creep: length - wetted - dt q(foot)/foot, foot = 1.5 volume/length. */
static double creep_residual(double *slope, const side_problem *p, double length)
{
    double foot = 1.5 * p->volume / length, by_depth, by_drive, q = rn_column_flux(p->column, foot, p->G);
    rn_column_flux_slopes(&by_depth, &by_drive, p->column, foot, p->G);
    *slope = 1 + p->dt * (by_depth - q / foot) / length;
    return length - p->length - p->dt * q / foot;
}

/* Drip: what is left + dt q(1.5 left/height) - volume. */
static double drip_residual(double *slope, const side_problem *p, double left)
{
    double by_depth, by_drive, foot = 1.5 * left / p->length;
    rn_column_flux_slopes(&by_depth, &by_drive, p->column, foot, p->G);
    *slope = 1 + p->dt * by_depth * 1.5 / p->length;
    return left + p->dt * rn_column_flux(p->column, foot, p->G) - p->volume;
}

/* Root of a rising function between low and high, by Newton steps that bisection keeps inside. */
static double root(double (*residual)(double *, const side_problem *, double), const side_problem *p, double low,
                   double high, double guess)
{
    double x = guess, slope;
    for (int k = 0; k < 60 && high - low > 1e-14 * high; k++) {
        double r = residual(&slope, p, x);
        if (r > 0)
            high = x;
        else
            low = x;
        double next = x - r / slope;
        if (!(next > low && next < high))
            next = 0.5 * (low + high);
        if (fabs(next - x) <= 1e-14 * high)
            return next;
        x = next;
    }
    return x;
}

/* The side as one vertical film of mean depth d over the wetted length: with the square-root profile of a draining
   film its foot is 1.5 d deep, so the foot creeps at q(1.5 d)/(1.5 d) and, once it has reached the bottom, drips
   q(1.5 d); both by implicit Euler. Newtonian paint then drains exactly as Jeffreys' mean film does [jeffreys1930]. */
double rn_edge_side_step(rn_edge_face *face, const rn_edges *edges, const rn_column *column, double arriving, double dt)
{
    const double start = 1e-4; /* a strip wets at once, so that d is finite [m] */
    double volume = face->side_volume + arriving, wetted = fmax(face->side_wetted, fmin(start, edges->side));
    if (volume <= 0)
        return 0;
    side_problem p = {column, edges->density * RN_GRAVITY, dt, volume, wetted};
    if (wetted < edges->side) {
        double slope;
        if (creep_residual(&slope, &p, edges->side) < 0) { /* gets to the bottom within the step */
            double foot = 1.5 * volume / edges->side, speed = rn_column_flux(p.column, foot, p.G) / foot;
            p.dt = fmax(0, dt - (edges->side - wetted) / speed);
            wetted = edges->side;
        } else {
            wetted = root(creep_residual, &p, wetted, edges->side, wetted);
            p.dt = 0;
        }
    }
    double dripped = 0;
    if (wetted >= edges->side && p.dt > 0) {
        p.length = edges->side;
        double left = root(drip_residual, &p, 0, volume, volume);
        dripped = volume - left;
        volume = left;
    }
    face->side_volume = volume;
    face->side_wetted = wetted;
    return dripped;
}
