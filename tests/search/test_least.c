/* The least value that meets a goal: against a model whose answers are known, in every way an answer can turn out. With
   sessions: tests/search/test_least_runs.c. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "search/least.h"
#include "search/nook.h"
#include "search/stand_in.h"

#define ML 1e-6
#define RPM (RN_PI / 30)

/* What a pour of the model does; volumes in ml. */
typedef struct world {
    double all;            /* covers all of the face; less in proportion, as far as `most` */
    double most;           /* the greatest coverage there is */
    double overflow;       /* what is beyond runs off */
    double dry[2];         /* but for between these */
    double coarse;         /* by so much the coarse grid takes all of this for more */
    double gap[2];         /* between these nothing is covered */
    bool coarse_gap;       /* on the coarse grid alone */
    double fails[2];       /* between these nothing can be worked out */
    double stretch_at_all; /* stretch falls from 10 at nothing by factors: it is this at `all` */
    double spin[2];        /* covered where the last move's speed is between these, if given [rpm]; fine grid */
    double coarse_spin[2];
    int lifts; /* covered from so many on, if given */
    bool settles;
} world;

static const world simple = {.all = 200, .most = 1, .overflow = 1e9, .coarse = 1};

static bool within(double value, const double *bounds)
{
    return value >= bounds[0] && value < bounds[1];
}

static rn_outcome outcome_of(const rn_run *run, const void *context)
{
    const world *w = context;
    const bool coarse = run->cells < 128;
    const double volume = stand_in_poured(run->plan) / ML, scale = coarse ? w->coarse : 1;
    const double coverage = fmin(volume * scale / w->all, 1) * w->most;
    rn_outcome outcome =
        stand_in_outcome(run->plan, within(volume, w->gap) && (coarse || !w->coarse_gap) ? 0 : coverage);
    if (within(volume, w->fails)) {
        outcome = (rn_outcome){.state = RN_OUTCOME_FAILED};
        snprintf(outcome.why, sizeof outcome.why, "the film tore at 3 s");
        return outcome;
    }
    outcome.run_off = within(volume, w->dry) ? 0 : fmax(0, volume * scale - w->overflow) * ML;
    outcome.has_pattern = run->pattern;
    outcome.stretch = run->pattern ? 10 * pow(w->stretch_at_all / 10, volume / w->all) : NAN;
    if (w->spin[1] > 0) {
        const double *spin = coarse && w->coarse_spin[1] > 0 ? w->coarse_spin : w->spin;
        const double speed = fabs(run->plan->moves[run->plan->move_count - 1].amount) / RPM;
        outcome.coverage = within(speed, spin) ? 1 : 0.5 - 1e-3 * fabs(speed - spin[0]);
    }
    if (w->lifts > 0)
        outcome.coverage = run->plan->pours[0].lifts >= w->lifts + (coarse ? 1 : 0) ? 1 : 0.5;
    if (w->settles && run->settles) {
        outcome.goal_met = rn_goal_judge(run->settles, &outcome).met;
        outcome.state = RN_OUTCOME_DECIDED;
        snprintf(outcome.why, sizeof outcome.why, "decided at 10 s");
    }
    return outcome;
}

typedef struct search {
    rn_plan *plan;
    rn_dial dial;
    stand_in model;
    rn_study *study;
    rn_least_options options;
    rn_error err;
    rn_least found;
} search;

static const char turning[] = "moves:\n  - {start: 10 s, for: 10 s, tilt: 5 deg, toward: back}\n"
                              "  - {start: 30 s, for: 10 s, spin: -40 rpm}\n";

static search *search_of(const world *w, const char *path, const char *from, const char *to, rn_goal goal,
                         rn_study_options options)
{
    search *s = calloc(1, sizeof *s);
    assert_non_null(s);
    s->plan = stand_in_plan(turning);
    s->model = (stand_in){.of = outcome_of, .context = w};
    s->options = rn_least_defaults();
    s->options.goal = goal;
    check_ok(rn_dial_make(&s->dial, s->plan, path, from, to, &s->err), &s->err);
    s->study = stand_in_study(&s->model, options);
    return s;
}

static void search_free(search *s)
{
    rn_study_free(s->study);
    rn_plan_free(s->plan);
    free(s);
}

static search *found_by(const world *w, const char *path, rn_goal goal)
{
    search *s = search_of(w, path, NULL, NULL, goal, rn_study_defaults());
    check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
    assert_true(s->found.has_coarse && s->found.has_fine);
    assert_int_equal(s->found.coarse.cells, RN_LEAST_COARSE);
    assert_int_equal(s->found.fine.cells, RN_LEAST_FINE);
    assert_int_equal(s->found.coarse.runs + s->found.fine.runs, atomic_load(&s->model.calls));
    return s;
}

/* The answer lies on the right side of what is known, and no farther off than was asked. */
static void check_answer(const rn_least *found, double known)
{
    const rn_least_look *fine = &found->fine;
    const double close = fmax(fine->value / 100, 1 * ML);
    assert_int_equal(fine->state, RN_LEAST_FOUND);
    check_at_least(fine->value, known * (1 - 1e-9));
    check_at_most(fine->unmet, known * (1 + 1e-9));
    check_at_most(fine->value - fine->unmet, close * (1 + 1e-3));
    check_close(found->close, fmax(fine->value / 100, 1 * ML), 1e-9);
    assert_int_equal(fine->outcome.state, RN_OUTCOME_WHOLE);
    assert_true(rn_goal_judge(&found->goal, &fine->outcome).met);
    assert_false(rn_goal_judge(&found->goal, &fine->below).met);
}

/* ---- volumes ---- */

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
        check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
        assert_int_equal(s->found.fine.state, RN_LEAST_FOUND);
        check_at_least(s->found.fine.value, 123.6 * ML * (1 - 1e-9));
        check_at_most(s->found.fine.unmet, 123.6 * ML);
        /* or as close as four digits go */
        check_at_most(s->found.fine.value - s->found.fine.unmet, fmax(shares[i] * 123.6, 0.1) * ML * (1 + 1e-3));
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
    check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
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

/* ---- other numbers ---- */

static void the_least_spin_that_does(void **state)
{
    (void)state;
    world w = simple;
    w.spin[0] = 30;
    w.spin[1] = 55;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    for (int k = 0; k < 2; k++) { /* on the coarse grid elsewhere, once where the fine one has nothing above */
        w.coarse_spin[0] = k ? 60 : 30.3;
        w.coarse_spin[1] = k ? 90 : 60;
        search *s = search_of(&w, "moves.2.spin", "10 rpm", "100 rpm", goal, rn_study_defaults());
        check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
        assert_true(s->dial.negative);
        assert_int_equal(s->found.fine.state, RN_LEAST_FOUND);
        check_at_least(s->found.fine.value, 30 * RPM * (1 - 1e-9));
        check_close(s->found.fine.value, 30 * RPM, 0.0101);
        check_at_most(s->found.fine.unmet, 30 * RPM);
        check_close(s->found.coarse.value, (k ? 60 : 30.3) * RPM, 0.0101);
        assert_int_equal(s->found.fine.runs < 10, k == 0); /* near the coarse answer, not over all of the range again */
        search_free(s);
    }
}

static void no_spin_does(void **state)
{
    (void)state;
    world w = simple;
    w.spin[0] = 30;
    w.spin[1] = 30.0001;
    search *s =
        found_by(&w, "moves.2.spin", stand_in_goal("thinnest", "at least 1 mm", "coverage", "at least 90 %", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_NOWHERE);
    assert_int_equal(s->found.fine.needs, 1);
    /* of ten by factors from 2.5 to 640 rpm the nearest to 30 rpm, where the model covers most */
    check_close(s->found.fine.value / RPM, 2.5 * pow(256, 4.0 / 9), 1e-3);
    search_free(s);
}

static void spins_that_all_do(void **state)
{
    (void)state;
    world w = simple;
    w.spin[1] = 1e6;
    search *s = found_by(&w, "moves.2.spin", stand_in_goal("coverage", "at least 90 %", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_LOWEST);
    check_close(s->found.fine.value, 2.5 * RPM, 1e-9);
    search_free(s);
}

/* Whole numbers: the answer and the one below it, though the grids differ by one. */
static void whole_numbers(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    for (int lifts = 2; lifts <= 20; lifts++) {
        world w = simple;
        w.lifts = lifts;
        search *s = search_of(&w, "pours.1.lifts", "1", "24", goal, rn_study_defaults());
        check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
        assert_int_equal(s->found.fine.state, RN_LEAST_FOUND);
        assert_true(s->found.fine.value == lifts);
        assert_true(s->found.fine.unmet == lifts - 1);
        assert_true(s->found.coarse.value == lifts + 1);
        search_free(s);
    }
    world w = simple; /* fewer values than rungs: each once */
    w.lifts = 3;
    search *s = search_of(&w, "pours.1.lifts", "1", "4", goal, rn_study_defaults());
    check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
    assert_true(s->found.fine.value == 3 && s->found.fine.unmet == 2);
    assert_true(s->found.coarse.runs <= 4);
    search_free(s);
}

/* ---- what goes wrong ---- */

static void check_no_answer(search *s, rn_status status, const char *says)
{
    s->found.close = 17;
    check_status(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), status, &s->err);
    if (!strstr(s->err.message, says))
        fail_msg("'%s' does not say '%s'", s->err.message, says);
    assert_true(s->found.close == 17); /* untouched */
    search_free(s);
}

static void runs_that_fail_are_no_answer(void **state)
{
    (void)state;
    world w = simple;
    w.fails[1] = 1e9;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    check_no_answer(search_of(&w, "poured", NULL, NULL, goal, rn_study_defaults()), RN_E_NUMERIC,
                    "could not be worked out: the film tore at 3 s");
    check_no_answer(search_of(&w, "moves.2.spin", NULL, NULL, goal, rn_study_defaults()), RN_E_NUMERIC,
                    "could not be worked out: the film tore at 3 s");
    w.fails[1] = 250; /* too little fails, and what is beyond does not: the least that can be worked out */
    search *s = found_by(&w, "poured", goal);
    check_close(s->found.fine.value, 250 * ML, 0.0101);
    assert_int_equal(s->found.fine.below.state, RN_OUTCOME_FAILED);
    search_free(s);
}

static void values_that_make_no_plan(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    check_no_answer(search_of(&simple, "pours.1.width", NULL, NULL, goal, rn_study_defaults()), RN_E_PLAN,
                    "makes no plan, so the range must be less: ");
    check_no_answer(search_of(&simple, "poured", "0 ml", NULL, stand_in_goal("coverage", "at least 1 %", NULL),
                              rn_study_defaults()),
                    RN_E_PLAN, "poured 0 ml makes no plan");
}

static void without_a_goal(void **state)
{
    (void)state;
    check_no_answer(search_of(&simple, "poured", NULL, NULL, (rn_goal){0}, rn_study_defaults()), RN_E_PLAN,
                    "there is no goal to meet");
}

static bool tell_until(void *context, const rn_progress *progress)
{
    return progress->done < *(const int *)context;
}

/* Stopped after any number of runs: no answer, or the coarse one, and the search goes on from what is kept. */
static void stopped_after_any_number_of_runs(void **state)
{
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL);
    world w = simple;
    w.overflow = 100;
    search *whole = found_by(&w, "poured", goal);
    const int all = atomic_load(&whole->model.calls);
    for (int limit = 0; limit <= all; limit++) {
        char name[40];
        int calls = 0;
        rn_error err = {0};
        rn_study_options options = rn_study_defaults();
        snprintf(name, sizeof name, "runs%d", limit);
        check_ok(rn_cache_open(&options.cache, nook_path(state, name), &err), &err);
        options.threads = 1;
        options.tell = tell_until;
        options.tell_context = &limit;
        search *s = search_of(&w, "poured", NULL, NULL, goal, options);
        s->model.lasting = 1e-3;
        check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
        calls = atomic_load(&s->model.calls);
        assert_true(!s->found.has_fine || rn_study_stopped(s->study) == (limit <= all));
        assert_int_equal(s->found.has_coarse, s->found.coarse.state == RN_LEAST_APART);
        if (limit == 0)
            assert_false(s->found.has_coarse);
        search_free(s);
        options.tell = NULL;
        s = search_of(&w, "poured", NULL, NULL, goal, options);
        check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
        assert_true(s->found.fine.value == whole->found.fine.value && s->found.fine.most == whole->found.fine.most);
        assert_true(calls + atomic_load(&s->model.calls) <= all + 1); /* but for the one in flight */
        search_free(s);
        rn_cache_close(options.cache);
    }
    search_free(whole);
}

static void threads_do_not_matter(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 77 %", NULL);
    double values[3];
    for (int k = 0; k < 3; k++) {
        rn_study_options options = rn_study_defaults();
        options.threads = (int[]){1, 2, 16}[k];
        search *s = search_of(&simple, "poured", NULL, NULL, goal, options);
        check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
        values[k] = s->found.fine.value;
        search_free(s);
    }
    assert_true(values[0] == values[1] && values[0] == values[2]);
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
        cmocka_unit_test(the_least_spin_that_does),
        cmocka_unit_test(no_spin_does),
        cmocka_unit_test(spins_that_all_do),
        cmocka_unit_test(whole_numbers),
        cmocka_unit_test(runs_that_fail_are_no_answer),
        cmocka_unit_test(values_that_make_no_plan),
        cmocka_unit_test(without_a_goal),
        cmocka_unit_test_setup_teardown(stopped_after_any_number_of_runs, nook_make, nook_remove),
        cmocka_unit_test(threads_do_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
