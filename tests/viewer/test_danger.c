/* What a plan is warned of is seen on every page, and the usual cautions are a page of their own that can be reached and read
   whole at every size of the window. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "edit.h"
#include "hand.h"
#include "run/warn.h"
#include "show/cautions.h"
#include "staged.h"

#define PLAN "presets/tide-table.yaml"

static const int sizes[][2] = {{900, 600}, {1280, 800}, {1920, 1080}, {2560, 1440}};
static const double lengths[] = {0, 0.6};

/* Slow under watch: the smallest window with the longest words stands for all. */
static size_t first_length(void)
{
    return getenv("RUNNEL_TEST_GRID") ? 1 : 0;
}

static size_t size_count(void)
{
    return getenv("RUNNEL_TEST_GRID") ? 1 : sizeof sizes / sizeof *sizes;
}

static void frame(staged *stage, int width, int height, double longer)
{
    stage->view->width = width;
    stage->view->height = height;
    rv_frame_check check = {.longer = longer};
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    assert_true(canvas_frame(surface, stage->view, stage->shown, &check));
    cairo_surface_destroy(surface);
    if (check.overlaps + check.outside)
        fail_msg("page %d, cover %d at %d x %d, %.0f %% longer: %d too close (%s), %d outside", stage->view->page,
                 stage->view->cover, width, height, 100 * longer, check.overlaps, check.first, check.outside);
}

/* All spins at a rate [rpm], whatever the turntable is said to allow. */
static void spin_at(staged *stage, double rpm, double limit)
{
    rn_plan *draft = document_draft(stage->view->doc);
    rn_error err = {0};
    for (int k = 0; k < draft->move_count; k++)
        if (draft->moves[k].kind == RN_MOVE_SPIN)
            draft->moves[k].amount = rpm * 2 * 3.14159265358979 / 60;
    draft->limits.spin = limit * 2 * 3.14159265358979 / 60;
    check_ok(document_commit(stage->view->doc, draft, "spin", false, &err), &err);
}

static bool tells(staged *stage)
{
    rn_box box;
    const painter hand = {.view = stage->view};
    return hand_find(&box, &hand, PART_CAUTIONS_WORD, 0, 0);
}

static void a_spin_that_endangers_is_told_on_every_page(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    assert_non_null(stage.view);
    view_open(stage.view, PLAN);
    painter hand = {.view = stage.view, .now = 1};
    for (int page = PAGE_BENCH; page < PAGES; page++)
        for (size_t s = 0; s < size_count(); s++)
            for (size_t l = first_length(); l < sizeof lengths / sizeof *lengths; l++) {
                stage.view->page = (rv_page)page;
                spin_at(&stage, 35, 1000);
                frame(&stage, sizes[s][0], sizes[s][1], lengths[l]);
                assert_false(tells(&stage));
                spin_at(&stage, 600, 1000); /* a turntable that can go so fast makes it no safer */
                frame(&stage, sizes[s][0], sizes[s][1], lengths[l]);
                assert_true(tells(&stage));
                view_say(stage.view, true, "Not saved: the disk is full. The plan is still on the bench.");
                frame(&stage, sizes[s][0], sizes[s][1], lengths[l]);
                assert_true(tells(&stage));
                stage.view->message[0] = '\0';
            }
    stage.view->page = PAGE_SIDE; /* of three plans one is enough */
    hand_key(&hand, 't', 0);
    spin_at(&stage, 35, 1000);
    frame(&stage, 1280, 800, 0);
    assert_true(tells(&stage));
    hand_press(&hand, PART_CAUTIONS_WORD, 0, 0);
    assert_int_equal(stage.view->cover, COVER_CAUTIONS);
    staged_clear(&stage);
}

/* Counts entries from the first to the last, page by page; none is skipped. */
static int read_all(staged *stage, painter *hand, int width, int height, double longer)
{
    int read = 0;
    stage->view->cover_scroll = 0;
    frame(stage, width, height, longer);
    for (;;) {
        const rv_handles *handles = &stage->view->handles;
        assert_true(handles->scroll_page > 0);
        assert_true(stage->view->cover_scroll <= read);
        read = stage->view->cover_scroll + handles->scroll_page;
        if (stage->view->cover_scroll == handles->scroll_most)
            return read;
        hand_key(hand, KEY_PAGE_DOWN, 0);
        frame(stage, width, height, longer);
    }
}

static void all_cautions_can_be_read_at_every_size(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    assert_non_null(stage.view);
    painter hand = {.view = stage.view, .now = 1};
    view_open(stage.view, PLAN);
    for (size_t s = 0; s < size_count(); s++)
        for (size_t l = first_length(); l < sizeof lengths / sizeof *lengths; l++) {
            spin_at(&stage, 35, 1000);
            hand_key(&hand, KEY_F1, 0);
            hand_key(&hand, KEY_F1, 0);
            assert_int_equal(stage.view->cover, COVER_CAUTIONS);
            assert_int_equal(read_all(&stage, &hand, sizes[s][0], sizes[s][1], lengths[l]), rn_caution_count());
            spin_at(&stage, 600, 1000); /* what this plan is warned of comes first */
            assert_int_equal(read_all(&stage, &hand, sizes[s][0], sizes[s][1], lengths[l]), rn_caution_count() + 1);
            hand_key(&hand, KEY_F1, 0);
            assert_int_equal(stage.view->cover, COVER_NONE);
        }
    staged_clear(&stage);
}

/* With the mouse alone. */
static void the_page_is_reached_by_pressing(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    assert_non_null(stage.view);
    painter hand = {.view = stage.view, .now = 1};
    view_open(stage.view, PLAN);
    for (size_t s = 0; s < size_count(); s++)
        for (int page = PAGE_BENCH; page < PAGES; page++) {
            stage.view->page = (rv_page)page;
            frame(&stage, sizes[s][0], sizes[s][1], 0);
            hand_press(&hand, PART_KEYS_WORD, 0, 0);
            assert_int_equal(stage.view->cover, COVER_KEYS);
            frame(&stage, sizes[s][0], sizes[s][1], 0);
            hand_press(&hand, PART_CHOICE, 1, 0);
            assert_int_equal(stage.view->cover, COVER_CAUTIONS);
            frame(&stage, sizes[s][0], sizes[s][1], 0);
            hand_press(&hand, PART_CHOICE, 1, 0);
            assert_int_equal(stage.view->cover, COVER_KEYS);
            hand_key(&hand, KEY_ESCAPE, 0);
            assert_int_equal(stage.view->cover, COVER_NONE);
        }
    staged_clear(&stage);
}

/* Once the plan is worked out all its warnings are counted in the head, and listed. */
static void other_warnings_are_counted_and_listed(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, PLAN, INFINITY, 64));
    rn_forecast *forecast = &stage.shown[0].tale->forecast;
    forecast->warning_count = 0;
    frame(&stage, 1280, 800, 0);
    assert_false(tells(&stage));
    forecast->warning_count = 3;
    for (int k = 0; k < 3; k++)
        snprintf(forecast->warnings[k], RN_WARNING_SIZE, "At %d s the paint does something that is left out.", k);
    frame(&stage, 1280, 800, 0);
    assert_true(tells(&stage));
    painter hand = {.view = stage.view, .now = 1};
    hand_press(&hand, PART_CAUTIONS_WORD, 0, 0);
    assert_int_equal(read_all(&stage, &hand, 1280, 800, 0), rn_caution_count() + 3);
    staged_clear(&stage);
}

/* The longest message is there to its last words. */
static void a_long_message_finds_room(void **state)
{
    (void)state;
    staged stage = {.view = view_new()};
    assert_non_null(stage.view);
    view_open(stage.view, PLAN);
    for (int spin = 35; spin <= 600; spin += 565)
        for (size_t s = 0; s < size_count(); s++) {
            spin_at(&stage, spin, 1000);
            view_say(
                stage.view, false,
                "lichen is deleted, and with it 30 ml of release 1, 25 ml of release 2, all of release 3 (150 ml), "
                "2 base coats, the corner puddles, 3 puddles and 2 strips along edges. The plan now ends at 120 s. "
                "Ctrl+Z brings all of it back.");
            frame(&stage, sizes[s][0], sizes[s][1], 0);
        }
    staged_clear(&stage);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_spin_that_endangers_is_told_on_every_page),
        cmocka_unit_test(all_cautions_can_be_read_at_every_size),
        cmocka_unit_test(the_page_is_reached_by_pressing),
        cmocka_unit_test(other_warnings_are_counted_and_listed),
        cmocka_unit_test(a_long_message_finds_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
