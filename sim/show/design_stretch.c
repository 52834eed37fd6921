#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/design.h"

#define HEAD 48.0
#define FOOT 66.0
#define CELL 26.0    /* between ellipses */
#define LONGEST 11.0 /* half of the longer axis of each ellipse: only the shape is shown */

static void trace_panel(rn_pen *pen, rn_box face, bool round)
{
    cairo_new_path(pen->cr);
    if (round)
        cairo_arc(pen->cr, face.x + 0.5 * face.width, face.y + 0.5 * face.height, 0.5 * face.width, 0.0, 2.0 * RN_PI);
    else
        cairo_rectangle(pen->cr, face.x, face.y, face.width, face.height);
}

/* An ellipse of that ratio whose longer axis lies at an angle, counter-clockwise from right. */
static void draw_ellipse(rn_pen *pen, double x, double y, double ratio, double angle, bool pulled)
{
    cairo_t *cr = pen->cr;
    cairo_save(cr);
    cairo_translate(cr, x, y);
    cairo_rotate(cr, -angle);
    cairo_scale(cr, LONGEST, LONGEST / ratio);
    cairo_new_path(cr);
    cairo_arc(cr, 0.0, 0.0, 1.0, 0.0, 2.0 * RN_PI);
    cairo_restore(cr);
    rn_pen_use(pen, pulled ? RN_ROLE_PULLED : RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.2);
    if (pulled)
        cairo_fill_preserve(cr);
    cairo_stroke(cr);
}

/* The point of the measure under a place on the page; -1 outside. */
static long point_under(const rn_stretch *stretch, rn_box face, double x, double y)
{
    const int i = (int)floor((x - face.x) / face.width * stretch->nx);
    const int j = (int)floor((face.y + face.height - y) / face.height * stretch->ny);
    return i < 0 || j < 0 || i >= stretch->nx || j >= stretch->ny ? -1 : (long)j * stretch->nx + i;
}

static void draw_ellipses(rn_pen *pen, rn_box face, const rn_design *design)
{
    const rn_stretch *stretch = design->stretch;
    const int across = (int)fmax(1.0, floor(face.width / CELL)), up = (int)fmax(1.0, floor(face.height / CELL));
    for (int j = 0; j < up; j++)
        for (int i = 0; i < across; i++) {
            const double x = face.x + 0.5 * face.width + (i - 0.5 * (across - 1)) * CELL;
            const double y = face.y + 0.5 * face.height + (j - 0.5 * (up - 1)) * CELL;
            const long point = point_under(stretch, face, x, y);
            const double out = hypot(x - face.x - 0.5 * face.width, y - face.y - 0.5 * face.height);
            if (point < 0 || (design->plan->panel.round && out > 0.5 * face.width - LONGEST))
                continue;
            const double ratio = (double)stretch->ratio[point];
            if (ratio >= 1)
                draw_ellipse(pen, x, y, ratio, (double)stretch->direction[point], ratio > stretch->limit);
            else
                rn_pen_line(pen, RN_ROLE_LINE, 1.6, x - 1.6, y, x + 1.6, y);
        }
}

/* A ring round the place of the greatest stretch. */
static void mark_most(rn_pen *pen, rn_box face, const rn_design *design)
{
    const double scale = face.width / design->plan->panel.width, inset = LONGEST + 6.0;
    double x = face.x + 0.5 * face.width + scale * design->stretch->most_x;
    double y = face.y + 0.5 * face.height - scale * design->stretch->most_y;
    if (isnan(x + y))
        return;
    x = fmin(fmax(x, face.x + inset), face.x + face.width - inset); /* whole, even at the edge */
    y = fmin(fmax(y, face.y + inset), face.y + face.height - inset);
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, x, y, LONGEST + 3.0, 0.0, 2.0 * RN_PI);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_set_line_width(pen->cr, 4.4);
    cairo_stroke_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 2.0);
    cairo_stroke(pen->cr);
}

static void write_shares(rn_pen *pen, double x, double y, double width, const rn_stretch *stretch)
{
    char text[200];
    const rn_letters plain = {.size = 13.0, .role = RN_ROLE_INK, .most = width};
    snprintf(text, sizeof text, "Half of it below %.2f, 99 %% below %.2f, greatest %.2f (ringed).", stretch->median,
             stretch->high, stretch->most);
    rn_pen_text(pen, x, y, plain, text);
    snprintf(text, sizeof text, "Past 1.5: %.1f %%. Past 2: %.1f %%. Past 3: %.1f %% of the face.",
             stretch->past[0] * 100.0, stretch->past[1] * 100.0, stretch->past[2] * 100.0);
    rn_pen_text(pen, x, y + 19.0, plain, text);
}

static void write_key(rn_pen *pen, double x, double y, const rn_stretch *stretch)
{
    char text[120];
    snprintf(text, sizeof text, "pulled too far, past %.2g to 1: %.1f %%", stretch->limit, stretch->past_limit * 100.0);
    draw_ellipse(pen, x + LONGEST + 1.0, y - 4.5, fmax(stretch->limit, 1.6), 0.5, true);
    const rn_box box =
        rn_pen_text(pen, x + 2.0 * LONGEST + 10.0, y, (rn_letters){.size = 13.0, .role = RN_ROLE_PULLED}, text);
    rn_pen_line(pen, RN_ROLE_LINE, 1.6, box.x + box.width + 24.0, y - 4.5, box.x + box.width + 27.2, y - 4.5);
    rn_pen_text(pen, box.x + box.width + 36.0, y, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2}, "not known");
}

void rn_design_draw_stretch(rn_pen *pen, rn_box box, const rn_design *design)
{
    const rn_stretch *stretch = design->stretch;
    const rn_letters line = {.size = 13.0, .role = RN_ROLE_INK2, .most = box.width};
    char text[160];
    rn_pen_text(pen, box.x, box.y + 12.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .bold = true}, "Stretch");
    if (!stretch || !(stretch->known > 0)) {
        rn_pen_text(pen, box.x, box.y + 31.0, line, "Nothing in the face to measure it by.");
        return;
    }
    snprintf(text, sizeof text, "What small circles drawn in the face at %.0f s have become.", design->stretched_since);
    rn_pen_text(pen, box.x, box.y + 31.0, line, text);
    const rn_panel *panel = &design->plan->panel;
    const double scale = fmin(box.width / panel->width, (box.height - HEAD - FOOT) / panel->height);
    const rn_box face = {box.x + 0.5 * (box.width - panel->width * scale), box.y + HEAD, panel->width * scale,
                         panel->height * scale};
    cairo_save(pen->cr);
    trace_panel(pen, face, panel->round);
    cairo_clip(pen->cr);
    draw_ellipses(pen, face, design);
    mark_most(pen, face, design);
    cairo_restore(pen->cr);
    trace_panel(pen, face, panel->round);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.6);
    cairo_stroke(pen->cr);
    const double foot = face.y + face.height;
    write_key(pen, box.x, foot + 24.0, stretch);
    write_shares(pen, box.x, foot + 46.0, box.width, stretch);
}
