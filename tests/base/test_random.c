#include "base/random.h"

#include "check.h"

/* First draws of SplitMix64 [steele2014] from seed 1234567, as implementations publish them for comparison.
   From memory; a second implementation in another language drew the same. */
static void draws_are_those_of_splitmix64(void **state)
{
    (void)state;
    const uint64_t published[5] = {UINT64_C(6457827717110365317), UINT64_C(3203168211198807973),
                                   UINT64_C(9817491932198370423), UINT64_C(4593380528125082431),
                                   UINT64_C(16408922859458223821)};
    rn_random random = rn_random_seeded(1234567);
    for (int i = 0; i < 5; i++)
        assert_true(rn_random_bits(&random) == published[i]);
}

static void the_same_seed_draws_the_same(void **state)
{
    (void)state;
    rn_random a = rn_random_seeded(7), b = rn_random_seeded(7), c = rn_random_seeded(8);
    int same = 0;
    for (int i = 0; i < 1000; i++) {
        uint64_t draw = rn_random_bits(&a);
        assert_true(draw == rn_random_bits(&b));
        same += draw == rn_random_bits(&c);
    }
    assert_int_equal(same, 0);
}

/* Mean 1/2 and variance 1/12 of the uniform law, each within five of its standard errors. */
static void units_are_uniform_on_the_half_open_interval(void **state)
{
    (void)state;
    enum { DRAWS = 200000, BINS = 20 };
    int bins[BINS] = {0};
    double sum = 0, squares = 0;
    rn_random random = rn_random_seeded(2024);
    for (int i = 0; i < DRAWS; i++) {
        double u = rn_random_unit(&random);
        assert_true(u >= 0 && u < 1);
        bins[(int)(u * BINS)]++;
        sum += u;
        squares += (u - 0.5) * (u - 0.5);
    }
    check_within(sum / DRAWS, 0.5, 5 * sqrt(1.0 / 12 / DRAWS));
    check_within(squares / DRAWS, 1.0 / 12, 5 * sqrt(1.0 / 180 / DRAWS)); /* var of (u-1/2)^2: 1/80 - 1/144 */
    double chi_square = 0;
    for (int b = 0; b < BINS; b++)
        chi_square += pow(bins[b] - (double)DRAWS / BINS, 2) / ((double)DRAWS / BINS);
    check_at_most(chi_square, 43.8); /* 19 degrees of freedom, exceeded once in a thousand (tables) */
    check_at_least(chi_square, 5.4); /* and so even that it is no chance, once in a thousand */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(draws_are_those_of_splitmix64),
        cmocka_unit_test(the_same_seed_draws_the_same),
        cmocka_unit_test(units_are_uniform_on_the_half_open_interval),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
