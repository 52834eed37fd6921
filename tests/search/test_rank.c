#include "check.h"

#include "search/rank.h"

/* Ten persons' intelligence and hours before the television: the worked example that encyclopaedias and textbooks give of
   Spearman's coefficient, -29/165 = -0.175757... (from memory; its formula is 1 - 6 sum d^2/(n (n^2 - 1)) [spearman1904]). */
static void a_worked_example(void **state)
{
    (void)state;
    static const double a[] = {106, 100, 86, 101, 99, 103, 97, 113, 112, 110};
    static const double b[] = {7, 27, 2, 50, 28, 29, 20, 12, 6, 17};
    double found;
    rn_error err = {0};
    check_ok(rn_rank_correlation(&found, a, b, 10, &err), &err);
    check_within(found, -29.0 / 165, 1e-12);
}

/* Without ties the short formula holds [spearman1904]. */
static void the_short_formula_holds(void **state)
{
    (void)state;
    double a[17], b[17], found, squares = 0;
    rn_error err = {0};
    for (int i = 0; i < 17; i++) {
        a[i] = i;
        b[i] = (i * 7) % 17;
        squares += (a[i] - b[i]) * (a[i] - b[i]);
    }
    check_ok(rn_rank_correlation(&found, a, b, 17, &err), &err);
    check_within(found, 1 - 6 * squares / (17.0 * (17 * 17 - 1)), 1e-12);
}

static void equal_values_share_their_places(void **state)
{
    (void)state;
    static const double values[] = {3, 1, 3, INFINITY, 2, 3};
    double ranks[6];
    rn_error err = {0};
    check_ok(rn_rank(ranks, values, 6, &err), &err);
    static const double expected[] = {4, 1, 4, 6, 2, 4};
    for (int i = 0; i < 6; i++)
        check_within(ranks[i], expected[i], 0);
}

static void what_says_nothing_is_left_out(void **state)
{
    (void)state;
    static const double a[] = {1, 2, NAN, 4, 5}, b[] = {10, 20, -7, NAN, 50}, same[] = {3, 3, 3, 3, 3};
    double found;
    rn_error err = {0};
    check_ok(rn_rank_correlation(&found, a, b, 5, &err), &err);
    check_within(found, 1, 1e-12);
    check_ok(rn_rank_correlation(&found, a, same, 5, &err), &err);
    assert_true(isnan(found));
    double all[100], constant[100];
    for (int i = 0; i < 100; i++) {
        all[i] = i;
        constant[i] = 1e-3;
    }
    check_ok(rn_rank_correlation(&found, all, constant, 100, &err), &err);
    assert_true(isnan(found));
    check_ok(rn_rank_correlation(&found, a, b, 2, &err), &err);
    assert_true(isnan(found));
    check_ok(rn_rank_correlation(&found, a, b, 0, &err), &err);
    assert_true(isnan(found));
}

/* Definition 7 of [hyndman1996]: the k-th of n values has the share (k - 1)/(n - 1) below it. */
static void quantiles_lie_between_neighbours(void **state)
{
    (void)state;
    double values[] = {40, 10, 30, 20, INFINITY};
    rn_rank_sort(values, 5);
    check_within(rn_rank_quantile(values, 5, 0), 10, 0);
    check_within(rn_rank_quantile(values, 5, 0.25), 20, 0);
    check_within(rn_rank_quantile(values, 5, 0.3), 22, 1e-12);
    check_within(rn_rank_quantile(values, 5, 0.75), 40, 0);
    assert_true(rn_rank_quantile(values, 5, 0.8) == INFINITY);
    assert_true(rn_rank_quantile(values, 5, 1) == INFINITY);
    check_within(rn_rank_quantile(values, 1, 0.95), 10, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_worked_example),
        cmocka_unit_test(the_short_formula_holds),
        cmocka_unit_test(equal_values_share_their_places),
        cmocka_unit_test(what_says_nothing_is_left_out),
        cmocka_unit_test(quantiles_lie_between_neighbours),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
