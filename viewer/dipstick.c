#include "dipstick.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "edit.h"
#include "film.h"
#include "parts.h"
#include "show/colour.h"

#define STOPS 32 /* of the ramp; between them sRGB and Lab agree to the eye */

rn_box dipstick_box(const rv_layout *at)
{
    /* Between the notes of the left corners, above the rule. */
    const double high = fmin(310, at->bench.height - 200), x = at->bench.x + (at->compact ? 38 : 52);
    return (rn_box){x, at->cy - 0.5 * high + 6, 20, high};
}

double dipstick_top(double deepest)
{
    static const double tops[] = {0.5e-3, 1e-3, 2e-3, 3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 12e-3, 20e-3, 30e-3, 50e-3};
    for (size_t k = 0; k < sizeof tops / sizeof *tops; k++)
        if (deepest <= tops[k])
            return tops[k];
    return deepest;
}

double dipstick_depth(const rv_layout *at, double y, double top)
{
    const rn_box stick = dipstick_box(at);
    return top * fmin(fmax((stick.y + stick.height - y) / stick.height, 0), 1);
}

/* A stick with a round head and a hole to hang it by. */
static void draw_stick(rv_canvas *canvas, rn_box stick)
{
    cairo_t *cr = canvas->pen.cr;
    const double foot = stick.y + stick.height, head = stick.y - 14, round = 5;
    const double x0 = stick.x, x1 = stick.x + stick.width;
    cairo_new_path(cr);
    cairo_arc(cr, x0 + round, head + round, round, RN_PI, 1.5 * RN_PI);
    cairo_arc(cr, x1 - round, head + round, round, 1.5 * RN_PI, 0);
    cairo_arc(cr, x1 - round, foot, round, 0, 0.5 * RN_PI);
    cairo_arc(cr, x0 + round, foot, round, 0.5 * RN_PI, RN_PI);
    cairo_close_path(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_fill(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_arc(cr, stick.x + 0.5 * stick.width, stick.y - 7, 2.6, 0, 2 * RN_PI);
    cairo_fill(cr);

    cairo_pattern_t *ramp = cairo_pattern_create_linear(0, foot, 0, stick.y);
    for (int k = 0; k <= STOPS; k++) {
        uint8_t rgb[3];
        rn_ramp_depth(rgb, (double)k / STOPS);
        cairo_pattern_add_color_stop_rgb(ramp, (double)k / STOPS, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
    }
    cairo_set_source(cr, ramp);
    cairo_rectangle(cr, stick.x + 1.5, stick.y, stick.width - 3, stick.height);
    cairo_fill(cr);
    cairo_pattern_destroy(ramp);
}

static void hatch(rv_canvas *canvas, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_clip(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_set_line_width(cr, 1.4);
    for (double x = box.x - box.height; x < box.x + box.width; x += 6) {
        cairo_move_to(cr, x, box.y + box.height);
        cairo_line_to(cr, x + box.height, box.y);
    }
    cairo_stroke(cr);
    cairo_restore(cr);
}

static void draw_figures(rv_canvas *canvas, rn_box stick, double top)
{
    char text[16];
    const double foot = stick.y + stick.height;
    for (int k = 0; k <= 4; k++) {
        const double y = foot - stick.height * k / 4;
        rn_pen_line(&canvas->pen, RN_ROLE_INK2, 1.2, stick.x - 9, y, stick.x - 2, y);
        snprintf(text, sizeof text, "%.3g", 1e3 * top * k / 4);
        canvas_words(canvas, stick.x - 13, y + 4, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .align = 1}, 34,
                     text);
    }
    for (int k = 1; k < 20; k++)
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, stick.x - 5, foot - stick.height * k / 20, stick.x - 2,
                    foot - stick.height * k / 20);
}

void dipstick_draw(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_studio_picture *picture = canvas->shown[PLACE_BENCH].picture;
    if (!(view->sheets >> SHEET_DEPTH & 1u) || view->slip.kind != SLIP_NONE || !picture)
        return;
    const rn_plan *plan = document_plan(view->doc);
    const rn_box stick = dipstick_box(&canvas->at);
    const bool asked = !isnan(edit_least_wanted(plan));
    const double least = film_least(plan), top = film_top(plan, picture->still);
    const double foot = stick.y + stick.height, y = foot - stick.height * fmin(least / top, 1),
                 right = stick.x + stick.width;
    const double room = canvas->at.cx - canvas->at.ring - right - 30;
    char text[64];
    canvas_say(canvas, canvas->at.bench.x + 12, stick.y - 23, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, 110,
               (const char *const[]){"wet film, mm", "mm", NULL});
    draw_stick(canvas, stick);
    draw_figures(canvas, stick, top);
    hatch(canvas, (rn_box){stick.x + 1.5, y, stick.width - 3, foot - y});
    rn_pen_line(&canvas->pen, RN_ROLE_SHORT, 1.6, stick.x - 2, y, right + 10, y);
    const bool focused = canvas_focused(canvas, PART_DIPSTICK, 0, 0);
    canvas_knob(canvas, right + 13, y, 6, 0.5 * RN_PI, focused);
    canvas_grip(canvas, PART_DIPSTICK, 0, 0, right + 13, y);
    canvas->handles->stick_top = top;
    const rn_letters letters = {.size = 12.5, .role = RN_ROLE_SHORT};
    char amount[16], shorter[32];
    snprintf(amount, sizeof amount, "%.2f", 1e3 * least);
    snprintf(text, sizeof text, "%s %s", asked ? "least wanted" : "covered from", amount);
    snprintf(shorter, sizeof shorter, "%s %s", asked ? "least" : "from", amount);
    /* Above the line, or below it where a corner's note stands there: never the words without the figure. */
    const char *const wordings[] = {text, shorter, amount, NULL};
    if (!canvas_say(canvas, right + 24, y - 4, letters, room, wordings))
        canvas_say(canvas, right + 24, y + 12, letters, room, wordings);
    if (!view->on_panel || !bench_current(canvas, picture->version))
        return; /* of the plan before nobody asks how deep it is here */
    const double here = rn_still_depth(picture->still, view->spot_x, view->spot_y);
    const double at = foot - stick.height * fmin(here / top, 1);
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_move_to(cr, right + 3, at);
    cairo_line_to(cr, right + 11, at - 5);
    cairo_line_to(cr, right + 11, at + 5);
    cairo_close_path(cr);
    cairo_fill(cr);
    char less[16];
    snprintf(less, sizeof less, "%.2f", 1e3 * here);
    snprintf(text, sizeof text, "%s here", less);
    canvas_say(canvas, right + 16, at + 4, (rn_letters){.size = 13, .bold = true, .role = RN_ROLE_INK}, room + 8,
               (const char *const[]){text, less, NULL});
}
