/* The window of plans that work, as the page and the hands know it: the tiles, what is known of single ones before they are all
   told, the faces along a row, and what was asked besides. Told by the program outside, like all that is worked out. */
#ifndef MAP_H
#define MAP_H

#include <cairo.h>

#include "search/window.h"
#include "survey.h"

#define MAP_COLUMNS 25 /* tiles; odd, so that one stands in the middle */
#define MAP_ROWS 13
#define MAP_CELLS 96 /* of a run */
#define MAP_FACES 7
#define MAP_NOTES_MOST (MAP_COLUMNS * MAP_ROWS)

/* The outcome of a tile that the tiles as a whole do not tell yet. */
typedef struct rv_map_note {
    int column, row;
    rn_outcome outcome;
} rv_map_note;

/* A face along the row or the column of this plan. */
typedef struct rv_map_face {
    double value;           /* of the axis */
    bool own;               /* this plan's */
    bool done;              /* it is worked out, or cannot be: no image */
    cairo_surface_t *image; /* NULL: none */
} rv_map_face;

/* What came of a question besides, or how far it has come. */
typedef struct rv_map_answer {
    bool working, done;
    int runs, of; /* of these so many are done */
    double left;  /* [s]; NaN: not known */
    char text[RV_ANSWER_SIZE];
    double value; /* a volume to take [m3]; NaN: none */
} rv_map_answer;

typedef struct rv_map {
    rn_window *window; /* NULL: there is none, and */
    char trouble[320]; /* why; or what stopped the search */
    long version;      /* of the plan that it was last held against */
    bool complete;     /* nothing is left to work out */
    rn_goal goal;      /* by which the tiles are judged */
    rv_map_note notes[MAP_NOTES_MOST];
    int note_count;
    bool upright; /* faces along the column, not the row */
    rv_map_face faces[MAP_FACES];
    rv_map_answer answers[RV_QUESTIONS];
} rv_map;

/* Of an outcome by a goal: what it is worked out to be. */
rn_tile_kind map_kind(const rn_goal *goal, const rn_outcome *outcome, rn_goal_verdict *verdict);

/* What is known of a tile, by what single ones told as well. */
rn_tile map_tile(const rv_map *map, int column, int row);

/* Whether the plan stands in this window: it is the window's own, or that with its axes turned to other values. */
bool map_holds(const rn_window *window, const rn_plan *plan);

/* Whether two plans are the same pour of the same jars. */
bool map_same_pour(const rn_plan *a, const rn_plan *b);

/* Where a plan stands on the axes: values, and in tiles. */
void map_values(double *x, double *y, const rn_window *window, const rn_plan *plan);
void map_place(double *column, double *row, const rn_window *window, const rn_plan *plan);

/* The tile at a place, held within the window. */
void map_nearest_tile(int *column, int *row, const rn_window *window, double along_x, double along_y);

/* The window's plan at values of its axes, with the names, colours and wishes of `present`; the caller's. */
rn_status map_turn(rn_plan **turned, const rn_window *window, const rn_plan *present, double x, double y,
                   rn_error *err);

/* The value of an axis at one of its tiles. */
double map_value(const rn_window *window, bool upright, int tile);

/* The working tile nearest to a place, or, where nothing works, the tile that lacks least; false: neither. */
bool map_find_nearest(int *column, int *row, bool *works, const rv_map *map, double along_x, double along_y);

#endif
