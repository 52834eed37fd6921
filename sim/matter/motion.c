/* Pose of the panel on its table, from the list of moves.

   A ramp follows S(u) = u*u*(3-2u), u from 0 to 1, so that a rate or an angle starts and stops without a jerk.
   The angle turned is the integral of the rate: over a ramp of length r, int_0^s S(s'/r) ds' = r (u^3 - u^4/2).

   Gravity in the panel's frame is R_tilt R_turn g_bench: the bench's slope is fixed in the room, the table turns on
   the bench, and the panel is tilted on the table. */
#include "matter/motion.h"

#include <math.h>

#include "base/physical.h"

/* Two events closer than this are one [s]: 60 + 8 and 67.9 + 0.1 must not leave a step of 1e-14 s between them. */
#define SAME_MOMENT 1e-9

static bool turns(const rn_move *move)
{
    return move->kind == RN_MOVE_TURN || move->kind == RN_MOVE_SPIN;
}

static double ramp_of(const rn_move *move)
{
    return fmax(0.0, fmin(move->ramp, 0.5 * move->duration));
}

static double smooth(double u)
{
    return u * u * (3.0 - 2.0 * u);
}

static double smooth_slope(double u)
{
    return 6.0 * u * (1.0 - u);
}

static double smooth_integral(double u)
{
    return u * u * u * (1.0 - 0.5 * u);
}

/* How far a move is on, 0..1, and d/dt of that; s is the time since its start [s]. */
static double strength(double *slope, const rn_move *move, double s)
{
    double ramp = ramp_of(move), left = move->duration - s;
    *slope = 0.0;
    if (s < 0.0 || left <= 0.0)
        return 0.0;
    if (s < ramp) {
        *slope = smooth_slope(s / ramp) / ramp;
        return smooth(s / ramp);
    }
    if (left < ramp) {
        *slope = -smooth_slope(left / ramp) / ramp;
        return smooth(left / ramp);
    }
    return 1.0;
}

/* Integral of strength from the start to s [s]. */
static double strength_integral(const rn_move *move, double s)
{
    double ramp = ramp_of(move), whole = fmax(0.0, move->duration - ramp);
    if (s <= 0.0)
        return 0.0;
    if (s >= move->duration)
        return whole;
    if (s < ramp)
        return ramp * smooth_integral(s / ramp);
    double left = move->duration - s;
    if (left < ramp)
        return whole - ramp * smooth_integral(left / ramp);
    return s - 0.5 * ramp;
}

/* Tips the panel by `angle` so that the bearing `toward` (in its own frame) goes down: v is gravity in its frame. */
static void tip(double v[3], double angle, double toward)
{
    double dx = cos(toward), dy = sin(toward), c = cos(angle), s = sin(angle);
    double along = v[0] * dx + v[1] * dy;
    double change = along * (c - 1.0) - v[2] * s;
    v[2] = v[2] * c + along * s;
    v[0] += change * dx;
    v[1] += change * dy;
}

rn_pose rn_motion_pose(const rn_move *moves, int count, const rn_panel *panel, double t)
{
    rn_pose pose = {0};
    for (int k = 0; k < count; k++) {
        if (!turns(&moves[k]))
            continue;
        double slope, s = t - moves[k].start;
        pose.rate += moves[k].amount * strength(&slope, &moves[k], s);
        pose.acceleration += moves[k].amount * slope;
        pose.turned += moves[k].amount * strength_integral(&moves[k], s);
    }

    /* The bench, seen from the turned table. */
    double seen = panel->downhill - pose.turned;
    double v[3] = {RN_GRAVITY * sin(panel->slope) * cos(seen), RN_GRAVITY * sin(panel->slope) * sin(seen),
                   -RN_GRAVITY * cos(panel->slope)};

    for (int k = 0; k < count; k++) {
        if (moves[k].kind != RN_MOVE_TILT)
            continue;
        double slope, angle = moves[k].amount * strength(&slope, &moves[k], t - moves[k].start);
        if (angle != 0.0)
            tip(v, angle, moves[k].room_frame ? moves[k].toward - pose.turned : moves[k].toward);
    }

    pose.gravity_x = v[0];
    pose.gravity_y = v[1];
    pose.gravity_normal = -v[2];
    double in_plane = hypot(v[0], v[1]);
    pose.tilt = atan2(in_plane, -v[2]);
    pose.downhill = in_plane > 1e-12 * RN_GRAVITY ? atan2(v[1], v[0]) : 0.0;
    return pose;
}

double rn_motion_next_break(const rn_move *moves, int count, double t)
{
    double next = INFINITY;
    for (int k = 0; k < count; k++) {
        double ramp = ramp_of(&moves[k]), end = moves[k].start + moves[k].duration;
        double events[4] = {moves[k].start, moves[k].start + ramp, end - ramp, end};
        for (int e = 0; e < 4; e++)
            if (events[e] > t + SAME_MOMENT && events[e] < next)
                next = events[e];
    }
    return next;
}

double rn_motion_end(const rn_move *moves, int count)
{
    double end = 0.0;
    for (int k = 0; k < count; k++)
        end = fmax(end, moves[k].start + moves[k].duration);
    return end;
}
