/* The light on paint: Lambert, Schlick against Fresnel, and where the highlight stands. */
#include "check.h"

#include "show/gloss.h"

static void a_level_colour_is_seen_as_it_is(void **state)
{
    (void)state;
    check_within((double)rn_gloss_light(0.0f, 0.0f), 1.0, 1e-6);
    const float *key = rn_gloss_key;
    check_within((double)(key[0] * key[0] + key[1] * key[1] + key[2] * key[2]), 1.0, 1e-5);
}

static void light_falls_with_the_cosine(void **state)
{
    (void)state;
    /* Lambert's cosine law (Lambert 1760, Photometria): turned about the axis across the key light, the light of the
       key alone goes as the cosine of the angle to it; the rest, from a sky, as (1 + cos tilt)/2. */
    const double key[3] = {(double)rn_gloss_key[0], (double)rn_gloss_key[1], (double)rn_gloss_key[2]};
    const double flat = hypot(key[0], key[1]), height = atan2(flat, key[2]);
    for (double tilt = -0.6; tilt <= 0.9; tilt += 0.1) { /* toward the key */
        const double slope = -tan(tilt);
        const double light = (double)rn_gloss_light((float)(slope * key[0] / flat), (float)(slope * key[1] / flat));
        check_within(light, 0.5 * (1.0 + cos(tilt)) / 2.0 + 0.5 * cos(height - tilt) / cos(height), 1e-5);
    }
}

static void schlick_is_close_to_fresnel(void **state)
{
    (void)state;
    /* Schlick 1994 [schlick1994]: F0 + (1 - F0)(1 - cos)^5. Against Fresnel's own equations (unpolarised, from air to
       index 1.5; Born and Wolf, Principles of Optics, 1.5; from memory). */
    check_within((double)rn_gloss_fresnel(1.0f), 0.04, 1e-7);
    check_within((double)rn_gloss_fresnel(0.5f), 0.07, 1e-6);
    check_within((double)rn_gloss_fresnel(0.0f), 1.0, 1e-6);
    for (double angle = 0.0; angle < 1.57; angle += 0.05) {
        const double inside = asin(sin(angle) / 1.5), c = cos(angle), d = cos(inside);
        const double across = (c - 1.5 * d) / (c + 1.5 * d), along = (d - 1.5 * c) / (d + 1.5 * c);
        check_within((double)rn_gloss_fresnel((float)c), 0.5 * (across * across + along * along), 0.04);
    }
}

/* Gloss alone: what black paint throws back. */
static double shine(float slope_x, float slope_y, const rn_gloss *gloss)
{
    static const float black[3] = {0.0f, 0.0f, 0.0f};
    float rgb[3];
    rn_gloss_paint(rgb, &(rn_surface){.slope_x = slope_x, .slope_y = slope_y, .own = black}, gloss);
    assert_true(rgb[0] == rgb[1] && rgb[1] == rgb[2]); /* no light here is tinted */
    return (double)rgb[0];
}

static void the_highlight_stands_halfway(void **state)
{
    (void)state;
    /* The mirror's law: light and eye are on both sides of the normal. From the centre the eye is all but straight up,
       so that the normal leans half as far as the key light. */
    const rn_gloss wet = {0}, scraped = {.satin = 1.0f};
    double best = 0.0, best_x = 0.0, best_y = 0.0;
    for (int j = -60; j <= 60; j++)
        for (int i = -60; i <= 60; i++) {
            const double seen = shine(0.01f * (float)i, 0.01f * (float)j, &wet);
            if (seen > best) {
                best = seen;
                best_x = 0.01 * i;
                best_y = 0.01 * j;
            }
        }
    const double half[3] = {(double)rn_gloss_key[0], (double)rn_gloss_key[1] - 0.083, (double)rn_gloss_key[2] + 0.9965};
    check_within(best_x, -half[0] / half[2], 0.03);
    check_within(best_y, -half[1] / half[2], 0.03);
    check_at_least(best, 0.2);
    /* Level paint stays dark enough to be judged, and scraped paint shines less where wet paint shines most. */
    check_at_most(shine(0.0f, 0.0f, &wet), 0.03);
    check_at_most(shine((float)best_x, (float)best_y, &scraped), 0.3 * best);
}

static void noise_is_smooth_and_even(void **state)
{
    (void)state;
    double sum[2] = {0}, square[2] = {0}, both = 0.0, most_step = 0.0;
    float before[2] = {0};
    const int count = 40000;
    for (int k = 0; k < count; k++) {
        float now[2];
        rn_gloss_noise(now, -500.0f + 0.025f * (float)k, 0.37f * (float)(k / 40), 9);
        for (int c = 0; c < 2; c++) {
            assert_true(now[c] >= -0.5f && now[c] <= 0.5f);
            sum[c] += (double)now[c];
            square[c] += (double)(now[c] * now[c]);
            if (k % 40)
                most_step = fmax(most_step, (double)fabsf(now[c] - before[c]));
            before[c] = now[c];
        }
        both += (double)(now[0] * now[1]);
    }
    for (int c = 0; c < 2; c++)
        check_within(sum[c] / count, 0.0, 0.02);
    check_at_least(square[0] / count, 0.01);
    check_within(both / sqrt(square[0] * square[1]), 0.0, 0.1); /* the two know nothing of each other */
    check_at_most(most_step, 0.025 * 1.5 + 1e-3);               /* slope of the smooth step is 3/2 at most */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_level_colour_is_seen_as_it_is), cmocka_unit_test(light_falls_with_the_cosine),
        cmocka_unit_test(schlick_is_close_to_fresnel),     cmocka_unit_test(the_highlight_stands_halfway),
        cmocka_unit_test(noise_is_smooth_and_even),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
