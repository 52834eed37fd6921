/* A face that was traced right back is not replaced by a rough one of the same plan and moment, and what is seen says what it
   is. */
#include <math.h>
#include <string.h>
#include <time.h>

#include "bench.h"
#include "check.h"
#include "edit.h"
#include "outcome.h"
#include "program.h"
#include "staged.h"

static int set_up(void **state)
{
    rv_app_options options = app_defaults();
    options.cells = 80;
    options.preview = 64;
    options.points = 96;
    options.threads = 1;
    options.keeps = options.asks = options.caches = false;
    program *p = program_begin(options, cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL));
    app_open(p->app, PROGRAM_SMALL);
    p->view->time = view_end(p->view);
    program_wait(p, program_still);
    assert_true(app_shown(p->app, PLACE_BENCH)->picture->sharp);
    *state = p;
    return 0;
}

static int tear_down(void **state)
{
    program_end(*state);
    return 0;
}

static int rough; /* frames that showed a rough face of the plan's end */

static void count_rough(program *p)
{
    const rv_studio_picture *seen = app_shown(p->app, PLACE_BENCH)->picture;
    rough += p->view->page == PAGE_BENCH && seen && seen->version == document_version(p->view->doc) && !seen->sharp &&
             fabs(seen->time - view_end(p->view)) < 1e-6;
}

static bool sharp_again(program *p)
{
    count_rough(p);
    return !p->view->playing && program_still(p);
}

static void light_sheets_and_pages_leave_it_sharp(void **state)
{
    program *p = *state;
    static const struct {
        int key;
        unsigned mods;
    } keys[] = {{'u', 0}, {'g', 0}, {'l', 0}, {'2', 0}, {'3', 0}, {'5', 0}, {'6', 0}, {'1', 0}, {'r', 0}};
    rough = 0;
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
        hand_key(&p->hand, keys[k].key, keys[k].mods);
        program_wait(p, sharp_again);
    }
    for (int k = 0; k < PAGES; k++) {
        hand_key(&p->hand, KEY_F1 + 5, 0);
        for (int frame = 0; frame < 10; frame++) {
            program_frame(p);
            count_rough(p);
        }
    }
    assert_int_equal(p->view->page, PAGE_BENCH);
    program_wait(p, sharp_again);
    assert_int_equal(rough, 0);
}

static void play_ends_with_the_sharp_face_that_was_seen_before(void **state)
{
    program *p = *state;
    rough = 0;
    p->view->speed = INFINITY;
    hand_key(&p->hand, KEY_HOME, 0);
    hand_key(&p->hand, KEY_SPACE, 0);
    assert_true(p->view->playing);
    program_wait(p, sharp_again);
    check_close(p->view->time, view_end(p->view), 1e-12);
    assert_int_equal(rough, 0);
}

/* All that a frame asks for comes without another being drawn: who waits for a picture draws it once, in the end. */
static void what_a_frame_asks_for_comes_without_another(void **state)
{
    program *p = *state;
    p->view->time = 0.5 * view_end(p->view);
    p->view->sheets = (1u << SHEETS) - 1;
    program_frame(p);
    assert_false(program_still(p));
    for (int look = 0; !program_still(p); look++) {
        assert_true(look < 50000); /* of 4 ms */
        nanosleep(&(struct timespec){0, 4000000}, NULL);
        program_pass(p);
    }
    program_frame(p);
    assert_true(program_still(p));
}

/* What was traced of a plan that has been changed since is not kept. */
static void another_plan_is_traced_anew(void **state)
{
    program *p = *state;
    const rv_studio_picture *seen = app_shown(p->app, PLACE_BENCH)->picture;
    const long count = (long)seen->face->nx * seen->face->ny;
    unsigned char *before = malloc((size_t)count);
    assert_non_null(before);
    memcpy(before, seen->face->paint, (size_t)count);
    rn_plan *draft = document_draft(p->view->doc);
    edit_set_amount(draft, 0, 0.5 * draft->moves[0].amount);
    program_change(p, draft);
    program_wait(p, program_still);
    seen = app_shown(p->app, PLACE_BENCH)->picture;
    assert_true(seen->sharp);
    long differ = 0;
    for (long k = 0; k < count; k++)
        differ += before[k] != seen->face->paint[k];
    assert_true(differ > count / 100);
    free(before);
}

/* ---- what it is called ---- */

static void a_rough_face_and_another_grid_are_told(void **state)
{
    (void)state;
    staged stage;
    assert_true(staged_set(&stage, PROGRAM_SMALL, INFINITY, 64));
    assert_true(staged_draw(&stage, 1280, 800, 0, NULL, NULL));
    rv_canvas canvas = {.at = stage.view->layout, .view = stage.view, .shown = stage.shown};
    rv_shown *shown = &stage.shown[PLACE_BENCH];
    rv_bench bench = bench_look(&canvas);
    assert_int_equal(bench_age(&canvas, &bench), AGE_NONE);
    shown->picture->sharp = false;
    assert_int_equal(bench_age(&canvas, &bench), AGE_ROUGH);
    for (int finer = 0; finer < 2; finer++) {
        shown->picture->cells = finer ? 128 : 32;
        assert_int_equal(bench_age(&canvas, &bench), AGE_GRID);
    }
    /* Figures of the quick run without the motion are a first look on the finest grid too. */
    char text[1200];
    stage.view->finest = 64;
    outcome_text(text, sizeof text, &canvas);
    assert_null(strstr(text, "first look"));
    shown->tale->outline = true;
    outcome_text(text, sizeof text, &canvas);
    assert_non_null(strstr(text, "first look, 64 cells"));
    staged_clear(&stage);
}

int main(void)
{
#define WITH(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH(light_sheets_and_pages_leave_it_sharp),
        WITH(play_ends_with_the_sharp_face_that_was_seen_before),
        WITH(what_a_frame_asks_for_comes_without_another),
        WITH(another_plan_is_traced_anew),
        cmocka_unit_test(a_rough_face_and_another_grid_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
