/* The sheet of moments: written whole for every number of them, its texts apart and on the page. */
#include "check.h"

#include <string.h>

#include "scratch.h"
#include "show/moments.h"

typedef struct made {
    rn_plan *plan;
    rn_moments_sheet sheet;
} made;

/* Plain faces of that many pixels, with the longest words. */
static made make(int count, int wide, int high)
{
    static const char *const words[] = {"release ends", "back left corner reached, front right corner reached",
                                        "the seventh wave of foam is out, right edge reached", "spin ends", "end"};
    made got = {.plan = rn_plan_new()};
    assert_non_null(got.plan);
    got.plan->panel.width = 0.3;
    got.plan->panel.height = 0.3 * high / wide;
    snprintf(got.plan->title, sizeof got.plan->title,
             "Slate and kelp at the turn of the tide, the third of nine studies of the outer skerries in autumn light");
    got.sheet = (rn_moments_sheet){.plan = got.plan, .paint = 250e-6, .count = count};
    for (int k = 0; k < count; k++) {
        rn_moments_entry *entry = &got.sheet.entries[k];
        entry->telling.time = 123.4 + 1000 * k;
        snprintf(entry->telling.words, sizeof entry->telling.words, "%s", words[k % 5]);
        entry->moment =
            (rn_moment){.time = entry->telling.time, .coverage = 1, .run_off = {61e-6, 62e-6, 63e-6, 64e-6}};
        entry->face = cairo_image_surface_create(CAIRO_FORMAT_RGB24, wide, high);
        cairo_t *cr = cairo_create(entry->face);
        cairo_set_source_rgb(cr, 0.1 + 0.07 * k, 0.4, 0.35);
        cairo_paint(cr);
        cairo_destroy(cr);
    }
    return got;
}

static void unmake(made *got)
{
    for (int k = 0; k < got->sheet.count; k++)
        cairo_surface_destroy(got->sheet.entries[k].face);
    rn_plan_free(got->plan);
}

static void it_is_written_for_any_number(void **state)
{
    static const int counts[] = {1, 2, 6, 7, 9, 12};
    for (int c = 0; c < 6; c++) {
        made got = make(counts[c], 120, 100);
        rn_error err = {0};
        const char *path = scratch_path(state, "moments.png");
        check_ok(rn_moments_write(path, NULL, &got.sheet, 800, &err), &err);
        cairo_surface_t *back = cairo_image_surface_create_from_png(path);
        assert_int_equal(cairo_surface_status(back), CAIRO_STATUS_SUCCESS);
        assert_int_equal(cairo_image_surface_get_width(back), 800);
        check_within(cairo_image_surface_get_height(back), rn_moments_height(&got.sheet) * 800 / RN_MOMENTS_PAGE, 1);
        /* In the middle of the first face is the face. */
        const double side = rn_moments_face_pixels(counts[c], 800);
        const unsigned char *data = cairo_image_surface_get_data(back);
        const int row = (int)(40 + side * 100 / 240), column = (int)(19 + side / 2);
        uint32_t pixel;
        memcpy(&pixel, data + (long)row * cairo_image_surface_get_stride(back) + 4L * column, 4);
        assert_in_range(pixel >> 16 & 255, 24, 27);
        assert_in_range(pixel >> 8 & 255, 101, 103);
        cairo_surface_destroy(back);
        unmake(&got);
    }
}

static void texts_stand_apart(void **state)
{
    (void)state;
    static const int shapes[][2] = {{100, 100}, {120, 80}, {80, 120}, {30, 120}, {15, 120}, {200, 20}};
    for (int count = 1; count <= RN_TELLING_MOST; count++)
        for (int s = 0; s < 6; s++)
            for (int round = 0; round < 2; round++) {
                made got = make(count, shapes[s][0], shapes[s][1]);
                got.plan->panel.round = round && s == 0;
                const double height = rn_moments_height(&got.sheet);
                cairo_surface_t *page =
                    cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)RN_MOMENTS_PAGE / 4, (int)ceil(height / 4));
                cairo_t *cr = cairo_create(page);
                cairo_scale(cr, 0.25, 0.25);
                rn_pen pen;
                assert_true(rn_pen_init(&pen, cr, round));
                rn_moments_draw(&pen, &got.sheet);
                assert_int_equal(pen.box_lost, 0);
                assert_int_equal(pen.box_count, 3 + 3 * count);
                if (rn_pen_overlaps(&pen) > 0)
                    fail_msg("%d moments of %d x %d: %d pairs of texts overlap", count, shapes[s][0], shapes[s][1],
                             rn_pen_overlaps(&pen));
                for (int b = 0; b < pen.box_count; b++) {
                    check_at_least(pen.boxes[b].x, 0);
                    check_at_least(pen.boxes[b].y, 0);
                    check_at_most(pen.boxes[b].x + pen.boxes[b].width, RN_MOMENTS_PAGE);
                    check_at_most(pen.boxes[b].y + pen.boxes[b].height, height);
                }
                rn_pen_clear(&pen);
                cairo_destroy(cr);
                cairo_surface_destroy(page);
                unmake(&got);
            }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(it_is_written_for_any_number, scratch_make, scratch_remove),
        cmocka_unit_test(texts_stand_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
