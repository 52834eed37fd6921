/* The colours of one pour in the order in which they come out, from crisp to wholly mingled: a table over the volume
   released, each level half as long as the one before [williams1983]. Paints closer together than they mingle mix by
   Kubelka and Munk; what only shares a pixel is averaged as light. */
#ifndef RN_SHOW_STREAK_H
#define RN_SHOW_STREAK_H

#include <stdbool.h>

#include "plan/plan.h"
#include "show/pigment.h"

#define RN_STREAK_LEVELS 16

typedef struct rn_streak {
    float volume; /* of the pour [m3] */
    float band;   /* of a band, in the mean [m3] */
    float finest; /* mingling below which the first level fades into the crisp one [m3] */
    int levels;
    struct {
        int count;    /* entries */
        float step;   /* volume of one [m3] */
        double *past; /* 3 (count + 1): light of all the entries before, linear rgb */
    } level[RN_STREAK_LEVELS];
} rn_streak;

/* pigments: of the plan's paints. False if no memory; rn_streak_clear takes either. */
bool rn_streak_init(rn_streak *streak, const rn_pour *pour, const rn_pigment *pigments);
void rn_streak_clear(rn_streak *streak);

/* The mean colour, linear rgb, of what was let out within +-footprint/2 of `released`, its paints mingled over
   `mingled`; all [m3]. */
void rn_streak_colour(float rgb[3], const rn_streak *streak, float released, float mingled, float footprint);

#endif
