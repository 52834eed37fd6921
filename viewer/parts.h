/* The parts of the window, each in a file of its own; each draws itself into its box of the layout and adds its handles. */
#ifndef PARTS_H
#define PARTS_H

#include "canvas.h"

void outcome_draw(rv_canvas *canvas);     /* outcome.c: the sentence */
void name_draw(rv_canvas *canvas);        /* outcome.c: program, plan, views, F1, undo */
void shelf_draw(rv_canvas *canvas);       /* shelf.c: jars, base coat, panel */
void slip_draw(rv_canvas *canvas);        /* slip.c: the keys of one thing, on paper */
rn_box slip_box(const rv_canvas *canvas); /* the paper of the slip that lies open */
void bench_draw(rv_canvas *canvas);       /* bench.c: ring, panel, corners, fringe, index, rule */
void film_draw(
    rv_canvas *canvas); /* film.c: what lies on the panel: face, depth, arrival, peel, stretch, section line */
void dipstick_draw(rv_canvas *canvas); /* dipstick.c: the key to depth */
void level_draw(rv_canvas *canvas);    /* level.c: the bubble level and its words */
void sheets_draw(rv_canvas *canvas);   /* sheets.c: the six sheets' list */
void core_draw(rv_canvas *canvas);     /* core.c: the core under the pointer, or the section */
void clock_draw(rv_canvas *canvas);    /* clock.c: axis, curves, plumb line; calls lanes_draw */
void lanes_draw(rv_canvas *canvas);    /* lanes.c: releases, cords, wedges, rests */
void start_draw(rv_canvas *canvas);    /* start.c: an empty bench: tags, and what to begin from */
void side_draw(rv_canvas *canvas);     /* side.c: side by side, its own clock too */
void works_draw(rv_canvas *canvas);    /* works.c: the place of the window of plans that work */
void keys_draw(rv_canvas *canvas);     /* keys.c: all keys */
void cautions_draw(rv_canvas *canvas); /* cautions_page.c: warnings of this plan, the usual cautions */
void mend_draw(rv_canvas *canvas);     /* mend_page.c: a plan that was not opened; its text */
void ask_draw(rv_canvas *canvas);      /* ask.c: leaving, a typed path, a bench left behind */

#endif
