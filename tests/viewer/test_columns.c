/* Plans side by side are another page of the window: whatever has stood there, every other page is of the plan on the bench. */
#include <math.h>
#include <string.h>

#include "check.h"
#include "edit.h"
#include "outcome.h"
#include "program.h"
#include "run/judge.h"

#define WIDE 1000
#define HIGH 640

/* What each page but the one of plans side by side shows when all is worked out, and what is said of the plan. */
typedef struct pages {
    cairo_surface_t *bench, *window;
    char text[1200];
    double run_off, coverage;
} pages;

static int set_up(void **state)
{
    program *p = program_mapped_on(cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDE, HIGH), false);
    app_open(p->app, PROGRAM_SMALL);
    assert_int_equal(p->view->cover, COVER_NONE);
    p->view->width = WIDE;
    p->view->height = HIGH;
    p->view->still_hands = true;
    p->view->time = view_end(p->view);
    *state = p;
    return 0;
}

static int tear_down(void **state)
{
    program_end(*state);
    return 0;
}

static cairo_surface_t *copy_of(cairo_surface_t *surface)
{
    cairo_surface_t *copy = cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDE, HIGH);
    cairo_t *cr = cairo_create(copy);
    cairo_set_source_surface(cr, surface, 0, 0);
    cairo_paint(cr);
    cairo_destroy(cr);
    cairo_surface_flush(copy);
    return copy;
}

static void pages_clear(pages *seen)
{
    cairo_surface_destroy(seen->bench);
    if (seen->window)
        cairo_surface_destroy(seen->window);
}

/* F6 until that page is there. */
static void turn_to(program *p, rv_page page)
{
    for (int k = 0; k < PAGES && p->view->page != page; k++)
        hand_key(&p->hand, KEY_F1 + 5, 0);
    assert_int_equal(p->view->page, page);
    p->view->message[0] = '\0';
    p->view->focus = (rv_part_at){0};
}

/* Faces along the row of the window are pours of their own: where nothing changed they are looked at once and again. */
static pages look(program *p, bool faces)
{
    pages seen = {0};
    if (faces) {
        turn_to(p, PAGE_WINDOW);
        program_wait(p, program_still);
        seen.window = copy_of(p->surface);
    }
    turn_to(p, PAGE_BENCH);
    program_wait(p, program_still);
    seen.bench = copy_of(p->surface);
    const rv_shown *shown = app_shown(p->app, 0);
    const rv_canvas canvas = {.at = p->view->layout, .view = p->view, .shown = shown};
    outcome_text(seen.text, sizeof seen.text, &canvas);
    seen.run_off = shown->tale->forecast.run_off;
    seen.coverage = shown->tale->forecast.coverage;
    check_within(shown->tale->forecast.poured, rn_plan_poured_all(document_plan(p->view->doc)), 1e-12);
    return seen;
}

static void check_drawn_alike(cairo_surface_t *a, cairo_surface_t *b, const char *page)
{
    long differ = 0;
    int top = HIGH, foot = 0, left = WIDE, right = 0;
    for (int y = 0; y < HIGH; y++) {
        const uint32_t *pa =
            (const void *)(cairo_image_surface_get_data(a) + (long)y * cairo_image_surface_get_stride(a));
        const uint32_t *pb =
            (const void *)(cairo_image_surface_get_data(b) + (long)y * cairo_image_surface_get_stride(b));
        for (int x = 0; x < WIDE; x++)
            if ((pa[x] & 0xFFFFFF) != (pb[x] & 0xFFFFFF)) {
                differ++;
                top = y < top ? y : top;
                foot = y;
                left = x < left ? x : left;
                right = x > right ? x : right;
            }
    }
    if (differ)
        fail_msg("%s: %ld pixels are drawn otherwise, from %d, %d to %d, %d", page, differ, left, top, right, foot);
}

static void check_alike(const pages *a, const pages *b)
{
    assert_string_equal(a->text, b->text);
    check_close(a->run_off, b->run_off, 1e-15);
    check_drawn_alike(a->bench, b->bench, "the bench");
    if (a->window && b->window)
        check_drawn_alike(a->window, b->window, "the window of plans that work");
}

/* ---- */

static void every_page_is_as_it_was_before(void **state)
{
    program *p = *state;
    pages before = look(p, true);
    for (int volumes = 0; volumes < 2; volumes++) {
        hand_key(&p->hand, 't', volumes ? MOD_SHIFT : 0);
        assert_int_equal(p->view->page, PAGE_SIDE);
        program_wait(p, program_still);
        pages after = look(p, true);
        check_alike(&before, &after);
        pages_clear(&after);
    }
    pages_clear(&before);
}

static void double_the_paint(program *p)
{
    rn_plan *draft = document_draft(p->view->doc);
    edit_set_jar_volume(draft, 0, 2 * edit_jar_volume(draft, 0));
    program_change(p, draft);
}

static void edits_are_seen(void **state)
{
    program *p = *state;
    pages before = look(p, false);
    double_the_paint(p);
    pages edited = look(p, false);
    check_at_least(edited.run_off, before.run_off + 1e-6);
    hand_key(&p->hand, 'z', MOD_CTRL);
    hand_key(&p->hand, 't', MOD_SHIFT);
    program_wait(p, program_still);
    turn_to(p, PAGE_BENCH);
    double_the_paint(p);
    pages after = look(p, false);
    check_alike(&edited, &after);
    pages_clear(&before);
    pages_clear(&edited);
    pages_clear(&after);
}

static void the_column_that_is_taken_is_on_the_bench(void **state)
{
    program *p = *state;
    for (int k = 0; k < COLUMNS; k++) {
        hand_key(&p->hand, 't', MOD_SHIFT);
        while (p->view->column_focus != k)
            hand_key(&p->hand, KEY_RIGHT, 0);
        program_wait(p, program_still);
        const rn_forecast told = app_shown(p->app, view_column_place(p->view, k))->tale->forecast;
        const double volume = rn_plan_poured_all(view_plan(p->view, view_column_place(p->view, k)));
        hand_key(&p->hand, KEY_ENTER, 0);
        assert_int_equal(p->view->page, PAGE_BENCH);
        pages after = look(p, false);
        check_close(rn_plan_poured_all(document_plan(p->view->doc)), volume, 1e-15);
        check_close(after.run_off, told.run_off, 1e-15);
        check_close(after.coverage, told.coverage, 1e-15);
        pages_clear(&after);
        hand_key(&p->hand, 'z', MOD_CTRL);
    }
}

static void a_column_put_away_leaves_the_bench_alone(void **state)
{
    program *p = *state;
    pages before = look(p, false);
    for (int copies = 0; copies < 2; copies++) {
        if (copies) {
            hand_key(&p->hand, 'd', MOD_CTRL);
            hand_key(&p->hand, 'd', MOD_CTRL);
            assert_int_equal(p->view->column_count, 3);
            turn_to(p, PAGE_SIDE);
        } else {
            hand_key(&p->hand, 't', 0);
        }
        program_wait(p, program_still);
        for (int left = 2; left > 0; left--) {
            p->view->column_focus = 0;
            hand_key(&p->hand, KEY_DELETE, 0);
            assert_int_equal(p->view->column_count, left);
            pages after = look(p, false);
            check_alike(&before, &after);
            pages_clear(&after);
            turn_to(p, PAGE_SIDE);
            program_wait(p, program_still);
        }
        turn_to(p, PAGE_BENCH);
    }
    pages_clear(&before);
}

/* What is changed then has only the bench; the copy stays as it was. */
static void a_copy_stays_when_the_bench_is_changed(void **state)
{
    program *p = *state;
    pages before = look(p, false);
    double_the_paint(p);
    pages edited = look(p, false);
    hand_key(&p->hand, 'z', MOD_CTRL);
    hand_key(&p->hand, 'd', MOD_CTRL);
    double_the_paint(p);
    pages after = look(p, false);
    check_alike(&edited, &after);
    turn_to(p, PAGE_SIDE);
    program_wait(p, program_still);
    check_close(app_shown(p->app, view_column_place(p->view, 0))->tale->forecast.run_off, edited.run_off, 1e-15);
    check_close(app_shown(p->app, view_column_place(p->view, 1))->tale->forecast.run_off, before.run_off, 1e-15);
    pages_clear(&before);
    pages_clear(&edited);
    pages_clear(&after);
}

static void another_plan_opened_takes_every_page(void **state)
{
    program *p = *state;
    pages before = look(p, false);
    hand_key(&p->hand, 't', 0);
    program_wait(p, program_still);
    app_open(p->app, PROGRAM_PLAN);
    p->view->time = view_end(p->view);
    pages other = look(p, false);
    assert_string_not_equal(before.text, other.text);
    hand_key(&p->hand, 't', MOD_SHIFT);
    program_wait(p, program_still);
    app_open(p->app, PROGRAM_SMALL);
    p->view->time = view_end(p->view);
    pages after = look(p, false);
    check_alike(&before, &after);
    pages_clear(&before);
    pages_clear(&other);
    pages_clear(&after);
}

/* The clock of a page ends with the plans that stand on it. */
static void the_benchs_clock_ends_with_its_plan(void **state)
{
    program *p = *state;
    const double end = view_end(p->view);
    hand_key(&p->hand, 't', 0);
    turn_to(p, PAGE_BENCH);
    rn_plan *draft = document_draft(p->view->doc);
    draft->end = end + 20;
    program_change(p, draft);
    check_close(view_end(p->view), end + 20, 1e-12);
    hand_key(&p->hand, KEY_END, 0);
    check_close(p->view->time, end + 20, 1e-12);
    turn_to(p, PAGE_SIDE);
    check_close(view_end(p->view), end, 1e-12);
    check_at_most(p->view->time, end);
}

int main(void)
{
#define WITH(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH(every_page_is_as_it_was_before),           WITH(edits_are_seen),
        WITH(the_column_that_is_taken_is_on_the_bench), WITH(a_column_put_away_leaves_the_bench_alone),
        WITH(a_copy_stays_when_the_bench_is_changed),   WITH(another_plan_opened_takes_every_page),
        WITH(the_benchs_clock_ends_with_its_plan),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
