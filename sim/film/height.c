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

   (w: after the x-sweep, used on x-faces; k: after both, used on y-faces; each sweep adds its own part), so that volume
   closes to rounding and what leaves over each edge is known. Where a cell would fall below 0 its outgoing fluxes are scaled. */
#include "film/height.h"

#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "film/block.h"

#define GAMMA 0.7886751345948129 /* (3 + sqrt 3)/6 */
#define NEGATIVE_MOST 1e-5       /* of all paint: more below 0 rejects the step */
#define ROUNDS_MOST 7            /* of scaling outgoing fluxes */
#define LEAST_STEP 1e-15         /* [s] */
#define STAIRS_STEP 6.0          /* of a rim's own time, see stairs_time */
#define FRONT_STEP 1.0           /* of a front cell's own time, see front_time */
#define CORNER_WITHIN 0.02       /* what is closer to a corner in x and in y counts as in it [m] */
#define CORNER_SHARE 0.5         /* of the tolerance is what errors in corners are held to */
#define GROWTH_MOST 1.3          /* of a step over the last */
#define SAFETY 0.7               /* of the step that would just be accepted: a rejection costs a whole step */

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
        if (round == ROUNDS_MOST || !(below * rn_cell_area(film) <= NEGATIVE_MOST * fmax(rn_film_volume(film), 1e-12)))
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

static int count_within(double length, double size, int most)
{
    const int count = (int)ceil(length / size);
    return 2 * count < most ? count : most / 2;
}

/* The last corner is what a painter waits for, and few cells: the mean over the face hardly sees them. So the corners
   have the same norm over a square of their own, where the front counts from well before it arrives. */
static double corner_misfit(const rn_film *film)
{
    const rn_grid *grid = &film->grid;
    const int ni = count_within(CORNER_WITHIN, grid->dx, grid->nx),
              nj = count_within(CORNER_WITHIN, grid->dy, grid->ny);
    double sum = 0;
    for (int corner = 0; corner < 4; corner++) {
        const int i0 = corner % 2 ? grid->nx - ni : 0, j0 = corner / 2 ? grid->ny - nj : 0;
        for (int j = j0; j < j0 + nj; j++) {
            const rn_span row = rn_film_row(film, j);
            for (int i = i0 > row.from ? i0 : row.from; i < i0 + ni && i < row.to; i++) {
                const size_t at = RN_AT(film, i, j);
                double change = film->h1[at] - film->h[at] - film->dt * film->k[at]; /* dt (k1 + k2)/2 */
                double square = change * change / ((1e-4 + film->h[at]) * (1e-4 + film->h[at]));
                sum += square * square;
            }
        }
    }
    return sqrt(sqrt(sum / (4.0 * ni * nj)));
}

/* One attempt of length film->dt; returns the error over the tolerance (> 1: rejected). */
static double attempt(rn_film *film)
{
    const double cells = (double)film->inside_count, tolerance = film->options.tolerance;
    double squares, fourths;
    film->tau = GAMMA * film->dt;
    rn_film_pass_first(film);
    rn_film_pass_predict(film);
    rn_film_pass_second(film);
    rn_film_pass_judge(&squares, &fourths, film);
    double error = fmax(0.5 * film->dt * sqrt(sqrt(fourths / cells)) / tolerance,
                        0.5 * film->dt * sqrt(squares / cells) / film->options.ripple_tolerance);
    if (!(error <= 1))
        return isfinite(error) ? error : 1e6;
    if (rn_film_pass_advance(film) > 0 && !lift_negative_cells(film))
        return 4;
    return film->options.round ? error : fmax(error, corner_misfit(film) / (CORNER_SHARE * tolerance));
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
        face->passed += leaving * length;
        if (wrapped && (leaving > 0 || face->side_volume > 0)) {
            rn_column column = rn_film_column(film, face->i, face->j);
            leaving = face->weight * rn_edge_side_step(face, &film->edges, &column, leaving / face->weight, film->dt);
        }
        film->run_off[face->side] += leaving * length;
        rn_edge_settle(face, &film->edges, rn_rim_depth(film, film->h, face));
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
                   "centre (cell %d, %d); thicker paint, or less of it at once, would do",
                   t, 1e3 * rn_grid_x(&film->grid, worst_i), 1e3 * rn_grid_y(&film->grid, worst_j), worst_i, worst_j);
}

/* Of a cell's column, apparent at 1/s. */
static double viscosity_at(const rn_film *film, size_t at)
{
    return film->columns.on ? film->columns.viscosity[at] : rn_law_viscosity(&film->options.law, 1);
}

/* How long a front cell takes to level with its neighbour, 3 mu d^2/(rho g e^3) with e the holding depth [s]. Longer
   steps leave ripples at a front that has all but stopped; each crest above the hold wets one more cell, and what is
   wet stays wet: thin paint would creep on past its hold and lose its roundness. */
static double front_time(const rn_film *film, double viscosity)
{
    double d = fmin(film->grid.dx, film->grid.dy), e = film->front_hold;
    return 3 * viscosity * d * d / (film->options.density * RN_GRAVITY * e * e * e);
}

/* The least viscosity where the last step moved paint onto dry ground; infinite where it did so nowhere. */
static double front_viscosity(const rn_film *film)
{
    const size_t up = (size_t)film->stride;
    double least = INFINITY;
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            const size_t at = RN_AT(film, i, j);
            if (film->h[at] < RN_WET_GROUND &&
                (film->qx[at] > 0 || film->qx[at + 1] < 0 || film->qy[at] > 0 || film->qy[at + up] < 0)) {
                if (!film->columns.on)
                    return viscosity_at(film, at);
                least = fmin(least, viscosity_at(film, at));
            }
        }
    return least;
}

/* How long a ripple of a cell's width takes to level at a disc's rim, 3 mu d^4/(gamma h^3) where the rim is deepest
   [s]. On the rim's stairs the rows' and the columns' operators do not commute, and longer steps raise spikes there that
   go over the edge; the error norm of the whole film hardly sees them. */
static double stairs_time(const rn_film *film)
{
    double d2 = film->grid.dx * film->grid.dx, least = INFINITY;
    for (int j = film->j0; j < film->j1; j++) {
        rn_span row = film->row[j];
        const int ends[2] = {row.from, row.to - 1};
        for (int k = 0; k < 2 && row.to > row.from; k++) {
            const size_t at = RN_AT(film, ends[k], j);
            double h = fmax(film->h[at], 1e-9);
            least = fmin(least, 3 * viscosity_at(film, at) * d2 * d2 / (film->options.tension * h * h * h));
        }
    }
    return least;
}

static double longest_step(const rn_film *film)
{
    double longest = film->options.step_most;
    if (film->options.round && film->options.tension > 0)
        longest = fmin(longest, STAIRS_STEP * stairs_time(film));
    if (film->front_hold > 0) {
        double soonest = film->columns.on ? film->columns.least_viscosity : rn_law_viscosity(&film->options.law, 1);
        if (FRONT_STEP * front_time(film, soonest) < fmin(film->next_dt, longest))
            longest = fmin(longest, FRONT_STEP * front_time(film, front_viscosity(film)));
    }
    return longest;
}

double rn_film_wish(const rn_film *film)
{
    return fmin(film->next_dt, longest_step(film));
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
        if (rn_film_window_is_tight(film))
            rn_film_find_window(film);
        double error = attempt(film);
        if (error <= 1) {
            double growth = fmin(film->held_back ? 1.0 : GROWTH_MOST, SAFETY / sqrt(error + 1e-9));
            double next = film->dt * growth;
            if (film->dt >= wish || next < wish) /* a step cut short by the limit says little about longer ones */
                film->next_dt = next;
            film->held_back = false;
            break;
        }
        film->rejected++;
        film->held_back = true;
        film->next_dt = film->dt * fmax(0.2, SAFETY / sqrt(error));
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
