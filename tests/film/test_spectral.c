/* The Fourier modes of a closed curve: known sums, and what orthogonality and Parseval's theorem ask of any. */
#include "check.h"

#include "base/physical.h"
#include "base/random.h"
#include "film/spectral.h"

enum { COUNT = 96, MOST = 12 };

/* By the definition of the sum, as in any textbook of Fourier series [oppenheim1999]. */
static void a_made_sum_is_taken_apart(void **state)
{
    (void)state;
    static const double made[MOST + 1] = {0.11, 4e-3, 2.5e-3, 0, 1.2e-3, 0, 0.7e-3, 0, 0, 0, 0, 0, 0.3e-3};
    static const double turned[MOST + 1] = {0, 2.4, -1.1, 0, 0.3, 0, 3.0, 0, 0, 0, 0, 0, -2.9};
    double values[COUNT], amplitude[MOST + 1], phase[MOST + 1];
    for (int j = 0; j < COUNT; j++) {
        values[j] = made[0];
        for (int m = 1; m <= MOST; m++)
            values[j] += made[m] * cos(m * 2 * RN_PI * j / COUNT - turned[m]);
    }
    rn_error err = {0};
    check_ok(rn_spectral_modes(amplitude, phase, MOST, values, COUNT, &err), &err);
    for (int m = 0; m <= MOST; m++) {
        check_within(amplitude[m], made[m], 1e-16);
        if (made[m] > 0)
            check_within(phase[m], turned[m], 1e-12);
    }
}

/* Mean square = mean^2 + half the squares of all amplitudes, for an odd count (Parseval) [oppenheim1999]. */
static void nothing_is_lost(void **state)
{
    (void)state;
    enum { ODD = 25 };
    double values[ODD], amplitude[MOST + 1], phase[MOST + 1], square = 0, sum = 0;
    rn_random random = rn_random_seeded(7);
    for (int j = 0; j < ODD; j++) {
        values[j] = rn_random_unit(&random);
        square += values[j] * values[j] / ODD;
    }
    rn_error err = {0};
    check_ok(rn_spectral_modes(amplitude, phase, MOST, values, ODD, &err), &err);
    for (int m = 0; m <= MOST; m++)
        sum += (m == 0 ? 1 : 0.5) * amplitude[m] * amplitude[m];
    check_close(sum, square, 1e-13);
}

static void a_circle_has_no_modes(void **state)
{
    (void)state;
    double values[COUNT], amplitude[MOST + 1], phase[MOST + 1];
    for (int j = 0; j < COUNT; j++)
        values[j] = 0.1;
    rn_error err = {0};
    check_ok(rn_spectral_modes(amplitude, phase, MOST, values, COUNT, &err), &err);
    check_close(amplitude[0], 0.1, 1e-15);
    for (int m = 1; m <= MOST; m++)
        check_at_most(amplitude[m], 1e-17);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_made_sum_is_taken_apart),
        cmocka_unit_test(nothing_is_lost),
        cmocka_unit_test(a_circle_has_no_modes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
