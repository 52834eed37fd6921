/* Sessions from plans: their history, how they are cut short, what covered means, what a base coat holds. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "run/session.h"

static rn_plan *read_plan(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    return plan;
}

typedef struct outcome {
    rn_forecast forecast;
    rn_record *record;
} outcome;

static outcome run_plan(const char *text, rn_session_options options, rn_session_watch *watch)
{
    outcome got = {0};
    rn_plan *plan = read_plan(text);
    rn_session *session = NULL;
    rn_error err = {0};
    options.cells = 64;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, watch, NULL, &err), &err);
    check_ok(rn_session_forecast(&got.forecast, session, &err), &err);
    check_ok(rn_session_record(&got.record, session, &err), &err);
    rn_session_free(session);
    rn_plan_free(plan);
    return got;
}

#define PANEL "plan: 1\npanel: {size: 20 cm x 15 cm}\npaints: {kelp: {viscosity: 1 Pa s}}\n"

static void the_history_is_whole(void **state)
{
    (void)state;
    outcome got =
        run_plan(PANEL "pours: [{across: 50 mm, start: 1 s, lifts: 3, every: 5 s, open: 2 s, stack: [kelp 40 ml]}]\n"
                       "moves: [{start: 20 s, for: 5 s, tilt: 6 deg, toward: back right}]\n"
                       "end: 60 s\n",
                 rn_session_defaults(), NULL);
    const rn_record *record = got.record;
    assert_true(record->complete);
    assert_true(record->moment_count > 80 && record->moment_count <= 520);
    check_within(record->moments[0].time, 0, 0);
    check_within(record->moments[record->moment_count - 1].time, 60, 0);
    double run_off = 0;
    for (int m = 1; m < record->moment_count; m++) {
        assert_true(record->moments[m].time > record->moments[m - 1].time);
        assert_true(record->moments[m].released >= record->moments[m - 1].released);
    }
    for (int side = 0; side < RN_SIDES; side++)
        run_off += record->moments[record->moment_count - 1].run_off[side];
    check_close(got.forecast.run_off, run_off, 1e-12);
    check_close(got.forecast.poured, 40e-6, 1e-12);
    check_close(got.forecast.on_panel + run_off, 40e-6, 1e-12);
    check_at_most(got.forecast.balance_error, 1e-12);
    long arrived = 0, covered = 0;
    for (long n = 0; n < (long)record->grid.nx * record->grid.ny; n++) {
        arrived += record->arrival[n] <= 60;
        covered += record->depth[n] >= 0.15e-3;
    }
    assert_true(arrived >= covered && covered > 0);
    check_close(got.forecast.coverage, (double)covered / (record->grid.nx * record->grid.ny), 1e-12);
    rn_record_free(got.record);
}

static void until_cuts_a_plan_short(void **state)
{
    (void)state;
    rn_session_options options = rn_session_defaults();
    options.until = 7;
    outcome got =
        run_plan(PANEL "pours: [{across: 50 mm, start: 1 s, lifts: 3, every: 5 s, open: 2 s, stack: [kelp 40 ml]}]\n",
                 options, NULL);
    check_within(got.forecast.duration, 7, 0);
    assert_true(got.record->complete);
    check_close(got.forecast.poured, 40e-6 * (1.0 / 3 + 1.0 / 6), 1e-9); /* one burst and half the next */
    rn_record_free(got.record);
}

static bool stop_at_ten(void *context, const rn_session *session)
{
    (void)context;
    return rn_session_time(session) < 10;
}

static void a_watch_stops_it_and_keeps_what_there_is(void **state)
{
    (void)state;
    outcome got = run_plan(PANEL "pours: [{across: 50 mm, start: 1 s, stack: [kelp 40 ml]}]\nend: 60 s\n",
                           rn_session_defaults(), stop_at_ten);
    assert_false(got.record->complete);
    assert_false(got.forecast.complete);
    assert_true(got.forecast.duration >= 10 && got.forecast.duration < 16);
    check_within(got.record->moments[got.record->moment_count - 1].time, got.forecast.duration, 0.5);
    rn_record_free(got.record);
}

static void what_was_covered_and_thinned_again_is_not_covered(void **state)
{
    (void)state;
    /* 0.3 mm everywhere; a fast spin leaves less than 0.29 mm [emslie1958]. */
    outcome got = run_plan("plan: 1\npanel: {size: 20 cm x 20 cm, edges: open}\ncover: 0.29 mm\n"
                           "paints: {kelp: {viscosity: 0.1 Pa s}}\nbase: [{paint: kelp, depth: 0.3 mm}]\n"
                           "moves: [{start: 1 s, for: 20 s, spin: 120 rpm}]\nend: 30 s\n",
                           rn_session_defaults(), NULL);
    assert_false(got.forecast.covered);
    assert_true(isnan(got.forecast.covered_at));
    check_within(got.forecast.best_coverage, 1, 0);
    for (int c = 0; c < RN_CORNERS; c++)
        assert_true(isnan(got.forecast.corners[c].covered_at));
    rn_record_free(got.record);
}

static void base_coats_hold_their_volumes(void **state)
{
    (void)state;
    static const struct {
        const char *panel, *base;
        double volume;
    } cases[] = {
        {"size: 20 cm x 15 cm", "{paint: kelp, depth: 0.4 mm}", 0.2 * 0.15 * 0.4e-3},
        {"across: 20 cm", "{paint: kelp, volume: 9 ml}", 9e-6},
        {"size: 20 cm x 15 cm", "{paint: kelp, volume: 8 ml, at: corners}", 8e-6},
        {"across: 20 cm", "{paint: kelp, volume: 8 ml, at: corners}", 8e-6},
        {"size: 20 cm x 15 cm", "{paint: kelp, volume: 3 ml, at: 40 mm right 20 mm front, across: 30 mm}", 3e-6},
        {"size: 20 cm x 15 cm", "{paint: kelp, volume: 5 ml, along: front edge, width: 15 mm}", 5e-6},
        {"size: 20 cm x 15 cm", "{paint: kelp, depth: 1 mm, along: left edge, width: 20 mm}", 0.15 * 0.02 * 1e-3},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char text[400];
        snprintf(text, sizeof text, "plan: 1\npanel: {%s}\npaints: {kelp: {}}\nbase: [%s]\nend: 1 s\n", cases[k].panel,
                 cases[k].base);
        outcome got = run_plan(text, rn_session_defaults(), NULL);
        check_close(got.forecast.base, cases[k].volume, 2e-2);
        check_at_most(got.forecast.balance_error, 1e-12);
        rn_record_free(got.record);
    }
}

static void a_day_of_rest_ends(void **state)
{
    (void)state;
    outcome got = run_plan("plan: 1\npanel: {size: 20 cm x 20 cm}\npaints: {kelp: {}}\n"
                           "base: [{paint: kelp, volume: 10 ml, at: centre, across: 60 mm}]\nend: 2 h\n",
                           rn_session_defaults(), NULL);
    check_within(got.forecast.duration, 7200, 0);
    assert_true(got.forecast.still_moving < 1e-6);
    printf("two hours of rest: %ld steps, %.2f s\n", got.forecast.steps, got.forecast.wall);
    rn_record_free(got.record);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_history_is_whole),
        cmocka_unit_test(until_cuts_a_plan_short),
        cmocka_unit_test(a_watch_stops_it_and_keeps_what_there_is),
        cmocka_unit_test(what_was_covered_and_thinned_again_is_not_covered),
        cmocka_unit_test(base_coats_hold_their_volumes),
        cmocka_unit_test(a_day_of_rest_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
