/* The panel's pose against quadrature and against rotation matrices composed here from Rodrigues' formula
   (a standard result: Goldstein, Classical Mechanics; from memory). */
#include "check.h"

#include "base/physical.h"
#include "matter/motion.h"

static const rn_panel level = {.width = 0.3, .height = 0.3};

typedef struct matrix {
    double a[3][3];
} matrix;

static matrix times(matrix p, matrix q)
{
    matrix r = {0};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                r.a[i][j] += p.a[i][k] * q.a[k][j];
    return r;
}

/* Rotation by `angle` about the unit vector (x, y, z). */
static matrix rodrigues(double x, double y, double z, double angle)
{
    matrix k = {{{0, -z, y}, {z, 0, -x}, {-y, x, 0}}};
    matrix k2 = times(k, k), r = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            r.a[i][j] += sin(angle) * k.a[i][j] + (1.0 - cos(angle)) * k2.a[i][j];
    return r;
}

/* Tipping about the horizontal axis that lies a quarter turn left of `toward`. */
static matrix tipping(double toward, double angle)
{
    return rodrigues(-sin(toward), cos(toward), 0.0, angle);
}

static double simpson(double (*f)(const rn_move *, int, double), const rn_move *moves, int count, double from,
                      double to)
{
    enum { PARTS = 2000 };
    double sum = 0.0, step = (to - from) / PARTS;
    for (int k = 0; k <= PARTS; k++)
        sum += f(moves, count, from + k * step) * (k == 0 || k == PARTS ? 1.0 : k % 2 ? 4.0 : 2.0);
    return sum * step / 3.0;
}

static double rate_at(const rn_move *moves, int count, double t)
{
    return rn_motion_pose(moves, count, &level, t).rate;
}

static double acceleration_at(const rn_move *moves, int count, double t)
{
    return rn_motion_pose(moves, count, &level, t).acceleration;
}

static const rn_move turning[] = {
    {.kind = RN_MOVE_TURN, .start = 5.0, .duration = 40.0, .amount = 6.0 * RN_RPM, .ramp = 1.0},
    {.kind = RN_MOVE_REST, .start = 45.0, .duration = 5.0},
    {.kind = RN_MOVE_SPIN, .start = 110.0, .duration = 20.0, .amount = -40.0 * RN_RPM, .ramp = 3.0},
    {.kind = RN_MOVE_SPIN, .start = 130.0, .duration = 4.0, .amount = 60.0 * RN_RPM, .ramp = 2.0},
};
enum { TURNING = sizeof turning / sizeof *turning };

static void angle_is_the_integral_of_the_rate(void **state)
{
    (void)state;
    double turned = 0.0, t = 0.0;
    while (t < 134.0) {
        double next = rn_motion_next_break(turning, TURNING, t), middle = t + 0.37 * (next - t);
        /* Between breaks the rate is a cubic at most, where Simpson's rule is exact. */
        double part = simpson(rate_at, turning, TURNING, t + 1e-12, middle);
        check_within(rn_motion_pose(turning, TURNING, &level, middle).turned, turned + part, 1e-9);
        turned += simpson(rate_at, turning, TURNING, t + 1e-12, next - 1e-12);
        check_within(rn_motion_pose(turning, TURNING, &level, next).turned, turned, 1e-9);
        t = next;
    }
    /* 39 s at 6 rpm, -17 s at 40 rpm, 2 s at 60 rpm: a ramp counts half. */
    check_close(turned, (39.0 * 6.0 - 17.0 * 40.0 + 2.0 * 60.0) * RN_RPM, 1e-9);
    check_within(rn_motion_pose(turning, TURNING, &level, 1e4).turned, turned, 1e-9);
}

static void rate_is_the_integral_of_the_acceleration(void **state)
{
    (void)state;
    double rate = 0.0, t = 0.0;
    while (t < 134.0) {
        double next = rn_motion_next_break(turning, TURNING, t);
        rate += simpson(acceleration_at, turning, TURNING, t + 1e-12, next - 1e-12);
        check_within(rate_at(turning, TURNING, next - 1e-12), rate, 1e-9);
        t = next;
    }
    check_within(rate_at(turning, TURNING, 25.0), 6.0 * RN_RPM, 0.0);
    check_within(rate_at(turning, TURNING, 120.0), -40.0 * RN_RPM, 0.0);
    check_within(rate_at(turning, TURNING, 134.0), 0.0, 0.0);
    /* Half way up the ramp the smooth step stands at one half. */
    check_close(rate_at(turning, TURNING, 111.5), -20.0 * RN_RPM, 1e-12);
}

static void a_ramp_of_no_length_starts_at_once(void **state)
{
    (void)state;
    rn_move spin = {.kind = RN_MOVE_SPIN, .start = 1.0, .duration = 2.0, .amount = 3.0, .ramp = 0.0};
    check_within(rate_at(&spin, 1, 0.999), 0.0, 0.0);
    check_within(rate_at(&spin, 1, 1.0), 3.0, 0.0);
    check_within(rate_at(&spin, 1, 2.999), 3.0, 0.0);
    check_within(rate_at(&spin, 1, 3.0), 0.0, 0.0);
    check_close(rn_motion_pose(&spin, 1, &level, 2.0).turned, 3.0, 1e-15);
    check_close(rn_motion_pose(&spin, 1, &level, 9.0).turned, 6.0, 1e-15);
}

static void a_plain_tilt_points_downhill(void **state)
{
    (void)state;
    rn_move tilt = {.kind = RN_MOVE_TILT,
                    .start = 0.0,
                    .duration = 8.0,
                    .amount = 8.0 * RN_DEGREE,
                    .ramp = 0.5,
                    .toward = 135.0 * RN_DEGREE};
    rn_pose pose = rn_motion_pose(&tilt, 1, &level, 4.0);
    check_close(pose.gravity_x, -RN_GRAVITY * sin(8.0 * RN_DEGREE) / sqrt(2.0), 1e-13);
    check_close(pose.gravity_y, RN_GRAVITY * sin(8.0 * RN_DEGREE) / sqrt(2.0), 1e-13);
    check_close(pose.gravity_normal, RN_GRAVITY * cos(8.0 * RN_DEGREE), 1e-13);
    check_close(pose.tilt, 8.0 * RN_DEGREE, 1e-13);
    check_close(pose.downhill, 135.0 * RN_DEGREE, 1e-13);
    check_close(rn_motion_pose(&tilt, 1, &level, 0.25).tilt, 4.0 * RN_DEGREE, 1e-13);
    check_close(rn_motion_pose(&tilt, 1, &level, 7.75).tilt, 4.0 * RN_DEGREE, 1e-13);
    check_within(rn_motion_pose(&tilt, 1, &level, 8.0).tilt, 0.0, 0.0);

    tilt.amount = 90.0 * RN_DEGREE;
    pose = rn_motion_pose(&tilt, 1, &level, 4.0);
    check_within(pose.gravity_normal, 0.0, 1e-14);
    check_close(hypot(pose.gravity_x, pose.gravity_y), RN_GRAVITY, 1e-14);
}

static void poses_equal_composed_rotations(void **state)
{
    (void)state;
    for (int n = 0; n < 500; n++) {
        rn_panel panel = level;
        panel.slope = 0.01 * RN_DEGREE * (n % 300);
        panel.downhill = 0.7 * n;
        double angle = 0.18 * RN_DEGREE * (n % 490), toward = 2.3 * n, turn = 1.1 * n;
        rn_move moves[2] = {
            {.kind = RN_MOVE_TURN, .start = 0.0, .duration = 10.0, .amount = turn / 10.0, .ramp = 0.0},
            {.kind = RN_MOVE_TILT,
             .start = 9.0,
             .duration = 9.0,
             .amount = angle,
             .ramp = 0.0,
             .toward = toward,
             .room_frame = n % 2 == 1},
        };
        rn_pose pose = rn_motion_pose(moves, 2, &panel, 12.0);
        check_within(pose.turned, turn, 1e-10);

        /* The panel's axes as seen in the room, level frame to bench to table to panel. A tilt toward a place in
           the room tips the table before it turns. */
        matrix bench = tipping(panel.downhill, panel.slope), table = rodrigues(0.0, 0.0, 1.0, turn);
        matrix tilt = tipping(toward, angle);
        matrix axes = n % 2 ? times(bench, times(tilt, table)) : times(bench, times(table, tilt));
        check_within(pose.gravity_x, -RN_GRAVITY * axes.a[2][0], 1e-10);
        check_within(pose.gravity_y, -RN_GRAVITY * axes.a[2][1], 1e-10);
        check_within(pose.gravity_normal, RN_GRAVITY * axes.a[2][2], 1e-10);
        check_within(cos(pose.tilt), axes.a[2][2], 1e-10);
        check_within(sin(pose.tilt) * cos(pose.downhill), -axes.a[2][0], 1e-10);
        check_within(sin(pose.tilt) * sin(pose.downhill), -axes.a[2][1], 1e-10);
    }
}

static void a_turning_panel_swings_a_slope_fixed_in_the_room(void **state)
{
    (void)state;
    rn_panel sloping = level;
    sloping.slope = 2.0 * RN_DEGREE;
    sloping.downhill = 90.0 * RN_DEGREE;
    rn_move moves[2] = {
        {.kind = RN_MOVE_TURN, .start = 0.0, .duration = 30.0, .amount = 6.0 * RN_RPM, .ramp = 1.0},
        {.kind = RN_MOVE_TILT,
         .start = 0.0,
         .duration = 30.0,
         .amount = 5.0 * RN_DEGREE,
         .ramp = 0.0,
         .toward = 0.0,
         .room_frame = true},
    };
    for (double t = 0.5; t < 30.0; t += 0.5) {
        rn_pose bench = rn_motion_pose(moves, 1, &sloping, t);
        check_within(remainder(bench.downhill - (90.0 * RN_DEGREE - bench.turned), 2.0 * RN_PI), 0.0, 1e-12);
        check_close(bench.tilt, 2.0 * RN_DEGREE, 1e-12);

        rn_pose hand = rn_motion_pose(moves, 2, &level, t);
        check_within(remainder(hand.downhill + hand.turned, 2.0 * RN_PI), 0.0, 1e-12);
        check_close(hand.tilt, 5.0 * RN_DEGREE, 1e-12);
    }
    /* One quarter turn counter-clockwise carries the panel's front edge to where the right one was: what goes down
       to the right in the room goes down to the front on the panel. */
    rn_move quarter[2] = {moves[0], moves[1]};
    quarter[0] = (rn_move){.kind = RN_MOVE_TURN, .start = 0.0, .duration = 1.0, .amount = 0.5 * RN_PI};
    check_within(rn_motion_pose(quarter, 2, &level, 2.0).downhill, -90.0 * RN_DEGREE, 1e-12);
}

static void a_tilt_can_level_a_sloping_bench(void **state)
{
    (void)state;
    rn_panel sloping = level;
    sloping.slope = 3.0 * RN_DEGREE;
    rn_move tilt = {.kind = RN_MOVE_TILT, .start = 0.0, .duration = 8.0, .amount = 3.0 * RN_DEGREE, .toward = RN_PI};
    rn_pose pose = rn_motion_pose(&tilt, 1, &sloping, 4.0);
    check_within(pose.tilt, 0.0, 1e-14);
    check_within(pose.downhill, 0.0, 0.0);
    check_close(pose.gravity_normal, RN_GRAVITY, 1e-14);
}

static void breaks_come_in_order_and_end(void **state)
{
    (void)state;
    const double expected[] = {5.0, 6.0, 44.0, 45.0, 50.0, 110.0, 113.0, 127.0, 130.0, 132.0, 134.0};
    double t = -1.0;
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        t = rn_motion_next_break(turning, TURNING, t);
        check_within(t, expected[k], 0.0);
    }
    assert_true(isinf(rn_motion_next_break(turning, TURNING, t)));
    check_within(rn_motion_end(turning, TURNING), 134.0, 0.0);
    assert_true(isinf(rn_motion_next_break(NULL, 0, 0.0)));
    check_within(rn_motion_end(NULL, 0), 0.0, 0.0);

    /* 0.1 + 0.2 is not 0.3 in binary, and is the same moment nevertheless. */
    rn_move touching[2] = {{.kind = RN_MOVE_TILT, .start = 0.1, .duration = 0.2},
                           {.kind = RN_MOVE_TILT, .start = 0.3, .duration = 0.2}};
    double first = rn_motion_next_break(touching, 2, 0.1);
    check_within(first, 0.3, 1e-12);
    check_within(rn_motion_next_break(touching, 2, first), 0.5, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(angle_is_the_integral_of_the_rate),
        cmocka_unit_test(rate_is_the_integral_of_the_acceleration),
        cmocka_unit_test(a_ramp_of_no_length_starts_at_once),
        cmocka_unit_test(a_plain_tilt_points_downhill),
        cmocka_unit_test(poses_equal_composed_rotations),
        cmocka_unit_test(a_turning_panel_swings_a_slope_fixed_in_the_room),
        cmocka_unit_test(a_tilt_can_level_a_sloping_bench),
        cmocka_unit_test(breaks_come_in_order_and_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
