#include "search/trial.h"

#include <stdio.h>
#include <string.h>

#include "run/judge.h"
#include "run/session.h"

#define LOOKS 50 /* about as often is asked in a run whether its goal is decided */

typedef struct trial {
    const rn_run *run;
    rn_study_go_on *go_on;
    void *study;
    double next_look; /* [s] */
    rn_decided decided;
    char why[RN_OUTCOME_WHY];
    bool stopped;
} trial;

static bool look(void *context, const rn_session *session)
{
    trial *t = context;
    if (!t->go_on(t->study)) {
        t->stopped = true;
        return false;
    }
    if (!t->run->settles || rn_session_time(session) < t->next_look)
        return true;
    t->next_look = rn_session_time(session) + rn_session_end(session) / LOOKS;
    rn_forecast now;
    if (rn_session_forecast(&now, session, NULL))
        return true;
    t->decided = rn_goal_decided(t->why, t->run->settles, t->run->plan, &now);
    return t->decided == RN_OPEN;
}

void rn_trial_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study)
{
    const rn_trial_visit *visit = context;
    trial t = {.run = run, .go_on = go_on, .study = study};
    rn_session *session = NULL;
    rn_forecast forecast;
    rn_error error = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = run->cells;
    options.threads = 1;
    options.history = run->pattern;
    rn_status status = rn_session_new(&session, run->plan, &options, &error);
    if (status == RN_OK)
        status = rn_session_run(session, look, &t, &error);
    if (status == RN_OK)
        status = rn_session_forecast(&forecast, session, &error);
    if (status == RN_OK && run->pattern && forecast.complete && !t.stopped)
        status = rn_judge_session(&forecast, session, run->plan, 1, go_on, study, &error);
    if (status == RN_OK && visit && forecast.complete && !t.stopped)
        status = visit->guest(visit->context, run, session, go_on, study, &error);
    *outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
    if (status == RN_E_STOPPED)
        t.stopped = true;
    if (status != RN_OK && !t.stopped) {
        outcome->state = RN_OUTCOME_FAILED;
        snprintf(outcome->why, sizeof outcome->why, "%.*s", (int)sizeof outcome->why - 1, error.message);
    } else if (!t.stopped) {
        *outcome = rn_outcome_of(&forecast);
        if (outcome->state == RN_OUTCOME_DECIDED) {
            outcome->goal_met = t.decided == RN_SURELY_MET;
            memcpy(outcome->why, t.why, sizeof outcome->why);
        }
    }
    *bytes = session ? rn_session_bytes(session) : 0;
    rn_session_free(session);
}
