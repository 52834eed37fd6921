#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/axis.h"
#include "show/design.h"

#define HEAD 44.0
#define GAP 54.0
#define FOOT 20.0
#define AXIS 62.0  /* room for the figures on the left */
#define RIGHT 26.0 /* and for half of the last one below */

/* One of the two charts: values in degrees over radii in mm. */
typedef struct chart {
    rn_axis along, up;
    double step; /* of the figures on the left */
} chart;

/* Spans `least` to `most`, and zero, in round steps. */
static chart lay_chart(rn_box box, double radius, double least, double most)
{
    chart c = {.along = {0, radius, box.x + AXIS, box.x + box.width - RIGHT}};
    const double middle = 0.5 * (least + most), half = fmax(0.5 * (most - least), 1.0);
    c.step = rn_axis_step(2.0 * half, 4);
    c.up = (rn_axis){c.step * floor((middle - half) / c.step), c.step * ceil((middle + half) / c.step),
                     box.y + box.height, box.y};
    return c;
}

static void draw_chart(rn_pen *pen, const chart *c)
{
    rn_axis_draw_up(pen, &c->up, c->along.x0, c->along.x1, c->step, "\u00b0");
    rn_axis_draw_along(pen, &c->along, c->up.x0, c->up.x1, rn_axis_step(c->along.to, 8), "mm");
    if (c->up.from < 0 && c->up.to > 0) {
        const double y = rn_axis_place(&c->up, 0);
        rn_pen_line(pen, RN_ROLE_LINE, 1.2, c->along.x0, y, c->along.x1, y);
    }
}

static void draw_dot(rn_pen *pen, double x, double y)
{
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, x, y, 3.4, 0.0, 2.0 * RN_PI);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_fill(pen->cr);
}

static void write_heading(rn_pen *pen, rn_box box, const char *heading, const char *line)
{
    rn_pen_text(pen, box.x, box.y + 12.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .bold = true}, heading);
    rn_pen_text(pen, box.x, box.y + 31.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = box.width}, line);
}

static const char *sense(double angle)
{
    return angle > 0 ? "counter-clockwise \u21ba" : "clockwise \u21bb";
}

static void draw_twists(rn_pen *pen, const chart *c, const rn_design *design)
{
    cairo_new_path(pen->cr);
    for (int k = 0; k < design->circle_count; k++)
        if (!design->circles[k].lost) /* the first of a path is moved to */
            cairo_line_to(pen->cr, rn_axis_place(&c->along, design->circles[k].drawn * 1e3),
                          rn_axis_place(&c->up, design->circles[k].twist / RN_DEGREE));
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.8);
    cairo_stroke(pen->cr);
    for (int k = 0; k < design->circle_count; k++)
        if (!design->circles[k].lost)
            draw_dot(pen, rn_axis_place(&c->along, design->circles[k].drawn * 1e3),
                     rn_axis_place(&c->up, design->circles[k].twist / RN_DEGREE));
}

static void draw_circles(rn_pen *pen, rn_box box, const rn_design *design, double radius)
{
    double least = 0, most = 0, strongest = 0;
    int kept = 0;
    for (int c = 0; c < design->circle_count; c++) {
        const rn_circle_fate *fate = &design->circles[c];
        if (fate->lost)
            continue;
        kept++;
        least = fmin(least, fate->twist / RN_DEGREE);
        most = fmax(most, fate->twist / RN_DEGREE);
        strongest = fabs(fate->twist) > fabs(strongest) ? fate->twist : strongest;
    }
    char text[160];
    if (kept == 0)
        snprintf(text, sizeof text, "No circle is still whole on the panel.");
    else if (fabs(strongest) / RN_DEGREE < 0.5)
        snprintf(text, sizeof text, "Circles drawn in the face at %.0f s have not turned.", design->drawn_at);
    else
        snprintf(text, sizeof text, "Circles drawn in the face at %.0f s: up to %.0f\u00b0 %s.", design->drawn_at,
                 fabs(strongest) / RN_DEGREE, sense(strongest));
    write_heading(pen, box, "Twist", text);
    if (kept == 0)
        return;
    const chart c = lay_chart((rn_box){box.x, box.y + HEAD, box.width, box.height - HEAD}, radius, least, most);
    draw_chart(pen, &c);
    draw_twists(pen, &c, design);
}

static void write_spiral(char *text, size_t size, const rn_spiral *spiral)
{
    if (spiral->complete == 0)
        snprintf(text, size, "No ring goes all the way round the release within the panel.");
    else if (spiral->used == 0)
        snprintf(text, size, "All rings lie within %.1f mm of the release's centre: no spiral.", RN_SPIRAL_SHIFT * 1e3);
    else if (spiral->used < RN_SPIRAL_RINGS)
        snprintf(text, size, "Too few rings can be followed all the way round to tell a spiral.");
    else if (spiral->hand == RN_HAND_NONE)
        snprintf(text, size, "The rings are shifted to one side: no spiral.");
    else
        snprintf(text, size, "Outward the shift turns %s: %.2f turns a decimetre.", sense(spiral->turn),
                 fabs(rn_spiral_per_decimetre(spiral)));
}

static void draw_rings(rn_pen *pen, rn_box box, const rn_design *design, double radius)
{
    const rn_spiral *spiral = design->spiral;
    char text[160];
    write_spiral(text, sizeof text, spiral);
    write_heading(pen, box, "Where each ring is shifted to", text);
    if (spiral->used == 0)
        return;
    double least = INFINITY, most = -INFINITY, level = 0;
    for (int k = 0; k < spiral->complete; k++) {
        const rn_ring_curve *curve = &spiral->curves[k];
        if (!curve->used)
            continue;
        least = fmin(least, curve->phase / RN_DEGREE);
        most = fmax(most, curve->phase / RN_DEGREE);
    }
    const chart c = lay_chart((rn_box){box.x, box.y + HEAD, box.width, box.height - HEAD}, radius, least, most);
    draw_chart(pen, &c);
    for (int k = 0; k < spiral->complete; k++)
        level += spiral->curves[k].used
                     ? (spiral->curves[k].phase - spiral->turn * spiral->curves[k].radius) / spiral->used
                     : 0;
    if (spiral->hand != RN_HAND_NONE) {
        cairo_save(pen->cr);
        cairo_rectangle(pen->cr, c.along.x0, c.up.x1, c.along.x1 - c.along.x0, c.up.x0 - c.up.x1);
        cairo_clip(pen->cr);
        cairo_set_dash(pen->cr, (const double[]){6.0, 3.5}, 2, 0.0);
        rn_pen_line(pen, RN_ROLE_INK2, 1.6, c.along.x0, rn_axis_place(&c.up, level / RN_DEGREE), c.along.x1,
                    rn_axis_place(&c.up, (level + spiral->turn * radius * 1e-3) / RN_DEGREE));
        cairo_set_dash(pen->cr, NULL, 0, 0.0);
        cairo_restore(pen->cr);
    }
    for (int k = 0; k < spiral->complete; k++)
        if (spiral->curves[k].used)
            draw_dot(pen, rn_axis_place(&c.along, spiral->curves[k].radius * 1e3),
                     rn_axis_place(&c.up, spiral->curves[k].phase / RN_DEGREE));
}

void rn_design_draw_twist(rn_pen *pen, rn_box box, const rn_design *design)
{
    double radius = 10e-3;
    for (int c = 0; c < design->circle_count; c++)
        radius = fmax(radius, design->circles[c].drawn);
    for (int k = 0; design->spiral && k < design->spiral->complete; k++)
        radius = fmax(radius, design->spiral->curves[k].radius);
    const double step = rn_axis_step(radius * 1e3, 8), right = step * ceil(radius * 1e3 / step);
    const double half = 0.5 * (box.height - GAP - FOOT);
    const rn_box upper = {box.x, box.y, box.width, half}, lower = {box.x, box.y + half + GAP, box.width, half};
    draw_circles(pen, upper, design, right);
    if (design->spiral)
        draw_rings(pen, lower, design, right);
    else
        write_heading(pen, lower, "Where each ring is shifted to", "No rings to measure.");
}
