#include "lived.h"

#include "check.h"

#include <string.h>

rn_plan *lived_plan(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    return plan;
}

lived *lived_of(rn_plan *plan, int cells, int threads, double until)
{
    lived *life = calloc(1, sizeof *life);
    rn_error err = {0};
    assert_non_null(life);
    life->plan = plan;
    rn_session_options options = rn_session_defaults();
    options.cells = cells;
    options.threads = threads;
    options.until = until;
    options.history = true;
    check_ok(rn_session_new(&life->session, plan, &options, &err), &err);
    check_ok(rn_session_run(life->session, NULL, NULL, &err), &err);
    check_ok(rn_session_still(&life->still, life->session, &err), &err);
    check_ok(rn_team_new(&life->team, threads, &err), &err);
    rn_past_init(&life->past, plan, rn_session_history(life->session));
    return life;
}

lived *lived_new(const char *text, int cells, double until)
{
    return lived_of(lived_plan(text), cells, 2, until);
}

void lived_free(lived *life)
{
    rn_team_free(life->team);
    rn_still_free(life->still);
    rn_session_free(life->session);
    rn_plan_free(life->plan);
    free(life);
}
