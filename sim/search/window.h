/* The window of plans that work: what comes of a plan over two of its numbers, on a lattice of tiles that is worked out
   coarse to fine along its borders and told from its neighbours elsewhere. What must hold can be changed at any time:
   the tiles are judged again without a run. */
#ifndef RN_SEARCH_WINDOW_H
#define RN_SEARCH_WINDOW_H

#include "search/batch.h"
#include "search/dial.h"
#include "search/goal.h"
#include "search/study.h"

#define RN_WINDOW_TILES 32
#define RN_WINDOW_TILES_LEAST 4
#define RN_WINDOW_TILES_MOST 256

typedef struct rn_window_options {
    int columns, rows; /* tiles, along x and y */
    int cells;         /* of a run, along the longer side */
    bool pattern;      /* stretch and twist as well, also where the goal does not ask for them */
    bool every;        /* work every tile out, tell none from its neighbours */
} rn_window_options;

/* 32 by 32 tiles on the coarse grid of rn_least. */
rn_window_options rn_window_defaults(void);

/* What a tile is worked out to be; what fails worst, where several demands do. */
typedef enum rn_tile_kind {
    RN_TILE_OPEN,    /* nothing is known of it yet, or it lies at a border and is still to be run */
    RN_TILE_WORKS,   /* every demand is met */
    RN_TILE_SHORT,   /* too little is covered, too late, or too thin */
    RN_TILE_SPILLED, /* too much runs off - or too little, where some is wanted */
    RN_TILE_PULLED,  /* the design is stretched or twisted too far */
    RN_TILE_NONE,    /* makes no plan, or could not be worked out: outcome.why */
    RN_TILE_KINDS,
} rn_tile_kind;

typedef struct rn_tile {
    double x, y; /* the dials' values, magnitudes as in rn_dial, rounded to 3 or 4 digits */
    bool worked; /* a run of its own; else told from neighbours */
    rn_tile_kind kind;
    int worst;          /* the demand of the goal that fails worst; -1: none */
    double lack;        /* see rn_goal_verdict */
    rn_outcome outcome; /* state NONE where the tile is open; told: between those of its neighbours */
} rn_tile;

typedef struct rn_window rn_window;

/* The dial of an axis, as rn_dial_make, but narrower where from or to is left out (NULL): half of what the plan says, and
   twice as much. */
rn_status rn_window_axis(rn_dial *dial, const rn_plan *plan, const char *path, const char *from, const char *to,
                         rn_error *err);

/* The plan is copied. A dial of whole numbers has a tile for each of them at most; a goal that asks for stretch or twist
   makes it a window with `pattern`. RN_E_PLAN where the two dials speak of the same, the goal is empty, a range is too narrow
   for its tiles, or these are not within the bounds above. */
rn_status rn_window_new(rn_window **window, const rn_plan *plan, const rn_dial *x, const rn_dial *y,
                        const rn_goal *goal, const rn_window_options *options, rn_error *err);
void rn_window_free(rn_window *window);

/* For another thread to look at: shares nothing. */
rn_status rn_window_copy(rn_window **copy, const rn_window *window, rn_error *err);

/* The next pass: lists what must be run now, works it, judges all tiles. *more: a further pass is needed. Where the study
   was stopped what is done is kept, and *more is true. */
rn_status rn_window_refine(rn_window *window, bool *more, rn_study *study, rn_error *err);

/* Other demands: every tile is judged anew; borders that have moved may need further passes. A goal that asks for stretch or
   twist needs a window made with `pattern`: RN_E_PLAN. */
rn_status rn_window_judge(rn_window *window, const rn_goal *goal, rn_error *err);

/* All runs of a window in which every tile is worked out, row by row; the caller clears it. And a window from their
   outcomes: RN_E_PLAN where they are not as many as tiles; those that were not run stay to come. */
rn_status rn_window_list(rn_batch *batch, const rn_window *window, rn_error *err);
rn_status rn_window_take(rn_window *window, const rn_batch *batch, rn_error *err);

rn_window_options rn_window_options_of(const rn_window *window);
const rn_plan *rn_window_plan(const rn_window *window);
const rn_goal *rn_window_goal(const rn_window *window);
const rn_dial *rn_window_x(const rn_window *window);
const rn_dial *rn_window_y(const rn_window *window);
const rn_tile *rn_window_tile(const rn_window *window, int column, int row);

/* Tiles of a kind, tiles with a run of their own, tiles told from their neighbours, and tiles to come: all before the first
   pass is done, then those at borders; a border that turns out to lie elsewhere changes their number. */
int rn_window_count(const rn_window *window, rn_tile_kind kind);
int rn_window_worked(const rn_window *window);
int rn_window_told(const rn_window *window);
int rn_window_to_come(const rn_window *window);

/* The plan of a tile, or of other values of the dials, owned by the caller. RN_E_PLAN where there is none. */
rn_status rn_window_turn_to(rn_plan **turned, const rn_window *window, double x, double y, rn_error *err);
rn_status rn_window_turn(rn_plan **turned, const rn_window *window, int column, int row, rn_error *err);

/* Where a value stands along an axis, in tiles: 0 is the middle of the first, columns - 1 (rows - 1) of the last; may lie
   outside. */
double rn_window_along_x(const rn_window *window, double x);
double rn_window_along_y(const rn_window *window, double y);

/* The working tile that is farthest from all that does not work and from the window's edge, the nearest to the plan's own
   point where several are. radius: of the largest circle of working tiles around it, as a share of the axes' lengths;
   x_less, x_more ...: the values at its ends, to 3 digits. It says what tiles of this size tell: what lies between two tiles was
   not run, and a tile may be told from its neighbours. False where nothing works. */
typedef struct rn_window_best {
    int column, row;
    double radius;
    double x_less, x_more, y_less, y_more;
} rn_window_best;
bool rn_window_find_best(rn_window_best *best, const rn_window *window);

/* Another circle around the same tile. And how many tiles, its own among them, have their middle in it: with a run of their
   own, and told from their neighbours. */
void rn_window_narrow_best(rn_window_best *best, const rn_window *window, double radius);
void rn_window_inside(int *run, int *told, const rn_window *window, const rn_window_best *best);

/* The tile that was run and works nearest to a point given in tiles; false where there is none. */
bool rn_window_nearest(int *column, int *row, const rn_window *window, double along_x, double along_y);

/* What a tile with this outcome is. */
rn_tile_kind rn_window_kind(const rn_goal *goal, const rn_outcome *outcome);

/* Whether what runs off is less than is wanted, of a tile that is RN_TILE_SPILLED for it. */
bool rn_tile_is_dry(const rn_tile *tile, const rn_goal *goal);

/* "works", "falls short", "runs off too much", ...: a word or two for each kind. */
const char *rn_tile_word(rn_tile_kind kind);

#endif
