/* Lists of runs worked in shares. */
#include "check.h"

#include <string.h>

#include "search/batch.h"
#include "search/stand_in.h"

#define RUNS 23

static rn_outcome by_volume(const rn_run *run, const void *context)
{
    (void)context;
    return stand_in_outcome(run->plan, 1e3 * rn_plan_poured_all(run->plan));
}

/* Every fifth place has no plan. */
static rn_batch make(void)
{
    rn_batch batch = {0};
    for (int i = 0; i < RUNS; i++) {
        rn_error err = {0};
        char text[40];
        if (i % 5 == 3) {
            check_ok(rn_batch_add_none(&batch, "no such panel", &err), &err);
            continue;
        }
        rn_plan *plan = stand_in_plan(NULL);
        snprintf(text, sizeof text, "%d ml", 20 + i);
        check_ok(rn_plan_set(plan, "poured", text, &err), &err);
        check_ok(rn_batch_add(&batch, plan, 96, false, &err), &err);
    }
    assert_int_equal(batch.count, RUNS);
    return batch;
}

static void check_done(const rn_batch *batch)
{
    for (int i = 0; i < RUNS; i++)
        if (i % 5 == 3) {
            assert_int_equal(batch->runs[i].outcome.state, RN_OUTCOME_FAILED);
            assert_string_equal(batch->runs[i].outcome.why, "no such panel");
            assert_null(batch->plans[i]);
        } else {
            assert_int_equal(batch->runs[i].outcome.state, RN_OUTCOME_WHOLE);
            check_close(batch->runs[i].outcome.coverage, 1e-3 * (20 + i), 1e-9);
        }
}

static int count_open(const rn_batch *batch)
{
    int count = 0;
    for (int i = 0; i < batch->count; i++)
        count += batch->runs[i].outcome.state == RN_OUTCOME_NONE;
    return count;
}

static void shares_add_up_to_the_whole(void **state)
{
    (void)state;
    for (int shares = 1; shares <= 2 * RUNS; shares = shares < 5 ? shares + 1 : 2 * shares) {
        rn_batch batch = make();
        stand_in model = {.of = by_volume};
        rn_study *study = stand_in_study(&model, rn_study_defaults());
        rn_error err = {0};
        for (int share = 0; share < shares; share++) {
            const int before = atomic_load(&model.calls);
            int mine = 0;
            for (int i = share; i < RUNS; i += shares)
                mine += i % 5 != 3;
            assert_int_equal(rn_batch_done(&batch, share, shares), mine == 0);
            check_ok(rn_batch_work(&batch, share, shares, study, &err), &err);
            assert_true(rn_batch_done(&batch, share, shares));
            assert_int_equal(atomic_load(&model.calls) - before, mine);
            assert_int_equal(rn_batch_done(&batch, 0, 1), share == shares - 1 || count_open(&batch) == 0);
        }
        check_done(&batch);
        rn_study_free(study);
        rn_batch_clear(&batch);
        assert_true(batch.count == 0 && !batch.runs && !batch.plans);
    }
}

static bool stop_at_once(void *context, const rn_progress *progress)
{
    (void)context;
    return progress->done < 3;
}

static void stopped_it_is_not_done(void **state)
{
    (void)state;
    rn_batch batch = make();
    stand_in model = {.of = by_volume, .lasting = 2e-3};
    rn_study_options options = rn_study_defaults();
    options.threads = 2;
    options.tell = stop_at_once;
    rn_study *study = stand_in_study(&model, options);
    rn_error err = {0};
    check_ok(rn_batch_work(&batch, 0, 1, study, &err), &err);
    assert_false(rn_batch_done(&batch, 0, 1));
    assert_true(count_open(&batch) > 0 && count_open(&batch) < RUNS);
    rn_study_free(study);
    rn_batch_clear(&batch);
}

static void an_empty_list(void **state)
{
    (void)state;
    rn_batch batch = {0};
    stand_in model = {.of = by_volume};
    rn_study *study = stand_in_study(&model, rn_study_defaults());
    rn_error err = {0};
    assert_true(rn_batch_done(&batch, 0, 1));
    check_ok(rn_batch_work(&batch, 0, 1, study, &err), &err);
    rn_study_free(study);
    rn_batch_clear(&batch);
}

/* A reason of any length is cut, not overrun. */
static void long_reasons_are_cut(void **state)
{
    (void)state;
    rn_batch batch = {0};
    char why[2 * RN_OUTCOME_WHY];
    rn_error err = {0};
    memset(why, 'x', sizeof why);
    why[sizeof why - 1] = '\0';
    check_ok(rn_batch_add_none(&batch, why, &err), &err);
    assert_int_equal(strlen(batch.runs[0].outcome.why), RN_OUTCOME_WHY - 1);
    rn_batch_clear(&batch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shares_add_up_to_the_whole),
        cmocka_unit_test(stopped_it_is_not_done),
        cmocka_unit_test(an_empty_list),
        cmocka_unit_test(long_reasons_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
