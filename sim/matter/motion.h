/* What the hands and the table do: tilts, slow turns, spins, on one clock; and the body force that follows. */
#ifndef RN_MATTER_MOTION_H
#define RN_MATTER_MOTION_H

#include <stdbool.h>

#include "matter/panel.h"

typedef enum rn_move_kind {
    RN_MOVE_REST,
    RN_MOVE_TURN,
    RN_MOVE_TILT,
    RN_MOVE_SPIN,
} rn_move_kind;

/* Ramps lie inside the duration and follow u*u*(3-2u). */
typedef struct rn_move {
    rn_move_kind kind;
    double start, duration; /* [s] */
    double amount;          /* turn, spin: rate, + counter-clockwise from above [rad/s]; tilt: angle [rad] */
    double ramp;            /* [s], at most half the duration */
    double toward;          /* tilt: downhill bearing, counter-clockwise from right [rad] */
    bool room_frame;        /* tilt: toward a place in the room, so that a turning panel swings its slope */
} rn_move;

/* The panel's pose and the forces in its own frame at one moment. */
typedef struct rn_pose {
    double turned;                               /* angle turned so far, counter-clockwise [rad] */
    double rate, acceleration;                   /* of the turn [rad/s, rad/s2] */
    double tilt;                                 /* angle of the panel to the level, bench slope included [rad] */
    double downhill;                             /* bearing of the slope in the panel's frame [rad]; 0 when level */
    double gravity_x, gravity_y, gravity_normal; /* [m/s2]; normal is positive into the panel */
} rn_pose;

/* The pose at time t [s]. Exact: the angle turned is the integral of the ramps. */
rn_pose rn_motion_pose(const rn_move *moves, int count, const rn_panel *panel, double t);

/* The first time after t at which a move or one of its ramps begins or ends; INFINITY if none. */
double rn_motion_next_break(const rn_move *moves, int count, double t);

/* When the last move ends [s]; 0 if none. */
double rn_motion_end(const rn_move *moves, int count);

#endif
