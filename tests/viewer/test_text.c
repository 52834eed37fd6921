/* No text of any page stands on another, or leaves the window, whatever the window's size and however long the words are in
   another language. Frames are recorded, not painted: only where things stand is looked at. */
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "hand.h"
#include "mapped.h"
#include "slip.h"
#include "staged.h"

static const int sizes[][2] = {{900, 600},  {1024, 768},  {1280, 800},  {1366, 768},
                               {1600, 900}, {1920, 1080}, {2560, 1440}, {3840, 2160}};
static const double lengths[] = {0, 0.3, 0.6};

static int bad_frame(staged *stage, const char *what, int width, int height, double longer)
{
    stage->view->width = width;
    stage->view->height = height;
    rv_frame_check check = {.longer = longer};
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    const bool drawn = canvas_frame(surface, stage->view, stage->shown, &check);
    cairo_surface_destroy(surface);
    assert_true(drawn);
    assert_int_equal(check.lost, 0);
    assert_int_equal(stage->view->handles.lost, 0);
    if (check.overlaps || check.outside)
        print_error("%s at %d x %d, %.0f %% longer: %d pairs too close (%s), %d outside\n", what, width, height,
                    100 * longer, check.overlaps, check.first, check.outside);
    return check.overlaps + check.outside;
}

/* Every size and length of words of what the view shows now. */
static int bad_frames(staged *stage, const char *what)
{
    int bad = 0;
    const bool watched = getenv("RUNNEL_TEST_GRID") != NULL; /* slow: some of them stand for all */
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s += watched ? 5 : 1)
        for (size_t l = watched ? 2 : 0; l < sizeof lengths / sizeof *lengths; l++)
            bad += bad_frame(stage, what, sizes[s][0], sizes[s][1], lengths[l]);
    return bad;
}

static int bad_sheets(staged *stage)
{
    static const char *const names[SHEETS] = {"face", "depth", "arrival", "peel", "stretch", "section"};
    int bad = 0;
    for (int sheet = 0; sheet < SHEETS; sheet++) {
        stage->view->sheets = 1u << sheet;
        bad += bad_frames(stage, names[sheet]);
    }
    stage->view->sheets = 1u << SHEET_DEPTH | 1u << SHEET_SECTION;
    bad += bad_frames(stage, "depth and section");
    stage->view->sheets = 1u << SHEET_FACE;
    return bad;
}

static int bad_slips(staged *stage)
{
    static const rv_slip_kind kinds[] = {SLIP_JAR, SLIP_BASE, SLIP_PANEL, SLIP_MOVE, SLIP_POUR, SLIP_PLAN};
    static const char *const names[] = {"jar slip",  "base slip",    "panel slip",
                                        "move slip", "release slip", "plan slip"};
    int bad = 0;
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
        stage->view->slip = (rv_slip){kinds[k], 0, 2};
        bad += bad_frames(stage, names[k]);
    }
    stage->view->slip = (rv_slip){SLIP_JAR, 0, SLIP_ROW_CONSISTENCY}; /* its figures are typed, and refused */
    stage->view->typing = (rv_typing){.on = true, .what = {PART_SLIP_ROW, SLIP_ROW_CONSISTENCY, 0}, .caret = 4};
    snprintf(stage->view->typing.text, sizeof stage->view->typing.text, "between maple syrup and castor oil");
    snprintf(stage->view->typing.trouble, sizeof stage->view->typing.trouble,
             "unknown consistency 'between maple syrup and castor oil': it is sugar syrup, olive oil, maple syrup, "
             "thinned glycerine, castor oil, warm honey or honey, or for example 1.2 Pa s");
    bad += bad_frames(stage, "a consistency typed");
    stage->view->typing.on = false;
    stage->view->slip = (rv_slip){0};
    return bad;
}

static int bad_covers(staged *stage)
{
    static const rv_cover covers[] = {COVER_KEYS,    COVER_LEAVE,   COVER_PATH,
                                      COVER_REPLACE, COVER_RECOVER, COVER_CAUTIONS};
    static const char *const names[] = {"all keys", "leaving", "typed path", "replacing", "recovery", "cautions"};
    int bad = 0;
    snprintf(stage->view->left_when, sizeof stage->view->left_when, "on 30 September at 23:59");
    snprintf(stage->view->left, sizeof stage->view->left, "A panel for the harbour wall, with a pale band");
    for (size_t k = 0; k < sizeof covers / sizeof *covers; k++) {
        stage->view->cover = covers[k];
        stage->view->typing.on = covers[k] == COVER_PATH;
        bad += bad_frames(stage, names[k]);
    }
    static const rv_errand files[] = {ERRAND_OPEN, ERRAND_SAVE_AS, ERRAND_PICTURE};
    for (size_t k = 0; k < sizeof files / sizeof *files; k++) {
        view_ask_path(stage->view, files[k]);
        bad += bad_frames(stage, "a name that is proposed");
        memset(stage->view->folder, 'f', 180);
        stage->view->folder[180] = '\0';
        snprintf(stage->view->typing.trouble, sizeof stage->view->typing.trouble,
                 "That is the plan itself: a picture needs a file of its own.");
        bad += bad_frames(stage, "a name that is refused");
    }
    stage->view->typing.on = false;
    stage->view->typing.trouble[0] = '\0';
    stage->view->cover = COVER_NONE;
    return bad;
}

static void the_bench_holds_its_words_apart(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, "presets/tide-table.yaml", 80, 64));
    int bad = bad_sheets(&stage) + bad_slips(&stage) + bad_covers(&stage);
    stage.view->focus = (rv_part_at){PART_MOVE, 2, 0};
    stage.view->focus_seen = true;
    bad += bad_frames(&stage, "a block with the focus");
    stage.view->room = true;
    for (double t = 10; t < 46; t += 5) {
        stage.view->time = t;
        bad += bad_frames(&stage, "room view");
    }
    assert_int_equal(bad, 0);
    staged_clear(&stage);
}

static void the_end_of_a_pour_does_too(void **state)
{
    (void)state;
    int bad = 0;
    static const char *const plans[] = {"presets/too-little.yaml", "presets/round-tray.yaml",
                                        "presets/wrapped-sides.yaml"};
    for (size_t k = 0; k < sizeof plans / sizeof *plans; k++) {
        staged stage;
        assert_true(staged_set(&stage, plans[k], INFINITY, 64));
        bad += bad_sheets(&stage);
        stage.view->ounces = true;
        bad += bad_frames(&stage, "ounces");
        staged_clear(&stage);
    }
    assert_int_equal(bad, 0);
}

static void a_bench_with_nothing_known_does_too(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    assert_non_null(stage.view);
    int bad = bad_frames(&stage, "empty bench");
    view_open(stage.view, "presets/forty-bands.yaml");
    bad += bad_frames(&stage, "not worked out");
    view_say(stage.view, true, "Not saved: the disk is full. The plan is still on the bench.");
    bad += bad_frames(&stage, "a message");
    stage.view->page = PAGE_WINDOW;
    bad += bad_frames(&stage, "window");
    assert_int_equal(bad, 0);
    staged_clear(&stage);
}

/* The window of plans that work with all that it can hold. */
static void the_window_does_too(void **state)
{
    (void)state;
    static const char *const plans[] = {"presets/small-study.yaml", "presets/forty-bands.yaml",
                                        "presets/round-tray.yaml"};
    static rv_map map;
    int bad = 0;
    for (size_t k = 0; k < sizeof plans / sizeof *plans; k++) {
        staged stage = {.view = view_new()};
        assert_non_null(stage.view);
        rv_view *view = stage.view;
        view_open(view, plans[k]);
        view->page = PAGE_WINDOW;
        assert_true(mapped_set(&map, view, 0));
        bad += bad_frames(&stage, "window, nothing known");
        mapped_clear(&map, view);
        assert_true(mapped_set(&map, view, k == 0 ? 1 : 100));
        bad += bad_frames(&stage, "window");
        view->map_hand = (rv_map_hand){.keyed = true, .column = 3, .row = 2};
        map.answers[RV_LEAST_VOLUME] = (rv_map_answer){.done = true, .value = 118e-6, .left = NAN};
        snprintf(map.answers[RV_LEAST_VOLUME].text, RV_ANSWER_SIZE,
                 "Least volume: 118.4 ml poured, 36.6 ml less than the plan's 155 ml.");
        bad += bad_frames(&stage, "window, a tile held");
        map.answers[RV_LEAST_VOLUME] = (rv_map_answer){.working = true, .runs = 12, .of = 34, .left = 72};
        view->map_hand = (rv_map_hand){.list = 1, .choice = 1};
        bad += bad_frames(&stage, "window, what x can be");
        view->map_hand = (rv_map_hand){.list = 2};
        bad += bad_frames(&stage, "window, what y can be");
        view->map_hand = (rv_map_hand){0};
        view->slip = (rv_slip){SLIP_JAR, 0, 0};
        bad += bad_frames(&stage, "window with a slip");
        view->slip = (rv_slip){0};
        map.upright = view->ounces = true;
        for (int f = 0; f < MAP_FACES; f++)
            map.faces[f].value = map_value(map.window, true, f * (MAP_ROWS - 1) / (MAP_FACES - 1));
        bad += bad_frames(&stage, "window, along the column");
        snprintf(map.trouble, sizeof map.trouble, "no memory left");
        bad += bad_frames(&stage, "window, stopped");
        mapped_clear(&map, view);
        staged_clear(&stage);
    }
    assert_int_equal(bad, 0);
}

static void side_by_side_does_too(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, "presets/lesson-consistency.yaml", 60, 64));
    painter hand = {.view = stage.view, .now = 5};
    int bad = 0;
    hand_key(&hand, 't', 0);
    bad += bad_frames(&stage, "side by side, nothing known");
    for (int k = 0; k < COLUMNS; k++)
        assert_true(staged_again(&stage, view_column_place(stage.view, k), 64));
    bad += bad_frames(&stage, "side by side");
    stage.view->time = view_end(stage.view);
    bad += bad_frames(&stage, "side by side at the end");
    hand_key(&hand, KEY_DELETE, 0);
    bad += bad_frames(&stage, "two plans");
    hand_key(&hand, KEY_DELETE, 0);
    bad += bad_frames(&stage, "one plan");
    assert_int_equal(bad, 0);
    staged_clear(&stage);
}

static void the_mend_page_does_too(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    assert_non_null(stage.view);
    static const char *const wrong[] = {"tests/plans/wrong/tab.yaml", "tests/plans/wrong/no-such.yaml", "LICENSE"};
    int bad = 0;
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        view_open(stage.view, wrong[k]);
        assert_int_equal(stage.view->cover, COVER_MEND);
        bad += bad_frames(&stage, wrong[k]);
        stage.view->cover = COVER_FILE;
        bad += bad_frames(&stage, "the whole file");
    }
    assert_int_equal(bad, 0);
    staged_clear(&stage);
}

/* WCAG 2.1 [wcag2018]: contrast of text against its ground is at least 4.5 to 1. */
static double light(uint32_t rgb)
{
    double sum = 0;
    static const double weight[3] = {0.2126, 0.7152, 0.0722};
    for (int c = 0; c < 3; c++) {
        const double v = (rgb >> (16 - 8 * c) & 0xFF) / 255.0;
        sum += weight[c] * (v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4));
    }
    return sum;
}

static double contrast(uint32_t a, uint32_t b)
{
    const double x = light(a), y = light(b);
    return (fmax(x, y) + 0.05) / (fmin(x, y) + 0.05);
}

/* The colour that a role really paints. */
static uint32_t painted(rn_role role, bool dark)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1, 1);
    cairo_t *cr = cairo_create(surface);
    rn_pen pen;
    assert_true(rn_pen_init(&pen, cr, dark));
    rn_pen_use(&pen, role);
    cairo_paint(cr);
    cairo_surface_flush(surface);
    uint32_t rgb;
    memcpy(&rgb, cairo_image_surface_get_data(surface), sizeof rgb);
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    return rgb & 0xFFFFFF;
}

static void every_word_stands_out_from_its_ground(void **state)
{
    (void)state;
    static const rn_role words[] = {RN_ROLE_INK,     RN_ROLE_INK2,   RN_ROLE_SHORT,
                                    RN_ROLE_RUN_OFF, RN_ROLE_PULLED, RN_ROLE_BRASS};
    static const rn_role grounds[] = {RN_ROLE_BENCH, RN_ROLE_WELL, RN_ROLE_STRIP, RN_ROLE_SOLVED};
    for (int dark = 0; dark < 2; dark++) {
        for (size_t w = 0; w < sizeof words / sizeof *words; w++)
            for (size_t g = 0; g < sizeof grounds / sizeof *grounds; g++) {
                const double ratio = contrast(painted(words[w], dark), painted(grounds[g], dark));
                if (ratio < 4.5)
                    print_error("role %d on ground %d, %s: %.2f\n", words[w], grounds[g], dark ? "dark" : "light",
                                ratio);
                assert_true(ratio >= 4.5);
            }
        assert_true(contrast(painted(RN_ROLE_ON_BRASS, dark), painted(RN_ROLE_BRASS, dark)) >= 4.5);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_bench_holds_its_words_apart),
        cmocka_unit_test(the_end_of_a_pour_does_too),
        cmocka_unit_test(a_bench_with_nothing_known_does_too),
        cmocka_unit_test(the_window_does_too),
        cmocka_unit_test(side_by_side_does_too),
        cmocka_unit_test(the_mend_page_does_too),
        cmocka_unit_test(every_word_stands_out_from_its_ground),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
