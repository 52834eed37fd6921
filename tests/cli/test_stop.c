/* Ctrl-C while a forecast runs, and the line of progress on a terminal. */
#define _XOPEN_SOURCE 700 /* pseudo-terminals */

#include "check.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

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

static void a_stopped_forecast_keeps_what_there_is(void **state)
{
    size_t size;
    const char *const arguments[] = {
        "forecast", PLAN, "-g256", "--set=end=24h", "--json", "-o", shell_path(state, "out")};
    shell_run_interrupted(&s, 0, arguments);
    assert_true(s.signal_back);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_non_null(strstr(s.err, "runnel forecast: stopped at "));
    assert_non_null(strstr(s.err, " s by hand, of 86400 s"));
    assert_string_equal(json_text(s.out, "complete"), "false");
    check_at_most(json_number(s.out, "duration_s"), 86000);
    check_at_most(json_number(s.out, "balance_error"), 1e-10);
    assert_int_equal(shell_count(shell_path(state, "out")), 5);
    char *text = shell_read(shell_path(state, "out/forecast.txt"), &size);
    assert_non_null(strstr(text, "topped"));
    free(text);
}

static void a_stopped_check_judges_nothing(void **state)
{
    const char *const arguments[] = {"check", PLAN, "-g256", "--set=end=24h", PLAN, NULL, NULL};
    shell_run_interrupted(&s, 0, arguments);
    assert_true(s.signal_back);
    assert_int_equal(s.exit, RN_EXIT_STOPPED);
    assert_non_null(strstr(s.out, "not judged: the forecast stopped before the end"));
    assert_non_null(strstr(s.err, "stopped by hand in "));
    const char *first = strstr(s.out, ": 0 of 2 met\n");
    assert_non_null(first);
    assert_null(strstr(first + 1, ": 0 of 2 met\n")); /* the second plan is not begun */
}

/* A job in the background ignores SIGINT, and so does its forecast. */
static void an_ignored_signal_stays_ignored(void **state)
{
    signal(SIGINT, SIG_IGN);
    shell_run(&s, "forecast", PLAN, "-qg64", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    struct sigaction after;
    sigaction(SIGINT, NULL, &after);
    assert_ptr_equal(after.sa_handler, SIG_IGN);
    signal(SIGINT, SIG_DFL);
}

/* What a terminal was sent, gathered while it is written, as a terminal holds only so much. */
typedef struct terminal {
    int handle;
    size_t length;
    char shown[200000];
} terminal;

static void *gather(void *context)
{
    terminal *t = context;
    while (t->length < sizeof t->shown - 1) {
        const ssize_t got = read(t->handle, t->shown + t->length, sizeof t->shown - 1 - t->length);
        if (got <= 0)
            break;
        t->length += (size_t)got;
        if (t->length >= 3 && strncmp(t->shown + t->length - 3, "end", 3) == 0)
            break;
    }
    t->shown[t->length] = '\0';
    return NULL;
}

/* On a terminal a line is drawn over itself, and wiped at the end (ECMA-48: CSI K erases to the end of the line). */
static void progress_is_one_line_and_goes_away(void **state)
{
    pthread_t reader;
    static terminal t;
    t = (terminal){.handle = posix_openpt(O_RDWR | O_NOCTTY)};
    if (t.handle < 0 || grantpt(t.handle) || unlockpt(t.handle))
        skip();
    FILE *err = fdopen(open(ptsname(t.handle), O_RDWR | O_NOCTTY), "w");
    FILE *out = fopen("/dev/null", "w");
    assert_true(err && out);
    char plan[1200], name[] = "runnel", command[] = "forecast", grid[] = "-g128", until[] = "--until=20s";
    char *argv[] = {name, command, plan, grid, until, NULL};
    snprintf(plan, sizeof plan, "%s", PLAN);
    pthread_create(&reader, NULL, gather, &t);
    assert_int_equal(rn_cli(5, argv, out, err), RN_EXIT_DONE);
    fputs("end", err);
    fflush(err);
    pthread_join(reader, NULL);
    fclose(err);
    fclose(out);
    close(t.handle);
    assert_null(strchr(t.shown, '\n'));
    if (t.length == 3)
        skip(); /* so fast a machine that no line was due */
    assert_non_null(strstr(t.shown, " s of 20 s worked out, "));
    assert_string_equal(t.shown + t.length - 7, "\r\033[Kend");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, shell_make_pool, leave)
    const struct CMUnitTest tests[] = {
        TEST(a_stopped_forecast_keeps_what_there_is),
        TEST(a_stopped_check_judges_nothing),
        TEST(an_ignored_signal_stays_ignored),
        TEST(progress_is_one_line_and_goes_away),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
