/* Keys while no cover lies over the page: one letter each for the common things, arrows for what has the focus. */
#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "edit.h"
#include "gesture.h"
#include "gone.h"
#include "slip.h"
#include "slip_edit.h"

/* The zones that Tab walks through. */
typedef enum zone { ZONE_NONE, ZONE_SHELF, ZONE_BENCH, ZONE_LEVEL, ZONE_SHEETS, ZONE_CLOCK } zone;

static zone zone_of(rv_part part)
{
    switch ((int)part) {
    case PART_JAR:
    case PART_BASE:
    case PART_BOARD:
    case PART_SLIP_ROW:
    case PART_NAME: return ZONE_SHELF;
    case PART_KNOB:
    case PART_RING_INNER:
    case PART_RING_OUTER:
    case PART_RING_CENTRE:
    case PART_DIPSTICK:
    case PART_FOLD:
    case PART_A:
    case PART_B:
    case PART_COLUMN:
    case PART_TILES:
    case PART_PIN:
    case PART_AXIS:
    case PART_AXIS_CHOICE: return ZONE_BENCH;
    case PART_BUBBLE:
    case PART_LIMIT: return ZONE_LEVEL;
    case PART_SHEET:
    case PART_FACES:
    case PART_FACE:
    case PART_QUESTION:
    case PART_ANSWER:
    case PART_START: return ZONE_SHEETS;
    case PART_POUR:
    case PART_TIME:
    case PART_MOVE:
    case PART_POURING:
    case PART_BURST:
    case PART_END: return ZONE_CLOCK;
    default: return ZONE_NONE;
    }
}

static bool same(rv_part_at a, rv_part_at b)
{
    return a.part == b.part && a.a == b.a && a.b == b.b;
}

void gesture_walk(rv_view *view, int step, bool by_zone)
{
    rv_part_at stops[HANDLES_MOST];
    int count = 0, here = -1;
    for (int z = ZONE_SHELF; z <= ZONE_CLOCK; z++) /* zone by zone, within one as they are drawn */
        for (int k = 0; k < view->handles.count; k++) {
            const rv_part_at what = view->handles.list[k].what;
            bool known = (int)zone_of(what.part) != z;
            for (int i = 0; i < count && !known; i++)
                known = same(stops[i], what);
            if (known)
                continue;
            if (same(what, view->focus))
                here = count;
            stops[count++] = what;
        }
    view->focus_seen = true;
    if (count == 0)
        return;
    if (here < 0) {
        view->focus = stops[step > 0 ? 0 : count - 1];
        return;
    }
    int next = here;
    do
        next = (next + step + count) % count;
    while (by_zone && next != here && zone_of(stops[next].part) == zone_of(stops[here].part));
    if (by_zone && step < 0) /* to the first of that zone */
        while (next > 0 && zone_of(stops[next - 1].part) == zone_of(stops[next].part))
            next--;
    view->focus = stops[next];
}

static void set_time(rv_view *view, double time)
{
    view->time = fmin(fmax(round(time * 10) / 10, 0), view_end(view));
}

static void change_speed(rv_view *view, int by)
{
    static const double speeds[] = {0.25, 0.5, 1, 2, 4, 8, 16, INFINITY};
    int k = 0;
    while (k < 7 && speeds[k] < view->speed)
        k++;
    k += by;
    view->speed = speeds[k < 0 ? 0 : k > 7 ? 7 : k];
}

/* ---- arrows ---- */

static bool nudge_move(rv_view *view, rn_plan *draft, double right, double up, unsigned mods)
{
    const int move = view->focus.a;
    if (move >= draft->move_count)
        return false;
    rn_move *m = &draft->moves[move];
    const double tenths = right * (mods & MOD_CTRL ? 0.1 : 1);
    if (up != 0 || mods & MOD_ALT) {
        const double by = up != 0 ? up : right;
        static const double steps[] = {0, 0.5 * RN_RPM, 0.5 * RN_DEGREE, RN_RPM};
        const double most[] = {0, 30 * RN_RPM, 8 * RN_DEGREE, 300 * RN_RPM};
        if (m->kind == RN_MOVE_REST)
            return false;
        double amount = m->amount + by * steps[m->kind];
        const double bound = fmax(most[m->kind], fabs(m->amount));
        amount = fmin(fmax(amount, m->kind == RN_MOVE_TILT ? steps[RN_MOVE_TILT] : -bound), bound);
        if (fabs(amount) > 1e-9)
            edit_set_amount(draft, move, amount);
        return true;
    }
    if (mods & MOD_SHIFT)
        edit_stretch_move(draft, move, m->start, m->start + m->duration + tenths);
    else
        edit_shift_move(draft, move, fmax(m->start + tenths, 0));
    return true;
}

static bool nudge_pour(rv_view *view, rn_plan *draft, double right, double up, unsigned mods)
{
    const int pour = view->focus.a;
    if (pour >= draft->pour_count)
        return false;
    const rn_pour *p = &draft->pours[pour];
    if (up != 0 || mods & MOD_ALT) {
        const double by = up != 0 ? up : right;
        const double volume = edit_burst_volume(draft, pour, view->focus.b);
        edit_set_burst_volume(draft, pour, view->focus.b, fmin(fmax(volume + by * 1e-6, 1e-6), 2e-3));
    } else if (mods & MOD_SHIFT) {
        edit_set_burst_open(draft, pour, fmin(fmax(p->open + 0.5 * right, 0.5), 60));
    } else {
        edit_shift_pour(draft, pour, fmax(p->start + right, 0));
    }
    return true;
}

static bool nudge_plan(rv_view *view, double right, double up, unsigned mods)
{
    static const struct {
        rv_part part;
        const char *what;
    } words[] = {{PART_MOVE, "move"},       {PART_POURING, "release"}, {PART_BURST, "release"},
                 {PART_JAR, "volume"},      {PART_BASE, "base coat"},  {PART_DIPSTICK, "least wanted"},
                 {PART_RING_INNER, "ring"}, {PART_RING_OUTER, "ring"}, {PART_RING_CENTRE, "ring"}};
    const char *what = NULL;
    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        if (words[k].part == view->focus.part)
            what = words[k].what;
    rn_plan *draft = what ? document_draft(view->doc) : NULL;
    if (!draft)
        return false;
    const double step = mods & MOD_SHIFT ? 10 : 1;
    bool changed = true;
    double inner, outer, x, y;
    switch ((int)view->focus.part) {
    case PART_MOVE: changed = nudge_move(view, draft, right, up, mods); break;
    case PART_POURING:
    case PART_BURST: changed = nudge_pour(view, draft, right, up, mods); break;
    case PART_JAR:
        changed = right != 0 && view->focus.a < draft->paint_count;
        if (changed && mods & MOD_ALT)
            edit_set_jar_viscosity(draft, view->focus.a,
                                   fmin(fmax(edit_jar_viscosity(draft, view->focus.a) * pow(1.05, right), 0.05), 20));
        else if (changed)
            edit_set_jar_volume(draft, view->focus.a,
                                fmin(fmax(edit_jar_volume(draft, view->focus.a) + right * step * 1e-6, 1e-6), 5e-3));
        break;
    case PART_BASE:
        changed = right != 0;
        edit_set_base_depth(draft, fmin(fmax(edit_base_depth(draft) + 0.05e-3 * right, 0), 1e-3));
        break;
    case PART_DIPSTICK: {
        const double wanted = edit_least_wanted(draft);
        edit_set_least_wanted(
            draft, fmin(fmax((isnan(wanted) ? draft->cover : wanted) + 0.01e-3 * step * (right + up), 0.05e-3), 2e-3));
        break;
    }
    case PART_RING_INNER:
    case PART_RING_OUTER:
        edit_get_ring(&inner, &outer, draft, view->focus.a);
        if (view->focus.part == PART_RING_INNER)
            edit_set_ring(draft, view->focus.a, fmin(fmax(inner + 1e-3 * step * (right + up), 0), outer - 1e-3), outer);
        else
            edit_set_ring(draft, view->focus.a, inner,
                          fmin(fmax(outer + 1e-3 * step * (right + up), inner + 1e-3), 0.3));
        break;
    case PART_RING_CENTRE:
        rn_place_point(&x, &y, &draft->panel, &draft->pours[view->focus.a].at,
                       rn_pour_reach(&draft->pours[view->focus.a]));
        edit_place_pour(draft, view->focus.a, x + 1e-3 * step * right, y + 1e-3 * step * up);
        break;
    default: changed = false; break;
    }
    if (!changed) {
        rn_plan_free(draft);
        return false;
    }
    gesture_commit(view, draft, what, true);
    return true;
}

/* A quarter of a degree of the slope that holds now, towards where the arrow points: the bubble goes there. */
static void nudge_bubble(rv_view *view, double right, double up, unsigned mods)
{
    double tilt, downhill;
    view_slope(&tilt, &downhill, view);
    const double step = (mods & MOD_SHIFT ? 1.0 : 0.25) * RN_DEGREE;
    const double x = -tilt * cos(downhill) + step * right, y = -tilt * sin(downhill) + step * up;
    gesture_tilt(view, hypot(x, y), atan2(-y, -x) - view_turned(view));
}

static void nudge_end(rv_view *view, double end[2], double right, double up, unsigned mods)
{
    const rn_panel *panel = &document_plan(view->doc)->panel;
    const double step = mods & MOD_SHIFT ? 10e-3 : 1e-3;
    end[0] = fmin(fmax(end[0] + step * right, -0.5 * panel->width), 0.5 * panel->width);
    end[1] = fmin(fmax(end[1] + step * up, -0.5 * panel->height), 0.5 * panel->height);
}

bool gesture_nudge(rv_view *view, double right, double up, unsigned mods)
{
    switch ((int)view->focus.part) {
    case PART_TIME:
    case PART_STRIP:
    case PART_POUR:
        if (right == 0)
            return false;
        set_time(view, view->time + right * (mods & MOD_SHIFT ? 1 : 0.1));
        return true;
    case PART_BUBBLE: nudge_bubble(view, right, up, mods); return true;
    case PART_KNOB:
        if (view->playing) {
            gesture_rehearse(view);
            view->rehearsal.hands.turn += (right + up) * (mods & MOD_SHIFT ? 5 : 1) * RN_RPM;
        } else {
            view->drag_other = (right + up) * (mods & MOD_SHIFT ? 15 : 1) * RN_DEGREE;
            const rn_plan *plan = document_plan(view->doc);
            for (int k = 0; k < plan->move_count; k++) { /* on from what the block under the plumb line turns already */
                const rn_move *m = &plan->moves[k];
                if (m->kind == RN_MOVE_TURN && view->time >= m->start && view->time <= m->start + m->duration)
                    view->drag_other += m->amount * (m->duration - m->ramp);
            }
            gesture_turn_by(view, view->drag_other);
            view->focus = (rv_part_at){PART_KNOB, 0, 0};
        }
        return true;
    case PART_A: nudge_end(view, view->a, right, up, mods); return true;
    case PART_B: nudge_end(view, view->b, right, up, mods); return true;
    case PART_FOLD: view->peel = fmin(fmax(view->peel + 0.02 * (right + up), 0), 1); return true;
    case PART_LIMIT: return gesture_nudge_limit(view, right, up, mods);
    default: return nudge_plan(view, right, up, mods);
    }
}

static void arrow(rv_view *view, double right, double up, unsigned mods)
{
    view->focus_seen = true;
    if (view->slip.kind != SLIP_NONE) {
        if (up != 0 && slip_rows(view) > 0) {
            slip_walk(view, -(int)up);
            return;
        }
        if (right != 0) {
            slip_step(view, right > 0 ? 1 : -1, mods & MOD_SHIFT);
            return;
        }
    }
    if (mods & MOD_CTRL && up != 0 && view->focus.part == PART_JAR) {
        int order[RN_PAINTS_MOST];
        const int count = edit_shelf_order(order, document_plan(view->doc));
        for (int k = 0; k < count; k++) {
            const int to = k - (int)up;
            if (order[k] != view->focus.a || to < 0 || to >= count)
                continue;
            rn_plan *draft = document_draft(view->doc);
            if (draft) {
                edit_move_jar(draft, order[k], order[to]);
                gesture_commit(view, draft, "order of the jars", false);
            }
            return;
        }
        return;
    }
    /* In a list up and down walk; a block's amount goes by them. */
    const rv_part part = view->focus.part;
    const bool list = part == PART_JAR || part == PART_BASE || part == PART_BOARD || part == PART_SHEET ||
                      part == PART_START || part == PART_TIME || part == PART_POUR || part == PART_NONE;
    if (up != 0 && list) {
        gesture_walk(view, up > 0 ? -1 : 1, false);
        return;
    }
    if (!gesture_nudge(view, right, up, mods) && right != 0)
        set_time(view, view->time + right * (mods & MOD_SHIFT ? 1 : 0.1));
}

/* ---- things that come and go ---- */

static void add_jar(rv_view *view)
{
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    const int made = edit_add_jar(draft);
    if (made < 0) {
        rn_plan_free(draft);
        view_say(view, true, "The shelf is full: %d jars.", RN_PAINTS_MOST);
        return;
    }
    if (gesture_commit(view, draft, "new jar", false)) {
        view->focus = (rv_part_at){PART_JAR, made, 0};
        view->slip = (rv_slip){SLIP_JAR, made, SLIP_ROW_VOLUME};
    }
}

static void add_block(rv_view *view)
{
    const rn_plan *plan = document_plan(view->doc);
    rn_move_kind kind = RN_MOVE_TILT;
    bool pour = plan->pour_count == 0;
    if (view->focus.part == PART_MOVE && view->focus.a < plan->move_count)
        kind = plan->moves[view->focus.a].kind;
    else if (view->focus.part == PART_POURING || view->focus.part == PART_BURST)
        pour = true;
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    const int made = pour ? edit_add_pour(draft, view->time, 20) : edit_add_move(draft, kind, view->time, 8);
    if (made < 0) {
        rn_plan_free(draft);
        view_say(view, true, pour ? "No jar to pour from. N puts one on the shelf." : "No room at %.1f s.", view->time);
        return;
    }
    if (gesture_commit(view, draft, pour ? "new release" : "new move", false))
        view->focus = (rv_part_at){pour ? PART_POURING : PART_MOVE, made, 0};
}

static void remove_focus(rv_view *view)
{
    const rv_part_at what = view->focus;
    const double end = document_plan(view->doc)->end;
    char gone[GONE_SIZE];
    gone_words(gone, view, what);
    rn_plan *draft = gone[0] ? document_draft(view->doc) : NULL;
    if (!draft)
        return;
    const char *words = "release away";
    if (what.part == PART_JAR) {
        edit_remove_jar(draft, what.a);
        words = "jar away";
    } else if (what.part == PART_MOVE) {
        edit_remove_move(draft, what.a);
        words = "move away";
    } else {
        edit_remove_pour(draft, what.a);
    }
    if (gesture_commit(view, draft, words, false))
        gone_say(view, gone, end);
    view->focus = (rv_part_at){0};
    view->slip = (rv_slip){0};
}

static void open_slip(rv_view *view, rv_slip slip)
{
    view->slip = view->slip.kind == slip.kind && view->slip.index == slip.index ? (rv_slip){0} : slip;
    view->typing.on = false;
}

static void enter(rv_view *view)
{
    const rv_part_at what = view->focus;
    if (view->page == PAGE_SIDE) {
        gesture_take_column(view, view->column_focus);
        return;
    }
    const bool another = view->slip.kind == SLIP_JAR && what.part == PART_JAR && what.a != view->slip.index;
    if (view->slip.kind != SLIP_NONE && !another) {
        gesture_type(view, (rv_part_at){PART_SLIP_ROW, view->slip.row, 0});
        return;
    }
    switch ((int)what.part) {
    case PART_JAR: /* what a painter changes of a jar is mostly how much of it there is */
        open_slip(view, (rv_slip){SLIP_JAR, what.a, SLIP_ROW_VOLUME});
        gesture_type(view, (rv_part_at){PART_SLIP_ROW, SLIP_ROW_VOLUME, 0});
        break;
    case PART_BASE: open_slip(view, (rv_slip){SLIP_BASE, 0, 0}); break;
    case PART_BOARD: open_slip(view, (rv_slip){SLIP_PANEL, 0, 0}); break;
    case PART_NAME: open_slip(view, (rv_slip){SLIP_PLAN, 0, 0}); break;
    case PART_MOVE: open_slip(view, (rv_slip){SLIP_MOVE, what.a, 0}); break;
    case PART_POURING:
    case PART_BURST: open_slip(view, (rv_slip){SLIP_POUR, what.a, 0}); break;
    case PART_TIME:
    case PART_END: gesture_type(view, what); break;
    default: gesture_choose(view, what, 0); break;
    }
}

static void escape(rv_view *view)
{
    if (view->slip.kind != SLIP_NONE)
        view->slip = (rv_slip){0};
    else if (view->rehearsal.on || view->playing)
        gesture_hold(view);
    else
        view->focus_seen = false;
}

/* Begins from what the start page offers of a kind: the first, or the one after so many others. */
static void start_from(rv_view *view, rv_start_kind kind, int after)
{
    for (int k = 0; k < view->start_count; k++)
        if (view->starts[k].kind == kind && after-- == 0)
            gesture_depart(view, (rv_errand_slip){.what = ERRAND_START, .number = k});
}

static bool with_control(rv_view *view, int key, unsigned mods)
{
    switch (key) {
    case 'o': gesture_depart(view, (rv_errand_slip){.what = ERRAND_OPEN}); return true;
    case 's': gesture_save(view, mods & MOD_SHIFT); return true;
    case 'e': view->errand = (rv_errand_slip){.what = ERRAND_PICTURE}; return true;
    case 'z': gesture_undo(view, mods & MOD_SHIFT); return true;
    case 'y': gesture_undo(view, true); return true;
    case 'd': gesture_copy_column(view); return true;
    case 'q':
    case 'w': gesture_leave(view); return true;
    case 'l':
        if (view->page == PAGE_BENCH)
            start_from(view, START_LAST, 0);
        return true;
    case 'r': start_from(view, START_LEFT, 0); return true;
    case 'n': gesture_depart(view, (rv_errand_slip){.what = ERRAND_START, .number = -1}); return true;
    default:
        if (key < '1' || key > '6')
            return false;
        gesture_choose(view, (rv_part_at){PART_SHEET, key - '1', 0}, mods);
        return true;
    }
}

static bool go_in_time(rv_view *view, int key, unsigned mods)
{
    const double step = mods & MOD_SHIFT ? 1 : 0.1;
    switch (key) {
    case ',': set_time(view, view->time - step); return true;
    case '.': set_time(view, view->time + step); return true;
    case KEY_HOME: view->time = 0; return true;
    case KEY_END: view->time = view_end(view); return true;
    case '[': change_speed(view, -1); return true;
    case ']': change_speed(view, 1); return true;
    default: return false;
    }
}

static void letter(rv_view *view, int key, unsigned mods)
{
    const rn_plan *plan = document_plan(view->doc);
    switch (key) {
    case KEY_SPACE: view->playing ? gesture_hold(view) : gesture_play(view); break;
    case '0':
        if (view->focus.part == PART_KNOB && view->rehearsal.on)
            view->rehearsal.hands.turn = 0;
        if (view->focus.part == PART_BUBBLE || view->playing)
            gesture_tilt(view, 0, 0);
        break;
    case 'n': add_jar(view); break;
    case 'k': open_slip(view, (rv_slip){SLIP_BASE, 0, 0}); break;
    case 'p': open_slip(view, (rv_slip){SLIP_PANEL, 0, 0}); break;
    case 'c':
        if (view->focus.part == PART_JAR || view->slip.kind == SLIP_JAR)
            gesture_type(view, (rv_part_at){PART_SLIP_COLOUR,
                                            view->slip.kind == SLIP_JAR ? view->slip.index : view->focus.a, 0});
        break;
    case 'd':
        view->sheets |= 1u << SHEET_DEPTH;
        view->focus = (rv_part_at){PART_DIPSTICK, 0, 0};
        view->focus_seen = true;
        break;
    case 'a':
    case 'b':
        view->sheets |= 1u << SHEET_SECTION;
        view->focus = (rv_part_at){key == 'a' ? PART_A : PART_B, 0, 0};
        view->focus_seen = true;
        break;
    case '-': view->peel = fmax(view->peel - 0.05, 0); break;
    case '=': view->peel = fmin(view->peel + 0.05, 1); break;
    case 'l': view->dark = !view->dark; break;
    case 'r': view->room = !view->room; break;
    case 'g': view->sheen = !view->sheen; break;
    case 'u': view->ounces = !view->ounces; break;
    case 'm': view->still_hands = !view->still_hands; break;
    case 't': gesture_trio(view, mods & MOD_SHIFT); break;
    case 'h': gesture_rehearse(view); break;
    case 'e':
        if (plan->paint_count == 0)
            start_from(view, START_EXAMPLE, mods & MOD_SHIFT ? 1 : 0);
        break;
    default:
        if (key >= '1' && key <= '6')
            gesture_choose(view, (rv_part_at){PART_SHEET, key - '1', 0}, mods);
        break;
    }
}

void gesture_key(rv_view *view, int key, unsigned mods)
{
    if (mods & MOD_CTRL && with_control(view, key, mods))
        return;
    if (view->page == PAGE_WINDOW && gesture_map_key(view, key, mods))
        return;
    if (go_in_time(view, key, mods))
        return;
    if (view->page == PAGE_SIDE && (key == KEY_LEFT || key == KEY_RIGHT) && view->column_count > 0) {
        view->column_focus =
            (view->column_focus + (key == KEY_RIGHT ? 1 : view->column_count - 1)) % view->column_count;
        return;
    }
    switch (key) {
    case KEY_F1:
        view->cover = COVER_KEYS;
        view->cover_scroll = 0;
        break;
    case KEY_F1 + 5: gesture_choose(view, (rv_part_at){PART_PAGE, ((int)view->page + 1) % PAGES, 0}, 0); break;
    case KEY_TAB: gesture_walk(view, mods & MOD_SHIFT ? -1 : 1, true); break;
    case KEY_PAGE_UP: gesture_walk(view, -1, false); break;
    case KEY_PAGE_DOWN: gesture_walk(view, 1, false); break;
    case KEY_LEFT: arrow(view, -1, 0, mods); break;
    case KEY_RIGHT: arrow(view, 1, 0, mods); break;
    case KEY_UP: arrow(view, 0, 1, mods); break;
    case KEY_DOWN: arrow(view, 0, -1, mods); break;
    case KEY_ENTER: enter(view); break;
    case KEY_ESCAPE: escape(view); break;
    case KEY_INSERT: add_block(view); break;
    case KEY_DELETE:
    case KEY_BACKSPACE:
        if (view->page == PAGE_SIDE)
            gesture_drop_column(view, view->column_focus);
        else
            remove_focus(view);
        break;
    default:
        if (!(mods & (MOD_CTRL | MOD_ALT)) || (key >= '1' && key <= '6'))
            letter(view, key, mods);
        break;
    }
}
