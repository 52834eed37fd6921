/* The picture: its files, its scale, its colours where they can be told beforehand, and its texts apart. */
#include "check.h"

#include <string.h>

#include "pages.h"
#include "sample.h"
#include "scratch.h"
#include "show/clock.h"
#include "show/colour.h"
#include "show/map.h"
#include "show/page.h"
#include "show/report.h"
#include "show/rim.h"

static rn_figure figure_of(const sample *s)
{
    return (rn_figure){s->plan, &s->forecast, &s->record};
}

static char *write_picture(const char *path, const sample *s, size_t *size)
{
    rn_error err = {0};
    const rn_figure figure = figure_of(s);
    check_ok(rn_figure_forecast(path, stdout, &figure, rn_figure_defaults(), &err), &err);
    char *bytes = scratch_read(path, size);
    assert_non_null(bytes);
    return bytes;
}

static void a_png_of_the_asked_width(void **state)
{
    sample s = sample_make(sample_defaults());
    const char *path = scratch_path(state, "forecast.PNG");
    size_t size;
    char *bytes = write_picture(path, &s, &size);
    /* Signature and IHDR of the PNG specification (ISO/IEC 15948), from memory. */
    assert_memory_equal(bytes, "\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16);
    const unsigned char *w = (const unsigned char *)bytes + 16;
    assert_int_equal(w[0] << 24 | w[1] << 16 | w[2] << 8 | w[3], 1600);
    free(bytes);

    cairo_surface_t *picture = cairo_image_surface_create_from_png(path);
    const int width = cairo_image_surface_get_width(picture), height = cairo_image_surface_get_height(picture);
    const unsigned char *data = cairo_image_surface_get_data(picture);
    const int stride = cairo_image_surface_get_stride(picture);
    static bool seen[1 << 15];
    int colours = 0;
    for (int j = 0; j < height; j++)
        for (int i = 0; i < width; i++) {
            const unsigned char *pixel = data + j * stride + 4 * i;
            const int key = pixel[0] >> 3 | (pixel[1] >> 3) << 5 | (pixel[2] >> 3) << 10;
            colours += !seen[key];
            seen[key] = true;
        }
    check_at_least(colours, 60); /* not blank: a ramp, paints, inks */
    cairo_surface_destroy(picture);
    sample_clear(&s);
}

static void pdf_svg_and_standard_output(void **state)
{
    sample s = sample_make(sample_defaults());
    size_t size;
    char *bytes = write_picture(scratch_path(state, "forecast.pdf"), &s, &size);
    assert_memory_equal(bytes, "%PDF-", 5);
    assert_true(size > 10000);
    free(bytes);
    bytes = write_picture(scratch_path(state, "forecast.svg"), &s, &size);
    assert_non_null(strstr(bytes, "<svg"));
    assert_non_null(strstr(bytes, "</svg>"));
    free(bytes);

    rn_error err = {0};
    const rn_figure figure = figure_of(&s);
    SCRATCH_CAPTURE(bytes, size, check_ok(rn_figure_forecast("-", out, &figure, rn_figure_defaults(), &err), &err));
    assert_memory_equal(bytes, "\x89PNG", 4);
    free(bytes);
    sample_clear(&s);
}

static void names_that_say_nothing_are_refused(void **state)
{
    sample s = sample_make(sample_defaults());
    const rn_figure figure = figure_of(&s);
    static const char *const names[] = {"forecast", "forecast.jpg", "png", ".pn", "forecast.png.txt"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        rn_error err = {0};
        const char *path = scratch_path(state, names[i]);
        check_status(rn_figure_forecast(path, stdout, &figure, rn_figure_defaults(), &err), RN_E_USAGE, &err);
        assert_non_null(strstr(err.message, ".png, .pdf or .svg"));
        size_t size;
        assert_null(scratch_read(path, &size));
    }
    rn_error err = {0};
    const char *path = scratch_path(state, "nowhere/forecast.png");
    check_status(rn_figure_forecast(path, stdout, &figure, rn_figure_defaults(), &err), RN_E_FILE, &err);
    assert_string_equal(err.file, path);
    assert_non_null(strstr(err.message, strerror(2))); /* ENOENT */
    sample_clear(&s);
}

/* A map of its own, drawn 1:1 on an opaque surface. */
typedef struct drawing {
    cairo_surface_t *surface;
    cairo_t *cr;
    rn_pen pen;
    rn_map map;
} drawing;

static void draw_map(drawing *d, const sample *s)
{
    const rn_panel *panel = &s->plan->panel;
    const rn_box face = {20.0, 20.0, 600.0, 600.0 * panel->height / panel->width};
    d->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 640, 640);
    d->cr = cairo_create(d->surface);
    assert_true(rn_pen_init(&d->pen, d->cr, false));
    assert_true(rn_map_init(&d->map, face, panel, &s->record, &s->forecast));
    assert_true(rn_map_draw(&d->pen, &d->map));
    cairo_surface_flush(d->surface);
}

static void clear_drawing(drawing *d)
{
    rn_map_clear(&d->map);
    rn_pen_clear(&d->pen);
    cairo_destroy(d->cr);
    cairo_surface_destroy(d->surface);
}

static void pixel_at(uint8_t rgb[3], const drawing *d, double x, double y)
{
    const uint32_t *row = (const uint32_t *)(const void *)(cairo_image_surface_get_data(d->surface) +
                                                           (int)y * cairo_image_surface_get_stride(d->surface));
    const uint32_t pixel = row[(int)x];
    for (int i = 0; i < 3; i++)
        rgb[i] = (uint8_t)(pixel >> (16 - 8 * i));
}

static int difference(const uint8_t a[3], const uint8_t b[3])
{
    int most = 0;
    for (int i = 0; i < 3; i++)
        most = abs(a[i] - b[i]) > most ? abs(a[i] - b[i]) : most;
    return most;
}

/* An even slope of depth from left to right, so that each place's colour is known. */
static void the_map_shows_the_depth_in_its_place(void **state)
{
    (void)state;
    sample_options options = sample_defaults();
    options.height = 0.5 * options.width;
    sample s = sample_make(options);
    const rn_grid *grid = &s.record.grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            const double x = rn_grid_x(grid, i), y = rn_grid_y(grid, j);
            s.record.depth[j * grid->nx + i] = 1e-3 + 2e-3 * x + 1e-3 * y;
            s.record.arrival[j * grid->nx + i] = 0.0f;
        }
    s.forecast.most.depth = 1.5e-3;
    drawing d;
    draw_map(&d, &s);
    check_close(rn_map_scale(&d.map), 600.0 / options.width, 1e-12);
    check_within(rn_map_x(&d.map, -0.5 * options.width), 20.0, 1e-9);
    check_within(rn_map_y(&d.map, 0.5 * options.height), 20.0, 1e-9); /* the back edge is on top */
    int close = 0, places = 0;
    for (double x = -0.14; x < 0.141; x += 0.01)
        for (double y = -0.07; y < 0.071; y += 0.01, places++) {
            uint8_t shown[3], expected[3];
            pixel_at(shown, &d, rn_map_x(&d.map, x), rn_map_y(&d.map, y));
            rn_ramp_depth(expected, (1e-3 + 2e-3 * x + 1e-3 * y) / 1.5e-3);
            close += difference(shown, expected) <= 3;
        }
    check_at_least(close, 0.85 * places); /* the rest lies under lines and figures */
    clear_drawing(&d);
    sample_clear(&s);
}

/* The right half is bare: the ground shows between the hatch, and the hatch shows. */
static void bare_ground_is_hatched(void **state)
{
    (void)state;
    sample s = sample_make(sample_defaults());
    const rn_grid *grid = &s.record.grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            const bool bare = rn_grid_x(grid, i) > 0.0;
            s.record.depth[j * grid->nx + i] = bare ? 0.0 : 1e-3;
            s.record.arrival[j * grid->nx + i] = bare ? NAN : 0.0f;
        }
    s.forecast.most.depth = 1e-3;
    drawing d;
    draw_map(&d, &s);
    int ground = 0, hatch = 0, left_hatch = 0;
    for (int j = 60; j < 580; j++)
        for (int i = 60; i < 580; i++) {
            uint8_t rgb[3];
            pixel_at(rgb, &d, i, j);
            const bool red = rgb[0] > rgb[2] + 60 && rgb[0] > rgb[1] + 40;
            const bool right = i > 340;
            ground += right && rgb[0] == 0xF4 && rgb[1] == 0xF4 && rgb[2] == 0xF4;
            hatch += right && red;
            left_hatch += i < 300 && red;
        }
    check_at_least(ground, 0.4 * 240 * 520);
    check_at_least(hatch, 0.1 * 240 * 520);
    assert_int_equal(left_hatch, 0);
    clear_drawing(&d);
    sample_clear(&s);
}

static void drips_count_the_run_off(void **state)
{
    (void)state;
    rn_forecast f = {0};
    assert_true(rn_rim_drip(&f) == 0.0);
    for (double ml = 0.06; ml < 4000.0; ml *= 1.37) {
        f.run_off_by_side[RN_BACK] = ml * 1e-6;
        const double drip = rn_rim_drip(&f) * 1e6;
        check_at_most(ml / drip, 64.0);
        check_at_least(ml / drip, 6.0 * (ml > 0.06));
        const double first = drip / pow(10.0, floor(log10(drip) + 1e-9));
        assert_true(fabs(first - 1.0) < 1e-6 || fabs(first - 2.0) < 1e-6 || fabs(first - 5.0) < 1e-6);
    }
}

/* Three paints of 50 ml, laid three times, leave in 8 bursts of 18.75 ml: the first burst holds the first 16.67 ml of
   slate and then kelp, the last one the end of the kelp and then brass. What leaves first stands lowest. */
static void a_burst_stands_on_what_leaves_first(void **state)
{
    (void)state;
    sample s = sample_make(sample_defaults());
    drawing d = {.surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 300)};
    d.cr = cairo_create(d.surface);
    assert_true(rn_pen_init(&d.pen, d.cr, false));
    const rn_clock clock = {.box = {0.0, 0.0, 1280.0, 300.0},
                            .x0 = 260.0,
                            .x1 = 1160.0,
                            .end = 180.0,
                            .plan = s.plan,
                            .forecast = &s.forecast,
                            .record = &s.record};
    const double top = 20.0, release_lane = 50.0;
    check_within(rn_clock_x(&clock, 90.0), 710.0, 1e-9);
    rn_lanes_draw(&d.pen, &clock, top);
    cairo_surface_flush(d.surface);
    const double low = top + release_lane - 8.0, high = top + 6.0;
    uint8_t rgb[3];
    pixel_at(rgb, &d, rn_clock_x(&clock, 7.0), low);
    assert_memory_equal(rgb, s.plan->paints[0].colour, 3);
    pixel_at(rgb, &d, rn_clock_x(&clock, 7.0), high);
    assert_memory_equal(rgb, s.plan->paints[1].colour, 3);
    pixel_at(rgb, &d, rn_clock_x(&clock, 42.0), low);
    assert_memory_equal(rgb, s.plan->paints[1].colour, 3);
    pixel_at(rgb, &d, rn_clock_x(&clock, 42.0), high);
    assert_memory_equal(rgb, s.plan->paints[2].colour, 3);
    /* Between bursts, and after the last, the lane is empty. */
    uint8_t empty[3] = {0, 0, 0};
    pixel_at(rgb, &d, rn_clock_x(&clock, 9.5), low);
    assert_memory_equal(rgb, empty, 3);
    pixel_at(rgb, &d, rn_clock_x(&clock, 60.0), low);
    assert_memory_equal(rgb, empty, 3);
    rn_pen_clear(&d.pen);
    cairo_destroy(d.cr);
    cairo_surface_destroy(d.surface);
    sample_clear(&s);
}

static void a_page_for_every_size_has_the_asked_shape(void **state)
{
    sample s = sample_make(sample_defaults());
    const rn_figure figure = figure_of(&s);
    double shape[2];
    for (int k = 0; k < 2; k++) {
        rn_error err = {0};
        rn_figure_options options = rn_figure_defaults();
        options.width = k ? 2400.0 : 800.0;
        options.dark = k;
        const char *path = scratch_path(state, "sized.png");
        check_ok(rn_figure_forecast(path, stdout, &figure, options, &err), &err);
        cairo_surface_t *picture = cairo_image_surface_create_from_png(path);
        assert_int_equal(cairo_image_surface_get_width(picture), (int)options.width);
        shape[k] = cairo_image_surface_get_height(picture) / options.width;
        uint8_t corner = *cairo_image_surface_get_data(picture);
        assert_int_equal(corner, k ? 0x2A : 0xDC);
        cairo_surface_destroy(picture);
    }
    check_within(shape[0], shape[1], 0.002);
    sample_clear(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_png_of_the_asked_width),
        cmocka_unit_test(pdf_svg_and_standard_output),
        cmocka_unit_test(names_that_say_nothing_are_refused),
        cmocka_unit_test(the_map_shows_the_depth_in_its_place),
        cmocka_unit_test(bare_ground_is_hatched),
        cmocka_unit_test(drips_count_the_run_off),
        cmocka_unit_test(a_burst_stands_on_what_leaves_first),
        cmocka_unit_test(a_page_for_every_size_has_the_asked_shape),
        cmocka_unit_test(pages_stand_apart),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
