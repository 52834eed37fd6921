/* A history's insides, shared by history.c and history_saved.c. Not a public header. */
#ifndef RN_FILM_HISTORY_STATE_H
#define RN_FILM_HISTORY_STATE_H

#include <stdint.h>

#include "film/history.h"

#define RN_HISTORY_QUANTITIES 4

typedef struct rn_interval {
    double end;         /* [s] */
    int i0, i1, j0, j1; /* window */
    float unit[RN_HISTORY_QUANTITIES];
    int16_t *numbers; /* (j1-j0)*(i1-i0)*RN_HISTORY_QUANTITIES, owned */
    uint8_t *yielded; /* (j1-j0)*(i1-i0): share of 255; NULL without yield stress; owned */
    float *spill;     /* place_count; NULL where nothing left the panel; owned */
} rn_interval;

/* A cell just off a round panel moves as that one does. */
typedef struct rn_rim_cell {
    int at, as;
} rn_rim_cell;

struct rn_history {
    rn_grid grid;
    double now, begun; /* time reached; when the interval at hand began [s] */
    double *before;    /* depth when it began, ny*nx [m] */
    double *qx, *qy;   /* integrals of the fluxes over it, ny*nx of cell means [m2] */
    double *spread;    /* of div q [m] */
    double *feed;      /* of s [m] */
    int place_count;
    rn_spill_place *places;
    double *spill;     /* over each place in the interval at hand [m3] */
    float *motion;     /* the interval's means, RN_HISTORY_QUANTITIES per cell, before they are packed */
    float *greatest;   /* per row and quantity */
    uint8_t *yielded;  /* ny*nx, of the interval at hand; NULL without yield stress */
    double *flux_at;   /* SHARES + 1: the scaled flux at which that share of a film has yielded */
    double flux_scale; /* (tau_y/K)^(1/n) [1/s] */
    int count, size;
    rn_interval *intervals;
    long bytes;
    int rim_count; /* cells just off a round panel */
    rn_rim_cell *rim;
    int forgotten; /* intervals */
    int column_count, column_size, columns_forgotten;
    rn_history_columns *columns; /* owned, with what they hold */
    int viscosity_count;
    double viscosities[RN_FILM_LAWS];
};

/* Begins the next interval with the film as it is. */
void rn_history_begin(rn_history *history, const rn_film *film);

/* A copy of its own (false if there is no memory), letting go of it, and its bytes. */
bool rn_history_columns_copy(rn_history_columns *to, const rn_history_columns *from);
void rn_history_columns_let_go(rn_history_columns *columns);
long rn_history_columns_bytes(const rn_history_columns *columns);

/* Lets go of what an interval holds of the film's cells, and of all that it holds. */
void rn_interval_let_go(rn_interval *kept);
void rn_interval_clear(rn_interval *kept);

static inline long rn_interval_cells(const rn_interval *kept)
{
    return (long)(kept->i1 - kept->i0) * (kept->j1 - kept->j0);
}

/* Memory of an interval's cells. */
static inline long rn_interval_bytes(const rn_interval *kept)
{
    return rn_interval_cells(kept) *
           ((kept->numbers ? RN_HISTORY_QUANTITIES * (long)sizeof *kept->numbers : 0) + (kept->yielded ? 1 : 0));
}

#endif
