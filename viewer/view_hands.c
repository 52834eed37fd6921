/* Time and hands: playing, holding, rehearsing, and what the hands do to the panel. */
#include <math.h>

#include "base/physical.h"
#include "edit.h"
#include "gesture.h"
#include "gone.h"

#define BY_HAND "rehearsal by hand"
#define TILT_LASTS 8.0 /* a new tilt [s] */
#define TURN_LASTS 5.0 /* a new turn of the table [s] */
#define LEVEL 0.0044   /* less than a quarter of a degree is level [rad] */

static double clamp(double value, double least, double most)
{
    return fmin(fmax(value, least), most);
}

void gesture_play(rv_view *view)
{
    if (view->time >= view_end(view) - 1e-9)
        view->time = 0;
    view->playing = true;
}

/* The whole rehearsal is one change, whatever else the hands do meanwhile. */
static bool commit_by_hand(rv_view *view, rn_plan *draft)
{
    view->joined = true;
    return gesture_commit(view, draft, BY_HAND, true);
}

void gesture_hold(rv_view *view)
{
    view->playing = false;
    if (!view->rehearsal.on)
        return;
    if (view->drag.part == PART_BUBBLE || view->drag.part == PART_KNOB)
        view->drag = (rv_part_at){0}; /* a hand that still moves then is not one that changes the plan */
    rn_plan *draft = document_draft(view->doc);
    if (!draft) {
        view_say(view, true, "No memory to end the rehearsal.");
        return;
    }
    rehearsal_end(&view->rehearsal, draft, view->rehearsal.beat);
    if (commit_by_hand(view, draft))
        view_say(view, false, "Rehearsed to %.0f s. Ctrl+S keeps it as a plan.", view->rehearsal.beat);
    view->edited = NAN;
}

void gesture_rehearse(rv_view *view)
{
    if (view->rehearsal.on)
        return;
    rn_plan *draft = document_draft(view->doc);
    if (!draft) {
        view_say(view, true, "No memory for a rehearsal.");
        return;
    }
    const double time = ceil(view->time / REHEARSAL_BEAT - 1e-9) * REHEARSAL_BEAT;
    const int moves = draft->move_count;
    rehearsal_begin(&view->rehearsal, draft, time);
    const int gone = moves - draft->move_count;
    if (!gesture_commit(view, draft, BY_HAND, false)) {
        view->rehearsal.on = false;
        return;
    }
    if (gone > 0)
        view_say(view, false,
                 "By hand from %.4g s on: the plan's later tilts and turns, %d of them, are taken out. Ctrl+Z brings "
                 "them back.",
                 time, gone);
    view->speed = fmin(view->speed, 1);
    view->playing = true;
    view->edited = NAN;
}

/* One look at the hands; from the beat on the plan says what they hold. */
static void beat(rv_view *view)
{
    rv_rehearsal *rehearsal = &view->rehearsal;
    rn_plan *draft = document_draft(view->doc);
    if (!draft) {
        view_say(view, true, "No memory to go on rehearsing.");
        gesture_hold(view);
        return;
    }
    const double time = rehearsal->beat;
    if (rehearsal_beat(rehearsal, draft, time))
        commit_by_hand(view, draft);
    else
        rn_plan_free(draft);
    view->edited = NAN;
    rehearsal->beat = time + REHEARSAL_BEAT;
    if (rehearsal->full) {
        gesture_hold(view);
        view_say(view, true, "The plan holds no more moves: the rehearsal ends here.");
    }
}

void gesture_tick(rv_view *view, double since)
{
    if (!view->playing)
        return;
    const double end = view_end(view);
    if (!view->rehearsal.on) {
        const double to = isinf(view->speed) ? view->solved : view->time + since * view->speed;
        /* Time waits for what is being worked out, and never runs back. */
        view->time = fmax(view->time, fmin(to, fmin(end, view->solved)));
        if (view->time >= end - 1e-9)
            view->playing = false;
        return;
    }
    rv_rehearsal *rehearsal = &view->rehearsal;
    const double speed = isinf(view->speed) ? 1 : view->speed;
    view->time = fmin(view->time + since * speed, rehearsal->beat);
    if (view->time < rehearsal->beat || view->solved < rehearsal->beat - REHEARSAL_HORIZON - 1e-9)
        return;
    beat(view);
    if (rehearsal->on && rehearsal->beat >= end - 1e-9)
        gesture_hold(view);
}

/* The tilt or turn that holds at the time shown; -1: none. */
static int move_at(const rn_plan *plan, rn_move_kind kind, double time)
{
    for (int k = 0; k < plan->move_count; k++) {
        const rn_move *move = &plan->moves[k];
        if (move->kind == kind && time >= move->start && time <= move->start + move->duration)
            return k;
    }
    return -1;
}

/* A block of that kind under the plumb line, made if there is none; -1 if there is no room. */
static int block_here(rn_plan *draft, rn_move_kind kind, double time, double lasts)
{
    const int move = move_at(draft, kind, time);
    double from, to;
    if (move >= 0 || !edit_gap(&from, &to, draft, kind, time))
        return move;
    return edit_add_move(draft, kind, time, fmin(lasts, to - time));
}

void gesture_tilt(rv_view *view, double tilt, double toward)
{
    tilt = clamp(tilt, 0, 0.5 * RN_PI);
    if (view->playing) {
        gesture_rehearse(view);
        view->rehearsal.hands.tilt = tilt < LEVEL ? 0 : tilt;
        view->rehearsal.hands.room =
            view->room && view->page == PAGE_BENCH; /* where the bubble stays while the panel turns */
        view->rehearsal.hands.toward = toward + view_turned(view);
        return;
    }
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    const double time = round(view->time * 10) / 10;
    const int move =
        tilt < LEVEL ? move_at(draft, RN_MOVE_TILT, time) : block_here(draft, RN_MOVE_TILT, time, TILT_LASTS);
    if (move < 0) {
        rn_plan_free(draft);
        if (tilt >= LEVEL)
            view_say(view, true, "No room for a tilt at %.1f s.", time);
        return;
    }
    const double end = document_plan(view->doc)->end;
    char gone[GONE_SIZE] = "";
    if (tilt < LEVEL) {
        if (view->drag.part != PART_BUBBLE) /* a hand that holds the bubble has not let it go there yet */
            gone_words(gone, view, (rv_part_at){PART_MOVE, move, 0});
        edit_remove_move(draft, move);
    } else {
        double bearing = toward;
        if (draft->moves[move].room_frame)
            bearing += rn_motion_pose(draft->moves, draft->move_count, &draft->panel, time).turned;
        edit_set_amount(draft, move, round(tilt * 1800 / RN_PI) / 1800 * RN_PI); /* tenths of a degree */
        edit_set_toward(draft, move, round(bearing * 180 / RN_PI) / 180 * RN_PI);
        view->focus = (rv_part_at){PART_MOVE, move, 0};
    }
    if (gesture_commit(view, draft, "tilt", view->drag.part == PART_BUBBLE) && gone[0])
        gone_say(view, gone, end);
}

void gesture_grip(rv_view *view, double step)
{
    gesture_rehearse(view);
    if (!view->rehearsal.on)
        return;
    rv_hands *hands = &view->rehearsal.hands;
    if (!hands->grips) {
        const rn_plan *plan = document_plan(view->doc);
        hands->grips = true;
        hands->turned = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, view->time).turned;
    }
    hands->turned += step;
}

void gesture_let_go(rv_view *view)
{
    if (view->rehearsal.hands.grips)
        view->rehearsal.hands.turn = 0;
    view->rehearsal.hands.grips = false;
}

void gesture_turn_by(rv_view *view, double angle)
{
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    const double time = round(view->time * 10) / 10;
    const int move = block_here(draft, RN_MOVE_TURN, time, TURN_LASTS);
    if (move < 0) {
        rn_plan_free(draft);
        view_say(view, true, "No room for a turn at %.1f s.", time);
        return;
    }
    const rn_move *turn = &draft->moves[move];
    const double held = turn->duration - turn->ramp; /* of the time at full rate, ramps counting half */
    const double rate = held > 0 ? angle / held : 0;
    edit_set_amount(draft, move, round(rate * 300 / RN_PI) / 300 * RN_PI); /* tenths of a turn a minute */
    if (fabs(rate) * 300 / RN_PI < 0.5)
        edit_remove_move(draft, move);
    else
        view->focus = (rv_part_at){PART_MOVE, move, 0};
    gesture_commit(view, draft, "turn of the table", view->drag.part == PART_KNOB);
}
