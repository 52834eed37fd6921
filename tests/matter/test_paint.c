/* Paint laws against published mixing law and hand-worked stresses. */
#include "check.h"

#include "matter/paint.h"

static void equal_paints_mix_to_themselves(void **state)
{
    (void)state;
    /* To the last bit, whatever the shares: a plain viscosity must not become a law that is nearly one. */
    const rn_law same[] = {{1.1, 1, 0}, {1.1, 1, 0}, {1.1, 1, 0}};
    rn_law mixed = rn_law_mixed(same, (const double[]){27.871, 30.0 / 7, 0.1}, 3);
    check_within(mixed.consistency, 1.1, 0);
    check_within(mixed.power, 1, 0);
    check_within(mixed.yield, 0, 0);
}

static void mixtures_follow_the_log_law(void **state)
{
    (void)state;
    /* Grunberg and Nissan 1949 [grunberg1949], ideal (G = 0): ln eta = sum x ln eta. 2 and 0.01 Pa s at 0.7 and
       0.3 give 0.408057 Pa s (computed independently from the formula). */
    const rn_law laws[] = {{2, 1, 0}, {0.01, 1, 0}, {99, 0.5, 50}};
    check_close(rn_law_mixed(laws, (const double[]){0.7, 0.3, 0}, 3).consistency, 0.408057, 2e-6);
    check_close(rn_law_mixed(laws, (const double[]){70, 30, 0}, 3).consistency, 0.408057, 2e-6);
    rn_law alone = rn_law_mixed(laws, (const double[]){0, 0, 3}, 3);
    check_close(alone.consistency, 99, 1e-14);
    check_close(alone.power, 0.5, 1e-15);
    check_close(alone.yield, 50, 1e-15);
    rn_law half = rn_law_mixed(laws, (const double[]){0, 1, 1}, 3);
    check_close(half.power, 0.75, 1e-15);
    check_close(half.yield, 25, 1e-15);
}

static void apparent_viscosity_is_stress_over_rate(void **state)
{
    (void)state;
    /* Herschel and Bulkley 1926 [herschel1926]: tau = tau_y + K rate^n, worked by hand:
       0.6 + 2 * 10^0.8 = 13.2191 Pa at 10 1/s. */
    rn_law law = {2, 0.8, 0.6};
    check_close(rn_law_viscosity(&law, 10), 1.32191, 1e-5);
    check_close(rn_law_viscosity(&law, 1), 2.6, 1e-15);
    rn_law newtonian = {1.1, 1, 0};
    check_close(rn_law_viscosity(&newtonian, 1e-9), 1.1, 0);
    check_close(rn_law_viscosity(&newtonian, 0), 1.1, 0);
    assert_true(isinf(rn_law_viscosity(&law, 0)));
    rn_law thinning = {1, 0.5, 0};
    assert_true(isinf(rn_law_viscosity(&thinning, 0)));
}

static void spread_counts_only_paints_that_are_used(void **state)
{
    (void)state;
    const rn_law laws[] = {{1, 1, 0}, {1.5, 1, 0}, {40, 1, 0}};
    check_close(rn_law_spread(laws, (const double[]){1, 1, 0}, 3), 1.5, 1e-15);
    check_close(rn_law_spread(laws, (const double[]){1, 0, 0.1}, 3), 40, 1e-15);
    check_close(rn_law_spread(laws, (const double[]){1, 0, 0}, 3), 1, 0);
    check_close(rn_law_spread(laws, (const double[]){0, 0, 0}, 3), 1, 0);
}

static void ladder_words_cover_all_viscosities(void **state)
{
    (void)state;
    /* The ladder is this program's own convention; its edges are tried from both sides. */
    static const struct {
        double viscosity;
        const char *word;
    } cases[] = {{0.001, "milk"},       {0.0499, "milk"},         {0.05, "thin cream"}, {0.1999, "thin cream"},
                 {0.2, "double cream"}, {0.6999, "double cream"}, {0.7, "yoghurt"},     {1.4999, "yoghurt"},
                 {1.5, "warm honey"},   {2.9999, "warm honey"},   {3, "cold honey"},    {1e4, "cold honey"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_string_equal(rn_consistency_word(cases[i].viscosity), cases[i].word);
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++) /* each word stands for a value it also describes */
        assert_string_equal(rn_consistency_word(rn_consistency_ladder[i].viscosity), rn_consistency_ladder[i].word);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mixtures_follow_the_log_law),
        cmocka_unit_test(equal_paints_mix_to_themselves),
        cmocka_unit_test(apparent_viscosity_is_stress_over_rate),
        cmocka_unit_test(spread_counts_only_paints_that_are_used),
        cmocka_unit_test(ladder_words_cover_all_viscosities),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
