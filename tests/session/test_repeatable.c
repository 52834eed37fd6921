/* The same pour told in another way is forecast the same: what nobody can measure (a tenth of a millionth of the paint's
   viscosity), other units, ten minutes later, seen in a mirror, from the next side of the table. The equations know no
   left and right, no clock and no units; what is left is how far a forecast hangs on how its steps fall.
   Bounds, on 96 cells: run-off 0.2 % of itself, corners 0.03 mm, covered 0.4 s. Found are some hundredths of a percent, 0.02 mm
   and 0.25 s. */
#include "check.h"

#include <string.h>

#include "run/session.h"

typedef struct telling {
    const char *viscosity, *paint;
    int later;             /* [s] */
    const char *toward[4]; /* of the four tilts */
    const char *spin;
    int corner[4]; /* where the corners of the plain telling are found */
} telling;

static const telling plain = {"1 Pa s", "155 ml",    0, {"back right", "front left", "front right", "back left"},
                              "45 rpm", {0, 1, 2, 3}};

static rn_forecast forecast(const telling *told)
{
    char text[1000];
    const int t = told->later;
    snprintf(
        text, sizeof text,
        "plan: 1\npanel: {size: 12 in x 12 in}\npaints: {kelp: {viscosity: %s}}\n"
        "pours:\n  - {across: 70 mm, width: 10 mm, start: %d s, lifts: 6, every: 6 s, open: 4 s, stack: [kelp %s]}\n"
        "moves:\n  - {start: %d s, for: 9 s, tilt: 7 deg, toward: %s}\n"
        "  - {start: %d s, for: 18 s, tilt: 7 deg, toward: %s}\n"
        "  - {start: %d s, for: 16 s, tilt: 7 deg, toward: %s}\n"
        "  - {start: %d s, for: 20 s, tilt: 7 deg, toward: %s}\n"
        "  - {start: %d s, for: 20 s, spin: %s, ramp: 3 s}\nend: %d s\n",
        told->viscosity, t + 2, told->paint, t + 45, told->toward[0], t + 55, told->toward[1], t + 74, told->toward[2],
        t + 91, told->toward[3], t + 114, told->spin, t + 194);
    rn_plan *plan = NULL;
    rn_session *session = NULL;
    rn_forecast found;
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = 96;
    options.threads = 1;
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_session_forecast(&found, session, &err), &err);
    rn_session_free(session);
    rn_plan_free(plan);
    return found;
}

static void check_same(const char *name, const telling *told, double seconds)
{
    static rn_forecast first;
    if (first.steps == 0)
        first = forecast(&plain);
    const rn_forecast other = forecast(told);
    assert_true(first.covered && other.covered);
    printf("%s: covered %+.3f s, run-off %+.3f %%, corners", name, other.covered_at - told->later - first.covered_at,
           100 * (other.run_off / first.run_off - 1));
    for (int c = 0; c < RN_CORNERS; c++)
        printf(" %+.4f mm", 1e3 * (other.corners[told->corner[c]].depth - first.corners[c].depth));
    printf("\n");
    check_within(other.covered_at - told->later, first.covered_at, seconds);
    check_close(other.run_off, first.run_off, 2e-3);
    for (int c = 0; c < RN_CORNERS; c++)
        check_within(other.corners[told->corner[c]].depth, first.corners[c].depth, 0.03e-3);
}

static void what_nobody_can_measure_changes_nothing(void **state)
{
    (void)state;
    telling told = plain;
    told.viscosity = "1.0000001 Pa s";
    check_same("viscosity", &told, 0.4);
    told = plain;
    told.paint = "155.00001 ml";
    check_same("volume", &told, 0.4);
}

static void units_and_the_clock_change_nothing(void **state)
{
    (void)state;
    telling told = plain;
    told.viscosity = "1000 mPa s";
    told.paint = "0.155 l";
    check_same("units", &told, 0.4);
    told = plain;
    told.later = 600;
    check_same("ten minutes later", &told, 0.4);
}

static void a_mirror_and_a_quarter_turn_change_nothing(void **state)
{
    (void)state;
    const telling mirrored = {"1 Pa s",  "155 ml",    0, {"back left", "front right", "front left", "back right"},
                              "-45 rpm", {1, 0, 3, 2}};
    check_same("mirror", &mirrored, 0.4);
    const telling turned = {"1 Pa s", "155 ml",    0, {"back left", "front right", "back right", "front left"},
                            "45 rpm", {3, 0, 1, 2}};
    check_same("quarter turn", &turned, 0.4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_nobody_can_measure_changes_nothing),
        cmocka_unit_test(units_and_the_clock_change_nothing),
        cmocka_unit_test(a_mirror_and_a_quarter_turn_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
