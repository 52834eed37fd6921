/* `--share` and `runnel gather`: pieces of the odds and of a window tell what one machine tells. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/shell.h"

static shell s;

static int enter(void **state)
{
    unsetenv("SLURM_ARRAY_TASK_ID");
    unsetenv("SLURM_ARRAY_TASK_COUNT");
    unsetenv("SLURM_ARRAY_TASK_MIN");
    unsetenv("SLURM_ARRAY_TASK_STEP");
    return shell_make_folder(state);
}

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

static char *path_of(void **state, const char *name)
{
    return strdup(shell_path(state, name));
}

static void same_file(const char *a, const char *b)
{
    size_t sizes[2];
    char *texts[] = {shell_read(a, &sizes[0]), shell_read(b, &sizes[1])};
    assert_non_null(texts[0]);
    assert_non_null(texts[1]);
    assert_true(sizes[0] > 200);
    assert_string_equal(texts[0], texts[1]);
    free(texts[0]);
    free(texts[1]);
}

static void odds_are_gathered(void **state)
{
    char *plan = path_of(state, "pool.yaml"), *alone = path_of(state, "alone.csv"), *all = path_of(state, "all.csv"),
         *first = path_of(state, "1.piece"), *second = path_of(state, "2.piece");
    shell_write(plan, shell_plan);
    shell_run(&s, "odds", plan, "--draws", "7", "--coarse", "64", "-g64", "--set", "poured=11ml", "--goal",
              "coverage=at least 50 %", "--afresh", "--csv", alone, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    char *headline = strndup(s.out, strcspn(s.out, "\n"));
    shell_run(&s, "odds", plan, "--draws", "7", "--coarse", "64", "-g64", "--set", "poured=11ml", "--goal",
              "coverage=at least 50 %", "--afresh", "--share", "1/2", "--piece", first, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_non_null(strstr(s.out, "Share 1 of 2: "));
    shell_run(&s, "gather", first, "--csv", all, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_string_equal(s.err, "runnel gather: share 2 of 2 is missing\n");
    assert_false(shell_exists(all));
    shell_run(&s, "odds", plan, "--draws", "7", "--coarse", "64", "-g64", "--set", "poured=11ml", "--goal",
              "coverage=at least 50 %", "--afresh", "--share", "2/2", "--piece", second, "--quiet", NULL);
    assert_int_equal(s.out_size, 0);
    shell_write(plan, "the file may have changed since, or be gone\n");
    shell_run(&s, "gather", second, first, "--csv", all, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_true(strncmp(s.out, headline, strlen(headline)) == 0);
    same_file(alone, all);
    size_t size;
    char *piece = shell_read(second, &size), *fed = path_of(state, "fed.csv");
    shell_run_fed(&s, piece, "gather", first, "-", "--csv", fed, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    same_file(alone, fed);
    shell_run_fed(&s, piece, "gather", "-", "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "runnel gather: '-' is standard input, which can be read only once\n");
    shell_run_fed(&s, "no piece\n", "gather", first, "-", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_string_equal(s.err, "runnel gather: standard input is no piece of a study: those are what --share writes\n");
    free(piece);
    free(fed);
    shell_run(&s, "gather", second, first, "--save", "best.yaml", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    assert_non_null(strstr(s.err, "these are pieces of 'runnel odds', which knows no --save"));
    free(headline);
    free(plan);
    free(alone);
    free(all);
    free(first);
    free(second);
}

static void windows_are_gathered(void **state)
{
    char *plan = path_of(state, "pool.yaml"), *alone = path_of(state, "alone.csv"), *all = path_of(state, "all.csv"),
         *first = path_of(state, "1.piece"), *second = path_of(state, "2.piece");
    shell_write(plan, shell_plan);
    shell_run(&s, "window", plan, "--cells", "5x4", "--coarse", "64", "-g64", "--every", "--afresh", "--csv", alone,
              NULL);
    const int exit = s.exit;
    assert_true(exit == RN_EXIT_DONE || exit == RN_EXIT_SHORT);
    for (int k = 1; k <= 2; k++) {
        shell_run(&s, "window", plan, "--cells", "5x4", "--coarse", "64", "-g64", "--afresh", "--share",
                  k == 1 ? "1/2" : "2/2", "--piece", k == 1 ? first : second, NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
    }
    shell_run(&s, "gather", first, second, "--afresh", "--csv", all, NULL);
    assert_int_equal(s.exit, exit);
    same_file(alone, all);
    free(plan);
    free(alone);
    free(all);
    free(first);
    free(second);
}

static void set_array(const char *id, const char *count, const char *min, const char *step)
{
    const char *const names[] = {"SLURM_ARRAY_TASK_ID", "SLURM_ARRAY_TASK_COUNT", "SLURM_ARRAY_TASK_MIN",
                                 "SLURM_ARRAY_TASK_STEP"};
    const char *const values[] = {id, count, min, step};
    for (int i = 0; i < 4; i++)
        if (values[i])
            setenv(names[i], values[i], 1);
        else
            unsetenv(names[i]);
}

static void check_array(const char *plan, const char *piece, const char *said)
{
    shell_run(&s, "odds", plan, "--draws", "3", "--coarse", "64", "-g64", "--afresh", "--share", "array", "--piece",
              piece, NULL);
    shell_says(s.exit == RN_EXIT_DONE ? s.out : s.err, said);
}

static void an_array_counts_from_its_own_beginning(void **state)
{
    char *plan = path_of(state, "pool.yaml"), *piece = path_of(state, "a.piece");
    shell_write(plan, shell_plan);
    set_array("3", "4", NULL, NULL);
    check_array(plan, piece, "Share 3 of 4: ");
    set_array("0", "4", "0", "1");
    check_array(plan, piece, "Share 1 of 4: ");
    set_array("7", "4", "1", "2"); /* 1, 3, 5, 7 */
    check_array(plan, piece, "Share 4 of 4: ");
    set_array("0", "4", NULL, NULL);
    check_array(plan, piece, "task 0 is outside an array of 4 that begins with 1");
    set_array("5", "4", NULL, NULL);
    check_array(plan, piece, "task 5 is outside an array of 4");
    set_array("1", NULL, NULL, NULL);
    check_array(plan, piece, "and the second is not set; elsewhere write --share 3/8");
    set_array(NULL, "4", NULL, NULL);
    check_array(plan, piece, "and the first is not set");
    set_array("two", "4", NULL, NULL);
    check_array(plan, piece, "SLURM_ARRAY_TASK_ID is 'two', which is no number of a task");
    set_array(NULL, NULL, NULL, NULL);
    free(plan);
    free(piece);
}

static void wrong_calls(void **state)
{
    static const char *const shares[] = {"0/3", "4/3", "3", "a/b", "1/0", "1/99999", "1/3x", "/3", "1/"};
    const char *plan = shell_path(state, "pool.yaml");
    shell_write(plan, shell_plan);
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        shell_run(&s, "odds", plan, "--share", shares[i], NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        assert_non_null(strstr(s.err, "--share"));
        assert_int_equal(s.out_size, 0);
    }
    shell_run(&s, "odds", plan, "--share", "1/2", "--json", NULL);
    assert_string_equal(s.err, "runnel odds: a share alone tells nothing yet: ask 'runnel gather' for --json\n");
    shell_run(&s, "window", plan, "--piece", "a.piece", NULL);
    assert_string_equal(s.err, "runnel window: '--piece' goes with --share\n");
    shell_run(&s, "gather", plan, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "is no piece of a study: those are what --share writes"));
    shell_run(&s, "gather", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "which pieces? write for example runnel gather ");
    shell_run(&s, "odds", plan, "--draws", "3", "--coarse", "64", "-g64", "--afresh", "--share", "1/2", "--piece",
              "/dev/full", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    assert_non_null(strstr(s.err, "No space left on device"));
    assert_int_equal(s.out_size, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(odds_are_gathered),
        cmocka_unit_test(windows_are_gathered),
        cmocka_unit_test(an_array_counts_from_its_own_beginning),
        cmocka_unit_test(wrong_calls),
    };
    return cmocka_run_group_tests(tests, enter, leave);
}
