/* The shelf and the slips that come from it: order, levels, room for twelve jars; every key of a plan in reach. */
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "canvas.h"
#include "check.h"
#include "edit.h"
#include "hand.h"
#include "slip.h"
#include "slip_edit.h"

static const int sizes[][2] = {{900, 600}, {1024, 768}, {1280, 800}, {1366, 768}, {1920, 1080}, {3840, 2160}};

static rv_view *view_of(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "plan", &err), &err);
    rv_view *view = view_new();
    assert_non_null(view);
    document_put(view->doc, plan, "", false);
    view_fresh(view);
    return view;
}

static void look(rv_view *view, int width, int height)
{
    static const rv_shown nothing[PLACE_COUNT];
    view->width = width;
    view->height = height;
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    assert_true(canvas_frame(surface, view, nothing, NULL));
    cairo_surface_destroy(surface);
    assert_int_equal(view->handles.lost, 0);
}

static double foot_of(rn_box box)
{
    return box.y + box.height;
}

/* A shelf of so many jars, each with its own volume, in an order of its own. */
static rv_view *shelf_of(int jars)
{
    char text[3000];
    int used = snprintf(text, sizeof text, "plan: 1\npanel: {size: 300 mm x 300 mm}\npaints:\n");
    for (int k = 0; k < jars; k++)
        used += snprintf(text + used, sizeof text - (size_t)used, "  paint of a long name %d: {viscosity: %g Pa s}\n",
                         k, 0.1 * (1 + k * k));
    used += snprintf(text + used, sizeof text - (size_t)used, "pours:\n  - stack: [");
    for (int k = 0; k < jars; k++)
        used += snprintf(text + used, sizeof text - (size_t)used, "%spaint of a long name %d %d ml", k ? ", " : "",
                         jars - 1 - k, 30 + 15 * k);
    snprintf(text + used, sizeof text - (size_t)used, "]\n");
    return view_of(text);
}

static void jars_stand_in_the_order_in_which_they_come_out(void **state)
{
    (void)state;
    for (int jars = 1; jars <= RN_PAINTS_MOST; jars++) {
        rv_view *view = shelf_of(jars);
        const painter hand = {.view = view};
        for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++) {
            look(view, sizes[s][0], sizes[s][1]);
            rn_box box, base;
            double above = view->layout.shelf.y;
            for (int k = jars - 1; k >= 0; k--) { /* the last paint of the list is the first out */
                assert_true(hand_find(&box, &hand, PART_JAR, k, 0));
                assert_true(box.y >= above && box.height >= 20);
                assert_true(box.x >= 0 && box.x + box.width <= view->layout.shelf.width);
                above = foot_of(box);
            }
            assert_true(hand_find(&base, &hand, PART_BASE, 0, 0));
            assert_true(base.y >= above && foot_of(base) <= view->layout.clock.y);
            assert_true(hand_find(&box, &hand, PART_BOARD, 0, 0));
            assert_true(foot_of(box) <= view->layout.clock.y);
        }
        view_free(view);
    }
}

static void levels_stand_as_the_volumes_do(void **state)
{
    (void)state;
    for (int jars = 2; jars <= RN_PAINTS_MOST; jars += 5) {
        rv_view *view = shelf_of(jars);
        const rn_plan *plan = document_plan(view->doc);
        const painter hand = {.view = view};
        for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++) {
            look(view, sizes[s][0], sizes[s][1]);
            double per_volume = NAN;
            for (int k = 0; k < jars; k++) {
                rn_box jar, level;
                assert_true(hand_find(&jar, &hand, PART_JAR, k, 0));
                assert_true(hand_find(&level, &hand, PART_JAR_LEVEL, k, 0));
                const double high = foot_of(jar) - 1 - (level.y + 0.5 * level.height);
                if (k == 0)
                    per_volume = high / edit_jar_volume(plan, k);
                check_close(high, per_volume * edit_jar_volume(plan, k), 1e-6);
                assert_true(high > 0 && high < jar.height);
            }
        }
        view_free(view);
    }
}

static void empty_places_take_a_new_jar(void **state)
{
    (void)state;
    rv_view *view = shelf_of(3);
    painter hand = {.view = view, .now = 5};
    look(view, 1280, 800);
    rn_box box, jar;
    assert_true(hand_find(&box, &hand, PART_JAR_PLACE, 3, 0));
    assert_true(hand_find(&jar, &hand, PART_JAR, 0, 0)); /* the last on the shelf */
    assert_true(box.y >= foot_of(jar));
    assert_false(hand_find(&box, &hand, PART_JAR_PLACE, 2, 0));
    view_free(view);
    view = shelf_of(12);
    hand.view = view;
    look(view, 1280, 800);
    for (int k = 0; k < 16; k++)
        assert_false(hand_find(&box, &hand, PART_JAR_PLACE, k, 0));
    view_free(view);
}

/* ---- slips ---- */

/* Everything once: a plan whose slips between them show every key. */
#define ALL                                                                                                            \
    "plan: 1\ntitle: All of it\npanel: {size: 300 mm x 200 mm}\npaints:\n  a: {viscosity: 1 Pa s}\n  b: "              \
    "{viscosity: 1 Pa s}\n"                                                                                            \
    "base:\n  - {paint: a, volume: 8 ml, at: corners}\n  - {paint: a, volume: 5 ml, along: back, width: 20 mm}\n"      \
    "  - {paint: b, depth: 0.2 mm}\n"                                                                                  \
    "pours:\n  - {from: cup, at: 40 mm left 20 mm back, lifts: 3, open: 2 s, every: 5 s, stack: [a 60 ml, b 60 ml]}\n" \
    "moves:\n  - {start: 2 s, for: 10 s, turn: 6 rpm}\n  - {start: 20 s, for: 10 s, tilt: 4 deg, toward: back}\n"      \
    "  - {start: 40 s, for: 10 s, spin: 60 rpm, ramp: 2 s}\n  - {start: 60 s, for: 10 s, rest: yes}\n"                 \
    "limits: {spin: 200 rpm}\nend: 100 s\n"

static bool slip_shows(rv_view *view, rv_slip_kind kind, int index, const rn_key *key)
{
    view->slip = (rv_slip){kind, index, 0};
    const int rows = slip_rows(view);
    for (int row = 0; row < rows; row++)
        if (slip_key(view, row) == key)
            return true;
    return false;
}

static void every_key_is_on_a_slip(void **state)
{
    (void)state;
    rv_view *view = view_of(ALL);
    rv_view *round = view_of("plan: 1\npanel: {across: 300 mm}\npaints: {a: }\npours:\n  - stack: [a 60 ml]\n");
    static const rv_slip_kind kinds[RN_SECTIONS] = {
        [RN_SECTION_PLAN] = SLIP_PLAN,  [RN_SECTION_PANEL] = SLIP_PANEL, [RN_SECTION_PAINT] = SLIP_JAR,
        [RN_SECTION_BASE] = SLIP_BASE,  [RN_SECTION_POUR] = SLIP_POUR,   [RN_SECTION_MOVE] = SLIP_MOVE,
        [RN_SECTION_LIMITS] = SLIP_PLAN};
    int reached = 0;
    for (int section = 0; section < RN_SECTIONS; section++) {
        int count;
        const rn_key *keys = rn_plan_keys(&count, (rn_section)section);
        for (int k = 0; k < count; k++) {
            /* Lists, what holds other keys, and what is said by there being no other: nothing to type. */
            if (keys[k].kind == RN_KEY_STACK || keys[k].kind == RN_KEY_SECTION || keys[k].kind == RN_KEY_VERSION ||
                keys[k].kind == RN_KEY_REST)
                continue;
            bool found = slip_shows(round, kinds[section], 0, &keys[k]);
            for (int index = 0; index < 4 && !found; index++)
                found = slip_shows(view, kinds[section], index, &keys[k]);
            if (!found)
                print_error("no slip shows %s.%s\n", rn_section_path((rn_section)section), keys[k].name);
            assert_true(found);
            reached++;
        }
    }
    assert_true(reached > 40);
    view_free(view);
    view_free(round);
}

/* What a row shows can be typed into it again, and changes nothing. */
static void rows_take_what_they_show(void **state)
{
    (void)state;
    rv_view *view = view_of(ALL);
    static const struct {
        rv_slip_kind kind;
        int count;
    } slips[] = {{SLIP_JAR, 2}, {SLIP_BASE, 3}, {SLIP_PANEL, 1}, {SLIP_MOVE, 4}, {SLIP_POUR, 1}, {SLIP_PLAN, 1}};
    char *before = NULL, *after = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&before, document_plan(view->doc), &err), &err);
    int tried = 0;
    for (size_t s = 0; s < sizeof slips / sizeof *slips; s++)
        for (int index = 0; index < slips[s].count; index++) {
            view->slip = (rv_slip){slips[s].kind, index, 0};
            const int rows = slip_rows(view);
            assert_true(rows > 0);
            assert_null(slip_key(view, rows));
            assert_null(slip_key(view, -1));
            for (int row = 0; row < rows; row++) {
                char value[TYPING_SIZE], path[256];
                assert_true(slip_path(path, sizeof path, view, row));
                slip_value(value, sizeof value, view, row);
                if (!value[0])
                    continue;
                rn_plan *draft = document_draft(view->doc);
                if (slip_put(draft, view, row, value, &err) != RN_OK)
                    print_error("%s: %s: %s\n", path, value, err.message);
                check_ok(slip_put(draft, view, row, value, &err), &err);
                check_ok(rn_plan_write(&after, draft, &err), &err);
                assert_string_equal(after, before);
                free(after);
                rn_plan_free(draft);
                tried++;
            }
        }
    assert_true(tried > 40);
    free(before);
    view_free(view);
}

static void slips_of_what_is_gone_are_empty(void **state)
{
    (void)state;
    rv_view *view = view_of(ALL);
    static const rv_slip gone[] = {{SLIP_NONE, 0, 0}, {SLIP_JAR, 2, 0},  {SLIP_BASE, 3, 0},
                                   {SLIP_MOVE, 4, 0}, {SLIP_POUR, 1, 0}, {SLIP_JAR, 99, 0}};
    char path[64];
    for (size_t k = 0; k < sizeof gone / sizeof *gone; k++) {
        view->slip = gone[k];
        assert_int_equal(slip_rows(view), 0);
        assert_null(slip_key(view, 0));
        assert_false(slip_path(path, sizeof path, view, 0));
        look(view, 1280, 800);
    }
    view_free(view);
}

/* The row with the focus is on the paper, whichever it is and however little room there is. */
static void the_row_with_the_focus_is_seen(void **state)
{
    (void)state;
    rv_view *view = view_of(ALL);
    const painter hand = {.view = view};
    static const rv_slip_kind kinds[] = {SLIP_JAR, SLIP_BASE, SLIP_PANEL, SLIP_MOVE, SLIP_POUR, SLIP_PLAN};
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++)
        for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
            view->slip = (rv_slip){kinds[k], 0, 0};
            const int rows = slip_rows(view);
            for (int row = 0; row < rows; row++) {
                view->slip.row = row;
                look(view, sizes[s][0], sizes[s][1]);
                rn_box box, paper;
                assert_true(hand_find(&paper, &hand, PART_SLIP, 0, 0));
                if (!hand_find(&box, &hand, PART_SLIP_ROW, row, 0))
                    print_error("slip %d row %d at %d x %d\n", (int)kinds[k], row, sizes[s][0], sizes[s][1]);
                assert_true(hand_find(&box, &hand, PART_SLIP_ROW, row, 0));
                assert_true(box.x >= paper.x && box.x + box.width <= paper.x + paper.width);
                assert_true(box.y >= paper.y && foot_of(box) <= foot_of(paper));
                assert_true(foot_of(paper) <= view->layout.clock.y + 1);
            }
        }
    view_free(view);
}

/* The rules on a jar's slip: what a knob stands for at a place is what puts it there. */
static void rules_read_as_they_are_drawn(void **state)
{
    (void)state;
    rv_view *view = view_of(ALL);
    look(view, 1280, 800);
    const rv_layout *at = &view->layout;
    double left, width;
    slip_rule(&left, &width, at);
    for (int k = 0; k <= 20; k++) {
        const double share = k / 20.0, x = left + share * width;
        check_within(slip_viscosity_share(slip_viscosity_at(at, x)), share, 1e-12);
        check_within(slip_volume_at(at, x, 200e-6), share * 200e-6, 1e-12);
    }
    check_close(slip_viscosity_at(at, left + 0.5 * width),
                sqrt(slip_viscosity_at(at, left) * slip_viscosity_at(at, left + width)),
                1e-12); /* even steps are even factors */
    check_close(slip_viscosity_at(at, left - 50), 0.05, 1e-12);
    check_close(slip_viscosity_at(at, left + width + 50), 20, 1e-12);
    for (double volume = 1e-6; volume < 5e-3; volume *= 1.3)
        assert_true(slip_volume_top(volume) >= 1.2 * volume * (1 - 1e-12));
    view_free(view);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(jars_stand_in_the_order_in_which_they_come_out),
        cmocka_unit_test(levels_stand_as_the_volumes_do),
        cmocka_unit_test(empty_places_take_a_new_jar),
        cmocka_unit_test(every_key_is_on_a_slip),
        cmocka_unit_test(rows_take_what_they_show),
        cmocka_unit_test(slips_of_what_is_gone_are_empty),
        cmocka_unit_test(the_row_with_the_focus_is_seen),
        cmocka_unit_test(rules_read_as_they_are_drawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
