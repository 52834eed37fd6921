/* A pour's colours in order: crisp, averaged as light, and mingled by Kubelka and Munk. */
#include "check.h"

#include "show/streak.h"

static rn_pour pour;
static rn_pigment pigments[RN_PAINTS_MOST];

static void make(void)
{
    static const uint8_t colours[3][3] = {{43, 58, 85}, {236, 235, 228}, {201, 150, 47}};
    for (int p = 0; p < 3; p++)
        pigments[p] = rn_pigment_from_srgb(colours[p]);
    pour = (rn_pour){.repeat = 3, .layer_count = 3};
    pour.stack[0] = (rn_layer){.paint = 0, .volume = 30e-6};
    pour.stack[1] = (rn_layer){.paint = 1, .volume = 15e-6};
    pour.stack[2] = (rn_layer){.paint = 2, .volume = 24e-6}; /* 10, 5 and 8 ml in each order of 23 ml */
}

static void check_colour(const float rgb[3], const double expected[3], double absolute)
{
    for (int c = 0; c < 3; c++)
        check_within((double)rgb[c], expected[c], absolute);
}

static void bands_are_crisp(void **state)
{
    (void)state;
    make();
    rn_streak streak;
    assert_true(rn_streak_init(&streak, &pour, pigments));
    check_close((double)streak.volume, 69e-6, 1e-6);
    check_close((double)streak.band, 23e-6 / 3, 1e-6);
    for (double ml = 0.05; ml < 69.0; ml += 0.1) {
        const double in = fmod(ml, 23.0);
        const int paint = in < 10.0 ? 0 : in < 15.0 ? 1 : 2;
        const double edge = fmin(fmin(fabs(in - 10.0), fabs(in - 15.0)), fmin(in, 23.0 - in));
        float rgb[3];
        rn_streak_colour(rgb, &streak, (float)(ml * 1e-6), 0.0f, 0.0f);
        if (edge > 0.09) /* two entries of the table at most */
            check_colour(rgb, pigments[paint].own, 1e-5);
    }
    float rgb[3]; /* before the first drop and after the last */
    rn_streak_colour(rgb, &streak, -5e-6f, 0.0f, 0.0f);
    check_colour(rgb, pigments[0].own, 1e-5);
    rn_streak_colour(rgb, &streak, 80e-6f, 0.0f, 0.0f);
    check_colour(rgb, pigments[2].own, 1e-5);
    rn_streak_clear(&streak);
}

static void a_pixel_averages_light(void **state)
{
    (void)state;
    make();
    rn_streak streak;
    assert_true(rn_streak_init(&streak, &pour, pigments));
    float rgb[3];
    double mean[3];
    for (double wide = 0.5; wide < 8.0; wide += 0.5) { /* round the edge from the first to the second band */
        for (int c = 0; c < 3; c++)
            mean[c] = ((0.5 * wide + 0.1) * pigments[0].own[c] + (0.5 * wide - 0.1) * pigments[1].own[c]) / wide;
        rn_streak_colour(rgb, &streak, 9.9e-6f, 0.0f, (float)(wide * 1e-6));
        check_colour(rgb, mean, 2e-3);
    }
    for (int c = 0; c < 3; c++) /* a whole order */
        mean[c] = (10.0 * pigments[0].own[c] + 5.0 * pigments[1].own[c] + 8.0 * pigments[2].own[c]) / 23.0;
    for (double ml = 12.0; ml < 57.0; ml += 3.3) {
        rn_streak_colour(rgb, &streak, (float)(ml * 1e-6), 0.0f, 23e-6f);
        check_colour(rgb, mean, 2e-3);
    }
    rn_streak_clear(&streak);
}

static void what_mingles_mixes_as_paint(void **state)
{
    (void)state;
    make();
    rn_streak streak;
    assert_true(rn_streak_init(&streak, &pour, pigments));
    /* All of it: K and S by volume (Duncan 1940 [duncan1940]), and darker than the mean of the lights. */
    const double volumes[3] = {30.0, 15.0, 24.0};
    double mixed[3], mean[3] = {0};
    rn_pigment_mix(mixed, pigments, volumes, 3);
    for (int c = 0; c < 3; c++)
        for (int p = 0; p < 3; p++)
            mean[c] += volumes[p] / 69.0 * pigments[p].own[c];
    float rgb[3];
    rn_streak_colour(rgb, &streak, 34e-6f, 1e-3f, 0.0f);
    check_colour(rgb, mixed, 0.02);
    for (int c = 0; c < 3; c++)
        assert_true((double)rgb[c] < 0.8 * mean[c]);
    /* More mingling leads from the band's own colour to the mixture without a jump. */
    double before = pigments[1].own[0];
    for (double wide = 0.01; wide < 69.0; wide *= 1.05) {
        rn_streak_colour(rgb, &streak, 35.5e-6f, (float)(wide * 1e-6), 0.0f);
        check_within((double)rgb[0], before, 0.06);
        before = (double)rgb[0];
    }
    rn_streak_clear(&streak);
}

static void one_paint_is_one_colour(void **state)
{
    (void)state;
    make();
    pour.layer_count = 1;
    rn_streak streak;
    assert_true(rn_streak_init(&streak, &pour, pigments));
    for (double wide = 0.0; wide < 100.0; wide += 7.0) {
        float rgb[3];
        rn_streak_colour(rgb, &streak, 11e-6f, (float)(wide * 1e-6), (float)(wide * 2e-6));
        check_colour(rgb, pigments[0].own, 1e-6);
    }
    rn_streak_clear(&streak);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bands_are_crisp),
        cmocka_unit_test(a_pixel_averages_light),
        cmocka_unit_test(what_mingles_mixes_as_paint),
        cmocka_unit_test(one_paint_is_one_colour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
