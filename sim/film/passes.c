/* The film's work on blocks of RN_LANES rows and strips of RN_LANES columns. Who works on which does not matter: a
   block reads what the pass before has left and writes only what is its own. */
#include <string.h>

#include "film/block.h"

typedef struct pass {
    rn_film *film;
    const double *from;
    double *to;
} pass;

static inline int lesser_of(int a, int b)
{
    return a < b ? a : b;
}

static int block_count(const rn_film *film)
{
    return (film->j1 - film->j0 + RN_LANES - 1) / RN_LANES;
}

static int strip_count(const rn_film *film)
{
    return (film->i1 - film->i0 + RN_LANES - 1) / RN_LANES;
}

static rn_span block_rows(const rn_film *film, int block)
{
    int from = film->j0 + block * RN_LANES;
    return (rn_span){from, lesser_of(from + RN_LANES, film->j1)};
}

static rn_sweep sweep_of(const rn_film *film, bool along_x, double tau)
{
    double per_d = along_x ? film->rule_x.per_d : film->rule_y.per_d;
    return (rn_sweep){
        .tau = tau,
        .tau_per_d = tau * per_d,
        .gravity = film->options.density * film->input.gravity_normal * per_d,
        .capillary = film->options.tension * per_d * per_d * per_d,
        .straight = film->straight_rim ? 1 : 0,
        .length = along_x ? film->i1 - film->i0 : film->j1 - film->j0,
    };
}

/* Lanes of a disc end at different places; from and to count from the window's first cell. */
static void lane_ends(rn_sweep *sweep, int from[RN_LANES], int to[RN_LANES], const rn_span *spans, int origin)
{
    for (int l = 0; l < RN_LANES; l++) {
        from[l] = spans[l].from - origin;
        to[l] = spans[l].to - origin;
    }
    sweep->from = from;
    sweep->to = to;
}

/* Sweeps a block's rows: out = v, q = factor (q + tau lin(v)). */
static void sweep_block(const rn_film *film, const rn_film_scratch *scratch, double *out, double *q, double factor,
                        const double *rate, int row)
{
    rn_sweep sweep = sweep_of(film, true, film->tau);
    int from[RN_LANES], to[RN_LANES];
    if (film->options.round)
        lane_ends(&sweep, from, to, film->row + row, film->i0);
    const size_t at = RN_AT(film, film->i0, row), faces = rn_x_faces(film, film->i0, row);
    rn_jacobian jacobian = {film->mx + faces, film->lx + faces, film->rx + faces, RN_LANES};
    film->kernels->sweep_along(out + at, q ? q + at : NULL, factor, &sweep, &jacobian, rate, film->stride,
                               scratch->work);
}

/* A strip of columns: its sweep, where it begins, and its part of the Jacobian. */
typedef struct strip_view {
    rn_sweep sweep;
    int column, from[RN_LANES], to[RN_LANES];
    size_t at;
    rn_jacobian jacobian;
} strip_view;

static void view_strip(strip_view *view, const rn_film *film, int strip)
{
    view->column = film->i0 + strip * RN_LANES;
    view->at = RN_AT(film, view->column, film->j0);
    view->sweep = sweep_of(film, false, film->tau);
    view->jacobian = (rn_jacobian){film->my + view->at, film->ly + view->at, film->ry + view->at, film->stride};
    if (film->options.round)
        lane_ends(&view->sweep, view->from, view->to, film->column + view->column, film->j0);
}

static rn_block view_of(const rn_film *film, const double *h, int block, int member, bool linearise)
{
    return (rn_block){film, &film->scratch[member], h, block_rows(film, block), linearise};
}

static double *rate_lines(const rn_block *view)
{
    return view->scratch->rate + RN_PAD + view->film->i0;
}

static void first_block(void *context, int block, int member)
{
    rn_film *film = context;
    rn_block view = view_of(film, film->h, block, member, true);
    rn_block_fluxes(&view);
    rn_block_keep_slopes(&view);
    rn_block_rates(&view, view.scratch->rate, NULL);
    sweep_block(film, view.scratch, film->w, film->qx, 1.0, rate_lines(&view), view.rows.from);
}

void rn_film_pass_first(rn_film *film)
{
    rn_team_share(film->team, block_count(film), first_block, film);
}

static void predict_strip(void *context, int strip, int member)
{
    rn_film *film = context;
    strip_view view;
    view_strip(&view, film, strip);
    film->kernels->sweep_and_predict(film->k + view.at, film->h1 + view.at, film->qy + view.at, film->h + view.at,
                                     film->dt, &view.sweep, &view.jacobian, film->w + view.at, film->stride,
                                     film->scratch[member].work);
}

void rn_film_pass_predict(rn_film *film)
{
    rn_team_share(film->team, strip_count(film), predict_strip, film);
    rn_film_mirror_rows(film, film->h1);
}

static void second_block(void *context, int block, int member)
{
    rn_film *film = context;
    rn_block view = view_of(film, film->h1, block, member, false);
    rn_block_fluxes(&view);
    rn_block_add_fluxes(&view);
    rn_block_rates(&view, view.scratch->rate, film->k);
    sweep_block(film, view.scratch, film->w, film->qx, 0.5, rate_lines(&view), view.rows.from);
}

void rn_film_pass_second(rn_film *film)
{
    rn_team_share(film->team, block_count(film), second_block, film);
}

static void judge_strip(void *context, int strip, int member)
{
    rn_film *film = context;
    strip_view view;
    view_strip(&view, film, strip);
    film->kernels->sweep_and_judge(film->qy + view.at, &film->strip_misfit[strip], film->k + view.at, film->h + view.at,
                                   &view.sweep, &view.jacobian, film->w + view.at, film->stride,
                                   film->scratch[member].work);
}

void rn_film_pass_judge(double *squares, double *fourths, rn_film *film)
{
    rn_team_share(film->team, strip_count(film), judge_strip, film);
    *squares = 0;
    *fourths = 0;
    for (int strip = 0; strip < strip_count(film); strip++) {
        const rn_misfit *sums = &film->strip_misfit[strip];
        for (int l = 0; l < lesser_of(RN_LANES, film->i1 - film->i0 - strip * RN_LANES); l++) {
            *squares += sums->squares[l];
            *fourths += sums->fourths[l];
        }
    }
}

/* What has gone over an edge does not come back. */
static void hold_edges(rn_film *film)
{
    for (int f = 0; f < film->edges.count; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        double *q = rn_edge_flux_at(film, face);
        if (face->sign * *q < 0)
            *q = 0;
    }
}

static void advance_block(void *context, int block, int member)
{
    rn_film *film = context;
    (void)member;
    rn_span rows = block_rows(film, block);
    int negative = 0;
    for (int j = rows.from; j < rows.to; j++) {
        rn_span row = rn_film_row(film, j);
        if (row.to <= row.from)
            continue;
        const size_t at = RN_AT(film, row.from, j);
        negative += film->kernels->advance(film->h1 + at, film->h + at, film->qx + at, film->qy + at,
                                           film->qy + at + film->stride, film->dt * film->rule_x.per_d,
                                           film->dt * film->rule_y.per_d, rn_film_source_row(film, j) + row.from,
                                           film->dt, row.to - row.from);
    }
    film->block_negative[block] = negative;
}

long rn_film_pass_advance(rn_film *film)
{
    hold_edges(film);
    rn_team_share(film->team, block_count(film), advance_block, film);
    long negative = 0;
    for (int block = 0; block < block_count(film); block++)
        negative += film->block_negative[block];
    return negative;
}

static void rates_block(void *context, int block, int member)
{
    pass *p = context;
    rn_film *film = p->film;
    rn_block view = view_of(film, p->from, block, member, true);
    rn_block_fluxes(&view);
    rn_block_keep_slopes(&view);
    rn_block_rates(&view, view.scratch->rate, NULL);
    for (int j = view.rows.from; j < view.rows.to; j++)
        memcpy(p->to + RN_AT(film, film->i0, j), rn_block_row(&view, view.scratch->rate, j) + film->i0,
               (size_t)(film->i1 - film->i0) * sizeof *p->to);
}

void rn_film_pass_rates(rn_film *film, double *out, const double *a)
{
    pass p = {film, a, out};
    rn_team_share(film->team, block_count(film), rates_block, &p);
}

static void solve_block(void *context, int block, int member)
{
    pass *p = context;
    int row = block_rows(p->film, block).from;
    sweep_block(p->film, &p->film->scratch[member], p->to, NULL, 1.0, p->from + RN_AT(p->film, p->film->i0, row), row);
}

static void solve_strip(void *context, int strip, int member)
{
    pass *p = context;
    strip_view view;
    view_strip(&view, p->film, strip);
    p->film->kernels->sweep_across(p->to + view.at, &view.sweep, &view.jacobian, p->film->stride,
                                   p->film->scratch[member].work);
}

void rn_film_pass_solve(rn_film *film, double *r, double tau)
{
    pass p = {film, r, r};
    film->tau = tau;
    rn_team_share(film->team, block_count(film), solve_block, &p);
    rn_team_share(film->team, strip_count(film), solve_strip, &p);
}
