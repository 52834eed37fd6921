/* Releases against quadrature: what the bursts let out, and how the shape lies on the panel. */
#include "check.h"

#include "base/physical.h"
#include "matter/source.h"

static rn_source rim(void)
{
    rn_source source = {.x = 0.02,
                        .y = -0.03,
                        .across = 0.07,
                        .width = 0.01,
                        .volume = 150e-6,
                        .start = 5.0,
                        .every = 6.0,
                        .open = 2.5,
                        .bursts = 4,
                        .share = {0.1, 0.2, 0.3, 0.4}};
    return source;
}

static double rate_integral(const rn_source *source, double from, double to)
{
    enum { PARTS = 4000 };
    double sum = 0.0, step = (to - from) / PARTS;
    for (int k = 0; k <= PARTS; k++)
        sum += rn_source_rate(source, from + k * step) * (k == 0 || k == PARTS ? 1.0 : k % 2 ? 4.0 : 2.0);
    return sum * step / 3.0;
}

static void released_is_the_integral_of_the_rate(void **state)
{
    (void)state;
    rn_source source = rim();
    double t = 0.0, sum = 0.0;
    for (double next; isfinite(next = rn_source_next_break(&source, t)); t = next) {
        double middle = t + 0.41 * (next - t);
        check_within(rn_source_released(&source, middle), sum + rate_integral(&source, t, middle),
                     1e-10 * source.volume);
        sum += rate_integral(&source, t, next);
        check_within(rn_source_released(&source, next), sum, 1e-10 * source.volume);
    }
    check_within(t, 5.0 + 3 * 6.0 + 2.5, 1e-12);
    check_within(t, rn_source_end(&source), 1e-12);
    check_close(sum, source.volume, 1e-10);
}

static void each_burst_lets_out_its_share(void **state)
{
    (void)state;
    rn_source source = rim();
    double sum = 0.0;
    for (int k = 0; k < source.bursts; k++) {
        double start = 5.0 + 6.0 * k;
        check_within(rn_source_released(&source, start), sum * source.volume, 1e-18);
        /* 1 - cos is even about the middle of a burst and highest there: twice the mean. */
        check_close(rn_source_released(&source, start + 1.25), (sum + 0.5 * source.share[k]) * source.volume, 1e-12);
        check_close(rn_source_rate(&source, start + 1.25), 2.0 * source.share[k] * source.volume / 2.5, 1e-12);
        sum += source.share[k];
        check_close(rn_source_released(&source, start + 2.5), sum * source.volume, 1e-12);
        check_within(rn_source_rate(&source, start + 4.0), 0.0, 0.0);
    }
    check_within(rn_source_released(&source, 4.9), 0.0, 0.0);
    check_close(rn_source_released(&source, 1e6), source.volume, 1e-14);
}

static void an_instant_burst_is_out_at_once(void **state)
{
    (void)state;
    rn_source source = rim();
    source.open = 0.0;
    check_within(rn_source_released(&source, 5.0 - 1e-9), 0.0, 0.0);
    check_close(rn_source_released(&source, 5.0), 0.1 * source.volume, 1e-14);
    check_close(rn_source_released(&source, 11.0), 0.3 * source.volume, 1e-14);
    check_within(rn_source_rate(&source, 5.0), 0.0, 0.0);
    check_within(rn_source_end(&source), 23.0, 0.0);
    double t = 0.0;
    for (int k = 0; k < 4; k++)
        check_within(t = rn_source_next_break(&source, t), 5.0 + 6.0 * k, 0.0);
    assert_true(isinf(rn_source_next_break(&source, t)));
}

/* Integral over the plane of shape * (1, cos, sin) of the bearing from the source's centre. */
static void plane_integral(double sums[3], const rn_source *source)
{
    enum { CELLS = 1200 };
    double half = 0.06, step = 2.0 * half / CELLS;
    sums[0] = sums[1] = sums[2] = 0.0;
    for (int j = 0; j < CELLS; j++)
        for (int i = 0; i < CELLS; i++) {
            double x = (i + 0.5) * step - half, y = (j + 0.5) * step - half, r = hypot(x, y);
            double shape = rn_source_shape(source, source->x + x, source->y + y) * step * step;
            sums[0] += shape;
            sums[1] += shape * x / r;
            sums[2] += shape * y / r;
        }
}

static void a_rim_feeds_a_ring(void **state)
{
    (void)state;
    rn_source source = rim();
    double sums[3], area = RN_PI * source.across * source.width / 2.0; /* 2 pi R times the mean of a raised cosine */
    plane_integral(sums, &source);
    check_close(sums[0], area, 1e-4);
    check_within(sums[1], 0.0, 1e-9 * area);

    source.uneven = 0.3;
    source.uneven_toward = 2.0;
    plane_integral(sums, &source);
    check_close(sums[0], area, 1e-4);
    check_close(hypot(sums[1], sums[2]), 0.5 * 0.3 * area, 1e-4);
    check_close(atan2(sums[2], sums[1]), 2.0, 1e-4);

    check_within(rn_source_shape(&source, source.x, source.y), 0.0, 0.0);
    check_within(rn_source_shape(&source, source.x + 0.0401, source.y), 0.0, 0.0);
    check_within(rn_source_shape(&source, source.x + 0.0299, source.y), 0.0, 0.0);
    source.uneven = 0.0;
    check_close(rn_source_shape(&source, source.x, source.y + 0.035), 1.0, 1e-12);
    check_close(rn_source_shape(&source, source.x, source.y + 0.0375), 0.5, 1e-12);
}

static void a_cup_lays_an_even_disc(void **state)
{
    (void)state;
    rn_source source = rim();
    source.on_top = true;
    check_within(rn_source_shape(&source, source.x, source.y), 1.0, 0.0);
    check_within(rn_source_shape(&source, source.x + 0.0314, source.y), 1.0, 0.0);
    check_close(rn_source_shape(&source, source.x, source.y - 0.95 * 0.035), 0.5, 1e-9);
    check_within(rn_source_shape(&source, source.x + 0.035001, source.y), 0.0, 0.0);

    /* int_0.9^1 of (1 - cos(pi (1-s)/0.1))/2 2 s ds = 0.95 * 0.1 - 2 * 0.1^2/pi^2, worked by hand. */
    double sums[3], area = RN_PI * 0.035 * 0.035 * (0.81 + 0.095 - 0.02 / (RN_PI * RN_PI));
    plane_integral(sums, &source);
    check_close(sums[0], area, 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(released_is_the_integral_of_the_rate),
        cmocka_unit_test(each_burst_lets_out_its_share),
        cmocka_unit_test(an_instant_burst_is_out_at_once),
        cmocka_unit_test(a_rim_feeds_a_ring),
        cmocka_unit_test(a_cup_lays_an_even_disc),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
