/* The pour as it looks from above: wet paint in its own colours under a soft light, on its panel, on the bench. */
#ifndef RN_SHOW_FACE_H
#define RN_SHOW_FACE_H

#include <cairo.h>
#include <stdbool.h>
#include <stdio.h>

#include "base/error.h"
#include "base/parallel.h"
#include "plan/plan.h"
#include "run/still.h"
#include "run/strata.h"

/* What is seen; all of it stays the caller's. */
typedef struct rn_face {
    const rn_plan *plan;
    const rn_still *still;
    const rn_strata *strata;
    int plane;     /* of the strata; the last is the face */
    double peeled; /* share of the depth taken off from the top: the relief shown is the rest's; 0 */
    bool dark;     /* bench in a dark room */
    bool sheen;    /* windows mirrored in the paint; false for judging colours */
    double margin; /* bench shown round the panel, as a share of its longer side; 0.06 */
} rn_face;

/* Renders into a new cairo image surface (RGB24) whose longer side, bench included, is `pixels`; the caller destroys it.
   Same bits for any team. */
rn_status rn_face_render(cairo_surface_t **image, const rn_face *face, int pixels, rn_team *team, rn_error *err);

/* As rn_face_render, written as PNG; "-" goes to `standard`. */
rn_status rn_face_write(const char *path, FILE *standard, const rn_face *face, int pixels, rn_team *team,
                        rn_error *err);

#endif
