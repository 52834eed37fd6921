/* What outlives the window: benches left behind by a program that was killed, and the plans opened last. Each test has a
   state folder of its own. */
#define _XOPEN_SOURCE 700

#include "check.h"

#include <dirent.h>
#include <ftw.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "app.h"
#include "document.h"
#include "edit.h"
#include "hand.h"
#include "recovery.h"

#define PRESET "presets/small-study.yaml"

static void wait_for(long microseconds)
{
    nanosleep(&(struct timespec){.tv_nsec = microseconds * 1000}, NULL);
}

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *walk)
{
    (void)status;
    (void)kind;
    (void)walk;
    return remove(path);
}

static int new_folder(void **state)
{
    char folder[64] = "/tmp/runnel-state-XXXXXX";
    if (!mkdtemp(folder))
        return -1;
    *state = strdup(folder);
    return *state && setenv("XDG_STATE_HOME", folder, 1) == 0 ? 0 : -1;
}

static int drop_folder(void **state)
{
    chmod(*state, 0700);
    nftw(*state, remove_entry, 8, FTW_DEPTH | FTW_PHYS);
    free(*state);
    return 0;
}

static rn_plan *plan_titled(const char *title)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, PRESET, &err), &err);
    snprintf(plan->title, sizeof plan->title, "%s", title);
    return plan;
}

static bool same_text(const rn_plan *a, const rn_plan *b)
{
    char *one = NULL, *other = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&one, a, &err), &err);
    check_ok(rn_plan_write(&other, b, &err), &err);
    const bool same = strcmp(one, other) == 0;
    free(one);
    free(other);
    return same;
}

/* A process that keeps a bench and then waits, or goes on keeping this and another; it is ended by whoever called. */
static pid_t bench_of_another(const rn_plan *plan, const char *path, const rn_plan *other)
{
    int ready[2];
    assert_int_equal(pipe(ready), 0);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        close(ready[0]);
        recovery_keep(plan, path);
        if (write(ready[1], "k", 1) != 1)
            _exit(1);
        for (;;) {
            if (!other)
                pause();
            recovery_keep(other, path);
            recovery_keep(plan, path);
        }
    }
    char byte;
    close(ready[1]);
    const ssize_t got = read(ready[0], &byte, 1);
    close(ready[0]);
    assert_int_equal(got, 1);
    return child;
}

static void end(pid_t child, int how)
{
    assert_int_equal(kill(child, how), 0);
    assert_int_equal(waitpid(child, NULL, 0), child);
}

static void kill_with_bench(const rn_plan *plan, const char *path)
{
    end(bench_of_another(plan, path, NULL), SIGKILL);
}

static void a_killed_program_leaves_its_bench(void **state)
{
    (void)state;
    rn_plan *plan = plan_titled("Ebb");
    rv_left_bench left;
    assert_false(recovery_find(&left));
    const pid_t child = bench_of_another(plan, PRESET, NULL);
    assert_false(recovery_find(&left)); /* it is at work on that bench */
    end(child, SIGKILL);
    assert_true(recovery_find(&left));
    assert_true(same_text(left.plan, plan));
    char *full = realpath(PRESET, NULL);
    assert_string_equal(left.path, full); /* it may be taken up from another folder */
    free(full);
    assert_true(labs((long)(left.when - time(NULL))) < 60);

    recovery_clear(&left, false); /* not now: it is offered again */
    assert_true(recovery_find(&left));
    recovery_clear(&left, true);
    assert_null(left.plan);
    assert_false(recovery_find(&left));
    rn_plan_free(plan);
}

/* Killed a hundred times while it writes: what is found is one of the two benches, whole. */
static void it_is_whole_whenever_it_was_killed(void **state)
{
    (void)state;
    rn_plan *one = plan_titled("One"), *other = plan_titled("Another");
    for (int k = 0; k < 100; k++) {
        const pid_t child = bench_of_another(one, "", other);
        wait_for(130 * k);
        end(child, SIGKILL);
        rv_left_bench left;
        assert_true(recovery_find(&left));
        assert_true(same_text(left.plan, one) || same_text(left.plan, other));
        recovery_clear(&left, true);
    }
    char folder[128];
    snprintf(folder, sizeof folder, "%s/runnel", (const char *)*state);
    rv_left_bench left;
    assert_false(recovery_find(&left));
    DIR *entries = opendir(folder);
    assert_non_null(entries);
    for (struct dirent *entry; (entry = readdir(entries));)
        assert_true(entry->d_name[0] == '.'); /* nothing half written stays */
    closedir(entries);
    rn_plan_free(one);
    rn_plan_free(other);
}

static void of_several_the_newest_comes_first(void **state)
{
    (void)state;
    char title[32];
    for (int k = 0; k < 3; k++) {
        snprintf(title, sizeof title, "Bench %d", k);
        rn_plan *plan = plan_titled(title);
        kill_with_bench(plan, "");
        rn_plan_free(plan);
        wait_for(20000);
    }
    for (int k = 2; k >= 0; k--) {
        rv_left_bench left;
        snprintf(title, sizeof title, "Bench %d", k);
        assert_true(recovery_find(&left));
        assert_string_equal(left.plan->title, title);
        assert_string_equal(left.path, "");
        recovery_clear(&left, true);
    }
}

/* A plan that says too little to be poured yet. */
static void a_bench_that_is_being_made_comes_back(void **state)
{
    (void)state;
    rn_plan *plan = rn_plan_new();
    assert_true(edit_add_jar(plan) >= 0);
    assert_true(edit_add_jar(plan) >= 0);
    edit_set_jar_viscosity(plan, 1, 2.5);
    kill_with_bench(plan, "");
    rv_left_bench left;
    assert_true(recovery_find(&left));
    assert_int_equal(left.plan->paint_count, 2);
    check_within(edit_jar_viscosity(left.plan, 1), 2.5, 1e-12);
    assert_int_equal(left.plan->base_count + left.plan->pour_count, 0);
    recovery_clear(&left, true);
    rn_plan_free(plan);
}

static void a_bench_that_is_dropped_is_not_offered(void **state)
{
    (void)state;
    rn_plan *plan = plan_titled("Ebb");
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) { /* a clean quit */
        recovery_keep(plan, "");
        recovery_drop();
        _exit(0);
    }
    assert_int_equal(waitpid(child, NULL, 0), child);
    rv_left_bench left;
    assert_false(recovery_find(&left));
    rn_plan_free(plan);
}

/* The number of a process that ended may be another's by now: this test's own, for example. */
static void the_number_of_a_process_may_come_again(void **state)
{
    rn_plan *plan = plan_titled("Ebb");
    wait_for(20000); /* the child begins in another hundredth of a second than this process */
    kill_with_bench(plan, "");
    rv_left_bench left;
    assert_true(recovery_find(&left));
    char renamed[256];
    snprintf(renamed, sizeof renamed, "%s/runnel/bench-%ld.yaml", (const char *)*state, (long)getpid());
    assert_int_equal(rename(left.file, renamed), 0);
    recovery_clear(&left, false);
    assert_true(recovery_find(&left));
    assert_string_equal(left.file, renamed);
    recovery_clear(&left, false);

    recovery_drop(); /* nothing of its own is kept */
    assert_int_equal(access(renamed, R_OK), 0);
    rn_plan *own = plan_titled("Flood");
    recovery_keep(own, "");
    assert_true(recovery_find(&left)); /* its own is not offered, and stands in nobody's place */
    assert_true(same_text(left.plan, plan));
    recovery_drop();
    assert_int_equal(access(left.file, R_OK), 0);
    recovery_clear(&left, true);
    assert_false(recovery_find(&left));
    rn_plan_free(own);
    rn_plan_free(plan);
}

/* What cannot be read as a plan hides no other, and is left where it is. */
static void strange_files_do_no_harm(void **state)
{
    rn_plan *plan = plan_titled("Ebb");
    kill_with_bench(plan, "");
    char path[256];
    static const char *const strange[] = {"bench-.yaml", "bench-1x.yaml", "bench-999999.txt", "other",
                                          "bench-99999998.yaml"};
    for (size_t k = 0; k < sizeof strange / sizeof *strange; k++) {
        snprintf(path, sizeof path, "%s/runnel/%s", (const char *)*state, strange[k]);
        FILE *file = fopen(path, "w");
        assert_non_null(file);
        fputs("no: plan\n", file);
        fclose(file);
    }
    rv_left_bench left;
    assert_true(recovery_find(&left));
    assert_string_equal(left.plan->title, "Ebb");
    recovery_clear(&left, true);
    assert_false(recovery_find(&left));
    assert_int_equal(access(path, R_OK), 0);
    rn_plan_free(plan);
}

static void a_path_with_a_line_break_does_not_lose_the_bench(void **state)
{
    (void)state;
    rn_plan *plan = plan_titled("Ebb");
    kill_with_bench(plan, "/tmp/two\nlines.yaml");
    rv_left_bench left;
    assert_true(recovery_find(&left));
    assert_true(same_text(left.plan, plan));
    assert_string_equal(left.path, "");
    recovery_clear(&left, true);
    rn_plan_free(plan);
}

/* ---- plans opened last ---- */

static void touch(char path[256], const char *folder, int number)
{
    snprintf(path, 256, "%s/plan-%d.yaml", folder, number);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fclose(file);
}

static void plans_opened_last(void **state)
{
    char path[256];
    rv_recent *recent = malloc(sizeof *recent);
    assert_non_null(recent);
    recent_read(recent);
    assert_int_equal(recent->count, 0);
    for (int k = 0; k < RECENT_MOST + 5; k++) {
        touch(path, *state, k);
        recent_add(path);
    }
    recent_read(recent);
    assert_int_equal(recent->count, RECENT_MOST);
    for (int k = 0; k < RECENT_MOST; k++) {
        snprintf(path, sizeof path, "%s/plan-%d.yaml", (const char *)*state, RECENT_MOST + 4 - k);
        assert_string_equal(recent->paths[k], path);
    }
    touch(path, *state, 9); /* again: once, and first */
    recent_add(path);
    recent_read(recent);
    assert_string_equal(recent->paths[0], path);
    int times = 0;
    for (int k = 0; k < recent->count; k++)
        times += strcmp(recent->paths[k], path) == 0;
    assert_int_equal(times, 1);
    unlink(path); /* what is gone is not listed */
    recent_read(recent);
    assert_int_equal(recent->count, RECENT_MOST - 1);
    assert_string_not_equal(recent->paths[0], path);
    recent_add("/nowhere/at/all.yaml");
    recent_add(PRESET); /* by its whole path */
    recent_read(recent);
    assert_true(recent->paths[0][0] == '/');
    assert_non_null(strstr(recent->paths[0], PRESET));
    free(recent);
}

static void nothing_happens(void)
{
    rn_plan *plan = plan_titled("Ebb");
    rv_left_bench left;
    rv_recent *recent = malloc(sizeof *recent);
    assert_non_null(recent);
    recovery_keep(plan, PRESET);
    recent_add(PRESET);
    recent_read(recent);
    assert_int_equal(recent->count, 0);
    assert_false(recovery_find(&left));
    recovery_drop();
    free(recent);
    rn_plan_free(plan);
}

/* Without a home, or one where nothing can be made, all this stays away. */
static void without_a_folder_it_stays_away(void **state)
{
    char *home = getenv("HOME") ? strdup(getenv("HOME")) : NULL, path[256];
    unsetenv("XDG_STATE_HOME");
    unsetenv("HOME");
    nothing_happens();
    setenv("HOME", "relative", 1);
    nothing_happens();
    touch(path, *state, 1); /* a file where the folder should be */
    setenv("XDG_STATE_HOME", path, 1);
    nothing_happens();
    if (geteuid() != 0) { /* root may write anywhere */
        chmod(*state, 0500);
        setenv("XDG_STATE_HOME", *state, 1);
        nothing_happens();
    }
    char *deep = malloc(9000);
    assert_non_null(deep);
    memset(deep, 'x', 8999);
    deep[0] = '/';
    deep[8999] = '\0';
    setenv("XDG_STATE_HOME", deep, 1);
    nothing_happens();
    free(deep);
    if (home)
        setenv("HOME", home, 1);
    else
        unsetenv("HOME");
    free(home);
}

static void by_default_it_lies_under_home(void **state)
{
    char *home = getenv("HOME") ? strdup(getenv("HOME")) : NULL, path[256];
    unsetenv("XDG_STATE_HOME");
    setenv("HOME", *state, 1);
    rn_plan *plan = plan_titled("Ebb");
    recovery_keep(plan, "");
    snprintf(path, sizeof path, "%s/.local/state/runnel/bench-%ld.yaml", (const char *)*state, (long)getpid());
    assert_int_equal(access(path, R_OK), 0);
    struct stat status;
    snprintf(path, sizeof path, "%s/.local/state/runnel", (const char *)*state);
    assert_int_equal(stat(path, &status), 0);
    assert_int_equal(status.st_mode & 077, 0); /* others' eyes are kept out */
    recovery_drop();
    rn_plan_free(plan);
    if (home)
        setenv("HOME", home, 1);
    free(home);
}

/* ---- the page that offers a bench ---- */

typedef struct table {
    rv_app *app;
    rv_view *view;
    painter hand;
} table;

/* The program begins, on the smallest grids: nothing that is worked out matters here. */
static table sit_down(void)
{
    table t = {0};
    rv_app_options options = app_defaults();
    rn_error err = {0};
    options.cells = options.preview = options.points = 64;
    options.threads = 1;
    options.asks = options.caches = false;
    check_ok(app_new(&t.app, options, &err), &err);
    t.view = app_view(t.app);
    t.hand = (painter){.view = t.view, .now = 1};
    return t;
}

/* Errands are run, a frame is drawn: what can be pressed is known. */
static void look(table *t)
{
    rv_frame_check check = {0};
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    app_update(t->app);
    assert_true(app_draw(t->app, surface, &check));
    cairo_surface_destroy(surface);
    assert_int_equal(check.overlaps + check.outside, 0);
}

/* So many files of benches lie in the folder. */
static int benches(const char *state)
{
    char folder[128];
    int count = 0;
    snprintf(folder, sizeof folder, "%s/runnel", state);
    DIR *entries = opendir(folder);
    for (struct dirent *entry; entries && (entry = readdir(entries));)
        count += strncmp(entry->d_name, "bench-", 6) == 0;
    if (entries)
        closedir(entries);
    return count;
}

/* The bench of a program that was killed; the path of its file. */
static void leave_bench(char file[RECOVERY_PATH_SIZE], const char *title)
{
    rn_plan *plan = plan_titled(title);
    kill_with_bench(plan, "");
    rn_plan_free(plan);
    rv_left_bench left;
    assert_true(recovery_find(&left));
    assert_string_equal(left.plan->title, title);
    snprintf(file, RECOVERY_PATH_SIZE, "%s", left.file);
    recovery_clear(&left, false);
}

/* Of all keys, with and without what is held down beside them, one takes it up and one lets it go. */
static void no_key_but_its_own_lets_a_left_bench_go(void **state)
{
    static const unsigned held[] = {0, MOD_SHIFT, MOD_CTRL, MOD_ALT, MOD_CTRL | MOD_SHIFT};
    char file[RECOVERY_PATH_SIZE];
    leave_bench(file, "Ebb");
    table t = sit_down();
    look(&t);
    assert_int_equal(t.view->cover, COVER_RECOVER);
    for (int key = 33; key <= KEY_F12; key++)
        for (size_t k = 0; k < sizeof held / sizeof *held; k++) {
            if (key == KEY_ENTER || (key == KEY_DELETE && !held[k]) || (key > 126 && key < KEY_ENTER))
                continue;
            hand_key(&t.hand, key, held[k]);
            look(&t);
            if (access(file, R_OK) != 0)
                fail_msg("key %d with %u let it go", key, held[k]);
            if (t.view->cover == COVER_RECOVER)
                continue;
            assert_true(key == KEY_ESCAPE || key == KEY_F1);
            assert_int_equal(t.view->cover, COVER_NONE);
            assert_non_null(strstr(t.view->message, "Ctrl+R")); /* how it comes back */
            hand_key(&t.hand, KEY_END, 0);
            look(&t);
            assert_string_equal(t.view->message, ""); /* said once */
            hand_key(&t.hand, 'r', MOD_CTRL);
            look(&t);
            assert_int_equal(t.view->cover, COVER_RECOVER);
        }
    const rv_input close = {.kind = INPUT_CLOSE, .now = t.hand.now};
    app_apply(t.app, &close);
    look(&t);
    assert_true(app_leaves(t.app));
    app_free(t.app);
    assert_int_equal(access(file, R_OK), 0);

    t = sit_down(); /* it is offered again, and gone only when it is to go */
    look(&t);
    assert_int_equal(t.view->cover, COVER_RECOVER);
    hand_key(&t.hand, KEY_DELETE, 0);
    look(&t);
    assert_int_equal(t.view->cover, COVER_NONE);
    assert_int_equal(access(file, R_OK), -1);
    hand_key(&t.hand, 'r', MOD_CTRL);
    look(&t);
    assert_int_equal(t.view->cover, COVER_NONE);
    app_free(t.app);
    assert_int_equal(benches(*state), 0);
}

/* Put off, it stands on the page of an empty bench; a plan that is opened, changed and left does not touch it. */
static void a_bench_that_is_put_off_is_offered_again(void **state)
{
    char file[RECOVERY_PATH_SIZE];
    leave_bench(file, "Ebb");
    table t = sit_down();
    look(&t);
    hand_press(&t.hand, PART_CHOICE, 1, 0);
    look(&t);
    assert_int_equal(t.view->cover, COVER_NONE);
    hand_press(&t.hand, PART_START, 0, 0); /* first of what there is to begin from */
    look(&t);
    assert_int_equal(t.view->cover, COVER_RECOVER);
    hand_key(&t.hand, KEY_ESCAPE, 0);
    app_open(t.app, PRESET);
    t.hand.now += 10;
    hand_key(&t.hand, 'n', 0);
    look(&t);
    assert_int_equal(benches(*state), 2); /* its own is kept beside */
    assert_int_equal(access(file, R_OK), 0);
    hand_key(&t.hand, KEY_ESCAPE, 0);
    hand_key(&t.hand, 'q', MOD_CTRL);
    hand_key(&t.hand, 'd', MOD_CTRL); /* a copy of the plan, on the page beneath: no answer */
    assert_int_equal(t.view->cover, COVER_LEAVE);
    hand_key(&t.hand, 'd', 0);
    look(&t);
    assert_true(app_leaves(t.app));
    app_free(t.app);
    assert_int_equal(benches(*state), 1);

    t = sit_down();
    look(&t);
    assert_int_equal(t.view->cover, COVER_RECOVER);
    hand_key(&t.hand, KEY_ENTER, 0);
    look(&t);
    assert_string_equal(document_plan(t.view->doc)->title, "Ebb");
    assert_true(document_changed(t.view->doc));
    assert_int_equal(benches(*state), 1); /* as this program's own by now */
    assert_int_equal(access(file, R_OK), -1);
    app_free(t.app); /* not left on purpose */
    assert_int_equal(benches(*state), 1);
    recovery_drop();
}

static void left_benches_are_offered_one_after_the_other(void **state)
{
    char files[3][RECOVERY_PATH_SIZE];
    static const char *const titles[3] = {"First", "Second", "Third"};
    for (int k = 0; k < 3; k++) {
        leave_bench(files[k], titles[k]);
        wait_for(20000);
    }
    table t = sit_down();
    look(&t);
    assert_non_null(strstr(t.view->left, "Third"));
    hand_key(&t.hand, KEY_DELETE, 0);
    look(&t);
    assert_int_equal(benches(*state), 2);
    assert_int_equal(t.view->cover, COVER_RECOVER);
    assert_non_null(strstr(t.view->left, "Second"));
    static const int answers[] = {KEY_DELETE, KEY_ENTER, KEY_ESCAPE};
    for (size_t k = 0; k < sizeof answers / sizeof *answers; k++) { /* a key that is still down answers nothing */
        const rv_input held = {.kind = INPUT_KEY, .key = answers[k], .held = true, .now = t.hand.now};
        app_apply(t.app, &held);
        look(&t);
        assert_int_equal(t.view->cover, COVER_RECOVER);
        assert_int_equal(benches(*state), 2);
    }
    hand_key(&t.hand, KEY_ENTER, 0);
    look(&t);
    assert_string_equal(document_plan(t.view->doc)->title, "Second");
    assert_int_equal(t.view->cover, COVER_NONE);
    assert_non_null(strstr(t.view->message, "Ctrl+R")); /* the one before it */
    hand_key(&t.hand, 'r', MOD_CTRL);
    assert_int_equal(t.view->cover, COVER_LEAVE); /* what is on the bench is not thrown away for it */
    hand_key(&t.hand, KEY_ESCAPE, 0);
    look(&t);
    assert_string_equal(document_plan(t.view->doc)->title, "Second");
    assert_int_equal(access(files[0], R_OK), 0);
    hand_key(&t.hand, 'r', MOD_CTRL);
    hand_key(&t.hand, 'd', 0);
    look(&t);
    assert_int_equal(t.view->cover, COVER_RECOVER);
    assert_non_null(strstr(t.view->left, "First"));
    app_free(t.app);
    recovery_drop();
    assert_int_equal(access(files[0], R_OK), 0);
}

/* Where it cannot be kept under this program's own name its file stays. */
static void a_bench_that_is_taken_up_is_never_without_a_file(void **state)
{
    char file[RECOVERY_PATH_SIZE], own[256];
    leave_bench(file, "Ebb");
    table t = sit_down();
    look(&t);
    snprintf(own, sizeof own, "%s/runnel/bench-%ld.yaml", (const char *)*state, (long)getpid());
    assert_int_equal(mkdir(own, 0700), 0);
    hand_key(&t.hand, KEY_ENTER, 0);
    look(&t);
    assert_string_equal(document_plan(t.view->doc)->title, "Ebb");
    assert_int_equal(access(file, R_OK), 0);
    app_free(t.app);
}

#define TEST(function) cmocka_unit_test_setup_teardown(function, new_folder, drop_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_killed_program_leaves_its_bench),
        TEST(it_is_whole_whenever_it_was_killed),
        TEST(of_several_the_newest_comes_first),
        TEST(a_bench_that_is_being_made_comes_back),
        TEST(a_bench_that_is_dropped_is_not_offered),
        TEST(the_number_of_a_process_may_come_again),
        TEST(strange_files_do_no_harm),
        TEST(a_path_with_a_line_break_does_not_lose_the_bench),
        TEST(no_key_but_its_own_lets_a_left_bench_go),
        TEST(a_bench_that_is_put_off_is_offered_again),
        TEST(left_benches_are_offered_one_after_the_other),
        TEST(a_bench_that_is_taken_up_is_never_without_a_file),
        TEST(plans_opened_last),
        TEST(without_a_folder_it_stays_away),
        TEST(by_default_it_lies_under_home),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
