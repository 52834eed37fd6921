/* Growth of the overturning of two layers of paint, against published limits and an independent integration. */
#include "check.h"

#include "base/physical.h"
#include "matter/overturn.h"

static const double depth = 2e-3; /* H [m] */

static rn_overturn layers(double share_below, double below_viscosity, double above_viscosity)
{
    return (rn_overturn){.below_depth = share_below * depth,
                         .above_depth = (1.0 - share_below) * depth,
                         .below_viscosity = below_viscosity,
                         .above_viscosity = above_viscosity,
                         .excess = 100.0};
}

static void check_fastest(rn_overturn pair, double wavelength, double rate)
{
    double found_wavelength, found_rate;
    assert_true(rn_overturn_fastest(&found_wavelength, &found_rate, &pair));
    check_close(found_wavelength / depth, wavelength, 2e-3);
    check_close(found_rate * pair.below_viscosity / (pair.excess * RN_GRAVITY * depth), rate, 1e-3);
}

static void fastest_ripple_of_two_layers(void **state)
{
    (void)state;
    /* Eigenvalues of the two-layer Stokes problem of [zetina2015]'s kind, solved independently of this program by
       another method (not printed in the paper): wavelength / H, and rate mu / (excess g H). */
    check_fastest(layers(0.5, 1.0, 1.0), 1.4996, 0.043267);
    check_fastest(layers(0.25, 1.0, 1.0), 0.9254, 0.024264);
    check_fastest(layers(0.5, 1.0, 2.0), 1.575, 0.030211);
    /* H = 2 mm, excess 100 kg/m3, 1 Pa s: 3.0 mm and 0.08486 1/s. */
    double wavelength, rate;
    const rn_overturn pair = layers(0.5, 1.0, 1.0);
    assert_true(rn_overturn_fastest(&wavelength, &rate, &pair));
    check_close(wavelength, 3.0e-3, 0.02);
    check_close(rate, 0.08486, 0.001);
}

static void deep_layers_reach_the_known_limit(void **state)
{
    (void)state;
    /* Two half-spaces of very viscous liquid: s = excess g / 2 k (mu1 + mu2) (Chandrasekhar, Hydrodynamic and
       Hydromagnetic Stability, 1961, chapter X; from memory). */
    const rn_overturn pair = {1.0, 1.0, 0.7, 2.4, 80.0, 0.0};
    for (double k = 50.0; k < 3e4; k *= 3.0)
        check_close(rn_overturn_rate(&pair, k), 80.0 * RN_GRAVITY / (2.0 * k * 3.1), 1e-12);
}

static void thin_film_under_a_yielding_liquid(void **state)
{
    (void)state;
    /* Fermigier and others 1992 [fermigier1992]: a film of 1100 kg/m3, 1 Pa s, 0.030 N/m and 1 mm that hangs: the
       fastest wave is 2 pi sqrt 2 capillary lengths, 14.8183 mm, its rate 0.323239 1/s. */
    const rn_overturn film = {1e-3, 1.0, 1.0, 1e-12, 1100.0, 0.030};
    check_close(rn_overturn_thin_rate(&film, 2.0 * RN_PI / 14.8183e-3), 0.323239, 1e-5);
    assert_true(rn_overturn_thin_rate(&film, 2.0 * RN_PI / 14.0e-3) < 0.323239);
    assert_true(rn_overturn_thin_rate(&film, 2.0 * RN_PI / 16.0e-3) < 0.323239);
    /* The exact problem tends to it where the film is thin beside the wave and the other liquid gives way. */
    rn_overturn thin = film;
    thin.below_depth = 2e-5;
    double wavelength, rate;
    assert_true(rn_overturn_fastest(&wavelength, &rate, &thin));
    check_close(wavelength, 14.8183e-3, 0.01);
    check_close(rate, 0.323239 * 8e-6, 0.01);
}

/* w, w', w'', w''' through one layer by Runge and Kutta's fourth-order rule, w'''' = 2 k2 w'' - k4 w. */
static void march(double w[4], double k, double length)
{
    const int steps = 2000;
    const double dz = length / steps, k2 = k * k;
    for (int n = 0; n < steps; n++) {
        double rate[4][4], point[4];
        static const double reach[] = {0.0, 0.5, 0.5, 1.0};
        for (int stage = 0; stage < 4; stage++) {
            for (int i = 0; i < 4; i++)
                point[i] = w[i] + (stage ? reach[stage] * dz * rate[stage - 1][i] : 0.0);
            for (int i = 0; i < 3; i++)
                rate[stage][i] = point[i + 1];
            rate[stage][3] = 2.0 * k2 * point[2] - k2 * k2 * point[0];
        }
        for (int i = 0; i < 4; i++)
            w[i] += dz / 6.0 * (rate[0][i] + 2.0 * rate[1][i] + 2.0 * rate[2][i] + rate[3][i]);
    }
}

/* From the base through both layers. The weight of the ripple enters at the face between them as a third unknown
   beside the two free curvatures at the base, chosen so that the top is level and free of shear; with w = 1 at the face
   it is (excess g - tension k2) k2 / s. */
static double rate_by_shooting(const rn_overturn *pair, double k)
{
    const double m1 = pair->below_viscosity, m2 = pair->above_viscosity;
    double w[3][4] = {{0, 0, 1, 0}, {0, 0, 0, 1}, {0, 0, 0, 1 / m2}}, meet[2];
    for (int i = 0; i < 2; i++) {
        march(w[i], k, pair->below_depth);
        meet[i] = w[i][0];
        const double shear = m1 * (w[i][2] + k * k * w[i][0]), normal = m1 * (w[i][3] - 3.0 * k * k * w[i][1]);
        w[i][2] = shear / m2 - k * k * w[i][0];
        w[i][3] = normal / m2 + 3.0 * k * k * w[i][1];
    }
    for (int i = 0; i < 3; i++)
        march(w[i], k, pair->above_depth);
    /* a w0 + b w1 + c w2 is level and free of shear at the top: the cross product of both rows. */
    double p[3];
    for (int i = 0; i < 3; i++) {
        const int j = (i + 1) % 3, l = (i + 2) % 3;
        p[i] = w[j][0] * w[l][2] - w[l][0] * w[j][2];
    }
    const double jump = p[2] / (p[0] * meet[0] + p[1] * meet[1]);
    return (pair->excess * RN_GRAVITY - pair->tension * k * k) * k * k / jump;
}

static void rates_agree_with_an_integration(void **state)
{
    (void)state;
    const rn_overturn pairs[] = {{1e-3, 1e-3, 1.0, 1.0, 100.0, 0.0},
                                 {0.2e-3, 1.1e-3, 0.3, 2.0, 60.0, 0.0},
                                 {1.4e-3, 0.3e-3, 3.0, 0.2, 250.0, 0.002},
                                 {0.05e-3, 1.5e-3, 1.0, 1.0, -40.0, 0.03}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
        for (double k = 150.0; k < 6000.0; k *= 1.7) {
            const double rate = rn_overturn_rate(&pairs[i], k);
            check_close(rate, rate_by_shooting(&pairs[i], k), 1e-6);
            assert_true((rate > 0.0) == (pairs[i].excess * RN_GRAVITY > pairs[i].tension * k * k));
        }
}

static void long_waves_keep_their_digits(void **state)
{
    (void)state;
    /* Where the wave is long, s grows as k^2 (a thin film, lubrication): ever the same coefficient. */
    const rn_overturn pair = layers(0.3, 1.0, 0.5);
    const double coefficient = rn_overturn_rate(&pair, 1e-2) / 1e-4;
    for (double k = 1e-2; k < 20.0; k *= 1.5)
        check_close(rn_overturn_rate(&pair, k) / (k * k), coefficient, 2e-3);
    for (double k = 1e-5; k < 1e-2; k *= 10.0) /* far beyond any panel */
        check_close(rn_overturn_rate(&pair, k) / (k * k), coefficient, 1e-7);
}

static void lighter_on_top_stays(void **state)
{
    (void)state;
    rn_overturn pair = layers(0.5, 1.0, 1.0);
    double wavelength = 9.0, rate = 9.0;
    pair.excess = -100.0;
    assert_false(rn_overturn_fastest(&wavelength, &rate, &pair));
    check_within(wavelength, 0.0, 0.0);
    check_within(rate, 0.0, 0.0);
    assert_true(rn_overturn_rate(&pair, 2000.0) < 0.0);
    pair.excess = 0.0;
    assert_false(rn_overturn_fastest(&wavelength, &rate, &pair));
}

static void a_column_is_cut_where_it_turns_over_fastest(void **state)
{
    (void)state;
    const rn_paint paints[] = {{.name = "foam", .density = 1250.0, .law = {1.0, 1.0, 0.0}},
                               {.name = "kelp", .density = 1150.0, .law = {1.0, 1.0, 0.0}}};
    rn_overturn found = {0};
    const unsigned char heavy_on_top[8] = {1, 1, 1, 1, 0, 0, 0, 0};
    assert_true(rn_overturn_of_column(&found, heavy_on_top, 8, depth, paints, 2));
    check_close(found.below_depth, 0.5 * depth, 1e-15);
    check_close(found.above_depth, 0.5 * depth, 1e-15);
    check_close(found.excess, 100.0, 1e-12);
    check_close(found.below_viscosity, 1.0, 1e-15);
    /* One stripe in the lower half: the halves still differ by 75. */
    const unsigned char striped[8] = {1, 0, 1, 1, 0, 0, 0, 0};
    assert_true(rn_overturn_of_column(&found, striped, 8, depth, paints, 2));
    check_close(found.below_depth, 0.5 * depth, 1e-15);
    check_close(found.excess, 75.0, 1e-12);

    const rn_overturn before = found;
    const unsigned char light_on_top[8] = {0, 0, 0, 0, 1, 1, 1, 1}, plain[8] = {0};
    const unsigned char bare[8] = {255, 255, 255, 255, 255, 255, 255, 255};
    assert_false(rn_overturn_of_column(&found, light_on_top, 8, depth, paints, 2));
    assert_false(rn_overturn_of_column(&found, plain, 8, depth, paints, 2));
    assert_false(rn_overturn_of_column(&found, bare, 8, depth, paints, 2));
    check_within(found.excess, before.excess, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fastest_ripple_of_two_layers),
        cmocka_unit_test(deep_layers_reach_the_known_limit),
        cmocka_unit_test(thin_film_under_a_yielding_liquid),
        cmocka_unit_test(rates_agree_with_an_integration),
        cmocka_unit_test(long_waves_keep_their_digits),
        cmocka_unit_test(lighter_on_top_stays),
        cmocka_unit_test(a_column_is_cut_where_it_turns_over_fastest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
