#include "rehearsal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/units.h"

#define PI 3.14159265358979323846

/* A number as it would stand in a plan file, read back: what is poured now and what is poured from the file later are the
   same to the last bit. */
static double written(const char *format, double number, rn_dimension dimension)
{
    char text[48];
    double value = 0;
    rn_error err = {0};
    snprintf(text, sizeof text, format, number);
    rn_units_read(&value, NULL, text, dimension, 0, &err);
    return value;
}

static rv_hands rounded(rv_hands hands)
{
    const double tilt = round(hands.tilt * 180 / PI * 2) / 2;
    double toward = round(hands.toward * 180 / PI / 5) * 5;
    toward = fmod(toward, 360);
    if (toward < 0)
        toward += 360;
    const double turn = round(hands.turn * 30 / PI * 2) / 2;
    return (rv_hands){.tilt = written("%.1f deg", tilt, RN_DIM_ANGLE),
                      .toward = tilt > 0 ? written("%.0f deg", toward, RN_DIM_ANGLE) : 0,
                      .turn = written("%.1f rpm", turn, RN_DIM_RATE)};
}

/* Takes away what the hands did from `time` on; what they were doing then ends there. */
static void cut_moves(rn_plan *plan, double time)
{
    int kept = 0;
    for (int k = 0; k < plan->move_count; k++) {
        rn_move move = plan->moves[k];
        const bool by_hand = move.kind == RN_MOVE_TILT || move.kind == RN_MOVE_TURN;
        if (by_hand && move.start >= time - 1e-9)
            continue;
        if (by_hand && move.start + move.duration > time) {
            move.duration = time - move.start;
            if (move.duration < 0.05)
                continue;
            move.ramp = fmin(move.ramp, 0.5 * move.duration);
        }
        plan->moves[kept++] = move;
    }
    plan->move_count = kept;
}

void rehearsal_begin(rv_rehearsal *rehearsal, rn_plan *draft, double time)
{
    cut_moves(draft, time);
    if (!draft->end_given) { /* the clock must not stop where the last move that was cut off did */
        draft->end = fmax(draft->end, time + 60);
        draft->end = ceil(draft->end);
        draft->end_given = true;
    }
    *rehearsal = (rv_rehearsal){.on = true, .began = time, .beat = time, .tilt_move = -1, .turn_move = -1};
}

static void close_move(rn_plan *draft, int *open, double time)
{
    if (*open >= 0 && *open < draft->move_count)
        draft->moves[*open].duration = time - draft->moves[*open].start;
    *open = -1;
}

/* Begins a move that lasts until the end, or until the next of its kind; false if there is no room for one. */
static bool open_move(rn_plan *draft, int *open, rn_move move)
{
    double until = draft->end;
    for (int k = 0; k < draft->move_count; k++) {
        const rn_move *other = &draft->moves[k];
        const bool axis = move.kind == RN_MOVE_TURN && other->kind == RN_MOVE_SPIN;
        if (!axis && other->kind != move.kind)
            continue;
        if (other->start + other->duration > move.start + 1e-9 && other->start <= move.start + 1e-9)
            return true; /* a spin has the table now */
        if (other->start > move.start)
            until = fmin(until, other->start);
    }
    if (draft->move_count >= RN_MOVES_MOST)
        return false;
    move.duration = until - move.start;
    if (move.duration < 0.05)
        return true;
    *open = draft->move_count;
    draft->moves[draft->move_count++] = move;
    return true;
}

bool rehearsal_beat(rv_rehearsal *rehearsal, rn_plan *draft, double time)
{
    const rv_hands now = rounded(rehearsal->hands), *held = &rehearsal->held;
    const bool tilts = now.tilt != held->tilt || now.toward != held->toward, turns = now.turn != held->turn;
    if (tilts) {
        close_move(draft, &rehearsal->tilt_move, time);
        if (now.tilt > 0 &&
            !open_move(draft, &rehearsal->tilt_move,
                       (rn_move){.kind = RN_MOVE_TILT, .start = time, .amount = now.tilt, .toward = now.toward}))
            rehearsal->full = true;
    }
    if (turns) {
        close_move(draft, &rehearsal->turn_move, time);
        if (now.turn != 0 && !open_move(draft, &rehearsal->turn_move,
                                        (rn_move){.kind = RN_MOVE_TURN, .start = time, .amount = now.turn}))
            rehearsal->full = true;
    }
    rehearsal->held = now;
    return tilts || turns;
}

void rehearsal_end(rv_rehearsal *rehearsal, rn_plan *draft, double time)
{
    close_move(draft, &rehearsal->tilt_move, time);
    close_move(draft, &rehearsal->turn_move, time);
    for (int k = draft->move_count - 1; k >= 0; k--) /* a hand that let go at once */
        if (draft->moves[k].duration < 0.05) {
            memmove(&draft->moves[k], &draft->moves[k + 1], (size_t)(draft->move_count - k - 1) * sizeof *draft->moves);
            draft->move_count--;
        }
    rehearsal->on = false;
}
