#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/axis.h"
#include "show/design.h"

#define HEAD 30.0 /* heading and the line under it */
#define FOOT 28.0
#define NAMES 86.0  /* room for the bearings' names */
#define WORDS 190.0 /* and for the widths */

static const char *const names[RN_RING_BEARINGS] = {"right", "back right", "back",  "back left",
                                                    "left",  "front left", "front", "front right"};

static void draw_strip(rn_pen *pen, const rn_axis *axis, double y, double height, const rn_ring_bearing *bearing,
                       const rn_plan *plan)
{
    cairo_t *cr = pen->cr;
    for (int b = 0; b < bearing->count; b++) {
        const rn_ring_band *band = &bearing->bands[b];
        const double x0 = rn_axis_place(axis, band->from * 1e3), x1 = rn_axis_place(axis, band->to * 1e3);
        cairo_rectangle(cr, x0, y, x1 - x0, height);
        rn_pen_use_rgb(pen, plan->paints[band->paint].colour);
        cairo_fill(cr);
        /* Hairlines keep like colours apart; bands finer than them would drown in glass. */
        if (x1 - x0 > 3.0) {
            cairo_rectangle(cr, x0, y, x1 - x0, height);
            rn_pen_use(pen, RN_ROLE_GLASS);
            cairo_set_line_width(cr, 0.6);
            cairo_stroke(cr);
        }
    }
    const double edge = rn_axis_place(axis, bearing->reach * 1e3);
    rn_pen_line(pen, RN_ROLE_LINE, 1.0, axis->x0, y + height, edge, y + height);
    rn_pen_line(pen, RN_ROLE_INK, 1.8, edge, y - 3.0, edge, y + height + 3.0);
}

static int places(double width)
{
    return width < 99.95e-3 ? 1 : 0;
}

static void write_widths(rn_pen *pen, double x, double y, const rn_ring_bearing *bearing)
{
    char text[80];
    const rn_ring_widths w = bearing->widths;
    if (bearing->count == 0)
        snprintf(text, sizeof text, "none seen");
    else if (w.count == 0)
        snprintf(text, sizeof text, "%d seen, none whole", bearing->count);
    else
        snprintf(text, sizeof text, "%d seen, %.*f \u2013 %.*f \u2013 %.*f", bearing->count, places(w.least),
                 w.least * 1e3, places(w.median), w.median * 1e3, places(w.greatest), w.greatest * 1e3);
    rn_pen_text(pen, x, y, (rn_letters){.size = 12.5, .role = RN_ROLE_INK}, text);
}

static void write_mud(char *text, size_t size, const rn_design *design)
{
    const double percent = design->mud * 100.0;
    if (percent >= 0.05)
        snprintf(text, size, "Mud: on %.1f %% of the face they are thinner than %.1f mm.", percent, RN_MUD_WIDTH * 1e3);
    else
        snprintf(text, size, "No mud: nearly nowhere are they thinner than %.1f mm.", RN_MUD_WIDTH * 1e3);
}

void rn_design_draw_bands(rn_pen *pen, rn_box box, const rn_design *design)
{
    const rn_letters heading = {.size = 15.0, .role = RN_ROLE_INK, .bold = true};
    rn_pen_text(pen, box.x, box.y + 12.0, heading, "Bands outward from the release");
    if (!design->rings) {
        rn_pen_text(pen, box.x, box.y + 36.0, (rn_letters){.size = 13.5, .role = RN_ROLE_INK2}, "No bands to measure.");
        return;
    }
    char text[120];
    write_mud(text, sizeof text, design);
    rn_pen_text(pen, box.x, box.y + 31.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = box.width - WORDS},
                text);
    double reach = 0;
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        reach = fmax(reach, design->rings->bearings[k].reach);
    const rn_axis axis = {0, reach * 1e3, box.x + NAMES, box.x + box.width - WORDS};
    const double top = box.y + HEAD + 18.0, foot = box.y + box.height - FOOT;
    const double row = (foot - top) / RN_RING_BEARINGS, height = fmin(0.62 * row, 26.0);
    rn_axis_draw_along(pen, &axis, foot, top, rn_axis_step(reach * 1e3, 6), "mm");
    rn_pen_text(pen, axis.x1 + 14.0, box.y + 31.0, (rn_letters){.size = 12.0, .role = RN_ROLE_INK2},
                "least, median, greatest mm");
    for (int k = 0; k < RN_RING_BEARINGS; k++) {
        const rn_ring_bearing *bearing = &design->rings->bearings[k];
        const double y = top + k * row + 0.5 * (row - height), base = y + 0.5 * height + 4.5;
        rn_pen_text(pen, axis.x0 - 10.0, base, (rn_letters){.size = 13.0, .role = RN_ROLE_INK, .align = 1.0}, names[k]);
        draw_strip(pen, &axis, y, height, bearing, design->plan);
        write_widths(pen, axis.x1 + 14.0, base, bearing);
    }
}
