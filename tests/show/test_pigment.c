/* Paints' colours against published values: Kubelka and Munk, Saunderson, and the colour difference that tests use. */
#include "check.h"

#include "difference.h"
#include "show/colour.h"
#include "show/pigment.h"

static void thick_layers_follow_kubelka_and_munk(void **state)
{
    (void)state;
    /* Kubelka and Munk 1931 [kubelka1931]; Allen 1980 eqs 19-20 [allen1980]. */
    check_close(rn_pigment_ratio(0.05), 9.025, 1e-12);
    check_close(rn_pigment_ratio(0.2), 1.6, 1e-12);
    check_close(rn_pigment_ratio(0.5), 0.25, 1e-12);
    check_within(rn_pigment_reflectance(1.0), 0.267949, 1e-6);
    for (double r = 0.001; r <= 1.0; r += 0.001)
        check_close(rn_pigment_reflectance(rn_pigment_ratio(r)), r, 1e-12);
    check_close(rn_pigment_reflectance(1e12), 0.5e-12, 1e-9); /* R -> S / 2K, where the plain form cancels */
}

static void layers_over_a_ground(void **state)
{
    (void)state;
    /* The hyperbolic solution [kubelka1931] at S = 1000/m, K = 200/m, 1 mm, ground 0.8; worked out from memory of
       the formula. */
    check_within(rn_pigment_over(200.0, 1000.0, 1e-3, 0.8), 0.618481, 1e-6);
    /* Its limits: nothing there, and too thick to see through. */
    check_close(rn_pigment_over(200.0, 1000.0, 1e-12, 0.8), 0.8, 1e-8);
    check_close(rn_pigment_over(200.0, 1000.0, 1.0, 0.8), rn_pigment_reflectance(0.2), 1e-12);
    /* Without absorption over black R = Sx / (1 + Sx) [kubelka1931]. */
    check_close(rn_pigment_over(0.0, 1000.0, 2e-3, 0.0), 2.0 / 3.0, 1e-12);
    check_close(rn_pigment_over(1e-6, 1000.0, 2e-3, 0.0), 2.0 / 3.0, 1e-6);
    /* The equation itself, integrated: dR/dx = S - 2 (K + S) R + S R^2 [kubelka1931], by Runge and Kutta. */
    const double k = 700.0, s = 1300.0, step = 1e-6;
    double r = 0.35;
    for (int i = 0; i < 600; i++) {
        double slope[4], at = r;
        for (int stage = 0; stage < 4; stage++) {
            slope[stage] = s - 2.0 * (k + s) * at + s * at * at;
            at = r + step * slope[stage] * (stage == 2 ? 1.0 : 0.5);
        }
        r += step / 6.0 * (slope[0] + 2.0 * slope[1] + 2.0 * slope[2] + slope[3]);
    }
    check_close(rn_pigment_over(k, s, 6e-4, 0.35), r, 1e-10);
}

static void saunderson_there_and_back(void **state)
{
    (void)state;
    /* Saunderson 1942 [saunderson1942]: (1 - k2) R / (1 - k2 R), k2 = 0.4, no outer reflection. */
    check_close(rn_pigment_seen(0.5), 0.375, 1e-12);
    check_close(rn_pigment_seen(1.0), 1.0, 1e-12);
    for (double r = 0.0; r <= 1.0; r += 0.01)
        check_within(rn_pigment_seen(rn_pigment_inside(r)), r, 1e-14);
}

static void a_paint_alone_keeps_its_colour(void **state)
{
    (void)state;
    for (int v = 0; v < 256; v++) {
        const uint8_t rgb[3] = {(uint8_t)v, (uint8_t)(255 - v), (uint8_t)(v * 7 % 256)};
        const rn_pigment pigments[2] = {rn_pigment_from_srgb(rgb), rn_pigment_from_srgb(rgb)};
        const double alone[2] = {0.0, 3.0}, twice[2] = {1.0, 2.0};
        double seen[3];
        rn_pigment_mix(seen, pigments, alone, 2);
        for (int c = 0; c < 3; c++)
            assert_int_equal(lround(255.0 * rn_srgb_encode(seen[c])), rgb[c]);
        rn_pigment_mix(seen, pigments, twice, 2); /* with itself: the same but for the darkest tones */
        for (int c = 0; c < 3; c++)
            check_within(seen[c], fmax(rn_srgb_decode(rgb[c] / 255.0), 0.003), 1e-12);
    }
}

static void mixtures_follow_the_volumes(void **state)
{
    (void)state;
    /* Two greys, worked out by hand: K and S add by volume (Duncan 1940 [duncan1940]). */
    static const uint8_t light[3] = {230, 230, 230}, dark[3] = {60, 60, 60};
    const rn_pigment pigments[2] = {rn_pigment_from_srgb(light), rn_pigment_from_srgb(dark)};
    double s[2], k[2];
    for (int p = 0; p < 2; p++) {
        const double seen = rn_srgb_decode((p ? 60.0 : 230.0) / 255.0);
        const double inside = seen / (0.6 + 0.4 * seen);
        const double lightness = (116.0 * cbrt(seen) - 16.0) / 100.0;
        s[p] = 0.3 + 0.7 * lightness * lightness;
        k[p] = s[p] * (1.0 - inside) * (1.0 - inside) / (2.0 * inside);
    }
    const double volumes[2] = {2.0, 1.0};
    const double x = (2.0 * k[0] + k[1]) / (2.0 * s[0] + s[1]);
    const double inside = 1.0 + x - sqrt(x * x + 2.0 * x);
    double seen[3];
    rn_pigment_mix(seen, pigments, volumes, 2);
    for (int c = 0; c < 3; c++)
        check_close(seen[c], 0.6 * inside / (1.0 - 0.4 * inside), 1e-3); /* lightness of 8-bit greys by two ways */
    /* Blue and yellow give green, as at the easel and not as light does. */
    static const uint8_t blue[3] = {30, 90, 170}, yellow[3] = {240, 205, 40};
    const rn_pigment two[2] = {rn_pigment_from_srgb(blue), rn_pigment_from_srgb(yellow)};
    static const double equal[2] = {1.0, 1.0};
    rn_pigment_mix(seen, two, equal, 2);
    assert_true(seen[1] > 1.2 * seen[0] && seen[1] > 1.2 * seen[2]);
}

static void differences_of_the_published_pairs(void **state)
{
    (void)state;
    /* Sharma, Wu, Dalal 2005 Table 1 [sharma2005]; the first and the fourth checked against a text, the others from
       memory. */
    static const struct {
        double one[3], two[3], difference;
    } pairs[] = {
        {{50.0, 2.6772, -79.7751}, {50.0, 0.0, -82.7485}, 2.0425},
        {{50.0, 2.49, -0.001}, {50.0, -2.49, 0.0009}, 7.1792},
        {{50.0, 2.49, -0.001}, {50.0, -2.49, 0.0011}, 7.2195},
        {{50.0, 2.5, 0.0}, {73.0, 25.0, -18.0}, 27.1492},
        {{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        check_within(difference_2000(pairs[i].one, pairs[i].two), pairs[i].difference, 1e-4);
        check_within(difference_2000(pairs[i].two, pairs[i].one), pairs[i].difference, 1e-4);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thick_layers_follow_kubelka_and_munk),
        cmocka_unit_test(layers_over_a_ground),
        cmocka_unit_test(saunderson_there_and_back),
        cmocka_unit_test(a_paint_alone_keeps_its_colour),
        cmocka_unit_test(mixtures_follow_the_volumes),
        cmocka_unit_test(differences_of_the_published_pairs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
