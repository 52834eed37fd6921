/* The outcome's sentence, for tales made by hand: what it says is what they hold, and no more. */
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "check.h"
#include "outcome.h"

#define END 200.0
#define PLAN                                                                                                           \
    "plan: 1\npanel: {size: 400 mm x 400 mm}\npaints: {a: }\npours:\n  - stack: [a 340 ml]\nlimits: {stretch: 3}\n"    \
    "end: 200 s\n"

/* A bench with a tale of a pour that went well: everything covered at 131 s, the back left corner last. */
typedef struct telling {
    rv_view *view;
    rv_shown shown[PLACE_COUNT];
    rv_studio_tale tale;
    rn_record record;
    rn_moment moments[3];
    rv_canvas canvas;
} telling;

static void tell(telling *t, const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    memset(t, 0, sizeof *t);
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "plan", &err), &err);
    t->view = view_new();
    assert_non_null(t->view);
    document_put(t->view->doc, plan, "", false);
    view_fresh(t->view);
    t->moments[1] = (rn_moment){.time = 100, .released = 340e-6, .coverage = 0.9, .run_off = {10e-6, 0, 2e-6, 0}};
    t->moments[2] = (rn_moment){.time = END, .released = 340e-6, .coverage = 1, .run_off = {15e-6, 0, 3e-6, 0}};
    t->record = (rn_record){.moments = t->moments, .moment_count = 3, .end = END, .complete = true};
    t->tale = (rv_studio_tale){.version = document_version(t->view->doc),
                               .cells = 256,
                               .solved = END,
                               .end = END,
                               .complete = true,
                               .record = &t->record,
                               .twist = 38 * RN_PI / 180};
    t->tale.forecast = (rn_forecast){.coverage = 1,
                                     .covered = true,
                                     .covered_at = 131,
                                     .poured = 340e-6,
                                     .run_off = 18e-6,
                                     .run_off_by_side = {15e-6, 0, 3e-6, 0},
                                     .least = {.depth = 0.31e-3},
                                     .has_pattern = true,
                                     .stretch = 2.6,
                                     .twist = 38 * RN_PI / 180,
                                     .complete = true,
                                     .corners = {{131, 1e-3}, {70, 1e-3}, {66, 1e-3}, {79, 1e-3}}};
    t->shown[0].tale = &t->tale;
    t->canvas = (rv_canvas){.view = t->view, .shown = t->shown};
    t->view->time = END;
}

static void says(telling *t, const char *due)
{
    char text[1200];
    outcome_text(text, sizeof text, &t->canvas);
    assert_string_equal(text, due);
}

static void says_among_others(telling *t, const char *due, bool yes)
{
    char text[1200];
    outcome_text(text, sizeof text, &t->canvas);
    if (!strstr(text, due) == yes)
        print_error("\"%s\" %s \"%s\"\n", text, yes ? "lacks" : "has", due);
    assert_true(!strstr(text, due) != yes);
}

static void a_pour_that_went_well_is_told_whole(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    says(&t, "At rest, 200 s; covered since 131 s; last corner back left, 131 s; 18 ml run off, 5 %; "
             "thinnest 0.31 mm; twist 38° ↺; stretch 2.6 ×; 256 cells");
    t.tale.twist = -t.tale.twist;
    says_among_others(&t, "twist 38° ↻", true);
    t.view->ounces = true; /* 29.5735 ml each */
    says_among_others(&t, "0.61 fl oz run off, 5 %", true);
    view_free(t.view);
}

/* A plan may end before the paint does. */
static void paint_that_still_moves_is_not_at_rest(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    t.tale.forecast.still_moving = 0.9e-3 / 60;
    says_among_others(&t, "At rest, 200 s; ", true);
    t.tale.forecast.still_moving = 1.1e-3 / 60;
    says_among_others(&t, "At the end, 200 s; ", true);
    says_among_others(&t, "At rest", false);
    view_free(t.view);
}

static void on_the_way_only_that_moment_is_told(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    t.view->time = 50; /* half way between nothing and 90 %, 12 ml of 340 */
    says(&t, "At 50 s; 45.0 % covered; last corner back left, 131 s; 6 ml run off, 4 %; 256 cells");
    t.tale.complete = false; /* the corner that comes last is not known yet */
    t.view->time = 100;
    says(&t, "At 100 s; 90.0 % covered; 12 ml run off, 4 %; 256 cells");
    t.moments[2].coverage = 0.99994; /* never rounded up to all */
    t.view->time = END;
    says_among_others(&t, "99.9 % covered", true);
    says_among_others(&t, "; covered", false);
    view_free(t.view);
}

static void what_is_not_known_is_not_told(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    t.tale.version++;
    says(&t, "At the end, 200 s; not worked out yet"); /* whether it rests is not known either */
    t.tale.version--;
    t.record.moment_count = 2;
    t.tale.complete = false;
    t.tale.solved = 100;
    t.view->time = 131;
    says(&t, "At 131 s; not worked out yet");
    snprintf(t.tale.trouble, sizeof t.tale.trouble, "film thinner than the grid can hold");
    says(&t, "At 131 s; Worked out to 100 s, then stopped: film thinner than the grid can hold");
    t.shown[0].tale = NULL;
    says(&t, "At 131 s; not worked out yet");
    view_free(t.view);
}

static void an_empty_bench_says_what_to_do(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    rv_view *bare = view_new();
    assert_non_null(bare);
    t.canvas.view = bare;
    says(&t, "Nothing poured yet. Put paints on the shelf and draw a release on the clock.");
    view_free(bare);
    view_free(t.view);
}

static void corners_that_stay_bare_are_named(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    rn_forecast *forecast = &t.tale.forecast;
    forecast->covered = false;
    forecast->covered_at = NAN;
    forecast->corners[2].covered_at = NAN;
    says_among_others(&t, "corner front right stays bare", true);
    forecast->corners[0].covered_at = NAN;
    says_among_others(&t, "2 corners stay bare", true);
    forecast->corners[1].covered_at = forecast->corners[3].covered_at = NAN;
    says_among_others(&t, "no corner is covered", true);
    forecast->round = true;
    says_among_others(&t, "no quarter is covered", true);
    view_free(t.view);
}

static void a_base_coat_that_covers_from_the_start_has_no_last_corner(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    t.tale.forecast.covered_at = 0;
    for (int c = 0; c < RN_CORNERS; c++)
        t.tale.forecast.corners[c].covered_at = 0;
    says_among_others(&t, "last corner", false);
    says_among_others(&t, "; covered; ", true);
    view_free(t.view);
}

static void what_falls_short_says_of_what(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN "expect: {thinnest: at least 0.4 mm}\n");
    says_among_others(&t, "thinnest 0.31 mm, short of 0.40;", true);
    says_among_others(&t, "wish missed", false); /* said once */
    t.tale.forecast.least.depth = 0.41e-3;
    says_among_others(&t, "thinnest 0.41 mm;", true);
    view_free(t.view);

    tell(&t, PLAN "cover: 0.5 mm\n");
    says_among_others(&t, "thinnest 0.31 mm, short;", true);
    t.tale.forecast.least.depth = 0;
    says_among_others(&t, "thinnest bare", true);
    t.tale.forecast.stretch = 4.14;
    says_among_others(&t, "stretch 4.1 ×, pulled too far", true);
    view_free(t.view);
}

static void a_wish_that_is_missed_is_named(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN "expect: {covered by: 140 s, run-off: at most 20 ml}\n");
    says_among_others(&t, "wish missed", false);
    t.tale.forecast.covered_at = 150;
    says_among_others(&t, "wish missed: covered by 140 s; ", true);
    t.tale.forecast.run_off = 25e-6;
    says_among_others(&t, "wish missed: covered by 140 s, and 1 more; ", true);
    t.view->time = 100; /* it is judged at the end */
    says_among_others(&t, "wish missed", false);
    view_free(t.view);
}

static void the_grid_is_told(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN);
    t.view->finest = 256;
    says_among_others(&t, "; 256 cells", true);
    t.tale.cells = 96;
    says_among_others(&t, "; first look, 96 cells", true);
    view_free(t.view);
}

/* Trouble has a sign and words, whatever happened: its colour is never all there is. */
static void trouble_is_never_told_by_colour_alone(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN "expect: {covered by: 100 s, thinnest: at least 0.3 mm}\n");
    rv_phrase phrases[PHRASES_MOST];
    unsigned long luck = 7;
    int coloured = 0;
    for (int round = 0; round < 2000; round++) {
        double u[12];
        for (int k = 0; k < 12; k++) {
            luck = luck * 6364136223846793005ul + 1442695040888963407ul;
            u[k] = (double)(luck >> 40) / (double)(1ul << 24);
        }
        rn_forecast *forecast = &t.tale.forecast;
        t.view->time = u[0] < 0.5 ? END : END * u[1];
        t.moments[2].coverage = u[2] < 0.3 ? 1 : u[2];
        t.moments[2].run_off[1] = 1e-4 * u[3] * u[3];
        forecast->covered_at = u[2] < 0.3 ? 200 * u[4] : NAN;
        forecast->least.depth = 1e-3 * u[5] * u[5];
        forecast->stretch = 6 * u[6];
        for (int c = 0; c < RN_CORNERS; c++)
            forecast->corners[c].covered_at = u[7 + c] < 0.3 ? NAN : 200 * u[7 + c];
        snprintf(t.tale.trouble, sizeof t.tale.trouble, "%s", u[11] < 0.1 ? "thin" : "");
        const int count = outcome_phrases(phrases, &t.canvas);
        assert_true(count > 1 && count < PHRASES_MOST);
        for (int k = 0; k < count; k++) {
            const rv_phrase *phrase = &phrases[k];
            const bool quiet = phrase->role == RN_ROLE_INK || phrase->role == RN_ROLE_INK2;
            coloured += !quiet;
            assert_true(quiet || (phrase->has_tile && phrase->strong[0]));
            assert_true(phrase->lead[0] || phrase->strong[0]);
            assert_true(phrase->role != RN_ROLE_BRASS);
            if (phrase->has_tile && phrase->tile == TILE_COVERED)
                assert_true(t.view->time >= END - 1 && t.moments[2].coverage >= 0.9999);
        }
    }
    assert_true(coloured > 1000);
    view_free(t.view);
}

/* Two lines at most, within the box; the grid goes first, what is covered stays. */
static void it_holds_to_two_lines(void **state)
{
    (void)state;
    telling t;
    tell(&t, PLAN "expect: {covered by: 100 s}\n");
    rv_phrase phrases[PHRASES_MOST];
    const int count = outcome_phrases(phrases, &t.canvas);
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    cairo_t *cr = cairo_create(surface);
    assert_true(rn_pen_init(&t.canvas.pen, cr, true));
    int before = 0;
    for (double width = 250; width < 1700; width += 10) {
        t.canvas.pen.box_count = 0;
        outcome_set(&t.canvas, (rn_box){100, 10, width, 60}, phrases, count);
        double lowest = 0;
        for (int k = 0; k < t.canvas.pen.box_count; k++) {
            const rn_box *box = &t.canvas.pen.boxes[k];
            assert_true(box->x >= 100 && box->x + box->width <= 100 + width + 1);
            lowest = fmax(lowest, box->y + box->height);
        }
        assert_true(lowest <= 70);
        assert_int_equal(rn_pen_overlaps(&t.canvas.pen), 0);
        assert_true(t.canvas.pen.box_count >= 2);
        before = width < 255 ? t.canvas.pen.box_count : before;
    }
    assert_true(t.canvas.pen.box_count > before); /* wide: all of it */
    int parts = 0;
    for (int k = 0; k < count; k++)
        parts += (phrases[k].lead[0] != 0) + (phrases[k].strong[0] != 0) + (phrases[k].tail[0] != 0);
    assert_int_equal(t.canvas.pen.box_count, parts);
    rn_pen_clear(&t.canvas.pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    view_free(t.view);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pour_that_went_well_is_told_whole),
        cmocka_unit_test(paint_that_still_moves_is_not_at_rest),
        cmocka_unit_test(on_the_way_only_that_moment_is_told),
        cmocka_unit_test(what_is_not_known_is_not_told),
        cmocka_unit_test(an_empty_bench_says_what_to_do),
        cmocka_unit_test(corners_that_stay_bare_are_named),
        cmocka_unit_test(a_base_coat_that_covers_from_the_start_has_no_last_corner),
        cmocka_unit_test(what_falls_short_says_of_what),
        cmocka_unit_test(a_wish_that_is_missed_is_named),
        cmocka_unit_test(the_grid_is_told),
        cmocka_unit_test(trouble_is_never_told_by_colour_alone),
        cmocka_unit_test(it_holds_to_two_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
