/* The picture of the pour, by what can be measured in it. */
#include "check.h"

#include <string.h>

#include "difference.h"
#include "film/layers.h"
#include "poured.h"
#include "scratch.h"
#include "show/colour.h"
#include "show/face.h"

static rn_face face_of(const poured *made)
{
    return (rn_face){.plan = made->plan, .still = &made->still, .strata = &made->strata, .margin = 0.06};
}

static cairo_surface_t *render(const rn_face *face, int pixels, int threads)
{
    rn_error err = {0};
    rn_team *team;
    cairo_surface_t *image;
    check_ok(rn_team_new(&team, threads, &err), &err);
    check_ok(rn_face_render(&image, face, pixels, team, &err), &err);
    rn_team_free(team);
    return image;
}

static void pixel_at(uint8_t rgb[3], cairo_surface_t *image, int column, int row)
{
    const unsigned char *data = cairo_image_surface_get_data(image);
    uint32_t value;
    memcpy(&value, data + row * cairo_image_surface_get_stride(image) + 4 * column, sizeof value);
    for (int c = 0; c < 3; c++)
        rgb[c] = (uint8_t)(value >> (16 - 8 * c));
}

/* The pixel that shows a place of the panel [m]. */
static void place_at(uint8_t rgb[3], cairo_surface_t *image, const rn_face *face, double x, double y)
{
    const double longer = fmax(face->plan->panel.width, face->plan->panel.height) * (1.0 + 2.0 * face->margin);
    const int width = cairo_image_surface_get_width(image), height = cairo_image_surface_get_height(image);
    const double pixel = longer / (width > height ? width : height);
    pixel_at(rgb, image, (int)floor(0.5 * width + x / pixel), (int)floor(0.5 * height - y / pixel));
}

static double difference(const uint8_t one[3], const uint8_t two[3])
{
    double a[3], b[3];
    rn_lab_from_srgb(a, one);
    rn_lab_from_srgb(b, two);
    return difference_2000(a, b);
}

static void level_paint_has_its_own_colour(void **state)
{
    (void)state;
    for (int paint = 0; paint < 4; paint++) {
        poured made = poured_make(poured_defaults());
        for (int j = 0; j < made.strata.ny; j++)
            for (int i = 0; i < made.strata.nx; i++)
                poured_set(&made, i, j, paint, RN_FROM_NOWHERE, 0.0);
        const rn_face face = face_of(&made);
        cairo_surface_t *image = render(&face, 300, 1);
        double sum = 0.0, most = 0.0;
        int count = 0;
        for (double y = -0.09; y <= 0.09; y += 0.01)
            for (double x = -0.09; x <= 0.09; x += 0.01) {
                uint8_t rgb[3];
                place_at(rgb, image, &face, x, y);
                const double off = difference(rgb, made.plan->paints[paint].colour);
                most = fmax(most, off);
                sum += off;
                count++;
            }
        /* Gloss lies over it: as little as a painter can still judge a colour through (an estimate without a source). */
        check_at_most(sum / count, 2.5);
        check_at_most(most, 8.0);
        uint8_t corner[3]; /* far from the mirrored lamp */
        place_at(corner, image, &face, 0.08, -0.08);
        check_at_most(difference(corner, made.plan->paints[paint].colour), 2.0);
        cairo_surface_destroy(image);
        poured_clear(&made);
    }
}

/* A dome of paint in the middle: its depth falls from 12 mm over a radius of 40 mm to its front, so that its slopes
   are those of a pool's rim. */
static void make_dome(poured *made)
{
    for (int j = 0; j < made->still.grid.ny; j++)
        for (int i = 0; i < made->still.grid.nx; i++) {
            const double r = hypot(rn_grid_x(&made->still.grid, i), rn_grid_y(&made->still.grid, j));
            made->still.depth[j * made->still.grid.nx + i] = r < 0.04 ? 12e-3 * sqrt(1.0 - r * r / 0.0016) : 0.0;
        }
    for (int j = 0; j < made->strata.ny; j++)
        for (int i = 0; i < made->strata.nx; i++)
            if (hypot(poured_x(made, i), poured_y(made, j)) > 0.04)
                poured_set(made, i, j, RN_PAINT_NONE, RN_FROM_NOWHERE, 0.0);
}

static double brightest(cairo_surface_t *image, const rn_face *face, double bearing)
{
    double most = 0.0;
    for (double r = 0.02; r < 0.042; r += 1e-4)
        for (double turn = -0.1; turn <= 0.1; turn += 0.02) {
            uint8_t rgb[3];
            double lab[3];
            place_at(rgb, image, face, r * cos(bearing + turn), r * sin(bearing + turn));
            rn_lab_from_srgb(lab, rgb);
            if (rgb[2] > rgb[0]) /* slate, or gloss on it: not the ground */
                most = fmax(most, lab[0]);
        }
    return most;
}

static void the_highlight_is_on_the_slope_that_faces_the_light(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    make_dome(&made);
    const rn_face face = face_of(&made);
    cairo_surface_t *image = render(&face, 1000, 1);
    const double toward = atan2(0.541608, -0.468699); /* the key light stands at the back left */
    check_at_least(brightest(image, &face, toward), 15.0 + brightest(image, &face, toward + 3.14159));
    check_at_least(brightest(image, &face, toward), 10.0 + brightest(image, &face, toward + 1.5708));
    cairo_surface_destroy(image);
    poured_clear(&made);
}

static void bare_ground_is_neutral_and_light(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    make_dome(&made);
    const rn_face face = face_of(&made);
    cairo_surface_t *image = render(&face, 600, 1);
    for (double bearing = 0.0; bearing < 6.28; bearing += 0.1)
        for (double r = 0.05; r < 0.09; r += 0.01) {
            uint8_t rgb[3];
            place_at(rgb, image, &face, r * cos(bearing), r * sin(bearing));
            assert_true(rgb[0] == rgb[1] && rgb[1] == rgb[2]);
            check_within(rgb[0], 230.0, 8.0);
        }
    /* Beside the paint it lies in its shadow, away from the light. */
    uint8_t lit[3], shaded[3];
    const double toward = atan2(0.541608, -0.468699);
    place_at(lit, image, &face, 0.0435 * cos(toward), 0.0435 * sin(toward));
    place_at(shaded, image, &face, -0.0435 * cos(toward), -0.0435 * sin(toward));
    assert_true(shaded[0] + 10 < lit[0] && shaded[0] == shaded[1] && shaded[1] == shaded[2]);
    uint8_t middle[3];
    place_at(middle, image, &face, 0.0, 0.0);
    check_at_most(difference(middle, made.plan->paints[0].colour), 6.0);
    cairo_surface_destroy(image);
    poured_clear(&made);
}

static void the_bench_is_grey_and_shaded_away_from_the_light(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    for (int dark = 0; dark < 2; dark++) {
        rn_face face = face_of(&made);
        face.dark = dark;
        face.margin = 0.3;
        cairo_surface_t *image = render(&face, 400, 1);
        uint8_t far[3], front[3], back[3];
        pixel_at(far, image, 2, 2);
        for (int c = 0; c < 3; c++)
            check_within(far[c], dark ? 0x2A : 0xDC, 1.0);
        place_at(front, image, &face, 0.0, -0.106);
        place_at(back, image, &face, 0.0, 0.106);
        assert_true(front[0] == front[1] && front[1] == front[2] && back[0] == back[1] && back[1] == back[2]);
        assert_true(front[0] < back[0] && back[0] < far[0]);
        cairo_surface_destroy(image);
    }
    poured_clear(&made);
}

static void drips_hang_where_paint_ran_over(void **state)
{
    (void)state;
    poured_options options = poured_defaults();
    for (int round = 0; round < 2; round++) {
        options.round = round;
        poured made = poured_make(options);
        for (int k = 20; k < 40; k++) /* the right side, or quarter */
            made.still.spill[k] = 1e-6;
        const rn_face face = face_of(&made);
        cairo_surface_t *image = render(&face, 1000, 1);
        int wet = 0, dry = 0, seen = 0;
        for (double along = -0.6; along <= 0.6; along += 0.005) { /* 0.5 mm beyond the edge */
            uint8_t right[3], left[3];
            const double far = 0.1005, x = round ? far * cos(along) : far, y = round ? far * sin(along) : 0.1 * along;
            place_at(right, image, &face, x, y);
            place_at(left, image, &face, -x, y);
            seen++;
            wet += right[2] > right[0] + 8; /* slate is blue */
            dry += left[0] == left[1] && left[1] == left[2];
        }
        assert_true(seen > 200 && wet > seen - 20 && dry == seen);
        cairo_surface_destroy(image);
        poured_clear(&made);
    }
}

static void the_same_bits_for_any_team(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    make_dome(&made);
    for (int k = 0; k < 80; k += 3)
        made.still.spill[k] = 0.5e-6;
    rn_face face = face_of(&made);
    face.sheen = true;
    cairo_surface_t *one = render(&face, 333, 1), *three = render(&face, 333, 3);
    const size_t size = (size_t)cairo_image_surface_get_stride(one) * (size_t)cairo_image_surface_get_height(one);
    assert_memory_equal(cairo_image_surface_get_data(one), cairo_image_surface_get_data(three), size);
    cairo_surface_destroy(one);
    cairo_surface_destroy(three);
    poured_clear(&made);
}

static void every_shape_and_size(void **state)
{
    (void)state;
    static const double depths[2] = {1e-3, 0.0};
    static const int sizes[4] = {16, 64, 512, 2000};
    for (int shape = 0; shape < 3; shape++)
        for (int empty = 0; empty < 2; empty++) {
            poured_options options = poured_defaults();
            options.round = shape == 1;
            options.height = shape == 2 ? 0.13 : 0.2;
            options.depth = depths[empty];
            poured made = poured_make(options);
            const rn_face face = face_of(&made);
            for (int s = 0; s < 4; s++) {
                cairo_surface_t *image = render(&face, sizes[s], 1);
                const int width = cairo_image_surface_get_width(image), height = cairo_image_surface_get_height(image);
                assert_int_equal(width, sizes[s]);
                check_within(height, shape == 2 ? sizes[s] * (0.13 + 0.024) / 0.224 : sizes[s], 1.0);
                uint8_t middle[3];
                pixel_at(middle, image, width / 2, height / 2);
                if (empty)
                    check_within(middle[0], 230.0, 8.0);
                else
                    check_at_most(difference(middle, made.plan->paints[0].colour), 6.0);
                cairo_surface_destroy(image);
            }
            poured_clear(&made);
        }
}

static void scraped_paint_is_satin(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    rn_face face = face_of(&made);
    face.sheen = true;
    double lightest[2] = {0};
    for (int peeled = 0; peeled < 2; peeled++) {
        face.peeled = 0.5 * peeled;
        cairo_surface_t *image = render(&face, 300, 1);
        for (double y = -0.09; y < 0.09; y += 0.005)
            for (double x = -0.09; x < 0.09; x += 0.005) {
                uint8_t rgb[3];
                double lab[3];
                place_at(rgb, image, &face, x, y);
                rn_lab_from_srgb(lab, rgb);
                lightest[peeled] = fmax(lightest[peeled], lab[0]);
            }
        cairo_surface_destroy(image);
    }
    check_at_least(lightest[0], lightest[1] + 10.0); /* no window is mirrored in it */
    poured_clear(&made);
}

static void pictures_are_written(void **state)
{
    poured made = poured_make(poured_defaults());
    const rn_face face = face_of(&made);
    rn_error err = {0};
    rn_team *team;
    check_ok(rn_team_new(&team, 1, &err), &err);
    const char *path = scratch_path(state, "face.png");
    check_ok(rn_face_write(path, stdout, &face, 200, team, &err), &err);
    cairo_surface_t *read = cairo_image_surface_create_from_png(path), *image = render(&face, 200, 1);
    assert_int_equal(cairo_surface_status(read), CAIRO_STATUS_SUCCESS);
    for (int row = 0; row < 200; row++)
        for (int column = 0; column < 200; column++) {
            uint8_t one[3], two[3];
            pixel_at(one, read, column, row);
            pixel_at(two, image, column, row);
            assert_memory_equal(one, two, 3);
        }
    cairo_surface_destroy(read);
    cairo_surface_destroy(image);
    check_status(rn_face_write("no/such/folder/face.png", stdout, &face, 200, team, &err), RN_E_FILE, &err);
    err = (rn_error){0};
    cairo_surface_t *none = NULL;
    check_status(rn_face_render(&none, &face, 8, team, &err), RN_E_USAGE, &err);
    err = (rn_error){0};
    check_status(rn_face_render(&none, &face, 100000, team, &err), RN_E_USAGE, &err);
    assert_null(none);
    rn_team_free(team);
    poured_clear(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(level_paint_has_its_own_colour),
        cmocka_unit_test(the_highlight_is_on_the_slope_that_faces_the_light),
        cmocka_unit_test(bare_ground_is_neutral_and_light),
        cmocka_unit_test(the_bench_is_grey_and_shaded_away_from_the_light),
        cmocka_unit_test(drips_hang_where_paint_ran_over),
        cmocka_unit_test(the_same_bits_for_any_team),
        cmocka_unit_test(every_shape_and_size),
        cmocka_unit_test(scraped_paint_is_satin),
        cmocka_unit_test(pictures_are_written),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
