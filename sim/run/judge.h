/* What a plan expects, held against its forecast. */
#ifndef RN_RUN_JUDGE_H
#define RN_RUN_JUDGE_H

#include "base/parallel.h"
#include "plan/plan.h"
#include "run/forecast.h"
#include "run/pattern.h"

#define RN_JUDGE_SIZE 160

typedef struct rn_judgement {
    rn_verdict verdict;
    double value;               /* what the forecast says, in the unit of the expectation; NaN where it says nothing */
    double by;                  /* missed: how far outside, >= 0; NaN where that is no number (never covered); met: 0 */
    char wanted[RN_JUDGE_SIZE]; /* as the plan words it: "run-off at most 30 ml" */
    char outcome[RN_JUDGE_SIZE]; /* "met: 28.1 ml", "missed by 4.2 ml: 34.2 ml", "not judged: ..." */
} rn_judgement;

/* Whether the plan expects something of its pattern: stretch or twist. */
bool rn_expects_pattern(const rn_plan *plan);

/* Tells the forecast what the pattern says: stretch is what 95 % of the face stay under, twist the greatest of the circles
   that did not run over an edge, either way. */
void rn_judge_pattern(rn_forecast *forecast, const rn_pattern *pattern);

/* The same of a session with its history, as it is now: works out as much of the pattern as is judged, while go_on says so
   (NULL: to the end), else RN_E_STOPPED. threads 0: one per processor. */
rn_status rn_judge_session(rn_forecast *forecast, const rn_session *session, const rn_plan *plan, int threads,
                           rn_team_go_on *go_on, void *context, rn_error *err);

/* Judges one expectation. Nothing is judged of a forecast that did not reach its end, and stretch and twist only where
   rn_judge_pattern has been. */
rn_judgement rn_judge_expect(const rn_expect *expect, const rn_forecast *forecast);

#endif
