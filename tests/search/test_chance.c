#include "check.h"

#include "search/chance.h"

/* Table 26.1 of [abramowitz1964], from memory; it has fifteen places. */
static void the_normal_distribution_is_the_handbooks(void **state)
{
    (void)state;
    check_within(rn_normal_below(0), 0.5, 1e-16);
    check_within(rn_normal_below(1), 0.841344746068543, 1e-14);
    check_within(rn_normal_below(2), 0.977249868051821, 1e-14);
    check_within(rn_normal_below(-1), 0.158655253931457, 1e-14);
    check_close(rn_normal_below(-5), 2.866515718791939e-7, 1e-12);
}

/* Points below which a share lies, as in table 26.3 of [abramowitz1964]; from memory. */
static void the_way_back_is_the_handbooks(void **state)
{
    (void)state;
    check_within(rn_normal_at(0.5), 0, 1e-12);
    check_within(rn_normal_at(0.9), 1.281551565544600, 1e-12);
    check_within(rn_normal_at(0.95), 1.644853626951473, 1e-12);
    check_within(rn_normal_at(0.975), 1.959963984540054, 1e-12);
    check_within(rn_normal_at(0.025), -1.959963984540054, 1e-12);
    check_within(rn_normal_at(0.001), -3.090232306167814, 1e-12);
    assert_true(rn_normal_at(0) == -INFINITY && rn_normal_at(1) == INFINITY);
    for (double z = -8; z <= 5; z += 0.37)
        check_within(rn_normal_at(rn_normal_below(z)), z, 1e-9);
}

/* The worked cases of table I, method 3, in [newcombe1998]; from memory. */
static void intervals_are_the_published_ones(void **state)
{
    (void)state;
    static const struct {
        int met, of;
        double from, to;
    } cases[] = {
        {81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0.0000, 0.1611}, {1, 29, 0.0061, 0.1718}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const rn_interval interval = rn_chance_interval(cases[i].met, cases[i].of, 0.95);
        check_within(interval.from, cases[i].from, 0.5e-4 + 1e-12);
        check_within(interval.to, cases[i].to, 0.5e-4 + 1e-12);
    }
}

/* The ends are the chances from which the count lies z standard deviations off: what the interval is made of [wilson1927]. */
static void ends_are_where_the_count_is_just_believable(void **state)
{
    (void)state;
    for (int met = 1; met < 40; met += 3) {
        const rn_interval interval = rn_chance_interval(met, 40, 0.95);
        const double ends[] = {interval.from, interval.to};
        for (int i = 0; i < 2; i++)
            check_close(fabs(met - 40 * ends[i]) / sqrt(40 * ends[i] * (1 - ends[i])), 1.959963984540054, 1e-9);
    }
}

static void the_ends_of_the_scale(void **state)
{
    (void)state;
    const rn_interval none = rn_chance_interval(0, 0, 0.95), all = rn_chance_interval(30, 30, 0.95);
    assert_true(none.from == 0 && none.to == 1);
    assert_true(all.to == 1 && all.from > 0.88 && all.from < 0.89);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_normal_distribution_is_the_handbooks),
        cmocka_unit_test(the_way_back_is_the_handbooks),
        cmocka_unit_test(intervals_are_the_published_ones),
        cmocka_unit_test(ends_are_where_the_count_is_just_believable),
        cmocka_unit_test(the_ends_of_the_scale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
