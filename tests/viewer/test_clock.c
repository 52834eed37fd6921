/* The clock measured as it is drawn: twists of a cord, paint of the bursts, curves, and where blocks can be taken. */
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "edit.h"
#include "hand.h"
#include "lanes.h"
#include "staged.h"

#define WIDTH 2560
#define HEIGHT 1600 /* twice the regular size: two pixels to the unit */

static rv_view *view_of(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "plan", &err), &err);
    rv_view *view = view_new();
    assert_non_null(view);
    document_put(view->doc, plan, "", false);
    view_fresh(view);
    view->dark = true;
    view->width = WIDTH;
    view->height = HEIGHT;
    return view;
}

static cairo_surface_t *drawn(rv_view *view, const rv_shown *shown)
{
    static const rv_shown nothing[PLACE_COUNT];
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, view->width, view->height);
    assert_true(canvas_frame(surface, view, shown ? shown : nothing, NULL));
    assert_int_equal(view->handles.lost, 0);
    return surface;
}

static uint32_t pixel(cairo_surface_t *surface, int x, int y)
{
    uint32_t rgb;
    memcpy(&rgb, cairo_image_surface_get_data(surface) + y * cairo_image_surface_get_stride(surface) + 4 * x,
           sizeof rgb);
    return rgb & 0xFFFFFF;
}

/* 1 for ink on a dark bench, 0 for any ground, rule or brass. */
static bool is_ink(uint32_t rgb)
{
    return (rgb & 0xFF) > 0xC8 && (rgb >> 8 & 0xFF) > 0xC8 && (rgb >> 16) > 0xC8;
}

/* ---- cords ---- */

/* Turns after so long [s] at a rate that rises and falls as u*u*(3-2u) within ramps: its integral, in closed form. */
static double turns_after(double t, double per_second, double lasting, double ramp)
{
    double sum = 0, u = ramp > 0 ? fmin(t / ramp, 1) : 1;
    sum += ramp * (u * u * u - 0.5 * u * u * u * u);
    if (t > ramp)
        sum += fmin(t, lasting - ramp) - ramp;
    if (t > lasting - ramp && ramp > 0) {
        u = (lasting - t) / ramp;
        sum += ramp * (0.5 - (u * u * u - 0.5 * u * u * u * u));
    }
    return per_second * sum;
}

static double when_turned(double turns, double per_second, double lasting, double ramp)
{
    double low = 0, high = lasting;
    while (high - low > 1e-9)
        *(turns_after(0.5 * (low + high), per_second, lasting, ramp) < turns ? &low : &high) = 0.5 * (low + high);
    return low;
}

/* Columns where the strands run together, without those at the ends of the cord [pixels]; their number. */
static int find_crossings(double *at, int most, cairo_surface_t *surface, int x0, int x1, int top, int foot)
{
    static int spread[WIDTH];
    int widest = 0, count = 0;
    for (int x = x0; x < x1; x++) {
        int first = -1, last = -1;
        for (int y = top; y < foot; y++)
            if (is_ink(pixel(surface, x, y))) {
                first = first < 0 ? y : first;
                last = y;
            }
        spread[x] = first < 0 ? 0 : last - first;
        widest = spread[x] > widest ? spread[x] : widest;
    }
    for (int x = x0; x < x1;) {
        if (spread[x] > 0.4 * widest) {
            x++;
            continue;
        }
        const int from = x;
        while (x < x1 && spread[x] <= 0.4 * widest)
            x++;
        if (from > x0 && x < x1 && count < most)
            at[count++] = 0.5 * (from + x - 1);
    }
    return count;
}

static void one_twist_is_one_turn_and_ramps_stretch_it(void **state)
{
    (void)state;
    static const struct {
        double rpm, lasting, ramp;
    } cases[] = {{6, 45, 1}, {-6, 45, 1}, {4.6, 80, 20}, {-9.5, 90, 30}, {2, 75, 0.5}};
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        char text[600];
        snprintf(text, sizeof text,
                 "plan: 1\npanel: {size: 300 mm x 300 mm}\npaints: {a: }\npours:\n  - stack: [a 100 ml]\nmoves:\n"
                 "  - {start: 10 s, for: %g s, turn: %g rpm, ramp: %g s}\nend: 120 s\n",
                 cases[c].lasting, cases[c].rpm, cases[c].ramp);
        rv_view *view = view_of(text);
        view->time = 5;
        cairo_surface_t *surface = drawn(view, NULL);
        const rv_layout *at = &view->layout;
        const double scale = at->scale, x0 = layout_x(at, 10, 120), x1 = layout_x(at, 10 + cases[c].lasting, 120);
        const int top = (int)(scale * (at->lane_top[LANE_TURN] + 2)),
                  foot = (int)(scale * (at->lane_top[LANE_TURN] + at->lane_height[LANE_TURN] - 2));
        double crossings[64];
        const int count =
            find_crossings(crossings, 64, surface, (int)(scale * (x0 + 2)), (int)(scale * (x1 - 2)), top, foot);
        const double per_second = fabs(cases[c].rpm) / 60;
        const double all = turns_after(cases[c].lasting, per_second, cases[c].lasting, cases[c].ramp);
        assert_true(all - floor(all) > 0.2 && all - floor(all) < 0.9); /* else the last would lie at the end */
        assert_int_equal(count, (int)floor(all));
        for (int k = 0; k < count; k++) {
            const double due = when_turned(k + 1, per_second, cases[c].lasting, cases[c].ramp);
            check_within(crossings[k], scale * layout_x(at, 10 + due, 120) - 0.5, 3);
            /* Just left of a crossing only the strand on top is there: below the middle where it rises. */
            const int x = (int)lround(crossings[k]) - 5, middle = (top + foot) / 2;
            int above = 0, below = 0;
            for (int y = top; y < foot; y++)
                *(y < middle ? &above : &below) += is_ink(pixel(surface, x, y));
            assert_true(cases[c].rpm > 0 ? below > above : above > below);
        }
        cairo_surface_destroy(surface);
        view_free(view);
    }
}

/* ---- bursts ---- */

static void paint_of_bursts_is_drawn_in_proportion_and_in_order(void **state)
{
    (void)state;
    rv_view *view = view_of("plan: 1\npanel: {size: 300 mm x 300 mm}\n"
                            "paints:\n  a: {colour: \"#d00000\"}\n  b: {colour: \"#00d000\"}\n  c: {colour: "
                            "\"#0000d0\"}\npours:\n"
                            "  - {start: 4 s, lifts: 1, open: 20 s, stack: [a 90 ml, b 40 ml, c 70 ml]}\n"
                            "  - {start: 40 s, lifts: 2, every: 25 s, open: 15 s, stack: [c 60 ml, b 100 ml]}\n"
                            "end: 100 s\n");
    view->time = 95;
    cairo_surface_t *surface = drawn(view, NULL);
    const rv_layout *at = &view->layout;
    const double scale = at->scale;
    const int top = (int)(scale * at->lane_top[LANE_RELEASE]),
              foot = (int)(scale * (at->lane_top[LANE_RELEASE] + at->lane_height[LANE_RELEASE]));
    static const uint32_t colours[3] = {0xD00000, 0x00D000, 0x0000D0};
    static const double volumes[3] = {90, 140, 130};
    double area[3] = {0}, sum = 0;
    for (int y = top; y < foot; y++)
        for (int x = (int)(scale * at->x0); x < (int)(scale * at->x1); x++)
            for (int k = 0; k < 3; k++)
                area[k] += pixel(surface, x, y) == colours[k];
    for (int k = 0; k < 3; k++)
        sum += area[k];
    for (int k = 0; k < 3; k++) /* the outlines take a little */
        check_close(area[k] / sum, volumes[k] / 360, 0.08);
    /* First out lowest: going up the first burst, a, b, c; its time is its width. */
    const int x = (int)(scale * layout_x(at, 14, 100));
    int next = 0;
    for (int y = foot; y > top; y--)
        for (int k = 0; k < 3; k++)
            if (pixel(surface, x, y) == colours[k]) {
                assert_true(k == next || k == next + 1);
                next = k;
            }
    assert_int_equal(next, 2);
    int first = -1, last = -1;
    for (int k = 0; k < WIDTH; k++)
        if (k < (int)(scale * layout_x(at, 35, 100)) && pixel(surface, k, foot - 12) == colours[0]) {
            first = first < 0 ? k : first;
            last = k;
        }
    check_within((last - first + 1) / scale, layout_x(at, 24, 100) - layout_x(at, 4, 100), 2);
    cairo_surface_destroy(surface);
    view_free(view);
}

/* ---- places to press ---- */

static void blocks_are_taken_where_they_stand(void **state)
{
    (void)state;
    rv_view *view = view_new();
    view_open(view, "presets/tide-table.yaml");
    const rn_plan *plan = document_plan(view->doc);
    const painter hand = {.view = view};
    static const int sizes[][2] = {{900, 600}, {1280, 800}, {1920, 1080}};
    for (size_t s = 0; s < 3; s++) {
        view->width = sizes[s][0];
        view->height = sizes[s][1];
        cairo_surface_destroy(drawn(view, NULL));
        const rv_layout *at = &view->layout;
        rn_box box;
        for (int k = 0; k < plan->move_count; k++) {
            const rn_move *move = &plan->moves[k];
            const double x0 = layout_x(at, move->start, plan->end);
            const double x1 = layout_x(at, move->start + move->duration, plan->end);
            assert_true(hand_find(&box, &hand, PART_MOVE, k, 0));
            check_within(box.x, x0, 1e-9);
            check_within(box.x + box.width, x1, 1e-9);
            assert_true(hand_find(&box, &hand, PART_MOVE_START, k, 0));
            assert_true(box.x <= x0 && x0 <= box.x + box.width);
            assert_true(box.x + box.width < 0.5 * (x0 + x1)); /* the middle stays for the block */
            assert_true(hand_find(&box, &hand, PART_MOVE_END, k, 0));
            assert_true(box.x <= x1 && x1 <= box.x + box.width);
            assert_true(box.x > 0.5 * (x0 + x1));
        }
        const rn_pour *pour = &plan->pours[0];
        for (int b = 0; b < pour->lifts; b++) {
            assert_true(hand_find(&box, &hand, PART_BURST, 0, b));
            const double middle = layout_x(at, pour->start + b * pour->every + 0.5 * pour->open, plan->end);
            check_within(box.x + 0.5 * box.width, middle, 1);
        }
    }
    view_free(view);
}

static void two_hundred_blocks_in_an_hour_can_all_be_taken(void **state)
{
    (void)state;
    static char text[40000];
    int used = snprintf(text, sizeof text,
                        "plan: 1\npanel: {size: 300 mm x 300 mm}\npaints: {a: }\npours:\n"
                        "  - {start: 1 s, lifts: 60, every: 20 s, open: 0.3 s, stack: [a 300 ml]}\nmoves:\n");
    for (int k = 0; k < RN_MOVES_MOST / 2; k++)
        used += snprintf(text + used, sizeof text - (size_t)used,
                         "  - {start: %d s, for: 2 s, tilt: 3 deg, toward: back}\n  - {start: %d s, for: 30 s, turn: "
                         "-20 rpm}\n",
                         36 * k, 36 * k + 3);
    snprintf(text + used, sizeof text - (size_t)used, "end: 3600 s\n");
    rv_view *view = view_of(text);
    view->width = 900;
    view->height = 600;
    cairo_surface_destroy(drawn(view, NULL));
    const painter hand = {.view = view};
    rn_box box;
    for (int k = 0; k < RN_MOVES_MOST; k++) {
        assert_true(hand_find(&box, &hand, PART_MOVE, k, 0));
        assert_true(box.width >= 5 && box.x >= view->layout.x0 - 1);
    }
    for (int b = 0; b < 60; b++) {
        assert_true(hand_find(&box, &hand, PART_BURST, 0, b));
        assert_true(box.width >= 5 && box.height >= 10);
    }
    view_free(view);
}

static void words_find_room_beside_blocks(void **state)
{
    (void)state;
    rv_view *view = view_new();
    view_open(view, "presets/tide-table.yaml");
    view->width = 1280;
    view->height = 800;
    cairo_surface_destroy(drawn(view, NULL));
    const rn_plan *plan = document_plan(view->doc);
    rv_canvas canvas = {.at = view->layout, .view = view};
    for (int lane = 0; lane < LANES; lane++)
        for (double from = canvas.at.x0; from < canvas.at.x1; from += 37)
            for (double width = 4; width < 700; width *= 1.7) {
                const double x = lanes_gap(&canvas, (rv_lane)lane, from, width);
                if (isnan(x))
                    continue;
                assert_true(x >= from && x + width <= canvas.at.x1);
                for (int k = 0; k < plan->move_count; k++) {
                    const rn_move *move = &plan->moves[k];
                    const double x0 = layout_x(&canvas.at, move->start, plan->end);
                    const double x1 = layout_x(&canvas.at, move->start + move->duration, plan->end);
                    assert_false(lanes_of(move->kind) == (rv_lane)lane && x < x1 && x + width > x0);
                }
                assert_false(lane == LANE_RELEASE && x < layout_x(&canvas.at, rn_pour_end(plan->pours), plan->end) &&
                             x + width > layout_x(&canvas.at, plan->pours[0].start, plan->end));
            }
    assert_true(isnan(lanes_gap(&canvas, LANE_REST, canvas.at.x0, canvas.at.x1)));
    view_free(view);
}

/* ---- curves ---- */

/* Ink in a column of the strip, its middle [units]; NaN if there is none. */
static double ink_at(cairo_surface_t *surface, const rv_layout *at, double time, double end)
{
    const int x = (int)lround(at->scale * layout_x(at, time, end) - 0.5);
    int first = -1, last = -1;
    for (int y = (int)(at->scale * (at->strip.y + 1)); y < (int)(at->scale * (at->axis_y - 1)); y++)
        if (is_ink(pixel(surface, x, y))) {
            first = first < 0 ? y : first;
            last = y;
        }
    return first < 0 || last - first > 16 ? NAN : (0.5 * (first + last) + 0.5) / at->scale;
}

static long run_off_pixels(cairo_surface_t *surface, const rv_layout *at)
{
    long count = 0;
    for (int y = (int)(at->scale * at->strip.y); y < (int)(at->scale * at->axis_y); y++)
        for (int x = (int)(at->scale * at->x0); x < (int)(at->scale * at->x1); x++) {
            const uint32_t rgb = pixel(surface, x, y);
            count += (rgb & 0xFF) > 0xE0 && (rgb >> 16) < 0xA0; /* the only blue there is */
        }
    return count;
}

static void curves_are_the_record_and_only_the_plans_own(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, "presets/too-little.yaml", INFINITY, 64));
    rv_view *view = stage.view;
    view->dark = true;
    view->width = WIDTH;
    view->height = HEIGHT;
    const double end = view_end(view);
    const rv_studio_tale *tale = stage.shown[0].tale;
    cairo_surface_t *surface = drawn(view, stage.shown);
    static const double times[] = {37.5, 68, 80, 90, 100};
    rn_moment first, moment;
    assert_true(canvas_moment(&first, tale, 1));
    const double low = ink_at(surface, &view->layout, 1, end);
    const double high = ink_at(surface, &view->layout, 100, end);
    assert_true(canvas_moment(&moment, tale, 100));
    assert_true(first.coverage < 0.05 && moment.coverage > 0.5);
    const double per_share = (low - high) / (moment.coverage - first.coverage);
    for (size_t k = 0; k < sizeof times / sizeof *times; k++) {
        assert_true(canvas_moment(&moment, tale, times[k]));
        check_within(low - ink_at(surface, &view->layout, times[k], end),
                     per_share * (moment.coverage - first.coverage), 0.6);
    }
    cairo_surface_destroy(surface);
    staged_clear(&stage);

    assert_true(staged_set(&stage, "presets/tide-table.yaml", 30, 64));
    view = stage.view;
    view->dark = true;
    view->width = WIDTH;
    view->height = HEIGHT;
    surface = drawn(view, stage.shown);
    assert_true(run_off_pixels(surface, &view->layout) > 500);
    assert_true(!isnan(ink_at(surface, &view->layout, 180, view_end(view))));
    cairo_surface_destroy(surface);
    rn_plan *draft = document_draft(view->doc);
    edit_set_amount(draft, 1, 0.02);
    rn_error err = {0};
    check_ok(document_commit(view->doc, draft, "tilt", false, &err), &err);
    surface = drawn(view, stage.shown); /* what is known is of another plan: nothing of it is shown */
    assert_int_equal(run_off_pixels(surface, &view->layout), 0);
    assert_true(isnan(ink_at(surface, &view->layout, 180, view_end(view))));
    cairo_surface_destroy(surface);
    staged_clear(&stage);
}

/* ---- words ---- */

static void lanes_say_what_they_hold(void **state)
{
    (void)state;
    rv_view *view = view_new();
    view_open(view, "presets/tide-table.yaml");
    rv_canvas canvas = {.view = view};
    static const char *const due[LANES] = {"155 ml, 8 bursts", "6.0 rpm ↺ at 5–45 s", "4 tilts",
                                           "35 rpm ↺ at 110–122 s", "from 122 s"};
    char text[240];
    for (int lane = 0; lane < LANES; lane++) {
        lanes_summary(text, sizeof text, &canvas, (rv_lane)lane);
        assert_string_equal(text, due[lane]);
    }
    assert_false(lanes_note(text, sizeof text, &canvas));
    view->focus = (rv_part_at){PART_MOVE, 2, 0};
    assert_true(lanes_note(text, sizeof text, &canvas));
    assert_ptr_equal(strstr(text, "tilt 2 of 4: 9.0° down to front right, 66.0–78.0 s."), text);
    view->focus = (rv_part_at){PART_BURST, 0, 3};
    assert_true(lanes_note(text, sizeof text, &canvas));
    assert_ptr_equal(strstr(text, "burst 4 of 8: "), text);
    assert_non_null(strstr(text, " in 3.0 s, from 20.0 s."));
    rn_plan *draft = document_draft(view->doc);
    rn_error err = {0};
    check_ok(rn_plan_set(draft, "moves.1.turn", "-6 rpm", &err), &err);
    check_ok(document_commit(view->doc, draft, "turn", false, &err), &err);
    lanes_summary(text, sizeof text, &canvas, LANE_TURN);
    assert_string_equal(text, "6.0 rpm ↻ at 5–45 s");
    view->ounces = true;
    lanes_summary(text, sizeof text, &canvas, LANE_RELEASE);
    assert_string_equal(text, "5.24 fl oz, 8 bursts"); /* 155 / 29.5735 */
    draft = document_draft(view->doc);
    draft->move_count = 0;
    check_ok(document_commit(view->doc, draft, "moves", false, &err), &err);
    lanes_summary(text, sizeof text, &canvas, LANE_REST);
    assert_string_equal(text, "from 43 s"); /* the eighth burst opens at 40 s */
    view_free(view);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_twist_is_one_turn_and_ramps_stretch_it),
        cmocka_unit_test(paint_of_bursts_is_drawn_in_proportion_and_in_order),
        cmocka_unit_test(blocks_are_taken_where_they_stand),
        cmocka_unit_test(two_hundred_blocks_in_an_hour_can_all_be_taken),
        cmocka_unit_test(words_find_room_beside_blocks),
        cmocka_unit_test(curves_are_the_record_and_only_the_plans_own),
        cmocka_unit_test(lanes_say_what_they_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
