/* Ctrl-C while a forecast runs, and the line of progress on a terminal. */
#define _XOPEN_SOURCE 700 /* pseudo-terminals */

#include "check.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <string.h>
#include <sys/resource.h>
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

/* A job's end, a terminal that is closed: the same as Ctrl-C, and no signal kills what is being written. */
static void other_signals_end_it_alike(void **state)
{
    static const int signals[] = {SIGTERM, SIGHUP};
    for (size_t i = 0; i < sizeof signals / sizeof signals[0]; i++) {
        const char *const arguments[] = {
            "forecast", PLAN, "-g256", "--set=end=24h", "--json", "-o", shell_path(state, "out")};
        shell_run_signalled(&s, signals[i], 0, arguments);
        assert_true(s.signal_back);
        assert_int_equal(s.exit, RN_EXIT_STOPPED);
        shell_says(s.err, "runnel forecast: stopped at ");
        assert_string_equal(json_text(s.out, "complete"), "false");
        assert_int_equal(shell_count(shell_path(state, "out")), 5);
        const char *const search[] = {"window", PLAN, "-qg64", "--every", "--afresh", "--cells=60", NULL};
        shell_run_signalled(&s, signals[i], 0, search);
        assert_true(s.signal_back);
        assert_int_equal(s.exit, RN_EXIT_STOPPED);
        shell_says(s.err, "stopped by hand");
    }
}

/* The system's limit of a file's size is an error like a full disk (setrlimit, POSIX.1-2017: a write beyond it fails with EFBIG
   where SIGXFSZ is ignored). */
static void a_file_that_may_not_grow_leaves_nothing(void **state)
{
    struct rlimit kept, little;
    getrlimit(RLIMIT_FSIZE, &kept);
    little = kept;
    little.rlim_cur = 4096;
    signal(SIGXFSZ, SIG_DFL);
    setrlimit(RLIMIT_FSIZE, &little);
    shell_run(&s, "forecast", PLAN, "-qg64", "--until=1s", "--field", shell_path(state, "film.npy"), NULL);
    setrlimit(RLIMIT_FSIZE, &kept);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "film.npy: cannot be written: File too large\n");
    assert_int_equal(shell_count(*state), 1); /* the plan */
    struct sigaction after;
    sigaction(SIGXFSZ, NULL, &after);
    assert_ptr_equal(after.sa_handler, SIG_DFL);
}

/* What a terminal was sent, gathered while it is written, as a terminal holds only so much. */
typedef struct terminal {
    int handle;
    const char *awaited; /* on seeing these words Ctrl-C is sent; NULL: never */
    bool seen;
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
        t->shown[t->length] = '\0';
        if (t->awaited && !t->seen && strstr(t->shown, t->awaited)) {
            t->seen = true;
            kill(getpid(), SIGINT);
        }
        if (t->length >= 3 && strncmp(t->shown + t->length - 3, "end", 3) == 0)
            break;
    }
    return NULL;
}

/* Runs "forecast PLAN ..." with its words on a terminal and its report in the folder, as "report"; -1 where there are no
   terminals. */
static int run_on_terminal(terminal *t, void **state, const char *awaited, const char *const options[])
{
    pthread_t reader;
    char name[] = "runnel", command[] = "forecast", copies[12][1200];
    char *argv[16] = {name, command};
    int argc = 2;
    *t = (terminal){.handle = posix_openpt(O_RDWR | O_NOCTTY), .awaited = awaited};
    if (t->handle < 0 || grantpt(t->handle) || unlockpt(t->handle))
        return -1;
    FILE *err = fdopen(open(ptsname(t->handle), O_RDWR | O_NOCTTY), "w");
    FILE *out = fopen(shell_path(state, "report"), "w");
    assert_true(err && out);
    snprintf(copies[0], sizeof copies[0], "%s", PLAN);
    for (int i = 0; i == 0 || options[i - 1]; i++) {
        if (i > 0)
            snprintf(copies[i], sizeof copies[i], "%s", options[i - 1]);
        argv[argc++] = copies[i];
    }
    pthread_create(&reader, NULL, gather, t);
    const int status = rn_cli(argc, argv, out, err);
    fputs("end", err);
    fflush(err);
    pthread_join(reader, NULL);
    fclose(err);
    fclose(out);
    close(t->handle);
    return status;
}

/* On a terminal a line is drawn over itself, and wiped at the end (ECMA-48: CSI K erases to the end of the line). */
static void progress_is_one_line_and_goes_away(void **state)
{
    static terminal t;
    static const char *const options[] = {"-g128", "--until=20s", NULL};
    const int status = run_on_terminal(&t, state, NULL, options);
    if (status < 0)
        skip();
    assert_int_equal(status, RN_EXIT_DONE);
    assert_null(strchr(t.shown, '\n'));
    if (t.length == 3)
        skip(); /* so fast a machine that no line was due */
    assert_non_null(strstr(t.shown, " s of 20 s worked out, "));
    assert_string_equal(t.shown + t.length - 7, "\r\033[Kend");
}

/* Ctrl-C comes while the layers are traced, or in the middle of what is drawn from them: the film is told, and nothing that
   needs the layers is written. */
static void stopped_at(void **state, const char *words, const char *option, const char *left_out)
{
    static terminal t;
    char file[1200];
    size_t size;
    snprintf(file, sizeof file, "%s=%s/%s", option ? option : "", (const char *)*state, left_out ? left_out : "");
    const bool traced = strcmp(words, "tracing the layers") == 0;
    const char *const options[] = {
        "-g64", "--until=4s", "--points=2048", traced ? "--layers" : "--size=2400", left_out ? file : "--json", NULL};
    const int status = run_on_terminal(&t, state, words, options);
    if (status < 0)
        skip();
    if (!t.seen)
        fail_msg("'%s' was never on the terminal:\n%s", words, t.shown);
    assert_int_equal(status, RN_EXIT_STOPPED);
    assert_non_null(strstr(t.shown, "stopped by hand"));
    if (left_out) {
        assert_non_null(strstr(t.shown, left_out));
        assert_non_null(strstr(t.shown, " is not drawn"));
    }
    assert_int_equal(shell_count(*state), 2); /* the plan and the report */
    char *report = shell_read(shell_path(state, "report"), &size);
    shell_says(report, left_out ? "Not covered" : "\"complete\": true");
    if (traced)
        assert_null(strstr(report, "stretch"));
    free(report);
}

static void a_stop_ends_tracing(void **state)
{
    stopped_at(state, "tracing the layers", NULL, NULL);
}

static void a_stop_while_tracing_draws_nothing(void **state)
{
    stopped_at(state, "tracing the layers", "--face", "face.png");
}

static void a_stop_ends_a_face(void **state)
{
    stopped_at(state, "drawing the face", "--face", "face.png");
}

static void a_stop_ends_moments(void **state)
{
    stopped_at(state, "drawing the moments", "--moments", "moments.png");
}

static void a_stop_ends_an_animation(void **state)
{
    stopped_at(state, "drawing the animation", "--animation", "pour.webp");
}

static void a_stop_ends_frames(void **state)
{
    stopped_at(state, "drawing the animation", "--frames", "frames");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, shell_make_pool, leave)
    const struct CMUnitTest tests[] = {
        TEST(a_stopped_forecast_keeps_what_there_is),
        TEST(a_stopped_check_judges_nothing),
        TEST(an_ignored_signal_stays_ignored),
        TEST(other_signals_end_it_alike),
        TEST(a_file_that_may_not_grow_leaves_nothing),
        TEST(a_stop_ends_tracing),
        TEST(a_stop_while_tracing_draws_nothing),
        TEST(a_stop_ends_a_face),
        TEST(a_stop_ends_moments),
        TEST(a_stop_ends_an_animation),
        TEST(a_stop_ends_frames),
        TEST(progress_is_one_line_and_goes_away),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
