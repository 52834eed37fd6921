/* The film's motion, remembered: for every interval of time the mean velocity in each cell, how fast the film there
   spreads thin, and how fast sources feed it. Made from the fluxes of the accepted steps, so that depths close. */
#ifndef RN_FILM_HISTORY_H
#define RN_FILM_HISTORY_H

#include "base/error.h"
#include "base/parallel.h"
#include "film/height.h"

/* Longest interval that keeps bands in place [s]; steps are to be no longer. */
#define RN_HISTORY_INTERVAL 0.2

typedef struct rn_history rn_history;

/* What is remembered in a cell, means over an interval. */
typedef struct rn_motion_cell {
    float u, v;   /* depth-mean velocity, q/h [m/s] */
    float spread; /* div q / h [1/s] */
    float feed;   /* s / h, all sources [1/s] */
} rn_motion_cell;

/* For a film of this grid; starts at time 0. */
rn_status rn_history_new(rn_history **history, const rn_film *film, rn_error *err);
void rn_history_free(rn_history *history);

/* Takes in the step of length dt [s] that the film has just made. */
rn_status rn_history_note(rn_history *history, const rn_film *film, double dt, rn_error *err);

/* Ends the interval at hand, if it has begun: intervals then end at this moment. */
rn_status rn_history_close(rn_history *history, const rn_film *film, rn_error *err);

/* After paint has been laid down at once: an interval of no length whose `feed` is the share of the new film that is
   new paint [-]. The interval before must have been closed. */
rn_status rn_history_jump(rn_history *history, const rn_film *film, rn_error *err);

const rn_grid *rn_history_grid(const rn_history *history);
int rn_history_count(const rn_history *history);              /* intervals */
double rn_history_time(const rn_history *history, int index); /* when interval `index` begins; count: the end [s] */
long rn_history_bytes(const rn_history *history);

/* The last interval that begins before t; -1 if none does. */
int rn_history_find(const rn_history *history, double t);

/* Where paint can leave the panel: faces of its rim. */
typedef struct rn_spill_place {
    float x, y; /* middle of the cell inside [m] */
    int side;   /* 0 front, 1 right, 2 back, 3 left */
} rn_spill_place;

/* All of them; and what went over each in one interval [m3], NULL where nothing did. Valid as long as the history. */
int rn_history_places(const rn_spill_place **places, const rn_history *history);
const float *rn_history_spill(const rn_history *history, int index);

/* One interval's cells, ny*nx row-major. */
void rn_history_read(rn_motion_cell *cells, const rn_history *history, int index, rn_team *team);

/* Whether the liquid has a yield stress; then what share of each cell's film yielded, 0..1, ny*nx. */
bool rn_history_has_yield(const rn_history *history);
void rn_history_read_yielded(float *yielded, const rn_history *history, int index);

/* What the columns of a layered film are made of from a time on: a lattice over the panel in levels, the first at the
   panel. */
typedef struct rn_history_columns {
    double begins; /* [s] */
    int nx, ny, levels;
    unsigned char *law; /* levels*ny*nx: index into the viscosities; beyond them: none */
    uint16_t *foot;     /* levels*ny*nx: where a level begins, as rn_film_set_columns has it; NULL: they are equal */
} rn_history_columns;

/* From `begins` on, not before an earlier call's; law and foot are copied. viscosities[count] [Pa s]: of the laws, the same in
   every call; of laws that are not a plain viscosity the apparent one at a shear rate of 1/s. */
rn_status rn_history_note_columns(rn_history *history, const rn_history_columns *columns, const double *viscosities,
                                  int count, rn_error *err);

/* Those that hold when interval `index` begins; NULL if none were noted. */
const rn_history_columns *rn_history_columns_at(const rn_history *history, int index);
const double *rn_history_viscosities(int *count, const rn_history *history);

/* Lets go of what is remembered of the intervals that end by then, but not of a jump at that very moment, which whoever
   traces from then on has yet to see; they read as rest. What spilled in them is kept. */
void rn_history_forget(rn_history *history, double before);

#endif
