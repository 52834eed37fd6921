#include "run/layering.h"

#include <math.h>
#include <stdlib.h>

#include "run/past.h"
#include "run/strata.h"

#define RENEW_EVERY 1.0 /* [s] */
#define RENEW_FIRST 0.2 /* while the first paint of a pour comes up, [s] */
#define FIRST_FOR 1.0   /* so long [s] */
#define BARE 1e-5       /* thinner film has no columns of its own [m] */
#define NO_LAW RN_LAW_NONE
#define AROUND 2 /* points to either side whose laws count */

struct rn_layering {
    const rn_plan *plan;
    rn_team *team;
    rn_chain *chain;
    int nx, ny; /* of the lattice */
    int law_count;
    rn_law laws[RN_PAINTS_MOST];
    unsigned char law_of[RN_PAINTS_MOST];
    unsigned char *paint;   /* levels*ny*nx: at the beginning of the chain's last map */
    int maps;               /* in the chain when that was found; 0: to be found */
    unsigned char *laws_of; /* levels*cells of the film */
    unsigned char *found;   /* levels*ny*nx: law of each point, */
    unsigned char *seen;    /* and of most around it */
    rn_tracers points;
    double time;
};

bool rn_layering_needed(const rn_plan *plan)
{
    rn_law laws[RN_PAINTS_MOST];
    unsigned char law_of[RN_PAINTS_MOST];
    return rn_plan_laws(laws, law_of, plan) > 1;
}

/* Lattice points over the film's grid, in their levels; for a base coat, straight from the plan. */
static void lay_points(rn_layering *layering, const rn_grid *grid)
{
    const long plane = (long)layering->nx * layering->ny;
    for (long p = 0; p < RN_LAYERING_LEVELS * plane; p++) {
        layering->points.x[p] =
            (float)(((double)(p % layering->nx) + 0.5) / layering->nx - 0.5) * (float)(grid->nx * grid->dx);
        layering->points.y[p] =
            (float)(((double)(p % plane / layering->nx) + 0.5) / layering->ny - 0.5) * (float)(grid->ny * grid->dy);
        layering->points.sigma[p] = (float)(((double)(p / plane) + 0.5) / RN_LAYERING_LEVELS);
        layering->points.source[p] = RN_FROM_NOWHERE;
    }
}

/* The paint of a point that has come down the whole chain; none where that is dry ground. */
static unsigned char paint_of(const rn_layering *layering, long p)
{
    const rn_plan *plan = layering->plan;
    if (layering->points.source[p] < 0)
        return (unsigned char)rn_past_based(plan, (double)layering->points.x[p], (double)layering->points.y[p]);
    const rn_pour *pour = &plan->pours[layering->points.source[p]];
    const int band = rn_strata_band(pour, (double)layering->points.released[p]);
    return (unsigned char)pour->stack[band % pour->layer_count].paint;
}

static unsigned char law_of(const rn_layering *layering, unsigned char paint)
{
    return paint == RN_PAINT_NONE ? NO_LAW : layering->law_of[paint];
}

/* What lay at the lattice's points when the chain's last map began. */
static void find_paints(rn_layering *layering, const rn_grid *grid)
{
    const int maps = rn_chain_maps(layering->chain);
    lay_points(layering, grid);
    rn_chain_descend(&layering->points, layering->chain, maps - 2, 0, layering->team);
    for (long p = 0; p < layering->points.count; p++)
        layering->paint[p] = paint_of(layering, p);
    layering->maps = maps;
}

static int nearest(float at, double size, int n)
{
    const int k = (int)floor(((double)at / size + 0.5) * n);
    return k < 0 ? 0 : k >= n ? n - 1 : k;
}

/* The law at a point that has come down the last map: what it left there, or what lay where it came from. */
static unsigned char law_at(const rn_layering *layering, const rn_grid *grid, long p)
{
    const rn_tracers *points = &layering->points;
    if (points->source[p] >= 0)
        return law_of(layering, paint_of(layering, p));
    const int i = nearest(points->x[p], grid->nx * grid->dx, layering->nx);
    const int j = nearest(points->y[p], grid->ny * grid->dy, layering->ny);
    int level = (int)(points->sigma[p] * RN_LAYERING_LEVELS);
    level = level >= RN_LAYERING_LEVELS ? RN_LAYERING_LEVELS - 1 : level;
    return law_of(layering, layering->paint[((long)level * layering->ny + j) * layering->nx + i]);
}

/* Points come down the chain one by one, and beside a band's edge now to this and now to that side of it: laws that change
   from point to point would fray the film. Each point takes the law that most of the points around it on its level have,
   its own where they are even. */
static void settle_row(void *context, int row, int member)
{
    (void)member;
    rn_layering *layering = context;
    const int nx = layering->nx, ny = layering->ny, j = row % ny;
    const unsigned char *from = layering->found + (long)(row - j) * nx;
    for (int i = 0; i < nx; i++) {
        int votes[NO_LAW + 1] = {0};
        unsigned char best = from[(long)j * nx + i];
        for (int y = j > AROUND ? j - AROUND : 0; y <= j + AROUND && y < ny; y++)
            for (int x = i > AROUND ? i - AROUND : 0; x <= i + AROUND && x < nx; x++)
                votes[from[(long)y * nx + x]]++;
        for (int law = 0; best != NO_LAW && law < layering->law_count; law++)
            if (votes[law] > votes[best])
                best = (unsigned char)law;
        layering->seen[(long)row * nx + i] = best;
    }
}

/* From the lattice to the film's cells, and into the film. */
static rn_status set_columns(rn_layering *layering, rn_film *film, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    long stride;
    const double *depth = rn_film_depth(film, &stride);
    const long plane = (long)layering->nx * layering->ny;
    for (int level = 0; level < RN_LAYERING_LEVELS; level++)
        for (int j = 0; j < grid->ny; j++) {
            const int y = (int)((long)j * layering->ny / grid->ny);
            unsigned char *row = layering->laws_of + ((long)level * grid->ny + j) * grid->nx;
            for (int i = 0; i < grid->nx; i++) {
                const int x = (int)((long)i * layering->nx / grid->nx);
                row[i] =
                    depth[j * stride + i] > BARE ? layering->seen[level * plane + (long)y * layering->nx + x] : NO_LAW;
            }
        }
    return rn_film_set_columns(film, layering->laws_of, NULL, RN_LAYERING_LEVELS, layering->laws, layering->law_count, err);
}

static rn_status note_columns(const rn_layering *layering, rn_history *history, rn_error *err)
{
    double viscosities[RN_PAINTS_MOST];
    for (int k = 0; k < layering->law_count; k++)
        viscosities[k] = rn_law_viscosity(&layering->laws[k], 1);
    const rn_history_columns columns = {layering->time, layering->nx, layering->ny, RN_LAYERING_LEVELS, layering->seen, NULL};
    return rn_history_note_columns(history, &columns, viscosities, layering->law_count, err);
}

rn_status rn_layering_new(rn_layering **layering, const rn_plan *plan, rn_film *film, rn_history *history, int most,
                          int threads, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    const int longer = grid->nx > grid->ny ? grid->nx : grid->ny;
    const int part = (longer + most - 1) / most; /* cells to one point */
    rn_layering *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    made->plan = plan;
    made->nx = grid->nx / part > 2 ? grid->nx / part : 2;
    made->ny = grid->ny / part > 2 ? grid->ny / part : 2;
    made->law_count = rn_plan_laws(made->laws, made->law_of, plan);
    const size_t points = (size_t)RN_LAYERING_LEVELS * (size_t)made->nx * (size_t)made->ny;
    made->paint = malloc(points);
    made->found = malloc(points);
    made->seen = malloc(points);
    made->laws_of = malloc((size_t)RN_LAYERING_LEVELS * (size_t)grid->nx * (size_t)grid->ny);
    rn_status status = rn_team_new(&made->team, threads, err);
    if (status == RN_OK)
        status = rn_chain_new(&made->chain, grid, made->nx, made->ny, RN_LAYERING_LEVELS, false, err);
    if (status == RN_OK)
        status = rn_tracers_init(&made->points, (long)points, err);
    if (status == RN_OK && (!made->paint || !made->found || !made->seen || !made->laws_of))
        status = rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    if (status == RN_OK) {
        find_paints(made, grid);
        for (size_t p = 0; p < points; p++)
            made->found[p] = law_of(made, made->paint[p]);
        rn_team_share(made->team, RN_LAYERING_LEVELS * made->ny, settle_row, made);
        status = set_columns(made, film, err);
    }
    if (status == RN_OK)
        status = note_columns(made, history, err);
    if (status == RN_OK)
        *layering = made;
    else
        rn_layering_free(made);
    return status;
}

void rn_layering_free(rn_layering *layering)
{
    if (!layering)
        return;
    rn_chain_free(layering->chain);
    rn_team_free(layering->team);
    rn_tracers_clear(&layering->points);
    free(layering->paint);
    free(layering->found);
    free(layering->seen);
    free(layering->laws_of);
    free(layering);
}

void rn_layering_replan(rn_layering *layering, const rn_plan *plan)
{
    layering->plan = plan;
    layering->law_count = rn_plan_laws(layering->laws, layering->law_of, plan);
    layering->maps = 0;
}

struct rn_layering_saved {
    rn_chain_saved *chain;
    double time;
};

rn_status rn_layering_save(rn_layering_saved **saved, const rn_layering *layering, rn_error *err)
{
    rn_layering_saved *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    made->time = layering->time;
    const rn_status status = rn_chain_save(&made->chain, layering->chain, err);
    if (status == RN_OK)
        *saved = made;
    else
        free(made);
    return status;
}

void rn_layering_saved_free(rn_layering_saved *saved)
{
    if (saved)
        rn_chain_saved_free(saved->chain);
    free(saved);
}

long rn_layering_saved_bytes(const rn_layering_saved *saved)
{
    return (long)sizeof *saved + rn_chain_saved_bytes(saved->chain);
}

/* What else there is follows from the chain at the next renewal. */
void rn_layering_restore(rn_layering *layering, const rn_layering_saved *saved)
{
    rn_chain_restore(layering->chain, saved->chain);
    layering->time = saved->time;
    layering->maps = 0;
}

long rn_layering_bytes(const rn_layering *layering)
{
    return rn_chain_bytes(layering->chain);
}

/* The soonest that any pour asks for, so that a pour to come changes nothing before it starts. */
double rn_layering_due(const rn_layering *layering)
{
    const double t = layering->time;
    double due = INFINITY;
    for (int p = 0; p < layering->plan->pour_count; p++) {
        const double start = layering->plan->pours[p].start;
        if (t >= start - RENEW_EVERY && t < start) /* not to sleep through a beginning */
            due = fmin(due, start + RENEW_FIRST);
        else if (t >= start && t < start + FIRST_FOR)
            due = fmin(due, t + RENEW_FIRST);
    }
    return isinf(due) ? t + RENEW_EVERY : due;
}

rn_status rn_layering_renew(rn_layering *layering, rn_film *film, rn_history *history, double time, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    rn_past past;
    rn_past_init(&past, layering->plan, history);
    rn_status status = rn_chain_advance(layering->chain, &past.layers, time, layering->team, err);
    if (status != RN_OK)
        return status;
    layering->time = time;
    const int maps = rn_chain_maps(layering->chain);
    if (maps != layering->maps)
        find_paints(layering, grid);
    rn_chain_newest(&layering->points, layering->chain, layering->team);
    for (long p = 0; p < layering->points.count; p++)
        layering->found[p] = law_at(layering, grid, p);
    rn_team_share(layering->team, RN_LAYERING_LEVELS * layering->ny, settle_row, layering);
    status = set_columns(layering, film, err);
    return status == RN_OK ? note_columns(layering, history, err) : status;
}
