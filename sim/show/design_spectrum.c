#include <math.h>
#include <stdio.h>

#include "show/axis.h"
#include "show/design.h"

#define CHARTS_MOST 8
#define HEAD 64.0 /* heading, its line, and the captions of the charts */
#define FOOT 36.0
#define AXIS 50.0
#define GAP 16.0
#define OFF_CENTRE_MOST 1.5 /* times what is out of round, for the height of the chart */

/* Amplitude of a mode as a share of the mean radius: off-centre means off the centre as drawn. */
static double share(const rn_circle_fate *fate, int mode)
{
    const double amplitude = mode == 1
                                 ? (isnan(fate->off_centre) ? hypot(fate->drift_x, fate->drift_y) : fate->off_centre)
                                 : fate->mode[mode];
    return amplitude / fate->radius;
}

/* The circles that are shown: all that are whole, or some of them, evenly picked. */
static int pick(const rn_circle_fate *shown[CHARTS_MOST], const rn_design *design)
{
    int whole = 0, count = 0, seen = 0;
    for (int c = 0; c < design->circle_count; c++)
        whole += !design->circles[c].lost;
    const int wanted = whole < CHARTS_MOST ? whole : CHARTS_MOST;
    for (int c = 0; c < design->circle_count && count < wanted; c++) {
        if (design->circles[c].lost)
            continue;
        if (wanted == whole || seen == count * (whole - 1) / (wanted - 1))
            shown[count++] = &design->circles[c];
        seen++;
    }
    return count;
}

/* Two slanting gaps near the top of a bar that goes on beyond the chart. */
static void draw_break(rn_pen *pen, double x, double top, double width)
{
    for (int gap = 0; gap < 2; gap++) {
        const double y = top + 8.0 + 6.0 * gap;
        rn_pen_line(pen, RN_ROLE_PAPER, 2.4, x + 0.1 * width, y + 3.0, x + 0.9 * width, y - 3.0);
    }
}

/* How high the chart goes: what is out of round fills it. Paint that has drifted far is off the centre by many radii, and
   such bars are cut. */
static double highest(const rn_circle_fate *const *shown, int count)
{
    double round = 0.02, off_centre = 0;
    for (int c = 0; c < count; c++) {
        off_centre = fmax(off_centre, share(shown[c], 1));
        for (int m = 2; m <= RN_CIRCLE_MODES; m++)
            round = fmax(round, share(shown[c], m));
    }
    return fmin(fmax(round, off_centre), OFF_CENTRE_MOST * round);
}

/* Bars of the modes; 1, 2, 4 and the fingers have names, the others are pale. */
static void draw_bars(rn_pen *pen, rn_box box, const rn_circle_fate *fate, const rn_axis *up)
{
    const double width = box.width / RN_CIRCLE_MODES;
    for (int m = 1; m <= RN_CIRCLE_MODES; m++) {
        const double x = box.x + (m - 1) * width, y = fmax(rn_axis_place(up, share(fate, m) * 100.0), up->x1);
        const bool named = m == 1 || m == 2 || m == 4 || m >= 6;
        cairo_rectangle(pen->cr, x + 0.18 * width, y, 0.64 * width, up->x0 - y);
        rn_pen_use(pen, named ? RN_ROLE_INK : RN_ROLE_LINE);
        cairo_fill(pen->cr);
        if (share(fate, m) * 100.0 > up->to)
            draw_break(pen, x, y, width);
        if (m == 1 || m == 2 || m == 4 || m == 6 || m == 9 || m == 12) {
            char text[16];
            snprintf(text, sizeof text, "%d", m);
            rn_pen_text(pen, x + 0.5 * width, up->x0 + 15.0,
                        (rn_letters){.size = 11.5, .role = RN_ROLE_INK2, .align = 0.5}, text);
        }
    }
    rn_pen_line(pen, RN_ROLE_LINE, 1.0, box.x, up->x0, box.x + box.width, up->x0);
}

static void write_caption(rn_pen *pen, rn_box box, double y, const rn_circle_fate *fate)
{
    char text[60];
    snprintf(text, sizeof text, "%.0f \u2192 %.0f mm", fate->drawn * 1e3, fate->radius * 1e3);
    rn_pen_text(pen, box.x + 0.5 * box.width, y,
                (rn_letters){.size = 12.5, .role = RN_ROLE_INK, .align = 0.5, .most = box.width}, text);
}

static void write_line(char *text, size_t size, const rn_design *design, const rn_circle_fate *outer)
{
    int lost = 0;
    for (int c = 0; c < design->circle_count; c++)
        lost += design->circles[c].lost;
    const int written =
        snprintf(text, size,
                 "Modes of each circle's radius. The widest whole one: off-centre %.1f mm, oval %.1f, square %.1f, "
                 "fingers %.1f.",
                 share(outer, 1) * outer->radius * 1e3, outer->oval * 1e3, outer->square * 1e3, outer->fingers * 1e3);
    if (lost > 0 && written > 0 && (size_t)written < size)
        snprintf(text + written, size - (size_t)written, " %d reached the edge.", lost);
}

void rn_design_draw_spectrum(rn_pen *pen, rn_box box, const rn_design *design)
{
    const rn_circle_fate *shown[CHARTS_MOST];
    const int count = pick(shown, design);
    const rn_letters line = {.size = 13.0, .role = RN_ROLE_INK2, .most = box.width};
    rn_pen_text(pen, box.x, box.y + 12.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .bold = true},
                "Out of round: 1 off-centre, 2 oval, 4 square to the panel, 6 and more fingers");
    if (count == 0) {
        rn_pen_text(pen, box.x, box.y + 31.0, line, "No circle is still whole on the panel.");
        return;
    }
    char text[240];
    write_line(text, sizeof text, design, shown[count - 1]);
    rn_pen_text(pen, box.x, box.y + 31.0, line, text);
    const double most = highest(shown, count);
    const double step = rn_axis_step(100.0 * most, 4);
    const rn_axis up = {0, step * ceil(100.0 * most / step - 1e-9), box.y + box.height - FOOT, box.y + HEAD + 12.0};
    rn_axis_draw_up(pen, &up, box.x + AXIS, box.x + box.width, step, "%");
    const double width = fmin((box.width - AXIS - GAP * count) / count, 260.0);
    for (int c = 0; c < count; c++) {
        const rn_box one = {box.x + AXIS + GAP + c * (width + GAP), up.x1, width, up.x0 - up.x1};
        draw_bars(pen, one, shown[c], &up);
        write_caption(pen, one, box.y + HEAD, shown[c]);
    }
    rn_pen_text(pen, box.x + box.width, box.y + box.height,
                (rn_letters){.size = 12.0, .role = RN_ROLE_INK2, .align = 1.0},
                "over each its radius as drawn and now; heights are shares of that; a broken bar goes on");
}
