/* The program around the view: studios that work plans out, what they have answered, files. Knows nothing of SDL; draws on any
   surface, so that a picture, a test and a window are the same. */
#ifndef APP_H
#define APP_H

#include <cairo.h>
#include <stdbool.h>

#include "canvas.h"
#include "mapping.h"
#include "view.h"

typedef struct rv_app rv_app;

typedef struct rv_app_options {
    int cells;                   /* the plan's grid, along the longer side; 256 */
    int preview;                 /* the quick one; 96 */
    int points;                  /* of the face, along the longer side; 512 */
    int threads;                 /* of the fine studio; 0: one per processor */
    bool keeps;                  /* recent plans and benches in the state folder; false for tests and pictures */
    bool asks;                   /* by the desktop's own dialogs where there are any */
    void (*wake)(void *context); /* from a studio's thread; may be NULL */
    void *context;
    bool caches;           /* outcomes that the window of plans needs are kept where the command line keeps its own */
    rn_study_model *model; /* of that window's runs; NULL: sessions */
    void *model_context;
} rv_app_options;

rv_app_options app_defaults(void);

rn_status app_new(rv_app **app, rv_app_options options, rn_error *err);
void app_free(rv_app *app);

rv_view *app_view(rv_app *app);

/* Opens a plan, as if it had been dropped on the window. */
void app_open(rv_app *app, const char *path);

/* Something happened. */
void app_apply(rv_app *app, const rv_input *input);

/* Lets studios know what is wanted, takes what they have answered, does errands. True if the next frame differs. */
bool app_update(rv_app *app);

/* Draws a frame on a surface of the view's size; check may be NULL. */
bool app_draw(rv_app *app, cairo_surface_t *surface, rv_frame_check *check);

/* Whether all that the page shows is worked out at the plan's grid, or never will be. */
bool app_still(const rv_app *app);

/* What is known of the plan at a place. */
const rv_shown *app_shown(const rv_app *app, int place);

bool app_leaves(const rv_app *app); /* the program is to end */

/* "runnel - Tide table *". */
void app_title(char *text, int size, const rv_app *app);

#endif
