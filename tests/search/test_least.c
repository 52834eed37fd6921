/* The least volume that meets a goal: against a model whose answers are known, in every way an answer can turn out. Other
   numbers, and what goes wrong: tests/search/test_least_others.c; with sessions: tests/search/test_least_runs.c. */
#include "check.h"

#include "search/least_world.h"

static void the_least_volume_is_found_wherever_it_is(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    int most = 0, close = 0;
    for (double known = 13; known < 790; known *= 1.13) {
        world w = simple;
        w.all = known / 0.9;
        search *s = found_by(&w, "poured", goal);
        check_answer(&s->found, known * ML);
        assert_int_equal(s->found.fine.needs, 0);
        assert_true(isnan(s->found.fine.most) && s->found.fine.allows == -1 && !s->found.fine.jumps);
        most = atomic_load(&s->model.calls) > most ? atomic_load(&s->model.calls) : most;
        close = s->found.fine.runs > close ? s->found.fine.runs : close;
        search_free(s);
    }
    printf("runs: %d at most, %d of them on the fine grid\n", most, close);
    assert_true(most <= 18); /* an eighth to eight times by trebling, then to 1 % by thirds, two runs each */
    assert_true(close <= 4); /* where both grids agree, the next to either side */
}

/* The coarse look misleads by up to a third, either way: the answer is the fine grid's. */
static void the_fine_grid_has_the_last_word(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    for (double coarse = 0.7; coarse < 1.4; coarse += 0.05) {
        world w = simple;
        w.coarse = coarse;
        search *s = found_by(&w, "poured", goal);
        check_answer(&s->found, 180 * ML);
        check_close(s->found.coarse.value, 180 * ML / coarse, 0.0101);
        assert_true(atomic_load(&s->model.calls) <= 30);
        search_free(s);
    }
}

static void several_demands_and_the_one_that_needs_most(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 250;
    const rn_goal goal =
        stand_in_goal("run-off", "at most 30 ml", "coverage", "at least 50 %", "thinnest", "at least 9 mm", NULL);
    search *s = found_by(&w, "poured", goal); /* 9 mm on 200 cm2 are 180 ml */
    check_answer(&s->found, 180 * ML);
    assert_int_equal(s->found.fine.needs, 2);
    search_free(s);
}

static void as_close_as_is_asked(void **state)
{
    (void)state;
    static const double shares[] = {0.1, 0.03, 0.001, 1e-4, 1e-6};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        search *s = search_of(&simple, "poured", NULL, NULL, stand_in_goal("coverage", "at least 61.8 %", NULL),
                              rn_study_defaults());
        s->options.share = shares[i];
        s->options.absolute = 0;
        search_find(s);
        assert_int_equal(s->found.fine.state, RN_LEAST_FOUND);
        check_at_least(s->found.fine.value, 123.6 * ML * (1 - 1e-9));
        check_at_most(s->found.fine.unmet, 123.6 * ML);
        /* or as close as four digits go */
        check_at_most(s->found.fine.value - s->found.fine.unmet, fmax(shares[i] * 123.6, 0.1) * ML * (1 + 1e-3));
        /* and no closer is told than that */
        check_at_least(s->found.close, s->found.fine.value - s->found.fine.unmet);
        check_at_most(s->found.close, fmax(shares[i] * s->found.fine.value, 0.1 * ML) * (1 + 1e-9));
        assert_true(atomic_load(&s->model.calls) <= 40);
        search_free(s);
    }
}

static void one_grid_is_enough(void **state)
{
    (void)state;
    search *s =
        search_of(&simple, "poured", NULL, NULL, stand_in_goal("coverage", "at least 90 %", NULL), rn_study_defaults());
    s->options.cells = s->options.coarse_cells = 96;
    search_find(s);
    assert_true(!s->found.has_coarse && s->found.has_fine);
    check_answer(&s->found, 180 * ML);
    assert_int_equal(s->found.fine.cells, 96);
    search_free(s);
}

static void met_by_the_least_of_the_range(void **state)
{
    (void)state;
    search *s = found_by(&simple, "poured", stand_in_goal("coverage", "at least 1 %", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_LOWEST);
    check_close(s->found.fine.value, 12.5 * ML, 1e-9);
    assert_true(isnan(s->found.fine.unmet));
    assert_int_equal(s->found.fine.outcome.state, RN_OUTCOME_WHOLE);
    search_free(s);
    s = found_by(&simple, "poured", stand_in_goal("run-off", "at most 5 ml", NULL)); /* nothing wants more */
    assert_int_equal(s->found.fine.state, RN_LEAST_LOWEST);
    search_free(s);
}

static void met_by_nothing(void **state)
{
    (void)state;
    world w = simple;
    w.most = 0.7;
    search *s = found_by(&w, "poured", stand_in_goal("thinnest", "at least 1 mm", "coverage", "at least 90 %", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_NEVER);
    check_close(s->found.fine.value, 800 * ML, 1e-9); /* not even the most */
    assert_int_equal(s->found.fine.needs, 1);
    check_close(s->found.fine.outcome.coverage, 0.7, 1e-9);
    search_free(s);
}

/* 180 ml to cover, no more than 110 ml or too much runs off. */
static void two_demands_that_lie_apart(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 100;
    for (int turned = 0; turned < 2; turned++) {
        const rn_goal goal = turned ? stand_in_goal("run-off", "at most 10 ml", "coverage", "at least 90 %", NULL)
                                    : stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL);
        for (w.coarse = 0.8; w.coarse < 1.3; w.coarse += 0.2) {
            search *s = found_by(&w, "poured", goal);
            const rn_least_look *fine = &s->found.fine;
            assert_int_equal(fine->state, RN_LEAST_APART);
            check_at_least(fine->value, 180 * ML * (1 - 1e-9));
            check_close(fine->value, 180 * ML, 0.0101);
            check_at_most(fine->most, 110 * ML * (1 + 1e-9));
            check_close(fine->most, 110 * ML, 0.0101);
            assert_int_equal(fine->needs, turned);
            assert_int_equal(fine->allows, !turned);
            search_free(s);
        }
    }
}

/* What is allowed once more beyond the value that is needed does not count: never more at most than at least. */
static void apart_though_not_sharp(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 120; /* 130 ml are allowed, and 250 to 300 ml again */
    w.dry[0] = 250;
    w.dry[1] = 300;
    search *s = found_by(&w, "poured", stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_APART);
    check_close(s->found.fine.value, 180 * ML, 0.0101);
    check_close(s->found.fine.most, 130 * ML, 0.0101);
    check_at_most(s->found.coarse.most, s->found.coarse.value);
    search_free(s);
}

static void both_demands_just_met(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 175;
    search *s = found_by(&w, "poured", stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL));
    check_answer(&s->found, 180 * ML); /* 185 ml would be allowed */
    search_free(s);
}

/* Within bounds: both of them. */
static void a_demand_within_bounds(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 100;
    search *s = found_by(&w, "poured", stand_in_goal("run-off", "40 ml +- 10 ml", NULL));
    check_answer(&s->found, 130 * ML);
    search_free(s);
}

static void too_much_even_at_the_least(void **state)
{
    (void)state;
    world w = simple;
    w.overflow = 5;
    search *s = found_by(&w, "poured", stand_in_goal("coverage", "at least 90 %", "run-off", "at most 1 ml", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_APART);
    assert_true(isnan(s->found.fine.most));
    assert_int_equal(s->found.fine.allows, 1);
    search_free(s);
    s = found_by(&w, "poured", stand_in_goal("run-off", "at most 1 ml", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_APART);
    assert_true(isnan(s->found.fine.most) && s->found.fine.needs == -1);
    check_close(s->found.fine.value, 12.5 * ML, 1e-9);
    search_free(s);
}

/* Stretch, of which it is not known what more does: here more helps, and it is asked for beyond what covers. */
static void what_may_go_either_way(void **state)
{
    (void)state;
    world w = simple;
    w.stretch_at_all = 1; /* 10^(1 - v/200 ml): 2.5 at 120.4 ml, 0.5 at 260.2 ml */
    search *s = found_by(&w, "poured", stand_in_goal("coverage", "at least 90 %", "stretch", "at most 2.5", NULL));
    check_answer(&s->found, 180 * ML);
    search_free(s);
    s = found_by(&w, "poured", stand_in_goal("coverage", "at least 30 %", "stretch", "at most 2.5", NULL));
    check_answer(&s->found, 200 * (1 - log10(2.5)) * ML);
    assert_int_equal(s->found.fine.needs, 1);
    search_free(s);
    w.overflow = 100; /* but what wants less allows 110 ml */
    s = found_by(
        &w, "poured",
        stand_in_goal("coverage", "at least 30 %", "stretch", "at most 2.5", "run-off", "at most 10 ml", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_NOWHERE);
    assert_int_equal(s->found.fine.needs, 1); /* what is missed at the value that is told */
    assert_false(rn_goal_judge(&s->found.goal, &s->found.fine.outcome).margins[1].met);
    assert_true(isnan(s->found.fine.unmet));
    search_free(s);
}

/* 180 ml cover, and so do all beyond but those in a gap: the answer is beyond the gap where that was seen, and then what
   is below it is told; it may also not be seen. */
static void a_border_that_is_not_sharp(void **state)
{
    (void)state;
    int told = 0;
    for (double at = 182; at < 400; at += 9) {
        world w = simple;
        w.gap[0] = at;
        w.gap[1] = 1.2 * at;
        search *s = found_by(&w, "poured", stand_in_goal("coverage", "at least 90 %", NULL));
        const rn_least_look *fine = &s->found.fine;
        assert_int_equal(fine->state, RN_LEAST_FOUND);
        assert_true(rn_goal_judge(&s->found.goal, &fine->outcome).met);
        const bool beyond = fine->value > at * ML;
        check_close(fine->value, (beyond ? 1.2 * at : 180) * ML, 0.0101);
        check_at_most(fine->unmet, (beyond ? 1.2 * at : 180) * ML);
        told += fine->jumps;
        assert_true(beyond || !fine->jumps);
        if (s->found.coarse.jumps) /* what the coarse grid showed is looked at on the fine one */
            assert_true(fine->jumps);
        if (fine->jumps)
            assert_true(fine->jump >= 180 * ML * (1 - 1e-9) && fine->jump < at * ML);
        search_free(s);
    }
    assert_true(told > 0);
}

/* A gap of the coarse grid alone is none. */
static void a_jump_of_the_coarse_grid_alone(void **state)
{
    (void)state;
    world w = simple;
    w.gap[0] = 230;
    w.gap[1] = 280;
    w.coarse_gap = true;
    search *s = found_by(&w, "poured", stand_in_goal("coverage", "at least 90 %", NULL));
    assert_true(s->found.coarse.jumps);
    assert_false(s->found.fine.jumps);
    check_answer(&s->found, 180 * ML);
    search_free(s);
}

/* Runs that stop once their goal is decided give the same answer as those that do not. */
static void stopping_early_changes_nothing(void **state)
{
    (void)state;
    for (double overflow = 100; overflow < 300; overflow += 40) {
        world w = simple, early = simple;
        w.overflow = early.overflow = overflow;
        early.settles = true;
        const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL);
        search *one = found_by(&w, "poured", goal), *other = found_by(&early, "poured", goal);
        assert_int_equal(one->found.fine.state, other->found.fine.state);
        assert_true(one->found.fine.value == other->found.fine.value);
        assert_true(one->found.fine.unmet == other->found.fine.unmet);
        assert_int_equal(one->found.fine.needs, other->found.fine.needs);
        assert_true(one->found.fine.most == other->found.fine.most ||
                    (isnan(one->found.fine.most) && isnan(other->found.fine.most)));
        assert_int_equal(other->found.fine.outcome.state, RN_OUTCOME_WHOLE);
        assert_int_equal(other->found.fine.below.state, RN_OUTCOME_DECIDED);
        search_free(one);
        search_free(other);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_least_volume_is_found_wherever_it_is),
        cmocka_unit_test(the_fine_grid_has_the_last_word),
        cmocka_unit_test(several_demands_and_the_one_that_needs_most),
        cmocka_unit_test(as_close_as_is_asked),
        cmocka_unit_test(one_grid_is_enough),
        cmocka_unit_test(met_by_the_least_of_the_range),
        cmocka_unit_test(met_by_nothing),
        cmocka_unit_test(two_demands_that_lie_apart),
        cmocka_unit_test(apart_though_not_sharp),
        cmocka_unit_test(both_demands_just_met),
        cmocka_unit_test(a_demand_within_bounds),
        cmocka_unit_test(too_much_even_at_the_least),
        cmocka_unit_test(what_may_go_either_way),
        cmocka_unit_test(a_border_that_is_not_sharp),
        cmocka_unit_test(a_jump_of_the_coarse_grid_alone),
        cmocka_unit_test(stopping_early_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
