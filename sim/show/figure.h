/* The forecast as one picture: the film with its corners, edges and arrival lines, and the clock of the plan. */
#ifndef RN_SHOW_FIGURE_H
#define RN_SHOW_FIGURE_H

#include <cairo.h>
#include <stdbool.h>
#include <stdio.h>

#include "base/error.h"
#include "plan/plan.h"
#include "run/forecast.h"
#include "run/record.h"

typedef struct rn_figure_options {
    double width; /* of the page: pixels in a PNG, points in PDF and SVG; 1600 */
    bool dark;    /* for a dark room; false */
} rn_figure_options;

rn_figure_options rn_figure_defaults(void);

/* RN_E_USAGE unless rn_figure_forecast knows the path's suffix. */
rn_status rn_figure_check_path(const char *path, rn_error *err);

/* What a picture is made from; all of it stays the caller's. */
typedef struct rn_figure {
    const rn_plan *plan;
    const rn_forecast *forecast;
    const rn_record *record;
} rn_figure;

/* Writes the picture; the path's suffix (.png, .pdf, .svg) says which kind, "-" is a PNG to `standard`.
   RN_E_USAGE for another suffix. */
rn_status rn_figure_forecast(const char *path, FILE *standard, const rn_figure *figure, rn_figure_options options,
                             rn_error *err);

#endif
