/* The design of a pour in figures: bands along eight bearings, how far they are turned and out of round, and how far the
   face has been pulled. Lengths on the page are units (see pen.h). */
#ifndef RN_SHOW_DESIGN_H
#define RN_SHOW_DESIGN_H

#include <stdio.h>

#include "base/error.h"
#include "plan/plan.h"
#include "run/circle.h"
#include "run/rings.h"
#include "run/spiral.h"
#include "run/stretch.h"
#include "show/figure.h"
#include "show/pen.h"

#define RN_DESIGN_WIDTH 1280.0 /* of the page */

/* What was measured on one face; all of it stays the caller's. */
typedef struct rn_design {
    const rn_plan *plan;
    double time;           /* of the face [s] */
    const rn_rings *rings; /* NULL: nothing was poured, or not asked for; so with the others */
    double mud;            /* from rn_rings_mud with RN_MUD_WIDTH */
    const rn_spiral *spiral;
    int circle_count; /* from the smallest outward; 0: none */
    const rn_circle_fate *circles;
    double drawn_at; /* when the circles were drawn [s] */
    const rn_stretch *stretch;
    double stretched_since; /* [s] */
} rn_design;

/* Each draws one figure with its heading into a box; what is missing in the design is said in words. */

/* Bands outward from the release's centre, a strip for each bearing in the paints' colours, and their widths. */
void rn_design_draw_bands(rn_pen *pen, rn_box box, const rn_design *design);

/* Against the distance from the centre: the twist of the circles, and the bearing that each ring is shifted to. */
void rn_design_draw_twist(rn_pen *pen, rn_box box, const rn_design *design);

/* How far from round: modes 1 to 12 of circles, each a small chart, as shares of its mean radius. */
void rn_design_draw_spectrum(rn_pen *pen, rn_box box, const rn_design *design);

/* The panel with what small circles have become, those pulled past the limit filled. */
void rn_design_draw_stretch(rn_pen *pen, rn_box box, const rn_design *design);

/* One sentence on the whole. */
void rn_design_headline(char *text, size_t size, const rn_design *design);

/* All of them on one page, which is that high. */
double rn_design_height(rn_pen *pen, const rn_design *design);
void rn_design_draw(rn_pen *pen, double height, const rn_design *design);

/* Writes the page; the path's suffix (.png, .pdf, .svg) says as what, "-" is a PNG to `standard`. */
rn_status rn_design_write(const char *path, FILE *standard, const rn_design *design, rn_figure_options options,
                          rn_error *err);

#endif
