#include "at_bench.h"

#include <string.h>

#include "check.h"

#define PLAN "presets/tide-table.yaml"

void at_bench_look(at_bench *b)
{
    assert_true(canvas_frame(b->surface, b->view, b->shown, NULL));
}

int at_bench_set_up(void **state)
{
    static at_bench b;
    memset(&b, 0, sizeof b);
    b.view = view_new();
    assert_non_null(b.view);
    b.surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 800);
    b.hand.view = b.view;
    b.hand.now = 10;
    view_open(b.view, PLAN);
    assert_int_equal(b.view->cover, COVER_NONE);
    b.view->solved = document_plan(b.view->doc)->end;
    at_bench_look(&b);
    *state = &b;
    return 0;
}

int at_bench_tear_down(void **state)
{
    at_bench *b = *state;
    cairo_surface_destroy(b->surface);
    view_free(b->view);
    return 0;
}

const rn_plan *at_bench_plan(const at_bench *b)
{
    return document_plan(b->view->doc);
}
