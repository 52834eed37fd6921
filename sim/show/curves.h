/* Curves over one clock, lettered where they can best be told apart. */
#ifndef RN_SHOW_CURVES_H
#define RN_SHOW_CURVES_H

#include "show/axis.h"

typedef struct rn_curves {
    const void *matter;
    int count;
    double (*y)(const void *matter, int curve, double time); /* on the page; NaN: the curve is not there */
    rn_axis time;                                            /* along the page */
    double top, bottom;                                      /* y that the letters stand between */
    double shun;                                             /* x that they keep off; NaN: none */
    double size;                                             /* of the letters */
    rn_role ground;                                          /* that they stand on: curves and hairs give way */
} rn_curves;

/* Sets a curve's letter over, under or on it: across no other curve and nearer to its own than to any if there is such a
   place, where the others are far, and rather early. Never on another text. Where it stands; width 0 if nowhere. */
rn_box rn_curves_letter(rn_pen *pen, const rn_curves *curves, int curve, const char *letter);

#endif
