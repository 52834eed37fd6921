/* The sign of a consistency: paint as it runs from a spoon. */
#include <math.h>

#include "base/physical.h"
#include "canvas.h"

void canvas_thread(rv_canvas *canvas, double x, double y, double height, double viscosity, const uint8_t rgb[3])
{
    cairo_t *cr = canvas->pen.cr;
    const double stiff = fmin(fmax(log(viscosity / 0.03) / log(10 / 0.03), 0), 1);
    const double length = height * (0.95 - 0.35 * stiff), half = 0.9 + 1.5 * stiff, drop = 1.6 + 2.7 * stiff;
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 2);
    cairo_move_to(cr, x - 8, y);
    cairo_line_to(cr, x + 8, y);
    cairo_stroke(cr);
    cairo_new_path(cr);
    cairo_move_to(cr, x - 4.5, y + 1.4);
    cairo_curve_to(cr, x - half, y + 5, x - half, y + 6, x - half, y + 0.6 * length);
    cairo_curve_to(cr, x - half, y + length - 1.6 * drop, x - drop, y + length - 1.2 * drop, x - drop,
                   y + length - drop);
    cairo_arc_negative(cr, x, y + length - drop, drop, RN_PI, 0);
    cairo_curve_to(cr, x + drop, y + length - 1.2 * drop, x + half, y + length - 1.6 * drop, x + half,
                   y + 0.6 * length);
    cairo_curve_to(cr, x + half, y + 6, x + half, y + 5, x + 4.5, y + 1.4);
    cairo_close_path(cr);
    rn_pen_use_rgb(&canvas->pen, rgb);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
}
