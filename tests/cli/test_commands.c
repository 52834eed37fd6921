/* Commands that need no forecast, run in process: what they print where, and their exit status. */
#include "check.h"

#include <string.h>

#include "cli/cli.h"
#include "cli/shell.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

static void without_a_command_it_says_how(void **state)
{
    (void)state;
    shell_run(&s, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_int_equal(s.out_size, 0);
    assert_non_null(strstr(s.err, "usage: runnel COMMAND"));
    shell_run(&s, "--help", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    assert_non_null(strstr(s.out, "usage: runnel COMMAND"));
}

static void version(void **state)
{
    (void)state;
    shell_run(&s, "--version", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_true(strncmp(s.out, "runnel ", 7) == 0 && strchr(s.out, '.'));
}

static void a_wrong_command_or_option_offers_the_nearest(void **state)
{
    (void)state;
    shell_run(&s, "forcast", "plan.yaml", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_string_equal(s.err, "runnel: no command 'forcast'; did you mean 'forecast'?\n");
    shell_run(&s, "zzzzzz", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_string_equal(s.err, "runnel: no command 'zzzzzz'; 'runnel help' lists them\n");
    shell_run(&s, "check", "--gird", "64", "x", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "runnel check: unknown option '--gird'; did you mean '--grid'?\n"));
    assert_int_equal(s.out_size, 0);
    shell_run(&s, "--json", "forecast", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "options come after a command"));
}

static void the_number_of_plans_is_checked(void **state)
{
    (void)state;
    shell_run(&s, "forecast", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "which plan? write for example runnel forecast plan.yaml\n"));
    shell_run(&s, "forecast", "a.yaml", "b.yaml", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "'b.yaml' is one too many"));
}

static void keys_lists_what_begins_so(void **state)
{
    (void)state;
    shell_run(&s, "keys", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    const char *const some[] = {
        "\ncover: ",  "\npanel.edges: ", "\npaints.NAME.viscosity: ", "\nmoves.NUMBER.spin: ", "\nlimits.deepest: ",
        "\npoured: ", "\nconsistency: "};
    for (size_t i = 0; i < sizeof some / sizeof some[0]; i++)
        assert_non_null(strstr(s.out, some[i]));
    shell_run(&s, "keys", "moves.4.sp", NULL); /* as a path of --set, cut short */
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_true(strncmp(s.out, "moves.NUMBER.spin: ", 19) == 0);
    assert_null(strstr(s.out, "turn: "));
    assert_non_null(strstr(s.out, "-3000 rpm to 3000 rpm"));
    shell_run(&s, "keys", "limtis", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_int_equal(s.out_size, 0);
    assert_string_equal(s.err, "runnel keys: no key begins with 'limtis'; did you mean 'limits'?\n");
}

static void fits_the_screen(const char *text)
{
    while (*text) {
        const size_t length = strcspn(text, "\n");
        assert_in_range(length, 0, 80);
        assert_true(length == 0 || text[length - 1] != ' ');
        text += length + 1;
    }
}

/* Every line of every help fits 80 columns, and a command's help is the same either way. */
static void help_fits_the_screen(void **state)
{
    (void)state;
    static const char *const commands[] = {"forecast", "check", "plan", "keys", "help"};
    shell other = {0};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        shell_run(&s, "help", commands[i], NULL);
        shell_run(&other, commands[i], "--help", NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        assert_int_equal(other.exit, RN_EXIT_DONE);
        assert_string_equal(s.out, other.out);
        fits_the_screen(s.out);
    }
    shell_clear(&other);
    shell_run(&s, "keys", NULL);
    fits_the_screen(s.out);
    shell_run(&s, "help", "froecast", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
}

/* The man page in docs is what the tables say today: 'runnel help --man > docs/runnel.1' renews it. */
static void man_page_is_current(void **state)
{
    (void)state;
    size_t size;
    char *page = shell_read("docs/runnel.1", &size);
    assert_non_null(page);
    shell_run(&s, "help", "--man", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_string_equal(page, s.out);
    free(page);
    /* man(7): a page begins with TH and its sections with SH; no text line may begin with a dot or quote by chance */
    assert_non_null(strstr(s.out, "\n.TH RUNNEL 1 "));
    for (const char *line = s.out; *line; line += strcspn(line, "\n") + 1) {
        static const char *const requests[] = {".\\\"", ".TH ", ".SH ", ".SS ", ".TP", ".B ", ".PP",
                                               ".br",   ".nf",  ".fi",  ".RS",  ".RE", ".BR "};
        bool known = *line != '.' && *line != '\'';
        for (size_t i = 0; !known && i < sizeof requests / sizeof requests[0]; i++)
            known = strncmp(line, requests[i], strlen(requests[i])) == 0;
        assert_true(known);
    }
}

static void a_wrong_plan_is_shown_with_a_caret_and_nothing_else(void **state)
{
    char expected[1500];
    const char *path = shell_path(state, "wrong.yaml");
    shell_write(path, "plan: 1\npanel: {size: 12 in x 12 in}\npaints:\n\tslate: {}\n");
    shell_run(&s, "plan", path, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_int_equal(s.out_size, 0);
    snprintf(expected, sizeof expected, "%s:4:1: ", path);
    assert_true(strncmp(s.err, expected, strlen(expected)) == 0);
    assert_string_equal(strchr(s.err, '\n'), "\n    \tslate: {}\n    ^\n");

    shell_write(path, "plan: 1\npanel: {size: 12 in x 12 in}\npaints:\n  größe: {viscosiyt: 1 Pa s}\n");
    static const char *const commands[] = {"forecast", "check", "plan"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        shell_run(&s, commands[i], path, NULL);
        assert_int_equal(s.exit, RN_EXIT_PLAN);
        assert_int_equal(s.out_size, 0);
        snprintf(expected, sizeof expected, "%s:4:", path);
        assert_true(strncmp(s.err, expected, strlen(expected)) == 0);
        int lines = 0;
        for (const char *at = s.err; (at = strchr(at, '\n')); at++)
            lines++;
        assert_int_equal(lines, 3);
    }
}

static void a_missing_plan_names_the_reason(void **state)
{
    char expected[1500];
    shell_run(&s, "forecast", shell_path(state, "missing.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    snprintf(expected, sizeof expected, "%s/missing.yaml: cannot be opened: No such file or directory\n",
             (const char *)*state);
    assert_string_equal(s.err, expected);
    shell_run(&s, "forecast", *state, NULL); /* a folder */
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    snprintf(expected, sizeof expected, "%s: cannot be read: Is a directory\n", (const char *)*state);
    assert_string_equal(s.err, expected);
}

static void a_plan_too_long_is_refused(void **state)
{
    const size_t size = 1500000;
    char *text = malloc(size + 1);
    memset(text, '\n', size);
    text[size] = '\0';
    shell_write(shell_path(state, "long.yaml"), text);
    free(text);
    shell_run(&s, "plan", shell_path(state, "long.yaml"), NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "long.yaml"));
}

static void plan_prints_what_it_reads(void **state)
{
    shell again = {0};
    const char *path = shell_path(state, "pool.yaml");
    shell_write(path, shell_plan);
    shell_run(&s, "plan", path, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    assert_non_null(strstr(s.out, "Rock pool"));
    shell_run_fed(&again, s.out, "plan", "-", NULL);
    assert_int_equal(again.exit, RN_EXIT_DONE);
    assert_string_equal(again.out, s.out);
    shell_clear(&again);
}

static void set_changes_and_save_keeps(void **state)
{
    size_t size;
    const char *path = shell_path(state, "pool.yaml"), *to = shell_path(state, "changed.yaml");
    shell_write(path, shell_plan);
    shell_run(&s, "plan", path, "--set", "moves.1.tilt=7.5deg", "--set", "end=0.5 min", "--save", to, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.out_size, 0);
    char *saved = shell_read(to, &size);
    assert_non_null(strstr(saved, "7.5 deg"));
    assert_non_null(strstr(saved, "end: 30 s"));
    free(saved);
    assert_int_equal(shell_count(*state), 2); /* no temporary is left */
}

static void a_wrong_setting_is_the_command_lines_fault(void **state)
{
    const char *path = shell_path(state, "pool.yaml");
    shell_write(path, shell_plan);
    static const char *const wrong[][2] = {
        {"moves.1.tlit=7deg", "tilt"},  {"moves.1.tilt=7", "deg"},     {"moves.1.tilt=99deg", "90 deg"},
        {"moves.9.tilt=7deg", "moves"}, {"end", "a path and a value"}, {"=5", "a path and a value"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        shell_run(&s, "plan", path, "--set", wrong[i][0], NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        assert_int_equal(s.out_size, 0);
        assert_true(strncmp(s.err, "runnel plan: ", 13) == 0);
        if (!strstr(s.err, wrong[i][1]))
            fail_msg("--set %s: %s", wrong[i][0], s.err);
    }
}

static void a_full_standard_output_is_no_success(void **state)
{
    (void)state;
    FILE *full = fopen("/dev/full", "w");
    if (!full)
        skip();
    char name[] = "runnel", command[] = "keys";
    char *argv[] = {name, command, NULL};
    char *said = NULL;
    size_t size;
    FILE *err = open_memstream(&said, &size);
    assert_int_equal(rn_cli(2, argv, full, err), RN_EXIT_PLAN);
    fclose(full);
    fclose(err);
    assert_string_equal(said, "runnel: standard output cannot be written\n");
    free(said);
}

/* Whatever is done with a plan whose words mislead, it is told where they stand and what to write; nothing else changes. */
static void old_words_of_consistency_are_warned_of(void **state)
{
    const char *path = shell_path(state, "old.yaml");
    char words[400];
    shell_write(path, "plan: 1\npanel: {size: 100 mm x 100 mm}\n"
                      "paints:\n  foam: {colour: \"#ecebe4\", consistency: double cream}\n"
                      "pours: [{across: 40 mm, stack: [foam 12 ml]}]\nend: 5 s\nexpect: {coverage: at least 1 %}\n");
    snprintf(
        words, sizeof words,
        "%s:4:42: warning: 'double cream' is an old word for 0.4 Pa s, not the food's own figure: give viscosity 0.4 "
        "Pa s, or the word thinned glycerine (0.5 Pa s)\n",
        path);
    static const char *const commands[][3] = {{"plan"},
                                              {"check", "--grid", "64"},
                                              {"forecast", "--grid", "64"},
                                              {"compare", "--grid", "64"},
                                              {"least", "--grid", "64"}};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        const char *const *with = commands[i];
        if (strcmp(with[0], "compare") == 0)
            shell_run(&s, with[0], path, "--thin-thick", with[1], with[2], NULL);
        else
            shell_run(&s, with[0], path, with[1], with[2], NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        shell_says(s.err, words);
        assert_null(strstr(s.out, "double cream"));
    }
    shell_run(&s, "plan", path, "--set", "consistency=yoghurt", NULL);
    shell_says(s.err, "\nwarning: 'yoghurt' is an old word for 1 Pa s");
    shell_says(s.out, "viscosity: 1 Pa s");
    shell_run(&s, "plan", path, "--set", "paints.foam.consistency=castor oil", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, shell_make_folder, leave)
    const struct CMUnitTest tests[] = {
        TEST(without_a_command_it_says_how),
        TEST(version),
        TEST(a_wrong_command_or_option_offers_the_nearest),
        TEST(the_number_of_plans_is_checked),
        TEST(keys_lists_what_begins_so),
        TEST(help_fits_the_screen),
        TEST(man_page_is_current),
        TEST(a_wrong_plan_is_shown_with_a_caret_and_nothing_else),
        TEST(a_missing_plan_names_the_reason),
        TEST(a_plan_too_long_is_refused),
        TEST(plan_prints_what_it_reads),
        TEST(set_changes_and_save_keeps),
        TEST(old_words_of_consistency_are_warned_of),
        TEST(a_wrong_setting_is_the_command_lines_fault),
        TEST(a_full_standard_output_is_no_success),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
