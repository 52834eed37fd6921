#include "base/physical.h"
#include "canvas.h"

#include <math.h>
#include <stddef.h>

#define HALF 5.5 /* of a tile [units] */

static void square(cairo_t *cr, double x, double y)
{
    cairo_rectangle(cr, x - HALF, y - HALF, 2 * HALF, 2 * HALF);
}

static void dotted(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.3);
    cairo_set_dash(cr, (double[]){1.4, 1.6}, 2, 0);
    square(cr, x, y);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

/* Filled from below by a share. */
static void part(rv_canvas *canvas, double x, double y, double share)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.3);
    square(cr, x, y);
    cairo_stroke(cr);
    const double side = 2 * HALF * sqrt(fmin(fmax(share, 0), 1));
    cairo_rectangle(cr, x - HALF, y + HALF - side, side, side);
    cairo_fill(cr);
}

/* A corner broken off, and a dash inside. */
static void broken(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_SHORT);
    cairo_set_line_width(cr, 1.4);
    cairo_move_to(cr, x + HALF - 4.5, y - HALF);
    cairo_line_to(cr, x - HALF, y - HALF);
    cairo_line_to(cr, x - HALF, y + HALF);
    cairo_line_to(cr, x + HALF, y + HALF);
    cairo_line_to(cr, x + HALF, y - HALF + 4.5);
    cairo_stroke(cr);
    cairo_move_to(cr, x + HALF - 4.5, y - HALF);
    cairo_line_to(cr, x + HALF - 3.5, y - HALF + 3.5);
    cairo_line_to(cr, x + HALF, y - HALF + 4.5);
    cairo_stroke(cr);
    cairo_move_to(cr, x - 3, y + 2);
    cairo_line_to(cr, x + 2.5, y + 2);
    cairo_stroke(cr);
}

static void drop(cairo_t *cr, double x, double y, double length)
{
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x, y + length);
    cairo_stroke(cr);
    cairo_arc(cr, x, y + length, 1.9, 0, 2 * RN_PI);
    cairo_fill(cr);
}

static void drips(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_RUN_OFF);
    cairo_set_line_width(cr, 1.6);
    cairo_move_to(cr, x - 6.5, y - 5);
    cairo_line_to(cr, x + 6.5, y - 5);
    cairo_stroke(cr);
    drop(cr, x - 3, y - 5, 8.5);
    drop(cr, x + 3, y - 5, 5);
}

static void ellipse(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_PULLED);
    cairo_set_line_width(cr, 1.3);
    cairo_save(cr);
    cairo_translate(cr, x, y);
    cairo_rotate(cr, -0.6);
    cairo_save(cr);
    cairo_scale(cr, 7, 3.4);
    cairo_arc(cr, 0, 0, 1, 0, 2 * RN_PI);
    cairo_restore(cr);
    cairo_stroke(cr);
    cairo_move_to(cr, -4.5, 0);
    cairo_line_to(cr, 4.5, 0);
    cairo_stroke(cr);
    cairo_restore(cr);
}

static void crossed(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_SHORT);
    cairo_set_line_width(cr, 1.4);
    square(cr, x, y);
    cairo_move_to(cr, x - 2.8, y - 2.8);
    cairo_line_to(cr, x + 2.8, y + 2.8);
    cairo_move_to(cr, x + 2.8, y - 2.8);
    cairo_line_to(cr, x - 2.8, y + 2.8);
    cairo_stroke(cr);
}

static void corner(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.4);
    cairo_move_to(cr, x - 6, y - 5);
    cairo_line_to(cr, x + 4, y - 5);
    cairo_line_to(cr, x + 4, y + 6);
    cairo_stroke(cr);
    cairo_arc(cr, x + 4, y - 5, 2.2, 0, 2 * RN_PI);
    cairo_fill(cr);
}

static void thin(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.3);
    cairo_move_to(cr, x - 6, y + 5.5);
    cairo_line_to(cr, x + 6, y + 5.5);
    cairo_move_to(cr, x - 6, y + 2);
    cairo_line_to(cr, x + 6, y + 2);
    cairo_move_to(cr, x, y - 6);
    cairo_line_to(cr, x, y - 0.5);
    cairo_move_to(cr, x - 2.4, y - 2.8);
    cairo_line_to(cr, x, y - 0.4);
    cairo_line_to(cr, x + 2.4, y - 2.8);
    cairo_stroke(cr);
}

static void curl(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.4);
    for (int k = 0; k <= 44; k++) {
        const double angle = k * 0.25, r = 0.55 * angle;
        cairo_line_to(cr, x + r * cos(angle), y - r * sin(angle));
    }
    cairo_stroke(cr);
}

void canvas_tile(rv_canvas *canvas, double x, double y, rv_tile tile, double share)
{
    cairo_new_path(canvas->pen.cr);
    switch (tile) {
    case TILE_COVERED:
        rn_pen_use(&canvas->pen, RN_ROLE_INK);
        square(canvas->pen.cr, x, y);
        cairo_fill(canvas->pen.cr);
        break;
    case TILE_PART: part(canvas, x, y, share); break;
    case TILE_DUE:
    case TILE_UNKNOWN: dotted(canvas, x, y); break;
    case TILE_SHORT: broken(canvas, x, y); break;
    case TILE_RUN_OFF: drips(canvas, x, y); break;
    case TILE_PULLED: ellipse(canvas, x, y); break;
    case TILE_REFUSED: crossed(canvas, x, y); break;
    case TILE_CORNER: corner(canvas, x, y); break;
    case TILE_THIN: thin(canvas, x, y); break;
    case TILE_TWIST: curl(canvas, x, y); break;
    }
}
