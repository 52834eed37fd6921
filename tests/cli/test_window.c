/* runnel window, run whole and in process on a tiny plan: what it says, writes, refuses, and what stays when it is stopped. */
#define _XOPEN_SOURCE 700

#include "check.h"

#include <string.h>

#include "cli/cli.h"
#include "cli/json.h"
#include "cli/shell.h"

static shell s;

static const char pool[] = "plan: 1\n"
                           "title: Rock pool\n"
                           "panel: {size: 100 mm x 100 mm}\n"
                           "paints:\n"
                           "  foam: {viscosity: 0.4 Pa s}\n"
                           "pours:\n"
                           "  - {across: 40 mm, width: 8 mm, open: 1 s, stack: [foam 12 ml]}\n"
                           "moves:\n"
                           "  - {start: 2 s, for: 1 s, tilt: 6 deg, toward: back right}\n"
                           "end: 4 s\n"
                           "expect:\n"
                           "  coverage: at least 45 %\n"
                           "  run-off: at most 20 %\n";

static int enter(void **state)
{
    if (shell_make_folder(state))
        return -1;
    shell_write(shell_path(state, "pool.yaml"), pool);
    return 0;
}

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

#define PLAN shell_path(state, "pool.yaml")
#define CACHE "--cache", shell_path(state, "runs")
#define SMALL "--cells", "5x4", "--coarse", "64", "--grid", "80", CACHE

static void the_report_says_what_works(void **state)
{
    shell_run(&s, "window", PLAN, SMALL, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(s.err, "");
    assert_non_null(strstr(s.out, " of 20 plans work; "));
    assert_non_null(strstr(s.out, " stands safest."));
    assert_non_null(strstr(s.out, "\nThis plan "));
    assert_non_null(strstr(s.out, "  plan        Rock pool\n"));
    assert_non_null(strstr(s.out, "  across      consistency from 0.2 Pa s to 0.8 Pa s in 5 tiles, by factors; the"));
    assert_non_null(strstr(s.out, "  up          poured from 6 ml to 24 ml in 4 tiles, by factors;"));
    assert_non_null(strstr(s.out, "64 cells along the longer side for the map, 80 for this plan and"));
}

static void json_and_table_agree(void **state)
{
    size_t size;
    char *table;
    shell_run(&s, "window", PLAN, SMALL, "--json", "--csv", shell_path(state, "w.csv"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(json_count(s.out, "tiles"), 20);
    check_close(json_number(s.out, "x.from_si"), 0.2, 1e-6);
    check_close(json_number(s.out, "y.to_si"), 24e-6, 1e-6);
    assert_int_equal((int)json_number(s.out, "cells"), 64);
    assert_int_equal((int)json_number(s.out, "plan_looks.1.cells"), 80);
    check_close(json_number(s.out, "plan_looks.1.outcome.poured_ml"), 12, 1e-6);
    const double works = json_number(s.out, "counts.works"),
                 all = works + json_number(s.out, "counts.short") + json_number(s.out, "counts.run-off") +
                       json_number(s.out, "counts.pulled") + json_number(s.out, "counts.none");
    check_within(all, 20, 0);
    table = shell_read(shell_path(state, "w.csv"), &size);
    assert_non_null(table);
    int lines = 0, working = 0;
    char *line = strtok(table, "\n");
    assert_string_equal(line, "consistency_si,poured_si,kind,run,lack,coverage,covered_at_s,run_off_ml,run_off_share,"
                              "thinnest_mm,least_corner_mm,stretch,twist_deg,why");
    for (line = strtok(NULL, "\n"); line; line = strtok(NULL, "\n"), lines++) {
        char path[60], kind[20];
        double x, y, coverage;
        assert_int_equal(sscanf(line, "%lf,%lf,%19[a-z-],%*[a-z],%*[^,],%lf", &x, &y, kind, &coverage), 4);
        snprintf(path, sizeof path, "tiles.%d.x_si", lines);
        check_close(json_number(s.out, path), x, 1e-8);
        snprintf(path, sizeof path, "tiles.%d.coverage", lines);
        check_close(json_number(s.out, path), coverage, 1e-8);
        snprintf(path, sizeof path, "tiles.%d.kind", lines);
        assert_string_equal(json_text(s.out, path), kind);
        working += strcmp(kind, "works") == 0;
    }
    assert_int_equal(lines, 20);
    check_within(works, working, 0);
    free(table);
}

static void the_safest_plan_is_saved_and_meets_the_goal(void **state)
{
    shell_run(&s, "window", PLAN, SMALL, "-q", "--save", shell_path(state, "safest.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_run(&s, "check", shell_path(state, "safest.yaml"), "-q", "-g80", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_run(&s, "window", PLAN, SMALL, "-q", "--save", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_memory_equal(s.out, "plan: 1\n", 8); /* nothing else goes there */
}

static void nothing_that_works_ends_with_one(void **state)
{
    const char *saved = shell_path(state, "never.yaml");
    shell_run(&s, "window", PLAN, SMALL, "-q", "--goal", "coverage=at least 99 %", "--save", saved, NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_memory_equal(s.out, "Nothing that was run works. Closest: ", 37);
    assert_false(shell_exists(saved));
    shell_says(s.err, "never.yaml is not written, as no plan was found that meets the goal\n");
    shell_run(&s, "window", PLAN, SMALL, "-q", "--goal", "coverage=at least 99 %", "--save", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_string_equal(s.out, "");
    shell_says(s.err, "Nothing that was run works."); /* there is no plan to write, but why is said */
    shell_run(&s, "window", PLAN, SMALL, "-q", "--json", "--goal", "coverage=at least 99 %", NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_string_equal(json_text(s.out, "safest"), "null");
    check_within(json_number(s.out, "counts.works"), 0, 0);
}

static void runs_are_known_the_second_time(void **state)
{
    shell_run(&s, "window", PLAN, SMALL, "--json", NULL);
    const double worked =
        json_number(s.out, "runs_worked_out") + json_number(s.out, "runs_known"); /* a plan run twice */
    assert_true(worked >= 20);
    shell_run(&s, "window", PLAN, SMALL, "--json", "--resume", "--threads", "1", NULL);
    check_within(json_number(s.out, "runs_worked_out"), 0, 0);
    check_within(json_number(s.out, "runs_known"), worked, 0);
    char said[80];
    snprintf(said, sizeof said, "runnel window: %.0f of %.0f runs were known\n", worked, worked);
    assert_string_equal(s.err, said);
    shell_run(&s, "window", PLAN, "--cells", "5x4", "--coarse", "64", "--grid", "80", "--afresh", "--json", NULL);
    check_within(json_number(s.out, "runs_known"), 0, 0);
}

static void pictures_are_written(void **state)
{
    static const char *const names[][2] = {{"w.png", "\x89PNG"}, {"w.pdf", "%PDF"}, {"w.svg", "<?xml"}};
    for (int i = 0; i < 3; i++) {
        size_t size;
        const char *path = shell_path(state, names[i][0]);
        shell_run(&s, "window", PLAN, SMALL, "-q", "-p", path, NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        char *text = shell_read(path, &size);
        assert_non_null(text);
        assert_memory_equal(text, names[i][1], strlen(names[i][1]));
        free(text);
    }
    shell_run(&s, "window", PLAN, SMALL, "-q", "-p", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_memory_equal(s.out, "\x89PNG", 4);
}

/* /dev/full takes nothing. */
static void a_full_disk_is_said(void **state)
{
    if (!shell_exists("/dev/full"))
        skip();
    shell_run(&s, "window", PLAN, SMALL, "-q", "--csv", "/dev/full", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "runnel window: /dev/full: "));
    shell_run(&s, "window", PLAN, SMALL, "-q", "-p", shell_path(state, "nowhere/w.png"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "nowhere/w.png"));
    assert_false(shell_exists(shell_path(state, "nowhere")));
}

/* Before the first run. */
static void where_nothing_can_be_written_is_said_at_once(void **state)
{
    static const struct {
        const char *option, *file;
    } cases[] = {{"-p", "no/w.png"}, {"--csv", "no/w.csv"}, {"--save", "no/w.yaml"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        shell_run(&s, "window", PLAN, SMALL, cases[i].option, shell_path(state, cases[i].file), NULL);
        assert_int_equal(s.exit, RN_EXIT_PLAN);
        shell_says(s.err, cases[i].file);
        shell_says(s.err, ": cannot be written: No such file or directory\n");
        assert_string_equal(s.out, "");
    }
    shell_run(&s, "window", PLAN, SMALL, "--share=1/2", "--piece", shell_path(state, "no/1.piece"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "no/1.piece: cannot be written: No such file or directory\n");
    assert_false(shell_exists(shell_path(state, "runs"))); /* where they would be kept */
    assert_int_equal(shell_count(*state), 1);
}

/* What is wrong is said before any run. */
static void wrong_arguments_are_named(void **state)
{
    static const struct {
        const char *option, *value, *says;
    } cases[] = {
        {"--x", "poured=80ml", "'--x poured=80ml' is no axis; write for example --x 'poured=80ml..300ml'"},
        {"--x", "poured=8ml...30ml", "'--x poured=8ml...30ml' is no axis"},
        {"--x", "poured", "both axes are poured; a window needs two numbers"},
        {"--x", "pours.1.stack.1", "pours.1.stack.1 and poured speak of the same; a window needs two numbers"},
        {"--x", "colour", "'--x': 'colour'"},
        {"--x", "moves.9.spin", "'--x': "},
        {"--y", "poured=10ml..20deg", "'--y': poured: '20deg' is an angle where a volume is wanted"},
        {"--y", "poured=..5ml", "'--y': poured from 6 ml to 5 ml is no range to search"},
        {"--y", "poured=10ml..10.01ml", "poured from 10 ml to 10.01 ml is too narrow for 32 tiles"},
        {"--cells", "3", "'--cells 3' is neither a number of tiles from 4 to 256, nor two as in 40x24"},
        {"--cells", "8x", "'--cells 8x' is neither"},
        {"--cells", "300", "'--cells 300' is neither"},
        {"--cells", "8x8x8", "'--cells 8x8x8' is neither"},
        {"--goal", "coverage", "'--goal coverage' is no goal"},
        {"-p", "w.gif", "'w.gif': a picture's name ends in .png, .pdf or .svg"},
        {"--coarse", "20", "'--coarse 20'"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        shell_run(&s, "window", PLAN, cases[i].option, cases[i].value, CACHE, NULL);
        if (s.exit != RN_EXIT_USAGE || !strstr(s.err, cases[i].says))
            fail_msg("%s %s: exit %d, \"%s\"", cases[i].option, cases[i].value, s.exit, s.err);
        assert_string_equal(s.out, "");
    }
    const char *coat = shell_path(state, "coat.yaml");
    shell_write(coat, "plan: 1\npanel: {size: 10 cm x 10 cm}\npaints: {silt: }\nbase: [{paint: silt, depth: 1 mm}]\n"
                      "end: 10 s\n");
    shell_run(&s, "window", coat, "-q", CACHE, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN); /* it is not how it was asked */
    shell_says(s.err, "runnel window: nothing is poured in this plan, so there is no volume to look for\n");
    shell_run(&s, "window", PLAN, "--csv", "-", "-p", "-", CACHE, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "only one of --picture, --csv and --save can go to '-'"));
    static const char *const files[] = {"--csv", "--picture", "--save"};
    for (int i = 0; i < 3; i++) {
        shell_run(&s, "window", PLAN, SMALL, files[i], "-", "--json", NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        shell_says(s.err, "'--json' and a file named '-' cannot both have standard output\n");
        assert_string_equal(s.out, "");
    }
    assert_false(shell_exists(shell_path(state, "runs")));
}

static void an_axis_that_is_cut_is_told(void **state)
{
    shell_run(&s, "window", PLAN, "--cells=4", "-q", "-g64", "--coarse=64", CACHE, "--x", "moves.1.tilt=-5deg..200deg",
              NULL);
    shell_says(s.err, "runnel window: the range of moves.1.tilt is cut to what it can be, 0 deg to 90 deg\n");
    shell_run(&s, "window", PLAN, "--cells=4", "-q", "-g64", "--coarse=64", CACHE, "--x", "moves.1.tilt=0deg..90deg",
              NULL);
    assert_null(strstr(s.err, "is cut"));
}

/* "6..24 ml": a figure without a unit has the other's. */
static void a_unit_may_stand_once(void **state)
{
    shell_run(&s, "window", PLAN, SMALL, "-q", "--json", "--y", "poured=8..20 ml", "--x", "consistency=0.3..", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE); /* a viscosity needs one */
    shell_run(&s, "window", PLAN, SMALL, "-q", "--json", "--y", "poured=8..20 ml", "--x", "consistency=0.3 Pa s..",
              NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_close(json_number(s.out, "y.from_si"), 8e-6, 1e-9);
    check_close(json_number(s.out, "y.to_si"), 20e-6, 1e-9);
    check_close(json_number(s.out, "x.from_si"), 0.3, 1e-9);
    check_close(json_number(s.out, "x.to_si"), 0.8, 1e-9);
}

/* ---- stopped by hand ---- */

static void what_was_done_is_kept_when_stopped(void **state)
{
    char runs[1000], picture[1000];
    snprintf(runs, sizeof runs, "--cache=%s", shell_path(state, "runs"));
    snprintf(picture, sizeof picture, "--picture=%s", shell_path(state, "half.png"));
    const char *const arguments[] = {"window", PLAN, "--cells=64", "--every", "--json", runs, picture};
    shell_run_interrupted(&s, 3, arguments);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_non_null(strstr(s.err, "stopped by hand; the runs that were done are kept, and --resume goes on"));
    const double open = json_number(s.out, "counts.open"), worked = json_number(s.out, "runs_worked_out");
    assert_true(worked >= 3 && open > 0);
    check_within(open + worked, 64 * 64, 0);
    char said[60];
    snprintf(said, sizeof said, "Stopped; of the %.0f of 4096 plans worked out ", worked);
    assert_memory_equal(json_text(s.out, "says"), said, strlen(said));
    assert_true(shell_exists(shell_path(state, "half.png"))); /* drawn as far as it is known */
    assert_int_equal(json_count(s.out, "plan_looks"), 0);
}

/* A share that is stopped writes no piece, and says what becomes of its runs. */
static void a_stopped_share_says_what_is_kept(void **state)
{
    char runs[1000], piece[1000];
    snprintf(runs, sizeof runs, "--cache=%s", shell_path(state, "runs"));
    snprintf(piece, sizeof piece, "--piece=%s", shell_path(state, "1.piece"));
    const char *const arguments[] = {"window", PLAN, "--share=1/2", "--coarse=96", "--cells=64", runs, piece};
    shell_run_interrupted(&s, 0, arguments);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_string_equal(s.out, "");
    assert_string_equal(s.err,
                        "runnel window: stopped by hand; the runs that were done are kept, and --resume goes on\n");
    assert_false(shell_exists(shell_path(state, "1.piece")));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, enter, leave)
    const struct CMUnitTest tests[] = {
        TEST(the_report_says_what_works),
        TEST(json_and_table_agree),
        TEST(the_safest_plan_is_saved_and_meets_the_goal),
        TEST(nothing_that_works_ends_with_one),
        TEST(runs_are_known_the_second_time),
        TEST(pictures_are_written),
        TEST(a_full_disk_is_said),
        TEST(where_nothing_can_be_written_is_said_at_once),
        TEST(wrong_arguments_are_named),
        TEST(an_axis_that_is_cut_is_told),
        TEST(a_unit_may_stand_once),
        TEST(what_was_done_is_kept_when_stopped),
        TEST(a_stopped_share_says_what_is_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
