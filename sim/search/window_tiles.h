/* The tiles of a window as its passes see them: which are known, what the others are told to be, which must be run. */
#ifndef RN_SEARCH_WINDOW_TILES_H
#define RN_SEARCH_WINDOW_TILES_H

#include "search/window.h"

/* Lines of an axis: those of the first pass, then in between by halves until every tile is on one. */
#define RN_WINDOW_LINES 9

struct rn_window {
    rn_plan *plan;
    rn_dial x, y;
    rn_goal goal;
    rn_window_options options;
    rn_tile *tiles;      /* row by row */
    rn_tile_kind *guess; /* of all tiles, also of those that are still to be run */
    bool *wanted;        /* still to be run */
    int *column_rank;    /* 0: a line of the first pass; else the halving that makes a line of it */
    int *row_rank;
    int ranks; /* one more than the highest */
};

/* Gives each of `count` tiles along an axis its rank; returns the highest. */
int rn_window_rank(int *rank, int count);

/* Judges the tiles that were run, tells the others from them, and marks those that must be run. */
void rn_window_tell(rn_window *window);

/* What the next pass runs: places of tiles, row by row, into a list with room for all; returns how many. */
int rn_window_next(int *places, const rn_window *window);

/* The value of an axis at a place given in tiles. */
double rn_window_value(const rn_dial *dial, int count, double along);

#endif
