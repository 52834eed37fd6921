/* Changes to what the hands and the table do. */
#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "tidy.h"

#define SHORTEST 0.5 /* of a move that is made or stretched by hand [s] */
#define DAY 86400.0  /* as long as a plan may last [s] */

/* A panel has one axis: turns and spins keep clear of each other, as tilts do among themselves and rests. */
static int group(rn_move_kind kind)
{
    return kind == RN_MOVE_SPIN ? (int)RN_MOVE_TURN : (int)kind;
}

/* The free time around `time` in a move's group, without the move itself (-1: any). False if one is there. */
static bool gap(double *from, double *to, const rn_plan *plan, rn_move_kind kind, int without, double time)
{
    *from = 0;
    *to = DAY;
    for (int k = 0; k < plan->move_count; k++) {
        const rn_move *other = &plan->moves[k];
        if (k == without || group(other->kind) != group(kind))
            continue;
        const double end = other->start + other->duration;
        if (time >= other->start && time < end)
            return false;
        if (end <= time)
            *from = fmax(*from, end);
        else
            *to = fmin(*to, other->start);
    }
    return true;
}

bool edit_gap(double *from, double *to, const rn_plan *plan, rn_move_kind kind, double time)
{
    return gap(from, to, plan, kind, -1, time);
}

static void fit_ramp(rn_move *move)
{
    move->ramp = tidy_within(move->ramp, 0, 0.5 * move->duration, RN_DIM_TIME, 2);
}

/* From start to end within a gap, in hundredths of a second where the gap leaves room for it. */
static void set_span(rn_move *move, double start, double end, double from, double to)
{
    move->start = tidy_within(start, from, to, RN_DIM_TIME, 2);
    move->duration = tidy_within(end - move->start, 0, to - move->start, RN_DIM_TIME, 2);
    fit_ramp(move);
}

/* A plan with an end of its own lasts at least as long as what is in it. */
static void keep_end(rn_plan *plan)
{
    if (plan->end_given)
        plan->end = fmax(plan->end, rn_motion_end(plan->moves, plan->move_count));
}

int edit_add_move(rn_plan *plan, rn_move_kind kind, double start, double duration)
{
    double from, to;
    if (plan->move_count >= RN_MOVES_MOST || !gap(&from, &to, plan, kind, -1, start))
        return -1;
    rn_move move = {.kind = kind};
    set_span(&move, start, start + fmax(duration, SHORTEST), from, to);
    if (move.duration < 0.1)
        return -1;
    switch (kind) {
    case RN_MOVE_REST: break;
    case RN_MOVE_TURN:
        move.amount = tidy(4 * RN_RPM, RN_DIM_RATE, 2);
        move.ramp = 1;
        break;
    case RN_MOVE_SPIN:
        move.amount = tidy(30 * RN_RPM, RN_DIM_RATE, 2);
        move.ramp = 2;
        break;
    case RN_MOVE_TILT:
        move.amount = tidy(4 * RN_DEGREE, RN_DIM_ANGLE, 2);
        move.ramp = 0.5;
        break;
    }
    fit_ramp(&move);
    const int made = plan->move_count++;
    plan->moves[made] = move;
    keep_end(plan);
    return made;
}

void edit_remove_move(rn_plan *plan, int move)
{
    memmove(&plan->moves[move], &plan->moves[move + 1], (size_t)(plan->move_count - move - 1) * sizeof *plan->moves);
    plan->move_count--;
}

void edit_shift_move(rn_plan *plan, int move, double start)
{
    rn_move *m = &plan->moves[move];
    double from, to;
    if (!gap(&from, &to, plan, m->kind, move, m->start + 0.5 * m->duration))
        return;
    if (to - from < m->duration)
        return;
    m->start = tidy_within(start, from, to - m->duration, RN_DIM_TIME, 2);
    keep_end(plan);
}

void edit_stretch_move(rn_plan *plan, int move, double start, double end)
{
    rn_move *m = &plan->moves[move];
    double from, to;
    if (!gap(&from, &to, plan, m->kind, move, m->start + 0.5 * m->duration))
        return;
    const double least = fmin(SHORTEST, m->duration), was = m->start + m->duration;
    if (fabs(end - was) > fabs(start - m->start)) /* this end is moved */
        set_span(m, m->start, fmax(end, m->start + least), from, to);
    else
        set_span(m, fmin(start, was - least), was, from, to);
    keep_end(plan);
}

void edit_set_amount(rn_plan *plan, int move, double amount)
{
    rn_move *m = &plan->moves[move];
    switch (m->kind) {
    case RN_MOVE_REST: break;
    case RN_MOVE_TURN: m->amount = tidy_within(amount, -60 * RN_RPM, 60 * RN_RPM, RN_DIM_RATE, 2); break;
    case RN_MOVE_SPIN: m->amount = tidy_within(amount, -3000 * RN_RPM, 3000 * RN_RPM, RN_DIM_RATE, 2); break;
    case RN_MOVE_TILT: m->amount = tidy_within(amount, 0, 0.5 * RN_PI, RN_DIM_ANGLE, 2); break;
    }
}

void edit_set_toward(rn_plan *plan, int move, double bearing)
{
    plan->moves[move].toward = tidy_bearing(bearing, 0.5, &plan->panel);
}
