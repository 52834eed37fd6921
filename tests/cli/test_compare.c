/* `runnel compare`: plans side by side, and one plan thin, usual and thick. */
#include "check.h"

#include <string.h>
#include <sys/stat.h>

#include "cli/cli.h"
#include "cli/json.h"
#include "cli/shell.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

static const char *write_plan(void **state, const char *name)
{
    const char *path = shell_path(state, name);
    shell_write(path, shell_plan);
    return path;
}

/* Both are worked out as `forecast` does: the same figures. */
static void figures_are_those_of_the_forecast(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *other = write_plan(state, "other.yaml");
    shell_run(&s, "compare", "-g64", "--json", "--afresh", path, other, "--set", "poured=9ml", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    const double run_off = 1e6 * json_number(s.out, "plans.0.run_off_m3");
    const double coverage = json_number(s.out, "plans.1.coverage");
    assert_string_equal(json_text(s.out, "plans.0.name"), "pool");
    assert_string_equal(json_text(s.out, "measures.5.alike"), "true");
    assert_int_equal(json_number(s.out, "unlike_in"), 0);
    shell_run(&s, "forecast", "-g64", "--layers", "--levels=1", "--points=256", "--json", path, "--set=poured=9ml",
              NULL);
    check_close(json_number(s.out, "run_off_ml"), run_off, 1e-6);
    check_close(json_number(s.out, "coverage"), coverage, 1e-6);
}

/* With a picture the runs are worked out anew, to the same figures. */
static void the_trio(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *runs = shell_path(state, "runs"),
               *picture = shell_path(state, "side.png");
    shell_run(&s, "compare", "-g64", "--json", "--cache", runs, path, "--thin-thick", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(json_count(s.out, "plans"), 3);
    const double usual = json_number(s.out, "plans.1.viscosity_pa_s");
    check_close(json_number(s.out, "plans.0.viscosity_pa_s"), 0.5 * usual, 1e-6);
    check_close(json_number(s.out, "plans.2.viscosity_pa_s"), 2 * usual, 1e-6);
    const double run_off[] = {json_number(s.out, "plans.0.run_off_m3"), json_number(s.out, "plans.2.run_off_m3")};
    assert_true(run_off[0] > run_off[1]); /* thin paint runs farther */
    assert_int_equal(json_number(s.out, "runs_worked_out"), 3);
    shell_run(&s, "compare", "-g64", "--json", "--cache", runs, path, "--thin-thick", NULL);
    assert_int_equal(json_number(s.out, "runs_worked_out"), 0);
    assert_int_equal(json_number(s.out, "runs_known"), 3);
    shell_run(&s, "compare", "-g64", "--json", path, "--thin-thick", "--picture", picture, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_close(json_number(s.out, "plans.0.run_off_m3"), run_off[0], 1e-9);
    check_close(json_number(s.out, "plans.2.run_off_m3"), run_off[1], 1e-9);
    assert_true(shell_exists(picture));
}

static void the_table_marks_what_differs(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *runs = shell_path(state, "runs"); /* the trio's */
    shell_run(&s, "compare", "-g64", "--cache", runs, path, "--thin-thick", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_true(strncmp(s.out, "Three plans, unlike only in consistency.", 40) == 0);
    assert_non_null(strstr(s.out, "thin                usual               thick\n"));
    assert_non_null(strstr(s.out, " % *"));
    assert_non_null(strstr(s.out, "alike\n")); /* a panel that does not turn twists nothing */
}

static void wrong_calls(void **state)
{
    const char *path = write_plan(state, "pool.yaml");
    shell_run(&s, "compare", path, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_string_equal(s.err, "runnel compare: one plan is nothing to compare; name another, or add --thin-thick\n");
    shell_run(&s, "compare", path, path, "--thin-thick", NULL);
    assert_string_equal(s.err, "runnel compare: '--thin-thick' is made of one plan; 2 are given\n");
    shell_run(&s, "compare", path, path, path, path, path, path, path, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_string_equal(s.err, "runnel compare: 7 plans are too many for one page; name 6 at most\n");
    shell_run(&s, "compare", path, "nowhere.yaml", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "nowhere.yaml"));
    shell_run(&s, "compare", path, path, "--picture", "side.gif", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_run(&s, "compare", path, path, "--picture", "-", "--json", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "'--json' and a file named '-' cannot both have standard output\n");
    shell_run(&s, "compare", path, path, "--set", "poured=lots", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_int_equal(s.out_size, 0);
}

/* --set is for all plans alike: which of them cannot take it is said. */
static void the_plan_that_lacks_a_key_is_named(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *still = shell_path(state, "still.yaml");
    shell_write(still, "plan: 1\npanel: {size: 100 mm x 100 mm}\npaints: {foam: {viscosity: 0.1 Pa s}}\n"
                       "pours: [{stack: [foam 12 ml]}]\n");
    shell_run(&s, "compare", path, still, "--set", "moves.1.tilt=3deg", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "still.yaml: --set ");
    assert_null(strstr(s.err, "pool.yaml"));
    shell_run_fed(&s, shell_plan, "compare", "-", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "runnel compare: '-' is standard input, which can be read only once\n");
    shell_run_fed(&s, shell_plan, "compare", "-g64", "--afresh", "--json", path, "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(json_text(s.out, "plans.1.name"), "standard input");
}

static void check_names(const char *a, const char *b, const char *name_a, const char *name_b)
{
    shell_run(&s, "compare", "-g64", "--afresh", "--json", a, b, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(json_text(s.out, "plans.0.name"), name_a);
    assert_string_equal(json_text(s.out, "plans.1.name"), name_b);
}

/* Files of one name are called by what tells them apart. */
static void names_tell_plans_apart(void **state)
{
    char folder[4][1024];
    static const char *const paths[] = {"ebb", "ebb/old", "flow", "flow/old"};
    for (int i = 0; i < 4; i++) {
        char name[40];
        assert_int_equal(mkdir(shell_path(state, paths[i]), 0700), 0);
        snprintf(name, sizeof name, "%s/p.yaml", paths[i]);
        snprintf(folder[i], sizeof folder[i], "%s", write_plan(state, name));
    }
    const char *pool = write_plan(state, "pool.yaml"), *yml = write_plan(state, "pool.yml");
    check_names(folder[0], folder[2], "ebb/p", "flow/p");
    check_names(folder[1], folder[3], "ebb/old/p", "flow/old/p");
    check_names(folder[0], folder[3], "ebb/p", "old/p");
    check_names(pool, yml, "pool.yaml", "pool.yml");
    check_names(pool, folder[0], "pool", "p");
    check_names(pool, pool, "pool", "pool");
}

static void a_wrong_plan_is_shown(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *wrong = shell_path(state, "wrong.yaml");
    shell_write(wrong, "plan: 1\npanel: {size: big}\n");
    shell_run(&s, "compare", path, wrong, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "wrong.yaml:1:1: "));
    assert_int_equal(s.out_size, 0);
}

static void what_cannot_be_written_is_said(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *picture = shell_path(state, "no/side.png");
    shell_run(&s, "compare", "-g64", path, path, "--picture", picture, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "no/side.png: cannot be written: No such file or directory\n");
    assert_string_equal(s.out, ""); /* said before anything is worked out */
    assert_false(shell_exists(picture));
}

/* What is not known is neither alike nor drawn. */
static void a_stopped_comparison_draws_nothing(void **state)
{
    const char *path = write_plan(state, "pool.yaml"), *picture = shell_path(state, "half.png");
    const char *const arguments[] = {"compare", path, "--thin-thick", "-g256", "--set=end=24h", "--picture", picture};
    shell_run_interrupted(&s, 0, arguments);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    shell_says(s.err, "stopped by hand; what is not worked out is not known, and no picture is drawn\n");
    shell_says(s.out, "not known");
    assert_null(strstr(s.out, " alike\n"));
    assert_false(shell_exists(picture));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_are_those_of_the_forecast),
        cmocka_unit_test(the_trio),
        cmocka_unit_test(the_table_marks_what_differs),
        cmocka_unit_test(wrong_calls),
        cmocka_unit_test(the_plan_that_lacks_a_key_is_named),
        cmocka_unit_test(names_tell_plans_apart),
        cmocka_unit_test(a_wrong_plan_is_shown),
        cmocka_unit_test(what_cannot_be_written_is_said),
        cmocka_unit_test(a_stopped_comparison_draws_nothing),
    };
    return cmocka_run_group_tests(tests, shell_make_folder, leave);
}
