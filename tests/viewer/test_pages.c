/* The pages beside the bench: what can be pressed on them, what their keys do, and that they tell the truth. */
#define _XOPEN_SOURCE 700 /* P_tmpdir */
#include "check.h"

#include <cairo.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "edit.h"
#include "hand.h"
#include "keys.h"
#include "side.h"
#include "staged.h"

static const char *const several =
    "plan: 1\npanel: {size: 12 in x 12 in, edges: cleen}\npaints:\n  slate: {colour: \"#2b3a55\"}\n"
    "  kelp: {colour: 1f7a5c}\npours:\n  - {stack: [slate 100 ml, kelp -20 ml]}\n";
static const char *const hopeless = "plan: 1\npanel: {size: 12 in x 12 in}\npaints:\n  slate: {colour: \"#2b3a55\"}\n"
                                    "pours:\n  - {stack: []}\n";
static const char *const right = "plan: 1\npanel: {size: 12 in x 12 in}\npaints:\n  slate: {colour: \"#2b3a55\"}\n"
                                 "pours:\n  - {stack: [slate 20 ml]}\n";

static void scratch_path(char path[400])
{
    const char *where = getenv("TMPDIR");
    snprintf(path, 400, "%s/runnel-pages-%ld.yaml", where ? where : P_tmpdir, (long)getpid());
}

static void write_scratch(const char *text)
{
    char path[400];
    scratch_path(path);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static void open_scratch(rv_view *view, const char *text)
{
    char path[400];
    scratch_path(path);
    write_scratch(text);
    view_open(view, path);
}

static rv_frame_check frame(staged *stage, int width, int height)
{
    stage->view->width = width;
    stage->view->height = height;
    rv_frame_check check = {0};
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    assert_true(canvas_frame(surface, stage->view, stage->shown, &check));
    cairo_surface_destroy(surface);
    return check;
}

static int count_parts(const rv_view *view, rv_part part)
{
    int count = 0;
    for (int k = 0; k < view->handles.count; k++)
        count += view->handles.list[k].what.part == part;
    return count;
}

/* ---- a plan that was not opened ---- */

static void mends_are_taken_one_by_one_or_all(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    open_scratch(stage.view, several);
    assert_int_equal(stage.view->cover, COVER_MEND);
    frame(&stage, 1280, 800);
    assert_int_equal(count_parts(stage.view, PART_MEND), 2);
    assert_int_equal(count_parts(stage.view, PART_CHOICE), 3);
    assert_int_equal(count_parts(stage.view, PART_TIME), 0); /* what lies under paper is out of reach */

    hand_key(&hand, '2', 0);
    assert_true(stage.view->mend.lines[1].taken);
    assert_int_equal(stage.view->cover, COVER_MEND);
    frame(&stage, 1280, 800);
    hand_press(&hand, PART_MEND, 0, 0); /* the last one opens the plan */
    assert_int_equal(stage.view->cover, COVER_NONE);
    check_within(document_plan(stage.view->doc)->pours[0].stack[1].volume, 20e-6, 1e-12);
    assert_true(document_changed(stage.view->doc));

    open_scratch(stage.view, several);
    hand_key(&hand, KEY_F1 + 3, 0);
    assert_int_equal(stage.view->cover, COVER_FILE);
    frame(&stage, 900, 600);
    hand_key(&hand, KEY_ESCAPE, 0);
    assert_int_equal(stage.view->cover, COVER_MEND);
    const long before = document_version(stage.view->doc);
    hand_key(&hand, KEY_ESCAPE, 0);
    assert_int_equal(stage.view->cover, COVER_NONE);
    assert_int_equal(document_version(stage.view->doc), before); /* the bench is kept */
    open_scratch(stage.view, several);
    hand_key(&hand, KEY_ENTER, 0);
    assert_int_equal(stage.view->cover, COVER_NONE);
    assert_true(document_version(stage.view->doc) > before);
    staged_clear(&stage);
}

static void what_cannot_be_mended_is_looked_at_again(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    open_scratch(stage.view, hopeless);
    assert_int_equal(stage.view->cover, COVER_MEND);
    assert_false(mend_whole(&stage.view->mend));
    frame(&stage, 1024, 768);
    assert_int_equal(count_parts(stage.view, PART_MEND), 0);
    hand_key(&hand, KEY_ENTER, 0);
    assert_int_equal(stage.view->cover, COVER_MEND);
    write_scratch(right);
    hand_key(&hand, KEY_ENTER, 0);
    assert_int_equal(stage.view->cover, COVER_NONE);
    assert_int_equal(document_plan(stage.view->doc)->pour_count, 1);
    staged_clear(&stage);
}

/* Every broken plan's page holds its words apart in the smallest window, and each error can be scrolled to. */
static void every_wrong_plan_has_a_page(void **state)
{
    (void)state;
    DIR *folder = opendir("tests/plans/wrong");
    assert_non_null(folder);
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    for (struct dirent *entry; (entry = readdir(folder));) {
        char path[400];
        if (!strstr(entry->d_name, ".yaml"))
            continue;
        snprintf(path, sizeof path, "tests/plans/wrong/%s", entry->d_name);
        view_open(stage.view, path);
        if (stage.view->cover == COVER_NONE) /* one that is only being made: a window takes those */
            continue;
        bool seen[MENDS_MOST] = {false};
        int most = 0;
        for (int scroll = 0; scroll <= most; scroll++) {
            const rv_frame_check check = frame(&stage, 900, 600);
            if (check.overlaps || check.outside)
                fail_msg("%s: %d too close, %d outside: %s", path, check.overlaps, check.outside, check.first);
            most = stage.view->handles.scroll_most;
            for (int k = 0; k < stage.view->handles.count; k++)
                if (stage.view->handles.list[k].what.part == PART_MEND)
                    seen[stage.view->handles.list[k].what.a] = true;
            hand_key(&hand, KEY_DOWN, 0);
        }
        assert_int_equal(stage.view->cover_scroll, most); /* no further than there is something to see */
        for (int k = 0; k < stage.view->mend.count && mend_whole(&stage.view->mend); k++)
            assert_true(seen[k]);
    }
    closedir(folder);
    staged_clear(&stage);
}

/* ---- slips that ask ---- */

static void leaving_asks_what_to_do_with_changes(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    open_scratch(stage.view, right);
    hand_key(&hand, 'q', MOD_CTRL);
    assert_int_equal(view_take_errand(stage.view).what, ERRAND_QUIT); /* nothing to lose */
    hand_key(&hand, 'n', 0);
    hand_key(&hand, 'q', MOD_CTRL);
    assert_int_equal(view_take_errand(stage.view).what, ERRAND_NONE);
    assert_int_equal(stage.view->cover, COVER_LEAVE);
    frame(&stage, 900, 600);
    assert_int_equal(count_parts(stage.view, PART_CHOICE), 3);
    hand_press(&hand, PART_CHOICE, 2, 0);
    assert_int_equal(stage.view->cover, COVER_NONE);
    assert_int_equal(view_take_errand(stage.view).what, ERRAND_NONE);
    hand_key(&hand, 'q', MOD_CTRL);
    hand_key(&hand, 'd', 0);
    assert_int_equal(view_take_errand(stage.view).what, ERRAND_QUIT);
    hand_key(&hand, 'q', MOD_CTRL);
    hand_key(&hand, KEY_ENTER, 0);
    const rv_errand_slip errand = view_take_errand(stage.view);
    assert_int_equal(errand.what, ERRAND_SAVE);
    assert_int_equal(stage.view->then.what, ERRAND_QUIT); /* and then leave */
    staged_clear(&stage);
}

static void a_path_is_typed_or_taken_from_the_last_ones(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    stage.view->recent_count = 2;
    snprintf(stage.view->recents[0], sizeof stage.view->recents[0], "plans/tide.yaml");
    snprintf(stage.view->recents[1], sizeof stage.view->recents[1], "plans/%0200d.yaml", 7);
    view_ask_path(stage.view, ERRAND_OPEN);
    frame(&stage, 900, 600);
    assert_int_equal(count_parts(stage.view, PART_FIELD), 1);
    assert_int_equal(count_parts(stage.view, PART_CHOICE), 4);
    hand_key(&hand, KEY_ENTER, 0); /* nothing is typed yet */
    assert_int_equal(stage.view->cover, COVER_PATH);
    assert_true(stage.view->typing.trouble[0]);
    hand_key(&hand, KEY_DOWN, 0);
    assert_string_equal(stage.view->typing.text, "plans/tide.yaml");
    hand_key(&hand, KEY_DOWN, 0);
    hand_key(&hand, KEY_DOWN, 0);
    assert_string_equal(stage.view->typing.text, stage.view->recents[1]);
    const rv_frame_check check = frame(&stage, 900, 600);
    assert_int_equal(check.overlaps + check.outside, 0);
    hand_press(&hand, PART_CHOICE, 2, 0);
    hand_type(&hand, "x");
    hand_key(&hand, KEY_ENTER, 0);
    const rv_errand_slip errand = view_take_errand(stage.view);
    assert_int_equal(errand.what, ERRAND_OPEN);
    assert_string_equal(errand.path, "plans/tide.yamlx");
    view_ask_path(stage.view, ERRAND_SAVE_AS); /* none of the last ones is offered to be written over */
    frame(&stage, 1280, 800);
    assert_int_equal(count_parts(stage.view, PART_CHOICE), 2);
    staged_clear(&stage);
}

/* ---- keys ---- */

static void the_table_of_keys_is_whole(void **state)
{
    (void)state;
    int count;
    const rv_keys_row *rows = keys_table(&count);
    assert_true(count > 40);
    for (int k = 0; k < count; k++) {
        assert_true(rows[k].what[0] && (rows[k].keys[0] || rows[k].mouse[0]));
        for (int i = 0; i < k; i++) {
            const bool same = !strcmp(rows[i].section, rows[k].section);
            assert_false(same && !strcmp(rows[i].what, rows[k].what));
            assert_false(same && strcmp(rows[k].section, rows[k - 1].section) != 0); /* sections stand together */
        }
    }
    char *text = keys_markdown();
    assert_non_null(text);
    for (int k = 0; k < count; k++)
        assert_non_null(strstr(text, rows[k].what));
    char page[32768];
    FILE *manual = fopen("docs/viewer.md", "r");
    assert_non_null(manual);
    page[fread(page, 1, sizeof page - 1, manual)] = '\0';
    fclose(manual);
    if (!strstr(page, text))
        fail_msg("docs/viewer.md has another table: runnel-view --keys prints this one");
    free(text);
}

/* Letters that the table promises, pressed: something of the view is different then. */
static void letters_of_the_table_do_something(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int key;
        unsigned mods;
    } promised[] = {{"Speed", ']', 0},
                    {"The panel turns, the reader stands", 'r', 0},
                    {"Light or dark room", 'l', 0},
                    {"Sheen of wet paint", 'g', 0},
                    {"ml or fl oz", 'u', 0},
                    {"Less motion", 'm', 0},
                    {"Base coat", 'k', 0},
                    {"Panel", 'p', 0},
                    {"New jar", 'n', 0},
                    {"Thin, usual, thick", 't', 0},
                    {"Bench, side by side, window", KEY_F1 + 5, 0},
                    {"All keys", KEY_F1, 0},
                    {"Face, depth … section", '4', 0},
                    {"Several at once", '4', MOD_CTRL},
                    {"Peel", '=', 0},
                    {"Ends of the section", 'b', 0},
                    {"Least wanted", 'd', 0},
                    {"Copy of the plan beside it", 'd', MOD_CTRL},
                    {"Beginning, end", KEY_END, 0},
                    {"Pour or hold", KEY_SPACE, 0},
                    {"Open", 'o', MOD_CTRL},
                    {"Save; save elsewhere", 's', MOD_CTRL},
                    {"Picture of what is shown", 'e', MOD_CTRL},
                    {"An empty bench", 'n', MOD_CTRL},
                    {"Leave", 'q', MOD_CTRL}};
    int count;
    const rv_keys_row *rows = keys_table(&count);
    for (size_t p = 0; p < sizeof promised / sizeof *promised; p++) {
        bool listed = false;
        for (int k = 0; k < count; k++)
            listed = listed || !strcmp(rows[k].what, promised[p].what);
        if (!listed)
            fail_msg("'%s' is not in the table", promised[p].what);
        rv_view *view = view_new();
        painter hand = {.view = view};
        view_open(view, "presets/tide-table.yaml");
        rv_view *before = malloc(sizeof *before);
        assert_non_null(before);
        memcpy(before, view, sizeof *before);
        const long version = document_version(view->doc);
        hand_key(&hand, promised[p].key, promised[p].mods);
        before->now = view->now; /* these go with any key */
        before->keyed = view->keyed;
        before->joined = view->joined;
        if (!memcmp(before, view, sizeof *view) && document_version(view->doc) == version)
            fail_msg("'%s': its key does nothing", promised[p].what);
        free(before);
        view_free(view);
    }
}

static void all_keys_can_be_scrolled_to_the_end(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    hand_key(&hand, KEY_F1, 0);
    frame(&stage, 900, 600);
    assert_true(stage.view->handles.scroll_most > 0);
    for (int k = 0; k < 200; k++)
        hand_key(&hand, KEY_DOWN, 0);
    assert_int_equal(stage.view->cover_scroll, stage.view->handles.scroll_most);
    frame(&stage, 1920, 1080);
    assert_int_equal(stage.view->handles.scroll_most, 0); /* there all of them have room */
    hand_key(&hand, KEY_ESCAPE, 0);
    assert_int_equal(stage.view->cover, COVER_NONE);
    staged_clear(&stage);
}

/* ---- an empty bench ---- */

static void an_empty_bench_offers_what_to_begin_from(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    stage.view->start_count = 2;
    snprintf(stage.view->starts[0].title, sizeof stage.view->starts[0].title, "Ring");
    snprintf(stage.view->starts[1].title, sizeof stage.view->starts[1].title, "Cups");
    frame(&stage, 1280, 800);
    assert_int_equal(count_parts(stage.view, PART_START), 3);
    assert_int_equal(count_parts(stage.view, PART_SHEET), 0);
    hand_press(&hand, PART_START, -1, 0);
    assert_int_equal(view_take_errand(stage.view).what, ERRAND_OPEN);
    hand_press(&hand, PART_START, 1, 0);
    const rv_errand_slip errand = view_take_errand(stage.view);
    assert_int_equal(errand.what, ERRAND_START);
    assert_int_equal(errand.number, 1);
    hand_key(&hand, 'n', 0); /* with a jar the list goes */
    frame(&stage, 1280, 800);
    assert_int_equal(count_parts(stage.view, PART_START), 0);
    staged_clear(&stage);
}

/* ---- side by side ---- */

static rn_plan *read_preset(const char *path)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, path, &err), &err);
    return plan;
}

static void plans_are_told_by_what_differs(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_plan *plan = read_preset("presets/lesson-consistency.yaml"), *other = rn_plan_copy(plan);
    const rn_plan *const plans[] = {plan, other};
    assert_int_equal(rn_plan_unlike(plans, 2).kind, RN_ALIKE);
    edit_scale_viscosity(other, 2);
    rn_unlike unlike = rn_plan_unlike(plans, 2);
    assert_int_equal(unlike.kind, RN_UNLIKE_CONSISTENCY);
    assert_string_equal(unlike.whole.values[0], "like castor oil");
    assert_string_equal(unlike.whole.values[1], "like warm honey"); /* from 1.4 Pa s on, and castor oil is 1 */
    check_close(rn_plan_viscosity(other), 2 * rn_plan_viscosity(plan), 1e-9);
    rn_plan_free(other);

    other = rn_plan_copy(plan);
    assert_int_equal(rn_plan_set(other, "moves.4.spin", "25 rpm", &err), RN_OK);
    const rn_plan *const spun[] = {plan, other};
    unlike = rn_plan_unlike(spun, 2);
    assert_int_equal(unlike.kind, RN_UNLIKE_ONE);
    assert_string_equal(unlike.whole.words, "spin of move 4");
    assert_string_equal(unlike.whole.values[1], "25 rpm");
    edit_set_jar_volume(other, 0, 60e-6);
    assert_int_equal(rn_plan_unlike(spun, 2).kind, RN_UNLIKE_SEVERAL);
    rn_plan_free(other);

    other = rn_plan_copy(plan);
    edit_set_jar_volume(other, 0, 60e-6);
    const rn_plan *const fuller[] = {plan, other};
    unlike = rn_plan_unlike(fuller, 2);
    assert_int_equal(unlike.kind, RN_UNLIKE_POURED);
    assert_string_equal(unlike.whole.values[1], "145 ml poured"); /* 130 ml, and 15 more */
    rn_plan_free(other);
    rn_plan_free(plan);
}

static void what_is_asked_is_what_the_plan_expects(void **state)
{
    (void)state;
    double from, to;
    rn_plan *plan = read_preset("presets/lesson-consistency.yaml");
    rn_error err = {0};
    assert_true(side_wish(&from, &to, plan, RN_EXPECT_RUN_OFF, NAN)); /* at most 21 ml */
    assert_true(isnan(from));
    check_within(to, 21e-6, 1e-12);
    check_ok(rn_plan_set(plan, "expect.run-off", "16 ml +- 5 ml", &err), &err);
    assert_true(side_wish(&from, &to, plan, RN_EXPECT_RUN_OFF, NAN));
    check_within(from, 11e-6, 1e-12);
    check_within(to, 21e-6, 1e-12);
    assert_false(side_wish(&from, &to, plan, RN_EXPECT_TWIST, NAN));
    assert_true(side_wish(&from, &to, plan, RN_EXPECT_STRETCH, NAN)); /* the plan's limit */
    assert_true(isnan(from));
    check_within(to, plan->limits.stretch, 1e-12);
    assert_true(side_wish(&from, &to, plan, RN_EXPECT_THINNEST, NAN)); /* covered is wanted anyway */
    check_within(from, plan->cover, 1e-12);
    plan->expects[plan->expect_count++] =
        (rn_expect){.kind = RN_EXPECT_RUN_OFF, .relation = RN_AT_MOST, .value = 0.1, .share = true};
    assert_true(side_wish(&from, &to, plan, RN_EXPECT_RUN_OFF, 130e-6)); /* the stricter of both */
    check_within(from, 11e-6, 1e-12);
    check_within(to, 13e-6, 1e-12);
    rn_plan_free(plan);
}

static bool shows_column(const rv_view *view, int column)
{
    for (int k = 0; k < view->handles.count; k++)
        if (view->handles.list[k].what.part == PART_COLUMN && view->handles.list[k].what.a == column)
            return true;
    return false;
}

static void three_stand_in_a_wide_window_and_two_in_a_narrow_one(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    painter hand = {.view = stage.view};
    view_open(stage.view, "presets/lesson-consistency.yaml");
    stage.view->page = PAGE_SIDE;
    frame(&stage, 1280, 800);
    assert_int_equal(count_parts(stage.view, PART_COLUMN), 1);
    assert_int_equal(count_parts(stage.view, PART_COLUMN_TAKE), 0);
    hand_press(&hand, PART_TRIO, 0, 0);
    frame(&stage, 1280, 800);
    assert_int_equal(count_parts(stage.view, PART_COLUMN), 3);
    frame(&stage, 900, 600);
    assert_int_equal(count_parts(stage.view, PART_COLUMN), 2);
    assert_true(shows_column(stage.view, 0) && shows_column(stage.view, 1));
    hand_key(&hand, KEY_RIGHT, 0); /* the third by key */
    frame(&stage, 900, 600);
    assert_true(shows_column(stage.view, 1) && shows_column(stage.view, 2));
    /* The time is one for all, and dragged here as on the bench. */
    hand_drag(&hand, PART_TIME, 0, 0, 200, 0);
    check_within(stage.view->time, 200 / (stage.view->layout.x1 - stage.view->layout.x0) * view_end(stage.view), 0.06);
    const double thick = rn_plan_viscosity(view_plan(stage.view, view_column_place(stage.view, 2)));
    hand_press(&hand, PART_COLUMN_TAKE, 2, 0);
    assert_int_equal(stage.view->page, PAGE_BENCH);
    check_close(rn_plan_viscosity(document_plan(stage.view->doc)), thick, 1e-9);
    staged_clear(&stage);
}

/* ---- the window of plans ---- */

static bool is_brass(uint32_t pixel)
{
    pixel &= 0xFFFFFF;
    return pixel == 0xE0B25C || pixel == 0x7A4F00;
}

/* Whether what stands there can be taken hold of, or pressed. */
static bool moves_at(const rv_handles *handles, double x, double y)
{
    for (int k = 0; k < handles->count; k++) {
        const rn_box *box = &handles->list[k].box;
        if (handles->list[k].what.part != PART_TILES && x >= box->x - 4 && x <= box->x + box->width + 4 &&
            y >= box->y - 4 && y <= box->y + box->height + 4)
            return true;
    }
    return false;
}

/* Brass is yours to move: some is seen, and none that is not. */
static void brass_is_only_where_something_moves(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    view_open(stage.view, "presets/two-cups.yaml");
    for (int page = 0; page < 2; page++) {
        stage.view->page = page ? PAGE_BENCH : PAGE_WINDOW;
        stage.view->width = 1280;
        stage.view->height = 800;
        cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 800);
        assert_true(canvas_frame(surface, stage.view, stage.shown, NULL));
        const unsigned char *data = cairo_image_surface_get_data(surface);
        const int stride = cairo_image_surface_get_stride(surface);
        long brass = 0, astray = 0;
        for (int y = 0; y < 800; y++)
            for (int x = 0; x < 1280; x++) {
                uint32_t pixel;
                memcpy(&pixel, data + (size_t)y * (size_t)stride + 4 * (size_t)x, 4);
                brass += is_brass(pixel);
                astray += is_brass(pixel) && !moves_at(&stage.view->handles, x, y);
            }
        cairo_surface_destroy(surface);
        assert_true(brass > 100);
        assert_int_equal(astray, 0);
    }
    staged_clear(&stage);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mends_are_taken_one_by_one_or_all),
        cmocka_unit_test(what_cannot_be_mended_is_looked_at_again),
        cmocka_unit_test(every_wrong_plan_has_a_page),
        cmocka_unit_test(leaving_asks_what_to_do_with_changes),
        cmocka_unit_test(a_path_is_typed_or_taken_from_the_last_ones),
        cmocka_unit_test(the_table_of_keys_is_whole),
        cmocka_unit_test(letters_of_the_table_do_something),
        cmocka_unit_test(all_keys_can_be_scrolled_to_the_end),
        cmocka_unit_test(an_empty_bench_offers_what_to_begin_from),
        cmocka_unit_test(plans_are_told_by_what_differs),
        cmocka_unit_test(what_is_asked_is_what_the_plan_expects),
        cmocka_unit_test(three_stand_in_a_wide_window_and_two_in_a_narrow_one),
        cmocka_unit_test(brass_is_only_where_something_moves),
    };
    const int failed = cmocka_run_group_tests_name("viewer.pages", tests, NULL, NULL);
    char path[400];
    scratch_path(path);
    unlink(path);
    return failed;
}
