/* `runnel check`: a line for each expectation, and the exit status. */
#include "check.h"

#include <string.h>

#include "cli/cli.h"
#include "cli/json.h"
#include "cli/shell.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

/* The plan with other expectations: 12 ml on 100 cm2 are 1.2 mm if spread evenly, less what runs off. */
static const char *expecting(void **state, const char *name, const char *expect)
{
    char text[2000];
    const char *path = shell_path(state, name);
    const int before = (int)(strstr(shell_plan, "expect:") - shell_plan);
    snprintf(text, sizeof text, "%.*s%s", before, shell_plan, expect);
    shell_write(path, text);
    return path;
}

static void all_met(void **state)
{
    char first[1200];
    const char *path = shell_path(state, "pool.yaml");
    shell_write(path, shell_plan);
    shell_run(&s, "check", "-g64", path, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    snprintf(first, sizeof first, "%s: 2 of 2 met\n  coverage at least 1 %%  met: ", path);
    assert_true(strncmp(s.out, first, strlen(first)) == 0);
    assert_non_null(strstr(s.out, "\n  run-off at most 100 %  met: "));
}

static void missed_by_how_much(void **state)
{
    shell_run(&s, "check", "-g64", expecting(state, "a.yaml", "expect: {corner: at least 40 mm}\n"), NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_non_null(strstr(s.out, ": 0 of 1 met\n"));
    /* the corners that the tilt leads away from stay bare */
    assert_non_null(strstr(s.out, "  corner at least 40 mm  missed by 40 mm: 0 mm\n"));
}

/* A panel that is never turned does not twist the face, and no face stays under a stretch of less than 1. */
static void stretch_and_twist_are_judged(void **state)
{
    shell_run(&s, "check", "-g64", expecting(state, "a.yaml", "expect: {twist: 0 deg +- 5 deg, stretch: at most 1}\n"),
              NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_non_null(strstr(s.out, ": 1 of 2 met\n"));
    assert_non_null(strstr(s.out, "+- 5 deg  met: "));
    assert_non_null(strstr(s.out, "stretch at most 1     missed by "));
}

/* A plan that demands nothing has not passed: a batch must see that nothing was judged. */
static void nothing_expected(void **state)
{
    const char *nothing = expecting(state, "a.yaml", "");
    const char *good = expecting(state, "good.yaml", "expect: {coverage: at least 1 %}\n");
    const char *short_of = expecting(state, "short.yaml", "expect: {thinnest: at least 40 mm}\n");
    shell_run(&s, "check", "-g64", nothing, NULL);
    assert_int_equal(s.exit, RN_EXIT_UNJUDGED);
    shell_says(s.out, "a.yaml: expects nothing, so nothing was judged; say under 'expect' what must hold\n");
    shell_run(&s, "check", "-g64", "--json", nothing, NULL);
    assert_int_equal(s.exit, RN_EXIT_UNJUDGED);
    assert_string_equal(json_text(s.out, "0.met"), "null");
    shell_run(&s, "check", "-g64", nothing, good, NULL); /* one that passes does not stand for it */
    assert_int_equal(s.exit, RN_EXIT_UNJUDGED);
    shell_run(&s, "check", "-g64", nothing, short_of, NULL); /* and what was missed is graver */
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    shell_run(&s, "check", "-g64", nothing, shell_path(state, "none.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
}

/* Three plans, the second wrong and the third short: all are looked at, the gravest outcome is returned. */
static void several_plans(void **state)
{
    const char *good = expecting(state, "good.yaml", "expect: {coverage: at least 1 %}\n");
    const char *wrong = expecting(state, "wrong.yaml", "expect: {coverage: plenty}\n");
    const char *falls_short = expecting(state, "short.yaml", "expect: {thinnest: at least 40 mm}\n");
    shell_run(&s, "check", "-g64", good, falls_short, NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    shell_run(&s, "check", "-g64", good, wrong, falls_short, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.out, "good.yaml: 1 of 1 met"));
    assert_non_null(strstr(s.out, "short.yaml: 0 of 1 met"));
    assert_non_null(strstr(s.err, "wrong.yaml:"));

    shell_run(&s, "check", "-g64", "--json", good, wrong, falls_short, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_int_equal(json_count(s.out, ""), 3);
    assert_string_equal(json_text(s.out, "0.met"), "true");
    assert_string_equal(json_text(s.out, "0.expectations.0.verdict"), "met");
    assert_non_null(json_text(s.out, "1.error"));
    assert_string_equal(json_text(s.out, "2.met"), "false");
    assert_string_equal(json_text(s.out, "2.expectations.0.wanted"), "thinnest at least 40 mm");
    check_at_least(json_number(s.out, "2.expectations.0.missed_by_si"), 0.030);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, shell_make_folder, leave)
    const struct CMUnitTest tests[] = {
        TEST(all_met),          TEST(missed_by_how_much), TEST(stretch_and_twist_are_judged),
        TEST(nothing_expected), TEST(several_plans),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
