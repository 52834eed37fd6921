/* The clock under the bench: its axis, how coverage and run-off go, and the plumb line that shows the time. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "clock.h"
#include "edit.h"
#include "lanes.h"
#include "parts.h"

#define HALO 4.5 /* of the ground round a curve, that it stays calm over busy lanes */

static double end_of(const rv_canvas *canvas)
{
    return view_end(canvas->view);
}

/* A step between ticks that leaves their figures room. */
static double tick_step(double end, double width)
{
    static const double steps[] = {1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 43200};
    for (size_t k = 0; k < sizeof steps / sizeof *steps; k++)
        if (width / (end / steps[k]) >= 56)
            return steps[k];
    return 86400;
}

void clock_ground(rv_canvas *canvas, double solved)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const double x = layout_x(at, solved, end_of(canvas));
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_rectangle(cr, 0, at->clock.y, at->width, at->clock.height);
    cairo_fill(cr);
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, 0, at->clock.y, at->width, at->clock.y);
    rn_pen_use(&canvas->pen, RN_ROLE_SOLVED);
    cairo_rectangle(cr, at->strip.x, at->strip.y, x - at->strip.x, at->strip.height);
    cairo_fill(cr);
    if (x >= at->x1 - 1)
        return;
    cairo_save(cr); /* what is not worked out is hatched */
    cairo_rectangle(cr, x, at->strip.y, at->x1 - x, at->strip.height);
    cairo_clip(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_HAIR);
    cairo_set_line_width(cr, 1);
    for (double from = x - at->strip.height; from < at->x1; from += 6) {
        cairo_move_to(cr, from, at->strip.y + at->strip.height);
        cairo_line_to(cr, from + at->strip.height, at->strip.y);
    }
    cairo_stroke(cr);
    cairo_restore(cr);
}

void clock_axis(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const double end = end_of(canvas), step = tick_step(end, at->x1 - at->x0);
    char text[32];
    for (double t = 0; t <= end + 1e-9; t += step) {
        const double x = layout_x(at, t, end);
        rn_pen_line(&canvas->pen, RN_ROLE_HAIR, 1, x, at->strip.y, x, at->axis_y);
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, x, at->axis_y, x, at->axis_y + 5);
        const bool last = t + step > end + 1e-9;
        snprintf(text, sizeof text, last ? "%.0f s" : "%.0f", t);
        const rn_letters letters = {.size = 11.5, .align = 0.5, .role = RN_ROLE_INK2};
        rn_pen_text(&canvas->pen, x, at->axis_y + 17, letters, text);
    }
    for (double t = 0.5 * step; t < end; t += step) {
        const double x = layout_x(at, t, end);
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, x, at->axis_y, x, at->axis_y + 3);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, at->x0, at->axis_y, at->x1, at->axis_y);
}

/* A round volume at the top of the run-off's scale [m3]. */
static double run_off_top(const rv_canvas *canvas, const rn_record *record)
{
    static const double rounds[] = {10, 20, 40, 80, 160, 320, 640, 1280, 2560, 5120, 10240};
    const double most = rn_moment_run_off(&record->moments[record->moment_count - 1]);
    const double unit = canvas->view->ounces ? RN_FLUID_OUNCE / 10 : 1e-6;
    for (size_t k = 0; k < sizeof rounds / sizeof *rounds; k++)
        if (most <= 0.96 * rounds[k] * unit)
            return rounds[k] * unit;
    return most;
}

typedef double curve_value(const rn_moment *moment, double top);

static double coverage_value(const rn_moment *moment, double top)
{
    (void)top;
    return moment->coverage;
}

static double run_off_value(const rn_moment *moment, double top)
{
    return rn_moment_run_off(moment) / top;
}

static double curve_y(const rv_layout *at, double value)
{
    const double room = at->strip.height - 10;
    return at->axis_y - 3 - fmin(fmax(value, 0), 1) * room;
}

static void trace_curve(rv_canvas *canvas, const rn_record *record, curve_value *value, double top, double from_value)
{
    cairo_new_path(canvas->pen.cr);
    bool begun = false;
    for (int k = 0; k < record->moment_count; k++) {
        const double v = value(&record->moments[k], top);
        if (!begun && v <= from_value && k + 1 < record->moment_count &&
            value(&record->moments[k + 1], top) <= from_value)
            continue;
        begun = true;
        cairo_line_to(canvas->pen.cr, layout_x(&canvas->at, record->moments[k].time, end_of(canvas)),
                      curve_y(&canvas->at, v));
    }
}

static void draw_curve(rv_canvas *canvas, const rn_record *record, curve_value *value, double top, rn_role role,
                       bool dashed)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    trace_curve(canvas, record, value, top, dashed ? 1e-4 : -1);
    rn_pen_use(&canvas->pen, RN_ROLE_SOLVED);
    cairo_set_line_width(cr, HALO);
    cairo_stroke_preserve(cr);
    rn_pen_use(&canvas->pen, role);
    cairo_set_line_width(cr, dashed ? 1.7 : 1.9);
    if (dashed)
        cairo_set_dash(cr, (double[]){6, 3.5}, 2, 0);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

static void draw_scales(rv_canvas *canvas, double top)
{
    const rv_layout *at = &canvas->at;
    char text[48];
    const rn_letters left = {.size = 11.5, .role = RN_ROLE_INK2};
    const rn_letters right = {.size = 11.5, .role = RN_ROLE_RUN_OFF, .align = 1};
    for (int k = 0; k <= 2; k++) {
        const double y = fmin(curve_y(at, 0.5 * k) + 4, at->axis_y - 1);
        snprintf(text, sizeof text, k == 2 ? "100 %%" : "%d", 50 * k);
        rn_pen_text(&canvas->pen, at->x1 + 9, y, left, text);
        if (top <= 0 || k == 0)
            continue;
        snprintf(text, sizeof text, k == 2 ? (canvas->view->ounces ? "%.3g oz" : "%.3g ml") : "%.3g",
                 0.5 * k * top / canvas_volume_unit(canvas));
        rn_pen_text(&canvas->pen, at->width - 8, y, right, text);
    }
}

/* A curve of the record, and the scale it is drawn in. */
typedef struct curve {
    curve_value *value;
    double top;
} curve;

static bool passes(const rv_canvas *canvas, const rn_record *record, curve c, rn_box box)
{
    const rv_layout *at = &canvas->at;
    const double end = end_of(canvas);
    for (int k = 0; k + 1 < record->moment_count; k++) {
        const double x = layout_x(at, record->moments[k].time, end),
                     next_x = layout_x(at, record->moments[k + 1].time, end);
        const double y = curve_y(at, c.value(&record->moments[k], c.top));
        const double next_y = curve_y(at, c.value(&record->moments[k + 1], c.top));
        if (next_x >= box.x && x <= box.x + box.width && fmax(y, next_y) >= box.y &&
            fmin(y, next_y) <= box.y + box.height)
            return true;
    }
    return false;
}

/* By a curve at its solved end, under it or over it, or further back; never across either curve. */
static void name_curve(rv_canvas *canvas, const rn_record *record, const curve curves[2], int which, const char *text)
{
    const rv_layout *at = &canvas->at;
    const rn_letters letters = {.size = 12.5, .align = 1, .role = which ? RN_ROLE_RUN_OFF : RN_ROLE_INK};
    const rn_moment *last = &record->moments[record->moment_count - 1];
    const double end = layout_x(at, last->time, end_of(canvas)) - 7;
    const double y = curve_y(at, curves[which].value(last, curves[which].top));
    const double offsets[] = {16, -8, 26, -18};
    for (double x = end; x - at->x0 > 120 && x > end - 300; x -= 30)
        for (size_t k = 0; k < sizeof offsets / sizeof *offsets; k++) {
            rn_box box = rn_pen_measure(&canvas->pen, x, y + offsets[k], letters, text);
            box = (rn_box){box.x - 2, box.y, box.width + 4, box.height};
            if (box.y < at->strip.y || box.y + box.height > at->axis_y - 2 || passes(canvas, record, curves[0], box) ||
                (curves[1].top > 0 && passes(canvas, record, curves[1], box)))
                continue;
            if (canvas_words(canvas, x, y + offsets[k], letters, 110, text))
                return;
        }
}

/* The names of the curves, where there is room. */
static void name_curves(rv_canvas *canvas, const rn_record *record, double top)
{
    const bool runs = rn_moment_run_off(&record->moments[record->moment_count - 1]) > 0.05e-6;
    const curve curves[2] = {{coverage_value, 1}, {run_off_value, runs ? top : 0}};
    name_curve(canvas, record, curves, 0, "coverage");
    if (runs)
        name_curve(canvas, record, curves, 1, "run-off");
}

void clock_plumb(rv_canvas *canvas, const rv_studio_tale *tale, double top)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const double x = layout_x(at, fmin(canvas->view->time, end_of(canvas)), end_of(canvas));
    const double head = at->strip.y - 12;
    rn_moment moment;
    rn_pen_line(&canvas->pen, RN_ROLE_BRASS, 1.8, x, head + 5, x, at->axis_y - 12);
    cairo_new_path(cr);
    cairo_arc(cr, x, head, 4.5, 0, 2 * RN_PI);
    cairo_set_line_width(cr, 1.8);
    cairo_stroke(cr);
    if (tale && canvas_moment(&moment, tale, canvas->view->time)) {
        rn_pen_use(&canvas->pen, RN_ROLE_INK);
        cairo_arc(cr, x, curve_y(at, moment.coverage), 3.4, 0, 2 * RN_PI);
        cairo_fill(cr);
        if (top > 0 && rn_moment_run_off(&moment) > 0) {
            rn_pen_use(&canvas->pen, RN_ROLE_RUN_OFF);
            cairo_arc(cr, x, curve_y(at, rn_moment_run_off(&moment) / top), 3.4, 0, 2 * RN_PI);
            cairo_fill(cr);
        }
    }
    /* The bob: a pear that points to the time. */
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    const double y = at->axis_y - 6;
    cairo_move_to(cr, x, y + 10);
    cairo_curve_to(cr, x - 8, y, x - 6, y - 8, x, y - 8);
    cairo_curve_to(cr, x + 6, y - 8, x + 8, y, x, y + 10);
    cairo_fill(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_ON_BRASS);
    cairo_set_line_width(cr, 1.2);
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(cr, x + 1.8 * side, y - 4);
        cairo_line_to(cr, x + 1.8 * side, y + 2);
    }
    cairo_stroke(cr);
    canvas_grip(canvas, PART_TIME, 0, 0, x, y);
    canvas_grip(canvas, PART_TIME, 0, 0, x, head);
    if (canvas_focused(canvas, PART_TIME, 0, 0))
        canvas_focus(canvas, (rn_box){x - 7, y - 8, 14, 18});
}

void clock_disc(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const double x = 26, y = at->clock.y + 24, r = at->compact ? 12.5 : 13.5;
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_set_line_width(cr, 1.8);
    cairo_new_path(cr);
    cairo_arc(cr, x, y, r, 0, 2 * RN_PI);
    cairo_stroke(cr);
    if (canvas->view->playing) {
        cairo_rectangle(cr, x - 4.5, y - 5.5, 3, 11);
        cairo_rectangle(cr, x + 1.5, y - 5.5, 3, 11);
    } else {
        cairo_move_to(cr, x - 4, y - 6.5);
        cairo_line_to(cr, x + 7, y);
        cairo_line_to(cr, x - 4, y + 6.5);
        cairo_close_path(cr);
    }
    cairo_fill(cr);
    canvas_handle(canvas, PART_POUR, 0, 0, (rn_box){x - 16, y - 16, 32, 32});
    if (canvas_focused(canvas, PART_POUR, 0, 0))
        canvas_focus(canvas, (rn_box){x - r, y - r, 2 * r, 2 * r});
}

void clock_time(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rv_view *view = canvas->view;
    const double y = at->clock.y + 30;
    char text[96], speed[32];
    rn_box box;
    if (view->typing.on && view->typing.what.part == PART_TIME) {
        snprintf(text, sizeof text, "%.*s|", 40, view->typing.text);
        box = rn_pen_text(&canvas->pen, 47, y,
                          (rn_letters){.size = 16.5, .bold = true, .role = RN_ROLE_BRASS, .most = 120}, text);
    } else {
        snprintf(text, sizeof text, "%.1f s", view->time);
        box = rn_pen_text(&canvas->pen, 47, y, (rn_letters){.size = 16.5, .bold = true, .role = RN_ROLE_INK}, text);
    }
    canvas_handle(canvas, PART_SPEED, 0, 0, (rn_box){47, y - 20, at->x0 - 60, 28});
    if (isinf(view->speed))
        snprintf(speed, sizeof speed, "as fast as it goes");
    else if (view->speed < 1)
        snprintf(speed, sizeof speed, "%s speed", view->speed < 0.4 ? "¼ ×" : "½ ×");
    else
        snprintf(speed, sizeof speed, "%.0f × speed", view->speed);
    const double left = fmax(box.x + box.width + 14, 112), room = at->x0 - 12 - left;
    const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2};
    snprintf(text, sizeof text, "of %.0f s, %s", end_of(canvas), speed);
    if (rn_pen_measure(&canvas->pen, 0, 0, letters, text).width > room) /* all of it or only the end */
        snprintf(text, sizeof text, "of %.0f s", end_of(canvas));
    canvas_words(canvas, left, y, letters, room, text);
}

/* What the part of the clock that has the focus is, in words, by its head. */
static void draw_note(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    char text[240];
    if (!lanes_note(text, sizeof text, canvas))
        return;
    const double x = layout_x(at, fmin(canvas->view->time, end_of(canvas)), end_of(canvas));
    const rn_letters letters = {.size = 12.5, .role = RN_ROLE_BRASS};
    const rn_box box = rn_pen_measure(&canvas->pen, 0, 0, letters, text);
    const double y = at->strip.y - 7;
    if (x + 12 + box.width < at->width - 12)
        canvas_words(canvas, x + 12, y, letters, at->width - x - 24, text);
    else {
        rn_letters left = letters;
        left.align = 1;
        canvas_words(canvas, x - 12, y, left, x - 24 - at->x0, text);
    }
}

/* In the hatched part, in the first lane where no block is in the way. */
static void name_unsolved(rv_canvas *canvas, double solved)
{
    static const rv_lane lanes[] = {LANE_RELEASE, LANE_SPIN, LANE_TILT, LANE_TURN};
    const rv_layout *at = &canvas->at;
    const double x = layout_x(at, solved, end_of(canvas)) + 10;
    const char *text =
        edit_pourable(document_plan(canvas->view->doc)) ? "not worked out yet" : "nothing to work out yet";
    const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2};
    const double width = rn_pen_measure(&canvas->pen, 0, 0, letters, text).width;
    for (size_t k = 0; k < sizeof lanes / sizeof *lanes; k++) {
        const rv_lane lane = lanes[k];
        const double from = at->lane_height[lane] < 16 ? NAN : lanes_gap(canvas, lane, x, width + 4);
        if (isnan(from))
            continue;
        const double down = lane == LANE_RELEASE ? 19 : 0.5 * at->lane_height[lane] + 4.5;
        canvas_words(canvas, from, at->lane_top[lane] + down, letters, width + 4, text);
        return;
    }
}

void clock_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rv_shown *shown = &canvas->shown[PLACE_BENCH];
    const long version = document_version(canvas->view->doc);
    const rv_studio_tale *tale = shown->tale && shown->tale->version == version ? shown->tale : NULL;
    const rn_record *record = tale && tale->record && tale->record->moment_count > 1 ? tale->record : NULL;
    const double solved = record ? tale->solved : 0, top = record ? run_off_top(canvas, record) : 0;

    clock_ground(canvas, solved);
    canvas_handle(canvas, PART_STRIP, LANES, 0,
                  (rn_box){at->x0 - 8, at->strip.y - 16, at->x1 - at->x0 + 16, at->axis_y - at->strip.y + 36});
    clock_axis(canvas);
    lanes_draw(canvas);
    if (record) {
        draw_curve(canvas, record, coverage_value, 1, RN_ROLE_INK, false);
        if (rn_moment_run_off(&record->moments[record->moment_count - 1]) > 0.05e-6)
            draw_curve(canvas, record, run_off_value, top, RN_ROLE_RUN_OFF, true);
    }
    draw_scales(canvas, top);
    clock_disc(canvas);
    clock_time(canvas);
    draw_note(canvas);
    if (record)
        name_curves(canvas, record, top);
    name_unsolved(canvas, solved);
    clock_plumb(canvas, tale, top);
}
