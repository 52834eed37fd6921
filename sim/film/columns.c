/* Which laws the film's columns follow. */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "film/mobility.h"
#include "film/state.h"

/* There is memory for so many levels from the first, so that none is taken as a film comes to be made of more. */
#define LEVELS_TO_COME 16

_Static_assert(RN_FOOT_UNIT == RN_COLUMN_DEPTH, "a level begins at the same height for all");
_Static_assert(RN_FILM_LAWS <= RN_COLUMN_LAWS, "every law has its place in the table");

void rn_film_columns_clear(rn_film_columns *columns)
{
    free(columns->law_of);
    free(columns->foot);
    free(columns->viscosity);
    free(columns->fluidity);
    free(columns->nearest);
    *columns = (rn_film_columns){0};
}

static rn_status allocate(rn_film *film, int levels, rn_error *err)
{
    rn_film_columns *columns = &film->columns;
    if (levels <= columns->levels_most)
        return RN_OK;
    levels = levels > LEVELS_TO_COME ? levels : LEVELS_TO_COME;
    const size_t cells = (size_t)film->cells;
    rn_film_columns made = {.levels_most = levels};
    made.law_of = calloc(cells * (size_t)levels, sizeof *made.law_of);
    made.foot = calloc(cells * (size_t)levels, sizeof *made.foot);
    made.viscosity = calloc(cells, sizeof *made.viscosity);
    made.fluidity = calloc(cells, sizeof *made.fluidity);
    made.nearest = calloc((size_t)film->grid.nx * (size_t)film->grid.ny, sizeof *made.nearest);
    if (!made.law_of || !made.foot || !made.viscosity || !made.fluidity || !made.nearest) {
        rn_film_columns_clear(&made);
        return rn_fail(err, RN_E_MEMORY, "no memory for the layers of a film of %d x %d cells", film->grid.nx,
                       film->grid.ny);
    }
    rn_film_columns_clear(columns);
    *columns = made;
    return RN_OK;
}

static long level_at(const rn_film *film, int level, int i, int j)
{
    return level * film->cells + (long)RN_AT(film, i, j);
}

static uint16_t even_foot(int level, int levels)
{
    return (uint16_t)lround((double)RN_FOOT_UNIT * level / levels);
}

/* Copies one column; a level without paint takes what lies below it, or else above. False if there is none at all. */
static bool take_column(rn_film *film, int i, int j, const unsigned char *laws_of, const uint16_t *foot, int law_count)
{
    const long plane = (long)film->grid.nx * film->grid.ny, cell = (long)j * film->grid.nx + i;
    int lowest = 0;
    while (lowest < film->columns.levels && laws_of[lowest * plane + cell] >= law_count)
        lowest++;
    if (lowest == film->columns.levels)
        return false;
    unsigned char law = laws_of[lowest * plane + cell];
    for (int level = 0; level < film->columns.levels; level++) {
        unsigned char own = laws_of[level * plane + cell];
        law = own < law_count ? own : law;
        const long at = level_at(film, level, i, j);
        film->columns.law_of[at] = law;
        film->columns.foot[at] = foot ? foot[level * plane + cell] : even_foot(level, film->columns.levels);
    }
    return true;
}

static long distance2(const rn_film *film, int a, int b)
{
    const int nx = film->grid.nx;
    long dx = a % nx - b % nx, dy = a / nx - b / nx;
    return dx * dx + dy * dy;
}

/* The cell takes its neighbour's painted cell where that is nearer than its own. */
static void consider(rn_film *film, int i, int j, int step_i, int step_j)
{
    const int nx = film->grid.nx;
    if (i + step_i < 0 || i + step_i >= nx || j + step_j < 0 || j + step_j >= film->grid.ny)
        return;
    int *nearest = film->columns.nearest, cell = j * nx + i, other = nearest[cell + step_j * nx + step_i];
    if (other >= 0 && (nearest[cell] < 0 || distance2(film, cell, other) < distance2(film, cell, nearest[cell])))
        nearest[cell] = other;
}

/* One pass over the rows looking back at what has been passed, to the left first and then to the right. */
static void spread_row(rn_film *film, int j, int back)
{
    const int nx = film->grid.nx;
    for (int i = 0; i < nx; i++)
        for (int step_i = -1; step_i <= 1; step_i++)
            consider(film, i, j, step_i, back);
    for (int i = 0; i < nx; i++)
        consider(film, i, j, -1, 0);
    for (int i = nx - 1; i >= 0; i--)
        consider(film, i, j, 1, 0);
}

/* Columns without paint take the nearest one with: where the film goes next, until the columns are set anew. */
static void fill_bare(rn_film *film)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        spread_row(film, j, -1);
    for (int j = grid->ny - 1; j >= 0; j--)
        spread_row(film, j, 1);
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            int from = film->columns.nearest[j * grid->nx + i];
            if (from == j * grid->nx + i)
                continue;
            for (int level = 0; level < film->columns.levels; level++) {
                const long to = level_at(film, level, i, j),
                           as = level_at(film, level, from % grid->nx, from / grid->nx);
                film->columns.law_of[to] = film->columns.law_of[as];
                film->columns.foot[to] = film->columns.foot[as];
            }
        }
}

static bool same_law(const rn_law *a, const rn_law *b)
{
    return a->consistency == b->consistency && a->power == b->power && a->yield == b->yield;
}

/* Finds out which laws are at work; false if all of them are the film's own. */
static bool judge_laws(rn_film *film, const bool *used, int law_count)
{
    rn_film_columns *columns = &film->columns;
    bool differs = false;
    film->newtonian = columns->table.straight = true;
    for (int law = 0; law < law_count; law++) {
        if (!used[law])
            continue;
        rn_law_table_set(&columns->table, law, &columns->laws[law]);
        columns->table.straight = columns->table.straight && columns->laws[law].power == 1;
        film->newtonian = film->newtonian && rn_law_is_newtonian(&columns->laws[law]);
        differs = differs || !same_law(&columns->laws[law], &film->options.law);
    }
    return differs;
}

/* 3 int (1-s)^2 f ds over the column, where f is a number of each law: exactly that number where all are the same. */
static double weighted(const rn_film *film, const double *of_law, size_t at)
{
    const rn_film_columns *columns = &film->columns;
    const unsigned char *law_of = columns->law_of + at;
    double sum = of_law[law_of[0]];
    for (int level = 1; level < columns->levels; level++) {
        const unsigned char below = law_of[(level - 1) * film->cells], law = law_of[level * film->cells];
        if (law == below)
            continue;
        const double share = 1 - columns->foot[level * film->cells + (long)at] / (double)RN_FOOT_UNIT;
        sum += share * share * share * (of_law[law] - of_law[below]);
    }
    return sum;
}

static void mirror_ends(const rn_film *film, double *row)
{
    const int nx = film->grid.nx;
    row[-1] = row[-2] = row[0];
    row[nx] = row[nx + 1] = row[nx - 1];
}

void rn_film_columns_survey(rn_film *film)
{
    rn_film_columns *columns = &film->columns;
    double apparent[RN_COLUMN_LAWS], fluidity[RN_COLUMN_LAWS];
    for (int law = 0; law < columns->law_count; law++) {
        apparent[law] = 1 / rn_law_viscosity(&columns->laws[law], 1);
        fluidity[law] = rn_law_floor_fluidity(&columns->laws[law]);
    }
    columns->least_viscosity = INFINITY;
    for (int j = 0; j < film->grid.ny; j++) {
        for (int i = 0; i < film->grid.nx; i++) {
            const size_t at = RN_AT(film, i, j);
            columns->fluidity[at] = weighted(film, fluidity, at);
            columns->viscosity[at] = 1 / weighted(film, apparent, at);
            columns->least_viscosity = fmin(columns->least_viscosity, columns->viscosity[at]);
        }
        mirror_ends(film, columns->fluidity + RN_AT(film, 0, j));
    }
}

rn_status rn_film_set_columns(rn_film *film, const unsigned char *laws_of, const uint16_t *foot, int levels,
                              const rn_law *laws, int law_count, rn_error *err)
{
    rn_film_columns *columns = &film->columns;
    const rn_grid *grid = &film->grid;
    if (laws_of) {
        assert(levels > 0 && law_count > 0 && law_count <= RN_FILM_LAWS);
        rn_status status = allocate(film, levels, err);
        if (status != RN_OK)
            return status;
    }
    columns->on = false;
    film->newtonian = rn_law_is_newtonian(&film->options.law);
    if (!laws_of)
        return RN_OK;
    columns->levels = levels;
    columns->law_count = law_count;
    memcpy(columns->laws, laws, (size_t)law_count * sizeof *laws);
    bool used[RN_COLUMN_LAWS] = {false}, any = false;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            const int cell = j * grid->nx + i;
            bool painted = film->inside[cell] && take_column(film, i, j, laws_of, foot, law_count);
            columns->nearest[cell] = painted ? cell : -1;
            for (int level = 0; level < levels && painted; level++)
                used[columns->law_of[level_at(film, level, i, j)]] = true;
            any = any || painted;
        }
    columns->on = any && judge_laws(film, used, law_count);
    if (!columns->on) {
        film->newtonian = rn_law_is_newtonian(&film->options.law);
        return RN_OK;
    }
    fill_bare(film);
    rn_film_columns_survey(film);
    return RN_OK;
}
