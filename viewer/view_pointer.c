/* The pointer: what lies under it, and what a drag does to it. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "dipstick.h"
#include "edit.h"
#include "gesture.h"
#include "slip.h"

#define DRAWN 6.0 /* a press that moved less was meant as one [units] */
#define WAY 3.0   /* from here on it is clear which way a knob is dragged [units] */

static double clamp(double value, double least, double most)
{
    return fmin(fmax(value, least), most);
}

rv_part_at gesture_under(const rv_view *view, double x, double y)
{
    for (int k = view->handles.count - 1; k >= 0; k--) {
        const rn_box *box = &view->handles.list[k].box;
        if (x >= box->x && x <= box->x + box->width && y >= box->y && y <= box->y + box->height)
            return view->handles.list[k].what;
    }
    return (rv_part_at){0};
}

static double time_here(const rv_view *view)
{
    return layout_time(&view->layout, view->pointer_x, view_end(view));
}

static double tenth(double time)
{
    return round(time * 10) / 10;
}

/* What a thing that is to be dragged is worth when the hand takes it. */
static void take_hold(rv_view *view, rv_part_at what)
{
    const rn_plan *plan = document_plan(view->doc);
    view->drag = what;
    view->drag_x = view->pointer_x;
    view->drag_y = view->pointer_y;
    view->drag_value = view->drag_other = 0;
    view->joined = false;
    switch ((int)what.part) {
    case PART_MOVE: view->drag_value = plan->moves[what.a].start; break;
    case PART_MOVE_AMOUNT: view->drag_value = plan->moves[what.a].amount; break;
    case PART_POURING:
    case PART_BURST: view->drag_value = plan->pours[what.a].start; break;
    case PART_BURST_FOOT: view->drag_value = plan->pours[what.a].open; break;
    case PART_BURST_TOP: view->drag_value = edit_burst_volume(plan, what.a, what.b); break;
    case PART_JAR_LEVEL:
    case PART_SLIP_VOLUME: view->drag_value = edit_jar_volume(plan, what.a); break;
    case PART_JAR_THREAD:
    case PART_SLIP_THREAD: view->drag_value = edit_jar_viscosity(plan, what.a); break;
    case PART_BASE_LEVEL: view->drag_value = edit_base_depth(plan); break;
    case PART_DIPSTICK: {
        const double wanted = edit_least_wanted(plan);
        view->drag_value = isnan(wanted) ? plan->cover : wanted;
        break;
    }
    case PART_KNOB:
        view->drag_value = atan2(view->layout.cy - view->pointer_y, view->pointer_x - view->layout.cx);
        if (view->rehearsal.on) /* a hand on the ring holds the table */
            gesture_grip(view, 0);
        break;
    case PART_RING_CENTRE:
        rn_place_point(&view->drag_value, &view->drag_other, &plan->panel, &plan->pours[what.a].at, 0);
        break;
    default: break;
    }
}

static bool opens_slip(rv_view *view, rv_part_at what)
{
    rv_slip slip = {0};
    switch ((int)what.part) {
    case PART_JAR: slip = (rv_slip){SLIP_JAR, what.a, SLIP_ROW_VOLUME}; break;
    case PART_BASE: slip = (rv_slip){SLIP_BASE, 0, 0}; break;
    case PART_BOARD: slip = (rv_slip){SLIP_PANEL, 0, 0}; break;
    case PART_NAME: slip = (rv_slip){SLIP_PLAN, 0, 0}; break;
    case PART_MOVE: slip = (rv_slip){SLIP_MOVE, what.a, 0}; break;
    case PART_POURING:
    case PART_BURST: slip = (rv_slip){SLIP_POUR, what.a, 0}; break;
    default: return false;
    }
    const bool same = view->slip.kind == slip.kind && view->slip.index == slip.index;
    view->slip = same ? (rv_slip){0} : slip;
    return true;
}

/* Things whose press is the whole of it; what is dragged opens its slip at a double press only. */
static bool opens_at_once(rv_part part)
{
    return part == PART_JAR || part == PART_BASE || part == PART_BOARD || part == PART_NAME;
}

void gesture_press(rv_view *view, int clicks, unsigned mods)
{
    const rv_part_at what = view->hover;
    view->focus_seen = view->map_hand.keyed = false;
    if (view->typing.on && view->cover == COVER_NONE &&
        !(what.part == view->typing.what.part && what.a == view->typing.what.a))
        view->typing.on = false;
    if (view->cover != COVER_NONE) {
        if (what.part == PART_CHOICE)
            gesture_choice(view, what.a);
        else if (what.part == PART_MEND)
            gesture_mend(view, what.a);
        return;
    }
    if (what.part != PART_NONE && what.part != PART_PANEL && what.part != PART_STRIP)
        view->focus = what;
    if (gesture_choose(view, what, mods))
        return;
    if (clicks >= 2 && opens_slip(view, what))
        return;
    if (clicks >= 2 && what.part == PART_JAR_PLACE) {
        gesture_key(view, 'n', 0);
        return;
    }
    take_hold(view, what);
}

/* ---- what a drag changes ---- */

static void drag_block(rv_view *view, rn_plan *draft, double dt)
{
    const int move = view->drag.a;
    switch ((int)view->drag.part) {
    case PART_MOVE: edit_shift_move(draft, move, tenth(fmax(view->drag_value + dt, 0))); break;
    case PART_MOVE_START: {
        const rn_move *m = &draft->moves[move];
        edit_stretch_move(draft, move, tenth(time_here(view)), m->start + m->duration);
        break;
    }
    case PART_MOVE_END: edit_stretch_move(draft, move, draft->moves[move].start, tenth(time_here(view))); break;
    default: break;
    }
}

static void drag_amount(rv_view *view, rn_plan *draft)
{
    const double up = view->drag_y - view->pointer_y;
    double amount = view->drag_value;
    switch (draft->moves[view->drag.a].kind) {
    case RN_MOVE_TILT: amount = clamp(round((amount * 180 / RN_PI + 0.1 * up) * 10) / 10, 0.1, 8) * RN_DEGREE; break;
    case RN_MOVE_TURN: amount = clamp(round((amount / RN_RPM + 0.25 * up) * 2) / 2, -30, 30) * RN_RPM; break;
    case RN_MOVE_SPIN: amount = clamp(round(amount / RN_RPM + up), -300, 300) * RN_RPM; break;
    case RN_MOVE_REST: return;
    }
    if (amount != 0)
        edit_set_amount(draft, view->drag.a, amount);
}

static void drag_ring(rv_view *view, rn_plan *draft)
{
    const int pour = view->drag.a;
    double x, y, px, py, inner, outer;
    rn_place_point(&x, &y, &draft->panel, &draft->pours[pour].at, rn_pour_reach(&draft->pours[pour]));
    layout_spot(&px, &py, &view->layout, view->pointer_x, view->pointer_y, view_turned(view));
    if (view->drag.part == PART_RING_CENTRE) {
        edit_place_pour(draft, pour, round(px * 1000) / 1000, round(py * 1000) / 1000);
        return;
    }
    const double radius = round(hypot(px - x, py - y) * 1000) / 1000;
    edit_get_ring(&inner, &outer, draft, pour);
    if (view->drag.part == PART_RING_INNER)
        edit_set_ring(draft, pour, clamp(radius, 0, outer - 1e-3), outer);
    else
        edit_set_ring(draft, pour, inner, clamp(radius, inner + 1e-3, 0.3));
}

static void drag_jar(rv_view *view, rn_plan *draft, unsigned mods)
{
    const double up = view->drag_y - view->pointer_y;
    const double fine = mods & MOD_SHIFT ? 0.1 : 1;
    switch ((int)view->drag.part) {
    case PART_JAR_LEVEL:
        edit_set_jar_volume(draft, view->drag.a, clamp(round(view->drag_value * 1e6 + fine * 2 * up), 1, 5000) * 1e-6);
        break;
    case PART_SLIP_VOLUME:
        edit_set_jar_volume(
            draft, view->drag.a,
            clamp(round(1e6 * slip_volume_at(&view->layout, view->pointer_x, slip_volume_top(view->drag_value))), 1,
                  5000) *
                1e-6);
        break;
    case PART_JAR_THREAD: /* a longer thread is a thinner paint */
        edit_set_jar_viscosity(draft, view->drag.a, clamp(view->drag_value * exp(0.05 * fine * up), 0.05, 20));
        break;
    case PART_SLIP_THREAD:
        edit_set_jar_viscosity(draft, view->drag.a, slip_viscosity_at(&view->layout, view->pointer_x));
        break;
    case PART_BASE_LEVEL:
        edit_set_base_depth(draft, clamp(round((view->drag_value * 1e3 + fine * 0.02 * up) * 100) / 100, 0, 1) * 1e-3);
        break;
    default: break;
    }
}

static void drag_pour(rv_view *view, rn_plan *draft, double dt)
{
    const int pour = view->drag.a;
    const double up = view->drag_y - view->pointer_y;
    switch ((int)view->drag.part) {
    case PART_POURING:
    case PART_BURST: edit_shift_pour(draft, pour, tenth(fmax(view->drag_value + dt, 0))); break;
    case PART_BURST_FOOT: edit_set_burst_open(draft, pour, clamp(tenth(view->drag_value + dt), 0.5, 60)); break;
    case PART_BURST_TOP:
        edit_set_burst_volume(draft, pour, view->drag.b,
                              clamp(round(view->drag_value * 1e6 * exp(0.02 * up) * 10) / 10, 1, 2000) * 1e-6);
        break;
    case PART_POURING_END: edit_stretch_pour(draft, pour, tenth(time_here(view))); break;
    default: break;
    }
}

/* The words by which a drag is undone; NULL: it changes no plan. */
static const char *plan_drag(rv_part part)
{
    switch ((int)part) {
    case PART_MOVE:
    case PART_MOVE_START:
    case PART_MOVE_END: return "time of a move";
    case PART_MOVE_AMOUNT: return "amount of a move";
    case PART_POURING:
    case PART_BURST:
    case PART_BURST_FOOT:
    case PART_POURING_END: return "time of a release";
    case PART_BURST_TOP: return "volume of a burst";
    case PART_RING_INNER:
    case PART_RING_OUTER:
    case PART_RING_CENTRE: return "ring";
    case PART_JAR_LEVEL:
    case PART_SLIP_VOLUME: return "volume of a jar";
    case PART_JAR_THREAD:
    case PART_SLIP_THREAD: return "consistency of a jar";
    case PART_BASE_LEVEL: return "base coat";
    case PART_DIPSTICK: return "least wanted";
    case PART_END: return "end of the plan";
    default: return NULL;
    }
}

static void drag_plan(rv_view *view, const char *what, unsigned mods)
{
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    const double per_unit = view_end(view) / fmax(view->layout.x1 - view->layout.x0, 1);
    const double dt = (view->pointer_x - view->drag_x) * per_unit;
    switch ((int)view->drag.part) {
    case PART_MOVE:
    case PART_MOVE_START:
    case PART_MOVE_END: drag_block(view, draft, dt); break;
    case PART_MOVE_AMOUNT: drag_amount(view, draft); break;
    case PART_RING_INNER:
    case PART_RING_OUTER:
    case PART_RING_CENTRE: drag_ring(view, draft); break;
    case PART_DIPSTICK:
        edit_set_least_wanted(
            draft, clamp(round(1e5 * dipstick_depth(&view->layout, view->pointer_y, view->handles.stick_top)) / 1e5,
                         0.05e-3, 2e-3));
        break;
    case PART_END: {
        double last = 1;
        for (int k = 0; k < draft->pour_count; k++)
            last = fmax(last, rn_pour_end(&draft->pours[k]));
        draft->end = fmax(round(view->drag_other > 0 ? view->drag_other + dt : draft->end + dt),
                          ceil(fmax(last, rn_motion_end(draft->moves, draft->move_count))));
        draft->end_given = true;
        break;
    }
    default:
        drag_pour(view, draft, dt);
        drag_jar(view, draft, mods);
        break;
    }
    gesture_commit(view, draft, what, true);
}

static void drag_bubble(rv_view *view)
{
    const rv_layout *at = &view->layout;
    const double dx = view->pointer_x - at->level_x, dy = at->level_y - view->pointer_y;
    const double away = fmin(hypot(dx, dy) / at->level_radius, 1);
    /* The bubble rises: it stands away from downhill. */
    gesture_tilt(view, away * at->level_tilt, atan2(-dy, -dx) - view_turned(view));
}

static void drag_knob(rv_view *view)
{
    const rv_layout *at = &view->layout;
    const double bearing = atan2(at->cy - view->pointer_y, view->pointer_x - at->cx);
    const double step = remainder(bearing - view->drag_value, 2 * RN_PI);
    view->drag_value = bearing;
    if (view->playing) {
        gesture_grip(view, step);
        return;
    }
    view->drag_other += step;
    gesture_turn_by(view, view->drag_other);
}

static void drag_end_of_section(rv_view *view, double end[2])
{
    const rn_panel *panel = &document_plan(view->doc)->panel;
    double x, y;
    layout_spot(&x, &y, &view->layout, view->pointer_x, view->pointer_y, view_turned(view));
    end[0] = clamp(x, -0.5 * panel->width, 0.5 * panel->width);
    end[1] = clamp(y, -0.5 * panel->height, 0.5 * panel->height);
}

/* Where the pointer is across the panel: u from left to right, v from front to back, 0..1. */
static void share_here(double *u, double *v, const rv_view *view)
{
    const rn_panel *panel = &document_plan(view->doc)->panel;
    double x, y;
    layout_spot(&x, &y, &view->layout, view->pointer_x, view->pointer_y, view_turned(view));
    *u = clamp(x / panel->width + 0.5, 0, 1);
    *v = clamp(y / panel->height + 0.5, 0, 1);
}

static void drag_fold(rv_view *view)
{
    double u, v;
    share_here(&u, &v, view);
    const double across = 0.5 * (u + 1 - v);
    view->peel = across * across;
}

/* The line goes where the hand is: to the time at which paint came there. */
static void drag_arrival(rv_view *view)
{
    double u, v, sum = 0, all = 0;
    share_here(&u, &v, view);
    const double p = clamp(u * ARRIVALS - 0.5, 0, ARRIVALS - 1.001), q = clamp(v * ARRIVALS - 0.5, 0, ARRIVALS - 1.001);
    const int i = (int)p, j = (int)q;
    for (int k = 0; k < 4 && view->handles.arrives; k++) {
        const double weight = (k % 2 ? p - i : 1 - (p - i)) * (k / 2 ? q - j : 1 - (q - j));
        const double here = (double)view->handles.arrival[(j + k / 2) * ARRIVALS + i + k % 2];
        if (isnan(here))
            continue;
        sum += weight * here;
        all += weight;
    }
    if (all > 1e-6)
        view->time = clamp(tenth(sum / all), 0, view_end(view));
}

/* A new block drawn along its lane. */
static void draw_block(rv_view *view)
{
    static const rn_move_kind kinds[LANES] = {
        [LANE_TURN] = RN_MOVE_TURN, [LANE_TILT] = RN_MOVE_TILT, [LANE_SPIN] = RN_MOVE_SPIN, [LANE_REST] = RN_MOVE_REST};
    const double from = tenth(layout_time(&view->layout, fmin(view->drag_x, view->pointer_x), view_end(view)));
    const double to = tenth(layout_time(&view->layout, fmax(view->drag_x, view->pointer_x), view_end(view)));
    const int lane = view->drag.a;
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    const int made = lane == LANE_RELEASE ? edit_add_pour(draft, from, to - from)
                                          : edit_add_move(draft, kinds[lane], from, to - from);
    if (made < 0) {
        rn_plan_free(draft);
        view_say(view, true, lane == LANE_RELEASE ? "No jar to pour from. N puts one on the shelf." : "No room there.");
        return;
    }
    if (gesture_commit(view, draft, lane == LANE_RELEASE ? "new release" : "new move", false))
        view->focus = (rv_part_at){lane == LANE_RELEASE ? PART_POURING : PART_MOVE, made, 0};
}

/* A block taken by its knob changes its amount up and down; carried sideways it goes along. False: not clear yet which. */
static bool find_way(rv_view *view)
{
    const double dx = fabs(view->pointer_x - view->drag_x), dy = fabs(view->pointer_y - view->drag_y);
    if (view->drag.part != PART_MOVE_AMOUNT || view->joined)
        return true;
    if (fmax(dx, dy) < WAY)
        return false;
    if (dx > 2 * dy) {
        view->drag.part = PART_MOVE;
        view->drag_value = document_plan(view->doc)->moves[view->drag.a].start;
    }
    return true;
}

void gesture_drag(rv_view *view, unsigned mods)
{
    if (view->drag.part == PART_NONE || !find_way(view))
        return;
    const rv_part part = view->drag.part;
    const double moved = hypot(view->pointer_x - view->drag_x, view->pointer_y - view->drag_y);
    switch ((int)part) {
    case PART_TIME: view->time = tenth(time_here(view)); return;
    case PART_ARRIVAL: drag_arrival(view); return;
    case PART_STRIP:
        if (view->drag.a == LANES)
            view->time = tenth(time_here(view));
        return;
    case PART_BUBBLE: drag_bubble(view); return;
    case PART_KNOB: drag_knob(view); return;
    case PART_A: drag_end_of_section(view, view->a); return;
    case PART_B: drag_end_of_section(view, view->b); return;
    case PART_FOLD: drag_fold(view); return;
    case PART_LIMIT: gesture_drag_limit(view); return;
    default: break;
    }
    const char *what = plan_drag(part);
    if (what && moved >= 1)
        drag_plan(view, what, mods);
}

void gesture_lift(rv_view *view)
{
    const rv_part_at what = view->drag;
    if (what.part == PART_NONE)
        return;
    const double moved = hypot(view->pointer_x - view->drag_x, view->pointer_y - view->drag_y);
    if (moved < DRAWN) {
        if (what.part == PART_STRIP)
            view->time = tenth(time_here(view));
        else if (what.part == PART_POUR)
            view->playing ? gesture_hold(view) : gesture_play(view);
        else if (what.part == PART_TILES)
            gesture_take_pointed(view);
        else if (what.part == PART_LIMIT)
            gesture_drag_limit(view);
        else if (opens_at_once(what.part))
            opens_slip(view, what);
    } else if (what.part == PART_PIN) {
        gesture_take_pointed(view);
    } else if (what.part == PART_STRIP && what.a != LANES) {
        draw_block(view);
    } else if (what.part == PART_JAR && view->hover.part == PART_JAR && view->hover.a != what.a) {
        rn_plan *draft = document_draft(view->doc);
        if (draft) {
            edit_move_jar(draft, what.a, view->hover.a);
            gesture_commit(view, draft, "order of the jars", false);
        }
    }
    gesture_let_go(view);
    view->drag = (rv_part_at){0};
    view->edited = NAN;
}

void gesture_wheel(rv_view *view, double notches, unsigned mods)
{
    (void)mods;
    static const double speeds[] = {0.25, 0.5, 1, 2, 4, 8, 16, INFINITY};
    const rv_layout *at = &view->layout;
    if (view->pointer_y >= at->clock.y) {
        int k = 0;
        while (k < 7 && speeds[k] < view->speed)
            k++;
        k = (int)clamp(k + (notches > 0 ? 1 : -1), 0, 7);
        view->speed = speeds[k];
    } else if (view->on_panel && view->sheets >> SHEET_PEEL & 1u) {
        view->peel = clamp(view->peel + 0.05 * notches, 0, 1);
    } else if (view->slip.kind != SLIP_NONE && view->pointer_x < at->slip.x + at->slip.width) {
        view->slip.row = (int)clamp(view->slip.row - notches, slip_first(view), fmax(slip_rows(view) - 1, 0));
    }
}
