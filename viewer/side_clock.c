/* One clock for plans side by side: how each is covered over time. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "clock.h"
#include "side.h"

static double curve_y(const rv_layout *at, double coverage)
{
    return at->axis_y - 3 - fmin(fmax(coverage, 0), 1) * (at->strip.height - 10);
}

static void set_dash(cairo_t *cr, int k)
{
    if (k == 1)
        cairo_set_dash(cr, (double[]){8, 4}, 2, 0);
    else if (k == 2)
        cairo_set_dash(cr, (double[]){2, 3.4}, 2, 0);
    else
        cairo_set_dash(cr, NULL, 0, 0);
}

static void draw_curve(rv_canvas *canvas, const rv_side_column *column, double end)
{
    cairo_t *cr = canvas->pen.cr;
    if (!column->tale || !column->tale->record || column->tale->record->moment_count < 2)
        return;
    const rn_record *record = column->tale->record;
    cairo_new_path(cr);
    for (int k = 0; k < record->moment_count; k++)
        cairo_line_to(cr, layout_x(&canvas->at, record->moments[k].time, end),
                      curve_y(&canvas->at, record->moments[k].coverage));
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.9);
    set_dash(cr, column->index);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

/* How far a curve stands from the nearest other one at a time [units]; up: and whether that lies below. */
static double room_at(bool *up, const rv_canvas *canvas, const rv_side *side, int which, double time)
{
    rn_moment own, other;
    double room = 60;
    *up = true;
    if (!side->every[which].tale || !canvas_moment(&own, side->every[which].tale, time))
        return -1;
    for (int k = 0; k < side->all; k++) {
        if (k == which || !side->every[k].tale || !canvas_moment(&other, side->every[k].tale, time))
            continue;
        const double apart = (own.coverage - other.coverage) * (canvas->at.strip.height - 10);
        if (fabs(apart) < room) {
            room = fabs(apart);
            *up = apart >= 0;
        }
    }
    return room;
}

/* Each letter stands by its curve where it is farthest from the others. */
static void draw_letters(rv_canvas *canvas, const rv_side *side, double end)
{
    const rv_layout *at = &canvas->at;
    for (int k = 0; k < side->all; k++) {
        const rv_studio_tale *tale = side->every[k].tale;
        if (!tale)
            continue;
        double best = -1, best_time = 0;
        bool up = true, best_up = true;
        for (int step = 3; step < 60; step++) {
            const double time = end * step / 60;
            if (time > tale->solved)
                break;
            const double room = room_at(&up, canvas, side, k, time) - 0.15 * step - 3 * k;
            if (room > best) {
                best = room;
                best_time = time;
                best_up = up;
            }
        }
        rn_moment moment;
        if (best <= -1 || !canvas_moment(&moment, tale, best_time))
            continue;
        const double x = layout_x(at, best_time, end), y = curve_y(at, moment.coverage) + (best_up ? -6 : 17);
        const double bounded = fmin(fmax(y, at->strip.y + 9), at->axis_y - 4);
        const rn_letters letters = {.size = 15, .lettering = RN_LETTERS_WIDE, .align = 0.5, .role = RN_ROLE_INK};
        for (int shift = 0; shift < 16; shift++) { /* aside if something is written there */
            const double aside = x + (shift % 2 ? 1 : -1) * 9 * ((shift + 1) / 2);
            const rn_box box = rn_pen_measure(&canvas->pen, aside, bounded, letters, side->every[k].letter);
            if (aside < at->x0 + 10 || aside > at->x1 - 10 || !rn_pen_vacant(&canvas->pen, box, 3))
                continue;
            rn_pen_use(&canvas->pen, RN_ROLE_SOLVED); /* the curves give way to it */
            cairo_rectangle(canvas->pen.cr, box.x - 2, box.y - 2, box.width + 4, box.height + 4);
            cairo_fill(canvas->pen.cr);
            rn_pen_text(&canvas->pen, aside, bounded, letters, side->every[k].letter);
            break;
        }
    }
}

static void draw_scale(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    static const char *const words[] = {"0", "50", "100 %"};
    for (int k = 0; k <= 2; k++)
        canvas_words(canvas, at->x1 + 9, fmin(curve_y(at, 0.5 * k) + 4, at->axis_y - 1),
                     (rn_letters){.size = 11.5, .role = RN_ROLE_INK2}, 70, words[k]);
}

static void draw_names(rv_canvas *canvas, const rv_side *side)
{
    const rv_layout *at = &canvas->at;
    const double room = at->x0 - at->margin - 12;
    static const char *const all[] = {"of this plan", "of both", "of all three"};
    const double y = at->clock.y + (at->compact ? 60 : 66);
    canvas_words(canvas, at->margin, y, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, room, "coverage");
    canvas_words(canvas, at->margin, y + 18, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, room,
                 all[side->all - 1]);
}

void side_clock(rv_canvas *canvas, const rv_side *side)
{
    const rv_layout kept = canvas->at;
    const double end = view_end(canvas->view);
    double solved = INFINITY;
    rv_layout *at = &canvas->at;
    at->clock = (rn_box){0, side->clock, at->width, at->height - side->clock};
    at->strip.y = side->clock + (at->compact ? 34 : 40);
    at->strip.height = at->axis_y - at->strip.y;
    for (int k = 0; k < side->all; k++) {
        const rv_studio_tale *tale = side->every[k].tale;
        /* a plan that ends sooner is worked out as far as it goes */
        solved = fmin(solved, !tale ? 0 : tale->complete ? end : tale->solved);
    }
    clock_ground(canvas, fmin(solved, end));
    canvas_handle(canvas, PART_STRIP, LANES, 0,
                  (rn_box){at->x0 - 8, at->strip.y - 16, at->x1 - at->x0 + 16, at->strip.height + 36});
    clock_axis(canvas);
    for (int k = 0; k < side->all; k++)
        draw_curve(canvas, &side->every[k], end);
    clock_disc(canvas);
    clock_time(canvas);
    draw_names(canvas, side);
    draw_scale(canvas);
    clock_plumb(canvas, NULL, 0);
    const double x = layout_x(at, fmin(canvas->view->time, end), end);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    for (int k = 0; k < side->all; k++)
        if (side->every[k].known) {
            cairo_new_path(canvas->pen.cr);
            cairo_arc(canvas->pen.cr, x, curve_y(at, side->every[k].moment.coverage), 3.4, 0, 2 * RN_PI);
            cairo_fill(canvas->pen.cr);
        }
    static const char *const words[] = {"one clock for all: drag, or , and . to step", "one clock for all", NULL};
    const bool left = x + 300 > at->width;
    canvas_say(canvas, left ? x - 14 : x + 14, at->strip.y - 8,
               (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .align = left ? 1 : 0},
               left ? x - at->x0 - 20 : at->x1 - x, words);
    draw_letters(canvas, side, end);
    if (at->x1 - layout_x(at, fmin(solved, end), end) > 60)
        canvas_words(canvas, layout_x(at, fmin(solved, end), end) + 10, at->strip.y + 19,
                     (rn_letters){.size = 12.5, .role = RN_ROLE_INK2},
                     at->x1 - layout_x(at, fmin(solved, end), end) - 14, "not worked out yet");
    canvas->at = kept;
}
