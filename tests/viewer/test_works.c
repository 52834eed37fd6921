/* The window of plans that work: its axes and limits, its tiles become plans, and the program around it while it is worked out.
   Runs are a formula here (see mapped.h); what sessions say is tested elsewhere. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "app.h"
#include "axes.h"
#include "base/monotonic.h"
#include "check.h"
#include "edit.h"
#include "hand.h"
#include "limit.h"
#include "mapped.h"
#include "works.h"

#define PLAN "presets/small-study.yaml"
#define LONGEST 200.0 /* [s] */
#define ML 1e-6

static rn_plan *open_plan(const char *path)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, path, &err), &err);
    return plan;
}

/* ---- axes ---- */

static void axes_lie_around_what_the_plan_says(void **state)
{
    (void)state;
    rn_plan *plan = open_plan(PLAN);
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, plan);
    assert_true(count >= 6);
    assert_string_equal(list[0].path, "consistency");
    assert_string_equal(list[1].path, "poured");
    for (int k = 0; k < count; k++) {
        rn_dial dial;
        rn_error err = {0};
        check_ok(axes_dial(&dial, plan, list[k].path, &err), &err);
        check_at_least(dial.now, dial.from);
        check_at_most(dial.now, dial.to);
        assert_true(dial.now - dial.from > 0.1 * dial.now && dial.to - dial.now > 0.1 * dial.now);
        for (int other = 0; other < k; other++)
            assert_string_not_equal(list[k].words, list[other].words);
    }
    rn_plan_free(plan);
}

static void marks_are_round_and_within(void **state)
{
    (void)state;
    rn_plan *plan = open_plan(PLAN);
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, plan);
    for (int k = 0; k < count; k++)
        for (int ounces = 0; ounces < 2; ounces++) {
            rn_dial dial;
            rn_error err = {0};
            rv_axis_mark marks[AXES_MARKS];
            check_ok(axes_dial(&dial, plan, list[k].path, &err), &err);
            const int all = axes_marks(marks, &dial, dial.from, dial.to, 7, ounces);
            assert_in_range(all, 2, AXES_MARKS);
            for (int m = 0; m < all; m++) {
                check_at_least(marks[m].value, dial.from * (1 - 1e-6));
                check_at_most(marks[m].value, dial.to * (1 + 1e-6));
                assert_true(strlen(marks[m].text) <= 5);
            }
        }
    rn_plan_free(plan);
}

/* ---- limits ---- */

static void a_limit_that_is_set_is_what_the_plan_expects(void **state)
{
    (void)state;
    rn_plan *plan = open_plan(PLAN);
    const int before = plan->expect_count;
    static const double values[LIMITS] = {[LIMIT_COVERED] = 60,
                                          [LIMIT_RUN_OFF] = 12 * ML,
                                          [LIMIT_THINNEST] = 0.25e-3,
                                          [LIMIT_STRETCH] = 3.6,
                                          [LIMIT_TWIST] = 0.5};
    for (rv_limit limit = 0; limit < LIMITS; limit++) {
        limit_set(plan, limit, values[limit]);
        const rv_limit_at at = limit_get(plan, limit);
        assert_true(at.on);
        check_within(at.value, values[limit], 0.51 * at.step);
        check_within(limit_value(&at, limit_along(&at, at.value)), at.value, 1e-12);
    }
    assert_int_equal(plan->expect_count, before + 3); /* two were there */
    rn_error err = {0};
    check_ok(rn_plan_check(plan, &err), &err);
    for (rv_limit limit = 0; limit < LIMITS; limit++) { /* at the lax end nothing is asked */
        const rv_limit_at at = limit_get(plan, limit);
        limit_set(plan, limit, at.least ? at.from : at.to);
        assert_false(limit_get(plan, limit).on);
    }
    assert_int_equal(plan->expect_count, 2); /* coverage and corner */
    rn_plan_free(plan);
}

/* A plan that expects nothing is judged by its coverage; it is so still when a limit comes to that. */
static void the_first_limit_does_not_forget_coverage(void **state)
{
    (void)state;
    rn_plan *plan = open_plan(PLAN);
    plan->expect_count = 0;
    const rn_goal usual = rn_goal_of_plan(plan);
    limit_set(plan, LIMIT_RUN_OFF, 0.3);
    assert_int_equal(plan->expect_count, usual.count + 1);
    assert_int_equal(plan->expects[0].kind, usual.demands[0].kind);
    assert_true(limit_get(plan, LIMIT_RUN_OFF).on);
    rn_plan_free(plan);
}

/* ---- plans of a window ---- */

static void a_plan_of_the_window_is_known_as_one(void **state)
{
    (void)state;
    static rv_map map;
    rv_view *view = view_new();
    view_open(view, PLAN);
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

/* ---- the program ---- */

typedef struct bench {
    rv_app *app;
    cairo_surface_t *surface;
    painter hand;
    mapped_model model;
} bench;

static bench *begin(bool shut)
{
    static bench b;
    rn_error err = {0};
    rv_app_options options = app_defaults();
    b = (bench){0};
    atomic_init(&b.model.runs, 0);
    atomic_init(&b.model.shut, shut);
    atomic_init(&b.model.fails, false);
    options.cells = options.preview = 64;
    options.points = 64;
    options.threads = 1;
    options.keeps = options.asks = options.caches = false;
    options.model = mapped_run;
    options.model_context = &b.model;
    check_ok(app_new(&b.app, options, &err), &err);
    b.surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL); /* only where things stand is looked at */
    b.hand = (painter){.view = app_view(b.app), .now = 1};
    app_open(b.app, PLAN);
    return &b;
}

static void frame(bench *b)
{
    b->hand.now += 1.0 / 60;
    const rv_input tick = {.kind = INPUT_TICK, .now = b->hand.now};
    app_apply(b->app, &tick);
    app_update(b->app);
    rv_frame_check check = {0};
    cairo_surface_destroy(b->surface); /* it would remember every frame */
    b->surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    assert_true(app_draw(b->app, b->surface, &check));
    assert_int_equal(check.overlaps + check.outside, 0);
}

static void wait_for(bench *b, bool reached(bench *))
{
    const double begun = rn_monotonic_now();
    frame(b);
    while (!reached(b)) {
        nanosleep(&(struct timespec){0, 4000000}, NULL);
        frame(b);
        assert_true(rn_monotonic_now() - begun < LONGEST);
    }
    frame(b);
}

static const rv_map *map_of(const bench *b)
{
    return app_view(b->app)->map;
}

static bool complete(bench *b)
{
    const rv_map *map = map_of(b);
    return map && map->window && map->complete && map->version == document_version(app_view(b->app)->doc);
}

static bool begun(bench *b)
{
    return map_of(b) && map_of(b)->window;
}

static bool answered(bench *b)
{
    return map_of(b)->answers[RV_LEAST_VOLUME].done || map_of(b)->answers[RV_ODDS].done;
}

static bool still(bench *b)
{
    return app_still(b->app);
}

static void show_window(bench *b)
{
    frame(b);
    hand_press(&b->hand, PART_PAGE, PAGE_WINDOW, 0);
    assert_int_equal(app_view(b->app)->page, PAGE_WINDOW);
}

static void end(bench *b)
{
    app_free(b->app);
    cairo_surface_destroy(b->surface);
}

/* The kinds of all tiles in one number. */
static unsigned long kinds_of(const rv_map *map)
{
    const rn_window_options options = rn_window_options_of(map->window);
    unsigned long sum = 5381;
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++)
            sum = sum * 33 + (unsigned long)map_tile(map, column, row).kind;
    return sum;
}

static void press_tile(bench *b, int column, int row)
{
    rv_view *view = app_view(b->app);
    double x, y;
    works_middle(&x, &y, &view->layout, view->map->window, column, row);
    hand_move(&b->hand, x, y);
    b->hand.now += 0.02;
    const rv_input press = {
        .kind = INPUT_PRESS, .now = b->hand.now, .x = x * view->layout.scale, .y = y * view->layout.scale, .clicks = 1};
    app_apply(b->app, &press);
    hand_lift(&b->hand);
}

static void it_is_worked_out_when_it_is_looked_at(void **state)
{
    (void)state;
    bench *b = begin(false);
    for (int k = 0; k < 5; k++)
        frame(b);
    assert_int_equal(atomic_load(&b->model.runs), 0); /* not before */
    show_window(b);
    const bool watched = getenv("RUNNEL_TEST_GRID") != NULL; /* faces are real pours: slow */
    wait_for(b, watched ? complete : still);
    const rv_map *map = map_of(b);
    assert_true(complete(b));
    assert_int_equal(rn_window_count(map->window, RN_TILE_OPEN), 0);
    assert_true(rn_window_count(map->window, RN_TILE_WORKS) > 0);
    assert_true(rn_window_count(map->window, RN_TILE_SPILLED) > 0);
    for (int k = 0; k < MAP_FACES && !watched; k++)
        assert_true(map->faces[k].done && map->faces[k].image);
    end(b);
}

static void single_runs_are_seen_before_the_pass_is_done(void **state)
{
    (void)state;
    bench *b = begin(false);
    int most = 0;
    show_window(b);
    const double since = rn_monotonic_now();
    while (!complete(b)) {
        frame(b);
        most = begun(b) && map_of(b)->note_count > most ? map_of(b)->note_count : most;
        assert_true(rn_monotonic_now() - since < LONGEST);
    }
    assert_int_equal(map_of(b)->note_count, 0); /* all in the tiles */
    const rn_outcome some = rn_window_tile(map_of(b)->window, 0, 0)->outcome;
    end(b);
    (void)most; /* how many are seen is a matter of timing; what one looks like is not: */
    static rv_map map;
    rv_view *view = view_new();
    view_open(view, PLAN);
    assert_true(mapped_set(&map, view, 0));
    assert_int_equal(map_tile(&map, 0, 0).kind, RN_TILE_OPEN);
    map.notes[map.note_count++] = (rv_map_note){0, 0, some};
    assert_true(map_tile(&map, 0, 0).worked);
    assert_int_not_equal(map_tile(&map, 0, 0).kind, RN_TILE_OPEN);
    mapped_clear(&map, view);
    view_free(view);
}

static void limits_sort_tiles_anew_without_a_run(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, complete);
    const unsigned long before = kinds_of(map_of(b));
    const int depth = document_undo_depth(view->doc);
    atomic_store(&b->model.shut, true);
    const int runs = atomic_load(&b->model.runs);
    hand_take(&b->hand, PART_LIMIT, LIMIT_COVERED, 0);
    hand_shift(&b->hand, -60, 0);
    frame(b);
    assert_int_equal(atomic_load(&b->model.runs), runs);
    assert_int_not_equal(kinds_of(map_of(b)), before);
    hand_lift(&b->hand);
    frame(b);
    assert_int_equal(document_undo_depth(view->doc), depth + 1);
    assert_int_equal(atomic_load(&b->model.runs), runs);
    hand_key(&b->hand, 'z', MOD_CTRL);
    frame(b);
    assert_int_equal(kinds_of(map_of(b)), before); /* nothing was forgotten */
    atomic_store(&b->model.shut, false);
    wait_for(b, complete);
    assert_int_equal(kinds_of(map_of(b)), before);
    end(b);
}

static void limits_go_by_arrows(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, begun);
    view->focus = (rv_part_at){PART_LIMIT, LIMIT_COVERED, 0};
    view->focus_seen = true;
    const double was = limit_get(document_plan(view->doc), LIMIT_COVERED).value;
    hand_key(&b->hand, KEY_LEFT, 0);
    check_within(limit_get(document_plan(view->doc), LIMIT_COVERED).value, was - 1, 1e-9);
    hand_key(&b->hand, KEY_LEFT, MOD_SHIFT);
    check_within(limit_get(document_plan(view->doc), LIMIT_COVERED).value, was - 11, 1e-9);
    hand_key(&b->hand, KEY_DELETE, 0);
    assert_false(limit_get(document_plan(view->doc), LIMIT_COVERED).on);
    end(b);
}

static void limits_are_typed(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, begun);
    view->focus = (rv_part_at){PART_LIMIT, LIMIT_COVERED, 0};
    view->focus_seen = true;
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_true(view->typing.on);
    hand_type(&b->hand, "1.2 min");
    frame(b);
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_false(view->typing.on);
    check_within(limit_get(document_plan(view->doc), LIMIT_COVERED).value, 72, 1e-9);
    view->focus.a = LIMIT_RUN_OFF;
    static const struct {
        const char *text;
        double value; /* NaN: refused */
    } tries[] = {{"at most 30 %", 0.3},       {"12 ml", 12 * ML},     {"9 ml +- 4 ml", 9 * ML},
                 {"front at most 5 ml", NAN}, {"at least 3 ml", NAN}, {"much", NAN}};
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        hand_key(&b->hand, KEY_ENTER, 0);
        hand_type(&b->hand, tries[k].text);
        hand_key(&b->hand, KEY_ENTER, 0);
        frame(b);
        assert_int_equal(view->typing.on, isnan(tries[k].value));
        assert_int_equal(view->typing.trouble[0] != '\0' && view->typing.on, isnan(tries[k].value));
        if (!isnan(tries[k].value))
            check_close(limit_get(document_plan(view->doc), LIMIT_RUN_OFF).value, tries[k].value, 1e-9);
        else
            hand_key(&b->hand, KEY_ESCAPE, 0);
    }
    hand_key(&b->hand, KEY_ENTER, 0);
    hand_type(&b->hand, "any");
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_false(limit_get(document_plan(view->doc), LIMIT_RUN_OFF).on);
    end(b);
}

/* What no tile knew yet has to be worked out: then the window begins anew, with it. */
static void a_limit_on_stretch_needs_another_search(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, complete);
    assert_false(rn_window_options_of(map_of(b)->window).pattern);
    view->focus = (rv_part_at){PART_LIMIT, LIMIT_STRETCH, 0};
    view->focus_seen = true;
    for (int k = 0; k < 5; k++)
        hand_key(&b->hand, KEY_LEFT, MOD_SHIFT);
    hand_wait(&b->hand, 0.3);
    wait_for(b, complete);
    assert_true(rn_window_options_of(map_of(b)->window).pattern);
    assert_true(rn_window_count(map_of(b)->window, RN_TILE_PULLED) > 0);
    end(b);
}

static void a_tile_becomes_the_plan_in_one_step(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, complete);
    const int runs = atomic_load(&b->model.runs), depth = document_undo_depth(view->doc);
    double x, y;
    rn_plan *before = rn_plan_copy(document_plan(view->doc));
    press_tile(b, 5, 9);
    frame(b);
    const rn_tile *tile = rn_window_tile(map_of(b)->window, 5, 9);
    map_values(&x, &y, map_of(b)->window, document_plan(view->doc));
    check_close(x, tile->x, 1e-9);
    check_close(y, tile->y, 1e-9);
    assert_int_equal(document_undo_depth(view->doc), depth + 1);
    assert_true(complete(b)); /* the same window: this plan stands elsewhere in it */
    assert_int_equal(atomic_load(&b->model.runs), runs);
    hand_key(&b->hand, 'z', MOD_CTRL);
    frame(b);
    assert_true(map_same_pour(before, document_plan(view->doc)));
    assert_true(complete(b));
    rn_plan_free(before);
    end(b);
}

static void arrows_and_enter_take_a_tile_too(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, complete);
    double along_x, along_y, x, y;
    int column, row;
    map_place(&along_x, &along_y, map_of(b)->window, document_plan(view->doc));
    map_nearest_tile(&column, &row, map_of(b)->window, along_x, along_y);
    hand_key(&b->hand, KEY_LEFT, 0);
    hand_key(&b->hand, KEY_LEFT, 0);
    hand_key(&b->hand, KEY_UP, 0);
    int held_column = -1, held_row = -1;
    assert_true(works_looked_at(&held_column, &held_row, view));
    assert_int_equal(held_column, column - 2);
    assert_int_equal(held_row, row + 1);
    frame(b);
    hand_key(&b->hand, KEY_ENTER, 0);
    map_values(&x, &y, map_of(b)->window, document_plan(view->doc));
    check_close(x, rn_window_tile(map_of(b)->window, column - 2, row + 1)->x, 1e-9);
    check_close(y, rn_window_tile(map_of(b)->window, column - 2, row + 1)->y, 1e-9);
    end(b);
}

static void colours_and_wishes_stay_when_a_tile_is_taken(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, complete);
    rn_plan *draft = document_draft(view->doc);
    rn_error err = {0};
    static const uint8_t red[3] = {0xff, 0x10, 0x10};
    memcpy(draft->paints[0].colour, red, 3);
    limit_set(draft, LIMIT_COVERED, 70);
    check_ok(document_commit(view->doc, draft, "colour", false, &err), &err);
    frame(b);
    press_tile(b, 4, 4);
    assert_memory_equal(document_plan(view->doc)->paints[0].colour, red, 3);
    check_within(limit_get(document_plan(view->doc), LIMIT_COVERED).value, 70, 1e-9);
    end(b);
}

static void a_pin_is_dragged_to_a_tile(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, complete);
    frame(b);
    const rn_box field = works_place(&view->layout).field;
    const double step = field.width / MAP_COLUMNS;
    double x, y, x0, y0;
    map_values(&x0, &y0, map_of(b)->window, document_plan(view->doc));
    hand_take(&b->hand, PART_PIN, 0, 0);
    hand_shift(&b->hand, 3 * step, 0);
    frame(b);
    map_values(&x, &y, map_of(b)->window, document_plan(view->doc));
    check_close(x, x0, 1e-12); /* only when it is let go */
    hand_lift(&b->hand);
    map_values(&x, &y, map_of(b)->window, document_plan(view->doc));
    assert_true(x > 1.2 * x0);
    end(b);
}

static void an_axis_becomes_another(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, begun);
    hand_key(&b->hand, 'x', 0);
    frame(b);
    hand_key(&b->hand, KEY_DOWN, 0); /* the paint poured, which is the other one: they change places */
    hand_key(&b->hand, KEY_ENTER, 0);
    frame(b);
    assert_string_equal(rn_window_x(map_of(b)->window)->path, "poured");
    assert_string_equal(rn_window_y(map_of(b)->window)->path, "consistency");
    frame(b);
    hand_press(&b->hand, PART_AXIS, 1, 0);
    frame(b);
    rv_axis list[AXES_MOST];
    axes_list(list, document_plan(view->doc));
    hand_press(&b->hand, PART_AXIS_CHOICE, 2, 0);
    frame(b);
    assert_string_equal(rn_window_y(map_of(b)->window)->path, list[2].path);
    wait_for(b, complete);
    end(b);
}

static void a_plan_changed_meanwhile_begins_a_window_of_its_own(void **state)
{
    (void)state;
    bench *b = begin(true);
    rv_view *view = app_view(b->app);
    show_window(b);
    wait_for(b, begun);
    rn_plan *draft = document_draft(view->doc);
    rn_error err = {0};
    edit_set_jar_volume(draft, 0, 55 * ML);
    check_ok(document_commit(view->doc, draft, "volume", false, &err), &err);
    hand_wait(&b->hand, 0.3);
    frame(b);
    check_close(rn_window_y(map_of(b)->window)->now, 85 * ML, 1e-9);
    assert_true(map_holds(map_of(b)->window, document_plan(view->doc)));
    atomic_store(&b->model.shut, false);
    wait_for(b, complete);
    check_close(rn_window_y(map_of(b)->window)->now, 85 * ML, 1e-9);
    end(b);
}

static void closing_does_not_wait_for_it(void **state)
{
    (void)state;
    bench *b = begin(true);
    show_window(b);
    wait_for(b, begun);
    const double since = rn_monotonic_now();
    end(b);
    assert_true(rn_monotonic_now() - since < 10); /* a shut model would wait for ever */
    b = begin(true);
    show_window(b);
    wait_for(b, begun);
    hand_key(&b->hand, 'v', 0);
    frame(b);
    assert_true(map_of(b)->answers[RV_LEAST_VOLUME].working);
    end(b);
}

static void where_nothing_works_the_closest_is_told(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    rn_plan *draft = document_draft(view->doc);
    rn_error err = {0};
    limit_set(draft, LIMIT_THINNEST, 1.4e-3);
    check_ok(document_commit(view->doc, draft, "wish", false, &err), &err);
    hand_wait(&b->hand, 0.3);
    show_window(b);
    wait_for(b, complete);
    assert_int_equal(rn_window_count(map_of(b)->window, RN_TILE_WORKS), 0);
    int column, row;
    bool works = true;
    assert_true(map_find_nearest(&column, &row, &works, map_of(b), 12, 6));
    assert_false(works);
    const double lack = rn_window_tile(map_of(b)->window, column, row)->lack;
    const rn_window_options options = rn_window_options_of(map_of(b)->window);
    for (int k = 0; k < options.columns * options.rows; k++) {
        const rn_tile *tile = rn_window_tile(map_of(b)->window, k % options.columns, k / options.columns);
        assert_true(!tile->worked || tile->lack >= lack);
    }
    end(b);
}

static void runs_that_fail_are_told(void **state)
{
    (void)state;
    bench *b = begin(false);
    atomic_store(&b->model.fails, true);
    show_window(b);
    wait_for(b, complete);
    const rn_window_options options = rn_window_options_of(map_of(b)->window);
    assert_int_equal(rn_window_count(map_of(b)->window, RN_TILE_NONE), options.columns * options.rows);
    hand_key(&b->hand, KEY_LEFT, 0);
    frame(b);
    end(b);
}

static void a_plan_without_paint_has_no_window(void **state)
{
    (void)state;
    bench *b = begin(false);
    hand_key(&b->hand, 'n', MOD_CTRL);
    frame(b);
    show_window(b);
    hand_wait(&b->hand, 0.3);
    frame(b);
    assert_true(map_of(b) && !map_of(b)->window);
    static const int keys[] = {'x', 'y', 'f', 'v', 'o', KEY_LEFT, KEY_ENTER, KEY_ESCAPE, KEY_UP};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
        hand_key(&b->hand, keys[k], 0);
        frame(b);
    }
    assert_true(app_still(b->app));
    end(b);
}

static void the_least_volume_is_found_and_taken(void **state)
{
    (void)state;
    bench *b = begin(false);
    rv_view *view = app_view(b->app);
    rn_plan *draft = document_draft(view->doc);
    rn_error err = {0};
    draft->expect_count = 0; /* covered, and nothing else */
    check_ok(document_commit(view->doc, draft, "wishes", false, &err), &err);
    hand_wait(&b->hand, 0.3);
    show_window(b);
    wait_for(b, complete);
    hand_key(&b->hand, 'v', 0);
    wait_for(b, answered);
    const rv_map_answer *answer = &map_of(b)->answers[RV_LEAST_VOLUME];
    /* By the formula: 0.7 + 500 depth / (1 + viscosity) is 0.995. */
    const rn_plan *plan = document_plan(view->doc);
    rn_plan_number number;
    check_ok(rn_plan_number_at(&number, plan, "consistency", &err), &err);
    const double least = 0.295 * (1 + number.value) / 500 * rn_panel_area(&plan->panel);
    check_at_least(answer->value, least * (1 - 1e-9));
    check_at_most(answer->value, least + 1.5 * ML);
    frame(b);
    hand_press(&b->hand, PART_ANSWER, RV_LEAST_VOLUME, 0);
    double poured = 0;
    for (int k = 0; k < document_plan(view->doc)->paint_count; k++)
        poured += edit_jar_volume(document_plan(view->doc), k);
    check_at_least(poured, least * (1 - 1e-9));
    check_at_most(poured, least + 1.5 * ML);
    frame(b);
    assert_false(map_of(b)->answers[RV_LEAST_VOLUME].done); /* it was of another plan */
    end(b);
}

static void the_odds_are_told(void **state)
{
    (void)state;
    bench *b = begin(false);
    show_window(b);
    wait_for(b, complete);
    hand_key(&b->hand, 'o', 0);
    wait_for(b, answered);
    assert_non_null(strstr(map_of(b)->answers[RV_ODDS].text, "of 100 draws"));
    end(b);
}

static void a_question_is_let_go(void **state)
{
    (void)state;
    bench *b = begin(false);
    show_window(b);
    wait_for(b, complete);
    atomic_store(&b->model.shut, true);
    hand_key(&b->hand, 'v', 0);
    frame(b);
    assert_true(map_of(b)->answers[RV_LEAST_VOLUME].working);
    assert_false(app_still(b->app));
    hand_key(&b->hand, KEY_ESCAPE, 0);
    frame(b);
    assert_false(map_of(b)->answers[RV_LEAST_VOLUME].working);
    hand_wait(&b->hand, 0.2);
    for (int k = 0; k < 20; k++) {
        frame(b);
        nanosleep(&(struct timespec){0, 10000000}, NULL);
    }
    assert_false(map_of(b)->answers[RV_LEAST_VOLUME].done);
    hand_key(&b->hand, 'v', 0); /* and can be asked again */
    frame(b);
    atomic_store(&b->model.shut, false);
    wait_for(b, answered);
    end(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(axes_lie_around_what_the_plan_says),
        cmocka_unit_test(marks_are_round_and_within),
        cmocka_unit_test(a_limit_that_is_set_is_what_the_plan_expects),
        cmocka_unit_test(the_first_limit_does_not_forget_coverage),
        cmocka_unit_test(a_plan_of_the_window_is_known_as_one),
        cmocka_unit_test(it_is_worked_out_when_it_is_looked_at),
        cmocka_unit_test(single_runs_are_seen_before_the_pass_is_done),
        cmocka_unit_test(limits_sort_tiles_anew_without_a_run),
        cmocka_unit_test(limits_go_by_arrows),
        cmocka_unit_test(limits_are_typed),
        cmocka_unit_test(a_limit_on_stretch_needs_another_search),
        cmocka_unit_test(a_tile_becomes_the_plan_in_one_step),
        cmocka_unit_test(arrows_and_enter_take_a_tile_too),
        cmocka_unit_test(colours_and_wishes_stay_when_a_tile_is_taken),
        cmocka_unit_test(a_pin_is_dragged_to_a_tile),
        cmocka_unit_test(an_axis_becomes_another),
        cmocka_unit_test(a_plan_changed_meanwhile_begins_a_window_of_its_own),
        cmocka_unit_test(closing_does_not_wait_for_it),
        cmocka_unit_test(where_nothing_works_the_closest_is_told),
        cmocka_unit_test(runs_that_fail_are_told),
        cmocka_unit_test(a_plan_without_paint_has_no_window),
        cmocka_unit_test(the_least_volume_is_found_and_taken),
        cmocka_unit_test(the_odds_are_told),
        cmocka_unit_test(a_question_is_let_go),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
