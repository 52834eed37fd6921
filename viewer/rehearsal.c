#include "rehearsal.h"

#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "tidy.h"

#define SAME_MOMENT 1e-9 /* [s] */
#define SHORTEST 0.05    /* of a move that a plan takes [s] */
#define TILT_MOST (90 * RN_DEGREE)
#define TURN_MOST (60 * RN_RPM)
/* A hand on the ring that is this close to where the table goes anyhow leaves it at that, */
#define GRIP (4 * RN_DEGREE)
#define STILL (0.3 * RN_DEGREE) /* and rests when it has moved no further since the last look. */
#define CATCH_UP 2.0            /* what a moving hand is ahead by besides is made up in so long [s] */

static double to_halves(double value, double unit, rn_dimension dimension)
{
    return tidy(round(value / unit * 2) / 2 * unit, dimension, 1);
}

static rv_hands rounded(rv_hands hands, const rn_panel *panel)
{
    rv_hands made = {.tilt = to_halves(fmin(fmax(hands.tilt, 0), TILT_MOST), RN_DEGREE, RN_DIM_ANGLE),
                     .turn = to_halves(fmin(fmax(hands.turn, -TURN_MOST), TURN_MOST), RN_RPM, RN_DIM_RATE)};
    if (made.tilt > 0) {
        made.toward = tidy_bearing(hands.toward, 5, panel);
        made.room = hands.room;
    }
    return made;
}

static double end_of(const rn_move *move)
{
    return move->start + move->duration;
}

static bool turns(const rn_move *move)
{
    return move->kind == RN_MOVE_TURN || move->kind == RN_MOVE_SPIN;
}

static void remove_move(rn_plan *plan, int k)
{
    memmove(&plan->moves[k], &plan->moves[k + 1], (size_t)(plan->move_count - k - 1) * sizeof *plan->moves);
    plan->move_count--;
}

/* Takes away what the hands did from `time` on. A move that holds then begins its falling ramp there, or as soon as it has
   risen. */
static void cut_moves(rn_plan *plan, double time)
{
    for (int k = plan->move_count - 1; k >= 0; k--) {
        rn_move *move = &plan->moves[k];
        if (move->kind != RN_MOVE_TILT && move->kind != RN_MOVE_TURN)
            continue;
        if (move->start >= time - SAME_MOMENT) {
            remove_move(plan, k);
            continue;
        }
        const double ramp = fmin(move->ramp, 0.5 * move->duration);
        const double least = fmax(fmax(time - move->start, ramp) + ramp, SHORTEST);
        if (least < move->duration)
            move->duration = tidy_within(least, least, move->duration, RN_DIM_TIME, 2);
    }
}

void rehearsal_begin(rv_rehearsal *rehearsal, rn_plan *draft, double time)
{
    cut_moves(draft, time);
    if (!draft->end_given) { /* the clock must not stop where the last move that was cut off did */
        draft->end = ceil(fmax(draft->end, time + 60));
        draft->end_given = true;
    }
    *rehearsal = (rv_rehearsal){.on = true, .began = time, .beat = time, .tilt_move = -1, .turn_move = -1};
}

/* The open move, wherever it has got to in the list; -1 if it is gone. */
static int find_open(const rn_plan *plan, int open, rn_move_kind kind, double since)
{
    if (open < 0)
        return -1;
    if (open < plan->move_count && plan->moves[open].kind == kind && plan->moves[open].start == since)
        return open;
    for (int k = 0; k < plan->move_count; k++)
        if (plan->moves[k].kind == kind && plan->moves[k].start == since)
            return k;
    return -1;
}

static void close_move(rn_plan *draft, int open, double time)
{
    draft->moves[open].duration = time - draft->moves[open].start;
    if (draft->moves[open].duration < SHORTEST)
        remove_move(draft, open);
}

/* Until when a move of that kind could last from `time` on; no later than `time` where another holds. */
static double free_until(const rn_plan *plan, rn_move_kind kind, double time)
{
    double until = plan->end;
    for (int k = 0; k < plan->move_count; k++) {
        const rn_move *other = &plan->moves[k];
        if (kind == RN_MOVE_TURN ? !turns(other) : other->kind != kind)
            continue;
        if (end_of(other) > time + SAME_MOMENT)
            until = fmin(until, fmax(other->start, time));
    }
    return until;
}

/* One kind of move at a beat: goes on with the open one, or ends it and begins another. */
static bool hold(rv_rehearsal *rehearsal, rn_plan *draft, int *open, double *since, rn_move wanted)
{
    const double time = wanted.start;
    bool changed = false;
    const int held = find_open(draft, *open, wanted.kind, *since);
    *open = held;
    if (held >= 0 && end_of(&draft->moves[held]) > time + SAME_MOMENT) {
        const rn_move *now = &draft->moves[held];
        if (now->amount == wanted.amount && now->toward == wanted.toward && now->room_frame == wanted.room_frame)
            return false;
        close_move(draft, held, time);
        changed = true;
    }
    *open = -1;
    wanted.duration = free_until(draft, wanted.kind, time) - time;
    if (wanted.amount == 0 || wanted.duration < SHORTEST)
        return changed;
    if (draft->move_count >= RN_MOVES_MOST) {
        rehearsal->full = true;
        return changed;
    }
    *open = draft->move_count;
    *since = time;
    draft->moves[draft->move_count++] = wanted;
    return true;
}

/* Whether a bearing in the room and one on the panel will not be the same. */
static bool swings(const rn_plan *plan, double time)
{
    for (int k = 0; k < plan->move_count; k++)
        if (turns(&plan->moves[k]) && plan->moves[k].amount != 0 &&
            (plan->moves[k].start <= time || end_of(&plan->moves[k]) > time))
            return true;
    return false;
}

/* The rate at which the table follows the hand on the ring, one look behind. It is kept while it does nearly that, and takes
   its pace from the hand, so that one that turns steadily, however slowly, writes one move and not one for each look. */
static double follow(rv_rehearsal *rehearsal, const rn_plan *draft, double time)
{
    const double turned = rn_motion_pose(draft->moves, draft->move_count, &draft->panel, time).turned;
    if (rehearsal->turn_move < 0 && free_until(draft, RN_MOVE_TURN, time - REHEARSAL_BEAT) <= time)
        rehearsal->hands.turned = turned; /* something else had the table: the ring slips through the hand */
    const double lag = rehearsal->hands.turned - turned;
    const double moved = rehearsal->gripped ? rehearsal->hands.turned - rehearsal->gripped_at : lag;
    if (fabs(moved) < STILL)
        return fabs(lag) < GRIP ? 0 : lag / REHEARSAL_BEAT;
    const double kept = rehearsal->turn_move >= 0 ? rehearsal->held.turn : 0;
    if (fabs(lag - kept * REHEARSAL_BEAT) < GRIP)
        return kept;
    return moved / REHEARSAL_BEAT + (lag - moved) / CATCH_UP;
}

bool rehearsal_beat(rv_rehearsal *rehearsal, rn_plan *draft, double time)
{
    if (rehearsal->hands.grips)
        rehearsal->hands.turn = follow(rehearsal, draft, time);
    rehearsal->gripped = rehearsal->hands.grips;
    rehearsal->gripped_at = rehearsal->hands.turned;
    const rv_hands now = rounded(rehearsal->hands, &draft->panel);
    const bool turned = hold(rehearsal, draft, &rehearsal->turn_move, &rehearsal->turn_since,
                             (rn_move){.kind = RN_MOVE_TURN, .start = time, .amount = now.turn});
    const bool tilted = hold(rehearsal, draft, &rehearsal->tilt_move, &rehearsal->tilt_since,
                             (rn_move){.kind = RN_MOVE_TILT,
                                       .start = time,
                                       .amount = now.tilt,
                                       .toward = now.toward,
                                       .room_frame = now.room && swings(draft, time)});
    rehearsal->held = now;
    return turned || tilted;
}

void rehearsal_end(rv_rehearsal *rehearsal, rn_plan *draft, double time)
{
    int open = find_open(draft, rehearsal->tilt_move, RN_MOVE_TILT, rehearsal->tilt_since);
    if (open >= 0 && end_of(&draft->moves[open]) > time)
        close_move(draft, open, time);
    open = find_open(draft, rehearsal->turn_move, RN_MOVE_TURN, rehearsal->turn_since);
    if (open >= 0 && end_of(&draft->moves[open]) > time)
        close_move(draft, open, time);
    rehearsal->tilt_move = rehearsal->turn_move = -1;
    rehearsal->on = false;
}
