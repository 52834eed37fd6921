/* Points of the film traced back through its history, against closed forms (derived from the profiles below and checked
   by independent integration):
   on a slope the face of a Newtonian film moves at rho g sin(alpha) h^2/(2 mu), 1.5 times the mean [jeffreys1930];
   on a spinning panel h = h0/sqrt F, F = 1 + 4 K h0^2 t, K = rho omega^2/(3 mu) [emslie1958]; with u = phi(sigma) q/h the
   face goes out as r0 F^(3/8), and a tracer at sigma with T = sqrt(sigma (2 - sigma))/(1 - sigma) as T = T0 F^(1/4),
   r/r0 = [(1 + T^2)/(1 + T0^2)]^(3/4). */
#include "lab.h"

#include "film/history.h"
#include "film/layers.h"
#include "film/profile.h"

typedef struct remembered {
    laboratory lab;
    rn_history *history;
    rn_team *team;
} remembered;

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    const laboratory *lab = context;
    *input = lab->input;
    (void)volumes;
    (void)t0;
    (void)t1;
}

static remembered run(laboratory lab, double until)
{
    remembered got = {.lab = lab};
    rn_error err = {0};
    check_ok(rn_history_new(&got.history, lab.film, &err), &err);
    check_ok(rn_team_new(&got.team, 2, &err), &err);
    double taken;
    for (double t = 0; t < until; t = until - t - taken < 1e-12 ? until : t + taken) {
        check_ok(rn_film_step(&taken, lab.film, t, until, drive, &lab, &err), &err);
        check_ok(rn_history_note(got.history, lab.film, taken, &err), &err);
    }
    check_ok(rn_history_close(got.history, lab.film, &err), &err);
    check_close(rn_history_time(got.history, rn_history_count(got.history)), until, 1e-9);
    return got;
}

static void remembered_free(remembered *got)
{
    rn_history_free(got->history);
    rn_team_free(got->team);
    lab_free(&got->lab);
}

typedef struct place {
    double x, y, sigma;
} place;

/* Where what is at (x, y, sigma) at the end was at the beginning. */
static place origin(const remembered *got, double x, double y, double sigma, double until)
{
    float at_x = (float)x, at_y = (float)y, at_sigma = (float)sigma, released = 0;
    short source = RN_FROM_NOWHERE;
    rn_tracers one = {1, &at_x, &at_y, &at_sigma, &source, &released, NULL};
    rn_error err = {0};
    const rn_layers layers = {.history = got->history, .power = got->lab.options.law.power};
    check_ok(rn_layers_trace(&one, &layers, until, 0, got->team, &err), &err);
    assert_int_equal(source, RN_FROM_NOWHERE);
    return (place){(double)at_x, (double)at_y, (double)at_sigma};
}

static rn_film_options open_panel(int cells)
{
    rn_film_options options = lab_options(0.3, cells, cells);
    options.edges = RN_EDGE_OPEN;
    options.step_most = RN_HISTORY_INTERVAL;
    return options;
}

static void the_face_on_a_slope_outruns_the_mean(void **state)
{
    (void)state;
    rn_film_options options = open_panel(64);
    double depth = 1e-3, tilt = 5 * DEG, until = 10;
    laboratory lab = lab_new(&options);
    lab.input.gravity_x = RN_GRAVITY * sin(tilt);
    lab.input.gravity_normal = 0;
    lab_set_even(&lab, depth);
    remembered got = run(lab, until);
    double mean = LAB_DENSITY * RN_GRAVITY * sin(tilt) * depth * depth / (3 * LAB_VISCOSITY) * until;
    place face = origin(&got, 0.05, 0.01, 1, until), buried = origin(&got, 0.05, 0.01, 0.4, until);
    check_close(0.05 - face.x, 1.5 * mean, 1e-3);
    check_within(face.y, 0.01, 1e-7);
    check_close(face.sigma, 1, 1e-6);
    check_close(0.05 - buried.x, (3 * 0.4 - 1.5 * 0.16) * mean, 1e-3);
    check_within(buried.sigma, 0.4, 1e-4);
    remembered_free(&got);
}

static void tracers_on_a_spinning_panel_go_out_as_they_should(void **state)
{
    (void)state;
    int cells = check_grid(128);
    double depth = 1.5e-3, rate = 60 * RPM, until = 10;
    double F = 1 + 4 * LAB_DENSITY * rate * rate / (3 * LAB_VISCOSITY) * depth * depth * until;
    rn_film_options options = open_panel(cells);
    laboratory lab = lab_new(&options);
    lab.input.rate = rate;
    lab_set_even(&lab, depth);
    remembered got = run(lab, until);
    place face = origin(&got, 0.06, 0.02, 1, until);
    check_close(hypot(0.06, 0.02) / hypot(face.x, face.y), pow(F, 0.375), 2e-3);
    check_close(face.y / face.x, 1.0 / 3, 1e-3);
    static const double from[] = {0.25, 0.5};
    for (int k = 0; k < 2; k++) {
        double s = from[k], T0 = sqrt(s * (2 - s)) / (1 - s), T = T0 * pow(F, 0.25);
        double now = 1 - 1 / sqrt(1 + T * T);
        place buried = origin(&got, 0.06, 0.02, now, until);
        check_close(buried.sigma, s, 5e-3);
        check_close(hypot(0.06, 0.02) / hypot(buried.x, buried.y), pow((1 + T * T) / (1 + T0 * T0), 0.75), 5e-3);
    }
    remembered_free(&got);
}

static void profiles_have_their_mean(void **state)
{
    (void)state;
    /* The integral of u/mean over the depth is 1; for n = 1 phi = 3 sigma - 1.5 sigma^2. */
    static const double powers[] = {1, 0.7, 0.4};
    for (int k = 0; k < 3; k++) {
        check_close(rn_profile_below(powers[k], 1), 1, 1e-12);
        double sum = 0;
        for (int n = 0; n < 2000; n++)
            sum += rn_profile_speed(powers[k], (n + 0.5) / 2000) / 2000;
        check_close(sum, 1, 1e-6);
    }
    check_close(rn_profile_speed(1, 0.4), 3 * 0.4 - 1.5 * 0.16, 1e-12);
    check_close(rn_profile_below(1, 0.4), 1.5 * 0.16 - 0.5 * 0.064, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_face_on_a_slope_outruns_the_mean),
        cmocka_unit_test(tracers_on_a_spinning_panel_go_out_as_they_should),
        cmocka_unit_test(profiles_have_their_mean),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
