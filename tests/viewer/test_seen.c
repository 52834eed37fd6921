/* The bench while a plan is being worked out: words and figures are of one moment and one run, and what is seen of another
   says so. */
#include "bench.h"
#include "check.h"
#include "keep.h"
#include "outcome.h"
#include "parts.h"
#include "staged.h"

#include <string.h>

#define SQUARE "presets/tide-table.yaml"
#define OBLONG "presets/wet-base.yaml" /* 30 x 40 cm */
#define ROUND "presets/round-tray.yaml"
#define CELLS 64

static const char *const paths[] = {SQUARE, OBLONG, ROUND};
static const int sizes[][2] = {{900, 600}, {1024, 768}, {1280, 800}, {900, 1200}, {1920, 1080}};

/* Under watch one stands for all: each is worked out anew. */
static size_t path_count(void)
{
    return getenv("RUNNEL_TEST_GRID") ? 1 : sizeof paths / sizeof *paths;
}

static rv_canvas canvas_of(staged *stage)
{
    return (rv_canvas){.at = stage->view->layout, .view = stage->view, .shown = stage->shown};
}

static rv_bench look(staged *stage)
{
    const rv_canvas canvas = canvas_of(stage);
    return bench_look(&canvas);
}

/* What has gone over the edges is told of the moment of the sentence, while the picture is of an earlier one. */
static void edges_tell_the_moment_of_the_sentence(void **state)
{
    (void)state;
    for (size_t p = 0; p < path_count(); p++) {
        staged stage;
        assert_true(staged_set(&stage, paths[p], 33, CELLS));
        rv_bench bench = look(&stage);
        const double *then = bench.picture->still->moment.run_off;
        stage.view->time = view_end(stage.view);
        bench = look(&stage);
        check_at_least(bench.tale->forecast.run_off, then[0] + then[1] + then[2] + then[3] + 1e-6);
        for (int side = 0; side < RN_SIDES; side++)
            check_close(fringe_run_off(&bench)[side], bench.tale->forecast.run_off_by_side[side], 1e-9);
        stage.shown[0].tale->record->moment_count /= 2; /* the end is not known: neither is this */
        bench = look(&stage);
        assert_non_null(bench.picture);
        assert_null(fringe_run_off(&bench));
        staged_clear(&stage);
    }
}

static rv_age age(staged *stage)
{
    const rv_canvas canvas = canvas_of(stage);
    const rv_bench bench = bench_look(&canvas);
    return bench_age(&canvas, &bench);
}

static void what_is_seen_is_held_against_what_is_told(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, OBLONG, 33, CELLS));
    rv_view *view = stage.view;
    assert_int_equal(age(&stage), AGE_NONE);
    stage.shown[0].tale->cells = 2 * CELLS;
    assert_int_equal(age(&stage), AGE_GRID);
    view->time = view_end(view);
    assert_int_equal(age(&stage), AGE_MOMENT);
    stage.shown[0].tale->cells = CELLS;
    assert_int_equal(age(&stage), AGE_MOMENT);
    view->time = 20; /* a later moment is no better than an earlier one */
    assert_int_equal(age(&stage), AGE_MOMENT);
    view->playing = true; /* the next picture is under way */
    assert_int_equal(age(&stage), AGE_NONE);
    stage.shown[0].picture->wish.time = view->time; /* that was it */
    assert_int_equal(age(&stage), AGE_MOMENT);
    view->playing = false;
    stage.shown[0].picture->version--;
    assert_int_equal(age(&stage), AGE_CHANGED);
    staged_clear(&stage);
}

/* How many texts stand on the panel when nothing but the film is drawn, or in the core's box when nothing but that is. */
static int texts_on(staged *stage, int width, int height, bool core)
{
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    cairo_t *cr = cairo_create(surface);
    rv_handles handles = {0};
    const rn_panel *panel = &document_plan(stage->view->doc)->panel;
    rv_canvas canvas = {.at = layout_make(width, height, 1, panel, NULL),
                        .view = stage->view,
                        .shown = stage->shown,
                        .handles = &handles};
    assert_true(rn_pen_init(&canvas.pen, cr, true));
    cairo_scale(cr, canvas.at.scale, canvas.at.scale);
    (core ? core_draw : film_draw)(&canvas);
    const rn_box p = core ? canvas.at.core : canvas.at.panel;
    int count = 0;
    for (int k = 0; k < canvas.pen.box_count; k++) {
        const rn_box box = canvas.pen.boxes[k];
        count +=
            box.x >= p.x && box.x + box.width <= p.x + p.width && box.y >= p.y && box.y + box.height <= p.y + p.height;
    }
    rn_pen_clear(&canvas.pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    return count;
}

static int texts_on_panel(staged *stage, int width, int height)
{
    return texts_on(stage, width, height, false);
}

/* It says so on the face itself. */
static void a_face_of_another_moment_says_so(void **state)
{
    (void)state;
    for (size_t p = 0; p < path_count(); p++) {
        staged stage;
        assert_true(staged_set(&stage, paths[p], 33, CELLS));
        for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
            stage.view->time = 33;
            stage.view->sheets = 1u << SHEET_FACE;
            stage.view->room = k % 2;
            assert_int_equal(texts_on_panel(&stage, sizes[k][0], sizes[k][1]), 0);
            stage.view->time = view_end(stage.view);
            assert_int_equal(texts_on_panel(&stage, sizes[k][0], sizes[k][1]), 1);
            stage.view->sheets = (1u << SHEETS) - 1;
            rv_frame_check check = {0};
            assert_true(staged_draw(&stage, sizes[k][0], sizes[k][1], 0.3 * (double)((k + p) % 3), &check, NULL));
            assert_int_equal(check.overlaps + check.outside + check.lost, 0);
        }
        staged_clear(&stage);
    }
}

/* So do the layers under the pointer. */
static void layers_of_another_moment_say_so(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, SQUARE, 33, CELLS));
    stage.view->pointing = stage.view->on_panel = true;
    stage.view->sheets = 1u << SHEET_FACE;
    const int told = texts_on(&stage, 1280, 800, true);
    stage.view->time = view_end(stage.view);
    assert_int_equal(texts_on(&stage, 1280, 800, true), told + 1);
    staged_clear(&stage);
}

/* Depth on the way is read from the film that is seen: never from a film of another grid than the sentence's. */
static void the_sentence_takes_no_depth_from_another_grid(void **state)
{
    (void)state;
    char text[1200];
    staged stage;
    assert_true(staged_set(&stage, OBLONG, INFINITY, CELLS));
    const rv_canvas canvas = canvas_of(&stage);
    rn_record *record = stage.shown[0].tale->record;
    stage.shown[0].tale->complete = false; /* else its own thinnest is told */
    record->moments[record->moment_count - 1].coverage = 1;
    outcome_text(text, sizeof text, &canvas);
    assert_non_null(strstr(text, "thinnest"));
    stage.shown[0].tale->cells = 2 * CELLS;
    outcome_text(text, sizeof text, &canvas);
    assert_null(strstr(text, "thinnest"));
    staged_clear(&stage);
}

/* After a change late in a plan what lies before it is kept, and nothing that was told of later. */
static void what_is_kept_of_a_plan_tells_nothing_of_later(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, OBLONG, 40, CELLS));
    rv_studio_tale *tale = stage.shown[0].tale;
    rn_forecast *forecast = &tale->forecast;
    assert_true(forecast->corners[0].covered_at > 100 && forecast->corners[2].covered_at > 100);
    /* As if one corner had been covered for 9 s by 60 s, and bare again later; and another from 20 s on. */
    for (int k = 0; k < tale->record->moment_count; k++) {
        const double time = tale->record->moments[k].time;
        tale->record->moments[k].corner[1] = time > 51 && time < 80 ? 2 * forecast->cover : 0;
    }
    forecast->corners[1].covered_at = NAN;
    forecast->corners[3].covered_at = 20;
    const rn_record *record = tale->record;
    const long cells = (long)record->grid.nx * record->grid.ny;
    long came = 0, later = 0;
    for (long k = 0; k < cells; k++) {
        came += record->arrival[k] <= 60;
        later += record->arrival[k] > 60;
    }
    assert_true(came > 0 && later > 0);
    assert_true(keep_tale(tale, 60, 190, tale->version));
    long kept = 0;
    for (long k = 0; k < cells; k++) {
        assert_false(record->arrival[k] > (float)tale->solved); /* NaN: not yet */
        kept += !isnan(record->arrival[k]);
    }
    assert_true(kept > 0 && kept <= came);
    assert_false(tale->complete || forecast->has_pattern || forecast->covered);
    assert_true(isnan(forecast->corners[0].covered_at) && isnan(forecast->corners[2].covered_at));
    check_within(forecast->corners[1].covered_at, 51, 0.4);
    check_within(forecast->corners[3].covered_at, 20, 0);
    const rv_bench bench = look(&stage);
    assert_true(bench.known);
    assert_string_equal(corners_note(&bench, 40, 0).head, "not yet"); /* it was due, in the plan before */
    staged_clear(&stage);
}

/* In a rehearsal the last moment worked out is told as what it is, and if the film that is seen is further, that one. */
static void a_rehearsal_tells_the_last_moment_known(void **state)
{
    (void)state;
    char text[1200], due[64];
    staged stage;
    assert_true(staged_set(&stage, OBLONG, 40, CELLS));
    rv_view *view = stage.view;
    const rv_canvas canvas = canvas_of(&stage);
    rn_record *record = stage.shown[0].tale->record;
    stage.shown[0].tale->complete = false;
    while (record->moments[record->moment_count - 1].time > 38)
        record->moment_count--;
    view->time = 43;
    outcome_text(text, sizeof text, &canvas);
    assert_string_equal(text, "At 43 s; not worked out yet");
    const rv_bench before = look(&stage);
    assert_null(fringe_run_off(&before));
    view->rehearsal.on = true;
    for (int seen = 0; seen < 2; seen++) {
        const rn_moment *last =
            seen ? &stage.shown[0].picture->still->moment : &record->moments[record->moment_count - 1];
        stage.shown[0].picture->cells = seen ? CELLS : 2 * CELLS; /* another run is no further */
        outcome_text(text, sizeof text, &canvas);
        snprintf(due, sizeof due, "By hand, at %.0f s; ", last->time);
        assert_int_equal(strncmp(text, due, strlen(due)), 0);
        snprintf(due, sizeof due, "; %.1f %% covered", 100 * last->coverage);
        assert_non_null(strstr(text, due));
        assert_null(strstr(text, "not worked out yet"));
        const rv_bench bench = look(&stage);
        assert_true(bench.known);
        check_within(bench.moment.time, last->time, 1e-9);
        check_within(bench.moment.coverage, last->coverage, 1e-12);
    }
    staged_clear(&stage);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(edges_tell_the_moment_of_the_sentence),
        cmocka_unit_test(what_is_seen_is_held_against_what_is_told),
        cmocka_unit_test(a_face_of_another_moment_says_so),
        cmocka_unit_test(layers_of_another_moment_say_so),
        cmocka_unit_test(the_sentence_takes_no_depth_from_another_grid),
        cmocka_unit_test(what_is_kept_of_a_plan_tells_nothing_of_later),
        cmocka_unit_test(a_rehearsal_tells_the_last_moment_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
