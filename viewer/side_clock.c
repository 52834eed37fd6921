/* One clock for plans side by side: how each is covered over time. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "clock.h"
#include "show/curves.h"
#include "side.h"

static rn_box strip_of(const rv_canvas *canvas, const rv_side *side)
{
    const rv_layout *at = &canvas->at;
    const double y = side->clock + (at->compact ? 34 : 40);
    return (rn_box){at->strip.x, y, at->strip.width, at->axis_y - y};
}

double side_curve_y(const rv_canvas *canvas, const rv_side *side, double coverage)
{
    return canvas->at.axis_y - 3 - fmin(fmax(coverage, 0), 1) * (strip_of(canvas, side).height - 10);
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

static void draw_curve(rv_canvas *canvas, const rv_side *side, const rv_side_column *column, double end)
{
    cairo_t *cr = canvas->pen.cr;
    if (!column->tale || !column->tale->record || column->tale->record->moment_count < 2)
        return;
    const rn_record *record = column->tale->record;
    cairo_new_path(cr);
    for (int k = 0; k < record->moment_count; k++)
        cairo_line_to(cr, layout_x(&canvas->at, record->moments[k].time, end),
                      side_curve_y(canvas, side, record->moments[k].coverage));
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.9);
    set_dash(cr, column->index);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

typedef struct lettering {
    const rv_canvas *canvas;
    const rv_side *side;
} lettering;

static double curve_y(const void *matter, int column, double time)
{
    const lettering *of = matter;
    rn_moment moment;
    if (!canvas_moment(&moment, of->side->every[column].tale, time))
        return NAN;
    return side_curve_y(of->canvas, of->side, moment.coverage);
}

static void draw_letters(rv_canvas *canvas, rv_side *side, double end)
{
    const rv_layout *at = &canvas->at;
    const lettering of = {canvas, side};
    const rn_curves curves = {.matter = &of,
                              .count = side->all,
                              .y = curve_y,
                              .time = {0, end, at->x0, at->x1},
                              .top = at->strip.y - 6,
                              .bottom = at->axis_y - 2,
                              .shun = layout_x(at, fmin(canvas->view->time, end), end),
                              .size = at->compact ? 13.5 : 15,
                              .ground = RN_ROLE_SOLVED};
    for (int k = 0; k < side->all; k++)
        side->letters[k] = rn_curves_letter(&canvas->pen, &curves, k, side->every[k].letter);
}

static void draw_scale(rv_canvas *canvas, const rv_side *side)
{
    const rv_layout *at = &canvas->at;
    static const char *const words[] = {"0", "50", "100 %"};
    for (int k = 0; k <= 2; k++)
        canvas_words(canvas, at->x1 + 9, fmin(side_curve_y(canvas, side, 0.5 * k) + 4, at->axis_y - 1),
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

void side_clock(rv_canvas *canvas, rv_side *side)
{
    const rv_layout kept = canvas->at;
    const double end = view_end(canvas->view);
    double solved = INFINITY;
    rv_layout *at = &canvas->at;
    at->clock = (rn_box){0, side->clock, at->width, at->height - side->clock};
    at->strip = strip_of(canvas, side);
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
        draw_curve(canvas, side, &side->every[k], end);
    clock_disc(canvas);
    clock_time(canvas);
    draw_names(canvas, side);
    draw_scale(canvas, side);
    clock_plumb(canvas, NULL, 0);
    const double x = layout_x(at, fmin(canvas->view->time, end), end);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    for (int k = 0; k < side->all; k++)
        if (side->every[k].known) {
            cairo_new_path(canvas->pen.cr);
            cairo_arc(canvas->pen.cr, x, side_curve_y(canvas, side, side->every[k].moment.coverage), 3.4, 0, 2 * RN_PI);
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
