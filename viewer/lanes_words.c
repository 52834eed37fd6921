/* What the lanes say: a summary at the left of each, and a line about the block with the focus. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "edit.h"
#include "lanes.h"

const char *const lanes_names[LANES] = {"release", "turn", "tilt", "spin", "rest"};

rv_lane lanes_of(rn_move_kind kind)
{
    switch (kind) {
    case RN_MOVE_TURN: return LANE_TURN;
    case RN_MOVE_TILT: return LANE_TILT;
    case RN_MOVE_SPIN: return LANE_SPIN;
    case RN_MOVE_REST: break;
    }
    return LANE_REST;
}

double lanes_still(const rn_plan *plan)
{
    double still = rn_motion_end(plan->moves, plan->move_count);
    for (int k = 0; k < plan->pour_count; k++)
        still = fmax(still, rn_pour_end(&plan->pours[k]));
    return still;
}

static void toward_words(char *text, int size, const rn_plan *plan, double toward)
{
    for (int y = -1; y <= 1; y++)
        for (int x = -1; x <= 1; x++) {
            if ((!x && !y) || fabs(remainder(rn_place_bearing(&plan->panel, x, y) - toward, 2 * RN_PI)) > 0.02)
                continue;
            const char *const rows[3] = {"front", "", "back"}, *const columns[3] = {"left", "", "right"};
            snprintf(text, (size_t)size, "%s%s%s", rows[y + 1], x && y ? " " : "", columns[x + 1]);
            return;
        }
    const double degrees = fmod(toward * 180 / RN_PI + 360, 360);
    snprintf(text, (size_t)size, "%.0f°", degrees);
}

static void amount_words(char *text, int size, const rn_move *move)
{
    if (move->kind == RN_MOVE_TILT)
        snprintf(text, (size_t)size, "%.1f°", move->amount * 180 / RN_PI);
    else
        snprintf(text, (size_t)size, move->kind == RN_MOVE_TURN ? "%.1f rpm %s" : "%.0f rpm %s",
                 fabs(move->amount) / RN_RPM, canvas_sense(move->amount));
}

void lanes_summary(char *text, int size, const rv_canvas *canvas, rv_lane lane)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const bool compact = canvas->at.compact;
    char amount[48], volume[48];
    int count = 0, first = -1;
    if (lane == LANE_RELEASE) {
        for (int k = 0; k < plan->pour_count; k++)
            count += plan->pours[k].lifts;
        canvas_volume(canvas, volume, sizeof volume, rn_plan_poured_all(plan));
        if (count == 0)
            snprintf(text, (size_t)size, "none");
        else if (compact)
            snprintf(text, (size_t)size, count == 1 ? "1 burst" : "%d bursts", count);
        else
            snprintf(text, (size_t)size, count == 1 ? "%s, 1 burst" : "%s, %d bursts", volume, count);
        return;
    }
    for (int k = 0; k < plan->move_count; k++)
        if (lanes_of(plan->moves[k].kind) == lane) {
            first = first < 0 || plan->moves[k].start < plan->moves[first].start ? k : first;
            count++;
        }
    const double still = lanes_still(plan);
    if (count == 0 && lane == LANE_REST && plan->end > still)
        snprintf(text, (size_t)size, "from %.0f s", still);
    else if (count == 0)
        snprintf(text, (size_t)size, "none");
    else if (count > 1)
        snprintf(text, (size_t)size, "%d %ss", count, lane == LANE_SPIN ? "spin" : lanes_names[lane]);
    else {
        const rn_move *move = &plan->moves[first];
        amount_words(amount, sizeof amount, move);
        if (lane == LANE_REST)
            snprintf(text, (size_t)size, "%.0f–%.0f s", move->start, move->start + move->duration);
        else if (compact)
            snprintf(text, (size_t)size, "%s", amount);
        else
            snprintf(text, (size_t)size, "%s at %.0f–%.0f s", amount, move->start, move->start + move->duration);
    }
}

bool lanes_note(char *text, int size, const rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rn_plan *plan = document_plan(view->doc);
    const rv_part_at at = view->drag.part ? view->drag : view->focus;
    const bool typed = view->typing.on && view->typing.what.part == PART_END;
    char amount[64], toward[64];
    if (typed) {
        snprintf(text, (size_t)size, "the plan ends at %.*s|", 60, view->typing.text);
        return true;
    }
    switch ((int)at.part) {
    case PART_MOVE:
    case PART_MOVE_START:
    case PART_MOVE_END:
    case PART_MOVE_AMOUNT: break;
    case PART_POURING:
    case PART_BURST:
    case PART_BURST_FOOT:
    case PART_BURST_TOP:
    case PART_POURING_END: {
        if (at.a >= plan->pour_count)
            return false;
        const rn_pour *pour = &plan->pours[at.a];
        canvas_volume(canvas, amount, sizeof amount, edit_burst_volume(plan, at.a, at.b < pour->lifts ? at.b : 0));
        snprintf(
            text, (size_t)size, "burst %d of %d: %s in %.1f s, from %.1f s.  arrows move, Shift lengthens, Alt amount",
            (at.b < pour->lifts ? at.b : 0) + 1, pour->lifts, amount, pour->open, pour->start + at.b * pour->every);
        return true;
    }
    case PART_END:
        snprintf(text, (size_t)size, "the plan ends at %.0f s.  Enter types another end", plan->end);
        return true;
    default: return false;
    }
    if (at.a >= plan->move_count)
        return false;
    const rn_move *move = &plan->moves[at.a];
    int count = 0, place = 0;
    for (int k = 0; k < plan->move_count; k++)
        if (plan->moves[k].kind == move->kind) {
            count++;
            place += plan->moves[k].start <= move->start;
        }
    amount_words(amount, sizeof amount, move);
    toward_words(toward, sizeof toward, plan, move->toward);
    const char *name = move->kind == RN_MOVE_REST ? "rest" : lanes_names[lanes_of(move->kind)];
    char doing[160] = "";
    if (move->kind == RN_MOVE_TILT)
        snprintf(doing, sizeof doing, ": %s down to %s%s", amount, toward, move->room_frame ? " of the room" : "");
    else if (move->kind != RN_MOVE_REST)
        snprintf(doing, sizeof doing, ": %s", amount);
    snprintf(text, (size_t)size, "%s %d of %d%s, %.1f–%.1f s.  arrows move, Shift lengthens, up and down change it",
             name, place, count, doing, move->start, move->start + move->duration);
    return true;
}
