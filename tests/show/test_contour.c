/* Lines of equal value against plane geometry. */
#include "check.h"

#include "base/physical.h"
#include "show/contour.h"

#define MOST 400

static double field[MOST * MOST];

/* Distance from the middle of an n x n field whose side is 2. */
static void fill_cone(int n)
{
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n; i++)
            field[j * n + i] = hypot(2.0 * i / (n - 1) - 1.0, 2.0 * j / (n - 1) - 1.0);
}

static double area_of(const rn_contour *c, rn_polyline line)
{
    double twice = 0.0;
    for (int k = 0; k < line.count; k++) {
        int a = line.first + k, b = line.first + (k + 1) % line.count;
        twice += c->x[a] * c->y[b] - c->x[b] * c->y[a];
    }
    return 0.5 * fabs(twice);
}

static double length_of(const rn_contour *c, rn_polyline line)
{
    double length = 0.0;
    for (int k = 0; k + !line.closed < line.count; k++) {
        int a = line.first + k, b = line.first + (k + 1) % line.count;
        length += hypot(c->x[b] - c->x[a], c->y[b] - c->y[a]);
    }
    return length;
}

/* Relative error of a circle's area, and its perimeter checked, on n x n nodes. */
static double circle_error(int n)
{
    const double radius = 0.7, step = 2.0 / (n - 1);
    rn_contour c = {0};
    fill_cone(n);
    assert_true(rn_contour_trace(&c, field, n, n, radius));
    assert_int_equal(c.line_count, 1);
    assert_true(c.lines[0].closed);
    check_close(length_of(&c, c.lines[0]) * step, 2.0 * RN_PI * radius, 0.01);
    const double area = area_of(&c, c.lines[0]) * step * step, exact = RN_PI * radius * radius;
    rn_contour_clear(&c);
    return fabs(area / exact - 1.0);
}

static void a_circle_is_found_to_second_order(void **state)
{
    (void)state;
    const double coarse = circle_error(50), fine = circle_error(100), finest = circle_error(200);
    check_at_most(finest, 1e-4);
    check_within(log2(coarse / fine), 2.0, 0.3);
    check_within(log2(fine / finest), 2.0, 0.3);
}

static void a_line_that_leaves_ends_at_the_border(void **state)
{
    (void)state;
    const int n = 40;
    rn_contour c = {0};
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n; i++)
            field[j * n + i] = i + 0.5 * j;
    assert_true(rn_contour_trace(&c, field, n, n, 25.0));
    assert_int_equal(c.line_count, 1);
    const rn_polyline line = c.lines[0];
    assert_false(line.closed);
    for (int k = 0; k < line.count; k++)
        check_within(c.x[line.first + k] + 0.5 * c.y[line.first + k], 25.0, 1e-12);
    const int last = line.first + line.count - 1;
    check_within(fmin(c.y[line.first], c.y[last]), 0.0, 1e-12);
    check_within(fmax(c.y[line.first], c.y[last]), n - 1, 1e-12);
    /* Straight: from (25, 0) to (25 - 39/2, 39). */
    check_close(length_of(&c, line), hypot(0.5 * (n - 1), n - 1), 1e-12);
    rn_contour_clear(&c);
}

static void a_saddle_is_two_lines(void **state)
{
    (void)state;
    const double square[4] = {1.0, 0.0, 0.0, 1.0};
    rn_contour c = {0};
    for (int high = 0; high < 2; high++) {
        assert_true(rn_contour_trace(&c, square, 2, 2, high ? 0.6 : 0.4));
        assert_int_equal(c.line_count, 2);
        for (int l = 0; l < 2; l++) {
            /* The middle is 0.5: above 0.4 the two ones are joined, so the lines go round the zeros. */
            const rn_polyline line = c.lines[l];
            assert_int_equal(line.count, 2);
            const double x = 0.5 * (c.x[line.first] + c.x[line.first + 1]);
            const double y = 0.5 * (c.y[line.first] + c.y[line.first + 1]);
            const double mean =
                (1 - x) * (1 - y) * square[0] + x * (1 - y) * square[1] + (1 - x) * y * square[2] + x * y * square[3];
            assert_true(high ? mean > 0.5 : mean < 0.5);
        }
    }
    rn_contour_clear(&c);
}

static void unknown_places_are_left_out(void **state)
{
    (void)state;
    const int n = 60;
    rn_contour c = {0};
    fill_cone(n);
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n / 2; i++)
            field[j * n + i] = NAN;
    assert_true(rn_contour_trace(&c, field, n, n, 0.5));
    assert_int_equal(c.line_count, 1);
    assert_false(c.lines[0].closed);
    for (int k = 0; k < c.point_count; k++)
        check_at_least(c.x[k], n / 2);
    for (int k = 0; k < n * n; k++)
        field[k] = NAN;
    assert_true(rn_contour_trace(&c, field, n, n, 0.5));
    assert_int_equal(c.line_count, 0);
    rn_contour_clear(&c);
}

static void rounding_keeps_ends_and_straight_lines(void **state)
{
    (void)state;
    const int n = 40;
    rn_contour c = {0};
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n; i++)
            field[j * n + i] = i + 0.5 * j;
    assert_true(rn_contour_trace(&c, field, n, n, 25.0));
    const rn_polyline line = c.lines[0];
    const double before = length_of(&c, line), x = c.x[line.first], y = c.y[line.first];
    rn_contour_smooth(&c, 4);
    assert_true(c.x[line.first] == x && c.y[line.first] == y);
    check_close(length_of(&c, line), before, 1e-12);

    /* A closed staircase: rounding keeps its centre and shortens it toward the circle it stands for. */
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n; i++)
            field[j * n + i] = hypot(i - 19.5, j - 19.5) < 12.0;
    assert_true(rn_contour_trace(&c, field, n, n, 0.15));
    assert_int_equal(c.line_count, 1);
    assert_true(c.lines[0].closed);
    const double rough = length_of(&c, c.lines[0]);
    rn_contour_smooth(&c, 4);
    const double radius = sqrt(area_of(&c, c.lines[0]) / RN_PI), smooth = length_of(&c, c.lines[0]);
    check_within(radius, 12.3, 0.4);
    check_at_most(smooth / (2.0 * RN_PI * radius), 1.02);
    check_at_least(rough / (2.0 * RN_PI * radius), 1.04);
    rn_contour_clear(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_circle_is_found_to_second_order),
        cmocka_unit_test(a_line_that_leaves_ends_at_the_border),
        cmocka_unit_test(a_saddle_is_two_lines),
        cmocka_unit_test(unknown_places_are_left_out),
        cmocka_unit_test(rounding_keeps_ends_and_straight_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
