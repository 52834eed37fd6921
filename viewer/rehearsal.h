/* A pour rehearsed by hand: while time runs, what the hands do to the panel is written into the plan as moves that a person
   can read. A hand's tilt or turn is steady between changes: it is looked at every half second of the pour, rounded to
   half a degree, five degrees of bearing and half a turn a minute, and a change begins a new move. A hand on the ring says
   where the table shall stand; the table follows it from look to look. What has been played
   back from the plan that was so written is the same, bit for bit: the film must not be worked out past the next look at
   the hands (see rn_session_reach). */
#ifndef REHEARSAL_H
#define REHEARSAL_H

#include <stdbool.h>

#include "plan/plan.h"

#define REHEARSAL_BEAT 0.5    /* [s] */
#define REHEARSAL_HORIZON 0.4 /* a film with its history never looks further ahead than that [s] */

/* What the hands hold now. */
typedef struct rv_hands {
    double tilt, toward; /* [rad] */
    bool room;           /* toward is a bearing in the room: held there while the panel turns; else on the panel */
    double turn;         /* [rad/s] */
    bool grips;          /* a hand is on the ring and takes the table to */
    double turned;       /* so far [rad]; what it turns at follows from that */
} rv_hands;

typedef struct rv_rehearsal {
    bool on;
    double began;                  /* time shown when it did [s] */
    double beat;                   /* the next look at the hands [s] */
    rv_hands hands, held;          /* now; and at the last look, rounded */
    int tilt_move, turn_move;      /* of the plan, still open; -1: none */
    double tilt_since, turn_since; /* when these began [s] */
    bool gripped;                  /* a hand was on the ring at the last look, */
    double gripped_at;             /* and there [rad] */
    bool full;                     /* the plan holds no more moves */
} rv_rehearsal;

/* Begins at a time: what the plan's hands did later is cut off (tilts and turns; spins and releases stay). What they were
   doing then eases off from there on, so that nothing before that time changes. */
void rehearsal_begin(rv_rehearsal *rehearsal, rn_plan *draft, double time);

/* At a beat: writes what the hands hold from `time` on; true if the draft was changed. An open move lasts until the plan's
   end; a later change ends it at that moment. While a spin has the table, or an old move eases off, hands wait. */
bool rehearsal_beat(rv_rehearsal *rehearsal, rn_plan *draft, double time);

/* Ends at a time: what is open ends there. */
void rehearsal_end(rv_rehearsal *rehearsal, rn_plan *draft, double time);

#endif
