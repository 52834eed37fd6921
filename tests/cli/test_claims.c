/* No output replaces what a command reads or writes besides: asked of every command and every option that writes. What is one
   file is POSIX.1-2017's: the same device and serial number (XBD <sys/stat.h>), whatever names lead there. */
#define _XOPEN_SOURCE 700 /* symlink */

#include "check.h"

#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/cmd.h"
#include "cli/shell.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

#define PLAN shell_path(state, "pool.yaml")
#define PATH_ROOM 1200

/* "folder/name", to keep. */
static void name_file(char path[PATH_ROOM], void **state, const char *name)
{
    snprintf(path, PATH_ROOM, "%s/%s", (const char *)*state, name);
}

static bool writes(const rn_opt *opt)
{
    return opt->kind == RN_OPT_FILE || opt->kind == RN_OPT_FOLDER || opt->kind == RN_OPT_WHOLE_FOLDER;
}

/* An option that takes a file or a folder is known to write it: each new one is covered without being listed anywhere. */
static void what_takes_a_file_writes_it(void **state)
{
    (void)state;
    int found = 0;
    for (int c = 0; c < RN_COMMAND_COUNT; c++)
        for (int i = 0; i < rn_commands[c]->opt_count; i++) {
            const rn_opt *opt = &rn_commands[c]->opts[i];
            const bool named = opt->value && (strcmp(opt->value, "FILE") == 0 || strcmp(opt->value, "DIR") == 0);
            if (named != writes(opt))
                fail_msg("runnel %s --%s", rn_commands[c]->name, opt->name);
            found += named;
        }
    check_at_least(found, 20);
}

static void unharmed(void **state, int files)
{
    size_t size;
    char *text = shell_read(PLAN, &size);
    assert_string_equal(text, shell_plan);
    free(text);
    assert_int_equal(shell_count(*state), files);
}

static void refused(const rn_command *command, const char *input, const char *option, const char *value)
{
    char by[64];
    snprintf(by, sizeof by, "--%s", option);
    shell_run(&s, command->name, input, by, value, NULL);
    if (s.exit != RN_EXIT_USAGE || !strstr(s.err, " would replace the ") ||
        strchr(s.err, '\n') != s.err + s.err_size - 1)
        fail_msg("runnel %s %s %s %s: %d\n%s", command->name, input, by, value, s.exit, s.err);
    shell_says(s.err, by);
}

static void an_output_is_never_the_input(void **state)
{
    char plain[1024], dotted[1100], around[2100], relative[3000] = "";
    char link_to[PATH_ROOM], hard[PATH_ROOM], far[PATH_ROOM];
    const char *folder = *state;
    name_file(link_to, state, "soft.png");
    name_file(hard, state, "hard.png");
    name_file(far, state, "far.png");
    snprintf(plain, sizeof plain, "%s/pool.yaml", folder);
    snprintf(dotted, sizeof dotted, "%s/./pool.yaml", folder);
    snprintf(around, sizeof around, "%s/..%s//pool.yaml", folder, strrchr(folder, '/'));
    assert_non_null(getcwd(relative, 1000));
    const char *cwd = strdup(relative);
    relative[0] = '\0';
    for (const char *c = cwd; *c; c++)
        if (*c == '/' && c[1])
            strcat(relative, "../");
    strcat(relative, plain + 1);
    free((char *)cwd);
    assert_int_equal(symlink("pool.yaml", link_to), 0);
    assert_int_equal(symlink("soft.png", far), 0);
    assert_int_equal(link(plain, hard), 0);
    const char *const spellings[] = {plain, dotted, around, relative, link_to, far, hard};
    for (int c = 0; c < RN_COMMAND_COUNT; c++)
        for (int i = 0; i < rn_commands[c]->opt_count; i++)
            for (size_t k = 0; writes(&rn_commands[c]->opts[i]) && k < sizeof spellings / sizeof spellings[0]; k++) {
                refused(rn_commands[c], plain, rn_commands[c]->opts[i].name, spellings[k]);
                refused(rn_commands[c], spellings[k], rn_commands[c]->opts[i].name, plain);
                unharmed(state, 4);
            }
}

static void no_two_outputs_are_one(void **state)
{
    char plain[PATH_ROOM], dangling[PATH_ROOM], dotted[PATH_ROOM], deep[PATH_ROOM], deep_again[PATH_ROOM];
    name_file(plain, state, "same.png");
    name_file(dangling, state, "dangling.png");
    name_file(dotted, state, "./same.png");
    name_file(deep, state, "new/folder/same.png");
    name_file(deep_again, state, "new/other/../folder/same.png");
    assert_int_equal(symlink("same.png", dangling), 0);
    const char *const pairs[][2] = {{plain, plain}, {plain, dotted}, {dangling, plain}, {deep, deep_again}};
    for (int c = 0; c < RN_COMMAND_COUNT; c++)
        for (int i = 0; i < rn_commands[c]->opt_count; i++)
            for (int j = 0; j < rn_commands[c]->opt_count; j++)
                for (size_t k = 0; k < sizeof pairs / sizeof pairs[0]; k++) {
                    const rn_opt *one = &rn_commands[c]->opts[i], *two = &rn_commands[c]->opts[j];
                    char first[64], second[64];
                    if (i == j || !writes(one) || !writes(two) ||
                        (one->kind == RN_OPT_FOLDER && two->kind == RN_OPT_FOLDER))
                        continue;
                    snprintf(first, sizeof first, "--%s", one->name);
                    snprintf(second, sizeof second, "--%s", two->name);
                    shell_run(&s, rn_commands[c]->name, PLAN, first, pairs[k][0], second, pairs[k][1], NULL);
                    if (s.exit != RN_EXIT_USAGE || !strstr(s.err, " are the same; name two\n"))
                        fail_msg("runnel %s %s %s: %d\n%s", rn_commands[c]->name, first, second, s.exit, s.err);
                    shell_says(s.err, first);
                    shell_says(s.err, second);
                }
    unharmed(state, 2);
}

/* What no option names: the files of a folder, a cut, a piece. */
static void files_of_their_own_are_known(void **state)
{
    static const char *const own[] = {"forecast.txt", "forecast.json", "series.csv", "field.npy",  "picture.png",
                                      "face.png",     "section.png",   "design.png", "moments.png"};
    char out[PATH_ROOM], inside[2 * PATH_ROOM];
    name_file(out, state, "out");
    assert_int_equal(mkdir(out, 0777), 0);
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
        snprintf(inside, sizeof inside, "%s/%s", out, own[i]);
        assert_int_equal(i % 2 ? symlink("../pool.yaml", inside) : link(PLAN, inside), 0);
        shell_run(&s, "forecast", PLAN, "-g64", "--layers", "-o", out, NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        shell_says(s.err, own[i]);
        shell_says(s.err, " would replace the plan ");
        unlink(inside);
        shell_run(&s, "forecast", PLAN, "-g64", "--layers", "-o", out, "--field", inside, NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        shell_says(s.err, " are the same; name two\n");
    }
    unharmed(state, 2);
    assert_int_equal(shell_count(out), 0);
    shell_run(&s, "forecast", PLAN, "--section", "left", "right", "--face", "section.png", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "'--section section.png' are the same; name two\n");
    assert_false(shell_exists("section.png"));
    shell_run(&s, "odds", "pool.odds.2-of-3.piece", "--share", "2/3", NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN); /* another name: "pool.odds.2-of-3.odds.2-of-3.piece" */
}

static void frames_have_a_folder_to_themselves(void **state)
{
    char frames[PATH_ROOM], inside[PATH_ROOM];
    name_file(frames, state, "frames");
    name_file(inside, state, "frames/0001.png");
    for (int there = 0; there < 2; there++) {
        shell_run(&s, "forecast", PLAN, "--frames", frames, "--picture", inside, NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        shell_says(s.err, "0001.png' lies in the folder of '--frames ");
        shell_run(&s, "forecast", PLAN, "--frames", frames, "--out", frames, NULL);
        assert_int_equal(s.exit, RN_EXIT_USAGE);
        mkdir(frames, 0777);
    }
    shell_run(&s, "forecast", PLAN, "--frames", *state, NULL); /* where the plan is */
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "pool.yaml' lies in the folder of '--frames ");
    unharmed(state, 2);
}

/* "< plan" and "> file" lead to files as well. */
static void standard_streams_are_files_too(void **state)
{
    size_t size;
    const int kept = dup(STDIN_FILENO), plan = open(PLAN, O_RDONLY);
    fflush(stdin);
    dup2(plan, STDIN_FILENO);
    shell_run(&s, "forecast", "-", "-g64", "--series", PLAN, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, " would replace the plan '-'");
    unharmed(state, 1);
    lseek(plan, 0, SEEK_SET);
    fflush(stdin);
    shell_run(&s, "plan", "-", "--save", PLAN, "--replace", NULL);
    dup2(kept, STDIN_FILENO);
    close(kept);
    close(plan);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    char *beside = shell_read(shell_path(state, "pool.yaml~"), &size);
    assert_non_null(beside);
    assert_string_equal(beside, shell_plan);
    free(beside);
    assert_int_equal(rename(shell_path(state, "pool.yaml~"), PLAN), 0);
    char name[] = "runnel", forecast[] = "forecast", option[] = "--json", series[] = "--series", to[1024], from[1024];
    snprintf(to, sizeof to, "%s/series.csv", (const char *)*state);
    snprintf(from, sizeof from, "%s", PLAN);
    char *argv[] = {name, forecast, from, option, series, to};
    FILE *out = fopen(to, "w"), *err = fopen(shell_path(state, "words"), "w");
    assert_int_equal(rn_cli(6, argv, out, err), RN_EXIT_USAGE);
    fclose(out);
    fclose(err);
    char *words = shell_read(shell_path(state, "words"), &size);
    shell_says(words, "series.csv' and standard output are the same; name two\n");
    free(words);
    unharmed(state, 3);
}

/* What goes to a device or a pipe replaces nothing. */
static void devices_take_what_they_are_given(void **state)
{
    shell_run(&s, "forecast", PLAN, "-qg64", "--series", "/dev/null", "--field", "/dev/null", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    unharmed(state, 1);
}

static void a_plan_is_replaced_when_that_is_said(void **state)
{
    size_t size;
    struct stat what;
    char by_link[PATH_ROOM];
    name_file(by_link, state, "l.yaml");
    assert_int_equal(symlink("pool.yaml", by_link), 0);
    chmod(PLAN, 0640);
    shell_run(&s, "plan", PLAN, "--set", "end=30s", "--save", PLAN, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "; name another file, or add --replace\n");
    unharmed(state, 2);
    shell_run(&s, "plan", PLAN, "--set", "end=30s", "--save", PLAN, "--replace", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    shell_says(s.err, "kept as ");
    char *kept = shell_read(shell_path(state, "pool.yaml~"), &size), *saved = shell_read(PLAN, &size);
    assert_string_equal(kept, shell_plan);
    shell_says(saved, "end: 30 s");
    assert_int_equal(stat(shell_path(state, "pool.yaml~"), &what), 0);
    assert_int_equal(what.st_mode & 0777, 0640);
    free(kept);
    shell_run(&s, "least", PLAN, "-qg64", "--goal", "coverage=at least 30 %", "--coarse", "64", "--afresh", "--save",
              by_link, "--replace", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    kept = shell_read(shell_path(state, "l.yaml~"), &size);
    assert_string_equal(kept, saved); /* as it was before this command */
    free(kept);
    free(saved);
    saved = shell_read(PLAN, &size);
    assert_null(strstr(saved, "12 ml"));
    free(saved);
    shell_run(&s, "plan", PLAN, "--replace", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    shell_says(s.err, "'--replace' goes with --save");
    assert_int_equal(unlink(shell_path(state, "pool.yaml~")), 0);
    assert_int_equal(link(PLAN, shell_path(state, "pool.yaml~")), 0); /* nothing would be kept */
    shell_run(&s, "plan", PLAN, "--save", PLAN, "--replace", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
}

#define with_pool(test) cmocka_unit_test_setup_teardown(test, shell_make_pool, leave)

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_takes_a_file_writes_it),
        with_pool(an_output_is_never_the_input),
        with_pool(no_two_outputs_are_one),
        with_pool(files_of_their_own_are_known),
        with_pool(frames_have_a_folder_to_themselves),
        with_pool(standard_streams_are_files_too),
        with_pool(devices_take_what_they_are_given),
        with_pool(a_plan_is_replaced_when_that_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
