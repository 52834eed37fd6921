/* Colours against the standards' own numbers. */
#include "check.h"

#include "show/colour.h"

static void transfer_curve_of_srgb(void **state)
{
    (void)state;
    /* IEC 61966-2-1:1999 [srgb1999]. */
    check_within(rn_srgb_encode(0.18), 0.461356, 1e-6);
    check_within(rn_srgb_encode(0.5), 0.735357, 1e-6);
    check_within(rn_srgb_decode(0.5), 0.214041, 1e-6);
    for (int i = 0; i <= 255; i++)
        check_within(rn_srgb_encode(rn_srgb_decode(i / 255.0)), i / 255.0, 1e-9);
    /* The straight piece and the power meet. */
    check_within(rn_srgb_decode(0.04045 - 1e-9), rn_srgb_decode(0.04045 + 1e-9), 1e-6);
}

static void lab_of_known_colours(void **state)
{
    (void)state;
    /* CIE 1976 [cie1976] of the sRGB primaries under D65; widely printed figures, from memory. */
    static const struct {
        uint8_t rgb[3];
        double lab[3];
    } known[] = {
        {{255, 255, 255}, {100.0, 0.0, 0.0}},   {{0, 0, 0}, {0.0, 0.0, 0.0}},
        {{255, 0, 0}, {53.24, 80.09, 67.20}},   {{0, 255, 0}, {87.73, -86.18, 83.18}},
        {{0, 0, 255}, {32.30, 79.19, -107.86}}, {{119, 119, 119}, {50.03, 0.0, 0.0}},
    };
    for (size_t k = 0; k < sizeof known / sizeof known[0]; k++) {
        double lab[3];
        rn_lab_from_srgb(lab, known[k].rgb);
        for (int i = 0; i < 3; i++)
            check_within(lab[i], known[k].lab[i], 0.03);
    }
}

static void lab_there_and_back(void **state)
{
    (void)state;
    for (int r = 0; r < 256; r += 17)
        for (int g = 0; g < 256; g += 17)
            for (int b = 0; b < 256; b += 17) {
                const uint8_t rgb[3] = {(uint8_t)r, (uint8_t)g, (uint8_t)b};
                uint8_t back[3];
                double lab[3];
                rn_lab_from_srgb(lab, rgb);
                rn_srgb_from_lab(back, lab);
                assert_memory_equal(back, rgb, 3);
            }
}

/* CIE 1976 lightness straight from its definition, apart from the code under test. */
static double lightness(const uint8_t rgb[3])
{
    double luminance = 0.0;
    static const double weight[3] = {0.2126, 0.7152, 0.0722};
    for (int i = 0; i < 3; i++) {
        const double c = rgb[i] / 255.0;
        luminance += weight[i] * (c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4));
    }
    return luminance > 216.0 / 24389.0 ? 116.0 * cbrt(luminance) - 16.0 : luminance * 24389.0 / 27.0;
}

static void ramp_is_even_in_lightness(void **state)
{
    (void)state;
    double before = 0.0;
    for (int i = 0; i <= 200; i++) {
        const double u = i / 200.0;
        uint8_t rgb[3];
        rn_ramp_depth(rgb, u);
        const double light = lightness(rgb);
        check_within(light, 18.0 + 75.0 * u, 0.6);
        check_at_least(light, before);
        before = light - 0.25; /* one step of an 8-bit colour */
    }
    uint8_t below[3], above[3], ends[2][3];
    rn_ramp_depth(below, -1.0);
    rn_ramp_depth(above, 2.0);
    rn_ramp_depth(ends[0], 0.0);
    rn_ramp_depth(ends[1], 1.0);
    assert_memory_equal(below, ends[0], 3);
    assert_memory_equal(above, ends[1], 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(transfer_curve_of_srgb),
        cmocka_unit_test(lab_of_known_colours),
        cmocka_unit_test(lab_there_and_back),
        cmocka_unit_test(ramp_is_even_in_lightness),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
