/* A sheet of the telling moments of a session: the pour's face at each, with time, coverage and run-off under it. */
#ifndef RN_SHOW_MOMENTS_H
#define RN_SHOW_MOMENTS_H

#include <cairo.h>
#include <stdio.h>

#include "base/error.h"
#include "plan/plan.h"
#include "run/record.h"
#include "run/telling.h"
#include "show/pen.h"

typedef struct rn_moments_entry {
    rn_telling telling;
    rn_moment moment;
    cairo_surface_t *face; /* stays the caller's */
} rn_moments_entry;

typedef struct rn_moments_sheet {
    const rn_plan *plan;
    double paint; /* base and poured in all [m3] */
    int count;    /* 1..RN_TELLING_MOST */
    rn_moments_entry entries[RN_TELLING_MOST];
    bool dark;
} rn_moments_sheet;

/* How many pixels a face should have that is shown on a sheet of that width with so many entries. */
int rn_moments_face_pixels(int count, int width);

#define RN_MOMENTS_PAGE 1280.0 /* units across */

/* Draws it on a page of that height. */
double rn_moments_height(const rn_moments_sheet *sheet);
void rn_moments_draw(rn_pen *pen, const rn_moments_sheet *sheet);

/* Writes it as a PNG so many pixels wide; "-" goes to `standard`. */
rn_status rn_moments_write(const char *path, FILE *standard, const rn_moments_sheet *sheet, int width, rn_error *err);

#endif
