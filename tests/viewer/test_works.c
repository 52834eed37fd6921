/* The window of plans that work on its page: tiles become plans, axes become others, and the program around it while it
   is worked out. Runs are a formula here (see mapped.h); what sessions say is tested elsewhere. */
#include <stdlib.h>
#include <string.h>

#include "axes.h"
#include "check.h"
#include "edit.h"
#include "limit.h"
#include "outcome.h"
#include "program.h"
#include "works.h"

#define ML 1e-6 /* [m3] */

/* ---- plans of a window ---- */

static void a_plan_of_the_window_is_known_as_one(void **state)
{
    (void)state;
    static rv_map map;
    rv_view *view = view_new();
    view_open(view, PROGRAM_PLAN);
    assert_true(mapped_set(&map, view, 100));
    const rn_plan *own = document_plan(view->doc);
    assert_true(map_holds(map.window, own));
    rn_error err = {0};
    for (int k = 0; k < 3; k++) {
        const rn_tile *tile = rn_window_tile(map.window, 3 + 7 * k, 2 + 4 * k);
        rn_plan *turned = NULL;
        check_ok(map_turn(&turned, map.window, own, tile->x, tile->y, &err), &err);
        assert_true(map_holds(map.window, turned));
        double x, y;
        map_values(&x, &y, map.window, turned);
        check_close(x, tile->x, 1e-9);
        check_close(y, tile->y, 1e-9);
        turned->paints[0].colour[0] ^= 0xFF; /* another colour is no other window */
        assert_true(map_holds(map.window, turned));
        edit_set_amount(turned, 0, turned->moves[0].amount * 1.01);
        assert_false(map_holds(map.window, turned));
        rn_plan_free(turned);
    }
    rn_plan *swapped = rn_plan_copy(own);
    edit_move_jar(swapped, 0, 1);
    assert_false(map_holds(map.window, swapped)); /* else a tile would put the jars back */
    rn_plan_free(swapped);
    mapped_clear(&map, view);
    view_free(view);
}

/* ---- worked out ---- */

static void it_is_worked_out_when_it_is_looked_at(void **state)
{
    (void)state;
    program *p = program_mapped(false);
    for (int k = 0; k < 5; k++)
        program_frame(p);
    assert_int_equal(atomic_load(&p->model->runs), 0); /* not before */
    program_show(p);
    const bool watched = getenv("RUNNEL_TEST_GRID") != NULL; /* faces are real pours: slow */
    program_wait(p, watched ? program_complete : program_still);
    const rv_map *map = program_map(p);
    assert_true(program_complete(p));
    assert_int_equal(rn_window_count(map->window, RN_TILE_OPEN), 0);
    assert_true(rn_window_count(map->window, RN_TILE_WORKS) > 0);
    assert_true(rn_window_count(map->window, RN_TILE_SPILLED) > 0);
    for (int k = 0; k < MAP_FACES && !watched; k++)
        assert_true(map->faces[k].done && map->faces[k].image);
    program_end(p);
}

static void single_runs_are_seen_before_the_pass_is_done(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    assert_int_equal(program_map(p)->note_count, 0); /* all in the tiles */
    const rn_outcome some = rn_window_tile(program_map(p)->window, 0, 0)->outcome;
    program_end(p);
    /* How many are seen on the way is a matter of timing; what one looks like is not. */
    static rv_map map;
    rv_view *view = view_new();
    view_open(view, PROGRAM_PLAN);
    assert_true(mapped_set(&map, view, 0));
    assert_int_equal(map_tile(&map, 0, 0).kind, RN_TILE_OPEN);
    map.notes[map.note_count++] = (rv_map_note){0, 0, some};
    assert_true(map_tile(&map, 0, 0).worked);
    assert_int_not_equal(map_tile(&map, 0, 0).kind, RN_TILE_OPEN);
    mapped_clear(&map, view);
    view_free(view);
}

static void a_plan_changed_meanwhile_begins_a_window_of_its_own(void **state)
{
    (void)state;
    program *p = program_shown(true, program_begun);
    rn_plan *draft = document_draft(p->view->doc);
    edit_set_jar_volume(draft, 0, 55 * ML);
    program_change(p, draft);
    hand_wait(&p->hand, 0.3);
    program_frame(p);
    check_close(rn_window_y(program_map(p)->window)->now, 85 * ML, 1e-9);
    assert_true(map_holds(program_map(p)->window, document_plan(p->view->doc)));
    atomic_store(&p->model->shut, false);
    program_wait(p, program_complete);
    check_close(rn_window_y(program_map(p)->window)->now, 85 * ML, 1e-9);
    program_end(p);
}

static void closing_does_not_wait_for_it(void **state)
{
    (void)state;
    program *p = program_shown(true, program_begun);
    program_end(p); /* a shut model would wait for ever */
    p = program_shown(true, program_begun);
    hand_key(&p->hand, 'v', 0);
    program_frame(p);
    assert_true(program_map(p)->answers[RV_LEAST_VOLUME].working);
    program_end(p);
}

static void check_sentence(rv_view *view, const rv_shown *shown, const char *says)
{
    rv_phrase phrases[PHRASES_MOST] = {0};
    char text[2000];
    const rv_canvas canvas = {.view = view, .shown = shown};
    outcome_join(text, sizeof text, phrases, works_phrases(phrases, &canvas));
    if (!strstr(text, says))
        fail_msg("'%s' is not in: %s", says, text);
}

/* What is said of this plan before its own forecast is there is said of the tile it stands on; and what was not tried is not said
   not to work. */
static void a_tile_is_not_taken_for_the_plan(void **state)
{
    (void)state;
    static rv_map map;
    rv_shown shown[PLACE_COUNT] = {0};
    rv_view *view = view_new();
    view_open(view, PROGRAM_PLAN);
    assert_true(mapped_set(&map, view, 100));
    check_sentence(view, shown, "this plan's tile");
    rv_studio_tale tale = {.version = document_version(view->doc), .complete = true};
    tale.forecast = (rn_forecast){.coverage = 1, .complete = true, .has_pattern = true, .poured = 1e-4};
    shown[0].tale = &tale;
    rv_phrase phrases[PHRASES_MOST] = {0};
    char text[2000];
    const rv_canvas canvas = {.view = view, .shown = shown};
    outcome_join(text, sizeof text, phrases, works_phrases(phrases, &canvas));
    assert_non_null(strstr(text, "this plan"));
    assert_null(strstr(text, "this plan's tile"));
    shown[0].tale = NULL;
    map.goal = (rn_goal){0};
    check_ok(rn_goal_add(&map.goal, "thinnest", "at least 90 mm", &(rn_error){0}), NULL);
    check_ok(rn_window_judge(map.window, &map.goal, &(rn_error){0}), NULL);
    map.complete = true;
    check_sentence(view, shown, "Nothing tried works. Closest:");
    mapped_clear(&map, view);
    view_free(view);
}

static void where_nothing_works_the_closest_is_told(void **state)
{
    (void)state;
    program *p = program_mapped(false);
    rn_plan *draft = document_draft(p->view->doc);
    limit_set(draft, LIMIT_THINNEST, 1.4e-3);
    program_change(p, draft);
    hand_wait(&p->hand, 0.3);
    program_show(p);
    program_wait(p, program_complete);
    assert_int_equal(rn_window_count(program_map(p)->window, RN_TILE_WORKS), 0);
    int column, row;
    bool works = true;
    assert_true(map_find_nearest(&column, &row, &works, program_map(p), 12, 6));
    assert_false(works);
    const double lack = rn_window_tile(program_map(p)->window, column, row)->lack;
    const rn_window_options options = rn_window_options_of(program_map(p)->window);
    for (int k = 0; k < options.columns * options.rows; k++) {
        const rn_tile *tile = rn_window_tile(program_map(p)->window, k % options.columns, k / options.columns);
        assert_true(!tile->worked || tile->lack >= lack);
    }
    program_end(p);
}

static void runs_that_fail_are_told(void **state)
{
    (void)state;
    program *p = program_mapped(false);
    atomic_store(&p->model->fails, true);
    program_show(p);
    program_wait(p, program_complete);
    const rn_window_options options = rn_window_options_of(program_map(p)->window);
    assert_int_equal(rn_window_count(program_map(p)->window, RN_TILE_NONE), options.columns * options.rows);
    hand_key(&p->hand, KEY_LEFT, 0);
    program_frame(p);
    program_end(p);
}

static void a_plan_without_paint_has_no_window(void **state)
{
    (void)state;
    program *p = program_mapped(false);
    hand_key(&p->hand, 'n', MOD_CTRL);
    program_frame(p);
    program_show(p);
    hand_wait(&p->hand, 0.3);
    program_frame(p);
    assert_true(program_map(p) && !program_map(p)->window);
    static const int keys[] = {'x', 'y', 'f', 'v', 'o', KEY_LEFT, KEY_ENTER, KEY_ESCAPE, KEY_UP};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
        hand_key(&p->hand, keys[k], 0);
        program_frame(p);
    }
    assert_true(program_still(p));
    program_end(p);
}

/* ---- another plan is taken, another axis ---- */

static void press_tile(program *p, int column, int row)
{
    double x, y;
    works_middle(&x, &y, &p->view->layout, p->view->map->window, column, row);
    hand_move(&p->hand, x, y);
    p->hand.now += 0.02;
    const rv_input press = {.kind = INPUT_PRESS,
                            .now = p->hand.now,
                            .x = x * p->view->layout.scale,
                            .y = y * p->view->layout.scale,
                            .clicks = 1};
    app_apply(p->app, &press);
    hand_lift(&p->hand);
}

static void check_plan_is_of_tile(const program *p, int column, int row)
{
    double x, y;
    const rn_tile *tile = rn_window_tile(program_map(p)->window, column, row);
    map_values(&x, &y, program_map(p)->window, document_plan(p->view->doc));
    check_close(x, tile->x, 1e-9);
    check_close(y, tile->y, 1e-9);
}

static void a_tile_becomes_the_plan_in_one_step(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    const int runs = atomic_load(&p->model->runs), depth = document_undo_depth(p->view->doc);
    rn_plan *before = rn_plan_copy(document_plan(p->view->doc));
    press_tile(p, 5, 9);
    program_frame(p);
    check_plan_is_of_tile(p, 5, 9);
    assert_int_equal(document_undo_depth(p->view->doc), depth + 1);
    assert_true(program_complete(p)); /* the same window: this plan stands elsewhere in it */
    assert_int_equal(atomic_load(&p->model->runs), runs);
    hand_key(&p->hand, 'z', MOD_CTRL);
    program_frame(p);
    assert_true(map_same_pour(before, document_plan(p->view->doc)));
    assert_true(program_complete(p));
    rn_plan_free(before);
    program_end(p);
}

static void arrows_and_enter_take_a_tile_too(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    double along_x, along_y;
    int column, row;
    map_place(&along_x, &along_y, program_map(p)->window, document_plan(p->view->doc));
    map_nearest_tile(&column, &row, program_map(p)->window, along_x, along_y);
    hand_key(&p->hand, KEY_LEFT, 0);
    hand_key(&p->hand, KEY_LEFT, 0);
    hand_key(&p->hand, KEY_UP, 0);
    int held_column = -1, held_row = -1;
    assert_true(works_looked_at(&held_column, &held_row, p->view));
    assert_int_equal(held_column, column - 2);
    assert_int_equal(held_row, row + 1);
    program_frame(p);
    hand_key(&p->hand, KEY_ENTER, 0);
    check_plan_is_of_tile(p, column - 2, row + 1);
    program_end(p);
}

static void colours_and_wishes_stay_when_a_tile_is_taken(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    rn_plan *draft = document_draft(p->view->doc);
    static const uint8_t red[3] = {0xff, 0x10, 0x10};
    memcpy(draft->paints[0].colour, red, 3);
    limit_set(draft, LIMIT_COVERED, 70);
    program_change(p, draft);
    program_frame(p);
    press_tile(p, 4, 4);
    assert_memory_equal(document_plan(p->view->doc)->paints[0].colour, red, 3);
    check_within(limit_get(document_plan(p->view->doc), LIMIT_COVERED).value, 70, 1e-9);
    program_end(p);
}

static double plan_x(const program *p)
{
    double x, y;
    map_values(&x, &y, program_map(p)->window, document_plan(p->view->doc));
    return x;
}

static void a_pin_is_dragged_to_a_tile(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    program_frame(p);
    const rn_box field = works_place(&p->view->layout).field;
    const double step = field.width / MAP_COLUMNS;
    const double x0 = plan_x(p);
    hand_take(&p->hand, PART_PIN, 0, 0);
    hand_shift(&p->hand, 3 * step, 0);
    program_frame(p);
    check_close(plan_x(p), x0, 1e-12); /* only when it is let go */
    hand_lift(&p->hand);
    assert_true(plan_x(p) > 1.2 * x0);
    program_end(p);
}

static void an_axis_becomes_another(void **state)
{
    (void)state;
    program *p = program_shown(false, program_begun);
    hand_key(&p->hand, 'x', 0);
    program_frame(p);
    hand_key(&p->hand, KEY_DOWN, 0); /* the paint poured, which is the other one: they change places */
    hand_key(&p->hand, KEY_ENTER, 0);
    program_frame(p);
    assert_string_equal(rn_window_x(program_map(p)->window)->path, "poured");
    assert_string_equal(rn_window_y(program_map(p)->window)->path, "consistency");
    program_frame(p);
    hand_press(&p->hand, PART_AXIS, 1, 0);
    program_frame(p);
    rv_axis list[AXES_MOST];
    axes_list(list, document_plan(p->view->doc));
    hand_press(&p->hand, PART_AXIS_CHOICE, 2, 0);
    program_frame(p);
    assert_string_equal(rn_window_y(program_map(p)->window)->path, list[2].path);
    program_wait(p, program_complete);
    program_end(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plan_of_the_window_is_known_as_one),
        cmocka_unit_test(it_is_worked_out_when_it_is_looked_at),
        cmocka_unit_test(single_runs_are_seen_before_the_pass_is_done),
        cmocka_unit_test(a_plan_changed_meanwhile_begins_a_window_of_its_own),
        cmocka_unit_test(closing_does_not_wait_for_it),
        cmocka_unit_test(a_tile_is_not_taken_for_the_plan),
        cmocka_unit_test(where_nothing_works_the_closest_is_told),
        cmocka_unit_test(runs_that_fail_are_told),
        cmocka_unit_test(a_plan_without_paint_has_no_window),
        cmocka_unit_test(a_tile_becomes_the_plan_in_one_step),
        cmocka_unit_test(arrows_and_enter_take_a_tile_too),
        cmocka_unit_test(colours_and_wishes_stay_when_a_tile_is_taken),
        cmocka_unit_test(a_pin_is_dragged_to_a_tile),
        cmocka_unit_test(an_axis_becomes_another),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
