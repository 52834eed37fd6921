/* Widths of bands and mud, on faces whose bands are known in closed form. */
#include "check.h"

#include "base/physical.h"
#include "made_face.h"
#include "run/rings.h"

#define VOLUME 200e-6 /* of made_plan's pour */

/* A flat cake fed at its middle: paint that was poured when V had come out lies at V = all (1 - r^2 / R^2), since the
   cake is equally deep everywhere (volume is kept; geometry). */
typedef struct cake {
    double x, y, radius;
} cake;

static double cake_released(double x, double y, const void *detail)
{
    const cake *c = detail;
    const double share = hypot(x - c->x, y - c->y) / c->radius;
    return share < 1 ? VOLUME * (1 - share * share) : MADE_BASE;
}

/* Edges between the three paints of each repeat, from the outside in. */
static double cake_edge(double radius, int repeat, int edge)
{
    static const double upto[] = {0, 0.5, 0.8};
    const double share = (edge / 3 + upto[edge % 3]) / repeat;
    return radius * sqrt(1 - share);
}

static void bands_of_a_flat_cake(void **state)
{
    (void)state;
    enum { REPEAT = 5, EDGES = 3 * REPEAT };
    const cake c = {12e-3, -7e-3, 90e-3};
    const double spacing = 0.3 / 512;
    rn_plan *plan = made_plan(12, -7, REPEAT);
    rn_strata *strata = made_face(plan, 512, cake_released, &c);
    rn_rings rings;
    rn_error err = {0};
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    check_within(rings.x, 12e-3, 1e-12);
    check_within(rings.y, -7e-3, 1e-12);
    for (int k = 0; k < RN_RING_BEARINGS; k++) {
        const rn_ring_bearing *bearing = &rings.bearings[k];
        assert_int_equal(bearing->count, EDGES);
        assert_int_equal(bearing->widths.count, EDGES - 1); /* the innermost is a disc, not a band */
        assert_false(bearing->bands[0].whole);
        for (int b = 0; b < EDGES; b++) {
            const int edge = EDGES - 1 - b; /* the outer edge of the b-th from within */
            const double radius = cake_edge(c.radius, REPEAT, edge);
            /* The front is found to half a point; the others as exactly as a paraboloid is interpolated. */
            check_within(bearing->bands[b].to, radius, edge == 0 ? 0.5e-3 : 0.25 * spacing * spacing / radius + 1e-7);
            assert_int_equal(bearing->bands[b].paint, 1 + edge % 3);
        }
        const double least = cake_edge(c.radius, REPEAT, 2) - cake_edge(c.radius, REPEAT, 3);
        check_within(bearing->widths.least, least, 4e-6);
        const double inner = cake_edge(c.radius, REPEAT, EDGES - 3) - cake_edge(c.radius, REPEAT, EDGES - 2);
        check_within(bearing->widths.greatest, inner, 4e-6);
    }
    assert_int_equal(rings.all.count, RN_RING_BEARINGS * (EDGES - 1));
    check_within(rings.bearings[0].reach, 138e-3, 1e-9);
    check_within(rings.bearings[3].reach, 157e-3 * sqrt(2.0), 1e-9);
    rn_rings_clear(&rings);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

/* Straight bands of equal slope: the widths are volume over slope; a fold repeats an older band beside a younger. */
static double ramp_released(double x, double y, const void *detail)
{
    const double *slope = detail; /* [m2] right of x = 0, left of it, and where the fold lies [m] */
    if (fabs(y) > 0.12)
        return MADE_BASE;
    if (x > slope[2])
        return VOLUME - slope[0] * (x - slope[2]);
    return x >= 0 ? slope[0] * x : -slope[1] * x;
}

static void a_fold_is_no_band(void **state)
{
    (void)state;
    rn_plan *plan = made_plan(0, 0, 10);
    const double slope[] = {1e-3, 1e-3, 0.052}; /* bands of 10, 6 and 4 mm; folded away at 52 mm */
    rn_strata *strata = made_face(plan, 512, ramp_released, slope);
    rn_rings rings;
    rn_error err = {0};
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    const rn_ring_bearing *right = &rings.bearings[0];
    /* 0-10 kelp, -16 foam, -20 slate, -30 kelp, -36, -40 slate, -50 kelp, -52 foam; then from the end of the pour
       backward: 4 slate, 6 foam, 10 kelp, 4, 6, 10, ... to the panel's edge, 98 mm on: 14 whole ones, and a part. */
    static const int outward[] = {1, 2, 3, 1, 2, 3, 1, 2, 3, 2, 1};
    for (int b = 0; b < 11; b++)
        assert_int_equal(right->bands[b].paint, outward[b]);
    check_within(right->bands[7].from, 50e-3, 2e-6);
    check_within(right->bands[7].to, 52e-3, 0.5e-3);
    check_within(right->bands[8].to, 56e-3, 2e-6);
    check_within(right->bands[9].to, 62e-3, 2e-6);
    assert_int_equal(right->count, 8 + 15);
    assert_false(right->bands[right->count - 1].whole);
    check_at_most(rn_rings_mud(strata, plan, RN_MUD_WIDTH), 1e-12);
    rn_rings_clear(&rings);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

/* Left of the middle bands are 0.8, 0.48 and 0.32 mm wide, right of it twice that: with 0.5 mm as the limit the foam
   and the slate of the left are mud, half of it, and nothing of the right. Base coats count as face. */
static void mud_by_share_of_the_face(void **state)
{
    (void)state;
    rn_plan *plan = made_plan(0, 0, 100); /* 1, 0.6, 0.4 ml a band */
    const double slope[] = {0.625e-3, 1.25e-3, 1.0};
    rn_strata *strata = made_face(plan, 1024, ramp_released, slope);
    const double poured = 0.8; /* of the face: |y| < 120 mm of 150 mm */
    check_within(rn_rings_mud(strata, plan, 0.5e-3), 0.5 * 0.5 * poured, 2e-3);
    check_within(rn_rings_mud(strata, plan, 0.33e-3), 0.5 * 0.2 * poured, 2e-3);
    check_within(rn_rings_mud(strata, plan, 0.81e-3), (0.5 + 0.5 * 0.2) * poured, 2e-3);
    check_at_most(rn_rings_mud(strata, plan, 0.31e-3), 2e-3);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

/* Base coat to the left of a line that the bearings back and front run along: its points are met in turns, so that a
   walker sees poured paint and base coat by jags finer than the points. */
static double jagged_released(double x, double y, const void *detail)
{
    const double *spacing = detail;
    const int row = (int)floor(y / *spacing);
    return x + (row % 2 ? 0.6 : -0.6) * *spacing > 0 ? VOLUME * 0.05 : MADE_BASE; /* kelp of the first order */
}

static void jags_are_no_bands(void **state)
{
    (void)state;
    rn_plan *plan = made_plan(0, 0, 2);
    const double spacing = 0.3 / 512;
    rn_strata *strata = made_face(plan, 512, jagged_released, &spacing);
    rn_rings rings;
    rn_error err = {0};
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    assert_int_equal(rings.bearings[0].count, 1); /* right: kelp all the way */
    assert_int_equal(rings.all.count, 0);
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        check_at_most(rings.bearings[k].count, 1);
    rn_rings_clear(&rings);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

/* Kelp and slate with foam of 0.3 mm between are seen as kelp beside slate. */
static void what_is_too_thin_is_not_seen(void **state)
{
    (void)state;
    rn_plan *plan = made_plan(0, 0, 10);
    rn_layer *stack = plan->pours[0].stack;
    stack[0].volume = 150e-6; /* 15, 0.3 and 4.7 mm at a slope of 1e-3 m2 */
    stack[1].volume = 3e-6;
    stack[2].volume = 47e-6;
    const double slope[] = {1e-3, 1e-3, 1.0};
    rn_strata *strata = made_face(plan, 512, ramp_released, slope);
    rn_rings rings;
    rn_error err = {0};
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    const rn_ring_bearing *right = &rings.bearings[0];
    assert_int_equal(right->count, 15); /* 7 orders of 20 mm, and 10 mm of kelp */
    assert_int_equal(right->bands[0].paint, 1);
    assert_int_equal(right->bands[1].paint, 3);
    check_within(right->bands[1].from, 15.3e-3, 2e-6);
    check_within(right->bands[1].to, 20e-3, 2e-6);
    stack[2].paint = stack[0].paint; /* kelp on both sides of the foam: all of it is one band */
    rn_rings_clear(&rings);
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    assert_int_equal(rings.bearings[0].count, 1);
    rn_rings_clear(&rings);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

static void one_paint_is_one_band(void **state)
{
    (void)state;
    const cake c = {0, 0, 90e-3};
    rn_plan *plan = made_plan(0, 0, 40);
    for (int l = 0; l < plan->pours[0].layer_count; l++)
        plan->pours[0].stack[l].paint = 2;
    rn_strata *strata = made_face(plan, 256, cake_released, &c);
    rn_rings rings;
    rn_error err = {0};
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        assert_int_equal(rings.bearings[k].count, 1);
    assert_int_equal(rings.all.count, 0);
    assert_true(isnan(rings.all.median));
    check_at_most(rn_rings_mud(strata, plan, 1.0), 0.0);
    rn_rings_clear(&rings);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

static double nothing(double x, double y, const void *detail)
{
    (void)x;
    (void)y;
    (void)detail;
    return MADE_BARE;
}

static void a_bare_panel_has_none(void **state)
{
    (void)state;
    rn_plan *plan = made_plan(0, 0, 1);
    rn_strata *strata = made_face(plan, 64, nothing, NULL);
    rn_rings rings;
    rn_error err = {0};
    check_ok(rn_rings_measure(&rings, strata, plan, 0, &err), &err);
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        assert_int_equal(rings.bearings[k].count, 0);
    check_at_most(rn_rings_mud(strata, plan, 1.0), 0.0);
    rn_rings_clear(&rings);
    rn_strata_free(strata);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bands_of_a_flat_cake),         cmocka_unit_test(a_fold_is_no_band),
        cmocka_unit_test(mud_by_share_of_the_face),     cmocka_unit_test(jags_are_no_bands),
        cmocka_unit_test(what_is_too_thin_is_not_seen), cmocka_unit_test(one_paint_is_one_band),
        cmocka_unit_test(a_bare_panel_has_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
