/* Plans side by side, for tales made by hand: what is not known of one of them is neither told of it nor used to rank them;
   each curve of their clock has its letter. */
#include "base/physical.h"
#include "check.h"
#include "edit.h"
#include "side.h"

#include <string.h>

#define END 200.0
#define PLAN                                                                                                           \
    "plan: 1\npanel: {size: 400 mm x 400 mm}\npaints: {a: {viscosity: 1 Pa s}}\npours:\n  - stack: [a 340 ml]\n"       \
    "limits: {stretch: 3}\nend: 200 s\n"
#define MOMENTS 3

/* Three plans, A to C: the stiffer, the later covered and the less run off. */
typedef struct trio {
    rv_view *view;
    rv_shown shown[PLACE_COUNT];
    rv_studio_tale tales[COLUMNS];
    rn_record records[COLUMNS];
    rn_moment moments[COLUMNS][MOMENTS];
    rv_canvas canvas;
} trio;

static rn_plan *read_plan(void)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, PLAN, (long)strlen(PLAN), "plan", &err), &err);
    return plan;
}

static void set_up(trio *t)
{
    memset(t, 0, sizeof *t);
    t->view = view_new();
    assert_non_null(t->view);
    document_put(t->view->doc, read_plan(), "", false);
    view_fresh(t->view);
    t->view->page = PAGE_SIDE;
    t->view->column_count = COLUMNS;
    t->view->time = END;
    for (int k = 0; k < COLUMNS; k++) {
        rn_moment *moments = t->moments[k];
        if (k > 0) {
            t->view->columns[k] = (rv_column){.plan = read_plan(), .version = 100 + k};
            edit_scale_viscosity(t->view->columns[k].plan, 1 + k);
        }
        const int place = view_column_place(t->view, k);
        moments[1] = (rn_moment){.time = 100, .coverage = 0.9 - 0.1 * k, .run_off = {(10 - 3 * k) * 1e-6}};
        moments[2] = (rn_moment){.time = END, .coverage = 1, .run_off = {(18 - 3 * k) * 1e-6}};
        t->records[k] = (rn_record){.moments = moments, .moment_count = MOMENTS, .end = END, .complete = true};
        t->tales[k] = (rv_studio_tale){.version = view_version(t->view, place),
                                       .cells = 96,
                                       .solved = END,
                                       .end = END,
                                       .complete = true,
                                       .record = &t->records[k],
                                       .twist = NAN};
        t->tales[k].forecast = (rn_forecast){.coverage = 1,
                                             .covered = true,
                                             .covered_at = 131 + 20 * k,
                                             .poured = 340e-6,
                                             .run_off = (18 - 3 * k) * 1e-6,
                                             .least = {.depth = 0.31e-3},
                                             .has_pattern = true,
                                             .stretch = 2.6 + 0.5 * k,
                                             .twist = 38 * RN_DEGREE,
                                             .complete = true};
        t->shown[place].tale = &t->tales[k];
    }
    t->canvas = (rv_canvas){.view = t->view, .shown = t->shown};
}

static void says(trio *t, const char *due)
{
    rv_side side;
    rv_phrase phrases[PHRASES_MOST];
    char text[1200];
    side_look(&side, &t->canvas);
    outcome_join(text, sizeof text, phrases, side_phrases(phrases, &t->canvas, &side));
    assert_string_equal(text, due);
}

static rv_side_reading reading(const trio *t, int column, rv_side_rule rule)
{
    rv_side side;
    side_look(&side, &t->canvas);
    return side_read(&t->canvas, &side.every[column], rule);
}

static void reads(const trio *t, int column, rv_side_rule rule, rv_tile tile, const char *words)
{
    const rv_side_reading r = reading(t, column, rule);
    assert_string_equal(r.words, words);
    assert_true(!r.has_tile == (tile == TILE_THIN)); /* said here for none */
    if (r.has_tile)
        assert_int_equal(r.tile, tile);
}

static void what_all_tell_is_ranked(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    says(&t, "Three plans at 200 s, unlike only in consistency; first covered A, 131 s; least run-off C, 12 ml; "
             "least stretch A, 2.6 ×");
    t.tales[2].complete = false;
    says(&t, "Three plans at 200 s, unlike only in consistency; not all worked out yet");
    view_free(t.view);
}

/* Stretch and twist come after the film, one plan's sooner than another's. */
static void a_pattern_not_worked_out_is_not_called_none(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    reads(&t, 0, RULE_STRETCH, TILE_THIN, "2.6 ×");
    reads(&t, 0, RULE_TWIST, TILE_THIN, "38°");
    reads(&t, 2, RULE_STRETCH, TILE_PULLED, "3.6 ×");
    t.tales[0].forecast.has_pattern = false;
    reads(&t, 0, RULE_STRETCH, TILE_UNKNOWN, "not yet");
    reads(&t, 0, RULE_TWIST, TILE_UNKNOWN, "not yet");
    reads(&t, 0, RULE_RUN_OFF, TILE_THIN, "18 ml");
    reads(&t, 1, RULE_TWIST, TILE_THIN, "38°");
    assert_true(isnan(reading(&t, 0, RULE_STRETCH).value));
    /* Worked out, and nothing to tell: every circle has run over an edge. */
    t.tales[0].forecast.has_pattern = true;
    t.tales[0].forecast.twist = NAN;
    reads(&t, 0, RULE_TWIST, TILE_THIN, "none");
    t.tales[0].complete = false;
    reads(&t, 0, RULE_TWIST, TILE_UNKNOWN, "not yet");
    view_free(t.view);
}

static void plans_are_not_ranked_by_what_one_does_not_tell(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    static const char without[] =
        "Three plans at 200 s, unlike only in consistency; first covered A, 131 s; least run-off C, 12 ml";
    for (int k = 0; k < COLUMNS; k++) {
        t.tales[k].forecast.has_pattern = false;
        says(&t, without);
        t.tales[k].forecast.has_pattern = true;
    }
    t.tales[1].forecast.stretch = NAN;
    says(&t, without);
    view_free(t.view);
}

/* What will be by the end is no reading of the moment shown. */
static void on_the_way_only_the_moment_shown_is_told(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    t.view->time = 50; /* half of what is so at 100 s */
    says(&t, "Three plans at 50 s, unlike only in consistency; most covered A, 45.0 %; least run-off so far C, 2 ml");
    t.view->time = 0;
    says(&t, "Three plans at 0 s, unlike only in consistency; nothing covered yet; nothing run off yet");
    t.view->time = 140; /* A has been covered by then, and no other can have been before */
    says(&t, "Three plans at 140 s, unlike only in consistency; first covered A, 131 s; least run-off so far C, 7 ml");
    t.moments[2][1].run_off[0] = t.moments[2][2].run_off[0] = 0;
    says(&t, "Three plans at 140 s, unlike only in consistency; first covered A, 131 s; least run-off so far C, none");
    for (int k = 0; k < COLUMNS; k++) {
        t.tales[k].forecast.covered = false;
        t.tales[k].forecast.covered_at = NAN;
        t.moments[k][1].coverage = 0.5; /* alike: none is named */
        t.moments[k][1].run_off[0] = 1e-6;
    }
    t.view->time = 100;
    says(&t, "Three plans at 100 s, unlike only in consistency");
    t.view->time = END;
    t.moments[2][2].coverage = 0.8;
    says(&t, "Three plans at 200 s, unlike only in consistency; none is covered; least run-off C, 12 ml; "
             "least stretch A, 2.6 ×");
    view_free(t.view);
}

/* Figures of other grids than each other or than the finest are told as that. */
static void other_grids_are_told(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    t.view->time = 100;
    t.view->finest = 256;
    says(
        &t,
        "Three plans at 100 s, unlike only in consistency; most covered A, 90.0 %; least run-off so far C, 4 ml; first "
        "look, 96 cells");
    t.tales[0].cells = 256;
    says(&t, "Three plans at 100 s, unlike only in consistency; most covered A, 90.0 %; least run-off so far C, 4 ml; "
             "cells: A 256, B 96, C 96");
    view_free(t.view);
}

/* The moment is told as soon as all have come so far, and not before. */
static void the_moment_is_told_before_the_end_is_known(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    t.view->time = 100;
    for (int k = 0; k < COLUMNS; k++) {
        t.tales[k].complete = false;
        t.records[k].moment_count = 2;
    }
    says(&t, "Three plans at 100 s, unlike only in consistency; most covered A, 90.0 %; least run-off so far C, 4 ml");
    t.view->time = 101;
    says(&t, "Three plans at 101 s, unlike only in consistency; not all worked out yet");
    t.view->time = 100;
    t.records[1].moment_count = 1;
    says(&t, "Three plans at 100 s, unlike only in consistency; not all worked out yet");
    view_free(t.view);
}

/* A plan that has ended stays as it was then, while a longer one goes on. */
static void plans_that_end_apart_are_told_to_the_last(void **state)
{
    (void)state;
    trio t;
    set_up(&t);
    t.view->columns[2].plan->end = 150;
    t.moments[2][2].time = t.tales[2].solved = t.tales[2].end = t.records[2].end = 150;
    t.view->time = 199;
    char text[1200];
    rv_side side;
    rv_phrase phrases[PHRASES_MOST];
    side_look(&side, &t.canvas);
    outcome_join(text, sizeof text, phrases, side_phrases(phrases, &t.canvas, &side));
    assert_non_null(strstr(text, "least run-off so far C, 12 ml"));
    assert_null(strstr(text, "stretch"));
    t.view->time = END;
    side_look(&side, &t.canvas);
    outcome_join(text, sizeof text, phrases, side_phrases(phrases, &t.canvas, &side));
    assert_non_null(strstr(text, "least run-off C, 12 ml; least stretch A"));
    view_free(t.view);
}

/* ---- the clock ---- */

/* How far a place is above or below a plan's curve [units]. */
static double off_curve(const trio *t, const rv_side *side, int column, double x, double y)
{
    rn_moment moment;
    const double time = layout_time(&t->canvas.at, x, END);
    assert_true(canvas_moment(&moment, &t->tales[column], time));
    return fabs(side_curve_y(&t->canvas, side, moment.coverage) - y);
}

static void draw_clock(trio *t, rv_side *side, int width, int height)
{
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    cairo_t *cr = cairo_create(surface);
    rv_handles handles = {0};
    t->view->width = width;
    t->view->height = height;
    t->canvas.at = layout_make(width, height, 1, &document_plan(t->view->doc)->panel, NULL);
    t->canvas.handles = &handles;
    assert_true(rn_pen_init(&t->canvas.pen, cr, true));
    cairo_scale(cr, t->canvas.at.scale, t->canvas.at.scale);
    side_look(side, &t->canvas);
    side_place(side, &t->canvas);
    side_clock(&t->canvas, side);
    assert_int_equal(rn_pen_overlaps(&t->canvas.pen), 0);
    rn_pen_clear(&t->canvas.pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
}

/* Every curve has its letter, nearer to it than to any other, however close they run. */
static void every_curve_is_lettered(void **state)
{
    (void)state;
    static const int sizes[][2] = {{1280, 800}, {900, 600}, {1024, 768}, {1920, 1080}};
    static const double apart[][2] = {{0.1, 0.1}, {0.03, 0.03}, {0.3, 0.04}, {0.02, 0.2}, {0.06, -0.02}};
    trio t;
    set_up(&t);
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++)
        for (size_t a = 0; a < sizeof apart / sizeof *apart; a++)
            for (double time = 0; time <= END; time += 50) {
                rv_side side;
                for (int k = 0; k < COLUMNS; k++) /* they part and come together again */
                    t.moments[k][1].coverage = 0.9 - (k > 0) * apart[a][0] - (k > 1) * apart[a][1];
                t.view->time = time;
                draw_clock(&t, &side, sizes[s][0], sizes[s][1]);
                for (int k = 0; k < COLUMNS; k++) {
                    const rn_box box = side.letters[k];
                    assert_true(box.width > 0);
                    const double x = box.x + 0.5 * box.width, y = box.y + 0.5 * box.height;
                    const double own = off_curve(&t, &side, k, x, y);
                    check_at_most(own, 18);
                    for (int other = 0; other < COLUMNS; other++)
                        if (other != k && off_curve(&t, &side, other, x, y) <= own)
                            fail_msg("%d x %d, apart %zu, %.0f s: %c stands by %c", sizes[s][0], sizes[s][1], a, time,
                                     'A' + k, 'A' + other);
                }
            }
    view_free(t.view);
}

/* A curve that is not there yet has no letter, one that has just begun its own. */
static void a_curve_has_its_letter_as_soon_as_it_is_there(void **state)
{
    (void)state;
    trio t;
    rv_side side;
    set_up(&t);
    t.shown[view_column_place(t.view, 1)].tale = NULL;
    t.tales[2].complete = false;
    t.tales[2].solved = 0.3 * END;
    t.records[2].moment_count = 2;
    t.moments[2][1].time = 0.3 * END;
    t.moments[2][1].coverage = 0.2;
    draw_clock(&t, &side, 1280, 800);
    assert_true(side.letters[0].width > 0 && side.letters[2].width > 0);
    assert_true(side.letters[1].width == 0);
    check_at_most(layout_time(&t.canvas.at, side.letters[2].x, END), 0.3 * END);
    view_free(t.view);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_all_tell_is_ranked),
        cmocka_unit_test(other_grids_are_told),
        cmocka_unit_test(a_pattern_not_worked_out_is_not_called_none),
        cmocka_unit_test(plans_are_not_ranked_by_what_one_does_not_tell),
        cmocka_unit_test(on_the_way_only_the_moment_shown_is_told),
        cmocka_unit_test(the_moment_is_told_before_the_end_is_known),
        cmocka_unit_test(plans_that_end_apart_are_told_to_the_last),
        cmocka_unit_test(every_curve_is_lettered),
        cmocka_unit_test(a_curve_has_its_letter_as_soon_as_it_is_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
