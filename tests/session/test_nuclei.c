/* The scatter of cells: how dense, how far apart, the same for a seed, found again at every point. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "base/random.h"
#include "run/nuclei.h"

static const rn_panel square = {.width = 0.30, .height = 0.24};
static const rn_panel disc = {.round = true, .width = 0.30, .height = 0.30};

static rn_nuclei scatter(const rn_panel *panel, double amount, long seed, double spacing)
{
    rn_nuclei_options options = rn_nuclei_defaults();
    options.amount = amount;
    options.seed = seed;
    options.spacing = spacing;
    rn_nuclei nuclei;
    rn_error err = {0};
    check_ok(rn_nuclei_scatter(&nuclei, panel, options, &err), &err);
    return nuclei;
}

static void as_dense_as_asked(void **state)
{
    (void)state;
    for (long seed = 1; seed <= 3; seed++)
        for (double spacing = 3e-3; spacing < 10e-3; spacing *= 1.5) {
            rn_nuclei nuclei = scatter(&square, 1.0, seed, spacing);
            check_close(nuclei.count * spacing * spacing, square.width * square.height, 0.04);
            rn_nuclei_free(&nuclei);
            nuclei = scatter(&disc, 1.0, seed, spacing);
            check_close(nuclei.count * spacing * spacing, 0.25 * RN_PI * disc.width * disc.width, 0.04);
            for (int n = 0; n < nuclei.count; n++)
                check_at_most(hypot(nuclei.nucleus[n].x, nuclei.nucleus[n].y), 0.5 * disc.width);
            rn_nuclei_free(&nuclei);
        }
}

static void apart_and_close_to_jammed(void **state)
{
    (void)state;
    /* Discs thrown at random that may not overlap jam at 0.547 of the area (Feder 1980 [feder1980], from memory), and
       near it only as the inverse square root of the number thrown. */
    const double spacing = 3e-3, least = 0.8 * spacing;
    rn_nuclei nuclei = scatter(&square, 1.0, 7, spacing);
    const double covered = nuclei.count * 0.25 * RN_PI * least * least / (square.width * square.height);
    check_at_most(covered, 0.547 * 1.02); /* the rim's discs hang over */
    check_at_least(covered, 0.547 - 0.06);
    for (int n = 0; n < nuclei.count; n++)
        for (int m = 0; m < n; m++) {
            const rn_nucleus *a = &nuclei.nucleus[n], *b = &nuclei.nucleus[m];
            const double distance = hypot(a->x - b->x, a->y - b->y);
            check_at_least(distance, least);
            check_at_least(distance, a->radius + b->radius); /* cells do not overlap */
        }
    rn_nuclei_free(&nuclei);
}

static void even_over_the_panel(void **state)
{
    (void)state;
    /* Counts in equal fields scatter less than independent points would, whose variance is their mean. */
    rn_nuclei nuclei = scatter(&square, 1.0, 3, 3e-3);
    int counts[8][10] = {{0}};
    for (int n = 0; n < nuclei.count; n++)
        counts[(int)((nuclei.nucleus[n].y / square.height + 0.5) * 8.0)]
              [(int)((nuclei.nucleus[n].x / square.width + 0.5) * 10.0)]++;
    const double mean = nuclei.count / 80.0;
    double variance = 0.0;
    for (int j = 0; j < 8; j++)
        for (int i = 0; i < 10; i++)
            variance += (counts[j][i] - mean) * (counts[j][i] - mean) / 80.0;
    check_at_most(variance, 0.4 * mean);
    rn_nuclei_free(&nuclei);
}

static void a_seed_is_a_scatter(void **state)
{
    (void)state;
    rn_nuclei a = scatter(&square, 0.6, 5, 6e-3), b = scatter(&square, 0.6, 5, 6e-3),
              c = scatter(&square, 0.6, 6, 6e-3);
    assert_int_equal(a.count, b.count);
    for (int n = 0; n < a.count; n++) {
        check_within(a.nucleus[n].x, b.nucleus[n].x, 0.0);
        check_within(a.nucleus[n].y, b.nucleus[n].y, 0.0);
        check_within(a.nucleus[n].radius, b.nucleus[n].radius, 0.0);
    }
    assert_true(fabs(a.nucleus[0].x - c.nucleus[0].x) > 1e-6);
    rn_nuclei_free(&a);
    rn_nuclei_free(&b);
    rn_nuclei_free(&c);
}

static void more_adds_and_widens(void **state)
{
    (void)state;
    rn_nuclei all = scatter(&square, 1.0, 2, 4e-3), some = scatter(&square, 0.3, 2, 4e-3);
    rn_nuclei none = scatter(&square, 0.0, 2, 4e-3);
    assert_int_equal(none.count, 0);
    check_close(some.count, 0.3 * all.count, 0.1);
    int found = 0;
    for (int n = 0; n < some.count; n++)
        for (int m = 0; m < all.count; m++)
            if (all.nucleus[m].x == some.nucleus[n].x && all.nucleus[m].y == some.nucleus[n].y) {
                found++;
                check_at_least(all.nucleus[m].radius, some.nucleus[n].radius);
                check_at_most(2.0 * all.nucleus[m].radius, 0.9 * 4e-3);
            }
    assert_int_equal(found, some.count);
    double share = -1.0;
    assert_int_equal(rn_nuclei_at(&share, &none, 0.0, 0.0), -1);
    rn_nuclei_free(&all);
    rn_nuclei_free(&some);
    rn_nuclei_free(&none);
}

static void points_find_their_cell(void **state)
{
    (void)state;
    /* Against a plain search through all. */
    rn_nuclei_options options = rn_nuclei_defaults();
    options.amount = 0.8;
    options.spacing = 8e-3;
    options.size = 30e-3; /* wider than there is room for: each touches its limit */
    rn_nuclei nuclei;
    rn_error err = {0};
    check_ok(rn_nuclei_scatter(&nuclei, &disc, options, &err), &err);
    rn_random random = rn_random_seeded(11);
    int within = 0;
    for (int i = 0; i < 20000; i++) {
        const double x = (rn_random_unit(&random) - 0.5) * 0.36, y = (rn_random_unit(&random) - 0.5) * 0.36;
        int expected = -1;
        double share = -1.0, expected_share = -1.0;
        for (int n = 0; n < nuclei.count; n++) {
            const double rho = hypot(x - nuclei.nucleus[n].x, y - nuclei.nucleus[n].y) / nuclei.nucleus[n].radius;
            if (rho <= 1.0) {
                expected = n;
                expected_share = rho;
            }
        }
        assert_int_equal(rn_nuclei_at(&share, &nuclei, x, y), expected);
        check_within(share, expected_share, 1e-12);
        within += expected >= 0;
    }
    check_at_least(within, 3000);
    rn_nuclei_free(&nuclei);
}

static void layers_show_by_their_thickness(void **state)
{
    (void)state;
    check_within(rn_nuclei_depth(0.0), RN_NUCLEI_DEEPEST, 1e-15);
    check_within(rn_nuclei_depth(1.0), 1.0, 1e-15);
    /* Equal steps of depth take equal rings of area: worked by hand. */
    for (int i = 0; i < 5; i++) {
        const double inner = rn_nuclei_depth(sqrt(0.2 * i)), outer = rn_nuclei_depth(sqrt(0.2 * (i + 1)));
        check_close(outer - inner, 0.2 * (1.0 - RN_NUCLEI_DEEPEST), 1e-12);
    }
}

static void nonsense_is_refused(void **state)
{
    (void)state;
    static const struct {
        double amount, spacing, size;
        const char *says;
    } wrong[] = {{1.5, 3e-3, 2e-3, "between 0 and 1"}, {NAN, 3e-3, 2e-3, "between 0 and 1"},
                 {0.5, NAN, NAN, "greater than 0"},    {0.5, 0.0, 1e-3, "greater than 0"},
                 {0.5, 3e-3, -1.0, "greater than 0"},  {0.5, 1e-6, 1e-6, "too many"}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        rn_nuclei nuclei = {.count = -7};
        rn_nuclei_options options = rn_nuclei_defaults();
        options.amount = wrong[i].amount;
        options.spacing = wrong[i].spacing;
        options.size = wrong[i].size;
        rn_error err = {0};
        check_status(rn_nuclei_scatter(&nuclei, &square, options, &err), RN_E_USAGE, &err);
        assert_non_null(strstr(err.message, wrong[i].says));
        assert_int_equal(nuclei.count, -7);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_dense_as_asked),
        cmocka_unit_test(apart_and_close_to_jammed),
        cmocka_unit_test(even_over_the_panel),
        cmocka_unit_test(a_seed_is_a_scatter),
        cmocka_unit_test(more_adds_and_widens),
        cmocka_unit_test(points_find_their_cell),
        cmocka_unit_test(layers_show_by_their_thickness),
        cmocka_unit_test(nonsense_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
