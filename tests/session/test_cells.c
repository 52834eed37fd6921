/* Where heavier paint lies over lighter, how wide cells are and how fast they grow; what becomes of them. The growth of
   two layers is that of matter/overturn.h, tested on its own [zetina2015]. */
#include "check.h"

#include "lived.h"
#include "matter/overturn.h"
#include "run/pattern.h"

/* 1 mm of the one, and most of the panel covered by 1 mm of the other from a broad cup. */
#define TWO_COATS(below, above)                                                                                        \
    "plan: 1\n"                                                                                                        \
    "panel: {size: 20 cm x 20 cm, edges: walls}\n"                                                                     \
    "paints:\n"                                                                                                        \
    "  kelp: {colour: 1f7a5c, viscosity: 1 Pa s, density: " below " g/ml}\n"                                           \
    "  foam: {colour: ecebe4, viscosity: 1 Pa s, density: " above " g/ml}\n"                                           \
    "base: [{paint: kelp, depth: 1 mm}]\n"                                                                             \
    "pours: [{from: cup, at: centre, across: 180 mm, start: 0 s, open: 1 s, stack: [foam 24.18 ml]}]\n"

static rn_pattern *look(const lived *life, double moment, double spacing)
{
    rn_pattern *pattern = NULL;
    rn_error err = {0};
    rn_pattern_options options = rn_pattern_defaults();
    options.points = 256;
    options.levels = 0;
    options.cells.moment = moment;
    options.cells.spacing = spacing;
    check_ok(rn_pattern_work_out(&pattern, life->plan, life->session, life->still, options, life->team, &err), &err);
    return pattern;
}

/* H = 2 mm in two halves, 100 kg/m3, 1 Pa s: 3.0 mm wide, 11.8 s to grow e-fold. */
static void heavier_over_lighter_turns_over_as_the_layers_say(void **state)
{
    (void)state;
    lived *life = lived_new(TWO_COATS("1.1", "1.2") "end: 60 s\n", 64, NAN);
    rn_pattern *pattern = look(life, NAN, NAN);
    const rn_cells *cells = &pattern->cells;
    rn_still *then = NULL;
    rn_error err = {0};
    check_ok(rn_reel_still(&then, rn_session_reel(life->session), 1, &err), &err);
    const double depth = then->depth[32 * 64 + 32]; /* the levels' nearest cut is in the middle */
    const rn_overturn halves = {depth / 2, depth / 2, 1, 1, 100, 0};
    double width, rate;
    check_close(depth, 2e-3, 0.05);
    rn_still_free(then);
    assert_true(rn_overturn_fastest(&width, &rate, &halves));
    printf("width %.3f mm (%.3f), growth %.2f s (%.2f), over %.2f; %d cells, kept %.3f\n", 1e3 * cells->width,
           1e3 * width, cells->growth, 1 / rate, cells->turns_over, cells->count, cells->kept);
    check_close(cells->width, width, 0.01);
    check_close(cells->growth, 1 / rate, 0.01);
    check_within(cells->turns_over, 0.64, 0.08); /* the disc's share of the panel */
    check_within(cells->opened, 1, 1e-9);
    check_within(cells->rest, 59, 1e-9);
    assert_true(cells->expected);
    assert_true(cells->count > 100);
    /* One to spacing^2 at amount 1, half of that by default; the scatter loses some for want of room. */
    check_within(cells->count * cells->width * cells->width / 0.04, 0.4, 0.25);
    rn_pattern_free(pattern);
    lived_free(life);
}

static void a_tilt_cuts_the_rest_short(void **state)
{
    (void)state;
    lived *life = lived_new(TWO_COATS("1.1", "1.2") "moves:\n"
                                                    "  - {start: 5 s, for: 2 s, turn: 5 rpm}\n" /* no disturbance */
                                                    "  - {start: 21 s, for: 2 s, tilt: 1 deg, toward: right}\n"
                                                    "end: 30 s\n",
                            64, NAN);
    rn_pattern *pattern = look(life, NAN, NAN);
    check_within(pattern->cells.rest, 20, 1e-9);
    assert_false(pattern->cells.expected); /* three e-foldings would take 35 s */
    rn_pattern_free(pattern);
    lived_free(life);
}

static void nothing_turns_over_without_excess(void **state)
{
    (void)state;
    static const char *const plans[] = {TWO_COATS("1.1", "1.1") "end: 10 s\n", TWO_COATS("1.2", "1.1") "end: 10 s\n"};
    for (int k = 0; k < 2; k++) {
        lived *life = lived_new(plans[k], 64, NAN);
        rn_pattern *pattern = look(life, NAN, NAN);
        check_within(pattern->cells.turns_over, 0, 0);
        assert_true(isnan(pattern->cells.width));
        assert_true(isnan(pattern->cells.growth));
        assert_true(isnan(pattern->cells.kept));
        assert_false(pattern->cells.expected);
        assert_int_equal(pattern->cells.count, 0);
        rn_pattern_free(pattern);
        lived_free(life);
    }
}

static void cells_at_rest_keep_their_shape(void **state)
{
    (void)state;
    lived *life = lived_new("plan: 1\n"
                            "panel: {size: 20 cm x 20 cm, edges: walls}\n"
                            "paints: {kelp: {colour: 1f7a5c}}\n"
                            "base: [{paint: kelp, depth: 1 mm}]\n"
                            "end: 20 s\n",
                            64, NAN);
    rn_pattern *pattern = look(life, 5, 8e-3);
    const rn_cells *cells = &pattern->cells;
    assert_true(cells->count > 50);
    assert_int_equal(cells->lost, 0);
    check_within(cells->kept, 1, 0);
    check_within(cells->stretch, 1, 1e-3);
    check_within(cells->stretch_high, 1, 1e-3);
    check_within(cells->opened, 5, 1e-9);
    rn_pattern_free(pattern);
    lived_free(life);
}

/* On a slope the paint at the upper edge is pulled, and some runs over the lower. */
static void cells_on_a_slope_are_pulled_or_lost(void **state)
{
    (void)state;
    lived *life = lived_new("plan: 1\n"
                            "panel: {size: 20 cm x 20 cm, edges: open}\n"
                            "paints: {kelp: {colour: 1f7a5c, viscosity: 1 Pa s}}\n"
                            "base: [{paint: kelp, depth: 2 mm}]\n"
                            "moves: [{start: 5 s, for: 15 s, tilt: 10 deg, toward: right}]\n"
                            "end: 20 s\n",
                            64, NAN);
    rn_pattern *pattern = look(life, 5, 8e-3);
    assert_in_range(pattern->cells.lost, 10, pattern->cells.count / 2);
    check_at_least(pattern->cells.stretch_high, 1.05);
    rn_pattern_free(pattern);
    lived_free(life);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heavier_over_lighter_turns_over_as_the_layers_say),
        cmocka_unit_test(a_tilt_cuts_the_rest_short),
        cmocka_unit_test(nothing_turns_over_without_excess),
        cmocka_unit_test(cells_at_rest_keep_their_shape),
        cmocka_unit_test(cells_on_a_slope_are_pulled_or_lost),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
