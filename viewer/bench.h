/* What the parts of the bench share: what is known of the moment shown, how the panel stands on the page, and words that
   give way or lie at an angle. */
#ifndef BENCH_H
#define BENCH_H

#include "canvas.h"

typedef struct rv_bench {
    const rn_plan *plan;
    double turned;                    /* how far the panel is drawn turned [rad]; 0 unless in room view */
    double table;                     /* how far the table has turned [rad] */
    double rate;                      /* [rad/s] */
    const rv_studio_tale *tale;       /* these are of the plan as it stands, or NULL */
    const rv_studio_picture *picture; /* as above */
    const rv_studio_pull *pull;
    const rv_studio_picture *seen; /* what there is to be seen, of whatever plan; may be NULL */
    bool known;                    /* the moment shown is worked out: */
    rn_moment moment;
} rv_bench;

rv_bench bench_look(const rv_canvas *canvas);

/* Whether an answer is of the plan that stands on the bench. */
bool bench_current(const rv_canvas *canvas, long version);

/* Face, drips and maps come from a picture, words and figures from the tale, which may run ahead of it or be of a finer
   grid. How what is seen stands to what is told. */
typedef enum rv_age {
    AGE_NONE,    /* nothing is seen, or it is what is told */
    AGE_CHANGED, /* it is of the plan before a change */
    AGE_MOMENT,  /* of another moment */
    AGE_GRID,    /* of the same moment, on another grid */
    AGE_ROUGH,   /* of the same moment and grid, but found from faces near by */
} rv_age;
rv_age bench_age(const rv_canvas *canvas, const rv_bench *bench);

bool bench_shows(const rv_canvas *canvas, rv_sheet sheet);

/* A text round (x, y) that lies at an angle, counter-clockwise [rad]; false and nothing drawn if it would stand on another
   or leave the window. */
bool bench_lay(rv_canvas *canvas, double x, double y, double angle, rn_letters letters, const char *text);

/* Between these two what is drawn at the place of the panel square to the reader is turned with it. */
void bench_turn(rv_canvas *canvas, const rv_bench *bench);
void bench_turn_back(rv_canvas *canvas);

/* The outline of the panel, grown by so much, as the path. */
void bench_outline(rv_canvas *canvas, const rv_bench *bench, double grown);

/* Paint that has gone over the edges, and how much of it (fringe.c). */
void fringe_draw(rv_canvas *canvas, const rv_bench *bench);

/* How many drips hang along an edge of a rectangle, or a quarter of a disc, and how long each is as a share of the
   longest that the plan will have (fringe.c). */
#define FRINGE_MOST 64
int fringe_drips(double share[FRINGE_MOST], const rv_bench *bench, const rv_layout *at, rn_side side);

/* How much has gone over each edge by the moment that the sentence tells [m3]; NULL: that is not worked out. */
const double *fringe_run_off(const rv_bench *bench);

/* The four corners' notes; bearings[RN_CORNERS]: where corners or their leaders cross the ring [rad] (corners.c). */
void corners_draw(rv_canvas *canvas, const rv_bench *bench, double bearings[RN_CORNERS]);

typedef struct rv_corner_note {
    rv_tile tile;
    rn_role role; /* of the head */
    char head[40], foot[48];
} rv_corner_note;
rv_corner_note corners_note(const rv_bench *bench, double time, int corner);

#endif
