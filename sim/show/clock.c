#include "show/clock.h"
#include "show/report.h"

#include <math.h>
#include <stdio.h>

#define HEAD 30.0 /* over the curves: the note of the moment of covering */
#define CURVES 104.0
#define GAP 14.0 /* curves to lanes */
#define AXIS 34.0

double rn_clock_x(const rn_clock *clock, double time)
{
    return clock->x0 + (clock->x1 - clock->x0) * time / clock->end;
}

double rn_clock_height(const rn_plan *plan)
{
    return HEAD + CURVES + GAP + rn_lanes_height(plan) + AXIS;
}

/* The end of an axis that holds `most`: 1, 2, 4 or 10 times a power of ten; its half is a round number too. */
static double axis_top(double most)
{
    static const double steps[] = {1.0, 2.0, 4.0, 10.0};
    for (double decade = 1e-6;; decade *= 10.0)
        for (int i = 0; i < 4; i++)
            if (steps[i] * decade >= most)
                return steps[i] * decade;
}

/* Distance of the ticks [s] and what their figures count in. */
static double tick_step(double end, double *unit)
{
    static const double steps[] = {0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200};
    *unit = end > 900.0 ? 60.0 : 1.0;
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++)
        if (end / steps[i] <= 12.0)
            return steps[i];
    return end / 10.0;
}

static void draw_axis(rn_pen *pen, const rn_clock *clock, double top, double foot)
{
    double unit;
    const double step = tick_step(clock->end, &unit);
    for (int k = 0; k * step <= clock->end * (1.0 + 1e-9); k++) {
        const double x = rn_clock_x(clock, k * step);
        rn_pen_line(pen, RN_ROLE_HAIR, 1.0, x, top, x, foot);
        rn_pen_line(pen, RN_ROLE_LINE, 1.0, x, foot, x, foot + 5.0);
        const bool last = (k + 1) * step > clock->end * (1.0 + 1e-9);
        char text[30];
        snprintf(text, sizeof text, "%.4g%s", k * step / unit, last ? unit > 1.0 ? " min" : " s" : "");
        rn_pen_text(pen, x, foot + 19.0, (rn_letters){.size = 12.0, .role = RN_ROLE_INK2, .align = 0.5}, text);
    }
}

/* One curve through the moments; value is 0..1 from foot to top. */
static void draw_curve(rn_pen *pen, const rn_clock *clock, rn_box chart, double scale, bool run_off)
{
    for (int i = 0; i < clock->record->moment_count; i++) {
        const rn_moment *moment = &clock->record->moments[i];
        const double value = run_off ? rn_moment_run_off(moment) / scale : moment->coverage / scale;
        cairo_line_to(pen->cr, rn_clock_x(clock, moment->time), chart.y + chart.height * (1.0 - value));
    }
    rn_pen_use(pen, run_off ? RN_ROLE_RUN_OFF : RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 2.0);
    cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
    if (run_off)
        cairo_set_dash(pen->cr, (const double[]){6.0, 3.5}, 2, 0.0);
    cairo_stroke(pen->cr);
    cairo_set_dash(pen->cr, NULL, 0, 0.0);
}

static void draw_scales(rn_pen *pen, const rn_clock *clock, rn_box chart, double ml)
{
    for (int k = 0; k <= 2; k++) {
        const double y = chart.y + chart.height * (1.0 - 0.5 * k);
        char text[30];
        rn_pen_line(pen, RN_ROLE_HAIR, 1.0, clock->x0, y, clock->x1, y);
        snprintf(text, sizeof text, k == 2 ? "%d %%" : "%d", 50 * k);
        rn_pen_text(pen, clock->x0 - 8.0, y + 4.2, (rn_letters){.size = 12.0, .role = RN_ROLE_INK2, .align = 1.0},
                    text);
        snprintf(text, sizeof text, k == 2 ? "%.3g ml" : "%.3g", 0.5 * k * ml * 1e6);
        rn_pen_text(pen, clock->x1 + 10.0, y + 4.2, (rn_letters){.size = 12.0, .role = RN_ROLE_RUN_OFF}, text);
    }
}

/* Names of the curves with a piece of each, in the column of the lanes' names. */
static void draw_names(rn_pen *pen, const rn_clock *clock, rn_box chart)
{
    const double x = clock->box.x + 18.0, y = chart.y + 18.0;
    char text[40];
    rn_pen_line(pen, RN_ROLE_INK, 2.0, x, y - 4.5, x + 24.0, y - 4.5);
    rn_pen_text(pen, x + 32.0, y, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, "coverage");
    snprintf(text, sizeof text, "%.1f %%", floor(clock->forecast->coverage * 1000.0 + 1e-6) / 10.0);
    rn_pen_text(pen, x + 32.0, y + 17.0, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, text);

    cairo_set_dash(pen->cr, (const double[]){6.0, 3.5}, 2, 0.0);
    rn_pen_line(pen, RN_ROLE_RUN_OFF, 2.0, x, y + 41.5, x + 24.0, y + 41.5);
    cairo_set_dash(pen->cr, NULL, 0, 0.0);
    rn_pen_text(pen, x + 32.0, y + 46.0, (rn_letters){.size = 13.5, .role = RN_ROLE_RUN_OFF}, "run-off");
    snprintf(text, sizeof text, "%.1f ml", clock->forecast->run_off * 1e6);
    rn_pen_text(pen, x + 32.0, y + 63.0, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, text);
}

/* The plumb line: the moment from which on the panel is covered. */
static void draw_covered_at(rn_pen *pen, const rn_clock *clock, double top, double foot)
{
    if (!clock->forecast->covered || !(clock->forecast->covered_at >= RN_AT_START))
        return;
    char text[40];
    const double x = rn_clock_x(clock, clock->forecast->covered_at);
    rn_pen_line(pen, RN_ROLE_INK, 1.4, x, top - 6.0, x, foot);
    cairo_move_to(pen->cr, x - 4.0, foot - 9.0);
    cairo_line_to(pen->cr, x + 4.0, foot - 9.0);
    cairo_line_to(pen->cr, x, foot);
    cairo_close_path(pen->cr);
    cairo_fill(pen->cr);
    snprintf(text, sizeof text, "covered from %.0f s", clock->forecast->covered_at);
    const double share = clock->forecast->covered_at / clock->end;
    rn_letters letters = {.size = 12.5,
                          .role = RN_ROLE_INK,
                          .bold = true,
                          .align = share < 0.2   ? 0.0
                                   : share > 0.8 ? 1.0
                                                 : 0.5};
    rn_pen_text(pen, x, top - 11.0, letters, text);
}

/* The part of the plan that was not reached. */
static void draw_not_reached(rn_pen *pen, const rn_clock *clock, double top, double foot)
{
    const double x = rn_clock_x(clock, clock->record->end);
    if (clock->x1 - x < 2.0)
        return;
    cairo_save(pen->cr);
    cairo_rectangle(pen->cr, x, top, clock->x1 - x, foot - top);
    cairo_clip(pen->cr);
    for (int n = 0; x - (foot - top) + 9.0 * n < clock->x1; n++) {
        const double c = x - (foot - top) + 9.0 * n;
        rn_pen_line(pen, RN_ROLE_LINE, 1.0, c, foot, c + foot - top, top);
    }
    cairo_restore(pen->cr);
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, x, top - 6.0, x, foot);
    rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2, .align = 1.0};
    rn_box box = rn_pen_measure(pen, clock->x1, top - 11.0, letters, "not worked out yet");
    if (rn_pen_vacant(pen, box, 6.0))
        rn_pen_text(pen, clock->x1, top - 11.0, letters, "not worked out yet");
}

void rn_clock_draw(rn_pen *pen, const rn_clock *clock)
{
    const rn_box box = clock->box;
    rn_pen_use(pen, RN_ROLE_STRIP);
    cairo_rectangle(pen->cr, box.x, box.y, box.width, box.height);
    cairo_fill(pen->cr);
    rn_pen_line(pen, RN_ROLE_LINE, 1.5, box.x, box.y, box.x + box.width, box.y);

    const rn_box chart = {clock->x0, box.y + HEAD, clock->x1 - clock->x0, CURVES};
    const double foot = box.y + box.height - AXIS;
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_rectangle(pen->cr, clock->x0, chart.y, chart.width, foot - chart.y);
    cairo_fill(pen->cr);
    draw_axis(pen, clock, chart.y, foot);

    const double ml = axis_top(fmax(clock->forecast->run_off, 1e-6));
    draw_scales(pen, clock, chart, ml);
    draw_names(pen, clock, chart);
    draw_curve(pen, clock, chart, ml, true);
    draw_curve(pen, clock, chart, 1.0, false);
    rn_lanes_draw(pen, clock, chart.y + chart.height + GAP);
    draw_covered_at(pen, clock, chart.y, foot);
    draw_not_reached(pen, clock, chart.y, foot);
}
