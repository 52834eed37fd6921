/* `runnel least`: what it says, writes, keeps and returns. That its answers are right: tests/search/. */
#define _XOPEN_SOURCE 700 /* setenv */

#include "check.h"

#include <dirent.h>
#include <string.h>
#include <unistd.h>

#include "cli/cli.h"
#include "cli/json.h"
#include "cli/shell.h"

static shell s;

/* Runs that are kept unasked go to the scratch folder as well, not to whoever runs the tests. */
static int enter(void **state)
{
    if (shell_make_pool(state))
        return -1;
    setenv("XDG_CACHE_HOME", shell_path(state, "cache"), 1);
    return 0;
}

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

#define PLAN shell_path(state, "pool.yaml")
#define COVER "--goal=coverage=at least 60 %"

/* All files of a folder, at any depth, are given this text; how many there are. */
static int write_over(const char *folder, const char *text)
{
    int count = 0;
    DIR *open = opendir(folder);
    for (struct dirent *entry; open && (entry = readdir(open)) != NULL;) {
        char path[1200];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        DIR *inner = opendir(path);
        if (inner) {
            closedir(inner);
            count += write_over(path, text);
            continue;
        }
        if (text)
            shell_write(path, text);
        count++;
    }
    if (open)
        closedir(open);
    return count;
}

/* ---- answers ---- */

static void the_answer_in_words(void **state)
{
    shell_run(&s, "least", PLAN, "-qg72", "--coarse=64", COVER, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    assert_true(strncmp(s.out, "Least volume: ", 14) == 0);
    shell_says(s.out, " ml less than the plan's 12 ml.\n");
    shell_says(s.out, "\n  plan        Rock pool\n");
    shell_says(s.out, "coverage at least 60 %  met: ");
    shell_says(s.out, "\n  too little  ");
    shell_says(s.out, "\n  looked for  from 1.5 ml to 96 ml, to 1 ml\n");
    shell_says(s.out, " ml on 64 cells along the longer side, ");
    shell_says(s.out, " runs in ");
    for (const char *c = s.out; *c; c++)
        assert_true(*c == '\n' || (unsigned char)*c >= ' ');
}

static void the_answer_as_json(void **state)
{
    shell_run(&s, "least", PLAN, "-qg72", "--coarse=64", COVER, "--json", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(json_text(s.out, "title"), "Rock pool");
    assert_string_equal(json_text(s.out, "of"), "poured");
    assert_string_equal(json_text(s.out, "found"), "true");
    assert_string_equal(json_text(s.out, "confirmed"), "true");
    assert_string_equal(json_text(s.out, "state"), "found");
    assert_int_equal(json_count(s.out, "looks"), 2);
    check_close(json_number(s.out, "looks.0.cells"), 64, 0);
    check_close(json_number(s.out, "looks.1.cells"), 72, 0);
    const double value = json_number(s.out, "value_si"), unmet = json_number(s.out, "looks.1.unmet_si");
    check_close(json_number(s.out, "looks.1.value_si"), value, 0);
    check_close(json_number(s.out, "plan_si"), 12e-6, 1e-12);
    check_at_most(value - unmet, 1e-6 * (1 + 1e-9));
    check_at_least(value, unmet);
    assert_int_equal(json_count(s.out, "looks.1.goal"), 2); /* the plan's run-off as well */
    assert_string_equal(json_text(s.out, "looks.1.goal.0.wanted"), "run-off at most 100 %");
    assert_string_equal(json_text(s.out, "looks.1.goal.1.wanted"), "coverage at least 60 %");
    assert_string_equal(json_text(s.out, "looks.1.goal.1.met"), "true");
    check_at_least(json_number(s.out, "looks.1.goal.1.value_si"), 0.6);
    check_close(json_number(s.out, "looks.1.outcome.poured_ml"), value * 1e6, 1e-6);
    check_close(json_number(s.out, "runs_worked_out"),
                json_number(s.out, "looks.0.runs") + json_number(s.out, "looks.1.runs"), 0);
    char words[80];
    snprintf(words, sizeof words, "Least volume: %s poured, ", json_text(s.out, "value"));
    assert_true(strncmp(json_text(s.out, "says"), words, strlen(words)) == 0);
}

/* Forecast on the same grid, the plan that is written meets what it expects, and what was too little does not. */
static void the_plan_that_is_saved_meets_the_goal(void **state)
{
    char set[80];
    size_t size;
    const char *plan = shell_path(state, "expects.yaml"), *saved = shell_path(state, "least.yaml");
    char *text = shell_read(PLAN, &size);
    char *at = strstr(text, "at least 1 %");
    assert_non_null(at);
    memcpy(at, "at least 60%", 12);
    shell_write(plan, text);
    free(text);
    shell_run(&s, "least", plan, "-qg64", "--json", "--save", saved, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    snprintf(set, sizeof set, "poured=%.6g ml", 1e6 * json_number(s.out, "looks.0.unmet_si"));
    const double value = json_number(s.out, "value_si");
    shell_run(&s, "check", saved, "-qg64", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.out, ": 2 of 2 met");
    shell_run(&s, "check", plan, "-qg64", "--set", set, NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    shell_run(&s, "forecast", saved, "-qg64", "--json", NULL);
    check_close(json_number(s.out, "poured_ml"), value * 1e6, 1e-6);
}

static void the_plan_goes_where_it_is_asked_to(void **state)
{
    shell_run(&s, "least", PLAN, "-qg64", COVER, "--save=-", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_true(strncmp(s.out, "plan: 1\n", 8) == 0); /* the plan alone */
    shell_run(&s, "least", PLAN, "-qg64", "--goal=thinnest=at least 90 mm", "--save=-", NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_int_equal(s.out_size, 0); /* no plan, but the reason */
    shell_says(s.err,
               "No volume that was tried up to 96 ml meets the goal: thinnest at least 90 mm is\nmissed even there.");
    const char *saved = shell_path(state, "none.yaml");
    shell_run(&s, "least", PLAN, "-qg64", "--goal=thinnest=at least 90 mm", "--save", saved, NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_false(shell_exists(saved));
    shell_says(s.err, "none.yaml is not written, as no plan was found that meets the goal\n");
    shell_run(&s, "least", PLAN, "-qg64", COVER, "--save=/dev/full", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "/dev/full: cannot be written: No space left on device");
    assert_true(strncmp(s.out, "Least volume: ", 14) == 0); /* the answer is not lost with it */
    shell_run(&s, "least", PLAN, "-qg64", COVER, "--save=/proc/nowhere.yaml", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
}

static void met_everywhere_and_nowhere(void **state)
{
    shell_run(&s, "least", PLAN, "-qg64", "--from=8ml", NULL); /* 1 % of the face, and any run-off */
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.out, "Least volume: 8 ml or less, for even the least that was tried meets the goal.\n");
    shell_run(&s, "least", PLAN, "-qg64", "--goal=thinnest=at least 90 mm", "--json", NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_string_equal(json_text(s.out, "found"), "false");
    assert_string_equal(json_text(s.out, "state"), "never");
    assert_string_equal(json_text(s.out, "value_si"), "null");
    assert_string_equal(json_text(s.out, "looks.0.needs"), "thinnest at least 90 mm");
    shell_run(&s, "least", PLAN, "-qg64", "--goal=run-off=at most 0.001 ml", "--goal=thinnest=at least 0.4 mm",
              "--json", NULL);
    assert_int_equal(s.exit, RN_EXIT_SHORT);
    assert_string_equal(json_text(s.out, "state"), "apart");
    shell_says(json_text(s.out, "says"),
               "No volume that was tried meets the goal: thinnest at least 0.4 mm needs more than ");
    shell_says(json_text(s.out, "says"), " ml, run-off at most 0.001 ml allows less than ");
    check_at_least(json_number(s.out, "looks.0.unmet_si"), json_number(s.out, "looks.0.too_much_si"));
}

/* Without goals of its own a plan is to be covered; with one that is asked, that alone. */
static void where_the_plan_expects_nothing(void **state)
{
    size_t size;
    char *text = shell_read(PLAN, &size);
    *strstr(text, "expect:") = '\0';
    shell_write(shell_path(state, "bare.yaml"), text);
    free(text);
    const char *plan = shell_path(state, "bare.yaml");
    shell_run(&s, "least", plan, "-qg64", "--json", NULL);
    assert_int_equal(json_count(s.out, "looks.0.goal"), 2);
    assert_string_equal(json_text(s.out, "looks.0.goal.0.wanted"), "coverage at least 99.5 %");
    assert_string_equal(json_text(s.out, "looks.0.goal.1.wanted"), "corner at least 0.15 mm");
    shell_run(&s, "least", plan, "-qg64", COVER, "--json", NULL);
    assert_int_equal(json_count(s.out, "looks.0.goal"), 1);
    assert_int_equal(s.exit, RN_EXIT_DONE);
}

static void other_numbers_and_several(void **state)
{
    shell_run(&s, "least", PLAN, "-qg64", "--of=moves.1.tilt", "--from=40deg", "--to=200deg", NULL);
    shell_says(s.err, "runnel least: the range of moves.1.tilt is cut to what it can be, 40 deg to 90 deg\n");
    shell_run(&s, "least", PLAN, "-qg64", "--of=moves.1.tilt", "--from=1deg", "--to=20deg",
              "--goal=coverage=at least 90 %", "--json", NULL);
    assert_string_equal(json_text(s.out, "of"), "moves.1.tilt");
    assert_int_equal(s.exit, strcmp(json_text(s.out, "found"), "true") == 0 ? RN_EXIT_DONE : RN_EXIT_SHORT);
    shell_run(&s, "least", PLAN, "-qg64", "--of=poured", "--from=4ml", "--to=14ml", "--weight=2", COVER, "--json",
              NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(json_count(s.out, "numbers"), 1);
    check_close(json_number(s.out, "weight"), 2, 0);
    check_at_least(json_number(s.out, "looks.0.outcome.coverage"), 0.6);
    check_within(json_number(s.out, "numbers.0.value_si"), 5.07e-6, 0.2e-6); /* the search of one alone: 5.066 ml */
    shell_says(json_text(s.out, "says"), "Least found together: poured ");
    shell_run(&s, "least", PLAN, "-qg64", "--of=poured", "--from=4ml", "--to=14ml", "--weight=2", COVER, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.out, "\n  weight      2 on the share that runs off");
    shell_says(s.out, "0 runs in "); /* all were kept by the one before */
}

/* ---- runs that are kept ---- */

static void a_second_search_knows_all_runs(void **state)
{
    char first[40];
    const char *folder = shell_path(state, "runs");
    shell_run(&s, "least", PLAN, "-qg72", "--coarse=64", COVER, "--json", "--cache", folder, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    const int runs = (int)json_number(s.out, "runs_worked_out");
    snprintf(first, sizeof first, "%s", json_text(s.out, "value_si"));
    assert_int_equal(write_over(folder, NULL), runs);
    shell_run(&s, "least", PLAN, "-qg72", "--coarse=64", COVER, "--json", "--cache", folder, "--resume", NULL);
    assert_string_equal(json_text(s.out, "value_si"), first);
    check_close(json_number(s.out, "runs_known"), runs, 0);
    check_close(json_number(s.out, "runs_worked_out"), 0, 0);
    char known[80];
    snprintf(known, sizeof known, "runnel least: %d of %d runs were known\n", runs, runs);
    assert_string_equal(s.err, known);
    shell_run(&s, "least", PLAN, "-qg72", "--coarse=64", COVER, "--json", "--afresh", NULL);
    assert_string_equal(json_text(s.out, "value_si"), first);
    check_close(json_number(s.out, "runs_worked_out"), runs, 0);
    assert_false(shell_exists(shell_path(state, "cache"))); /* none kept in the usual folder either */
    assert_true(write_over(folder, "half a run") == runs);  /* and damaged ones are as good as absent */
    shell_run(&s, "least", PLAN, "-qg72", "--coarse=64", COVER, "--json", "--cache", folder, NULL);
    assert_string_equal(json_text(s.out, "value_si"), first);
    check_close(json_number(s.out, "runs_worked_out"), runs, 0);
    shell_run(&s, "least", PLAN, "-qg64", COVER, NULL);
    assert_true(write_over(shell_path(state, "cache/runnel"), NULL) > 3); /* the usual folder, unasked */
}

static void where_runs_cannot_be_kept(void **state)
{
    shell_run(&s, "least", PLAN, "-qg64", COVER, "--cache=/proc/runs", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE); /* the search does not depend on it */
    shell_says(s.out, "Least volume: ");
    shell_says(s.err, " runs could not be kept: the folder '/proc/runs' cannot be made: ");
    char home[1024] = "";
    const bool had_home = getenv("HOME");
    snprintf(home, sizeof home, "%s", had_home ? getenv("HOME") : "");
    unsetenv("HOME");
    unsetenv("XDG_CACHE_HOME");
    shell_run(&s, "least", PLAN, "-qg64", COVER, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.err,
               "runnel: runs are not kept: there is no folder to keep runs in: neither HOME nor XDG_CACHE_HOME is set");
    shell_run(&s, "least", PLAN, "-qg64", COVER, "--resume", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    if (had_home)
        setenv("HOME", home, 1);
}

static void ctrl_c_keeps_what_was_done(void **state)
{
    char folder[1024], plan[1024];
    snprintf(folder, sizeof folder, "--cache=%s", shell_path(state, "runs"));
    snprintf(plan, sizeof plan, "%s", PLAN);
    const char *const arguments[] = {"least", plan, "-g256", "--set=end=24h", COVER, "--json", folder};
    shell_run_interrupted(&s, 0, arguments);
    assert_true(s.signal_back);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_string_equal(s.err,
                        "runnel least: stopped by hand; the runs that were done are kept, and --resume goes on\n");
    assert_string_equal(json_text(s.out, "found"), "false");
    assert_string_equal(json_text(s.out, "confirmed"), "false");
    assert_string_equal(json_text(s.out, "says"), "Stopped before there was an answer.");
    assert_int_equal(json_count(s.out, "looks"), 0);
    const char *const several[] = {"least", plan, "-g256", "--set=end=24h", COVER, "--weight=2", "--afresh"};
    shell_run_interrupted(&s, 0, several);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    shell_says(s.err, "runnel least: stopped by hand; no run was kept\n");
    shell_says(s.out, "Stopped before ");
}

/* Stopped while the fine grid is looked at: the coarse answer is told as such, and a second search goes on. */
static void ctrl_c_between_the_grids(void **state)
{
    char folder[1024], plan[1024];
    snprintf(folder, sizeof folder, "--cache=%s", shell_path(state, "runs"));
    snprintf(plan, sizeof plan, "%s", PLAN);
    shell_run(&s, "least", plan, "-qg96", COVER, "--json", folder, NULL); /* the coarse look, kept */
    const double coarse = json_number(s.out, "value_si");
    const char *const arguments[] = {"least", plan, "-qg192", "-t1", COVER, "--json", folder}; /* one by one */
    shell_run_interrupted(&s, 1, arguments);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_string_equal(json_text(s.out, "confirmed"), "false");
    assert_string_equal(json_text(s.out, "found"), "true");
    check_close(json_number(s.out, "value_si"), coarse, 1e-12);
    shell_says(json_text(s.out, "says"), " Stopped before that was confirmed on the fine grid.");
    assert_true(json_number(s.out, "runs_known") > 3);
}

/* ---- what is refused ---- */

static void what_is_wrong_is_said_in_one_line(void **state)
{
    static const struct {
        const char *first, *second;
        rn_exit exit;
        const char *says;
    } cases[] = {
        {"--of=foam", NULL, RN_EXIT_USAGE,
         "'foam' is no number of this plan: write for example poured or moves.4.spin"},
        {"--of=moves.2.spin", NULL, RN_EXIT_USAGE, "'moves.2.spin' is no number of this plan"},
        {"--of=poured", "--of=poured", RN_EXIT_USAGE, "'--of poured' is given twice"},
        {"--of=poured", "--of=pours.1.stack.1", RN_EXIT_USAGE,
         "'--of poured' and '--of pours.1.stack.1' speak of the same"},
        {"--from=1ml", "--from=2ml", RN_EXIT_USAGE, "there are more of --from and --to than numbers to look for"},
        {"--from=20ml", "--to=20ml", RN_EXIT_USAGE, "poured from 20 ml to 20 ml is no range to search"},
        {"--from=-3ml", NULL, RN_EXIT_USAGE, "poured from -3 ml to 96 ml is no range to search"},
        {"--from=3mm", NULL, RN_EXIT_USAGE, "poured: "},
        {"--goal=x", NULL, RN_EXIT_USAGE, "'--goal x' is no goal; write for example --goal 'run-off=at most 30 ml'"},
        {"--goal==at most 3 ml", NULL, RN_EXIT_USAGE, "is no goal"},
        {"--goal=coverage=lots", NULL, RN_EXIT_USAGE, "'--goal coverage=lots': "},
        {"--goal=shine=at least 3 %", NULL, RN_EXIT_USAGE, "'--goal shine=at least 3 %': "},
        {"--weight=-1", NULL, RN_EXIT_USAGE, "'--weight -1' is no weight; write for example --weight 2"},
        {"--weight=nan", NULL, RN_EXIT_USAGE, "is no weight"},
        {"--weight=2 kg", NULL, RN_EXIT_USAGE, "is no weight"},
        {"--close=200", NULL, RN_EXIT_USAGE, "'--close 200' is out of range"},
        {"--coarse=3", NULL, RN_EXIT_USAGE, "'--coarse 3' is out of range; it can be 64 to 1024"},
        {"--afresh", "--resume", RN_EXIT_USAGE,
         "'--afresh' keeps nothing, so it goes with neither --resume nor --cache"},
        {"--afresh", "--cache=runs", RN_EXIT_USAGE, "'--afresh' keeps nothing"},
        {"--cache=", NULL, RN_EXIT_USAGE, "'--cache' has an empty value"},
        {"--of=pours.1.width", "--afresh", RN_EXIT_PLAN, "makes no plan, so the range must be less: "},
        {"--json", "--save=-", RN_EXIT_USAGE, "'--json' and a file named '-' cannot both have standard output"},
        {"--save=no-such-folder/least.yaml", NULL, RN_EXIT_PLAN,
         "no-such-folder/least.yaml: cannot be written: No such file or directory\n"},
        {"--volume=3", NULL, RN_EXIT_USAGE, "'--volume'"},
        {"--set=poured=plenty", NULL, RN_EXIT_USAGE, "plenty"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        if (cases[i].second)
            shell_run(&s, "least", PLAN, "-qg64", cases[i].first, cases[i].second, NULL);
        else
            shell_run(&s, "least", PLAN, "-qg64", cases[i].first, NULL);
        shell_says(s.err, cases[i].says);
        assert_int_equal(s.exit, cases[i].exit);
        assert_int_equal(s.out_size, 0);
        int lines = 0;
        for (const char *c = s.err; *c; c++)
            lines += *c == '\n';
        assert_true(lines == 1 || strstr(s.err, "'runnel help least' says more"));
    }
    shell_run(&s, "least", shell_path(state, "nowhere.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    const char *coat = shell_path(state, "coat.yaml");
    shell_write(coat, "plan: 1\npanel: {size: 10 cm x 10 cm}\npaints: {silt: }\nbase: [{paint: silt, depth: 1 mm}]\n"
                      "end: 10 s\n");
    shell_run(&s, "least", coat, "-qg64", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN); /* it is not how it was asked */
    shell_says(s.err, "runnel least: nothing is poured in this plan, so there is no volume to look for\n");
    assert_null(strstr(s.err, "'runnel help least' says more"));
    shell_run(&s, "least", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_run(&s, "least", PLAN, PLAN, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_run(&s, "least", PLAN, "-qg64", "--of=poured", "--of=moves.1.tilt", "--of=end", "--of=cover", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "'--of' can be given 3 times at most");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, enter, leave)
    const struct CMUnitTest tests[] = {
        TEST(the_answer_in_words),
        TEST(the_answer_as_json),
        TEST(the_plan_that_is_saved_meets_the_goal),
        TEST(the_plan_goes_where_it_is_asked_to),
        TEST(met_everywhere_and_nowhere),
        TEST(where_the_plan_expects_nothing),
        TEST(other_numbers_and_several),
        TEST(a_second_search_knows_all_runs),
        TEST(where_runs_cannot_be_kept),
        TEST(ctrl_c_keeps_what_was_done),
        TEST(ctrl_c_between_the_grids),
        TEST(what_is_wrong_is_said_in_one_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
