/* Seams between points, against the lines and circles that the points were told apart by. */
#include "check.h"

#include "show/seam.h"

#define SIDE 96

static unsigned char links[SIDE * SIDE];
static float right[SIDE * SIDE], back[SIDE * SIDE];
static int kinds[SIDE * SIDE];

static void settle(void)
{
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++) {
            const int p = j * SIDE + i;
            const bool holds_right = i == SIDE - 1 || kinds[p] == kinds[p + 1];
            const bool holds_back = j == SIDE - 1 || kinds[p] == kinds[p + SIDE];
            links[p] = (unsigned char)((holds_right ? RN_LINK_RIGHT : 0) | (holds_back ? RN_LINK_BACK : 0));
        }
    assert_true(rn_seam_settle(right, back, links, SIDE, SIDE));
}

/* How far the crossings well inside stray from where distance() is 0, root mean square [steps]: in all, and from the
   straight line that fits them best, which need not be the one: points do not tell lines apart that lie close. */
typedef struct straying {
    double off, wobble;
} straying;

static straying stray(double (*distance)(double x, double y))
{
    double n = 0.0, d1 = 0.0, d2 = 0.0, u1 = 0.0, u2 = 0.0, ud = 0.0;
    for (int j = 8; j < SIDE - 8; j++)
        for (int i = 8; i < SIDE - 8; i++)
            for (int way = 0; way < 2; way++) {
                const int p = j * SIDE + i;
                if (links[p] & (way ? RN_LINK_BACK : RN_LINK_RIGHT))
                    continue;
                const double x = i + (way ? 0.0 : (double)right[p]), y = j + (way ? (double)back[p] : 0.0);
                const double d = distance(x, y), u = x + 0.3 * y;
                n += 1.0;
                d1 += d;
                d2 += d * d;
                u1 += u;
                u2 += u * u;
                ud += u * d;
            }
    assert_true(n > 40.0);
    const double both = ud / n - u1 / n * d1 / n, spread = u2 / n - u1 / n * u1 / n;
    return (straying){sqrt(d2 / n), sqrt(d2 / n - d1 / n * d1 / n - both * both / spread)};
}

static void cross_midway(void)
{
    for (int p = 0; p < SIDE * SIDE; p++)
        right[p] = back[p] = 0.5f;
}

static double slant; /* of the line at hand */

static double from_line(double x, double y)
{
    return ((y - 47.3) - slant * (x - 40.1)) / hypot(1.0, slant);
}

static double from_circle(double x, double y)
{
    return hypot(x - 47.2, y - 46.9) - 31.4;
}

static void split(double (*distance)(double x, double y))
{
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++)
            kinds[j * SIDE + i] = distance(i, j) > 0.0;
    settle();
}

static void lines_and_circles_are_found_again(void **state)
{
    (void)state;
    double sum = 0.0, sum_midway = 0.0;
    for (slant = -1.4; slant < 1.45; slant += 0.0907) {
        split(from_line);
        const straying drawn = stray(from_line);
        cross_midway();
        const straying midway = stray(from_line);
        check_at_most(drawn.off, midway.off + 0.01);
        check_at_most(drawn.wobble,
                      0.7 * midway.wobble); /* near 0 and +-45 degrees steps are too long to be seen past */
        sum += drawn.wobble;
        sum_midway += midway.wobble;
    }
    check_at_most(sum, 0.25 * sum_midway);
    split(from_circle);
    const straying drawn = stray(from_circle);
    cross_midway();
    check_at_most(drawn.off, stray(from_circle).off); /* it shrinks a little within its links */
}

static void every_place_is_on_its_side(void **state)
{
    (void)state;
    split(from_circle);
    for (double y = 10.05; y < SIDE - 11; y += 0.37)
        for (double x = 10.05; x < SIDE - 11; x += 0.37) {
            const int i = (int)x, j = (int)y;
            static const int corners[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
            rn_seam_cell cell;
            rn_seam_cell_at(&cell, right, back, links, SIDE, j * SIDE + i);
            if (cell.broken < 2) {
                assert_int_equal(cell.broken, 0); /* two kinds change an even number of times round a cell */
                continue;
            }
            rn_seam_side here, there;
            const double away = (double)rn_seam_sides(&here, &there, &cell, (float)(x - i), (float)(y - j));
            const int *one = corners[here.first], *two = corners[there.first];
            const int kind = kinds[(j + one[1]) * SIDE + i + one[0]], other = kinds[(j + two[1]) * SIDE + i + two[0]];
            for (int k = 0; k < here.count; k++) {
                const int *corner = corners[(here.first + k) % 4];
                assert_int_equal(kinds[(j + corner[1]) * SIDE + i + corner[0]], kind);
            }
            const double distance = from_circle(x, y);
            if (fabs(distance) > 1.0)
                assert_int_equal(kind, distance > 0.0);
            if (cell.broken == 2) {
                assert_int_equal(kind + other, 1);
                check_within(away, fabs(distance), 1.0); /* a seam stays on its links */
            }
        }
}

static void three_meet_in_a_hub(void **state)
{
    (void)state;
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++)
            kinds[j * SIDE + i] = j > 40 ? 0 : i > 50 ? 1 : 2;
    settle();
    rn_seam_cell cell;
    rn_seam_side here, there;
    rn_seam_cell_at(&cell, right, back, links, SIDE, 40 * SIDE + 50);
    assert_int_equal(cell.broken, 3);
    rn_seam_sides(&here, &there, &cell, 0.1f, 0.1f);
    assert_true(here.first == 0 && here.count == 1);
    rn_seam_sides(&here, &there, &cell, 0.9f, 0.1f);
    assert_true(here.first == 1 && here.count == 1);
    rn_seam_sides(&here, &there, &cell, 0.5f, 0.95f);
    assert_true(here.first == 2 && here.count == 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_and_circles_are_found_again),
        cmocka_unit_test(every_place_is_on_its_side),
        cmocka_unit_test(three_meet_in_a_hub),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
