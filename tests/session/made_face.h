/* A face that is given by a formula instead of by a pour. */
#ifndef RN_TESTS_SESSION_MADE_FACE_H
#define RN_TESTS_SESSION_MADE_FACE_H

#include "plan/plan.h"
#include "run/strata.h"

#define MADE_BASE (-1.0) /* what a formula gives for the base coat */
#define MADE_BARE (-2.0) /* and for bare ground */

/* How much pour 0 had let out when the paint at that place left it [m3]. */
typedef double made_released(double x, double y, const void *detail);

/* A face plane alone; the base coat's paint is 0. Free with rn_strata_free. */
rn_strata *made_face(const rn_plan *plan, int points, made_released *released, const void *detail);

/* 30 cm square; one pour of 200 ml from a place, `repeat` times kelp and foam and slate. */
rn_plan *made_plan(double x_mm, double y_mm, int repeat);

#endif
