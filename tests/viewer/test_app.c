/* The whole program but its window: a plan is opened, worked out by the studios, drawn, changed, saved; what is drawn is
   measured. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/monotonic.h"
#include "base/physical.h"
#include "bench.h"
#include "check.h"
#include "edit.h"
#include "outcome.h"
#include "program.h"

static int set_up(void **state)
{
    rv_app_options options = app_defaults();
    options.cells = 80;
    options.preview = 64;
    options.points = 128;
    options.threads = 1;
    options.keeps = options.asks = false;
    program *p = program_begin(options, cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 800));
    app_open(p->app, PROGRAM_SMALL);
    program_frame(p);
    *state = p;
    return 0;
}

static int tear_down(void **state)
{
    program_end(*state);
    return 0;
}

/* How much of the panel, as drawn, is nearly of that colour. */
static double share_of(const program *p, const uint8_t rgb[3], double near)
{
    cairo_surface_flush(p->surface);
    const unsigned char *data = cairo_image_surface_get_data(p->surface);
    const int stride = cairo_image_surface_get_stride(p->surface);
    const rn_box panel = p->view->layout.panel;
    long all = 0, like = 0;
    for (int y = (int)panel.y + 2; y < (int)(panel.y + panel.height) - 2; y++)
        for (int x = (int)panel.x + 2; x < (int)(panel.x + panel.width) - 2; x++) {
            uint32_t pixel;
            memcpy(&pixel, data + (long)y * stride + 4L * x, sizeof pixel);
            const double r = (double)(pixel >> 16 & 0xFF) - rgb[0], g = (double)(pixel >> 8 & 0xFF) - rgb[1],
                         c = (double)(pixel & 0xFF) - rgb[2];
            all++;
            like += r * r + g * g + c * c < near * near;
        }
    return (double)like / (double)all;
}

static void the_face_is_drawn_in_the_plans_colours(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    view->time = view_end(view);
    program_wait(p, program_still);
    const rn_plan *plan = document_plan(view->doc);
    double sum = 0;
    for (int k = 0; k < plan->paint_count; k++) {
        const double share = share_of(p, plan->paints[k].colour, 60);
        assert_true(share > 0.02);
        sum += share;
    }
    assert_true(sum > 0.5);
    const rv_studio_tale *tale = app_shown(p->app, 0)->tale;
    assert_int_equal(tale->cells, 80); /* refined */
}

static void another_colour_is_seen_without_another_pour(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    view->time = view_end(view);
    program_wait(p, program_still);
    const double run_off = app_shown(p->app, 0)->tale->forecast.run_off;
    static const uint8_t red[3] = {0xff, 0x10, 0x10};
    assert_true(share_of(p, red, 90) < 0.01);
    rn_plan *draft = document_draft(view->doc);
    memcpy(draft->paints[0].colour, red, 3);
    program_change(p, draft);
    program_wait(p, program_still);
    assert_true(share_of(p, red, 90) > 0.02);
    check_close(app_shown(p->app, 0)->tale->forecast.run_off, run_off, 1e-15);
}

/* Whatever is shown after an edit belongs to the plan as it is now. */
static void old_and_new_never_mix(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    view->time = view_end(view);
    program_wait(p, program_still);
    const double before = app_shown(p->app, 0)->tale->forecast.poured;
    rn_plan *draft = document_draft(view->doc);
    edit_set_jar_volume(draft, 0, 2 * edit_jar_volume(draft, 0));
    program_change(p, draft);
    const double begun = rn_monotonic_now();
    bool seen = false;
    while (!seen && rn_monotonic_now() - begun < PROGRAM_LONGEST) {
        program_frame(p);
        const rv_studio_tale *tale = app_shown(p->app, 0)->tale;
        if (tale && tale->version == document_version(view->doc) && tale->complete) {
            assert_true(tale->forecast.poured > 1.1 * before);
            seen = true;
        }
        nanosleep(&(struct timespec){0, 2000000}, NULL);
    }
    assert_true(seen);
}

static void a_late_edit_keeps_what_came_before(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    program_wait(p, program_still);
    const rn_plan *plan = document_plan(view->doc);
    int last = 0;
    for (int k = 1; k < plan->move_count; k++)
        last = plan->moves[k].start > plan->moves[last].start ? k : last;
    const double start = plan->moves[last].start;
    rn_plan *draft = document_draft(view->doc);
    draft->moves[last].amount *= 1.1;
    program_change(p, draft);
    program_frame(p); /* at once, before anything is worked out */
    const rv_studio_tale *tale = app_shown(p->app, 0)->tale;
    assert_non_null(tale);
    assert_int_equal(tale->version, document_version(view->doc));
    assert_true(tale->solved <= start + 1e-9 && tale->solved > start - 3);
    program_wait(p, program_still);
    check_close(app_shown(p->app, 0)->tale->solved, plan->end, 1e-9);
}

static void a_plan_is_saved_and_opened_by_typed_paths(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    char path[] = "/tmp/runnel-app-XXXXXX";
    const int file = mkstemp(path);
    assert_true(file >= 0);
    close(file);
    unlink(path);
    hand_key(&p->hand, 'n', 0);
    hand_key(&p->hand, 's', MOD_CTRL | MOD_SHIFT);
    program_frame(p);
    assert_int_equal(view->cover, COVER_PATH);
    hand_type(&p->hand, path);
    hand_key(&p->hand, KEY_ENTER, 0);
    program_frame(p);
    assert_int_equal(view->cover, COVER_NONE);
    assert_false(document_changed(view->doc));
    const int jars = document_plan(view->doc)->paint_count;
    char saved[sizeof path + 8];
    snprintf(saved, sizeof saved, "%s.yaml", path);
    hand_key(&p->hand, 'o', MOD_CTRL);
    program_frame(p);
    hand_type(&p->hand, "presets/tide-table.yaml");
    hand_key(&p->hand, KEY_ENTER, 0);
    program_frame(p);
    assert_string_equal(document_plan(view->doc)->title, "Tide table");
    app_open(p->app, saved);
    assert_int_equal(document_plan(view->doc)->paint_count, jars);
    unlink(saved);
}

static void pictures_of_the_window_are_written(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    static const char *const names[] = {"/tmp/runnel-app-picture.png", "/tmp/runnel-app-picture.pdf"};
    static const char *const begins[] = {"\x89PNG", "%PDF"};
    for (int k = 0; k < 2; k++) {
        hand_key(&p->hand, 'e', MOD_CTRL);
        program_frame(p);
        assert_int_equal(view->cover, COVER_PATH);
        hand_type(&p->hand, names[k]);
        hand_key(&p->hand, KEY_ENTER, 0);
        program_frame(p);
        FILE *file = fopen(names[k], "rb");
        assert_non_null(file);
        char head[5] = "";
        assert_int_equal(fread(head, 1, 4, file), 4);
        assert_string_equal(head, begins[k]);
        fclose(file);
        unlink(names[k]);
    }
    assert_int_equal(view->width, 1280);
}

static void three_plans_are_worked_out_side_by_side(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    view->time = 0.6 * view_end(view);
    hand_key(&p->hand, 't', 0);
    program_wait(p, program_still);
    double covered[3];
    for (int k = 0; k < 3; k++) {
        const rv_studio_tale *tale = app_shown(p->app, view_column_place(view, k))->tale;
        assert_true(tale && tale->complete);
        rn_moment moment;
        assert_true(canvas_moment(&moment, tale, view->time));
        covered[k] = moment.coverage;
    }
    assert_true(covered[0] >= covered[1] && covered[1] >= covered[2] &&
                covered[0] > covered[2]); /* thin spreads first */
}

static double sum_of(const double run_off[RN_SIDES])
{
    double sum = 0;
    for (int side = 0; side < RN_SIDES; side++)
        sum += run_off[side];
    return sum;
}

/* The film of a rehearsal is worked out a little behind the hands: that moment is told, by sentence and edges alike. */
static void a_rehearsal_tells_as_far_as_it_is_worked_out(void **state)
{
    program *p = *state;
    rv_view *view = p->view;
    rv_shown shown[PLACE_COUNT] = {{0}};
    const rv_canvas canvas = {.at = view->layout, .view = view, .shown = shown};
    char text[1200];
    int told = 0, untold = 0;
    hand_key(&p->hand, 'h', 0);
    assert_true(view->rehearsal.on);
    view->rehearsal.hands = (rv_hands){.tilt = 6 * RN_DEGREE, .toward = 0};
    const double begun = rn_monotonic_now();
    while (view->time < 12 && rn_monotonic_now() - begun < PROGRAM_LONGEST) {
        if (view->time > 6)
            view->rehearsal.hands.tilt = 3 * RN_DEGREE; /* the plan changes under way */
        program_pass(p);
        nanosleep(&(struct timespec){0, 2000000}, NULL);
        if (view->time < 1)
            continue;
        shown[0] = *app_shown(p->app, 0);
        outcome_text(text, sizeof text, &canvas);
        const rv_bench bench = bench_look(&canvas);
        const bool unknown = strstr(text, "not worked out yet");
        untold += unknown;
        assert_int_equal(bench.known, !unknown);
        if (unknown)
            continue;
        told++;
        char due[64];
        snprintf(due, sizeof due, "By hand, at %.0f s; ", bench.moment.time);
        assert_non_null(strstr(text, due));
        snprintf(due, sizeof due, "%.1f %% covered", 100 * bench.moment.coverage);
        assert_non_null(strstr(text, due));
        check_at_most(bench.moment.time, view->time + 1e-9);
        check_at_least(bench.moment.time, view->time - 1.5); /* a beat, the horizon, and from moment to moment */
        assert_non_null(fringe_run_off(&bench));
        if (sum_of(fringe_run_off(&bench)) > 0.1e-6)
            assert_non_null(strstr(text, "run off"));
    }
    assert_true(view->time >= 12);
    assert_true(told > 100);
    check_at_most(untold, 0.02 * told);
}

int main(void)
{
#define AT_BENCH(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT_BENCH(the_face_is_drawn_in_the_plans_colours),
        AT_BENCH(another_colour_is_seen_without_another_pour),
        AT_BENCH(old_and_new_never_mix),
        AT_BENCH(a_late_edit_keeps_what_came_before),
        AT_BENCH(a_plan_is_saved_and_opened_by_typed_paths),
        AT_BENCH(pictures_of_the_window_are_written),
        AT_BENCH(three_plans_are_worked_out_side_by_side),
        AT_BENCH(a_rehearsal_tells_as_far_as_it_is_worked_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
