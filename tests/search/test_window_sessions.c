/* The window of plans on sessions: the map told from its borders against the one in which each tile was run. */
#include "check.h"

#include <string.h>

#include "search/stand_in.h"
#include "search/window_answer.h"

static const char plan_text[] = "plan: 1\n"
                                "title: Rock pool\n"
                                "panel: {size: 100 mm x 100 mm}\n"
                                "paints:\n"
                                "  foam: {viscosity: 0.1 Pa s}\n"
                                "pours:\n"
                                "  - {across: 40 mm, width: 8 mm, open: 1 s, stack: [foam 12 ml]}\n"
                                "moves:\n"
                                "  - {start: 1.5 s, for: 2 s, tilt: 8 deg, toward: back right}\n"
                                "end: 4 s\n";

enum { COLUMNS = 13, ROWS = 13, CELLS = 64 };

static rn_window *worked_out(const rn_plan *plan, bool every, rn_study *study)
{
    rn_error err = {0};
    rn_dial x, y;
    rn_window *window = NULL;
    const rn_window_options options = {.columns = COLUMNS, .rows = ROWS, .cells = CELLS, .every = every};
    const rn_goal goal = stand_in_goal("coverage", "at least 70 %", "run-off", "at most 20 %", NULL);
    check_ok(rn_window_axis(&x, plan, "consistency", NULL, NULL, &err), &err);
    check_ok(rn_window_axis(&y, plan, "poured", NULL, NULL, &err), &err);
    check_ok(rn_window_new(&window, plan, &x, &y, &goal, &options, &err), &err);
    for (bool more = true; more;)
        check_ok(rn_window_refine(window, &more, study, &err), &err);
    return window;
}

/* The plan, and its map told from the borders: for both tests. */
typedef struct bench {
    rn_plan *plan;
    rn_study *study;
    rn_window *told;
} bench;

static int set_up(void **state)
{
    static bench made;
    rn_error err = {0};
    made.plan = stand_in_read(plan_text);
    check_ok(rn_study_new(&made.study, rn_study_defaults(), &err), &err);
    made.told = worked_out(made.plan, false, made.study);
    *state = &made;
    return 0;
}

static int tidy(void **state)
{
    bench *made = *state;
    rn_window_free(made->told);
    rn_study_free(made->study);
    rn_plan_free(made->plan);
    return 0;
}

/* What was run is the same to the last bit; what was told is of the same kind, and near what it would have been. */
static void told_tiles_are_as_if_run(void **state)
{
    const bench *mine = *state;
    const rn_window *told = mine->told;
    rn_window *every = worked_out(mine->plan, true, mine->study);
    double worst = 0;
    for (int i = 0; i < COLUMNS * ROWS; i++) {
        const rn_tile *a = rn_window_tile(told, i % COLUMNS, i / COLUMNS);
        const rn_tile *b = rn_window_tile(every, i % COLUMNS, i / COLUMNS);
        assert_int_equal(a->kind, b->kind);
        if (a->worked)
            assert_true(a->outcome.coverage == b->outcome.coverage && a->outcome.run_off == b->outcome.run_off);
        worst = fmax(worst, fabs(a->outcome.coverage - b->outcome.coverage));
        worst = fmax(worst, fabs(rn_outcome_lost(&a->outcome) - rn_outcome_lost(&b->outcome)));
    }
    fprintf(stderr, "%d of %d tiles run, %d work; told shares are off by %.4f at most\n", rn_window_worked(told),
            COLUMNS * ROWS, rn_window_count(every, RN_TILE_WORKS), worst);
    check_at_most(worst, 0.02); /* of tiles that differ by 12 %: measured 0.018 */
    assert_true(rn_window_count(every, RN_TILE_WORKS) > 20);
    assert_true(rn_window_count(every, RN_TILE_SHORT) > 10);
    assert_true(rn_window_count(every, RN_TILE_SPILLED) > 10);
    assert_true(rn_window_worked(told) < 0.7 * COLUMNS * ROWS);
    rn_window_free(every);
}

/* The plan and the safest are run on the plan's own grid as well. */
static void an_answer_is_confirmed(void **state)
{
    const bench *mine = *state;
    rn_window *window = mine->told;
    rn_error err = {0};
    rn_window_answer answer;
    check_ok(rn_window_answer_find(&answer, window, 80, mine->study, &err), &err);
    assert_true(answer.found);
    assert_true(rn_window_answer_holds(&answer, window));
    assert_int_equal(answer.own.nx, 80);
    assert_int_equal(answer.own_told.nx, CELLS);
    assert_int_equal(answer.best_own.nx, 80);
    const rn_tile *best = rn_window_tile(window, answer.best.column, answer.best.row);
    check_close(answer.best_own.poured, best->y, 1e-9);
    check_close(answer.best_own.coverage, best->outcome.coverage, 0.05);
    assert_false(answer.has_nearest); /* the plan itself works */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(told_tiles_are_as_if_run),
        cmocka_unit_test(an_answer_is_confirmed),
    };
    return cmocka_run_group_tests(tests, set_up, tidy);
}
