#include "program.h"

#include <time.h>

#include "base/monotonic.h"
#include "check.h"

rn_plan *program_plan(void)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, PROGRAM_PLAN, &err), &err);
    return plan;
}

program *program_begin(rv_app_options options, cairo_surface_t *surface)
{
    static program p;
    rn_error err = {0};
    p = (program){.surface = surface};
    check_ok(app_new(&p.app, options, &err), &err);
    p.view = app_view(p.app);
    p.hand = (painter){.view = p.view, .now = 1};
    app_open(p.app, PROGRAM_PLAN);
    return &p;
}

void program_end(program *p)
{
    app_free(p->app);
    cairo_surface_destroy(p->surface);
}

static cairo_surface_t *recorder(void)
{
    return cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
}

static bool pass(program *p)
{
    p->hand.now += 1.0 / 60;
    const rv_input tick = {.kind = INPUT_TICK, .now = p->hand.now};
    app_apply(p->app, &tick);
    return app_update(p->app);
}

static void draw(program *p)
{
    if (cairo_surface_get_type(p->surface) == CAIRO_SURFACE_TYPE_RECORDING) { /* it would remember every frame */
        cairo_surface_destroy(p->surface);
        p->surface = recorder();
    }
    rv_frame_check check = {0};
    assert_true(app_draw(p->app, p->surface, &check));
    assert_int_equal(check.overlaps + check.outside, 0);
}

void program_frame(program *p)
{
    pass(p);
    draw(p);
}

void program_pass(program *p)
{
    pass(p);
}

void program_wait(program *p, bool reached(program *))
{
    const double since = rn_monotonic_now();
    program_frame(p);
    while (!reached(p)) {
        nanosleep(&(struct timespec){0, 4000000}, NULL);
        if (pass(p)) /* a window that shows nothing new is not drawn */
            draw(p);
        assert_true(rn_monotonic_now() - since < PROGRAM_LONGEST);
    }
    program_frame(p);
}

bool program_still(program *p)
{
    return app_still(p->app);
}

void program_change(program *p, rn_plan *draft)
{
    rn_error err = {0};
    check_ok(document_commit(p->view->doc, draft, "change", false, &err), &err);
}

/* ---- the window of plans that work ---- */

program *program_mapped_on(cairo_surface_t *surface, bool shut)
{
    static mapped_model model;
    rv_app_options options = app_defaults();
    atomic_init(&model.runs, 0);
    atomic_init(&model.shut, shut);
    atomic_init(&model.fails, false);
    options.cells = options.preview = 64;
    options.points = 64;
    options.threads = 1;
    options.keeps = options.asks = options.caches = false;
    options.model = mapped_run;
    options.model_context = &model;
    program *p = program_begin(options, surface);
    p->model = &model;
    return p;
}

program *program_mapped(bool shut)
{
    return program_mapped_on(recorder(), shut); /* only where things stand is looked at */
}

void program_show(program *p)
{
    program_frame(p);
    hand_press(&p->hand, PART_PAGE, PAGE_WINDOW, 0);
    assert_int_equal(p->view->page, PAGE_WINDOW);
}

program *program_shown(bool shut, bool reached(program *))
{
    program *p = program_mapped(shut);
    program_show(p);
    program_wait(p, reached);
    return p;
}

const rv_map *program_map(const program *p)
{
    return p->view->map;
}

bool program_begun(program *p)
{
    return p->view->map && p->view->map->window;
}

bool program_complete(program *p)
{
    return program_begun(p) && p->view->map->complete && p->view->map->version == document_version(p->view->doc);
}
