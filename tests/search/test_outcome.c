/* Outcomes: of a forecast and back, and as a line of text that keeps every bit. */
#include "check.h"

#include <float.h>
#include <string.h>

#include "base/random.h"
#include "run/session.h"
#include "search/outcome.h"
#include "search/stand_in.h"
#include "search/trial.h"

/* The same to the last bit, but that any NaN is as good as another. */
static bool same_number(double a, double b)
{
    return (isnan(a) && isnan(b)) || memcmp(&a, &b, sizeof a) == 0;
}

static void check_same(const rn_outcome *a, const rn_outcome *b)
{
    const struct {
        double a, b;
    } pairs[] = {
        {a->duration, b->duration},
        {a->cover, b->cover},
        {a->coverage, b->coverage},
        {a->covered_at, b->covered_at},
        {a->best_coverage, b->best_coverage},
        {a->best_at, b->best_at},
        {a->base, b->base},
        {a->poured, b->poured},
        {a->on_panel, b->on_panel},
        {a->on_sides, b->on_sides},
        {a->run_off, b->run_off},
        {a->mean, b->mean},
        {a->thinnest, b->thinnest},
        {a->deepest, b->deepest},
        {a->side_coverage, b->side_coverage},
        {a->still_moving, b->still_moving},
        {a->stretch, b->stretch},
        {a->twist, b->twist},
    };
    assert_int_equal(a->state, b->state);
    assert_int_equal(a->goal_met, b->goal_met);
    assert_int_equal(a->nx, b->nx);
    assert_int_equal(a->ny, b->ny);
    assert_int_equal(a->has_pattern, b->has_pattern);
    assert_string_equal(a->why, b->why);
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
        assert_true(same_number(pairs[i].a, pairs[i].b));
    for (int i = 0; i < RN_SIDES; i++)
        assert_true(same_number(a->run_off_by_side[i], b->run_off_by_side[i]));
    for (int i = 0; i < RN_CORNERS; i++)
        assert_true(same_number(a->corner[i], b->corner[i]) && same_number(a->corner_at[i], b->corner_at[i]));
}

/* Of what any run can come to, to the ends of it: a share, or up to a day, a metre, a cubic metre. */
static double any_number(rn_random *draws, bool may_lack)
{
    static const double special[] = {0, -0.0, 1, DBL_MIN, DBL_TRUE_MIN, 1.0 / 3, DBL_EPSILON, 1e-300, 0.1};
    const uint64_t bits = rn_random_bits(draws);
    if (may_lack && bits % 5 == 0)
        return NAN;
    if (bits % 3 == 0)
        return special[bits / 3 % (sizeof special / sizeof special[0])];
    return rn_random_unit(draws);
}

static rn_outcome any_outcome(rn_random *draws)
{
    rn_outcome o = {.state = (rn_outcome_state)(rn_random_bits(draws) % 4)};
    double *const numbers[] = {&o.duration, &o.cover,    &o.coverage,    &o.best_coverage, &o.base,
                               &o.poured,   &o.on_panel, &o.on_sides,    &o.run_off,       &o.mean,
                               &o.thinnest, &o.deepest,  &o.still_moving};
    double *const lacking[] = {&o.covered_at, &o.best_at, &o.side_coverage, &o.stretch, &o.twist};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        *numbers[i] = any_number(draws, false);
    for (size_t i = 0; i < sizeof lacking / sizeof lacking[0]; i++)
        *lacking[i] = any_number(draws, true);
    for (int i = 0; i < RN_SIDES; i++)
        o.run_off_by_side[i] = any_number(draws, false);
    for (int i = 0; i < RN_CORNERS; i++) {
        o.corner[i] = any_number(draws, false);
        o.corner_at[i] = any_number(draws, true);
    }
    o.goal_met = rn_random_bits(draws) % 2;
    o.has_pattern = rn_random_bits(draws) % 2;
    o.nx = (int)(rn_random_bits(draws) % 1025);
    o.ny = (int)(rn_random_bits(draws) % 1025);
    const int length = (int)(rn_random_bits(draws) % RN_OUTCOME_WHY);
    for (int i = 0; i < length; i++)
        o.why[i] = (char)(' ' + rn_random_bits(draws) % 95);
    return o;
}

/* What no run can come to is refused, in each number of the line; "none" only where that says something. */
static void numbers_of_no_run_are_refused(void **state)
{
    (void)state;
    static const char *const wrong[] = {"inf",  "-inf",   "-nan(1)", "1e308", "-1e308", "-1e-9",
                                        "1e13", " 0x1p0", "+1",      "0x",    "",       "1e99999"};
    static const char *const may_lack[] = {"covered_at", "best_at", "corner_at", "side_coverage", "stretch", "twist"};
    char line[RN_OUTCOME_LINE], broken[RN_OUTCOME_LINE + 100];
    rn_plan *plan = stand_in_plan(NULL);
    const rn_outcome outcome = stand_in_outcome(plan, 0.9);
    rn_outcome back = {0};
    int fields = 0;
    rn_outcome_write(line, &outcome);
    assert_true(rn_outcome_read(&back, line));
    for (char *at = strchr(line, '='); strncmp(at - 4, " why", 4) != 0; at = strchr(at + 1, '='), fields++) {
        const char *rest = strchr(at, ' ');
        bool lacks = false;
        for (size_t k = 0; k < sizeof may_lack / sizeof may_lack[0]; k++) {
            const size_t length = strlen(may_lack[k]);
            const char *name = at;
            while (name[-1] != ' ')
                name--;
            lacks = lacks || strncmp(name, may_lack[k], length) == 0;
        }
        for (size_t w = 0; w < sizeof wrong / sizeof wrong[0]; w++) {
            snprintf(broken, sizeof broken, "%.*s%s%s", (int)(at + 1 - line), line, wrong[w], rest);
            const bool none = strcmp(wrong[w], "-nan(1)") == 0;
            if (rn_outcome_read(&back, broken) != (none && lacks))
                fail_msg("%s", broken);
        }
        snprintf(broken, sizeof broken, "%.*snan%s", (int)(at + 1 - line), line, rest);
        assert_int_equal(rn_outcome_read(&back, broken), lacks);
    }
    assert_true(fields >= 30);
    assert_false(rn_outcome_read(&back, "whole met 1000000 48 plain"));
    strcpy(strstr(line, " why=") + 5, "\033[31m");
    assert_false(rn_outcome_read(&back, line)); /* a terminal would obey */
    rn_plan_free(plan);
}

/* Of a run that was worked: whatever one number is turned into that breaks what holds between them all. */
static void check_strange(const rn_outcome *outcome, const rn_plan *plan, const char *what)
{
    const char *said = rn_outcome_strange(outcome, plan, 64);
    if (!said || strcmp(said, what) != 0)
        fail_msg("%s is told as %s", what, said ? said : "possible");
}

static void what_no_session_of_a_plan_comes_to(void **state)
{
    (void)state;
    rn_plan *plan = NULL;
    rn_run run = {.cells = 64};
    rn_error err = {0};
    long bytes;
    check_ok(rn_plan_read_file(&plan, "presets/wrapped-sides.yaml", &err), &err);
    run.plan = plan;
    rn_trial_run(NULL, &run.outcome, &bytes, &run, stand_in_goes_on, NULL);
    const rn_outcome right = run.outcome;
    assert_int_equal(right.state, RN_OUTCOME_WHOLE);
    assert_null(rn_outcome_strange(&right, plan, 64));
    const struct {
        size_t at;
        double factor;
        const char *what;
    } turned[] = {
#define TURNED(name, factor, what) {offsetof(rn_outcome, name), factor, what}
        TURNED(duration, 1.01, "duration"),
        TURNED(cover, 1.01, "cover"),
        TURNED(best_at, 1e4, "moment"),
        TURNED(coverage, 1.01, "coverage"),
        TURNED(poured, 1.01, "volume"),
        TURNED(poured, 0.5, "volume"),
        TURNED(on_panel, 0.5, "volume"),
        TURNED(run_off, 1.5, "volume"),
        TURNED(on_sides, 1e3, "volume"),
        TURNED(mean, 1e3, "depth"),
        TURNED(deepest, 1e-3, "depth"),
        TURNED(deepest, 1e6, "depth"),
        TURNED(corner[2], 1e3, "corner"),
        TURNED(run_off_by_side[1], 2, "volume"),
        TURNED(side_coverage, NAN, "side coverage"),
    };
    for (size_t i = 0; i < sizeof turned / sizeof turned[0]; i++) {
        rn_outcome outcome = right;
        double *number = (double *)((char *)&outcome + turned[i].at);
        assert_true(*number != 0);
        *number *= turned[i].factor;
        check_strange(&outcome, plan, turned[i].what);
    }
    rn_outcome outcome = right;
    outcome.nx = outcome.nx + 1;
    check_strange(&outcome, plan, "grid");
    rn_plan_free(plan);
}

static void a_line_keeps_every_bit(void **state)
{
    (void)state;
    rn_random draws = rn_random_seeded(7);
    for (int i = 0; i < 3000; i++) {
        char line[RN_OUTCOME_LINE], again[RN_OUTCOME_LINE];
        const rn_outcome outcome = any_outcome(&draws);
        rn_outcome back = {0};
        rn_outcome_write(line, &outcome);
        assert_true(strlen(line) < RN_OUTCOME_LINE - 1);
        assert_null(strchr(line, '\n'));
        assert_true(rn_outcome_read(&back, line));
        check_same(&outcome, &back);
        rn_outcome_write(again, &back);
        assert_string_equal(line, again);
    }
}

/* Whatever is cut off, left out or put in, but in the last words, which may be any. */
static void damaged_lines_are_refused(void **state)
{
    (void)state;
    char line[RN_OUTCOME_LINE], broken[RN_OUTCOME_LINE + 10];
    rn_random draws = rn_random_seeded(8);
    rn_plan *plan = stand_in_plan(NULL);
    rn_outcome outcome = stand_in_outcome(plan, 0.9), back = {.nx = 17};
    snprintf(outcome.why, sizeof outcome.why, "for no reason");
    rn_outcome_write(line, &outcome);
    const size_t whole = (size_t)(strstr(line, " why=") - line);
    for (size_t length = 0; length < whole + 5; length++) { /* cut off */
        memcpy(broken, line, length);
        broken[length] = '\0';
        assert_false(rn_outcome_read(&back, broken));
    }
    int refused = 0;
    for (size_t i = 0; i < whole; i++) { /* a letter lost, a strange one put in */
        snprintf(broken, sizeof broken, "%.*s%s", (int)i, line, line + i + 1);
        refused += !rn_outcome_read(&back, broken);
        const size_t at = (size_t)(rn_random_bits(&draws) % whole);
        snprintf(broken, sizeof broken, "%.*s?%s", (int)at, line, line + at);
        assert_false(rn_outcome_read(&back, broken));
        back.nx = 17;
    }
    assert_true(refused >
                (int)whole / 2); /* a number may lose a digit and be one still: the cache has a sum for that */
    assert_false(rn_outcome_read(&back, ""));
    assert_false(rn_outcome_read(&back, "whole met 96 48 plain"));
    assert_false(rn_outcome_read(&back, "whole met -1 48 plain"));
    assert_int_equal(back.nx, 17); /* untouched */
    rn_plan_free(plan);
}

static void a_reason_too_long_is_refused(void **state)
{
    (void)state;
    char line[RN_OUTCOME_LINE + 400];
    rn_outcome outcome = {.state = RN_OUTCOME_FAILED}, back;
    rn_outcome_write(line, &outcome);
    const size_t length = strlen(line);
    memset(line + length, 'x', RN_OUTCOME_WHY);
    line[length + RN_OUTCOME_WHY - 1] = '\0';
    assert_true(rn_outcome_read(&back, line));
    line[length + RN_OUTCOME_WHY - 1] = 'x';
    line[length + RN_OUTCOME_WHY] = '\0';
    assert_false(rn_outcome_read(&back, line));
}

/* Of a real run: what the painter is told, and back again. */
static void of_a_forecast_and_back(void **state)
{
    (void)state;
    rn_plan *plan = NULL;
    rn_session *session = NULL;
    rn_error err = {0};
    rn_forecast forecast;
    rn_session_options options = rn_session_defaults();
    options.cells = 64;
    check_ok(rn_plan_read_file(&plan, "presets/wrapped-sides.yaml", &err), &err);
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_session_forecast(&forecast, session, &err), &err);
    const rn_outcome outcome = rn_outcome_of(&forecast);
    assert_int_equal(outcome.state, RN_OUTCOME_WHOLE);
    assert_int_equal(outcome.nx, forecast.grid.nx);
    const rn_forecast again = rn_outcome_forecast(&outcome);
    const rn_outcome twice = rn_outcome_of(&again);
    check_same(&outcome, &twice);
    assert_true(again.complete && again.covered == forecast.covered && again.wrapped);
    check_close(rn_outcome_lost(&outcome), forecast.run_off / (forecast.base + forecast.poured), 1e-15);
    double least = INFINITY;
    for (int c = 0; c < RN_CORNERS; c++)
        least = fmin(least, forecast.corners[c].depth);
    assert_true(rn_outcome_least_corner(&outcome) == least);
    rn_session_free(session);
    rn_plan_free(plan);
}

static void of_no_paint_nothing_is_lost(void **state)
{
    (void)state;
    const rn_outcome nothing = {0};
    assert_true(rn_outcome_lost(&nothing) == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_keeps_every_bit),
        cmocka_unit_test(damaged_lines_are_refused),
        cmocka_unit_test(a_reason_too_long_is_refused),
        cmocka_unit_test(of_a_forecast_and_back),
        cmocka_unit_test(of_no_paint_nothing_is_lost),
        cmocka_unit_test(numbers_of_no_run_are_refused),
        cmocka_unit_test(what_no_session_of_a_plan_comes_to),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
