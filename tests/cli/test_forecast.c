/* `runnel forecast` run whole and in process: what it prints and writes, and that nothing is written by halves. */
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

#define PLAN shell_path(state, "pool.yaml")

static void the_report_is_one_screen(void **state)
{
    shell_run(&s, "forecast", PLAN, "--grid", "64", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0); /* no progress: this is no terminal */
    assert_non_null(strstr(s.out, "overed"));
    int lines = 0;
    for (const char *at = s.out; (at = strchr(at, '\n')); at++)
        lines++;
    assert_in_range(lines, 8, 40);
    assert_int_equal(shell_count(*state), 1); /* no file beside the plan */
}

/* The object is JSON to an independent reader, has the promised keys, and its paint adds up: what was poured is on the
   panel or has run off (conservation of volume), and the film's mean depth times the face is what is on it. */
static void the_object_adds_up(void **state)
{
    static const char *const keys[] = {
        "coverage",
        "covered_at_s",
        "base_ml",
        "poured_ml",
        "on_panel_ml",
        "run_off_ml",
        "balance_error",
        "film_mm.mean",
        "film_mm.least",
        "film_mm.most",
        "corners.0.name",
        "corners.3.covered_at_s",
        "corners.1.film_mm",
        "still_moving_mm_per_min",
        "side_coverage",
        "duration_s",
        "steps",
        "grid.nx",
        "grid.ny",
        "grid.cell_mm",
        "wall_s",
        "run_off_by_edge_ml.front",
        "run_off_by_edge_ml.left",
    };
    shell_run(&s, "forecast", "--json", "-g64", PLAN, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
        if (!json_text(s.out, keys[i]))
            fail_msg("no key %s", keys[i]);
    assert_true(json_count(s.out, "warnings") >= 0);
    assert_int_equal(json_count(s.out, "corners"), 4);
    const double on_panel = json_number(s.out, "on_panel_ml"), run_off = json_number(s.out, "run_off_ml");
    check_close(json_number(s.out, "poured_ml"), 12, 1e-8);
    check_within(json_number(s.out, "base_ml"), 0, 0);
    check_within(on_panel + run_off, 12, 12 * 1e-7); /* printed with 9 digits */
    check_at_most(json_number(s.out, "balance_error"), 1e-10);
    check_close(json_number(s.out, "film_mm.mean") * 10, on_panel, 1e-6); /* mm x 100 cm2 = 10 ml */
    double edges = 0;
    static const char *const sides[] = {"front", "right", "back", "left"};
    for (int i = 0; i < 4; i++) {
        char path[60];
        snprintf(path, sizeof path, "run_off_by_edge_ml.%s", sides[i]);
        edges += json_number(s.out, path);
    }
    check_within(edges, run_off, 1e-6);
    check_within(json_number(s.out, "duration_s"), 10, 1e-9);
    assert_int_equal((int)json_number(s.out, "grid.nx"), 64);
    check_close(json_number(s.out, "grid.cell_mm"), 100.0 / 64, 1e-6);
    assert_string_equal(json_text(s.out, "side_coverage"), "null");
}

static void a_folder_gets_five_files(void **state)
{
    size_t size;
    char *text;
    shell_run(&s, "forecast", PLAN, "-g", "64", "-o", shell_path(state, "a/b"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(shell_count(shell_path(state, "a/b")), 5);

    text = shell_read(shell_path(state, "a/b/forecast.txt"), &size);
    assert_non_null(text);
    assert_string_equal(text, s.out);
    free(text);
    text = shell_read(shell_path(state, "a/b/forecast.json"), &size);
    assert_non_null(text);
    check_close(json_number(text, "poured_ml"), 12, 1e-8);
    free(text);
    text = shell_read(shell_path(state, "a/b/series.csv"), &size);
    assert_non_null(text);
    assert_true(strncmp(text, "time_s,", 7) == 0);
    free(text);
    /* NPY: NumPy enhancement proposal 1; PNG: ISO/IEC 15948 section 5.2 */
    text = shell_read(shell_path(state, "a/b/field.npy"), &size);
    assert_non_null(text);
    assert_memory_equal(text, "\x93NUMPY", 6);
    assert_true(size > 64 * 64 * sizeof(double));
    free(text);
    text = shell_read(shell_path(state, "a/b/picture.png"), &size);
    assert_non_null(text);
    assert_memory_equal(text, "\x89PNG\r\n\x1a\n", 8);
    free(text);
}

static void quiet_is_quiet(void **state)
{
    shell_run(&s, "forecast", PLAN, "-qg64", "--series", shell_path(state, "s.csv"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.out_size + s.err_size, 0);
    assert_true(shell_exists(shell_path(state, "s.csv")));
    shell_run(&s, "forecast", PLAN, "-qg64", "--json", NULL); /* what is asked for by name is printed */
    check_close(json_number(s.out, "poured_ml"), 12, 1e-8);
}

static void dashes_are_the_ends_of_a_pipe(void **state)
{
    (void)state;
    shell_run_fed(&s, shell_plan, "forecast", "-", "-g64", "--series", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_true(strncmp(s.out, "time_s,", 7) == 0);
    assert_null(strstr(s.out, "overed")); /* and no report */
    shell_run_fed(&s, shell_plan, "forecast", "-", "-g64", "--picture", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_memory_equal(s.out, "\x89PNG\r\n\x1a\n", 8);
    shell_run_fed(&s, "plan: 1\npanel: {sise: 1 m}\npaints: {foam: {}}\n", "forecast", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_true(strncmp(s.err, "standard input:2:", 17) == 0);
}

static void standard_output_takes_one_thing(void **state)
{
    shell_run(&s, "forecast", PLAN, "--json", "--series", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "only one of"));
    shell_run(&s, "forecast", PLAN, "--field", "-", "--series", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_run(&s, "forecast", PLAN, "-o", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_int_equal(s.out_size, 0);
}

static void until_and_set_change_the_run(void **state)
{
    shell_run(&s, "forecast", PLAN, "-g64", "--json", "--until", "0.05 min", "--set", "poured=6 ml", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_within(json_number(s.out, "duration_s"), 3, 1e-9);
    check_close(json_number(s.out, "poured_ml"), 6, 1e-8); /* both bursts are out after 3 s */
    assert_string_equal(json_text(s.out, "complete"), "true");
}

/* The same bits for any number of threads and any kernel. */
static void threads_and_kernels_give_the_same_film(void **state)
{
    size_t size, other_size;
    shell_run(&s, "forecast", PLAN, "-qg64", "-t1", "--field", shell_path(state, "one.npy"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_run(&s, "forecast", PLAN, "-qg64", "-t3", "--kernel", "baseline", "--field", shell_path(state, "three.npy"),
              NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    char *one = shell_read(shell_path(state, "one.npy"), &size);
    char *three = shell_read(shell_path(state, "three.npy"), &other_size);
    assert_int_equal(size, other_size);
    assert_memory_equal(one, three, size);
    free(one);
    free(three);
    shell_run(&s, "forecast", PLAN, "--kernel", "abacus", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "abacus"));
}

/* What cannot be written is told before the work, and nothing is left behind. */
static void a_target_that_cannot_be_written(void **state)
{
    shell_run(&s, "forecast", PLAN, "--series", shell_path(state, "no/such/s.csv"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_int_equal(s.out_size, 0);
    assert_non_null(strstr(s.err, "no/such/s.csv: cannot be written: No such file or directory"));

    shell_run(&s, "forecast", PLAN, "--field", *state, NULL); /* a folder */
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "Is a directory"));

    shell_write(shell_path(state, "file"), "");
    shell_run(&s, "forecast", PLAN, "-o", shell_path(state, "file"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "no folder"));

    shell_run(&s, "forecast", PLAN, "-g64", "--until=1s", "--frames", shell_path(state, "file/frames"), "--series",
              shell_path(state, "s.csv"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_int_equal(s.out_size, 0);
    shell_run(&s, "forecast", PLAN, "-g64", "--until=1s", "--animation", shell_path(state, "no/pour.webp"), "--series",
              shell_path(state, "s.csv"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_int_equal(s.out_size, 0);
    assert_false(shell_exists(shell_path(state, "s.csv")));

    shell_run(&s, "forecast", PLAN, "--picture", shell_path(state, "film.bmp"), NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, ".png, .pdf or .svg"));
    assert_int_equal(s.out_size, 0);
    assert_int_equal(shell_count(*state), 2);
}

/* Trying whether a file can be written does not touch it: where the work then fails, the older one is as it was. */
static void an_older_file_stays_whole(void **state)
{
    size_t size;
    shell_write(shell_path(state, "s.csv"), "older\n");
    shell_run(&s, "forecast", PLAN, "--series", shell_path(state, "s.csv"), "--kernel", "abacus", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    char *text = shell_read(shell_path(state, "s.csv"), &size);
    assert_string_equal(text, "older\n");
    free(text);
    assert_int_equal(shell_count(*state), 2);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, shell_make_pool, leave)
    const struct CMUnitTest tests[] = {
        TEST(the_report_is_one_screen),        TEST(the_object_adds_up),
        TEST(a_folder_gets_five_files),        TEST(quiet_is_quiet),
        TEST(dashes_are_the_ends_of_a_pipe),   TEST(standard_output_takes_one_thing),
        TEST(until_and_set_change_the_run),    TEST(threads_and_kernels_give_the_same_film),
        TEST(a_target_that_cannot_be_written), TEST(an_older_file_stays_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
