/* Which colour lies where between the points of a plane of strata. Within one pour the volume released is a smooth
   field, and its bands are as sharp as the picture can show them. Where neighbouring points do not belong together -
   another pour, base coat, a fold of the face - they are kept apart, and the border between them is smooth. */
#ifndef RN_SHOW_WEAVE_H
#define RN_SHOW_WEAVE_H

#include <stdbool.h>

#include "plan/plan.h"
#include "run/strata.h"
#include "show/streak.h"

typedef struct rn_weave {
    int nx, ny;
    float dx, dy;         /* [m] */
    short *kind;          /* ny*nx: a pour; base coat and bare ground are told in weave.c */
    float *released;      /* ny*nx [m3] */
    unsigned char *links; /* ny*nx: which neighbours belong together */
    float *right, *back;  /* ny*nx: where seams cross the links that do not hold, as in show/seam.h */
    rn_streak streaks[RN_POURS_MOST];
    int streak_count;
    float flat[RN_PAINTS_MOST][3]; /* the paints' own colours, linear rgb */
} rn_weave;

/* Of one plane; `reach` [m]: how far beyond the last wet points their colours are carried. False if no memory;
   rn_weave_clear takes either. */
bool rn_weave_init(rn_weave *weave, const rn_plan *plan, const rn_strata *strata, int plane, double reach);
void rn_weave_clear(rn_weave *weave);

/* The mean colour, linear rgb, of a picture's pixel of side `pixel` [m] at a point; false on bare ground. */
bool rn_weave_colour(float rgb[3], const rn_weave *weave, float x, float y, float pixel);

#endif
