/* Two demands whose borders lie closer together than either was looked for: what lies between is tried before they are told
   apart, and what is told of them then is true. */
#include "check.h"

#include "search/least_world.h"

/* What is told of demands that stand apart, of which one is met from `needs` on and the other up to `allows` [m3]. */
static void check_apart(const search *s, const rn_least_look *look, double needs, double allows)
{
    assert_int_equal(look->state, RN_LEAST_APART);
    check_at_most(look->unmet, needs * (1 + 1e-9));
    check_at_least(look->too_much, allows * (1 - 1e-9));
    const double middle = rn_dial_round(&s->dial, 0.5 * (look->unmet + look->too_much));
    if (look->unmet < look->too_much && middle > look->unmet * (1 + 1e-9))
        check_at_least(middle, look->too_much * (1 - 1e-9)); /* no digit lies between */
    check_at_least(look->value, needs * (1 - 1e-9));
    assert_int_equal(look->needs, 0);
    assert_int_equal(look->allows, 1);
}

/* 180 ml and more cover, and so much more is allowed before too much runs off: by less than either is looked for. */
static void what_lies_between_is_found(void **state)
{
    (void)state;
    static const double rooms[] = {3, 1.2, 0.6, 0.3, 0.11};
    for (int i = 0; i < 5; i++)
        for (double needs = 120; needs < 220; needs *= 1.083)
            for (int k = 0; k < 3; k++) {
                world w = simple;
                w.all = needs / 0.9;
                w.overflow = needs + rooms[i] - 10;
                w.coarse = 0.93 + 0.07 * k;
                w.settles = k == 1;
                search *s = found_by(&w, "poured",
                                     stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL));
                check_answer(&s->found, needs * ML);
                check_at_most(s->found.fine.value, (needs + rooms[i]) * ML * (1 + 1e-9));
                assert_true(isnan(s->found.fine.most) && isnan(s->found.fine.too_much));
                assert_int_equal(s->found.fine.allows, -1);
                search_free(s);
            }
}

static void between_bounds_that_are_narrow(void **state)
{
    (void)state;
    for (double middle = 21; middle < 90; middle *= 1.21) {
        char wanted[40];
        world w = simple;
        w.overflow = 100;
        snprintf(wanted, sizeof wanted, "%.6f ml +- 0.1 ml", middle);
        search *s = found_by(&w, "poured", stand_in_goal("run-off", wanted, NULL));
        check_answer(&s->found, (100 + middle - 0.1) * ML);
        check_at_most(s->found.fine.value, (100 + middle + 0.1) * ML * (1 + 1e-9));
        search_free(s);
    }
}

static void apart_by_a_hair(void **state)
{
    (void)state;
    static const double lacks[] = {0.02, 0.3, 1.1, 2.5, 20};
    for (int i = 0; i < 5; i++)
        for (double needs = 120; needs < 220; needs *= 1.083)
            for (int early = 0; early < 2; early++) {
                world w = simple;
                w.all = needs / 0.9;
                w.overflow = needs - lacks[i] - 10;
                w.settles = early;
                search *s = found_by(&w, "poured",
                                     stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL));
                check_apart(s, &s->found.coarse, needs * ML, (needs - lacks[i]) * ML);
                check_apart(s, &s->found.fine, needs * ML, (needs - lacks[i]) * ML);
                check_at_most(s->found.fine.runs, 30);
                search_free(s);
            }
}

/* Of several that want more, and several that want less, those are told that are missed where it is said. */
static void the_right_ones_of_several_are_told(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 168; /* 178 ml are allowed, 180 ml needed to cover, and 160 ml for the corners */
    w.settles = true;
    search *s = found_by(&w, "poured",
                         stand_in_goal("corner", "at least 8 mm", "coverage", "at least 90 %", "run-off",
                                       "at most 10 ml", "thinnest", "at most 50 mm", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_APART);
    assert_int_equal(s->found.fine.needs, 1);
    assert_int_equal(s->found.fine.allows, 2);
    assert_int_equal(s->found.fine.below.state, RN_OUTCOME_WHOLE);
    search_free(s);
}

/* Stretch is missed where the two others leave room, and met a little further up. */
static void what_may_go_either_way_is_looked_for_from_there(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 170.6;
    w.stretch_at_all = 1; /* 10^(1 - v/200 ml): 1.2589 at 180 ml */
    const rn_goal goal =
        stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", "stretch", "at most 1.3", NULL);
    search *s = found_by(&w, "poured", goal);
    check_answer(&s->found, 180 * ML);
    search_free(s);
    s = found_by(&w, "poured",
                 stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", "stretch", "at most 1", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_NOWHERE);
    assert_int_equal(s->found.fine.needs, 2);
    check_within(s->found.fine.value, 180.3 * ML, 0.31 * ML);
    search_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_lies_between_is_found),
        cmocka_unit_test(between_bounds_that_are_narrow),
        cmocka_unit_test(apart_by_a_hair),
        cmocka_unit_test(the_right_ones_of_several_are_told),
        cmocka_unit_test(what_may_go_either_way_is_looked_for_from_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
