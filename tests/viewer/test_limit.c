/* What must hold on the window of plans that work: limits that are set, dragged, typed; what they sort anew. */
#include <math.h>
#include <stdio.h>

#include "check.h"
#include "limit.h"
#include "program.h"

#define ML 1e-6 /* [m3] */

/* ---- a limit and the plan ---- */

static void a_limit_that_is_set_is_what_the_plan_expects(void **state)
{
    (void)state;
    rn_plan *plan = program_plan();
    const int before = plan->expect_count;
    static const double values[LIMITS] = {[LIMIT_COVERED] = 60,
                                          [LIMIT_RUN_OFF] = 12 * ML,
                                          [LIMIT_THINNEST] = 0.25e-3,
                                          [LIMIT_STRETCH] = 3.6,
                                          [LIMIT_TWIST] = 0.5};
    for (rv_limit limit = 0; limit < LIMITS; limit++) {
        limit_set(plan, limit, values[limit]);
        const rv_limit_at at = limit_get(plan, limit);
        assert_true(at.on);
        check_within(at.value, values[limit], 0.51 * at.step);
        check_within(limit_value(&at, limit_along(&at, at.value)), at.value, 1e-12);
    }
    assert_int_equal(plan->expect_count, before + 3); /* two were there */
    rn_error err = {0};
    check_ok(rn_plan_check(plan, &err), &err);
    for (rv_limit limit = 0; limit < LIMITS; limit++) { /* at the lax end nothing is asked */
        const rv_limit_at at = limit_get(plan, limit);
        limit_set(plan, limit, at.least ? at.from : at.to);
        assert_false(limit_get(plan, limit).on);
    }
    assert_int_equal(plan->expect_count, 2); /* coverage and corner */
    rn_plan_free(plan);
}

/* A plan that expects nothing is judged by its coverage; it is so still when a limit comes to that. */
static void the_first_limit_does_not_forget_coverage(void **state)
{
    (void)state;
    rn_plan *plan = program_plan();
    plan->expect_count = 0;
    const rn_goal usual = rn_goal_of_plan(plan);
    limit_set(plan, LIMIT_RUN_OFF, 0.3);
    assert_int_equal(plan->expect_count, usual.count + 1);
    assert_int_equal(plan->expects[0].kind, usual.demands[0].kind);
    assert_true(limit_get(plan, LIMIT_RUN_OFF).on);
    rn_plan_free(plan);
}

/* ---- by hand ---- */

static void focus(program *p, rv_limit limit)
{
    p->view->focus = (rv_part_at){PART_LIMIT, limit, 0};
    p->view->focus_seen = true;
}

/* The kinds of all tiles in one number. */
static unsigned long kinds_of(const rv_map *map)
{
    const rn_window_options options = rn_window_options_of(map->window);
    unsigned long sum = 5381;
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++)
            sum = sum * 33 + (unsigned long)map_tile(map, column, row).kind;
    return sum;
}

static void limits_sort_tiles_anew_without_a_run(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    const unsigned long before = kinds_of(program_map(p));
    const int depth = document_undo_depth(p->view->doc);
    atomic_store(&p->model->shut, true);
    const int runs = atomic_load(&p->model->runs);
    hand_take(&p->hand, PART_LIMIT, LIMIT_COVERED, 0);
    hand_shift(&p->hand, -60, 0);
    program_frame(p);
    assert_int_equal(atomic_load(&p->model->runs), runs);
    assert_int_not_equal(kinds_of(program_map(p)), before);
    hand_lift(&p->hand);
    program_frame(p);
    assert_int_equal(document_undo_depth(p->view->doc), depth + 1);
    assert_int_equal(atomic_load(&p->model->runs), runs);
    hand_key(&p->hand, 'z', MOD_CTRL);
    program_frame(p);
    assert_int_equal(kinds_of(program_map(p)), before); /* nothing was forgotten */
    atomic_store(&p->model->shut, false);
    program_wait(p, program_complete);
    assert_int_equal(kinds_of(program_map(p)), before);
    program_end(p);
}

static void limits_go_by_arrows(void **state)
{
    (void)state;
    program *p = program_shown(false, program_begun);
    focus(p, LIMIT_COVERED);
    const double was = limit_get(document_plan(p->view->doc), LIMIT_COVERED).value;
    hand_key(&p->hand, KEY_LEFT, 0);
    check_within(limit_get(document_plan(p->view->doc), LIMIT_COVERED).value, was - 1, 1e-9);
    hand_key(&p->hand, KEY_LEFT, MOD_SHIFT);
    check_within(limit_get(document_plan(p->view->doc), LIMIT_COVERED).value, was - 11, 1e-9);
    hand_key(&p->hand, KEY_DELETE, 0);
    assert_false(limit_get(document_plan(p->view->doc), LIMIT_COVERED).on);
    program_end(p);
}

static void limits_are_typed(void **state)
{
    (void)state;
    program *p = program_shown(false, program_begun);
    focus(p, LIMIT_COVERED);
    hand_key(&p->hand, KEY_ENTER, 0);
    assert_true(p->view->typing.on);
    hand_type(&p->hand, "1.2 min");
    program_frame(p);
    hand_key(&p->hand, KEY_ENTER, 0);
    assert_false(p->view->typing.on);
    check_within(limit_get(document_plan(p->view->doc), LIMIT_COVERED).value, 72, 1e-9);
    p->view->focus.a = LIMIT_RUN_OFF;
    static const struct {
        const char *text;
        double value; /* NaN: refused */
    } tries[] = {{"at most 30 %", 0.3},       {"12 ml", 12 * ML},     {"9 ml +- 4 ml", 9 * ML},
                 {"front at most 5 ml", NAN}, {"at least 3 ml", NAN}, {"much", NAN}};
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        hand_key(&p->hand, KEY_ENTER, 0);
        hand_type(&p->hand, tries[k].text);
        hand_key(&p->hand, KEY_ENTER, 0);
        program_frame(p);
        assert_int_equal(p->view->typing.on, isnan(tries[k].value));
        assert_int_equal(p->view->typing.trouble[0] != '\0' && p->view->typing.on, isnan(tries[k].value));
        if (!isnan(tries[k].value))
            check_close(limit_get(document_plan(p->view->doc), LIMIT_RUN_OFF).value, tries[k].value, 1e-9);
        else
            hand_key(&p->hand, KEY_ESCAPE, 0);
    }
    hand_key(&p->hand, KEY_ENTER, 0);
    hand_type(&p->hand, "any");
    hand_key(&p->hand, KEY_ENTER, 0);
    assert_false(limit_get(document_plan(p->view->doc), LIMIT_RUN_OFF).on);
    program_end(p);
}

/* What no tile knew yet has to be worked out: then the window begins anew, with it. */
static void a_limit_on_stretch_needs_another_search(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    assert_false(rn_window_options_of(program_map(p)->window).pattern);
    focus(p, LIMIT_STRETCH);
    for (int k = 0; k < 5; k++)
        hand_key(&p->hand, KEY_LEFT, MOD_SHIFT);
    hand_wait(&p->hand, 0.3);
    program_wait(p, program_complete);
    assert_true(rn_window_options_of(program_map(p)->window).pattern);
    assert_true(rn_window_count(program_map(p)->window, RN_TILE_PULLED) > 0);
    program_end(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_limit_that_is_set_is_what_the_plan_expects),
        cmocka_unit_test(the_first_limit_does_not_forget_coverage),
        cmocka_unit_test(limits_sort_tiles_anew_without_a_run),
        cmocka_unit_test(limits_go_by_arrows),
        cmocka_unit_test(limits_are_typed),
        cmocka_unit_test(a_limit_on_stretch_needs_another_search),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
