/* What outlives a step: the depth; the fluxes, by which the next step knows its front and the film its speed; what the rim
   remembers; the columns; and the step control. All else is worked out anew in every attempt, and is left 0 as in a new
   film, so that nothing of a wider window stands outside a narrower one. */
#include "film/saved.h"

#include <stdlib.h>
#include <string.h>

#include "film/state.h"

#define FIELDS 3 /* h, qx, qy */

typedef struct rim {
    double spilled, side_volume, side_wetted, passed;
} rim;

struct rn_film_saved {
    int i0, i1, j0, j1;
    double *fields;          /* each over the window, two cells to either side and a row beyond */
    rim *rim;                /* of each face */
    unsigned char *law_of;   /* the columns' levels of padded cells; NULL where they are off, */
    uint16_t *foot;          /* as is this */
    rn_film_columns columns; /* without what it owns */
    bool newtonian, held_back;
    double run_off[4], next_dt;
    long steps, rejected, limited;
    long bytes;
};

static size_t row_length(const rn_film_saved *saved)
{
    return (size_t)(saved->i1 - saved->i0 + 4);
}

static size_t row_count(const rn_film_saved *saved)
{
    return (size_t)(saved->j1 - saved->j0 + 1);
}

/* Row `row` of the window, of field `field`. */
static double *kept_row(const rn_film_saved *saved, int field, size_t row)
{
    return saved->fields + ((size_t)field * row_count(saved) + row) * row_length(saved);
}

static double *film_row(const rn_film *film, const rn_film_saved *saved, int field, size_t row)
{
    double *const fields[FIELDS] = {film->h, film->qx, film->qy};
    return fields[field] + RN_AT(film, saved->i0 - 2, saved->j0 + (int)row);
}

static bool allocate(rn_film_saved *made, const rn_film *film)
{
    const size_t fields = FIELDS * row_count(made) * row_length(made) * sizeof *made->fields;
    const size_t rims = (size_t)film->edges.count * sizeof *made->rim;
    const size_t laws = film->columns.on ? (size_t)(film->columns.levels * film->cells) : 0;
    made->fields = malloc(fields);
    made->rim = malloc(rims + 1);
    made->law_of = laws ? malloc(laws) : NULL;
    made->foot = laws ? malloc(laws * sizeof *made->foot) : NULL;
    made->bytes = (long)(sizeof *made + fields + rims + laws * (1 + sizeof *made->foot));
    return made->fields && made->rim && ((made->law_of && made->foot) || !laws);
}

rn_status rn_film_save(rn_film_saved **saved, const rn_film *film, rn_error *err)
{
    rn_film_saved *made = calloc(1, sizeof *made);
    if (made) {
        made->i0 = film->i0;
        made->i1 = film->i1;
        made->j0 = film->j0;
        made->j1 = film->j1;
    }
    if (!made || !allocate(made, film)) {
        rn_film_saved_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory to keep the film");
    }
    for (int field = 0; field < FIELDS; field++)
        for (size_t row = 0; row < row_count(made); row++)
            memcpy(kept_row(made, field, row), film_row(film, made, field, row),
                   row_length(made) * sizeof *made->fields);
    for (int f = 0; f < film->edges.count; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        made->rim[f] = (rim){face->spilled, face->side_volume, face->side_wetted, face->passed};
    }
    const size_t laws = (size_t)(film->columns.levels * film->cells);
    if (made->law_of) {
        memcpy(made->law_of, film->columns.law_of, laws);
        memcpy(made->foot, film->columns.foot, laws * sizeof *made->foot);
    }
    made->columns = film->columns;
    made->newtonian = film->newtonian;
    made->held_back = film->held_back;
    made->next_dt = film->next_dt;
    memcpy(made->run_off, film->run_off, sizeof made->run_off);
    made->steps = film->steps;
    made->rejected = film->rejected;
    made->limited = film->limited;
    *saved = made;
    return RN_OK;
}

void rn_film_saved_free(rn_film_saved *saved)
{
    if (!saved)
        return;
    free(saved->fields);
    free(saved->rim);
    free(saved->law_of);
    free(saved->foot);
    free(saved);
}

long rn_film_saved_bytes(const rn_film_saved *saved)
{
    return saved->bytes;
}

static void clear(rn_film *film)
{
    double *const arrays[] = {film->h, film->h1, film->k, film->w, film->qx, film->qy, film->source};
    rn_slope *const slopes[] = {film->mx, film->lx, film->rx, film->my, film->ly, film->ry};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++)
        memset(arrays[a], 0, (size_t)film->cells * sizeof **arrays);
    for (size_t a = 0; a < sizeof slopes / sizeof *slopes; a++)
        memset(slopes[a], 0, (size_t)film->cells * sizeof **slopes);
    film->source_on = false;
}

static void restore_columns(rn_film *film, const rn_film_saved *saved)
{
    rn_film_columns *columns = &film->columns;
    columns->on = saved->columns.on;
    if (!columns->on)
        return;
    columns->levels = saved->columns.levels; /* there is memory for them: it only grows */
    columns->law_count = saved->columns.law_count;
    memcpy(columns->laws, saved->columns.laws, sizeof columns->laws);
    columns->table = saved->columns.table;
    memcpy(columns->law_of, saved->law_of, (size_t)(columns->levels * film->cells));
    memcpy(columns->foot, saved->foot, (size_t)(columns->levels * film->cells) * sizeof *columns->foot);
    rn_film_columns_survey(film);
}

void rn_film_restore(rn_film *film, const rn_film_saved *saved)
{
    clear(film);
    rn_film_set_window(film, saved->i0, saved->i1, saved->j0, saved->j1);
    for (int field = 0; field < FIELDS; field++)
        for (size_t row = 0; row < row_count(saved); row++)
            memcpy(film_row(film, saved, field, row), kept_row(saved, field, row),
                   row_length(saved) * sizeof *saved->fields);
    for (int f = 0; f < film->edges.count; f++) {
        rn_edge_face *face = &film->edges.faces[f];
        face->spilled = saved->rim[f].spilled;
        face->side_volume = saved->rim[f].side_volume;
        face->side_wetted = saved->rim[f].side_wetted;
        face->passed = saved->rim[f].passed;
    }
    restore_columns(film, saved);
    film->newtonian = saved->newtonian;
    film->held_back = saved->held_back;
    film->next_dt = saved->next_dt;
    memcpy(film->run_off, saved->run_off, sizeof film->run_off);
    film->steps = saved->steps;
    film->rejected = saved->rejected;
    film->limited = saved->limited;
}

long rn_film_bytes(const rn_film *film)
{
    const long columns =
        film->columns.levels_most * film->cells * 3 + (film->columns.levels_most > 0 ? 2 : 0) * 8 * film->cells;
    return film->cells * (7 * (long)sizeof *film->h + 6 * (long)sizeof *film->mx) + columns;
}
