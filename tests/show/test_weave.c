/* Colours between the points of strata: edges of bands where the volume released puts them, borders that stay clean. */
#include "check.h"

#include "film/layers.h"
#include "poured.h"
#include "show/weave.h"

static void own_colour(double rgb[3], const poured *made, int paint)
{
    const rn_pigment pigment = rn_pigment_from_srgb(made->plan->paints[paint].colour);
    for (int c = 0; c < 3; c++)
        rgb[c] = pigment.own[c];
}

static bool is_paint(const float rgb[3], const poured *made, int paint, double absolute)
{
    double own[3];
    own_colour(own, made, paint);
    for (int c = 0; c < 3; c++)
        if (fabs((double)rgb[c] - own[c]) > absolute)
            return false;
    return true;
}

/* Nothing but mixtures of light of two paints. */
static bool is_between(const float rgb[3], const poured *made, int one, int two)
{
    double a[3], b[3], along = 0.0, length = 0.0, off = 0.0;
    own_colour(a, made, one);
    own_colour(b, made, two);
    for (int c = 0; c < 3; c++) {
        along += ((double)rgb[c] - a[c]) * (b[c] - a[c]);
        length += (b[c] - a[c]) * (b[c] - a[c]);
    }
    const double share = along / length;
    for (int c = 0; c < 3; c++)
        off = fmax(off, fabs((double)rgb[c] - a[c] - share * (b[c] - a[c])));
    return off < 1e-4 && share > -1e-4 && share < 1.0001;
}

static void bands_lie_where_they_were_let_out(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    /* 40 ml across 0.2 m at an angle: bands 10 ml wide, which no point of the lattice need meet. */
    for (int j = 0; j < made.strata.ny; j++)
        for (int i = 0; i < made.strata.nx; i++)
            poured_set(&made, i, j, 0, 0, 20e-6 + 150e-6 * poured_x(&made, i) + 40e-6 * poured_y(&made, j));
    rn_weave weave;
    assert_true(rn_weave_init(&weave, made.plan, &made.strata, 0, 2e-3));
    for (double y = -0.08; y < 0.08; y += 0.0131)
        for (double x = -0.09; x < 0.09; x += 1e-4) {
            const double released = 20e-6 + 150e-6 * x + 40e-6 * y, band = released / 10e-6;
            float rgb[3];
            assert_true(rn_weave_colour(rgb, &weave, (float)x, (float)y, 1e-5f));
            /* An edge is soft over what mingles, 0.12 mm of 155e-6 m3/m, and two entries of the table. */
            if (fabs(band - round(band)) * 10e-6 > 0.5 * 0.12e-3 * 155e-6 + 2.0 * 10e-6 / 64.0)
                assert_true(is_paint(rgb, &made, (int)floor(band) % 2, 1e-4));
        }
    rn_weave_clear(&weave);
    poured_clear(&made);
}

static void pours_and_base_coat_meet_cleanly(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    for (int j = 0; j < made.strata.ny; j++)
        for (int i = 0; i < made.strata.nx; i++) {
            const double side = poured_x(&made, i) - 0.31 * poured_y(&made, j) - 0.0042;
            if (side > 0.0)
                poured_set(&made, i, j, 2, RN_FROM_NOWHERE, 0.0);
        }
    rn_weave weave;
    assert_true(rn_weave_init(&weave, made.plan, &made.strata, 0, 2e-3));
    const double point = 0.2 / 256.0, pixel = 0.2e-3;
    int mixed = 0, seen = 0;
    for (double y = -0.08; y < 0.08; y += 0.0017)
        for (double x = -0.06; x < 0.06; x += pixel) {
            const double side = (x - 0.31 * y - 0.0042) / hypot(1.0, 0.31);
            float rgb[3];
            assert_true(rn_weave_colour(rgb, &weave, (float)x, (float)y, (float)pixel));
            assert_true(is_between(rgb, &made, 0, 2));
            if (fabs(side) > 0.4 * point + pixel)
                assert_true(is_paint(rgb, &made, side > 0.0 ? 2 : 0, 1e-5));
            seen++;
            mixed += !is_paint(rgb, &made, 0, 1e-5) && !is_paint(rgb, &made, 2, 1e-5);
        }
    assert_true(mixed > 40 && mixed < seen / 100); /* an edge is smoothed within a pixel, and no wider */
    rn_weave_clear(&weave);
    poured_clear(&made);
}

static void a_fold_shows_no_bands_between(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    /* The middle of the first band beside the middle of the third: both slate, brass lies between in the order. */
    for (int j = 0; j < made.strata.ny; j++)
        for (int i = 0; i < made.strata.nx; i++) {
            const double x = poured_x(&made, i), y = poured_y(&made, j);
            const bool inner = hypot(x - 0.01, y + 0.007) < 0.05;
            poured_set(&made, i, j, 0, 0, (inner ? 25e-6 : 5e-6) + 20e-6 * x);
        }
    rn_weave weave;
    assert_true(rn_weave_init(&weave, made.plan, &made.strata, 0, 2e-3));
    for (double y = -0.09; y < 0.09; y += 3.1e-4)
        for (double x = -0.09; x < 0.09; x += 3.1e-4) {
            float rgb[3];
            assert_true(rn_weave_colour(rgb, &weave, (float)x, (float)y, 3e-4f));
            assert_true(is_paint(rgb, &made, 0, 1e-4));
        }
    rn_weave_clear(&weave);
    poured_clear(&made);
}

static void bands_too_thin_to_see_are_averaged(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    made.plan->pours[0].repeat = 200; /* 400 bands of 0.1 ml across the panel: 0.5 mm each, thinner than a point */
    for (int j = 0; j < made.strata.ny; j++)
        for (int i = 0; i < made.strata.nx; i++)
            poured_set(&made, i, j, 0, 0, 20e-6 + 200e-6 * poured_x(&made, i));
    rn_weave weave;
    assert_true(rn_weave_init(&weave, made.plan, &made.strata, 0, 2e-3));
    double slate[3], brass[3];
    own_colour(slate, &made, 0);
    own_colour(brass, &made, 1);
    for (double x = -0.08; x < 0.08; x += 0.00231) {
        float rgb[3];
        assert_true(rn_weave_colour(rgb, &weave, (float)x, 0.013f, 8e-3f));
        for (int c = 0; c < 3; c++) {
            /* No lighter than the mean of both lights, no darker than if all were mingled by half. */
            const double mean = 0.5 * (slate[c] + brass[c]);
            check_at_most((double)rgb[c], mean + 0.02);
            check_at_least((double)rgb[c], 0.5 * mean);
        }
    }
    rn_weave_clear(&weave);
    poured_clear(&made);
}

static void specks_take_what_lies_beside_them(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    for (int k = 0; k < 40; k++)
        poured_set(&made, 6 + 6 * k, 9 + (k * 37) % 230, 3, RN_FROM_NOWHERE, 0.0);
    rn_weave weave;
    assert_true(rn_weave_init(&weave, made.plan, &made.strata, 0, 2e-3));
    for (int j = 0; j < made.strata.ny; j++)
        for (int i = 0; i < made.strata.nx; i++) {
            float rgb[3];
            assert_true(rn_weave_colour(rgb, &weave, (float)poured_x(&made, i), (float)poured_y(&made, j), 3e-4f));
            assert_true(is_paint(rgb, &made, 0, 1e-5));
        }
    rn_weave_clear(&weave);
    poured_clear(&made);
}

static void bare_ground_is_told(void **state)
{
    (void)state;
    poured made = poured_make(poured_defaults());
    for (int j = 0; j < made.strata.ny; j++)
        for (int i = 0; i < made.strata.nx; i++)
            if (poured_x(&made, i) > 0.02)
                poured_set(&made, i, j, RN_PAINT_NONE, RN_FROM_NOWHERE, 0.0);
    rn_weave weave;
    assert_true(rn_weave_init(&weave, made.plan, &made.strata, 0, 3e-3));
    float rgb[3];
    for (double y = -0.09; y < 0.09; y += 0.011) {
        assert_true(rn_weave_colour(rgb, &weave, 0.019f, (float)y, 2e-4f));
        assert_true(is_paint(rgb, &made, 0, 1e-5));
        assert_true(rn_weave_colour(rgb, &weave, 0.022f, (float)y, 2e-4f)); /* carried on, to the film's own front */
        assert_false(rn_weave_colour(rgb, &weave, 0.026f, (float)y, 2e-4f));
    }
    rn_weave_clear(&weave);
    poured_clear(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bands_lie_where_they_were_let_out), cmocka_unit_test(pours_and_base_coat_meet_cleanly),
        cmocka_unit_test(a_fold_shows_no_bands_between),     cmocka_unit_test(bands_too_thin_to_see_are_averaged),
        cmocka_unit_test(specks_take_what_lies_beside_them), cmocka_unit_test(bare_ground_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
