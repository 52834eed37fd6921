/* The bubble level: how far the panel is tilted and which way is down. The bubble stands uphill, as bubbles do. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "bench.h"
#include "parts.h"

#define LEVEL (0.05 * RN_DEGREE) /* less is level */

static void draw_ground(rv_canvas *canvas)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    const double x = at->level_x, y = at->level_y, r = at->level_radius, rim = r + (at->compact ? 9 : 9);
    cairo_new_path(cr);
    cairo_arc(cr, x, y, rim, 0, 2 * RN_PI);
    rn_pen_use(&canvas->pen, RN_ROLE_WELL);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
    cairo_arc(cr, x, y, r, 0, 2 * RN_PI);
    rn_pen_use(&canvas->pen, canvas->view->dark ? RN_ROLE_SOLVED : RN_ROLE_PAPER);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    for (int k = 0; k < 24; k++) {
        const double c = cos(k * RN_PI / 12), s = sin(k * RN_PI / 12);
        cairo_move_to(cr, x + (r + (k % 3 ? 5.5 : 2)) * c, y + (r + (k % 3 ? 5.5 : 2)) * s);
        cairo_line_to(cr, x + (rim - 1) * c, y + (rim - 1) * s);
    }
    cairo_stroke(cr);
    for (int degrees = 2; degrees <= 6; degrees += 2) {
        cairo_new_sub_path(cr);
        cairo_arc(cr, x, y, degrees * RN_DEGREE / at->level_tilt * r, 0, 2 * RN_PI);
    }
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_stroke(cr);
}

/* What each ring stands for, along the diagonal to the front left, or to the front right where the arrow lies along that. */
static void name_rings(rv_canvas *canvas, double bx, double by, double bubble, double downhill)
{
    const rv_layout *at = &canvas->at;
    const bool crossed = !isnan(downhill) && fabs(cos(downhill - 1.25 * RN_PI)) > 0.85;
    for (int degrees = canvas->at.compact ? 6 : 2; degrees <= 6; degrees += 2) {
        const double r = degrees * RN_DEGREE / at->level_tilt * at->level_radius;
        const double x = at->level_x + (crossed ? r : -r) * sqrt(0.5), y = at->level_y + r * sqrt(0.5);
        if (hypot(x - bx, y - by) < bubble + 8)
            continue;
        char text[16];
        snprintf(text, sizeof text, "%d°", degrees);
        canvas_say(canvas, x + 1, y + 4, (rn_letters){.size = 11, .role = RN_ROLE_INK2, .align = 0.5}, 40,
                   (const char *const[]){text, NULL});
    }
}

static void draw_downhill(rv_canvas *canvas, double bx, double by, double bubble, double downhill)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    const double c = cos(downhill), s = -sin(downhill), end = at->level_radius - 4;
    const double x = at->level_x + end * c, y = at->level_y + end * s;
    cairo_new_path(cr);
    cairo_move_to(cr, bx + (bubble + 2) * c, by + (bubble + 2) * s);
    cairo_line_to(cr, x - 8 * c, y - 8 * s);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.6);
    cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x - 10 * c - 4.5 * s, y - 10 * s + 4.5 * c);
    cairo_line_to(cr, x - 10 * c + 4.5 * s, y - 10 * s - 4.5 * c);
    cairo_close_path(cr);
    cairo_fill(cr);
}

static void draw_bubble(rv_canvas *canvas, double x, double y, double radius)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_new_path(cr);
    cairo_arc(cr, x, y, radius, 0, 2 * RN_PI);
    rn_pen_use(&canvas->pen, canvas->view->dark ? RN_ROLE_WELL : RN_ROLE_STRIP);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_set_line_width(cr, 2.2);
    cairo_stroke(cr);
    cairo_arc(cr, x, y, radius - 4.5, 1.05 * RN_PI, 1.45 * RN_PI); /* light on it */
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(cr, x + 2 * side, y - 3.5);
        cairo_line_to(cr, x + 2 * side, y + 3.5);
    }
    cairo_set_line_width(cr, 1.5);
    cairo_stroke(cr);
    if (canvas_focused(canvas, PART_BUBBLE, 0, 0)) {
        cairo_arc(cr, x, y, radius + 5, 0, 2 * RN_PI);
        rn_pen_use(&canvas->pen, RN_ROLE_INK);
        cairo_stroke(cr);
    }
    const double reach = fmax(radius + 2, 13);
    canvas_handle(canvas, PART_BUBBLE, 0, 0, (rn_box){x - reach, y - reach, 2 * reach, 2 * reach});
}

static const char *way(double bearing)
{
    static const char *const names[8] = {"right", "back right", "back",  "back left",
                                         "left",  "front left", "front", "front right"};
    const int eighth = (int)lround(bearing / (0.25 * RN_PI));
    return names[((eighth % 8) + 8) % 8];
}

void level_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    double tilt, downhill;
    view_slope(&tilt, &downhill, canvas->view);
    const bool level = tilt < LEVEL;
    const double bubble = at->compact ? 12 : 17, away = level ? 0 : fmin(tilt / at->level_tilt, 1) * at->level_radius;
    const double x = at->level_x - away * cos(downhill), y = at->level_y + away * sin(downhill);
    draw_ground(canvas);
    name_rings(canvas, x, y, bubble, level ? NAN : downhill);
    if (!level)
        draw_downhill(canvas, x, y, bubble, downhill);
    draw_bubble(canvas, x, y, bubble);

    char head[32], down[48];
    const double words = at->level_y + at->level_radius + (at->compact ? 29 : 29);
    const rn_letters bold = {.size = 14.5, .role = RN_ROLE_INK, .bold = true, .align = 0.5};
    const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2, .align = 0.5};
    if (level) {
        canvas_say(canvas, at->level_x, words, bold, at->right.width, (const char *const[]){"level", NULL});
        canvas_say(canvas, at->level_x, words + 18, small, at->right.width,
                   (const char *const[]){"drag the bubble to tilt", "drag to tilt", NULL});
        return;
    }
    snprintf(head, sizeof head, "tilt %.1f°", tilt / RN_DEGREE);
    snprintf(down, sizeof down, "down to %s", way(downhill));
    canvas_say(canvas, at->level_x, words, bold, at->right.width, (const char *const[]){head, head + 5, NULL});
    canvas_say(canvas, at->level_x, words + 18, small, at->right.width,
               (const char *const[]){down, down + 5, down + 8, NULL});
}
