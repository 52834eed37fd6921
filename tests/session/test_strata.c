/* Which band a release lets out when, and what lies where at the end of a small pour. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "run/session.h"
#include "run/strata.h"

static rn_plan *read_plan(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    return plan;
}

static const char small[] = "plan: 1\n"
                            "panel: {size: 20 cm x 20 cm, edges: walls}\n"
                            "paints: {slate: {colour: 2b3a55}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}}\n"
                            "base: [{paint: foam, depth: 0.3 mm}]\n"
                            "pours: [{across: 50 mm, width: 8 mm, start: 1 s, lifts: 2, every: 4 s, open: 3 s, "
                            "repeat: 2, stack: [slate 20 ml, kelp 10 ml]}]\n"
                            "end: 12 s\n";

static void the_stack_comes_out_in_order_and_again(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(small);
    const rn_pour *pour = &plan->pours[0];
    assert_int_equal(rn_strata_band(pour, 1e-6), 0);
    assert_int_equal(rn_strata_band(pour, 9.9e-6), 0);
    assert_int_equal(rn_strata_band(pour, 10.1e-6), 1);
    assert_int_equal(rn_strata_band(pour, 14.9e-6), 1);
    assert_int_equal(rn_strata_band(pour, 15.1e-6), 2);
    assert_int_equal(rn_strata_band(pour, 30e-6), 3);
    assert_int_equal(rn_past_based(plan, 0.09, -0.09, 0.5), 2);
    rn_plan_free(plan);
}

/* Volume of each paint by eight levels of the film. */
static void hold(double volumes[3], const char *text)
{
    enum { N = 128, LEVELS = 8 };
    rn_plan *plan = read_plan(text);
    rn_session_options options = rn_session_defaults();
    rn_session *session = NULL;
    rn_error err = {0};
    options.cells = 128;
    options.history = true;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    double cell = 0.2 * 0.2 / (N * N);
    rn_still *still = NULL;
    rn_strata *strata = NULL;
    rn_team *team = NULL;
    rn_past past;
    check_ok(rn_session_still(&still, session, &err), &err);
    check_ok(rn_team_new(&team, 1, &err), &err);
    rn_past_init(&past, plan, rn_session_history(session));
    rn_strata_options wanted = rn_strata_defaults();
    wanted.points = N;
    wanted.levels = LEVELS;
    check_ok(rn_strata_trace(&strata, &past, still, wanted, team, &err), &err);
    memset(volumes, 0, 3 * sizeof *volumes);
    for (int level = 0; level < LEVELS; level++)
        for (int n = 0; n < N * N; n++) {
            const unsigned char paint = strata->paint[level * N * N + n];
            if (paint < 3)
                volumes[paint] += still->depth[n] * cell / LEVELS;
        }
    printf("slate %.2f, kelp %.2f, foam %.2f ml\n", 1e6 * volumes[0], 1e6 * volumes[1], 1e6 * volumes[2]);
    rn_strata_free(strata);
    rn_still_free(still);
    rn_team_free(team);
    rn_session_free(session);
    rn_plan_free(plan);
}

static void the_layers_hold_what_was_poured(void **state)
{
    (void)state;
    double volumes[3];
    hold(volumes, small);
    check_within(volumes[0], 20e-6, 1.5e-6); /* the levels are few; what is left over is to be fitted away */
    check_within(volumes[1], 10e-6, 1.5e-6);
    check_within(volumes[2], 12e-6, 1.5e-6);
}

/* Paint laid down at once, in two cups side by side on a thin coat; the second in two bursts. */
static void they_hold_what_was_laid_down_at_once(void **state)
{
    (void)state;
    double volumes[3];
    hold(volumes,
         "plan: 1\n"
         "panel: {size: 20 cm x 20 cm, edges: walls}\n"
         "paints: {slate: {colour: 2b3a55}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}}\n"
         "base: [{paint: foam, depth: 0.1 mm}]\n"
         "pours:\n"
         "  - {from: cup, at: 50 mm left, across: 40 mm, start: 0 s, open: 0 s, stack: [slate 9 ml]}\n"
         "  - {from: cup, at: 50 mm right, across: 40 mm, start: 2 s, open: 0 s, lifts: 2, every: 3 s, stack: [kelp 6 "
         "ml]}\n"
         "end: 8 s\n");
    check_within(volumes[0], 9e-6, 1e-6);
    check_within(volumes[1], 6e-6, 1e-6);
    check_within(volumes[2], 4e-6, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_stack_comes_out_in_order_and_again),
        cmocka_unit_test(the_layers_hold_what_was_poured),
        cmocka_unit_test(they_hold_what_was_laid_down_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
