/* The presets on dry ground at the volumes that painters' rules of thumb name (common practice, no source): a 12 x 12 in
   panel, edges not covered, takes 5 to 5.5 US fl oz of about 1 Pa s, thick paint that is spun 6 to 6.5 US fl oz. What is
   forecast there is printed. Agreement is not asked for, only that the figures are possible: what is released stays or
   leaves, no face is covered deeper than its paint allows, and more paint does not cover less. */
#include "check.h"

#include <string.h>

#include "cli/json.h"
#include "cli/shell.h"

#define FL_OZ_ML 29.5735295625 /* US fluid ounce, exact: 231 cubic inches are 128 of them [nist811] */
#define PANEL_MM2 (304.8 * 304.8)
#define COVER_MM 0.15 /* the depth that counts as covered in these presets */

typedef struct outcome {
    double coverage, covered_at, on_panel, run_off; /* [1, s, ml, ml]; covered_at is NaN where it is not covered */
} outcome;

static outcome pour(const char *plan, double fl_oz)
{
    char grid[16], poured[48];
    snprintf(grid, sizeof grid, "%d", check_grid(128));
    snprintf(poured, sizeof poured, "poured=%g fl oz", fl_oz);
    shell got = {0};
    shell_run(&got, "forecast", plan, "--json", "--grid", grid, "--set", poured, NULL);
    if (got.exit != 0)
        fail_msg("exit %d: %s", got.exit, got.err);
    outcome o = {.coverage = json_number(got.out, "coverage"),
                 .covered_at = json_number(got.out, "covered_at_s"),
                 .on_panel = json_number(got.out, "on_panel_ml"),
                 .run_off = json_number(got.out, "run_off_ml")};
    check_at_most(json_number(got.out, "balance_error"), 1e-10);
    shell_clear(&got);
    check_close(o.on_panel + o.run_off, fl_oz * FL_OZ_ML, 1e-6);
    check_at_most(o.coverage, 1);
    check_at_most(o.coverage * PANEL_MM2 * COVER_MM * 1e-3, o.on_panel);
    return o;
}

static void show(const char *paint, double fl_oz, outcome o)
{
    printf("  %-16s %4.2f fl oz  %5.1f %% covered, ", paint, fl_oz, 100 * o.coverage);
    if (isnan(o.covered_at))
        printf("not all of it or not every corner");
    else
        printf("all of it and the corners from %.0f s on", o.covered_at);
    printf(", %.1f ml run off\n", o.run_off);
}

static void compare(const char *paint, const char *plan, double least, double most)
{
    const outcome half = pour(plan, least / 2), at_least = pour(plan, least), at_most = pour(plan, most);
    show(paint, least / 2, half);
    show(paint, least, at_least);
    show(paint, most, at_most);
    check_at_least(at_least.coverage, half.coverage);
    check_at_least(at_most.coverage, at_least.coverage - 1e-3); /* both are near 1, to within a few cells */
    check_at_least(at_most.run_off, at_least.run_off);
}

static void usual_paint_beside_its_rule(void **state)
{
    (void)state;
    compare("usual, 1 Pa s", "presets/usual-dry.yaml", 5, 5.5);
}

static void thick_paint_beside_its_rule(void **state)
{
    (void)state;
    compare("thick, 2.5 Pa s", "presets/thick-dry.yaml", 6, 6.5);
}

static void thin_paint_beside_the_rule_for_usual_paint(void **state)
{
    (void)state;
    compare("thin, 0.3 Pa s", "presets/thin-dry.yaml", 5, 5.5);
}

/* What separates thick paint from its rule is the spin: it is not given in the rule. */
static void a_shorter_spin_asks_for_more_thick_paint(void **state)
{
    (void)state;
    char grid[16];
    snprintf(grid, sizeof grid, "%d", check_grid(128));
    shell longer = {0}, shorter = {0};
    shell_run(&longer, "forecast", "presets/thick-dry.yaml", "--json", "--grid", grid, "--set", "poured=5 fl oz", NULL);
    shell_run(&shorter, "forecast", "presets/thick-dry.yaml", "--json", "--grid", grid, "--set", "poured=5 fl oz",
              "--set", "moves.5.for=20 s", NULL);
    assert_int_equal(longer.exit, 0);
    assert_int_equal(shorter.exit, 0);
    const double with_longer = json_number(longer.out, "coverage");
    const double with_shorter = json_number(shorter.out, "coverage");
    printf("  thick, 5 fl oz: %.2f %% covered with a spin of 40 s, %.2f %% with one of 20 s\n", 100 * with_longer,
           100 * with_shorter);
    check_at_least(with_longer, with_shorter);
    shell_clear(&longer);
    shell_clear(&shorter);
}

static double least_volume(const char *run_off)
{
    shell got = {0};
    if (run_off)
        shell_run(&got, "least", "presets/usual-dry.yaml", "--json", "--grid", "96", "--set", "expect.covered by=190 s",
                  "--set", run_off, NULL);
    else
        shell_run(&got, "least", "presets/usual-dry.yaml", "--json", "--grid", "96", "--set", "expect.covered by=190 s",
                  NULL);
    assert_int_equal(got.exit, 0);
    const double found = json_number(got.out, "value_si");
    shell_clear(&got);
    return found;
}

/* A painter is glad of less run-off. What the preset expects of it leaves the least volume what it is when nothing is
   expected; a bound from below would ask for more paint, only to be wasted. */
static void what_a_preset_expects_asks_for_no_waste(void **state)
{
    (void)state;
    const double free = least_volume("expect.run-off=at most 100 %");
    check_close(least_volume(NULL), free, 0);
    check_at_least(least_volume("expect.run-off=52 ml +- 4 ml"), 1.01 * free);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(usual_paint_beside_its_rule),
        cmocka_unit_test(thick_paint_beside_its_rule),
        cmocka_unit_test(thin_paint_beside_the_rule_for_usual_paint),
        cmocka_unit_test(a_shorter_spin_asks_for_more_thick_paint),
        cmocka_unit_test(what_a_preset_expects_asks_for_no_waste),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
