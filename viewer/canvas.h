/* What every part of the window is drawn with: the pen, the place, the state, and a list that fills with what can be pressed.
   One frame is one pass over these; nothing is kept but the handles. */
#ifndef CANVAS_H
#define CANVAS_H

#include "show/pen.h"
#include "view.h"

typedef struct canvas {
    rn_pen pen; /* scaled to units */
    layout at;
    const view *view;
    const shown *shown; /* [COLUMNS]; the bench shows the first */
    handles *handles;
} canvas;

/* Draws a whole frame of the view onto an image surface of its size; fills the view's handles and layout. overlaps (may be
   NULL): pairs of texts that stand too close, and `lost`: texts that were not checked. longer: every wording is made longer
   by this share, 0, 0.3 or 0.6, to see whether the layout holds in another language. False if no memory. */
typedef struct frame_check {
    double longer;
    int overlaps, lost, outside; /* outside: texts that leave the window */
    char first[160];             /* the first pair, in words */
} frame_check;
bool canvas_frame(cairo_surface_t *surface, view *view, const shown shown[COLUMNS], frame_check *check);

/* A place to press: box [units]; what is dragged gets a target of at least 24 either way, 40 for a finger. */
void canvas_handle(canvas *canvas, part part, int a, int b, rn_box box);
void canvas_grip(canvas *canvas, part part, int a, int b, double x, double y); /* round (x, y) */

bool canvas_is(const canvas *canvas, part_at what, part part, int a, int b);
bool canvas_focused(const canvas *canvas, part part, int a, int b); /* and to be shown */
bool canvas_dragged(const canvas *canvas, part part, int a, int b);

/* Brass: a knob with two short cuts, `turn` [rad] the way they lie; with the focus' ring if it has it. */
void canvas_knob(canvas *canvas, double x, double y, double radius, double turn, bool focused);
void canvas_focus(canvas *canvas, rn_box box); /* ink ring 1.5 wide, 4 outside */

/* A text that must find room: tried at its size, then smaller, down to 10.4 px on screen, then cut to fewer words at a
   blank; false and nothing drawn if not even one word fits `most` [units] or it would stand on another text. */
bool canvas_words(canvas *canvas, double x, double y, rn_letters letters, double most, const char *text);

/* The signs of state; centre at (x, y), about 13 wide. */
typedef enum tile {
    TILE_COVERED,
    TILE_PART, /* share */
    TILE_DUE,
    TILE_SHORT,
    TILE_RUN_OFF,
    TILE_PULLED,
    TILE_UNKNOWN,
    TILE_REFUSED,
    TILE_CORNER, /* last corner */
    TILE_THIN,   /* thinnest */
    TILE_TWIST,
} tile;
void canvas_tile(canvas *canvas, double x, double y, tile tile, double share);

/* Volume in ml or fl oz as the painter prefers, with its unit; rounded for reading. */
const char *canvas_volume(const canvas *canvas, char *text, int size, double volume);

/* Whether an answer is of the plan as it stands now. */
bool canvas_current(const shown *shown, long version);

/* The moment of a tale's record that is shown at that time, linear between two; false if it is not worked out. */
bool canvas_moment(rn_moment *moment, const studio_tale *tale, double time);

#endif
