/* The bench: what its notes say, where its drips hang, where its handles lie, and that no words stand on others, whatever
   the window, the panel, the turn and the language. */
#include "base/physical.h"
#include "bench.h"
#include "check.h"
#include "edit.h"
#include "parts.h"
#include "staged.h"

#include <string.h>

#define SQUARE "presets/tide-table.yaml"
#define OBLONG "presets/wet-base.yaml" /* 30 x 40 cm */
#define ROUND "presets/round-tray.yaml"
#define CELLS 64

/* What the bench knows of the stage. */
static rv_bench look(staged *stage)
{
    rv_canvas canvas = {.at = stage->view->layout, .view = stage->view, .shown = stage->shown};
    return bench_look(&canvas);
}

static void draw_at(staged *stage, int width, int height, double longer)
{
    rv_frame_check check = {0};
    assert_true(staged_draw(stage, width, height, longer, &check, NULL));
    if (check.overlaps || check.outside || check.lost || stage->view->handles.lost)
        fail_msg("%d x %d, %.0f %% longer, sheets %u, room %d, %.1f s: %d overlaps (%s), %d outside, %d lost", width,
                 height, 100 * longer, stage->view->sheets, stage->view->room, stage->view->time, check.overlaps,
                 check.first, check.outside, check.lost);
}

static const int sizes[][2] = {{900, 600},  {1024, 768}, {1280, 800},  {1366, 768},
                               {1600, 900}, {900, 1200}, {1920, 1080}, {3840, 2160}};

static void words_stand_apart_on(const char *path)
{
    static const unsigned sheets[] = {1u << SHEET_FACE, 1u << SHEET_DEPTH | 1u << SHEET_SECTION,
                                      1u << SHEET_ARRIVAL | 1u << SHEET_STRETCH, 1u << SHEET_PEEL, (1u << SHEETS) - 1};
    staged stage;
    assert_true(staged_set(&stage, path, 70, CELLS));
    stage.view->sheets = (1u << SHEETS) - 1;
    assert_true(staged_again(&stage, 0, CELLS));
    stage.view->pointing = stage.view->on_panel = true;
    stage.view->spot_x = 0.03;
    stage.view->spot_y = -0.02;
    for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++)
        for (size_t s = 0; s < sizeof sheets / sizeof *sheets; s++) {
            if (sizes[k][0] > 2000 && s + 1 < sizeof sheets / sizeof *sheets)
                continue; /* so many pixels take long */
            stage.view->sheets = sheets[s];
            stage.view->dark = (k + s) % 2;
            draw_at(&stage, sizes[k][0], sizes[k][1], 0.3 * (double)((k + s) % 3));
        }
    staged_clear(&stage);
}

static void test_words_stand_apart_on_a_square(void **state)
{
    (void)state;
    words_stand_apart_on(SQUARE);
}

static void test_words_stand_apart_on_an_oblong(void **state)
{
    (void)state;
    words_stand_apart_on(OBLONG);
}

static void test_words_stand_apart_on_a_disc(void **state)
{
    (void)state;
    words_stand_apart_on(ROUND);
}

/* In room view the panel may stand at any angle. */
static void test_words_stand_apart_at_any_turn(void **state)
{
    (void)state;
    static const char *const paths[] = {SQUARE, OBLONG, ROUND};
    for (size_t p = 0; p < sizeof paths / sizeof *paths; p++) {
        staged stage;
        assert_true(staged_set(&stage, paths[p], 30, CELLS));
        stage.view->room = true;
        double least = INFINITY, most = -INFINITY;
        for (int k = 0; k < 24; k++) {
            stage.view->time = 5 + 1.41 * k;
            const double turned = fmod(view_turned(stage.view), 2 * RN_PI);
            least = fmin(least, turned);
            most = fmax(most, turned);
            stage.view->sheets = k % 2 ? 1u << SHEET_FACE : 1u << SHEET_DEPTH | 1u << SHEET_SECTION;
            draw_at(&stage, k % 3 ? 1280 : 900, k % 3 ? 800 : 600, 0.3 * (k % 3));
        }
        check_at_least(most - least, 4.5); /* it did go round */
        staged_clear(&stage);
    }
}

/* A sheet of paper's shape, very long and very narrow panels. */
static void test_words_stand_apart_on_long_panels(void **state)
{
    (void)state;
    static const double shapes[][2] = {{0.21, 0.297}, {0.6, 0.2}, {0.2, 0.6}, {0.5, 0.25}};
    for (size_t k = 0; k < sizeof shapes / sizeof *shapes; k++) {
        staged stage;
        assert_true(staged_set(&stage, SQUARE, 70, CELLS));
        rn_plan *draft = document_draft(stage.view->doc);
        rn_error err = {0};
        assert_non_null(draft);
        draft->panel.width = shapes[k][0];
        draft->panel.height = shapes[k][1];
        draft->base_count = 0;
        check_ok(document_commit(stage.view->doc, draft, "panel", false, &err), &err);
        assert_true(staged_again(&stage, 0, CELLS));
        for (size_t s = 0; s + 1 < sizeof sizes / sizeof *sizes; s++)
            draw_at(&stage, sizes[s][0], sizes[s][1], 0.3 * (double)((s + k) % 3));
        staged_clear(&stage);
    }
}

/* ---- run-off ---- */

/* However many drips an edge has, together they tell the share of the run-off that went over it. */
static void test_drips_tell_what_ran_off(void **state)
{
    (void)state;
    static const char *const paths[] = {SQUARE, OBLONG, ROUND};
    for (size_t p = 0; p < sizeof paths / sizeof *paths; p++) {
        staged stage;
        assert_true(staged_set(&stage, paths[p], INFINITY, CELLS));
        draw_at(&stage, 1280, 800, 0);
        const rv_bench bench = look(&stage);
        const rn_panel *panel = &bench.plan->panel;
        const double run_off = bench.tale->forecast.run_off;
        assert_true(run_off > 1e-6);
        double sum = 0, weighed[RN_SIDES] = {0};
        for (int side = 0; side < RN_SIDES; side++) {
            double share[FRINGE_MOST];
            const int count = fringe_drips(share, &bench, &stage.view->layout, (rn_side)side);
            assert_in_range(count, 6, FRINGE_MOST);
            const bool across = side == RN_FRONT || side == RN_BACK;
            const double length = panel->round ? 0.25 * RN_PI * panel->width : across ? panel->width : panel->height;
            for (int k = 0; k < count; k++) {
                check_at_least(share[k], 0);
                check_at_most(share[k], 1);
                weighed[side] += share[k] * length / count;
            }
            sum += weighed[side];
        }
        for (int side = 0; side < RN_SIDES; side++) /* stretches and cells meet the corners differently */
            check_within(weighed[side] / sum, bench.tale->forecast.run_off_by_side[side] / run_off, 0.03);
        staged_clear(&stage);
    }
}

/* A rim that has let paint out in one stretch has drips there and nowhere else. */
static void test_drips_hang_where_paint_left(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, OBLONG, INFINITY, CELLS));
    draw_at(&stage, 1280, 800, 0);
    const rv_bench bench = look(&stage);
    rn_still *still = stage.shown[0].picture->still;
    for (int k = 0; k < still->spill_count; k++)
        still->spill[k] = 0;
    /* 10 cm down the left side from the back: the rim is 140 cm long, the left side begins at 100 cm, at the back. */
    still->spill[(int)(110.0 / 140 * still->spill_count)] = 2e-6;
    double share[FRINGE_MOST];
    for (int side = 0; side < RN_SIDES; side++) {
        const int count = fringe_drips(share, &bench, &stage.view->layout, (rn_side)side);
        assert_true(count > 0);
        const double pitch = 40.0 / count; /* [cm] */
        for (int k = 0; k < count; k++) {
            const double away = fabs((k + 0.5) * pitch - 10);
            if (side == RN_LEFT && away < 0.5 * pitch)
                check_at_least(share[k], 1e-3);
            else if (side != RN_LEFT || away > 1.5 * pitch)
                check_within(share[k], 0, 1e-12);
        }
    }
    staged_clear(&stage);
}

/* ---- corners ---- */

/* Before a corner is covered it is due then; afterwards it was covered then. */
static void test_corners_are_due_and_then_covered(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, OBLONG, INFINITY, CELLS));
    draw_at(&stage, 1280, 800, 0);
    for (int corner = 0; corner < RN_CORNERS; corner++) {
        const double at = stage.shown[0].tale->forecast.corners[corner].covered_at;
        char when[40], due[40];
        assert_true(at > 1);
        snprintf(when, sizeof when, "at %.0f s", at);
        snprintf(due, sizeof due, "due %.0f s", at);
        for (int later = 0; later < 2; later++) {
            stage.view->time = later ? at + 0.2 : at - 0.2;
            const rv_bench bench = look(&stage);
            const rv_corner_note note = corners_note(&bench, stage.view->time, corner);
            assert_string_equal(note.head, later ? when : due);
            assert_int_equal(note.tile, later ? TILE_COVERED : TILE_DUE);
        }
    }
    staged_clear(&stage);
}

/* Nothing is told of a plan that has been changed since it was worked out. */
static void test_old_answers_are_not_told(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, INFINITY, CELLS));
    draw_at(&stage, 1280, 800, 0);
    rv_bench bench = look(&stage);
    assert_true(bench.known);
    assert_non_null(bench.picture);
    rn_plan *draft = document_draft(stage.view->doc);
    rn_error err = {0};
    assert_non_null(draft);
    edit_set_jar_volume(draft, 0, 2 * edit_jar_volume(draft, 0));
    check_ok(document_commit(stage.view->doc, draft, "volume", false, &err), &err);
    bench = look(&stage);
    assert_false(bench.known);
    assert_null(bench.picture);
    assert_null(bench.tale);
    assert_non_null(bench.seen); /* a memory */
    const rv_corner_note note = corners_note(&bench, stage.view->time, 0);
    assert_int_equal(note.tile, TILE_UNKNOWN);
    assert_string_equal(note.head, "not worked out yet");
    double share[FRINGE_MOST];
    assert_int_equal(fringe_drips(share, &bench, &stage.view->layout, RN_RIGHT), 0);
    draw_at(&stage, 1280, 800, 0.3);
    staged_clear(&stage);
}

/* What has never been covered says so, in a shape of its own. */
static void test_a_corner_that_stays_bare_says_never(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, "presets/too-little.yaml", INFINITY, CELLS));
    draw_at(&stage, 1280, 800, 0);
    const rv_bench bench = look(&stage);
    int never = 0;
    for (int corner = 0; corner < RN_CORNERS; corner++) {
        const rv_corner_note note = corners_note(&bench, stage.view->time, corner);
        const bool covered = bench.tale->forecast.corners[corner].covered_at >= 0;
        assert_int_equal(strcmp(note.head, "never") == 0, !covered);
        assert_int_equal(note.role == RN_ROLE_SHORT, !covered);
        assert_int_equal(note.tile == TILE_SHORT, !covered);
        never += !covered;
    }
    assert_true(never > 0);
    staged_clear(&stage);
}

/* ---- hands ---- */

static rn_box handle_of(const rv_view *view, rv_part part)
{
    for (int k = view->handles.count - 1; k >= 0; k--)
        if (view->handles.list[k].what.part == part && view->handles.list[k].box.width > 0)
            return view->handles.list[k].box;
    fail_msg("nothing to take hold of: part %d", (int)part);
    return (rn_box){0};
}

static void middle(double *x, double *y, rn_box box)
{
    *x = box.x + 0.5 * box.width;
    *y = box.y + 0.5 * box.height;
}

/* The bubble stands where a hand that had just dragged it would hold it: uphill, as far as the tilt. */
static void test_bubble_stands_under_the_hand(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 30, CELLS));
    rv_view *view = stage.view;
    view->rehearsal.on = true;
    for (int k = 0; k < 16; k++) {
        const double bearing = 22.5 * k * RN_DEGREE, tilt = 4.5 * RN_DEGREE;
        view->rehearsal.hands = (rv_hands){.tilt = tilt, .toward = bearing};
        draw_at(&stage, 1280, 800, 0);
        const rv_layout *at = &view->layout;
        double x, y;
        middle(&x, &y, handle_of(view, PART_BUBBLE));
        const double dx = x - at->level_x, dy = at->level_y - y;
        check_within(hypot(dx, dy) / at->level_radius * at->level_tilt, tilt, 1e-9);
        check_within(remainder(atan2(-dy, -dx) - bearing, 2 * RN_PI), 0, 1e-9);
    }
    view->rehearsal.on = false;
    staged_clear(&stage);
}

/* The knob turns with the table; it stands at 285 degrees of the ring, whose numerals run against the turn. */
static void test_knob_turns_with_the_table(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 0, CELLS));
    for (double time = 0; time < 60; time += 7) {
        stage.view->time = time;
        draw_at(&stage, 1280, 800, 0);
        const rn_plan *plan = document_plan(stage.view->doc);
        const double turned = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, time).turned;
        const rn_box box = handle_of(stage.view, PART_KNOB);
        const rv_layout *at = &stage.view->layout;
        double x, y;
        middle(&x, &y, box);
        check_within(remainder(atan2(at->cy - y, x - at->cx) - (turned - 285 * RN_DEGREE), 2 * RN_PI), 0, 1e-9);
        check_at_least(box.width, 24);
    }
    staged_clear(&stage);
}

/* An end of the section can be taken hold of where it lies on the panel, at any turn. */
static void test_ends_of_the_section_lie_where_they_are(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 20, CELLS));
    rv_view *view = stage.view;
    view->room = true;
    view->sheets = 1u << SHEET_SECTION;
    view->a[0] = -0.1;
    view->a[1] = 0.06;
    for (double time = 6; time < 40; time += 5.3) {
        view->time = time;
        draw_at(&stage, 1280, 800, 0);
        double px, py, x, y;
        middle(&px, &py, handle_of(view, PART_A));
        layout_spot(&x, &y, &view->layout, px, py, view_turned(view));
        check_within(x, -0.1, 1e-9);
        check_within(y, 0.06, 1e-9);
    }
    staged_clear(&stage);
}

/* What a short slip does not cover is as it was. */
static void test_a_short_slip_takes_away_only_what_it_covers(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 20, CELLS)); /* corners covered from their puddles: words beside each */
    cairo_surface_t *frames[2];
    for (int k = 0; k < 2; k++) {
        frames[k] = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 800);
        stage.view->width = 1280;
        stage.view->height = 800;
        stage.view->slip = k ? (rv_slip){SLIP_MOVE, 2, 0} : (rv_slip){0};
        assert_true(canvas_frame(frames[k], stage.view, stage.shown, NULL));
    }
    const rv_canvas canvas = {.at = stage.view->layout, .view = stage.view, .shown = stage.shown};
    const rn_box paper = slip_box(&canvas), all = canvas.at.slip;
    check_at_most(paper.height, all.height - 60);
    for (int y = (int)(paper.y + paper.height) + 10; y < (int)(all.y + all.height); y++) {
        const long row = (long)y * cairo_image_surface_get_stride(frames[0]) + 4 * (long)paper.x;
        assert_memory_equal(cairo_image_surface_get_data(frames[0]) + row,
                            cairo_image_surface_get_data(frames[1]) + row, 4 * (size_t)paper.width);
    }
    cairo_surface_destroy(frames[0]);
    cairo_surface_destroy(frames[1]);
    staged_clear(&stage);
}

/* Pixels of a jar's very colour in the lower part of the right column. */
static int paint_in_column(cairo_surface_t *surface, const staged *stage)
{
    const rn_plan *plan = document_plan(stage->view->doc);
    const rv_layout *at = &stage->view->layout;
    const rn_box box = at->right;
    int count = 0;
    for (int y = (int)((box.y + box.height - 78) * at->scale); y < (int)((box.y + box.height) * at->scale); y++)
        for (int x = (int)(box.x * at->scale); x < (int)((box.x + box.width) * at->scale); x++) {
            const uint8_t *pixel = cairo_image_surface_get_data(surface) +
                                   (long)y * cairo_image_surface_get_stride(surface) + 4L * x; /* B, G, R */
            for (int k = 0; k < plan->paint_count; k++)
                count += pixel[2] == plan->paints[k].colour[0] && pixel[1] == plan->paints[k].colour[1] &&
                         pixel[0] == plan->paints[k].colour[2];
        }
    return count;
}

static void test_the_section_has_room_in_the_smallest_window(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 130, CELLS));
    int count[2];
    for (int k = 0; k < 2; k++) {
        cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 900, 600);
        stage.view->width = 900;
        stage.view->height = 600;
        stage.view->sheets = 1u << (k ? SHEET_SECTION : SHEET_FACE);
        assert_true(canvas_frame(surface, stage.view, stage.shown, NULL));
        count[k] = paint_in_column(surface, &stage);
        cairo_surface_destroy(surface);
    }
    assert_int_equal(count[0], 0);
    assert_true(count[1] > 500);
    staged_clear(&stage);
}

static void point(rv_view *view, rv_input_kind kind, double x, double y)
{
    const rv_input input = {.kind = kind, .now = view->now + 0.05, .x = x, .y = y, .clicks = 1};
    view_apply(view, &input);
}

/* Takes hold of a part and moves it to a place of the panel, told as shares of it from the front left. */
static void drag_to(staged *stage, rv_part part, double u, double v)
{
    rv_view *view = stage->view;
    double x, y;
    draw_at(stage, 1280, 800, 0);
    middle(&x, &y, handle_of(view, part));
    point(view, INPUT_MOVE, x, y);
    point(view, INPUT_PRESS, x, y);
    assert_int_equal(view->drag.part, part);
    const rn_panel *panel = &document_plan(view->doc)->panel;
    layout_point(&x, &y, &view->layout, (u - 0.5) * panel->width, (v - 0.5) * panel->height, view_turned(view));
    point(view, INPUT_MOVE, x, y);
    point(view, INPUT_LIFT, x, y);
}

/* A line of arrival that is dragged to a place shows the time at which paint came there. */
static void test_line_of_arrival_follows_the_hand(void **state)
{
    (void)state;
    static const double places[][2] = {{0.7, 0.5}, {0.5, 0.75}, {0.35, 0.4}, {0.62, 0.3}};
    staged stage;
    assert_true(staged_set(&stage, OBLONG, 40, CELLS));
    stage.view->sheets = 1u << SHEET_ARRIVAL;
    for (size_t k = 0; k < sizeof places / sizeof *places; k++) {
        stage.view->room = k % 2;
        stage.view->time = 40;
        drag_to(&stage, PART_ARRIVAL, places[k][0], places[k][1]);
        const rn_record *record = stage.shown[0].tale->record;
        const int i = (int)(places[k][0] * record->grid.nx), j = (int)(places[k][1] * record->grid.ny);
        double least = INFINITY, most = -INFINITY; /* around there, as far as the view's own places lie apart */
        for (int dj = -2; dj <= 2; dj++)
            for (int di = -2; di <= 2; di++) {
                const double here = (double)record->arrival[(j + dj) * record->grid.nx + i + di];
                least = fmin(least, here);
                most = fmax(most, here);
            }
        assert_true(isfinite(least) && isfinite(most));
        check_at_least(stage.view->time, least - 0.06); /* shown to a tenth */
        check_at_most(stage.view->time, most + 0.06);
    }
    staged_clear(&stage);
}

/* The fold comes to lie under the hand, however the panel stands. */
static void test_fold_follows_the_hand(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, OBLONG, 20, CELLS));
    rv_view *view = stage.view;
    view->sheets = 1u << SHEET_PEEL;
    for (int k = 0; k < 6; k++) {
        view->room = k % 2;
        const double u = 0.2 + 0.12 * k;
        drag_to(&stage, PART_FOLD, u, 1 - u);
        check_within(view->peel, u * u, 1e-9);
        draw_at(&stage, 1280, 800, 0);
        double px, py, x, y;
        middle(&px, &py, handle_of(view, PART_FOLD));
        layout_spot(&x, &y, &view->layout, px, py, view_turned(view));
        check_within(x / document_plan(view->doc)->panel.width + 0.5, u, 1e-9);
        check_within(y / document_plan(view->doc)->panel.height + 0.5, 1 - u, 1e-9);
    }
    staged_clear(&stage);
}

static cairo_surface_t *frame_of(staged *stage, rv_studio_picture *picture, rv_studio_picture *face, rv_sheet sheet)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 800);
    stage->shown[0].picture = picture;
    stage->shown[0].face = face;
    stage->view->sheets = 1u << sheet;
    assert_true(canvas_frame(surface, stage->view, stage->shown, NULL));
    return surface;
}

static uint32_t colour_at(cairo_surface_t *surface, const staged *stage, double u, double v)
{
    const rn_panel *panel = &document_plan(stage->view->doc)->panel;
    const rv_layout *at = &stage->view->layout;
    double x, y;
    uint32_t pixel;
    layout_point(&x, &y, at, (u - 0.5) * panel->width, (v - 0.5) * panel->height, 0);
    memcpy(&pixel,
           cairo_image_surface_get_data(surface) + (long)(y * at->scale) * cairo_image_surface_get_stride(surface) +
               4 * (long)(x * at->scale),
           sizeof pixel);
    return pixel & 0xFFFFFF;
}

/* Beyond the fold lies what is beneath; before it the face is as it was. */
static void test_peel_leaves_the_face_before_the_fold(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 130, CELLS));
    rv_shown *shown = &stage.shown[0];
    rv_studio_picture *face = shown->picture;
    shown->picture = NULL;
    stage.view->sheets = 1u << SHEET_PEEL;
    stage.view->peel = 0.25; /* the fold lies through the middle */
    draw_at(&stage, 1280, 800, 0);
    assert_true(staged_again(&stage, 0, CELLS));
    rv_studio_picture *beneath = shown->picture;
    cairo_surface_t *top = frame_of(&stage, face, NULL, SHEET_FACE);
    cairo_surface_t *deep = frame_of(&stage, beneath, NULL, SHEET_PEEL);
    cairo_surface_t *both = frame_of(&stage, beneath, face, SHEET_PEEL);
    int differ = 0;
    for (int j = 1; j < 30; j++)
        for (int i = 1; i < 30; i++) {
            const double u = i / 30.0, v = j / 30.0;
            if (fabs(u - v) < 0.2 || (u > 0.8 && v < 0.12)) /* the fold's curl; a word */
                continue;
            const uint32_t here = colour_at(both, &stage, u, v);
            assert_int_equal(here, colour_at(v > u ? deep : top, &stage, u, v)); /* back left of the fold */
            differ += here != colour_at(v > u ? top : deep, &stage, u, v);
        }
    assert_true(differ > 100);
    cairo_surface_destroy(top);
    cairo_surface_destroy(deep);
    cairo_surface_destroy(both);
    shown->picture = beneath;
    shown->face = NULL;
    studio_picture_free(face);
    staged_clear(&stage);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words_stand_apart_on_a_square),
        cmocka_unit_test(test_words_stand_apart_on_an_oblong),
        cmocka_unit_test(test_words_stand_apart_on_a_disc),
        cmocka_unit_test(test_words_stand_apart_at_any_turn),
        cmocka_unit_test(test_words_stand_apart_on_long_panels),
        cmocka_unit_test(test_drips_tell_what_ran_off),
        cmocka_unit_test(test_drips_hang_where_paint_left),
        cmocka_unit_test(test_corners_are_due_and_then_covered),
        cmocka_unit_test(test_old_answers_are_not_told),
        cmocka_unit_test(test_a_corner_that_stays_bare_says_never),
        cmocka_unit_test(test_bubble_stands_under_the_hand),
        cmocka_unit_test(test_knob_turns_with_the_table),
        cmocka_unit_test(test_ends_of_the_section_lie_where_they_are),
        cmocka_unit_test(test_a_short_slip_takes_away_only_what_it_covers),
        cmocka_unit_test(test_the_section_has_room_in_the_smallest_window),
        cmocka_unit_test(test_line_of_arrival_follows_the_hand),
        cmocka_unit_test(test_fold_follows_the_hand),
        cmocka_unit_test(test_peel_leaves_the_face_before_the_fold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
