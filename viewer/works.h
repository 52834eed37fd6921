/* The window of plans that work: where its parts stand, for what is drawn and what is pressed alike, and the files that draw
   them. */
#ifndef WORKS_H
#define WORKS_H

#include "canvas.h"
#include "limit.h"
#include "outcome.h"

typedef struct rv_works_at {
    rn_box field; /* the tiles */
    rn_box strip; /* below */
    rn_box faces[MAP_FACES];
    double left;          /* width of the strip's words at its left end */
    rn_box track[LIMITS]; /* of each limit's knob */
    double limits_end;    /* y */
} rv_works_at;

rv_works_at works_place(const rv_layout *at);

/* The tile at a place of the page [units], or its middle; false outside of the field. */
bool works_tile_at(int *column, int *row, const rv_layout *at, const rn_window *window, double x, double y);
void works_middle(double *x, double *y, const rv_layout *at, const rn_window *window, double column, double row);

/* The tile that is looked at: held by keys, else under the pointer. False: none. */
bool works_looked_at(int *column, int *row, const rv_view *view);

/* The sentence about the map: what was tried and works, this plan, the nearest that works; the number of phrases. */
int works_phrases(rv_phrase *phrases, const rv_canvas *canvas);

/* The sign and the colour of a kind. */
rv_tile works_sign(rn_tile_kind kind);
rn_role works_role(rn_tile_kind kind);

/* "falls short", "runs off too little": a tile in two or three words; shorter: "short", "too little". */
const char *works_word(const rn_goal *goal, const rn_tile *tile, bool shorter);

/* "falls short by 0.07 mm", "runs off 4 ml too much": the demand that fails worst; "works". */
void works_say(char *text, int size, const rn_goal *goal, const rn_goal_verdict *verdict, bool ounces);

/* "1.3 Pa·s, 405 ml": values of the window's axes. */
void works_say_place(char *text, int size, const rn_window *window, double x, double y, bool ounces);

/* A plate for words over the tiles, and words on one that has room; false where it has not. */
bool works_has_room(const rv_canvas *canvas, rn_box plate);
void works_plate(rv_canvas *canvas, rn_box box, rn_role edge);
bool works_label(rv_canvas *canvas, double x, double y, double most, rn_tile_kind kind, const char *text);

void works_tiles(rv_canvas *canvas, const rv_works_at *at); /* works_tiles.c: the field, the pin */
void works_axes(rv_canvas *canvas, const rv_works_at *at);  /* works_axes.c */
/* The same: what an axis can be, over the tiles; width 0: no list lies open. */
rn_box works_list_box(rv_canvas *canvas, const rv_works_at *at);
void works_list(rv_canvas *canvas, rn_box box);
void works_limits(rv_canvas *canvas, const rv_works_at *at); /* works_limits.c: what must hold, what is looked at */
void works_faces(rv_canvas *canvas, const rv_works_at *at);  /* works_faces.c: the strip */

#endif
