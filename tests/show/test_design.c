/* The figures of the design: files, texts apart, and what stands where. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "sample.h"
#include "scratch.h"
#include "show/axis.h"
#include "show/design.h"

enum { CIRCLES = 11, BANDS = 14, POINTS = 96 };

/* An invented design on a sample's panel. */
typedef struct invented {
    sample s;
    rn_rings rings;
    rn_ring_band bands[RN_RING_BEARINGS][BANDS];
    rn_spiral spiral;
    rn_circle_fate circles[CIRCLES];
    rn_stretch stretch;
    float fields[4][POINTS * POINTS];
    rn_design design;
} invented;

static void invent_rings(invented *v)
{
    const rn_panel *panel = &v->s.plan->panel;
    const double least = 0.5 * fmin(panel->width, panel->height);
    rn_rings *rings = &v->rings;
    for (int k = 0; k < RN_RING_BEARINGS; k++) {
        rn_ring_bearing *bearing = &rings->bearings[k];
        *bearing = (rn_ring_bearing){.bearing = k * RN_PI / 4, .count = BANDS, .bands = v->bands[k]};
        bearing->reach =
            k % 2 ? hypot(0.5 * panel->width, 0.5 * panel->height) : 0.5 * (k % 4 ? panel->height : panel->width);
        bearing->widths = (rn_ring_widths){BANDS - 1, 0.02 * least, 0.055 * least, 0.1 * least};
        for (int b = 0; b < BANDS; b++)
            bearing->bands[b] = (rn_ring_band){.from = 0.06 * least * b,
                                               .to = 0.06 * least * (b + 1),
                                               .paint = b % v->s.plan->paint_count,
                                               .whole = b > 0};
    }
    rings->all = rings->bearings[0].widths;
}

static void invent_turning(invented *v, double sense)
{
    const double most = 0.45 * fmin(v->s.plan->panel.width, v->s.plan->panel.height);
    v->spiral = (rn_spiral){.count = 20, .complete = 17, .used = 17};
    for (int k = 0; k < 17; k++)
        v->spiral.curves[k] = (rn_ring_curve){.complete = true,
                                              .used = true,
                                              .radius = most * (k + 2) / 20,
                                              .shift = 2e-3,
                                              .phase = 0.4 + sense * 0.16 * k + 0.05 * sin(5.0 * k)};
    v->spiral.turn = sense * 0.16 * 20 / most;
    v->spiral.turned = 16 * 0.16 * sense;
    v->spiral.hand = sense > 0 ? RN_HAND_COUNTER_CLOCKWISE : RN_HAND_CLOCKWISE;
    for (int c = 0; c < CIRCLES; c++) {
        rn_circle_fate *fate = &v->circles[c];
        *fate = (rn_circle_fate){.lost = c == CIRCLES - 1, .drawn = most * (c + 1) / CIRCLES};
        fate->radius = fate->mode[0] = 1.3 * fate->drawn;
        fate->twist = sense * (0.2 - 0.03 * c);
        for (int m = 1; m <= RN_CIRCLE_MODES; m++)
            fate->mode[m] = 0.07 * fate->radius / m * (1 + 0.1 * c);
        fate->off_centre = fate->mode[1];
        fate->oval = fate->mode[2];
        fate->square = fate->mode[4];
        fate->fingers = fate->mode[8];
    }
}

/* An even ratio on the left and another on the right, all at one bearing; nothing known along the front edge. */
static void invent_stretch(invented *v, double left, double right, double angle)
{
    const rn_panel *panel = &v->s.plan->panel;
    v->stretch = (rn_stretch){.nx = POINTS, .ny = POINTS, .width = panel->width, .height = panel->height};
    v->stretch.ratio = v->fields[0];
    v->stretch.longest = v->fields[1];
    v->stretch.shortest = v->fields[2];
    v->stretch.direction = v->fields[3];
    for (int j = 0; j < POINTS; j++)
        for (int i = 0; i < POINTS; i++) {
            v->fields[0][j * POINTS + i] = j < 8 ? NAN : (float)(i < POINTS / 2 ? left : right);
            v->fields[3][j * POINTS + i] = (float)angle;
        }
    v->stretch.known = 0.9;
    v->stretch.limit = 2;
    v->stretch.past[0] = v->stretch.past[1] = v->stretch.past_limit = 0.5;
    v->stretch.median = left;
    v->stretch.high = v->stretch.most = right;
    v->stretch.most_x = 0.45 * panel->width;
    v->stretch.most_y = -0.4 * panel->height;
}

static invented *invent(double width, double height, bool round, int paints, double sense)
{
    invented *v = calloc(1, sizeof *v);
    if (!v)
        abort();
    sample_options options = sample_defaults();
    options.width = width;
    options.height = height;
    options.round = round;
    options.paints = paints;
    options.cells = 64;
    v->s = sample_make(options);
    invent_rings(v);
    invent_turning(v, sense);
    invent_stretch(v, 1.4, 2.6, 0.5);
    v->design = (rn_design){.plan = v->s.plan,
                            .time = 200,
                            .rings = &v->rings,
                            .mud = 0.034,
                            .spiral = &v->spiral,
                            .circle_count = CIRCLES,
                            .circles = v->circles,
                            .drawn_at = 43,
                            .stretch = &v->stretch,
                            .stretched_since = 43};
    return v;
}

static void dismiss(invented *v)
{
    sample_clear(&v->s);
    free(v);
}

static void files_of_each_kind(void **state)
{
    invented *v = invent(0.3048, 0.3048, false, 4, 1);
    static const char *const kinds[][2] = {{"design.png", "\x89PNG"}, {"design.pdf", "%PDF"}, {"design.svg", "<?xm"}};
    rn_error err = {0};
    for (int k = 0; k < 3; k++) {
        const char *path = scratch_path(state, kinds[k][0]);
        check_ok(rn_design_write(path, stdout, &v->design, rn_figure_defaults(), &err), &err);
        size_t size;
        char *bytes = scratch_read(path, &size);
        assert_non_null(bytes);
        assert_true(size > 10000);
        assert_memory_equal(bytes, kinds[k][1], 4);
        free(bytes);
    }
    check_status(rn_design_write("design.jpg", stdout, &v->design, rn_figure_defaults(), &err), RN_E_USAGE, &err);
    dismiss(v);
}

static void check_page(const invented *v, bool dark, const char *what)
{
    rn_pen *pen = calloc(1, sizeof *pen);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 640, 640);
    cairo_t *cr = cairo_create(surface);
    if (!pen)
        abort();
    cairo_scale(cr, 0.5, 0.5);
    assert_true(rn_pen_init(pen, cr, dark));
    const double height = rn_design_height(pen, &v->design);
    rn_design_draw(pen, height, &v->design);
    assert_int_equal(cairo_status(cr), CAIRO_STATUS_SUCCESS);
    assert_int_equal(pen->box_lost, 0);
    check_at_least(pen->box_count, 8);
    for (int i = 0; i < pen->box_count; i++) {
        const rn_box a = pen->boxes[i];
        if (a.x < 4.0 || a.y < 4.0 || a.x + a.width > RN_DESIGN_WIDTH - 4.0 || a.y + a.height > height - 4.0)
            fail_msg("%s: a text leaves the page at %.0f, %.0f", what, a.x, a.y);
        for (int k = i + 1; k < pen->box_count; k++) {
            const rn_box b = pen->boxes[k];
            if (a.x < b.x + b.width + RN_BOX_GAP && b.x < a.x + a.width + RN_BOX_GAP &&
                a.y < b.y + b.height + RN_BOX_GAP && b.y < a.y + a.height + RN_BOX_GAP)
                fail_msg("%s: texts at %.0f, %.0f (%.0f x %.0f) and %.0f, %.0f (%.0f x %.0f)", what, a.x, a.y, a.width,
                         a.height, b.x, b.y, b.width, b.height);
        }
    }
    assert_int_equal(rn_pen_overlaps(pen), 0);
    rn_pen_clear(pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    free(pen);
}

/* Figures at their widest. */
static void go_far(invented *v)
{
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        v->rings.bearings[k].widths = (rn_ring_widths){888, 0.1008, 0.1888, 0.8888};
    for (int c = 0; c < CIRCLES; c++)
        v->circles[c].twist = c % 2 ? -38.8 : 38.8;
    for (int k = 0; k < 17; k++)
        v->spiral.curves[k].phase = -50.0 + 7 * k;
    v->spiral.turn = -888.8;
    v->spiral.hand = RN_HAND_CLOCKWISE;
    v->stretch.median = v->stretch.high = v->stretch.most = 888.88;
    v->stretch.past[0] = v->stretch.past[1] = v->stretch.past[2] = v->stretch.past_limit = 1.0;
    v->stretch.limit = 88.8;
    v->design.mud = 1.0;
    v->design.time = v->design.drawn_at = v->design.stretched_since = 88888;
    for (int c = 0; c < CIRCLES - 1; c++)
        v->circles[c].off_centre = v->circles[c].oval = v->circles[c].fingers = 0.888;
}

static void take_away(invented *v, int variant)
{
    if (variant == 2) /* nothing at all */
        v->design = (rn_design){.plan = v->s.plan};
    if (variant == 3) { /* nothing stands still */
        for (int c = 0; c < CIRCLES; c++)
            v->circles[c].lost = true;
        v->spiral = (rn_spiral){.count = 4};
        v->stretch.known = 0;
        v->rings.all = (rn_ring_widths){0, NAN, NAN, NAN};
        for (int k = 0; k < RN_RING_BEARINGS; k++) {
            v->rings.bearings[k].count = k % 2;
            v->rings.bearings[k].widths = v->rings.all;
        }
        v->design.mud = 0;
    }
    if (variant == 4) { /* nothing moved */
        for (int c = 0; c < CIRCLES; c++)
            v->circles[c] = (rn_circle_fate){.drawn = 0.01 * (c + 1), .radius = 0.01 * (c + 1)};
        v->spiral.used = 0;
        v->spiral.hand = RN_HAND_NONE;
        for (int k = 0; k < 17; k++)
            v->spiral.curves[k].used = false;
    }
    if (variant == 5) { /* a single circle that no longer goes round where it was drawn */
        v->design.circle_count = 1;
        v->circles[0].off_centre = NAN;
        v->circles[0].drift_x = 0.01;
        v->spiral.hand = RN_HAND_NONE;
        v->spiral.turn = 0;
    }
}

static void texts_stand_apart(void **state)
{
    (void)state;
    static const struct {
        double width, height;
        bool round;
    } panels[] = {{0.3048, 0.3048, false}, {0.6, 0.3, false},  {0.2, 1.2, false}, {0.3, 0.3, true},
                  {0.1, 0.1, false},       {2.0, 0.67, false}, {1.5, 1.5, true}};
    for (size_t p = 0; p < sizeof panels / sizeof panels[0]; p++)
        for (int variant = 0; variant < 7; variant++) {
            invented *v = invent(panels[p].width, panels[p].height, panels[p].round, variant == 6 ? 12 : 4,
                                 variant == 6 ? -1 : 1);
            if (variant == 1)
                go_far(v);
            take_away(v, variant);
            char what[60];
            snprintf(what, sizeof what, "panel %zu, variant %d", p, variant);
            check_page(v, variant == 6, what);
            dismiss(v);
        }
}

/* Counts pixels of one colour in a rectangle. */
static int count_colour(cairo_surface_t *surface, int x0, int x1, int y0, int y1, uint32_t rgb)
{
    int count = 0;
    for (int y = y0; y < y1; y++) {
        const uint32_t *row = (const uint32_t *)(const void *)(cairo_image_surface_get_data(surface) +
                                                               y * cairo_image_surface_get_stride(surface));
        for (int x = x0; x < x1; x++)
            count += (row[x] & 0xFFFFFF) == rgb;
    }
    return count;
}

/* The right half is pulled past the limit: 2.6 to 1, so each filled ellipse covers pi 11^2 / 2.6 units; the left is not. */
static void only_what_is_past_the_limit_is_filled(void **state)
{
    (void)state;
    invented *v = invent(0.3, 0.3, false, 4, 1);
    v->stretch.most_x = NAN; /* no ring over them */
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 520, 640);
    cairo_t *cr = cairo_create(surface);
    rn_pen pen;
    assert_true(rn_pen_init(&pen, cr, false));
    rn_pen_use(&pen, RN_ROLE_PAPER);
    cairo_paint(cr);
    rn_design_draw_stretch(&pen, (rn_box){0, 0, 520, 634}, &v->design); /* a face of 520 units, 20 by 20 ellipses */
    cairo_surface_flush(surface);
    const uint32_t pulled = 0x8E2270;
    assert_int_equal(count_colour(surface, 0, 255, 48, 568, pulled), 0);
    const int covered = count_colour(surface, 265, 520, 48, 568, pulled), ellipses = 10 * 18; /* 2 rows are not known */
    check_within(covered, ellipses * (RN_PI * 11 * 11 / 2.6), 0.3 * covered); /* rims are blended with the paper */
    check_at_least(covered, 10000);
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    dismiss(v);
}

/* An ellipse at 0.5 rad, 2.6 to 1: its second moments tell its bearing and its ratio. */
static void an_ellipse_lies_as_it_should(void **state)
{
    (void)state;
    invented *v = invent(0.3, 0.3, false, 4, 1);
    invent_stretch(v, 2.6, 2.6, 0.5);
    v->stretch.most_x = NAN;
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 52 * 20, 1300);
    cairo_t *cr = cairo_create(surface);
    rn_pen pen;
    cairo_scale(cr, 20, 20);
    assert_true(rn_pen_init(&pen, cr, false));
    rn_pen_use(&pen, RN_ROLE_PAPER);
    cairo_paint(cr);
    rn_design_draw_stretch(&pen, (rn_box){0, -40, 52, 166}, &v->design); /* face: 2 by 2 cells, from y = 8 */
    cairo_surface_flush(surface);
    double n = 0, sx = 0, sy = 0, sxx = 0, syy = 0, sxy = 0;
    for (int y = 0; y < 520; y++)
        for (int x = 0; x < 520; x++) {
            const int px = x, py = y + 160;
            if (count_colour(surface, px, px + 1, py, py + 1, 0x8E2270) == 0)
                continue;
            n++;
            sx += x;
            sy -= y; /* up */
            sxx += (double)x * x;
            syy += (double)y * y;
            sxy -= (double)x * y;
        }
    assert_true(n > 1000);
    const double mxx = sxx / n - sx * sx / n / n, myy = syy / n - sy * sy / n / n, mxy = sxy / n - sx * sy / n / n;
    const double middle = 0.5 * (mxx + myy), half = hypot(0.5 * (mxx - myy), mxy);
    check_within(0.5 * atan2(2 * mxy, mxx - myy), 0.5, 0.02);
    check_close(sqrt((middle + half) / (middle - half)), 2.6, 0.1); /* the stroke makes it a little rounder */
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    dismiss(v);
}

/* Each band in its own paint's colour and as wide as it is, to scale. */
static void strips_show_the_bands(void **state)
{
    (void)state;
    invented *v = invent(0.3, 0.3, false, 3, 1);
    rn_ring_band bands[] = {{0, 0.05, 0, false}, {0.05, 0.06, 1, true}, {0.06, 0.11, 2, true}};
    for (int k = 0; k < RN_RING_BEARINGS; k++) {
        v->rings.bearings[k].count = k == 0 ? 3 : 0;
        v->rings.bearings[k].bands = bands;
        v->rings.bearings[k].reach = k == 0 ? 0.15 : 0.2;
    }
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 680, 320);
    cairo_t *cr = cairo_create(surface);
    rn_pen pen;
    assert_true(rn_pen_init(&pen, cr, false));
    rn_design_draw_bands(&pen, (rn_box){0, 0, 680, 320}, &v->design);
    cairo_surface_flush(surface);
    int columns[3] = {0};
    for (int p = 0; p < 3; p++) {
        const uint8_t *c = v->s.plan->paints[p].colour;
        const uint32_t rgb = (uint32_t)c[0] << 16 | (uint32_t)c[1] << 8 | c[2];
        for (int x = 80; x < 500; x++)
            columns[p] += count_colour(surface, x, x + 1, 48, 80, rgb) > 8;
    }
    /* All three at one scale: 5 to 1 to 5, give or take the hairlines between. */
    check_close(columns[0], columns[2], 0.03);
    check_within(columns[0], 5.0 * columns[1], 10);
    check_at_least(columns[1], 10);
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    dismiss(v);
}

static void round_steps(void **state)
{
    (void)state;
    check_close(rn_axis_step(100, 5), 20, 1e-12);
    check_close(rn_axis_step(100, 4), 50, 1e-12);
    check_close(rn_axis_step(0.13, 4), 0.05, 1e-12);
    check_close(rn_axis_step(8, 8), 1, 1e-12);
    check_close(rn_axis_step(900, 1), 1000, 1e-12);
}

static void words(void **state)
{
    (void)state;
    invented *v = invent(0.3, 0.3, false, 3, -1);
    char text[300];
    v->rings.all.median = 3.24e-3;
    v->spiral.turn = -2 * RN_PI * 3.1; /* 0.31 turns a decimetre */
    v->stretch.past_limit = 0.123;
    rn_design_headline(text, sizeof text, &v->design);
    assert_string_equal(text, "Bands 3.2 mm wide in the middle, turning clockwise by 0.31 turns a decimetre; 12.3 % of "
                              "the face is pulled past 2 to 1.");
    v->design = (rn_design){.plan = v->s.plan};
    rn_design_headline(text, sizeof text, &v->design);
    assert_string_equal(text, "No bands.");
    dismiss(v);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_of_each_kind),
        cmocka_unit_test(texts_stand_apart),
        cmocka_unit_test(only_what_is_past_the_limit_is_filled),
        cmocka_unit_test(an_ellipse_lies_as_it_should),
        cmocka_unit_test(strips_show_the_bands),
        cmocka_unit_test(round_steps),
        cmocka_unit_test(words),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
