/* The whole program but its window, for tests: frames go by, what is drawn is measured, hands are on it. */
#ifndef PROGRAM_H
#define PROGRAM_H

#include "app.h"
#include "hand.h"
#include "mapped.h"

#define PROGRAM_PLAN "presets/small-study.yaml"
#define PROGRAM_SMALL "tests/viewer/one-tilt.yaml" /* worked out in a moment */
/* A wait that will not end ends so [s]; the tests' own limit comes first. */
#define PROGRAM_LONGEST 3600.0

rn_plan *program_plan(void); /* the plan above alone; the caller's */

typedef struct program {
    rv_app *app;
    rv_view *view;            /* the app's */
    cairo_surface_t *surface; /* what is drawn on */
    painter hand;
    mapped_model *model; /* of the runs of its window of plans that work; NULL: sessions */
} program;

/* Begins with the plan above, drawing on that surface, which is the program's from now on. There is only one at a time. */
program *program_begin(rv_app_options options, cairo_surface_t *surface);
void program_end(program *p);

/* A sixtieth of a second goes by; fails where texts meet or stand outside. */
void program_frame(program *p);

/* The same, and nothing is drawn. */
void program_pass(program *p);

/* Frames go by until that is so; fails if it never is. */
void program_wait(program *p, bool reached(program *));
bool program_still(program *p); /* all that is shown is worked out */

/* An edit of the plan on the bench; the draft is the document's. */
void program_change(program *p, rn_plan *draft);

/* ---- with the window of plans that work, whose runs are a formula (see mapped.h) ---- */

program *program_mapped(bool shut);                         /* the window was not looked at yet */
void program_show(program *p);                              /* it is, from now on */
program *program_shown(bool shut, bool reached(program *)); /* both, and waits */

/* As program_mapped, drawn on a surface that becomes its own. */
program *program_mapped_on(cairo_surface_t *surface, bool shut);

const rv_map *program_map(const program *p);
bool program_begun(program *p);    /* there is a window */
bool program_complete(program *p); /* and nothing of it is left to work out, for the plan as it is */

#endif
