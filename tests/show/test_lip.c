/* The outline told by its nearest edge, and drips where paint ran over. */
#include "check.h"

#include "show/lip.h"

static void places_on_a_rectangle(void **state)
{
    (void)state;
    const rn_panel panel = {.width = 0.3, .height = 0.2};
    check_close(rn_lip_length(&panel), 1.0, 1e-12);
    static const struct {
        double x, y, along, out, nx, ny;
    } places[] = {
        {-0.15, -0.1, 0.0, 0.0, 0.0, -1.0}, {0.0, -0.11, 0.15, 0.01, 0.0, -1.0}, {0.16, 0.0, 0.4, 0.01, 1.0, 0.0},
        {0.0, 0.09, 0.65, -0.01, 0.0, 1.0}, {-0.17, 0.0, 0.9, 0.02, -1.0, 0.0},  {0.153, -0.104, 0.3, 0.005, 0.6, -0.8},
        {0.05, 0.05, 0.6, -0.05, 0.0, 1.0},
    };
    for (size_t k = 0; k < sizeof places / sizeof places[0]; k++) {
        const rn_rim_place place = rn_lip_place(&panel, (float)places[k].x, (float)places[k].y);
        check_within((double)place.along, places[k].along, 1e-6);
        check_within((double)place.out, places[k].out, 1e-6);
        check_within((double)place.nx, places[k].nx, 1e-4);
        check_within((double)place.ny, places[k].ny, 1e-4);
    }
}

static void places_on_a_disc(void **state)
{
    (void)state;
    const rn_panel panel = {.round = true, .width = 0.3, .height = 0.3};
    for (int k = 0; k < 36; k++) {
        const double past = (k + 0.5) / 36.0, bearing = (2.0 * past - 0.75) * 3.14159265358979;
        for (double r = 0.05; r < 0.2; r += 0.03) {
            const rn_rim_place place = rn_lip_place(&panel, (float)(r * cos(bearing)), (float)(r * sin(bearing)));
            check_within((double)place.along, past * rn_lip_length(&panel), 1e-5);
            check_within((double)place.out, r - 0.15, 1e-6);
            check_within(hypot((double)place.foot[0], (double)place.foot[1]), 0.15, 1e-6);
        }
    }
}

static double most_reach(const rn_lip *lip, double from, double to)
{
    double most = 0.0;
    for (double along = from; along < to; along += 1e-4) {
        float change;
        most = fmax(most, (double)rn_lip_reach(&change, lip, (float)along));
    }
    return most;
}

static void drips_hang_where_paint_ran_over(void **state)
{
    (void)state;
    for (int round = 0; round < 2; round++) {
        const rn_panel panel = {.round = round, .width = 0.3, .height = 0.3};
        const double length = rn_lip_length(&panel);
        double spill[100] = {0};
        for (int k = 20; k < 40; k++)
            spill[k] = 0.4e-6;
        for (int k = 70; k < 72; k++)
            spill[k] = 2e-6;
        rn_lip lip;
        assert_true(rn_lip_init(&lip, &panel, spill, 100));
        check_at_least(most_reach(&lip, 0.21 * length, 0.39 * length), 2e-3);
        check_at_least(most_reach(&lip, 0.705 * length, 0.715 * length), 0.6e-3);
        check_at_most(most_reach(&lip, 0.0, length), (double)RN_LIP_MOST);
        /* A drip's flank may reach past the end of a wet stretch by its half width. */
        check_at_most(most_reach(&lip, 0.0, 0.2 * length - 6e-3), 0.0);
        check_at_most(most_reach(&lip, 0.4 * length + 6e-3, 0.7 * length - 6e-3), 0.0);
        check_at_most(most_reach(&lip, 0.72 * length + 6e-3, length), 0.0);
        /* All that ran over is coated. */
        float change;
        for (double along = 0.21 * length; along < 0.39 * length; along += 1e-3)
            check_at_least((double)rn_lip_reach(&change, &lip, (float)along), 0.3e-3);
        rn_lip_clear(&lip);
    }
}

static void nothing_ran_over(void **state)
{
    (void)state;
    const rn_panel panel = {.width = 0.3, .height = 0.2};
    const double dry[8] = {0};
    rn_lip lip;
    assert_true(rn_lip_init(&lip, &panel, dry, 8));
    check_at_most(most_reach(&lip, 0.0, 1.0), 0.0);
    rn_lip_clear(&lip);
    assert_true(rn_lip_init(&lip, &panel, NULL, 0));
    check_at_most(most_reach(&lip, 0.0, 1.0), 0.0);
    rn_lip_clear(&lip);
}

static void more_paint_hangs_farther(void **state)
{
    (void)state;
    const rn_panel panel = {.width = 0.3, .height = 0.3};
    double sums[2] = {0};
    for (int much = 0; much < 2; much++) {
        double spill[10];
        for (int k = 0; k < 10; k++)
            spill[k] = much ? 6e-6 : 0.6e-6;
        rn_lip lip;
        assert_true(rn_lip_init(&lip, &panel, spill, 10));
        for (int i = 0; i < lip.count; i++) {
            sums[much] += (double)lip.reach[i];
            /* No cliffs: a drip runs out into the coat. */
            check_at_most((double)fabsf(lip.reach[(i + 1) % lip.count] - lip.reach[i]) / (double)lip.step, 4.0);
        }
        rn_lip_clear(&lip);
    }
    check_at_least(sums[1], 1.5 * sums[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_on_a_rectangle),           cmocka_unit_test(places_on_a_disc),
        cmocka_unit_test(drips_hang_where_paint_ran_over), cmocka_unit_test(nothing_ran_over),
        cmocka_unit_test(more_paint_hangs_farther),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
