#include "lanes.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"

#define BURST_LEAST 5.0 /* a short burst is drawn so wide [units] */
#define TILT_TOP 0.1396 /* 8 deg fill the lane, or the plan's steepest [rad] */

static double at_time(const rv_canvas *canvas, double time)
{
    return layout_x(&canvas->at, time, view_end(canvas->view));
}

/* Whether a block is to show its knobs: it has the focus, or the pointer, or the hand. */
static bool lively(const rv_canvas *canvas, bool pour, int index)
{
    const rv_view *view = canvas->view;
    const rv_part_at at[3] = {view->drag.part ? view->drag : view->hover, view->focus, view->drag};
    for (int k = 0; k < 3; k++) {
        const rv_part part = at[k].part;
        const bool move =
            part == PART_MOVE || part == PART_MOVE_START || part == PART_MOVE_END || part == PART_MOVE_AMOUNT;
        const bool release = part == PART_POURING || part == PART_BURST || part == PART_BURST_FOOT ||
                             part == PART_BURST_TOP || part == PART_POURING_END;
        if ((pour ? release : move) && at[k].a == index)
            return true;
    }
    return false;
}

/* ---- releases ---- */

static double greatest_rate(const rn_plan *plan)
{
    double most = 1e-12;
    for (int p = 0; p < plan->pour_count; p++)
        for (int b = 0; b < plan->pours[p].lifts; b++)
            most = fmax(most, edit_burst_volume(plan, p, b) / fmax(plan->pours[p].open, 0.5));
    return most;
}

/* The paints of one burst, first out lowest. */
static void draw_burst(rv_canvas *canvas, const rn_plan *plan, int pour, int burst, double released, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_pour *p = &plan->pours[pour];
    const double volume = edit_burst_volume(plan, pour, burst);
    if (!(volume > 0))
        return;
    double y = box.y + box.height, at = released;
    const int most = 400;
    for (int k = 0; k < most && at < released + volume * (1 - 1e-9); k++) {
        double from, to;
        const int band = rn_strata_band(p, at * (1 + 1e-12) + 1e-18);
        rn_strata_band_range(&from, &to, p, band);
        const double until = fmin(fmax(to, at + 1e-4 * volume), released + volume);
        const double high = box.height * (until - at) / volume;
        rn_pen_use_rgb(&canvas->pen, plan->paints[p->stack[band % p->layer_count].paint].colour);
        cairo_rectangle(cr, box.x, y - high, box.width, high + 0.3);
        cairo_fill(cr);
        y -= high;
        at = until;
    }
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_stroke(cr);
}

static void draw_pour(rv_canvas *canvas, const rn_plan *plan, int pour, double most)
{
    const rv_layout *at = &canvas->at;
    const rn_pour *p = &plan->pours[pour];
    const double foot = at->lane_top[LANE_RELEASE] + at->lane_height[LANE_RELEASE] - 1,
                 room = at->lane_height[LANE_RELEASE] - 10;
    const double first = at_time(canvas, p->start), last = at_time(canvas, rn_pour_end(p));
    canvas_handle(canvas, PART_POURING, pour, 0, (rn_box){first - 2, foot - room, fmax(last - first, 8) + 4, room});
    double released = 0;
    for (int b = 0; b < p->lifts; b++) {
        const double start = p->start + b * p->every, volume = edit_burst_volume(plan, pour, b);
        const double x = at_time(canvas, start), wide = fmax(at_time(canvas, start + p->open) - x, BURST_LEAST);
        const double high = fmax(room * volume / fmax(p->open, 0.5) / most, 3);
        const rn_box box = {x, foot - high, wide, high};
        draw_burst(canvas, plan, pour, b, released, box);
        canvas_handle(canvas, PART_BURST, pour, b, (rn_box){x - 1, foot - fmax(high, 14), wide + 2, fmax(high, 14)});
        if (canvas_focused(canvas, PART_BURST, pour, b))
            canvas_focus(canvas, box);
        released += volume;
    }
    if (canvas_focused(canvas, PART_POURING, pour, 0))
        canvas_focus(canvas, (rn_box){first, foot - room, last - first, room});
    if (!lively(canvas, true, pour))
        return;
    const rv_part_at hot = canvas->view->drag.part    ? canvas->view->drag
                           : canvas->view->hover.part ? canvas->view->hover
                                                      : canvas->view->focus;
    const int burst = hot.a == pour && hot.b < p->lifts ? hot.b : 0;
    const double x = at_time(canvas, p->start + burst * p->every);
    const double wide = fmax(at_time(canvas, p->start + burst * p->every + p->open) - x, BURST_LEAST);
    const double high = fmax(room * edit_burst_volume(plan, pour, burst) / fmax(p->open, 0.5) / most, 3);
    canvas_knob(canvas, x + 0.5 * wide, foot - high, 5, 0.5 * RN_PI, false);
    canvas_handle(canvas, PART_BURST_TOP, pour, burst, (rn_box){x + 0.5 * wide - 8, foot - high - 12, 16, 18});
    canvas_knob(canvas, x + wide, foot - 2, 5, 0, false);
    canvas_handle(canvas, PART_BURST_FOOT, pour, burst, (rn_box){x + wide - 4, foot - 12, 16, 20});
    if (p->lifts > 1) {
        canvas_knob(canvas, last + 14, foot - 2, 5, 0, false);
        canvas_handle(canvas, PART_POURING_END, pour, 0, (rn_box){last + 6, foot - 12, 18, 20});
    }
}

/* ---- turns and spins: a cord of two strands; one twist is one turn ---- */

typedef struct cord {
    const rn_move *move;
    const rn_panel *panel;
    double x0, x1, middle, half; /* [units] */
} cord;

/* Turns of this move alone, a share of its time after its start; counter-clockwise positive. */
static double turns_at(const cord *c, double share)
{
    return rn_motion_pose(c->move, 1, c->panel, c->move->start + share * c->move->duration).turned / (2 * RN_PI);
}

/* gap: so much of a turn before and after a crossing the strand that lies under the other is left out. */
static void draw_strand(rv_canvas *canvas, const cord *c, int strand, double gap)
{
    cairo_t *cr = canvas->pen.cr;
    const int steps = (int)fmin(fmax(2 * (c->x1 - c->x0), 24), 3200);
    cairo_new_path(cr);
    for (int k = 0; k <= steps; k++) {
        const double turns = turns_at(c, (double)k / steps), crossing = round(fabs(turns));
        const double y = c->half * sin(RN_PI * turns) * (strand ? -1 : 1); /* they cross once in a turn */
        /* So the one that rises lies on top where the table turns counter-clockwise, else the one that falls. */
        const bool under = crossing > 0.5 && fmod(crossing, 2) == strand;
        if (under && fabs(fabs(turns) - crossing) < gap)
            cairo_new_sub_path(cr);
        else
            cairo_line_to(cr, c->x0 + (c->x1 - c->x0) * k / steps, c->middle + y);
    }
    cairo_stroke(cr);
}

static void draw_cord(rv_canvas *canvas, const rn_plan *plan, const rn_move *move, rv_lane lane)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const cord c = {move,
                    &plan->panel,
                    at_time(canvas, move->start),
                    at_time(canvas, move->start + move->duration),
                    at->lane_top[lane] + 0.5 * at->lane_height[lane],
                    0.30 * at->lane_height[lane]};
    const double turns = fabs(turns_at(&c, 1)), per_turn = turns > 0 ? (c.x1 - c.x0) / turns : INFINITY;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.6);
    if (per_turn < 5) { /* too many twists to tell apart: a solid cord */
        rn_pen_use(&canvas->pen, RN_ROLE_INK2);
        cairo_rectangle(cr, c.x0, c.middle - c.half, c.x1 - c.x0, 2 * c.half);
        cairo_fill(cr);
        return;
    }
    for (int strand = 0; strand < 2; strand++)
        draw_strand(canvas, &c, strand, per_turn < 16 ? 0 : fmin(4 / per_turn, 0.12));
    rn_pen_line(&canvas->pen, RN_ROLE_INK, 1.6, c.x0, c.middle - c.half, c.x0, c.middle + c.half);
    rn_pen_line(&canvas->pen, RN_ROLE_INK, 1.6, c.x1, c.middle - c.half, c.x1, c.middle + c.half);
}

/* ---- tilts: a wedge with arrows that point downhill ---- */

static double steepest(const rn_plan *plan)
{
    double most = TILT_TOP;
    for (int k = 0; k < plan->move_count; k++)
        if (plan->moves[k].kind == RN_MOVE_TILT)
            most = fmax(most, plan->moves[k].amount);
    return most;
}

static void draw_arrow(rv_canvas *canvas, double x, double y, double bearing, double size)
{
    cairo_t *cr = canvas->pen.cr;
    const double c = cos(bearing), s = -sin(bearing);
    cairo_set_line_width(cr, 1.2);
    cairo_move_to(cr, x - size * c, y - size * s);
    cairo_line_to(cr, x + size * c, y + size * s);
    cairo_stroke(cr);
    cairo_move_to(cr, x + size * c, y + size * s);
    cairo_line_to(cr, x + size * (0.1 * c - 0.55 * s), y + size * (0.1 * s + 0.55 * c));
    cairo_line_to(cr, x + size * (0.1 * c + 0.55 * s), y + size * (0.1 * s - 0.55 * c));
    cairo_close_path(cr);
    cairo_fill(cr);
}

static double wedge_height(const rv_canvas *canvas, const rn_plan *plan, const rn_move *move)
{
    return fmax((canvas->at.lane_height[LANE_TILT] - 9) * move->amount / steepest(plan), 2);
}

static void draw_wedge(rv_canvas *canvas, const rn_plan *plan, const rn_move *move, bool lively_one)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const double foot = at->lane_top[LANE_TILT] + at->lane_height[LANE_TILT], high = wedge_height(canvas, plan, move);
    const double x0 = at_time(canvas, move->start), x1 = at_time(canvas, move->start + move->duration);
    const double ramp = at_time(canvas, move->start + move->ramp) - x0;
    cairo_new_path(cr);
    cairo_move_to(cr, x0, foot);
    cairo_line_to(cr, x0 + ramp, foot - high);
    cairo_line_to(cr, x1 - ramp, foot - high);
    cairo_line_to(cr, x1, foot);
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, lively_one ? RN_ROLE_BRASS : RN_ROLE_INK);
    cairo_set_line_width(cr, 1.7);
    cairo_stroke(cr);
    const double room = x1 - x0 - 2 * ramp;
    const int arrows = (int)fmin(room / 22, 6);
    const double size = fmin(5.5, 0.38 * high);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    if (arrows == 0 && x1 - x0 > 9 && size > 2)
        draw_arrow(canvas, 0.5 * (x0 + x1), foot - 0.5 * high, move->toward, fmin(size, 0.3 * (x1 - x0)));
    for (int k = 0; k < arrows && size > 2; k++)
        draw_arrow(canvas, x0 + ramp + room * (k + 0.5) / arrows, foot - 0.5 * high, move->toward, size);
}

static void draw_rest(rv_canvas *canvas, double from, double to)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const double y = at->lane_top[LANE_REST] + 0.5 * at->lane_height[LANE_REST];
    const double x0 = at_time(canvas, from), x1 = at_time(canvas, to);
    if (x1 - x0 < 4)
        return;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.7);
    cairo_set_dash(cr, (double[]){1.7, 3.6}, 2, 0);
    cairo_move_to(cr, x0, y);
    cairo_line_to(cr, x1, y);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
    rn_pen_line(&canvas->pen, RN_ROLE_INK2, 1.6, x0, y - 4, x0, y + 4);
}

/* Room for a knob's target before and after a block: half the way to its neighbours in the lane. */
static void knob_room(double *before, double *after, const rv_canvas *canvas, const rn_plan *plan, int index)
{
    const rn_move *move = &plan->moves[index];
    const double x0 = at_time(canvas, move->start), x1 = at_time(canvas, move->start + move->duration);
    *before = *after = 12;
    for (int k = 0; k < plan->move_count; k++) {
        const rn_move *other = &plan->moves[k];
        if (k == index || lanes_of(other->kind) != lanes_of(move->kind))
            continue;
        const double end = at_time(canvas, other->start + other->duration), start = at_time(canvas, other->start);
        if (end <= x0 + 0.01)
            *before = fmin(*before, 0.5 * (x0 - end));
        if (start >= x1 - 0.01)
            *after = fmin(*after, 0.5 * (start - x1));
    }
}

static void draw_move(rv_canvas *canvas, const rn_plan *plan, int index)
{
    const rv_layout *at = &canvas->at;
    const rn_move *move = &plan->moves[index];
    const rv_lane lane = lanes_of(move->kind);
    if (at->lane_height[lane] <= 0)
        return;
    const bool hot = lively(canvas, false, index);
    const double x0 = at_time(canvas, move->start), x1 = at_time(canvas, move->start + move->duration);
    const double top = at->lane_top[lane], high = at->lane_height[lane], foot = top + high;
    switch (move->kind) {
    case RN_MOVE_TURN:
    case RN_MOVE_SPIN: draw_cord(canvas, plan, move, lane); break;
    case RN_MOVE_TILT: draw_wedge(canvas, plan, move, hot); break;
    case RN_MOVE_REST: draw_rest(canvas, move->start, move->start + move->duration); break;
    }
    canvas_handle(canvas, PART_MOVE, index, 0, (rn_box){x0, top, fmax(x1 - x0, 6), high});
    if (canvas_focused(canvas, PART_MOVE, index, 0))
        canvas_focus(canvas, (rn_box){x0, top + 4, x1 - x0, high - 6});
    const double wide = fmin(12, fmax(0.3 * (x1 - x0), 4));
    const double knob_y = move->kind == RN_MOVE_TILT ? foot - 1 : top + 0.5 * high;
    double before, after;
    knob_room(&before, &after, canvas, plan, index);
    canvas_handle(canvas, PART_MOVE_START, index, 0, (rn_box){x0 - before, knob_y - 12, before + wide, 24});
    canvas_handle(canvas, PART_MOVE_END, index, 0, (rn_box){x1 - wide, knob_y - 12, after + wide, 24});
    if (!hot)
        return;
    canvas_knob(canvas, x0, knob_y, 5.5, 0, false);
    canvas_knob(canvas, x1, knob_y, 5.5, 0, false);
    if (move->kind == RN_MOVE_REST)
        return;
    const double y = move->kind == RN_MOVE_TILT ? foot - wedge_height(canvas, plan, move) : top + 0.5 * high;
    canvas_knob(canvas, 0.5 * (x0 + x1), y, 6, 0.5 * RN_PI, false);
    if (x1 - x0 > 70 || canvas_dragged(canvas, PART_MOVE_AMOUNT, index, 0))
        canvas_handle(canvas, PART_MOVE_AMOUNT, index, 0, (rn_box){0.5 * (x0 + x1) - 12, y - 12, 24, 24});
}

/* Moves x right past a block that a text of so much width there would stand on; false if it does not. */
static bool step_past(double *x, const rv_canvas *canvas, double width, double from, double to)
{
    const double first = at_time(canvas, from) - 8, last = at_time(canvas, to) + BURST_LEAST + 8;
    if (*x + width <= first || *x >= last)
        return false;
    *x = last;
    return true;
}

double lanes_gap(const rv_canvas *canvas, rv_lane lane, double from, double width)
{
    const rv_view *view = canvas->view;
    const rn_plan *plan = document_plan(view->doc);
    double x = from;
    for (bool moved = true; moved && x + width <= canvas->at.x1;) {
        moved = step_past(&x, canvas, width, fmin(view->time, view_end(view)), fmin(view->time, view_end(view)));
        for (int k = 0; k < plan->pour_count && lane == LANE_RELEASE; k++)
            moved |= step_past(&x, canvas, width, plan->pours[k].start, rn_pour_end(&plan->pours[k]));
        for (int k = 0; k < plan->move_count; k++)
            if (lanes_of(plan->moves[k].kind) == lane)
                moved |=
                    step_past(&x, canvas, width, plan->moves[k].start, plan->moves[k].start + plan->moves[k].duration);
    }
    return x + width <= canvas->at.x1 ? x : NAN;
}

static void draw_names(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    char text[96];
    for (int k = 0; k < LANES; k++) {
        if (at->lane_height[k] <= 0)
            continue;
        const double y = at->lane_top[k] + at->lane_height[k] - (k == LANE_RELEASE ? 7 : 0.5 * at->lane_height[k] - 5);
        const rn_letters name = {.size = 13, .role = RN_ROLE_INK};
        rn_letters value = {.size = 12.5, .role = RN_ROLE_INK2, .align = 1};
        const double room = at->x0 - 16 - at->margin;
        const rn_box box = rn_pen_text(&canvas->pen, at->margin, y, name, lanes_names[k]);
        lanes_summary(text, sizeof text, canvas, (rv_lane)k);
        canvas_words(canvas, at->x0 - 16, y, value, room - box.width - 10, text);
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, at->x0, at->lane_top[k] + at->lane_height[k], at->x1,
                    at->lane_top[k] + at->lane_height[k]);
    }
}

void lanes_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    for (int k = 0; k < LANES; k++)
        if (at->lane_height[k] > 0)
            canvas_handle(canvas, PART_STRIP, k, 0,
                          (rn_box){at->x0, at->lane_top[k], at->x1 - at->x0, at->lane_height[k]});
    draw_names(canvas);
    const double most = greatest_rate(plan);
    for (int k = 0; k < plan->pour_count; k++)
        draw_pour(canvas, plan, k, most);
    for (int k = 0; k < plan->move_count; k++)
        draw_move(canvas, plan, k);
    const double still = lanes_still(plan);
    if (at->lane_height[LANE_REST] > 0 && plan->end > still)
        draw_rest(canvas, still, plan->end);
    const double end = at_time(canvas, plan->end), y = at->lane_top[LANE_RELEASE];
    canvas_handle(canvas, PART_END, 0, 0, (rn_box){end - 6, y, 14, at->lane_height[LANE_RELEASE]});
    const rv_part hot = canvas->view->drag.part ? canvas->view->drag.part : canvas->view->hover.part;
    if (hot == PART_END || canvas_focused(canvas, PART_END, 0, 0))
        canvas_knob(canvas, end, y + 0.5 * at->lane_height[LANE_RELEASE], 5.5, 0,
                    canvas_focused(canvas, PART_END, 0, 0));
}
