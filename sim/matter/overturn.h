/* A heavier paint that lies over a lighter one turns over: how fast and how wide the cells come up. Two level layers of
   Newtonian liquid, creeping flow, on a base that holds them (no slip), under a top that stays flat and free of shear;
   the linear growth of a ripple of the face between them. Paints mingle, so the tension of that face is usually 0.
   Density-driven cells of poured paint are explained so by [zetina2015]. */
#ifndef RN_MATTER_OVERTURN_H
#define RN_MATTER_OVERTURN_H

#include <stdbool.h>

#include "matter/paint.h"

typedef struct rn_overturn {
    double below_depth, above_depth;         /* [m], > 0 */
    double below_viscosity, above_viscosity; /* [Pa s], > 0 */
    double excess;                           /* density above less density below [kg/m3]; > 0 turns over */
    double tension;                          /* of the face between the layers [N/m]; 0 where they mingle */
} rn_overturn;

/* How fast a ripple grows (< 0: dies away) [1/s]; wavenumber 2 pi / wavelength [1/m], > 0. */
double rn_overturn_rate(const rn_overturn *layers, double wavenumber);

/* The fastest ripple: its wavelength [m] and rate [1/s]. False, and 0 for both, where none grows. Costs about a hundred
   calls of rn_overturn_rate. */
bool rn_overturn_fastest(double *wavelength, double *rate, const rn_overturn *layers);

/* Growth of a thin film of depth h under, or over, a deep liquid that gives way freely, by lubrication:
   s = h^3 (excess g k^2 - tension k^4) / 3 mu [fermigier1992]; of the layer below [1/s]. */
double rn_overturn_thin_rate(const rn_overturn *layers, double wavenumber);

/* The two layers that stand for a column of paints: it is cut at that height between its `rows` equal levels, first
   at the panel, at which the halves (density by mean, viscosity at 1/s by log mean [grunberg1949]) turn over fastest.
   False, `layers` untouched, where no cut has the heavier half on top. Cutting a striped column in two keeps what turns
   over at the scale of the film's depth and leaves out single stripes. Costs rows - 1 calls of rn_overturn_fastest. */
bool rn_overturn_of_column(rn_overturn *layers, const unsigned char *paint, int rows, double depth,
                           const rn_paint *paints, int paint_count);

#endif
