/* One drawing on a page of its own, PNG, PDF or SVG by the suffix of its name, with the usual cautions at its foot. */
#ifndef RN_SHOW_LEAF_H
#define RN_SHOW_LEAF_H

#include "show/figure.h"
#include "show/pen.h"

typedef struct rn_leaf {
    const char *title;  /* of a PDF */
    double page_width;  /* units across the page */
    const void *matter; /* what is drawn; stays the caller's */
    /* The height that the page needs [units]; the pen is there to measure. */
    double (*height)(rn_pen *pen, const void *matter);
    /* Draws it on a page that has been painted with RN_ROLE_PAPER. False if no memory. */
    bool (*draw)(rn_pen *pen, double height, const void *matter);
} rn_leaf;

/* Writes the page; "-" is a PNG to `standard`. RN_E_USAGE for another suffix. */
rn_status rn_leaf_write(const char *path, FILE *standard, const rn_leaf *leaf, rn_figure_options options,
                        rn_error *err);

/* The line of cautions, at the foot of a page that is so wide and so high [units]. */
void rn_leaf_foot(rn_pen *pen, double width, double height);

/* Writes an image surface as PNG; "-" goes to `standard`. */
rn_status rn_leaf_save(const char *path, FILE *standard, cairo_surface_t *image, rn_error *err);

#endif
