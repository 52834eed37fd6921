/* Layers of one column: laid, painted over, and found between points that came from elsewhere. Worked by hand. */
#include "check.h"

#include "run/pile.h"

static void check_pile(const rn_pile *pile, int count, const unsigned char *law, const double *foot)
{
    assert_int_equal(pile->count, count);
    for (int k = 0; k < count; k++) {
        assert_int_equal(pile->law[k], law[k]);
        check_within((double)pile->foot[k], foot[k], 1e-6);
    }
}

static void layers_without_depth_are_none(void **state)
{
    (void)state;
    rn_pile pile = rn_pile_of(1);
    rn_pile_add(&pile, 1, 0.2f); /* the same goes on */
    rn_pile_add(&pile, 2, 0.3f);
    rn_pile_add(&pile, 3, 0.3f); /* where 2 began */
    rn_pile_add(&pile, 1, 0.7f);
    rn_pile_add(&pile, 4, 0.6f); /* no lower than the last */
    check_pile(&pile, 3, (const unsigned char[]){1, 3, 4}, (const double[]){0, 0.3, 0.7});
    assert_int_equal(rn_pile_at(&pile, 0.29f), 0);
    assert_int_equal(rn_pile_at(&pile, 0.3f), 1);
    assert_int_equal(rn_pile_at(&pile, 1), 2);
    rn_pile_paint(&pile, 7, 0.2f, 0.5f);
    check_pile(&pile, 4, (const unsigned char[]){1, 7, 3, 4}, (const double[]){0, 0.2, 0.5, 0.7});
    rn_pile_paint(&pile, 7, 0, 1);
    check_pile(&pile, 1, (const unsigned char[]){7}, (const double[]){0});
    for (int k = 0; k < 2 * RN_PILE_MOST; k++) /* no more than there is room for */
        rn_pile_add(&pile, (unsigned char)(k % 2), 0.02f * (float)(k + 1));
    assert_int_equal(pile.count, RN_PILE_MOST);
}

/* A film that has become half as deep, its layers all twice as high a share below: what lay at 0.1 and 0.15 is at 0.2 and
   0.3; three coats between two points. */
static void borders_lie_between_the_points(void **state)
{
    (void)state;
    static const unsigned char law_of[] = {0, 1, 2};
    rn_pile was = rn_pile_of(0), pile;
    rn_pile_add(&was, 1, 0.1f);
    rn_pile_add(&was, 2, 0.15f);
    const rn_pile_point points[] = {{.height = 0, .from = &was},
                                    {.height = 0.1f, .from = &was, .sigma = 0.05f},
                                    {.height = 0.4f, .from = &was, .sigma = 0.2f},
                                    {.height = 1, .from = &was, .sigma = 1}};
    unsigned sure;
    rn_pile_find(&pile, &sure, points, 4, law_of);
    check_pile(&pile, 3, (const unsigned char[]){0, 1, 2}, (const double[]){0, 0.2, 0.3});
    assert_int_equal(sure, 7);
}

/* A cup has laid nine times the depth of what was there: that ends at a tenth, whichever points tell it, and the cup's first
   third lies below the rest. */
static void a_cup_begins_where_the_old_face_is(void **state)
{
    (void)state;
    static const unsigned char law_of[] = {0, 1, 2};
    const rn_pour pour = {
        .repeat = 1, .layer_count = 2, .stack = {{.paint = 1, .volume = 3e-6}, {.paint = 2, .volume = 6e-6}}};
    const rn_pile was = rn_pile_of(0);
    for (int below = 0; below < 2; below++) { /* a point below the old face, or the panel alone */
        rn_pile_point points[5] = {{.height = 0, .from = &was}};
        static const float heights[2][4] = {{0.25f, 0.5f, 0.75f, 1}, {0.04f, 0.25f, 0.6f, 1}};
        for (int k = 0; k < 4; k++) {
            const float height = heights[below][k];
            rn_pile_point *point = &points[k + 1];
            point->height = height;
            if (height < 0.1f) {
                point->from = &was;
                point->sigma = 10 * height;
                continue;
            }
            point->pour = &pour;
            point->on_top = true;
            point->released = 1e-5f * (height - 0.1f);
        }
        rn_pile pile;
        unsigned sure;
        rn_pile_find(&pile, &sure, points, 5, law_of);
        check_pile(&pile, 3, (const unsigned char[]){0, 1, 2}, (const double[]){0, 0.1, 0.4});
        assert_int_equal(sure, 15);
    }
}

/* Halves of 1/mu 1 and 4 in a film that spreads thin: F at their border by quadrature. */
static void a_border_moves_by_what_flows_below(void **state)
{
    (void)state;
    enum { N = 20000 };
    static const double ease[] = {1, 4};
    double speed = 0, below = 0, all = 0;
    for (int n = 0; n < N; n++) {
        const double s = (n + 0.5) / N, du = (s < 0.5 ? ease[0] : ease[1]) * (1 - s) / N;
        all += (speed + 0.5 * du) / N;
        speed += du;
        if (n + 1 == N / 2)
            below = all;
    }
    rn_pile pile = rn_pile_of(0);
    float rate[RN_PILE_MOST];
    rn_pile_add(&pile, 1, 0.5f);
    const double change = rn_pile_rates(rate, &pile, ease, 2, 0);
    check_close((double)rate[1], 2 * (0.5 - below / all), 1e-5);
    check_within((double)rate[0], 0, 0);
    /* 1/mu = 1 + 3 (1 - f)^3, so that its change is -9 (1 - f)^2 df/dt */
    check_close(change, -9 * 0.25 * (double)rate[1] / (1 + 3 * 0.125), 1e-5);
    rn_pile_rates(rate, &pile, ease, 0, 0.3);
    check_close((double)rate[1], -0.15, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layers_without_depth_are_none),
        cmocka_unit_test(borders_lie_between_the_points),
        cmocka_unit_test(a_cup_begins_where_the_old_face_is),
        cmocka_unit_test(a_border_moves_by_what_flows_below),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
