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
    snprintf(said, sizeof said, "A bench was left at %s: Ctrl+R", at);
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

/* ---- files that are there already ---- */

static void write_file(const home *h, const char *name, const char *text)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", h->folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static const char *text_of(const home *h, const char *name)
{
    static char text[4096];
    char path[128];
    snprintf(path, sizeof path, "%s/%s", h->folder, name);
    FILE *file = fopen(path, "r");
    text[0] = '\0';
    if (!file)
        return NULL;
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    return text;
}

/* Types a path of the home into the field that asks for one. */
static void type_path(home *h, const char *name)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", h->folder, name);
    look(h);
    assert_int_equal(h->view->cover, COVER_PATH);
    hand_type(&h->hand, path);
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
}

#define BODY                                                                                                           \
    "plan: 1\ntitle: \"Ebb # 2\"\npanel: {size: 12 in x 12 in}\npaints: {slate: {viscosity: 1 Pa s}}\n"                \
    "base: [{paint: slate, depth: 0.5 mm}]\n"

static void open_plan(home *h, const char *name)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", h->folder, name);
    app_open(h->app, path);
    look(h);
    assert_int_equal(h->view->cover, COVER_NONE);
}

static void another_file_is_not_written_over_unasked(void **state)
{
    home *h = *state;
    write_file(h, "other.yaml", "mine\n");
    begin(h);
    app_open(h->app, PRESET);
    hand_key(&h->hand, 's', MOD_CTRL | MOD_SHIFT);
    type_path(h, "other.yaml");
    assert_int_equal(h->view->cover, COVER_REPLACE);
    assert_string_equal(text_of(h, "other.yaml"), "mine\n");

    hand_type(&h->hand, "x"); /* no field is open */
    hand_key(&h->hand, KEY_ESCAPE, 0);
    look(h);
    assert_int_equal(h->view->cover, COVER_PATH); /* another name: the one that was typed can be changed */
    assert_non_null(strstr(h->view->typing.text, "other.yaml"));
    type_path(h, "new.yaml");
    assert_int_equal(h->view->cover, COVER_NONE);
    assert_non_null(strstr(text_of(h, "new.yaml"), "paints:"));
    assert_string_equal(text_of(h, "other.yaml"), "mine\n");

    hand_key(&h->hand, 's', MOD_CTRL | MOD_SHIFT);
    type_path(h, "new.yaml"); /* the one that is on the bench: nothing to ask */
    assert_int_equal(h->view->cover, COVER_NONE);

    hand_key(&h->hand, 's', MOD_CTRL | MOD_SHIFT);
    type_path(h, "other.yaml");
    rn_box box;
    assert_true(hand_find(&box, &h->hand, PART_CHOICE, 1, 0));
    hand_press(&h->hand, PART_CHOICE, 0, 0); /* replace it */
    look(h);
    assert_int_equal(h->view->cover, COVER_NONE);
    assert_non_null(strstr(text_of(h, "other.yaml"), "paints:"));
    assert_non_null(strstr(document_path(h->view->doc), "other.yaml"));
}

static void a_picture_is_not_drawn_over_another_unasked(void **state)
{
    home *h = *state;
    write_file(h, "face.png", "mine\n");
    begin(h);
    app_open(h->app, PRESET);
    hand_key(&h->hand, 'e', MOD_CTRL);
    type_path(h, "face.png");
    assert_int_equal(h->view->cover, COVER_REPLACE);
    hand_key(&h->hand, KEY_ESCAPE, 0);
    hand_key(&h->hand, KEY_ESCAPE, 0); /* nor any other */
    look(h);
    assert_int_equal(h->view->cover, COVER_NONE);
    assert_string_equal(text_of(h, "face.png"), "mine\n");
    hand_key(&h->hand, 'e', MOD_CTRL);
    type_path(h, "face.png");
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_memory_equal(text_of(h, "face.png"), "\x89PNG", 4);
    write_file(h, "plan.yaml", "mine\n");
    hand_key(&h->hand, 'e', MOD_CTRL);
    type_path(h, "plan.yaml"); /* no name for a picture: it stays in the field, to be changed */
    assert_int_equal(h->view->cover, COVER_PATH);
    assert_non_null(strstr(h->view->typing.trouble, ".png, .pdf or .svg"));
    assert_non_null(strstr(h->view->typing.text, "plan.yaml"));
    assert_string_equal(text_of(h, "plan.yaml"), "mine\n");
    hand_type(&h->hand, ".PDF");
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_int_equal(h->view->cover, COVER_NONE);
    assert_memory_equal(text_of(h, "plan.yaml.PDF"), "%PDF", 4);
}

/* A picture that cannot be written whole leaves what was there as it was, and its name in the field. */
static void a_name_that_cannot_be_written_stays_in_the_field(void **state)
{
    home *h = *state;
    begin(h);
    app_open(h->app, PRESET);
    hand_key(&h->hand, 'e', MOD_CTRL);
    type_path(h, "nowhere/face.png");
    assert_int_equal(h->view->cover, COVER_PATH);
    assert_non_null(strstr(h->view->typing.text, "nowhere/face.png"));
    assert_true(h->view->typing.trouble[0]);
    hand_key(&h->hand, KEY_ESCAPE, 0);
    hand_key(&h->hand, 'n', 0);
    hand_key(&h->hand, KEY_ESCAPE, 0);
    hand_key(&h->hand, 'q', MOD_CTRL);
    hand_key(&h->hand, KEY_ENTER, 0); /* saved first: the preset itself must stay */
    h->view->errand = (rv_errand_slip){.what = ERRAND_SAVE_AS};
    type_path(h, "nowhere/plan.yaml");
    assert_int_equal(h->view->cover, COVER_PATH);
    assert_non_null(strstr(h->view->typing.trouble, "no such folder"));
    assert_false(app_leaves(h->app));
    hand_key(&h->hand, 'a', MOD_CTRL);
    type_path(h, "plan.yaml");
    look(h);
    assert_true(app_leaves(h->app)); /* which waited for it */
    assert_non_null(text_of(h, "plan.yaml"));
}

/* ---- names that are proposed ---- */

/* What the field holds once it has been asked for. */
static const char *proposed(home *h, int key, unsigned mods)
{
    hand_key(&h->hand, key, mods);
    look(h);
    assert_int_equal(h->view->cover, COVER_PATH);
    return h->view->typing.text;
}

static void a_picture_gets_a_fresh_name_beside_the_plan(void **state)
{
    home *h = *state;
    write_file(h, "ebb.yaml", BODY);
    begin(h);
    open_plan(h, "ebb.yaml");
    assert_string_equal(proposed(h, 'e', MOD_CTRL), "ebb.png");
    assert_string_equal(h->view->folder, h->folder);
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_int_equal(h->view->cover, COVER_NONE);
    assert_memory_equal(text_of(h, "ebb.png"), "\x89PNG", 4);
    assert_string_equal(proposed(h, 'e', MOD_CTRL), "ebb-2.png"); /* that one is free */
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_non_null(text_of(h, "ebb-2.png"));
    assert_string_equal(text_of(h, "ebb.yaml"), BODY);
}

/* Whatever is drawn to be printed has the cautions at its foot, below all of the window. */
static void a_picture_has_the_cautions_at_its_foot(void **state)
{
    home *h = *state;
    char path[128];
    begin(h);
    app_open(h->app, PRESET);
    hand_key(&h->hand, 'e', MOD_CTRL);
    type_path(h, "face.png");
    snprintf(path, sizeof path, "%s/face.png", h->folder);
    cairo_surface_t *image = cairo_image_surface_create_from_png(path);
    const int width = cairo_image_surface_get_width(image), height = cairo_image_surface_get_height(image);
    assert_int_equal(width, 2 * h->view->width);
    assert_true(height > 2 * h->view->height + 30);
    const int stride = cairo_image_surface_get_stride(image);
    const unsigned char *pixels = cairo_image_surface_get_data(image);
    int first = width, last = 0;
    for (int y = 2 * h->view->height; y < height; y++)
        for (int x = 0; x < width; x++)
            if (memcmp(pixels + (long)y * stride + 4 * x, pixels + (long)(height - 1) * stride, 3) != 0) {
                first = x < first ? x : first;
                last = x > last ? x : last;
            }
    assert_true(first < width / 10 && last > width / 2); /* a line of words */
    cairo_surface_destroy(image);
}

static void a_new_plan_gets_a_name_and_its_folder_is_shown(void **state)
{
    home *h = *state;
    char here[4096], *away = realpath(h->folder, NULL), *top = getcwd(here, sizeof here);
    assert_non_null(top);
    begin(h);
    hand_key(&h->hand, 'n', 0);
    hand_key(&h->hand, KEY_ESCAPE, 0);
    assert_int_equal(chdir(h->folder), 0);
    write_file(h, "new-plan.yaml", "mine\n");
    const char *name = proposed(h, 's', MOD_CTRL);
    assert_string_equal(name, "new-plan-2.yaml");
    assert_string_equal(h->view->folder, away);
    hand_type(&h->hand, "mine"); /* as it is called then */
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_int_equal(chdir(top), 0);
    assert_non_null(text_of(h, "mine.yaml"));
    assert_null(text_of(h, "mine"));
    assert_string_equal(text_of(h, "new-plan.yaml"), "mine\n");
    assert_non_null(strstr(h->view->message, "/mine.yaml"));
    assert_string_equal(h->view->message + strlen("Saved: "), document_path(h->view->doc));

    write_file(h, "other.yaml", "mine\n"); /* a typed name goes beside the plan, and is asked about as it will be */
    proposed(h, 's', MOD_CTRL | MOD_SHIFT);
    hand_type(&h->hand, "other");
    hand_key(&h->hand, KEY_ENTER, 0);
    look(h);
    assert_int_equal(h->view->cover, COVER_REPLACE);
    assert_string_equal(h->view->typing.text, "other.yaml");
    assert_string_equal(text_of(h, "other.yaml"), "mine\n");
    free(away);
}

/* ---- the plan's own file ---- */

/* In another spelling, through a link, as a second name of the file, chosen in the desktop's dialog: it is the plan. */
static void no_picture_is_drawn_over_the_plan(void **state)
{
    home *h = *state;
    char path[128], other[128];
    write_file(h, "ebb.yaml", BODY);
    snprintf(path, sizeof path, "%s/ebb.yaml", h->folder);
    snprintf(other, sizeof other, "%s/link.png", h->folder);
    assert_int_equal(symlink("ebb.yaml", other), 0);
    snprintf(other, sizeof other, "%s/second.png", h->folder);
    assert_int_equal(link(path, other), 0);
    begin(h);
    open_plan(h, "ebb.yaml");
    static const char *const names[] = {"ebb.yaml", "./ebb.yaml", "link.png", "second.png"};
    for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
        hand_key(&h->hand, 'e', MOD_CTRL);
        type_path(h, names[k]);
        assert_int_equal(h->view->cover, COVER_PATH);
        assert_non_null(strstr(h->view->typing.trouble, "the plan itself"));
        hand_key(&h->hand, KEY_ENTER, 0); /* nor if it is insisted on */
        look(h);
        assert_int_equal(h->view->cover, COVER_PATH);
        hand_key(&h->hand, KEY_ESCAPE, 0);
        snprintf(other, sizeof other, "%s/%s", h->folder, names[k]);
        view_take_path(h->view, ERRAND_PICTURE, other);
        look(h);
        assert_int_equal(h->view->cover, COVER_PATH);
        hand_key(&h->hand, KEY_ESCAPE, 0);
        h->view->errand = (rv_errand_slip){.what = ERRAND_PICTURE};
        snprintf(h->view->errand.path, sizeof h->view->errand.path, "%s", other);
        look(h);
        assert_int_equal(h->view->cover, COVER_PATH);
        hand_key(&h->hand, KEY_ESCAPE, 0);
        assert_string_equal(text_of(h, "ebb.yaml"), BODY);
    }
}

/* A link where the old text would be kept leads to something else, or back to the plan. */
static void the_old_text_is_not_kept_through_a_link(void **state)
{
    home *h = *state;
    char aside[128];
    static const char *const leads[] = {"ebb.yaml", "other.txt"};
    snprintf(aside, sizeof aside, "%s/ebb.yaml~", h->folder);
    for (size_t k = 0; k < 2; k++) {
        write_file(h, "ebb.yaml", "# the tray leaks\n" BODY);
        write_file(h, "other.txt", "mine\n");
        assert_int_equal(symlink(leads[k], aside), 0);
        begin(h);
        open_plan(h, "ebb.yaml");
        hand_key(&h->hand, 'n', 0);
        hand_key(&h->hand, KEY_ESCAPE, 0);
        hand_key(&h->hand, 's', MOD_CTRL);
        look(h);
        assert_true(h->view->message_bad);
        assert_string_equal(text_of(h, "ebb.yaml"), "# the tray leaks\n" BODY);
        assert_string_equal(text_of(h, "other.txt"), "mine\n");
        end(h);
        recovery_drop();
        assert_int_equal(unlink(aside), 0);
    }
}

/* What waits for the saving goes on waiting while it is asked. */
static void leaving_waits_for_the_other_name(void **state)
{
    home *h = *state;
    write_file(h, "other.yaml", "mine\n");
    begin(h);
    look(h);
    hand_key(&h->hand, 'n', 0);
    hand_key(&h->hand, 'q', MOD_CTRL);
    hand_key(&h->hand, 's', 0);
    type_path(h, "other.yaml");
    assert_int_equal(h->view->cover, COVER_REPLACE);
    assert_false(app_leaves(h->app));
    hand_key(&h->hand, KEY_ESCAPE, 0);
    type_path(h, "new.yaml");
    look(h);
    assert_true(app_leaves(h->app));
    assert_string_equal(text_of(h, "other.yaml"), "mine\n");
    assert_non_null(text_of(h, "new.yaml"));
}

/* ---- what a person wrote ---- */

static void change_and_save(home *h)
{
    hand_key(&h->hand, 'n', 0);
    hand_key(&h->hand, KEY_ESCAPE, 0);
    hand_key(&h->hand, 's', MOD_CTRL);
    look(h);
    assert_false(h->view->message_bad);
    assert_false(document_changed(h->view->doc));
}

static void comments_are_kept_beside_the_first_save(void **state)
{
    static const char wrote[] = "# the tray leaks\n" BODY;
    home *h = *state;
    write_file(h, "ebb.yaml", wrote);
    char path[128];
    struct stat status;
    snprintf(path, sizeof path, "%s/ebb.yaml", h->folder);
    assert_int_equal(chmod(path, 0600), 0);
    begin(h);
    open_plan(h, "ebb.yaml");
    assert_null(text_of(h, "ebb.yaml~")); /* opening writes nothing */
    assert_int_equal(document_wording(h->view->doc), WORDING_COMMENTED);
    change_and_save(h);
    assert_int_equal(document_wording(h->view->doc), WORDING_OWN);
    assert_string_equal(h->view->message, "Saved: ebb.yaml, written anew: its comments are in ebb.yaml~");
    assert_string_equal(text_of(h, "ebb.yaml~"), wrote);
    assert_null(strstr(text_of(h, "ebb.yaml"), "leaks"));
    strcat(path, "~");
    assert_int_equal(stat(path, &status), 0);
    assert_int_equal(status.st_mode & 07777, 0600); /* no more eyes than before */

    change_and_save(h); /* said once, and kept as it is */
    assert_memory_equal(h->view->message, "Saved: /", 8);
    assert_string_equal(text_of(h, "ebb.yaml~"), wrote);
    open_plan(h, "ebb.yaml"); /* the program's own words by now */
    change_and_save(h);
    assert_memory_equal(h->view->message, "Saved: /", 8);
    assert_string_equal(text_of(h, "ebb.yaml~"), wrote);
}

static void other_wording_is_kept_too(void **state)
{
    home *h = *state;
    write_file(h, "ebb.yaml", BODY); /* the sign in its title begins no comment */
    begin(h);
    open_plan(h, "ebb.yaml");
    change_and_save(h);
    assert_string_equal(h->view->message, "Saved: ebb.yaml, written anew: as it was worded it is in ebb.yaml~");
    assert_string_equal(text_of(h, "ebb.yaml~"), BODY);
}

/* Put right by another program meanwhile: what is written over is what is kept. */
static void what_is_kept_is_what_is_written_over(void **state)
{
    home *h = *state;
    write_file(h, "ebb.yaml", BODY);
    begin(h);
    open_plan(h, "ebb.yaml");
    write_file(h, "ebb.yaml", BODY "# two coats\n");
    change_and_save(h);
    assert_string_equal(h->view->message, "Saved: ebb.yaml, written anew: its comments are in ebb.yaml~");
    assert_string_equal(text_of(h, "ebb.yaml~"), BODY "# two coats\n");
}

static void saved_elsewhere_the_opened_file_stays(void **state)
{
    home *h = *state;
    write_file(h, "ebb.yaml", BODY "# two coats\n");
    begin(h);
    open_plan(h, "ebb.yaml");
    hand_key(&h->hand, 's', MOD_CTRL | MOD_SHIFT);
    type_path(h, "flood.yaml");
    assert_memory_equal(h->view->message, "Saved: /", 8);
    change_and_save(h);
    assert_null(text_of(h, "flood.yaml~"));
    assert_null(text_of(h, "ebb.yaml~"));
    assert_string_equal(text_of(h, "ebb.yaml"), BODY "# two coats\n");
    open_plan(h, "ebb.yaml");
    hand_key(&h->hand, 's', MOD_CTRL | MOD_SHIFT);
    type_path(h, "./ebb.yaml"); /* the same by another name */
    assert_non_null(strstr(h->view->message, "its comments are in ebb.yaml~"));
    assert_string_equal(text_of(h, "ebb.yaml~"), BODY "# two coats\n");
}

/* Where the old text cannot be kept the file is left as it is. */
static void without_a_place_for_the_old_text_nothing_is_written(void **state)
{
    home *h = *state;
    char path[128];
    write_file(h, "ebb.yaml", "# the tray leaks\n" BODY);
    snprintf(path, sizeof path, "%s/ebb.yaml~", h->folder);
    assert_int_equal(mkdir(path, 0700), 0);
    begin(h);
    open_plan(h, "ebb.yaml");
    hand_key(&h->hand, 'n', 0);
    hand_key(&h->hand, 's', MOD_CTRL);
    look(h);
    assert_true(h->view->message_bad);
    assert_non_null(strstr(h->view->message, "ebb.yaml~"));
    assert_true(document_changed(h->view->doc));
    assert_string_equal(text_of(h, "ebb.yaml"), "# the tray leaks\n" BODY);
}

int main(void)
{
#define AT_HOME(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT_HOME(begun_with_a_plan_it_says_that_a_bench_was_left),
        AT_HOME(nothing_is_said_where_none_was_left),
        AT_HOME(another_file_is_not_written_over_unasked),
        AT_HOME(a_picture_is_not_drawn_over_another_unasked),
        AT_HOME(a_name_that_cannot_be_written_stays_in_the_field),
        AT_HOME(a_picture_gets_a_fresh_name_beside_the_plan),
        AT_HOME(a_picture_has_the_cautions_at_its_foot),
        AT_HOME(a_new_plan_gets_a_name_and_its_folder_is_shown),
        AT_HOME(no_picture_is_drawn_over_the_plan),
        AT_HOME(the_old_text_is_not_kept_through_a_link),
        AT_HOME(leaving_waits_for_the_other_name),
        AT_HOME(comments_are_kept_beside_the_first_save),
        AT_HOME(other_wording_is_kept_too),
        AT_HOME(what_is_kept_is_what_is_written_over),
        AT_HOME(saved_elsewhere_the_opened_file_stays),
        AT_HOME(without_a_place_for_the_old_text_nothing_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
