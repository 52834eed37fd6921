/* runnel odds and runnel least --sure. */
#include "check.h"

#include <stdlib.h>
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

#define PLAN shell_path(state, "pool.yaml")
#define RUNS shell_path(state, "runs")
#define ODDS "odds", PLAN, "-qg64", "--cache", RUNS

static void a_report_begins_with_the_answer(void **state)
{
    shell_run(&s, ODDS, "-n5", "--goal=coverage=at least 50 %", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(strncmp(s.out, "In ", 3), 0);
    shell_says(s.out, " of 5 draws the goal is met: ");
    shell_says(s.out, "(95 % confidence).");
    shell_says(s.out, "coverage at least 50 %");
    shell_says(s.out, "consistency              +-10 %, as usual");
    shell_says(s.out, "5, each for itself, seed 1");
    shell_says(s.out, "64 cells along the longer side");
    for (const char *line = s.out; *line; line += strcspn(line, "\n") + 1)
        check_at_most((double)strcspn(line, "\n"), 80);
}

static void the_json_agrees_with_the_csv(void **state)
{
    size_t size;
    shell_run(&s, ODDS, "-n6", "--json", "--vary=moves.tilt=+-1deg", "--csv", shell_path(state, "draws.csv"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_within(json_number(s.out, "draws"), 6, 0);
    check_within(json_number(s.out, "seed"), 1, 0);
    assert_int_equal(json_count(s.out, "spreads"), 7);
    assert_int_equal(json_count(s.out, "doubts"), 5); /* no spin, but a tilt */
    assert_int_equal(json_count(s.out, "readings"), 7);
    assert_int_equal(json_count(s.out, "goal.0.ranks"), 7);
    const double met = json_number(s.out, "met"), low = json_number(s.out, "spreads.4.low_si");
    assert_string_equal(json_text(s.out, "spreads.4.of"), "run-off");
    char *csv = shell_read(shell_path(state, "draws.csv"), &size);
    assert_int_equal(strncmp(csv, "draw,met,consistency_Pa_s,poured_ml,panel.slope_deg,", 52), 0);
    int lines = 0, counted = 0;
    double least = INFINITY;
    for (char *line = strchr(csv, '\n') + 1; *line; line = strchr(line, '\n') + 1) {
        int columns = 1;
        lines++;
        counted += strtok(strchr(line, ',') + 1, ",\n")[0] == '1';
        line += strlen(line) + 1;
        for (const char *c = line; *c != '\n'; c++) {
            columns += *c == ',';
            if (columns == 13 && *c == ',') /* the header's run_off_ml, met and draw being gone */
                least = fmin(least, strtod(c + 1, NULL));
        }
        assert_int_equal(columns, 15);
    }
    free(csv);
    assert_int_equal(lines, 6);
    check_within(counted, met, 0);
    check_at_most(least * 1e-6, low * (1 + 1e-6)); /* the 5 % lie at or above the least */
}

/* A field of a line, by its place. */
static double field_of(const char *line, int place)
{
    for (; place > 0; place--)
        line = strchr(line, ',') + 1;
    return strtod(line, NULL);
}

/* Each row is the forecast of the plan that it sets. */
static void a_row_can_be_run_again(void **state)
{
    static const char head[] =
        "draw,met,consistency_Pa_s,poured_ml,panel.slope_deg,panel.slope_right_deg,"
        "panel.slope_back_deg,panel.downhill_deg,panel.advance_deg,coverage_percent,covered_at_s,"
        "corner_mm,thinnest_mm,run_off_ml,stretch,twist_deg\n";
    size_t size;
    shell_run(&s, ODDS, "-n5", "--csv", shell_path(state, "draws.csv"), NULL);
    char *csv = shell_read(shell_path(state, "draws.csv"), &size);
    assert_int_equal(strncmp(csv, head, strlen(head)), 0);
    int rows = 0;
    for (const char *row = csv + strlen(head); *row; row = strchr(row, '\n') + 1, rows++) {
        static const char *const paths[] = {
            [2] = "consistency=%.9g Pa s",   [3] = "poured=%.9g ml",         [4] = "panel.slope=%.9g deg",
            [7] = "panel.downhill=%.9g deg", [8] = "panel.advance=%.9g deg",
        };
        char sets[9][60] = {""};
        for (int i = 0; i < 9; i++)
            if (paths[i])
                snprintf(sets[i], sizeof sets[i], paths[i], field_of(row, i));
        shell_run(&s, "forecast", PLAN, "-qg64", "--json", "--set", sets[2], "--set", sets[3], "--set", sets[4],
                  "--set", sets[7], "--set", sets[8], NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        check_close(json_number(s.out, "run_off_ml"), field_of(row, 13), 1e-8);
        check_close(100 * json_number(s.out, "coverage"), field_of(row, 9), 1e-8);
    }
    assert_int_equal(rows, 5);
    free(csv);
}

/* What was run is not run again, and more draws go on from there. */
static void more_draws_go_on(void **state)
{
    shell_run(&s, ODDS, "-n4", NULL);
    shell_says(s.out, "5 runs in ");
    shell_run(&s, ODDS, "-n6", "--resume", NULL);
    shell_says(s.out, "2 runs in ");
    shell_says(s.err, "5 of 7 runs were known");
    shell_run(&s, ODDS, "-n2", "--seed=2", NULL);
    shell_says(s.out, "2 runs in ");
}

static void a_picture_is_drawn_as_it_is_called(void **state)
{
    static const char *const names[] = {"odds.png", "odds.pdf", "odds.svg"}, *const begins[] = {"\211PNG", "%PDF",
                                                                                                "<?xml"};
    for (int i = 0; i < 3; i++) {
        size_t size;
        shell_run(&s, ODDS, "-n2", "-p", shell_path(state, names[i]), NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        char *text = shell_read(shell_path(state, names[i]), &size);
        assert_non_null(text);
        assert_int_equal(strncmp(text, begins[i], 4), 0);
        check_at_least((double)size, 2000);
        free(text);
    }
    shell_run(&s, ODDS, "-n2", "-p-", NULL);
    assert_int_equal(strncmp(s.out, "\211PNG", 4), 0);
    shell_run(&s, ODDS, "-n2", "--csv=-", NULL);
    assert_int_equal(strncmp(s.out, "draw,met", 8), 0);
}

static void even_draws_have_no_interval(void **state)
{
    shell_run(&s, ODDS, "--spread", "-n4", "--json", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(json_text(s.out, "even"), "true");
    assert_string_equal(json_text(s.out, "chance_from"), "null");
    shell_run(&s, ODDS, "--spread", "-n4", NULL);
    shell_says(s.out, "of 4 draws, evenly spread, the goal is met.");
}

static void check_refused(void **state, const char *option, const char *words)
{
    shell_run(&s, "odds", PLAN, "-q", option, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, words);
    assert_string_equal(s.out, "");
    assert_int_equal(shell_count(*state), 1); /* nothing but the plan */
}

static void one_run_that_cannot_be_kept_is_one(void **state)
{
    shell_run(&s, "odds", PLAN, "-qg64", "--coarse=64", "-n2", "--share=1/3", "--piece", shell_path(state, "one.piece"),
              "--cache=/proc/runs", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.err, "runnel: 1 run could not be kept: the folder '/proc/runs' cannot be made: ");
}

static void wrong_arguments_are_named(void **state)
{
    check_refused(state, "--vary=consistency", "'--vary consistency' is no doubt; write for example --vary");
    check_refused(state, "--vary=consistency=10%", "'10%' says not how far");
    check_refused(state, "--vary=moves.9.spin=+-5%", "is no number of this plan");
    check_refused(state, "--vary=moves.spin=+-5%", "nothing in that list has such a number");
    check_refused(state, "--only", "nothing is in doubt; write for example --vary");
    check_refused(state, "--draws=1", "--draws");
    check_refused(state, "--goal=run-off", "is no goal");
    check_refused(state, "--picture=odds.gif", "a picture's name ends in .png, .pdf or .svg");
    check_refused(state, "--seed=-1", "--seed");
    check_refused(state, "--sure=0.9", "unknown option '--sure'");
    shell_run(&s, "odds", PLAN, "-p-", "--csv=-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_run(&s, "odds", PLAN, "--json", "--csv=-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "'--json' and a file named '-' cannot both have standard output\n");
    shell_run(&s, "odds", shell_path(state, "none.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
}

static void a_full_disk_is_told(void **state)
{
    if (!shell_exists("/dev/full"))
        skip();
    shell_run(&s, ODDS, "-n2", "--csv=/dev/full", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "/dev/full");
    shell_run(&s, ODDS, "-n2", "-p", shell_path(state, "no/such/odds.png"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_string_equal(s.out, ""); /* said before anything is worked out */
}

/* What the first draws say is told, and what was run is kept. */
static void ctrl_c_tells_what_the_first_draws_say(void **state)
{
    char folder[1024], plan[1024];
    snprintf(folder, sizeof folder, "--cache=%s", RUNS);
    snprintf(plan, sizeof plan, "%s", PLAN);
    const char *const arguments[] = {"odds", plan, "-g64", "-n10000", "-t2", "--json", folder};
    shell_run_interrupted(&s, 6, arguments);
    assert_true(s.signal_back);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    shell_says(s.err, "runnel odds: stopped by hand; the runs that were done are kept, and --resume goes on");
    const double done = json_number(s.out, "draws");
    assert_true(done > 0 && done < 10000);
    check_within(json_number(s.out, "asked"), 10000, 0);
    shell_says(s.out, "topped before");
    assert_int_equal(json_count(s.out, "doubts"), 4);
    char few[40];
    snprintf(few, sizeof few, "-n%.0f", fmax(done, 2));
    shell_run(&s, ODDS, few, "--resume", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.out, done < 2 ? " runs in " : "  0 runs in ");
    const char *const sure[] = {"least", plan, "-g64", "--sure=0.9", "-n1000", "--goal=coverage=at least 80 %", folder};
    shell_run_interrupted(&s, 2, sure);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_int_equal(strncmp(s.out, "Stopped before there was an answer.", 35), 0);
}

static void the_least_can_be_made_sure(void **state)
{
    shell_run(&s, "least", PLAN, "-qg64", "--cache", RUNS, "--sure=0.8", "-n5", "--goal=coverage=at least 80 %",
              "--json", "--save", shell_path(state, "sure.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(json_text(s.out, "found"), "true");
    check_within(json_number(s.out, "sure"), 0.8, 0);
    const double value = json_number(s.out, "value_si");
    check_at_least(json_number(s.out, "at.met"), 4);
    check_within(json_number(s.out, "at.draws"), 5, 0);
    check_at_least(value, json_number(s.out, "at_own_least.value_si"));
    /* The same draws by the other command. */
    shell_run(&s, "odds", shell_path(state, "sure.yaml"), "-qg64", "--cache", RUNS, "-n5", "--json",
              "--goal=coverage=at least 80 %", NULL);
    check_at_least(json_number(s.out, "met"), 4);
    shell_run(&s, "least", PLAN, "-qg64", "--cache", RUNS, "--sure=80 %", "-n5", "--goal=coverage=at least 80 %", NULL);
    assert_int_equal(strncmp(s.out, "For 80 % of draws to meet the goal: volume ", 43), 0);
    shell_says(s.out, "0 runs in ");
}

/* Nothing is enough, and where all of it is. */
static void why_nothing_is_sure_enough_is_said(void **state)
{
    static const struct {
        const char *goal, *other, *state, *says;
        int exit;
    } cases[] = {
        {"coverage=at least 99 %", "--to=12ml", "never",
         "No volume that was tried up to 12 ml meets the goal in 90 % of draws: even there 0 of 5 do, and coverage at "
         "least 99 % "
         "is "
         "missed most often.",
         RN_EXIT_SHORT},
        {"coverage=at least 10 %", "--from=8ml", "lowest",
         "For 90 % of draws to meet the goal: volume 8 ml or less, for with even the least that was tried ",
         RN_EXIT_DONE},
    };
    for (int i = 0; i < 2; i++) {
        char goal[80];
        snprintf(goal, sizeof goal, "--goal=%s", cases[i].goal);
        shell_run(&s, "least", PLAN, "-qg64", "--cache", RUNS, "--sure=0.9", "-n5", goal, cases[i].other, "--json",
                  NULL);
        assert_int_equal(s.exit, cases[i].exit);
        assert_string_equal(json_text(s.out, "state"), cases[i].state);
        assert_int_equal(strncmp(json_text(s.out, "says"), cases[i].says, strlen(cases[i].says)), 0);
    }
}

static void least_refuses_what_does_not_go_with_it(void **state)
{
    static const char *const options[][2] = {
        {"--sure=1", "'--sure 1' is no share between none and all"},
        {"--sure=0", "is no share"},
        {"--sure=often", "'--sure often' is no share"},
        {"--draws=10", "--vary, --only, --draws and --seed go with --sure"},
        {"--vary=consistency=+-3%", "go with --sure"},
    };
    for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
        shell_run(&s, "least", PLAN, options[i][0], NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        shell_says(s.err, options[i][1]);
    }
    shell_run(&s, "least", PLAN, "--sure=0.9", "--weight=2", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, shell_make_pool, leave)
    const struct CMUnitTest tests[] = {
        TEST(a_report_begins_with_the_answer),
        TEST(the_json_agrees_with_the_csv),
        TEST(a_row_can_be_run_again),
        TEST(more_draws_go_on),
        TEST(a_picture_is_drawn_as_it_is_called),
        TEST(even_draws_have_no_interval),
        TEST(one_run_that_cannot_be_kept_is_one),
        TEST(wrong_arguments_are_named),
        TEST(a_full_disk_is_told),
        TEST(ctrl_c_tells_what_the_first_draws_say),
        TEST(the_least_can_be_made_sure),
        TEST(why_nothing_is_sure_enough_is_said),
        TEST(least_refuses_what_does_not_go_with_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
