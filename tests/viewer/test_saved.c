/* What becomes of files: none is written over unasked, what a person wrote is kept beside what the program writes, and a
   bench left behind is spoken of. Each test has a folder of its own. */
#define _XOPEN_SOURCE 700

#include "check.h"

#include <ftw.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "app.h"
#include "base/text.h"
#include "hand.h"
#include "recovery.h"

#define PRESET "presets/small-study.yaml"

typedef struct home {
    char folder[64];
    rv_app *app;
    rv_view *view;
    painter hand;
} home;

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *walk)
{
    (void)status;
    (void)kind;
    (void)walk;
    return remove(path);
}

/* The program begins, on the smallest grids: nothing that is worked out matters here. */
static void begin(home *h)
{
    rv_app_options options = app_defaults();
    rn_error err = {0};
    options.cells = options.preview = 64;
    options.points = 64;
    options.threads = 1;
    options.asks = options.caches = false;
    check_ok(app_new(&h->app, options, &err), &err);
    h->view = app_view(h->app);
    h->hand = (painter){.view = h->view, .now = 1};
}

static void end(home *h)
{
    app_free(h->app);
    h->app = NULL;
}

/* A moment goes by: errands are run, a frame is drawn. */
static void look(home *h)
{
    static const rv_frame_check fresh;
    rv_frame_check check = fresh;
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    app_update(h->app);
    assert_true(app_draw(h->app, surface, &check));
    cairo_surface_destroy(surface);
    assert_int_equal(check.overlaps + check.outside, 0);
}

static int set_up(void **state)
{
    static home h;
    h = (home){.folder = "/tmp/runnel-saved-XXXXXX"};
    if (!mkdtemp(h.folder) || setenv("XDG_STATE_HOME", h.folder, 1) != 0)
        return -1;
    *state = &h;
    return 0;
}

static int tear_down(void **state)
{
    home *h = *state;
    if (h->app)
        end(h);
    return nftw(h->folder, remove_entry, 8, FTW_DEPTH | FTW_PHYS);
}

/* ---- a bench left behind ---- */

static void leave_a_bench(const char *title)
{
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        rn_plan *plan = NULL;
        rn_error err = {0};
        if (rn_plan_read_file(&plan, PRESET, &err) != RN_OK)
            _exit(1);
        snprintf(plan->title, sizeof plan->title, "%s", title);
        recovery_keep(plan, "");
        _exit(0); /* without a word of it: as if it were killed */
    }
    int how;
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_int_equal(how, 0);
}

static void begun_with_a_plan_it_says_that_a_bench_was_left(void **state)
{
    home *h = *state;
    leave_a_bench("Ebb");
    rv_left_bench left;
    assert_true(recovery_find(&left));
    char at[16], said[64];
    struct tm when;
    localtime_r(&left.when, &when);
    strftime(at, sizeof at, "%H:%M", &when);
    snprintf(said, sizeof said, "A bench was left at %s", at);
    recovery_clear(&left, false);

    begin(h);
    app_open(h->app, PRESET);
    look(h);
    assert_int_equal(h->view->cover, COVER_NONE);
    assert_memory_equal(h->view->message, said, strlen(said));
    hand_key(&h->hand, '2', 0);
    look(h);
    assert_string_equal(h->view->message, ""); /* said once */
    end(h);

    begin(h); /* it is still there, and offered where no plan is asked for */
    look(h);
    assert_int_equal(h->view->cover, COVER_RECOVER);
    assert_string_equal(h->view->message, "");
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_string_equal(document_plan(h->view->doc)->title, "Ebb");
    assert_null(strstr(h->view->message, "was left at"));
}

static void nothing_is_said_where_none_was_left(void **state)
{
    home *h = *state;
    begin(h);
    app_open(h->app, PRESET);
    look(h);
    assert_string_equal(h->view->message, "");
}

int main(void)
{
#define AT_HOME(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT_HOME(begun_with_a_plan_it_says_that_a_bench_was_left),
        AT_HOME(nothing_is_said_where_none_was_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
