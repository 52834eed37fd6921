/* One number of a plan that a search turns at: a key, the volume poured, or the consistency. */
#ifndef RN_SEARCH_DIAL_H
#define RN_SEARCH_DIAL_H

#include "plan/plan.h"

#define RN_DIAL_PATH 96
#define RN_DIAL_DIGITS 4 /* values are tried with so many, so that what is printed is what was tried */

typedef struct rn_dial {
    char path[RN_DIAL_PATH];
    rn_dimension dimension;
    double now;       /* what the plan says, as a magnitude; NaN: nothing */
    double from, to;  /* what is searched, as magnitudes */
    bool negative;    /* a turn or spin clockwise: magnitudes are of values below zero */
    bool logarithmic; /* better gone through by factors than by steps */
    bool whole;
    bool cut;       /* more was asked for than the key's table, or the plan's limit of spin, takes */
    bool with_base; /* poured: base coats and puddles are scaled alike */
} rn_dial;

/* The dial of a path (as for rn_plan_set). from, to: as one writes them, NULL for what suits the plan: for poured from an
   eighth of it up to eight times as much or 8 mm all over; for others a sixteenth to sixteen times, within the key's
   table and the plan's limit of spin; where the plan says 0, the key's whole range. RN_E_PLAN says what is wrong. */
rn_status rn_dial_make(rn_dial *dial, const rn_plan *plan, const char *path, const char *from, const char *to,
                       rn_error *err);

/* Takes a dial's range in to what lies between two values. RN_E_PLAN where that is nothing. */
rn_status rn_dial_narrow(rn_dial *dial, double from, double to, rn_error *err);

/* Whether two dials speak of the same, so that one undoes what the other has set: each moves what is behind the other. */
bool rn_dial_alike(const rn_dial *one, const rn_dial *other, const rn_plan *plan);

/* A value with the digits it is tried with. */
double rn_dial_round(const void *dial, double value);

/* The same with fewer digits. */
double rn_dial_round_to(const rn_dial *dial, double value, int digits);

/* Whether it is the volume poured, of which it is known what more does. */
bool rn_dial_is_poured(const rn_dial *dial);

/* The value at a share of the range, by factors where the dial goes by factors, and the share at which a value lies; not
   rounded, and not kept within the range. */
double rn_dial_at(const rn_dial *dial, double share);
double rn_dial_share(const rn_dial *dial, double value);

/* A magnitude as the plan has it, with its sign. */
double rn_dial_signed(const rn_dial *dial, double value);

/* For a person: "118.4 ml", "-40 rpm"; the plan's own value is rounded to RN_DIAL_DIGITS as well. */
void rn_dial_text(char *text, int size, const rn_dial *dial, double value);

/* The plan with the dial at a value, owned by the caller. */
rn_status rn_dial_turn(rn_plan **turned, const rn_dial *dial, const rn_plan *plan, double value, rn_error *err);

/* The same of a search that cannot do without: the error names the value, and says that the range must be less. */
rn_status rn_dial_must_turn(rn_plan **turned, const rn_dial *dial, const rn_plan *plan, double value, rn_error *err);

#endif
