/* Runs kept in a folder: found again whole or not at all, whatever becomes of the folder. */
#define _XOPEN_SOURCE 700 /* symlink, rlimit */

#include "check.h"

#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "search/cache.h"
#include "search/nook.h"
#include "search/stand_in.h"

static rn_outcome outcome_of(int number)
{
    rn_plan *plan = stand_in_plan(NULL);
    rn_outcome outcome = stand_in_outcome(plan, 1.0 / (number + 3));
    outcome.duration = number;
    rn_plan_free(plan);
    return outcome;
}

static const char *identity_of(char text[200], int number)
{
    snprintf(text, 200, "stamp\nsession\ncells %d\nplan cover 0x1p-13\n", number);
    return text;
}

static rn_cache *open_cache(const char *folder)
{
    rn_cache *cache = NULL;
    rn_error err = {0};
    check_ok(rn_cache_open(&cache, folder, &err), &err);
    assert_string_equal(rn_cache_folder(cache), folder);
    return cache;
}

static void keep(const rn_cache *cache, int number)
{
    char identity[200];
    rn_error err = {0};
    const rn_outcome outcome = outcome_of(number);
    check_ok(rn_cache_keep(cache, identity_of(identity, number), &outcome, &err), &err);
}

/* Whether it is found; what is found must be what was kept. */
static bool is_found(const rn_cache *cache, int number)
{
    char identity[200], one[RN_OUTCOME_LINE], other[RN_OUTCOME_LINE];
    rn_outcome found = {.nx = 17};
    if (!rn_cache_find(&found, cache, identity_of(identity, number))) {
        assert_int_equal(found.nx, 17); /* untouched */
        return false;
    }
    const rn_outcome kept = outcome_of(number);
    rn_outcome_write(one, &kept);
    rn_outcome_write(other, &found);
    assert_string_equal(one, other);
    return true;
}

static void what_is_kept_is_found(void **state)
{
    const char *folder = nook_path(state, "a/b/runs"); /* made when it is needed */
    rn_cache *cache = open_cache(folder);
    assert_false(is_found(cache, 1));
    assert_int_not_equal(access(folder, F_OK), 0);
    keep(cache, 1);
    keep(cache, 2);
    assert_true(is_found(cache, 1) && is_found(cache, 2));
    assert_false(is_found(cache, 3));
    keep(cache, 1); /* once more: the same */
    rn_cache *other = open_cache(folder);
    assert_true(is_found(other, 1));
    rn_cache_close(other);
    rn_cache_close(cache);
    char path[1024];
    assert_int_equal(nook_file(path, sizeof path, folder), 2);
}

static void only_whole_and_decided_runs_are_kept(void **state)
{
    char path[1024], identity[200];
    rn_cache *cache = open_cache(nook_path(state, "runs"));
    rn_outcome outcome = outcome_of(1);
    rn_error err = {0};
    outcome.state = RN_OUTCOME_FAILED;
    check_ok(rn_cache_keep(cache, identity_of(identity, 1), &outcome, &err), &err);
    outcome.state = RN_OUTCOME_NONE;
    check_ok(rn_cache_keep(cache, identity_of(identity, 1), &outcome, &err), &err);
    assert_int_equal(nook_file(path, sizeof path, *state), 0);
    outcome.state = RN_OUTCOME_DECIDED;
    check_ok(rn_cache_keep(cache, identity_of(identity, 1), &outcome, &err), &err);
    rn_outcome found = {0};
    assert_true(rn_cache_find(&found, cache, identity));
    assert_int_equal(found.state, RN_OUTCOME_DECIDED);
    rn_cache_close(cache);
}

/* Cut off anywhere, or any one byte another: as good as absent. */
static void damaged_files_are_not_found(void **state)
{
    char path[1024];
    size_t size;
    rn_cache *cache = open_cache(nook_path(state, "runs"));
    keep(cache, 1);
    assert_int_equal(nook_file(path, sizeof path, *state), 1);
    char *text = nook_read(path, &size);
    for (size_t length = 0; length < size; length++) {
        nook_write(path, text, length);
        assert_false(is_found(cache, 1));
    }
    for (size_t at = 0; at < size; at++) {
        const char before = text[at];
        for (int bit = 0; bit < 8; bit += 3) {
            text[at] = (char)(before ^ (1 << bit));
            nook_write(path, text, size);
            if (is_found(cache, 1))
                fail_msg("byte %zu of %zu was changed and it was found", at, size);
        }
        text[at] = before;
    }
    char *longer = malloc(size + 10);
    memcpy(longer, text, size);
    memcpy(longer + size, "\nfurther\n", 10);
    nook_write(path, longer, size + 9);
    assert_false(is_found(cache, 1));
    nook_write(path, text, size);
    assert_true(is_found(cache, 1));
    keep(cache, 1);
    nook_write(path, "", 0);
    keep(cache, 1); /* and is mended by being kept again */
    assert_true(is_found(cache, 1));
    free(longer);
    free(text);
    rn_cache_close(cache);
}

/* A file under the name of another run, or of another program's. */
static void a_file_of_another_run_is_not_found(void **state)
{
    char first[1024], second[1024];
    size_t size;
    const char *folder = nook_path(state, "one"), *other_folder = nook_path(state, "other");
    rn_cache *cache = open_cache(folder), *other = open_cache(other_folder);
    keep(cache, 1);
    keep(other, 2);
    assert_int_equal(nook_file(first, sizeof first, folder), 1);
    assert_int_equal(nook_file(second, sizeof second, other_folder), 1);
    char *text = nook_read(second, &size);
    nook_write(first, text, size);
    assert_false(is_found(cache, 1));
    free(text);
    rn_cache_close(cache);
    rn_cache_close(other);
}

static void what_an_older_program_kept_is_not_found(void **state)
{
    rn_cache *cache = open_cache(nook_path(state, "runs"));
    const rn_outcome kept = outcome_of(1);
    rn_outcome found;
    rn_error err = {0};
    check_ok(rn_cache_keep(cache, "0.1 abc\nsession\ncells 96\n", &kept, &err), &err);
    assert_true(rn_cache_find(&found, cache, "0.1 abc\nsession\ncells 96\n"));
    assert_false(rn_cache_find(&found, cache, "0.1 abd\nsession\ncells 96\n"));
    rn_cache_close(cache);
}

/* An identity that another begins with is not the other. */
static void the_whole_identity_counts(void **state)
{
    char path[1024], elsewhere[1024];
    size_t size;
    rn_cache *cache = open_cache(nook_path(state, "runs"));
    const rn_outcome kept = outcome_of(1);
    rn_outcome found;
    rn_error err = {0};
    check_ok(rn_cache_keep(cache, "a\nb\n", &kept, &err), &err);
    nook_file(path, sizeof path, *state);
    char *text = nook_read(path, &size);
    check_ok(rn_cache_keep(cache, "a\n", &kept, &err), &err);
    unlink(path);
    nook_file(elsewhere, sizeof elsewhere, *state);
    nook_write(elsewhere, text, size); /* "a, b" under the name of "a" */
    assert_false(rn_cache_find(&found, cache, "a\n"));
    free(text);
    rn_cache_close(cache);
}

static void check_unkept(const rn_cache *cache, const char *says)
{
    char identity[200], text[1200];
    rn_error err = {0};
    const rn_outcome outcome = outcome_of(1);
    check_status(rn_cache_keep(cache, identity_of(identity, 1), &outcome, &err), RN_E_FILE, &err);
    rn_error_text(&err, text, sizeof text);
    if (!strstr(text, says))
        fail_msg("'%s' does not say '%s'", text, says);
}

static void where_nothing_can_be_written(void **state)
{
    char path[1024];
    nook_write(nook_path(state, "file"), "x", 1);
    rn_cache *cache = open_cache(nook_path(state, "file/runs"));
    assert_false(is_found(cache, 1));
    check_unkept(cache, "Not a directory");
    rn_cache_close(cache);
    cache = open_cache("/proc/runnel-runs"); /* nobody makes folders there */
    check_unkept(cache, "the folder '/proc/runnel-runs' cannot be made");
    rn_cache_close(cache);
    if (geteuid() == 0)
        return; /* for whom nothing is read-only */
    cache = open_cache(nook_path(state, "locked"));
    keep(cache, 2);
    nook_file(path, sizeof path, nook_path(state, "locked"));
    chmod(nook_path(state, "locked"), 0500);
    check_unkept(cache, "Permission denied");
    assert_true(is_found(cache, 2)); /* but read */
    chmod(nook_path(state, "locked"), 0700);
    rn_cache_close(cache);
}

/* In a folder that others may write to: a link in a run's place is neither read nor written through, a pipe keeps nobody
   waiting, and a folder that is a link leads no run elsewhere. */
static void links_and_pipes_are_not_followed(void **state)
{
    char path[1024], own[1024], part[1024];
    size_t size;
    const char *folder = nook_path(state, "runs"), *other = nook_path(state, "precious");
    snprintf(own, sizeof own, "%s", other);
    rn_cache *cache = open_cache(folder);
    keep(cache, 1);
    nook_file(path, sizeof path, folder);
    char *kept = nook_read(path, &size);
    nook_write(own, kept, size);
    unlink(path);
    assert_int_equal(symlink(own, path), 0);
    assert_false(is_found(cache, 1)); /* though what it leads to is the run */
    nook_write(own, "precious", 8);
    keep(cache, 1);
    assert_true(is_found(cache, 1));
    free(kept);
    kept = nook_read(own, &size);
    assert_string_equal(kept, "precious");
    free(kept);
    unlink(path);
    assert_int_equal(mkfifo(path, 0600), 0);
    assert_false(is_found(cache, 1));
    keep(cache, 1);
    assert_true(is_found(cache, 1));
    unlink(path);
    snprintf(part, sizeof part, "%s", path);
    *strrchr(part, '/') = '\0';
    assert_int_equal(rmdir(part), 0);
    mkdir(nook_path(state, "home"), 0700);
    assert_int_equal(symlink(nook_path(state, "home"), part), 0);
    check_unkept(cache, "is a link or a file, where a folder of kept runs should be");
    assert_int_equal(nook_file(path, sizeof path, nook_path(state, "home")), 0);
    unlink(part);
    rn_cache_close(cache);
}

static void a_full_disk(void **state)
{
    char path[1024];
    char identity[200];
    const char *folder = nook_path(state, "runs");
    rn_cache *cache = open_cache(folder);
    keep(cache, 1);
    nook_file(path, sizeof path, folder);
    unlink(path);
    const pid_t child = fork(); /* files of 100 bytes at most, as on a disk with no more room */
    if (child == 0) {
        const struct rlimit little = {100, 100};
        rn_error err = {0};
        const rn_outcome outcome = outcome_of(1);
        signal(SIGXFSZ, SIG_IGN);
        setrlimit(RLIMIT_FSIZE, &little);
        const rn_status status = rn_cache_keep(cache, identity_of(identity, 1), &outcome, &err);
        _exit(status == RN_E_FILE && strstr(err.message, "File too large") ? 0 : 1);
    }
    int status = -1;
    assert_true(waitpid(child, &status, 0) == child && WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    assert_int_equal(nook_file(path, sizeof path, folder), 0); /* nothing half written stays */
    assert_false(is_found(cache, 1));
    keep(cache, 1);
    assert_true(is_found(cache, 1));
    rn_cache_close(cache);
}

#define PROCESSES 4
#define NUMBERS 12

static void wait_for_all(const pid_t *children, int count)
{
    for (int i = 0; i < count; i++) {
        int status = -1;
        assert_true(waitpid(children[i], &status, 0) == children[i]);
        assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    }
}

/* Keeps and finds the same runs over and over; false where what is found is not what was kept. */
static bool go_round(const char *folder, int rounds)
{
    rn_cache *cache = open_cache(folder);
    bool right = true;
    for (int i = 0; i < rounds; i++) {
        char identity[200];
        const int number = (i * 7 + (int)getpid()) % NUMBERS;
        const rn_outcome outcome = outcome_of(number);
        rn_outcome found;
        rn_cache_keep(cache, identity_of(identity, number), &outcome, NULL);
        if (rn_cache_find(&found, cache, identity_of(identity, (number + 5) % NUMBERS)))
            right = right && found.duration == (number + 5) % NUMBERS;
    }
    rn_cache_close(cache);
    return right;
}

static void several_processes_at_once(void **state)
{
    char path[1024];
    pid_t children[PROCESSES];
    const char *folder = nook_path(state, "runs");
    for (int i = 0; i < PROCESSES; i++)
        if ((children[i] = fork()) == 0)
            _exit(go_round(folder, 60) ? 0 : 1);
    wait_for_all(children, PROCESSES);
    rn_cache *cache = open_cache(folder);
    for (int i = 0; i < NUMBERS; i++)
        assert_true(is_found(cache, i));
    assert_int_equal(nook_file(path, sizeof path, folder), NUMBERS);
    rn_cache_close(cache);
}

/* Somebody deletes the folder all the while. */
static void deleted_in_the_middle(void **state)
{
    pid_t children[2];
    char folder[1024];
    snprintf(folder, sizeof folder, "%s", nook_path(state, "runs"));
    for (int i = 0; i < 2; i++)
        if ((children[i] = fork()) == 0)
            _exit(go_round(folder, 100) ? 0 : 1);
    for (int i = 0; i < 25; i++) {
        void *copy = strdup(folder);
        nook_remove(&copy);
        stand_in_doze(2e-3);
    }
    wait_for_all(children, 2);
    rn_cache *cache = open_cache(folder);
    keep(cache, 3);
    assert_true(is_found(cache, 3));
    rn_cache_close(cache);
}

/* [freedesktop2021]: $XDG_CACHE_HOME where it is absolute, else ~/.cache. */
static void the_usual_folder(void **state)
{
    (void)state;
    char text[1200], cache_home[1024] = "", home[1024] = "";
    const bool had_cache_home = getenv("XDG_CACHE_HOME"), had_home = getenv("HOME");
    snprintf(cache_home, sizeof cache_home, "%s", had_cache_home ? getenv("XDG_CACHE_HOME") : "");
    snprintf(home, sizeof home, "%s", had_home ? getenv("HOME") : "");
    static const struct {
        const char *cache_home, *home, *folder;
    } cases[] = {
        {"/var/tmp/c", "/home/x", "/var/tmp/c/runnel"},
        {NULL, "/home/x", "/home/x/.cache/runnel"},
        {"", "/home/x", "/home/x/.cache/runnel"},
        {"relative", "/home/x", "/home/x/.cache/runnel"},
        {NULL, NULL, NULL},
        {NULL, "", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        rn_cache *cache = NULL;
        rn_error err = {0};
        unsetenv("XDG_CACHE_HOME");
        unsetenv("HOME");
        if (cases[i].cache_home)
            setenv("XDG_CACHE_HOME", cases[i].cache_home, 1);
        if (cases[i].home)
            setenv("HOME", cases[i].home, 1);
        const rn_status status = rn_cache_open(&cache, NULL, &err);
        rn_error_text(&err, text, sizeof text);
        assert_int_equal(status, cases[i].folder ? RN_OK : RN_E_FILE);
        if (cases[i].folder)
            assert_string_equal(rn_cache_folder(cache), cases[i].folder);
        else
            assert_non_null(strstr(text, "neither HOME nor XDG_CACHE_HOME is set"));
        rn_cache_close(cache);
    }
    unsetenv("XDG_CACHE_HOME");
    if (had_cache_home)
        setenv("XDG_CACHE_HOME", cache_home, 1);
    if (had_home)
        setenv("HOME", home, 1);
}

static void folders_that_are_none(void **state)
{
    (void)state;
    rn_cache *cache = NULL;
    rn_error err = {0};
    check_status(rn_cache_open(&cache, "", &err), RN_E_FILE, &err);
    assert_string_equal(err.message, "the folder to keep runs in needs a name");
    char *path = malloc(6000);
    memset(path, 'a', 5999);
    path[5999] = '\0';
    err = (rn_error){0};
    check_status(rn_cache_open(&cache, path, &err), RN_E_FILE, &err);
    assert_non_null(strstr(err.message, "is too long"));
    path[4090] = '\0'; /* fits by itself, but not with a run's name */
    check_ok(rn_cache_open(&cache, path, &err), &err);
    check_unkept(cache, "is too long");
    assert_false(is_found(cache, 1));
    rn_cache_close(cache);
    free(path);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, nook_make, nook_remove)
    const struct CMUnitTest tests[] = {
        TEST(what_is_kept_is_found),
        TEST(only_whole_and_decided_runs_are_kept),
        TEST(damaged_files_are_not_found),
        TEST(a_file_of_another_run_is_not_found),
        TEST(what_an_older_program_kept_is_not_found),
        TEST(the_whole_identity_counts),
        TEST(where_nothing_can_be_written),
        TEST(links_and_pipes_are_not_followed),
        TEST(a_full_disk),
        TEST(several_processes_at_once),
        TEST(deleted_in_the_middle),
        TEST(the_usual_folder),
        TEST(folders_that_are_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
