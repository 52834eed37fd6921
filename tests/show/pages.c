#include "pages.h"

#include "check.h"

#include <string.h>

#include "sample.h"
#include "show/page.h"

static const char long_title[] = "A title that goes on about the tide table and the slate and the kelp and the brass, "
                                 "and about everything else that "
                                 "came to mind while the paint was being stirred on that shore";

static rn_pen *draw_page(double *height, const sample *s, bool dark)
{
    const rn_figure figure = {s->plan, &s->forecast, &s->record};
    rn_pen *pen = calloc(1, sizeof *pen);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 640, 800);
    cairo_t *cr = cairo_create(surface);
    if (!pen)
        abort();
    cairo_scale(cr, 0.5, 0.5);
    assert_true(rn_pen_init(pen, cr, dark));
    *height = rn_page_height(pen, &figure);
    assert_true(rn_page_draw(pen, &figure, *height));
    assert_int_equal(cairo_status(cr), CAIRO_STATUS_SUCCESS);
    rn_pen_clear(pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    return pen;
}

static bool too_close(rn_box a, rn_box b)
{
    return a.x < b.x + b.width + RN_BOX_GAP && b.x < a.x + a.width + RN_BOX_GAP && a.y < b.y + b.height + RN_BOX_GAP &&
           b.y < a.y + a.height + RN_BOX_GAP;
}

static int count_overlaps(const rn_pen *pen, const char *what)
{
    int pairs = 0;
    for (int i = 0; i < pen->box_count; i++)
        for (int k = i + 1; k < pen->box_count; k++) {
            const rn_box a = pen->boxes[i], b = pen->boxes[k];
            if (!too_close(a, b))
                continue;
            fprintf(stderr, "%s: texts at %.0f, %.0f (%.0f x %.0f) and %.0f, %.0f (%.0f x %.0f)\n", what, a.x, a.y,
                    a.width, a.height, b.x, b.y, b.width, b.height);
            pairs++;
        }
    return pairs;
}

static int check_page(const sample *s, const char *what)
{
    double height;
    rn_pen *pen = draw_page(&height, s, false);
    const int pairs = count_overlaps(pen, what);
    assert_int_equal(rn_pen_overlaps(pen), pairs);
    assert_int_equal(pen->box_lost, 0);
    check_at_least(pen->box_count, 40); /* head, shelf, corners, edges, dipstick, clock */
    for (int i = 0; i < pen->box_count; i++) {
        const rn_box box = pen->boxes[i];
        if (box.x < 4.0 || box.y < 4.0 || box.x + box.width > RN_PAGE_WIDTH - 4.0 || box.y + box.height > height - 4.0)
            fail_msg("%s: a text leaves the page at %.0f, %.0f", what, box.x, box.y);
    }
    free(pen);
    return pairs;
}

/* Figures at their widest. */
static void make_extreme(sample *s)
{
    rn_forecast *f = &s->forecast;
    f->run_off = 0.0;
    for (int e = 0; e < RN_SIDES; e++)
        f->run_off += f->run_off_by_side[e] = 1234.5e-6;
    f->poured = 9e-3;
    f->still_moving = 123.0e-3 / 60.0;
    f->most.depth = 18.8e-3;
    f->mean = 0.16e-3; /* as low as the mark of what covers */
    f->warning_count = 8;
    for (int i = 0; i < f->warning_count; i++)
        snprintf(f->warnings[i], sizeof f->warnings[i],
                 "Warning %d says at some length that the brass is 2.5 times as stiff as the kelp and will lag behind.",
                 i);
    for (int c = 0; c < RN_CORNERS; c++)
        f->corners[c].covered_at = c % 2 ? 0.0 : 12345.0;
}

void pages_stand_apart(void **state)
{
    (void)state;
    static const struct {
        double width, height;
        bool round;
    } panels[] = {{0.3048, 0.3048, false}, {0.6, 0.3, false}, {0.3, 0.6, false}, {0.3, 0.3, true},
                  {0.08, 0.08, false},     {3.0, 1.0, false}, {0.2, 1.2, false}, {1.5, 1.5, true}};
    int pairs = 0;
    for (size_t p = 0; p < sizeof panels / sizeof panels[0]; p++)
        for (int variant = 0; variant < 6; variant++) {
            sample_options options = sample_defaults();
            options.width = panels[p].width;
            options.height = panels[p].height;
            options.round = panels[p].round;
            options.cells = 96;
            options.short_corners = variant == 1 || variant == 2;
            options.stopped = variant == 2;
            options.paints = variant == 3 ? 12 : variant == 4 ? 6 : 3;
            options.title = variant == 0 ? "" : variant == 2 || variant == 3 ? long_title : options.title;
            sample s = sample_make(options);
            if (variant == 5)
                make_extreme(&s);
            char what[80];
            snprintf(what, sizeof what, "panel %zu, variant %d", p, variant);
            pairs += check_page(&s, what);
            sample_clear(&s);
        }
    assert_int_equal(pairs, 0);
}
