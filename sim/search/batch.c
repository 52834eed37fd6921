#include "search/batch.h"

#include <stdio.h>
#include <stdlib.h>

static rn_status add(rn_batch *batch, rn_run run, rn_plan *plan, rn_error *err)
{
    if (batch->count == batch->room) {
        const int room = batch->room ? 2 * batch->room : 64;
        rn_run *runs = realloc(batch->runs, (size_t)room * sizeof *runs);
        if (runs)
            batch->runs = runs;
        rn_plan **plans = realloc(batch->plans, (size_t)room * sizeof *plans);
        if (plans)
            batch->plans = plans;
        if (!runs || !plans) {
            rn_plan_free(plan);
            return rn_fail(err, RN_E_MEMORY, "no memory left");
        }
        batch->room = room;
    }
    batch->runs[batch->count] = run;
    batch->plans[batch->count++] = plan;
    return RN_OK;
}

rn_status rn_batch_add(rn_batch *batch, rn_plan *plan, int cells, bool pattern, rn_error *err)
{
    return add(batch, (rn_run){.plan = plan, .cells = cells, .pattern = pattern}, plan, err);
}

rn_status rn_batch_add_none(rn_batch *batch, const char *why, rn_error *err)
{
    rn_run run = {.outcome = {.state = RN_OUTCOME_FAILED}};
    snprintf(run.outcome.why, sizeof run.outcome.why, "%s", why);
    return add(batch, run, NULL, err);
}

void rn_batch_clear(rn_batch *batch)
{
    for (int i = 0; i < batch->count; i++)
        rn_plan_free(batch->plans[i]);
    free(batch->plans);
    free(batch->runs);
    *batch = (rn_batch){0};
}

rn_status rn_batch_work(rn_batch *batch, int share, int shares, rn_study *study, rn_error *err)
{
    int count = 0;
    rn_run *mine = calloc((size_t)(batch->count / shares + 1), sizeof *mine);
    if (!mine)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = share; i < batch->count; i += shares)
        if (batch->plans[i])
            mine[count++] = batch->runs[i];
    const rn_status status = rn_study_work(study, mine, count, err);
    for (int i = share, k = 0; status == RN_OK && i < batch->count; i += shares)
        if (batch->plans[i])
            batch->runs[i] = mine[k++];
    free(mine);
    return status;
}

bool rn_batch_done(const rn_batch *batch, int share, int shares)
{
    for (int i = share; i < batch->count; i += shares)
        if (batch->runs[i].outcome.state == RN_OUTCOME_NONE)
            return false;
    return true;
}
