/* What a painter should mind about a plan and its forecast: where the plan asks for too much, and where the model
   leaves the range in which it holds. */
#ifndef RN_RUN_WARN_H
#define RN_RUN_WARN_H

#include "plan/plan.h"
#include "run/forecast.h"

/* Consistencies farther apart than this are worth a word: the mixture's law is then a guess. */
#define RN_WARN_SPREAD 1.5

/* Coriolis number Omega h^2/nu from which turning deflects the flow: with u = Omega^2 r/nu (h z - z^2/2) outward,
   nu v'' = 2 Omega u gives a sideways flux of 4/5 of this number times the outward one. */
#define RN_WARN_CORIOLIS 0.1

/* Reduced Reynolds number (rho U h/mu)(h/L), U the face's speed: the first correction by inertia is 4/5 of it times
   the film's slope over h/L [benney1966], so up to a quarter of the flux at this limit. */
#define RN_WARN_REYNOLDS 0.3

/* Depth against the radius of a heap. A heap of radius R levels like a ripple of wavelength 4 R, so that k h is
   pi/2 h/R: 0.31 at this limit, where the thin film's levelling rate is 18 % above the exact one [orchard1963]. */
#define RN_WARN_STEEP 0.2

/* Advancing angle beyond which holding depths from the film's thin slopes are not to be trusted [degennes2004]. */
#define RN_WARN_ANGLE_DEG 30.0

/* A face that still moves this fast when the plan ends will not dry as forecast [m/s]: 1 mm per minute. */
#define RN_WARN_MOVING (1e-3 / 60.0)

/* A corner that passes faster than this, about as fast as one walks, is not to be stood beside: common practice, no source
   [m/s]. On a 12 x 12 in panel it is 66 rpm. */
#define RN_WARN_CORNER_SPEED 1.5

/* Room for a warning about it. */
#define RN_WARN_DANGER_SIZE 160

/* Whether a corner, or the rim of a round panel, passes faster than that in a move that begins before `until` [s], and if so
   in words which and how fast: a clause, without a full stop. text may be NULL. */
bool rn_warn_danger(char text[RN_WARN_DANGER_SIZE], const rn_plan *plan, double until);

/* The greatest speed at which a corner, or the rim, passes in those moves [m/s]. */
double rn_warn_speed(const rn_plan *plan, double until);

/* Appends to forecast->warnings, as many as there is room for; the rest of the forecast is complete and
   moments[count] is its history. */
void rn_warn_all(rn_forecast *forecast, const rn_plan *plan, const rn_moment *moments, int count);

/* How far the film went beyond thin, slow and shallow, over the history: the greatest of each. */
typedef struct rn_extremes {
    double coriolis, coriolis_at; /* number and when [s] */
    double reynolds, reynolds_at;
    double steep, steep_at;
} rn_extremes;

rn_extremes rn_warn_extremes(const rn_plan *plan, const rn_law *law, double density, const rn_moment *moments,
                             int count);

#endif
