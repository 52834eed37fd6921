#include "run/layering.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/base_coat.h"
#include "run/past.h"
#include "run/pile.h"

#define RENEW_EVERY 1.0 /* at most [s]; halved until, */
#define RENEW_LEAST 0.125
#define CHANGE_MOST                                                                                                    \
    0.2 /* in all but a part of the columns with several laws, their 1/mu changes by less than this share */
#define CHANGED_PART 4
#define RENEW_SOON 0.1  /* after anything begins or ends [s] */
#define RENEW_FIRST 0.2 /* while the first paint of a pour comes up, [s] */
#define FIRST_FOR 1.0   /* so long [s] */
#define BARE 1e-5       /* thinner film has no columns of its own [m] */
#define NO_LAW RN_LAW_NONE
#define AROUND 2                  /* points to either side whose laws count */
#define LATTICE_MOST RN_GRID_MOST /* points along a side: no more than the grid has cells */

/* Heights whose points are followed, closer toward the panel: most of what a film carries hangs on what is lowest. The
   panel itself is one more, which needs no following: what lies on it stays. */
#define HEIGHTS 10
static const float heights[HEIGHTS] = {0.006f, 0.016f, 0.045f, 0.1f, 0.18f, 0.29f, 0.44f, 0.62f, 0.82f, 1};

struct rn_layering {
    const rn_plan *plan;
    rn_team *team;
    rn_chain *chain;
    rn_past past;
    int nx, ny; /* of the lattice */
    int law_count;
    rn_law laws[RN_PAINTS_MOST];
    unsigned char law_of[RN_PAINTS_MOST];
    rn_pile *began;          /* ny*nx: at the beginning of the chain's last map */
    int maps;                /* in the chain when that was found; 0: to be found */
    rn_pile *piles;          /* ny*nx: now */
    unsigned *sure;          /* ny*nx: see rn_pile_find */
    rn_pile *settled;        /* ny*nx: as the film takes them */
    float *change;           /* ny*nx: how fast their 1/mu changes, as a share of it [1/s] */
    rn_motion_cell *motion;  /* of the film's cells in the history's last interval, */
    bool known;              /* if there is one */
    double ease[NO_LAW + 1]; /* 1/mu of each law */
    unsigned char *found;    /* HEIGHTS*ny*nx: law of each point */
    unsigned char *law;      /* RN_PILE_MOST*ny*nx: the same piles as levels */
    uint16_t *foot;
    unsigned char *law_in; /* and in the film's cells */
    uint16_t *foot_in;
    rn_tracers points;
    double time, every; /* when it was renewed, and for how long [s] */
};

bool rn_layering_needed(const rn_plan *plan)
{
    rn_law laws[RN_PAINTS_MOST];
    unsigned char law_of[RN_PAINTS_MOST];
    return rn_plan_laws(laws, law_of, plan) > 1;
}

/* Lattice points over the film's grid, at their heights. */
static void lay_points(rn_layering *layering, const rn_grid *grid)
{
    const long plane = (long)layering->nx * layering->ny;
    for (long p = 0; p < HEIGHTS * plane; p++) {
        layering->points.x[p] =
            (float)(((double)(p % layering->nx) + 0.5) / layering->nx - 0.5) * (float)(grid->nx * grid->dx);
        layering->points.y[p] =
            (float)(((double)(p % plane / layering->nx) + 0.5) / layering->ny - 0.5) * (float)(grid->ny * grid->dy);
        layering->points.sigma[p] = heights[p / plane];
        layering->points.source[p] = RN_FROM_NOWHERE;
    }
}

static int nearest(double at, double size, int n)
{
    const int k = (int)floor((at / size + 0.5) * n);
    return k < 0 ? 0 : k >= n ? n - 1 : k;
}

/* The base coats as they lay at a place at time 0. */
static rn_pile laid_at(const rn_layering *layering, double x, double y)
{
    rn_coat coats[RN_BASES_MOST];
    const int count = rn_base_coat_pile(coats, layering->plan, x, y);
    rn_pile pile = {0};
    for (int c = 0; c < count; c++)
        rn_pile_add(&pile, layering->law_of[coats[c].paint], (float)coats[c].foot);
    return count > 0 ? pile : rn_pile_of(NO_LAW);
}

/* Piles of the lattice's columns from the points that have come down to where `began` lies, or to time 0. */
typedef struct finding {
    rn_layering *layering;
    const rn_grid *grid;
    rn_pile *to;
    bool began; /* the former */
} finding;

static void find_row(void *context, int j, int member)
{
    (void)member;
    const finding *job = context;
    rn_layering *layering = job->layering;
    const rn_tracers *points = &layering->points;
    const int nx = layering->nx;
    const long plane = (long)nx * layering->ny;
    const double width = job->grid->nx * job->grid->dx, height = job->grid->ny * job->grid->dy;
    for (int i = 0; i < nx; i++) {
        const long at = (long)j * nx + i;
        rn_pile laid[HEIGHTS + 1];
        rn_pile_point column[HEIGHTS + 1];
        for (int k = 0; k <= HEIGHTS; k++) {
            const long p = at + (k > 0 ? k - 1 : 0) * plane;
            rn_pile_point *point = &column[k];
            *point = (rn_pile_point){.height = k > 0 ? heights[k - 1] : 0, .sigma = k > 0 ? points->sigma[p] : 0};
            if (k > 0 && points->source[p] >= 0) {
                point->number = points->source[p];
                point->pour = &layering->plan->pours[point->number];
                point->on_top = layering->past.sources[point->number].on_top;
                point->released = points->released[p];
                continue;
            }
            const double x = k > 0 ? (double)points->x[p] : ((i + 0.5) / nx - 0.5) * width;
            const double y = k > 0 ? (double)points->y[p] : ((j + 0.5) / layering->ny - 0.5) * height;
            if (job->began) {
                point->from = &layering->began[(long)nearest(y, height, layering->ny) * nx + nearest(x, width, nx)];
            } else {
                laid[k] = laid_at(layering, x, y);
                point->from = &laid[k];
            }
        }
        rn_pile_find(&job->to[at], &layering->sure[at], column, HEIGHTS + 1, layering->law_of);
        for (int k = 0; k < HEIGHTS; k++)
            layering->found[k * plane + at] = rn_pile_law(&column[k + 1], layering->law_of);
    }
}

static void find_piles(rn_layering *layering, const rn_grid *grid, rn_pile *to, bool began)
{
    finding job = {layering, grid, to, began};
    rn_team_share(layering->team, layering->ny, find_row, &job);
}

/* What lay at the lattice's points when the chain's last map began. */
static void find_beginning(rn_layering *layering, const rn_grid *grid)
{
    const int maps = rn_chain_maps(layering->chain);
    lay_points(layering, grid);
    rn_chain_descend(&layering->points, layering->chain, maps - 2, 0, layering->team);
    find_piles(layering, grid, layering->began, false);
    layering->maps = maps;
}

/* Points come down the chain one by one, and beside a band's edge now to this and now to that side of it: laws that change
   from point to point would fray the film. Each point takes the law that most of the points around it at its height have,
   its own where they are even, or where its column knows the border to that law to be close by. */
static unsigned char most_around(const unsigned char *from, int nx, int ny, int i, int j, int laws)
{
    const int i0 = i > AROUND ? i - AROUND : 0, i1 = i + AROUND < nx ? i + AROUND : nx - 1;
    const int j0 = j > AROUND ? j - AROUND : 0, j1 = j + AROUND < ny ? j + AROUND : ny - 1;
    int votes[NO_LAW + 1];
    unsigned char best = from[(long)j * nx + i];
    if (best == NO_LAW)
        return best;
    memset(votes, 0, (size_t)laws * sizeof *votes);
    votes[NO_LAW] = 0;
    for (int y = j0; y <= j1; y++)
        for (int x = i0; x <= i1; x++)
            votes[from[(long)y * nx + x]]++;
    for (int law = 0; law < laws; law++)
        if (votes[law] > votes[best])
            best = (unsigned char)law;
    return best;
}

/* Where in a row the laws around are not all the same; nearly nowhere. */
static void find_unlike(unsigned char *unlike, const unsigned char *from, int nx, int ny, int j)
{
    const unsigned char *own = from + (long)j * nx;
    const int j0 = j > AROUND ? j - AROUND : 0, j1 = j + AROUND < ny ? j + AROUND : ny - 1;
    unsigned char differs[LATTICE_MOST + 2 * AROUND] = {0}; /* above or below, or from the next to the right */
    for (int i = 0; i + 1 < nx; i++)
        differs[AROUND + i] = own[i] ^ own[i + 1];
    for (int y = j0; y <= j1; y++) {
        const unsigned char *other = from + (long)y * nx;
        for (int i = 0; i < nx; i++)
            differs[AROUND + i] |= own[i] ^ other[i];
    }
    for (int i = 0; i < nx; i++) {
        unsigned char any = 0;
        for (int k = 0; k <= 2 * AROUND; k++)
            any |= differs[i + k];
        unlike[i] = any;
    }
}

static bool knows_border(const rn_pile *pile, unsigned sure, int k, unsigned char law)
{
    const float from = sure >> k & 1 ? (k > 0 ? heights[k - 1] : 0) : heights[k];
    const float to = k + 1 < HEIGHTS && sure >> (k + 1) & 1 ? heights[k + 1] : heights[k];
    for (int n = 0; n < pile->count; n++) {
        const float top = n + 1 < pile->count ? pile->foot[n + 1] : 1;
        if (pile->law[n] == law && pile->foot[n] <= to && top >= from && to > from)
            return true;
    }
    return false;
}

/* How fast the film's cells at a point of the lattice spread thin, and are laid on from above [1/s]. */
static void rates_at(double *spread, double *laid, const rn_layering *layering, int i, int j)
{
    const rn_grid *grid = rn_history_grid(layering->past.layers.history);
    const int i0 = (int)((long)i * grid->nx / layering->nx), i1 = (int)((long)(i + 1) * grid->nx / layering->nx);
    const int j0 = (int)((long)j * grid->ny / layering->ny), j1 = (int)((long)(j + 1) * grid->ny / layering->ny);
    double feed = 0;
    *spread = *laid = 0;
    for (int y = j0; y < j1; y++)
        for (int x = i0; x < i1; x++) {
            const rn_motion_cell *cell = &layering->motion[(long)y * grid->nx + x];
            *spread += (double)cell->spread / ((i1 - i0) * (j1 - j0));
            feed += (double)cell->feed / ((i1 - i0) * (j1 - j0));
        }
    const double x = rn_grid_x(grid, i0), y = rn_grid_y(grid, j0);
    for (int p = 0; feed > 0 && p < layering->plan->pour_count; p++) {
        const rn_source *source = &layering->past.sources[p];
        if (source->on_top && hypot(x - source->x, y - source->y) < 0.5 * source->across &&
            rn_source_released(source, layering->time + RN_SAME_MOMENT) > rn_source_released(source, layering->time))
            *laid = feed;
    }
}

static void settle_row(void *context, int j, int member)
{
    (void)member;
    rn_layering *layering = context;
    const int nx = layering->nx, ny = layering->ny;
    const long row = (long)j * nx, plane = (long)nx * ny;
    memcpy(layering->settled + row, layering->piles + row, (size_t)nx * sizeof *layering->settled);
    for (int k = 0; k < HEIGHTS; k++) {
        const unsigned char *found = layering->found + k * plane;
        unsigned char unlike[LATTICE_MOST];
        find_unlike(unlike, found, nx, ny, j);
        for (int i = 0; i < nx; i++) {
            if (!unlike[i])
                continue;
            const unsigned char law = most_around(found, nx, ny, i, j, layering->law_count);
            if (law == found[row + i] || knows_border(&layering->piles[row + i], layering->sure[row + i], k, law))
                continue;
            rn_pile_paint(&layering->settled[row + i], law, 0.5f * (heights[k] + (k > 0 ? heights[k - 1] : 0)),
                          k + 1 < HEIGHTS ? 0.5f * (heights[k] + heights[k + 1]) : 1);
        }
    }
    for (int i = 0; i < nx; i++) {
        layering->change[row + i] = -1;
        if (layering->settled[row + i].count > 1 && layering->known) {
            float rate[RN_PILE_MOST];
            double spread, laid;
            rates_at(&spread, &laid, layering, i, j);
            layering->change[row + i] =
                (float)fabs(rn_pile_rates(rate, &layering->settled[row + i], layering->ease, spread, laid));
        }
    }
}

/* For how long the columns will do: layers that thin quickly want to be looked at soon. */
static double lasting(const rn_layering *layering)
{
    const long plane = (long)layering->nx * layering->ny;
    if (!layering->known)
        return RENEW_SOON;
    for (double every = RENEW_EVERY; every > RENEW_LEAST; every *= 0.5) {
        long layered = 0, changed = 0;
        for (long p = 0; p < plane; p++) {
            layered += layering->change[p] >= 0;
            changed += (double)layering->change[p] * every > CHANGE_MOST;
        }
        if (CHANGED_PART * changed <= layered)
            return every;
    }
    return RENEW_LEAST;
}

/* The film takes the columns as they will be half way until they are renewed, by what each does where it is. */
static void level_row(void *context, int j, int member)
{
    (void)member;
    rn_layering *layering = context;
    const int nx = layering->nx;
    const long plane = (long)nx * layering->ny;
    for (int i = 0; i < nx; i++) {
        const long at = (long)j * nx + i;
        rn_pile pile = layering->settled[at];
        if (layering->change[at] > 0) {
            float rate[RN_PILE_MOST];
            double spread, laid;
            rates_at(&spread, &laid, layering, i, j);
            rn_pile_rates(rate, &pile, layering->ease, spread, laid);
            for (int k = 1; k < pile.count; k++) {
                const float grown = pile.foot[k] * expf(0.5f * (float)layering->every * rate[k] / pile.foot[k]);
                pile.foot[k] = fminf(fmaxf(grown, pile.foot[k - 1]), 1);
            }
        }
        for (int level = 0; level < RN_PILE_MOST; level++) {
            const int n = level < pile.count ? level : pile.count - 1;
            const float foot = level < pile.count ? pile.foot[n] : 1;
            layering->law[level * plane + at] = pile.law[n];
            layering->foot[level * plane + at] = (uint16_t)fminf(foot * RN_FOOT_UNIT + 0.5f, RN_FOOT_UNIT - 1);
        }
    }
}

/* As many levels as some column has; the others' last ones have no depth. */
static int levels_of(const rn_layering *layering)
{
    const long plane = (long)layering->nx * layering->ny;
    int levels = 1;
    for (long p = 0; p < plane; p++)
        while (levels < RN_PILE_MOST && layering->foot[levels * plane + p] < RN_FOOT_UNIT - 1)
            levels++;
    return levels;
}

/* From the lattice to the film's cells, and into the film. */
static rn_status set_columns(rn_layering *layering, rn_film *film, int levels, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    long stride;
    const double *depth = rn_film_depth(film, &stride);
    const long plane = (long)layering->nx * layering->ny;
    for (int level = 0; level < levels; level++)
        for (int j = 0; j < grid->ny; j++) {
            const long y = level * plane + (long)((long)j * layering->ny / grid->ny) * layering->nx;
            const long row = ((long)level * grid->ny + j) * grid->nx;
            for (int i = 0; i < grid->nx; i++) {
                const long from = y + (long)i * layering->nx / grid->nx;
                layering->law_in[row + i] = depth[j * stride + i] > BARE ? layering->law[from] : NO_LAW;
                layering->foot_in[row + i] = layering->foot[from];
            }
        }
    return rn_film_set_columns(film, layering->law_in, layering->foot_in, levels, layering->laws, layering->law_count,
                               err);
}

static rn_status note_columns(const rn_layering *layering, rn_history *history, int levels, rn_error *err)
{
    double viscosities[RN_PAINTS_MOST];
    for (int k = 0; k < layering->law_count; k++)
        viscosities[k] = rn_law_viscosity(&layering->laws[k], 1);
    const rn_history_columns columns = {layering->time, layering->nx,  layering->ny,
                                        levels,         layering->law, layering->foot};
    return rn_history_note_columns(history, &columns, viscosities, layering->law_count, err);
}

/* Into the film and its history, from the chain as it is. */
static rn_status tell(rn_layering *layering, rn_film *film, rn_history *history, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    const int maps = rn_chain_maps(layering->chain);
    if (maps > 1 && maps != layering->maps)
        find_beginning(layering, grid);
    rn_chain_newest(&layering->points, layering->chain, layering->team);
    find_piles(layering, grid, layering->piles, maps > 1);
    const int last = rn_history_count(history) - 1;
    layering->known = last >= 0 && rn_history_time(history, last + 1) > rn_history_time(history, last);
    if (layering->known)
        rn_history_read(layering->motion, history, last, layering->team);
    rn_team_share(layering->team, layering->ny, settle_row, layering);
    layering->every = lasting(layering);
    rn_team_share(layering->team, layering->ny, level_row, layering);
    const int levels = levels_of(layering);
    const rn_status status = set_columns(layering, film, levels, err);
    return status == RN_OK ? note_columns(layering, history, levels, err) : status;
}

static void take_laws(rn_layering *layering, const rn_plan *plan)
{
    layering->plan = plan;
    layering->law_count = rn_plan_laws(layering->laws, layering->law_of, plan);
    for (int k = 0; k <= NO_LAW; k++) /* where no paint is known, as the first */
        layering->ease[k] = 1 / rn_law_viscosity(&layering->laws[k < layering->law_count ? k : 0], 1);
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
    made->nx = grid->nx / part > 2 ? grid->nx / part : 2;
    made->ny = grid->ny / part > 2 ? grid->ny / part : 2;
    take_laws(made, plan);
    rn_past_init(&made->past, plan, history);
    const size_t plane = (size_t)made->nx * (size_t)made->ny, cells = (size_t)grid->nx * (size_t)grid->ny;
    made->began = malloc(plane * sizeof *made->began);
    made->piles = malloc(plane * sizeof *made->piles);
    made->settled = malloc(plane * sizeof *made->settled);
    made->change = malloc(plane * sizeof *made->change);
    made->motion = malloc(cells * sizeof *made->motion);
    made->sure = malloc(plane * sizeof *made->sure);
    made->found = malloc(HEIGHTS * plane);
    made->law = malloc(RN_PILE_MOST * plane);
    made->foot = malloc(RN_PILE_MOST * plane * sizeof *made->foot);
    made->law_in = malloc(RN_PILE_MOST * cells);
    made->foot_in = malloc(RN_PILE_MOST * cells * sizeof *made->foot_in);
    rn_status status = rn_team_new(&made->team, threads, err);
    if (status == RN_OK)
        status = rn_chain_new(&made->chain, grid, made->nx, made->ny, heights, HEIGHTS, err);
    if (status == RN_OK)
        status = rn_tracers_init(&made->points, HEIGHTS * (long)plane, err);
    if (status == RN_OK &&
        (!made->began || !made->piles || !made->settled || !made->change || !made->motion || !made->sure ||
         !made->found || !made->law || !made->foot || !made->law_in || !made->foot_in))
        status = rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    if (status == RN_OK)
        status = tell(made, film, history, err);
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
    free(layering->began);
    free(layering->piles);
    free(layering->settled);
    free(layering->change);
    free(layering->motion);
    free(layering->sure);
    free(layering->found);
    free(layering->law);
    free(layering->foot);
    free(layering->law_in);
    free(layering->foot_in);
    free(layering);
}

void rn_layering_replan(rn_layering *layering, const rn_plan *plan)
{
    take_laws(layering, plan);
    layering->maps = 0;
}

struct rn_layering_saved {
    rn_chain_saved *chain;
    double time, every;
};

rn_status rn_layering_save(rn_layering_saved **saved, const rn_layering *layering, rn_error *err)
{
    rn_layering_saved *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    made->time = layering->time;
    made->every = layering->every;
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
    layering->every = saved->every;
    layering->maps = 0;
}

long rn_layering_bytes(const rn_layering *layering)
{
    return rn_chain_bytes(layering->chain);
}

/* Soon after the next thing that begins or ends, so that what is to come changes nothing before it does; and when a cup has
   laid what it had: a film may have become another within that burst. */
double rn_layering_due(const rn_layering *layering)
{
    const rn_plan *plan = layering->plan;
    const double t = layering->time;
    double due = fmin(t + layering->every, rn_motion_next_break(plan->moves, plan->move_count, t) + RENEW_SOON);
    for (int p = 0; p < plan->pour_count; p++) {
        const rn_source source = rn_pour_source(plan, &plan->pours[p]);
        due = fmin(due, rn_source_next_break(&source, t) + (source.on_top ? 0 : RENEW_SOON));
        if (t >= source.start && t < source.start + FIRST_FOR)
            due = fmin(due, t + RENEW_FIRST);
    }
    return due;
}

rn_status rn_layering_renew(rn_layering *layering, rn_film *film, rn_history *history, double time, rn_error *err)
{
    rn_past_init(&layering->past, layering->plan, history);
    const rn_status status = rn_chain_advance(layering->chain, &layering->past.layers, time, layering->team, err);
    if (status != RN_OK)
        return status;
    layering->time = time;
    return tell(layering, film, history, err);
}
