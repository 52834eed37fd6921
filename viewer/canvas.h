/* What every part of the window is drawn with: the pen, the place, the state, and a list that fills with what can be pressed.
   One frame is one pass over these; nothing is kept but the handles. */
#ifndef CANVAS_H
#define CANVAS_H

#include "show/pen.h"
#include "view.h"

typedef struct rv_canvas {
    rn_pen pen; /* scaled to units */
    rv_layout at;
    const rv_view *view;
    const rv_shown *shown; /* [PLACE_COUNT] */
    rv_handles *handles;
} rv_canvas;

/* Draws a whole frame of the view onto an image surface of its size; fills the view's handles and layout. overlaps (may be
   NULL): pairs of texts that stand too close, and `lost`: texts that were not checked. longer: every wording is made longer
   by this share, 0, 0.3 or 0.6, to see whether the layout holds in another language. False if no memory. */
typedef struct rv_frame_check {
    double longer;
    int overlaps, lost, outside; /* outside: texts that leave the window */
    char first[160];             /* where the first such pair stands */
} rv_frame_check;
bool canvas_frame(cairo_surface_t *surface, rv_view *view, const rv_shown shown[PLACE_COUNT], rv_frame_check *check);

/* A place to press: box [units]; what is dragged gets a target of at least 24 either way, 40 for a finger. */
void canvas_handle(rv_canvas *canvas, rv_part part, int a, int b, rn_box box);
void canvas_grip(rv_canvas *canvas, rv_part part, int a, int b, double x, double y); /* round (x, y) */

bool canvas_is(rv_part_at what, rv_part part, int a, int b);
bool canvas_focused(const rv_canvas *canvas, rv_part part, int a, int b); /* and to be shown */
bool canvas_dragged(const rv_canvas *canvas, rv_part part, int a, int b);

/* Brass: a knob with two short cuts, `turn` [rad] the way they lie; with the focus' ring if it has it. */
void canvas_knob(rv_canvas *canvas, double x, double y, double radius, double turn, bool focused);
void canvas_focus(rv_canvas *canvas, rn_box box); /* ink ring 1.5 wide, 4 outside */

/* The smallest that letters of a size may become on this screen: 10.4 pixels of the window's own measure [units]. */
double canvas_least_size(const rv_canvas *canvas, double full);

/* The first of the wordings that finds room whole, in smaller letters if need be; NULL ends the list. False and nothing
   drawn if none fits `most` [units], or it would leave the window or stand on another text. */
bool canvas_say(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *const wordings[]);

/* A text that must find room: tried at its size, then smaller, then cut to fewer words at a
   blank; false and nothing drawn if not even one word fits `most` [units] or it would stand on another text. */
bool canvas_words(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *text);

/* The signs of state; centre at (x, y), about 13 wide. */
typedef enum rv_tile {
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
} rv_tile;
void canvas_tile(rv_canvas *canvas, double x, double y, rv_tile tile, double share);

/* A millilitre or a fluid ounce, as the painter prefers [m3]. */
double canvas_volume_unit(const rv_canvas *canvas);
/* The way it turns: a sign for counter-clockwise, or for clockwise where `turn` is less than 0. */
const char *canvas_sense(double turn);

/* Whether a picture of a plan is of another moment than the one shown. One that is only on its way does not count: a hand
   that drags the time, or play, sees it at once. */
bool canvas_apart(const rv_canvas *canvas, const rv_studio_picture *picture, const rn_plan *plan);

/* What is said of such a picture, longest first. */
typedef struct rv_apart_words {
    char text[48], less[24];
} rv_apart_words;
rv_apart_words canvas_apart_words(const rv_studio_picture *picture);

/* A note on a plate with the sign of what is not worked out yet, on a face whose middle is (cx, cy) and that has so much room
   either way: below its middle, or wherever no text stands. The first wording that finds a place; false if none does. */
bool canvas_notice(rv_canvas *canvas, double cx, double cy, double room, const char *const wordings[]);

/* A path: a box with rounded corners. */
void canvas_plate(cairo_t *cr, rn_box box, double radius);

/* Paint that runs from a spoon held at (x, y), in a place so high: a long thin thread for thin paint, a short thick blob for
   stiff. */
void canvas_thread(rv_canvas *canvas, double x, double y, double height, double viscosity, const uint8_t rgb[3]);

/* Volume in ml or fl oz as the painter prefers, with its unit; rounded for reading. */
const char *canvas_volume(const rv_canvas *canvas, char *text, int size, double volume);

/* The moment of a tale's record that is shown at that time, linear between two; false if it is not worked out. */
bool canvas_moment(rn_moment *moment, const rv_studio_tale *tale, double time);

/* The moment that is told of the plan on the bench: the one shown, or in a rehearsal, whose film is worked out a little behind
   the hands, the last one known by then. Tale and picture are of the plan as it stands, or NULL. */
bool canvas_told(rn_moment *moment, const rv_canvas *canvas, const rv_studio_tale *tale,
                 const rv_studio_picture *picture);

#endif
