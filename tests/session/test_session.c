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

/* Four bursts every 0.1 s end at 3 x 0.1 s, which in binary (IEEE 754, from memory) is a little more than the 0.3 s of the
   other. */
static void bursts_that_rounding_sets_apart_fall_together(void **state)
{
    (void)state;
    rn_plan *plan =
        read_plan(PANEL "pours:\n"
                        "  - {across: 50 mm, start: 0.3 s, open: 0 s, stack: [kelp 4 ml]}\n"
                        "  - {from: cup, at: 60 mm left, across: 20 mm, start: 0 s, lifts: 4, every: 0.1 s, "
                        "open: 0 s, stack: [kelp 8 ml]}\nend: 2 s\n");
    assert_true(plan->pours[0].start < plan->pours[1].start + 3 * plan->pours[1].every);
    rn_session_options options = rn_session_defaults();
    options.cells = 64;
    rn_session *session = NULL;
    rn_error err = {0};
    rn_forecast now;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    while (rn_session_time(session) < 0.3)
        check_ok(rn_session_step(session, &err), &err);
    check_within(rn_session_time(session), 0.3, 1e-12);
    check_ok(rn_session_forecast(&now, session, &err), &err);
    check_close(now.poured, 12e-6, 1e-12);
    check_close(now.on_panel, 12e-6, 1e-12);
    rn_session_free(session);
    rn_plan_free(plan);
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

/* Since when a value has been at least `level`, by the line between two looks; told apart from how the session does it. */
typedef struct held {
    double before, since; /* NaN: it is not */
    double lowest;        /* since it was last held */
    int losses,
        shallow; /* how often it was lost, and how often of these it came back from no lower than half the level */
} held;

static void look(held *of, double value, double level, double from, double to)
{
    if (value < level) {
        of->losses += !isnan(of->since);
        of->lowest = isnan(of->since) ? fmin(of->lowest, value) : value;
        of->since = NAN;
    } else if (isnan(of->since)) {
        of->since = of->before < level ? from + (to - from) * (level - of->before) / (value - of->before) : to;
        of->shallow += of->losses > 0 && of->lowest >= 0.5 * level;
    }
    of->before = value;
}

static void check_since(double told, const held *of)
{
    if (isnan(of->since))
        assert_true(isnan(told));
    else
        check_within(told, of->since, 1e-9);
}

/* A film spun and rocked within walls leaves its middle, its edges and its corners, now a little and now far, and comes
   back. */
static void a_moment_lies_where_two_looks_pass_the_level(void **state)
{
    (void)state;
    static const char *const panels[] = {"size: 8 cm x 6 cm", "across: 8 cm"};
    int shallow_corner = 0, shallow_share = 0;
    for (int p = 0; p < 2; p++) {
        char text[1000];
        snprintf(
            text, sizeof text,
            "plan: 1\npanel: {%s, edges: walls, advance: 0 deg}\ncover: 0.3 mm\n"
            "paints: {kelp: {viscosity: 0.1 Pa s, tension: 0 mN/m}}\n"
            "base: [{paint: kelp, depth: 0.4 mm}]\n"
            "moves: [{start: 1 s, for: 50 s, spin: 25 rpm}, {start: 200 s, for: 20 s, tilt: 2 deg, toward: right}, "
            "{start: 220 s, for: 30 s, tilt: 2 deg, toward: left}, {start: 250 s, for: 50 s, tilt: 2 deg, "
            "toward: back right}, {start: 300 s, for: 40 s, tilt: 4 deg, toward: front}]\nend: 700 s\n",
            panels[p]);
        rn_plan *plan = read_plan(text);
        rn_session *session = NULL;
        rn_session_options options = rn_session_defaults();
        options.cells = 64;
        options.threads = 1;
        rn_error err = {0};
        rn_forecast now;
        check_ok(rn_session_new(&session, plan, &options, &err), &err);
        held corners[RN_CORNERS] = {{0}}, covered = {.since = 0, .before = 1}, share = {.since = 0, .before = 1};
        for (int c = 0; c < RN_CORNERS; c++)
            corners[c].before = 0.4e-3;
        while (!rn_session_done(session)) {
            const double from = rn_session_time(session);
            check_ok(rn_session_step(session, &err), &err);
            check_ok(rn_session_forecast(&now, session, &err), &err);
            double least = INFINITY;
            for (int c = 0; c < RN_CORNERS; c++) {
                look(&corners[c], now.corners[c].depth, 0.3e-3, from, rn_session_time(session));
                check_since(now.corners[c].covered_at, &corners[c]);
                least = fmin(least, now.corners[c].depth);
            }
            look(&covered, least < 0.3e-3 ? 0 : now.coverage, 0.995, from, rn_session_time(session));
            look(&share, now.coverage, 0.995, from, rn_session_time(session));
            check_since(now.covered_at, &covered);
            assert_true(now.covered == !isnan(covered.since));
        }
        for (int c = 0; c < RN_CORNERS; c++)
            shallow_corner += corners[c].shallow;
        shallow_share += covered.shallow;
        printf("%s: share lost %d times, covered %d times\n", panels[p], share.losses, covered.losses);
        assert_true(share.losses > 1 && covered.losses > 1);
        rn_session_free(session);
        rn_plan_free(plan);
    }
    printf("came back from a little less: corners %d times, the face %d times\n", shallow_corner, shallow_share);
    assert_true(shallow_corner > 0);
    assert_true(shallow_share > 0);
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
    printf("two hours of rest: %ld steps\n", got.forecast.steps);
    rn_record_free(got.record);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_history_is_whole),
        cmocka_unit_test(until_cuts_a_plan_short),
        cmocka_unit_test(bursts_that_rounding_sets_apart_fall_together),
        cmocka_unit_test(a_watch_stops_it_and_keeps_what_there_is),
        cmocka_unit_test(what_was_covered_and_thinned_again_is_not_covered),
        cmocka_unit_test(a_moment_lies_where_two_looks_pass_the_level),
        cmocka_unit_test(base_coats_hold_their_volumes),
        cmocka_unit_test(a_day_of_rest_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
