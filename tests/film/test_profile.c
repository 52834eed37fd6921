/* Speed over the depth of a film with a yield stress [balmforth2002]: a plug on a sheared layer. The figures of the case
   rho = 1100 kg/m3, h = 2 mm, 10 deg, tau_y = 1 Pa, K = 1 Pa s^0.6 were worked out apart from this program by
   integrating the rate over the depth. */
#include "check.h"

#include "base/physical.h"
#include "film/history.h"
#include "film/layers.h"
#include "film/mobility.h"
#include "film/profile.h"

#define DEPTH 2e-3
#define DENSITY 1100.0
#define TILT (10 * RN_PI / 180)
#define FACE 2.96130e-3 /* [m/s] */
#define FLUX 4.73849e-6 /* [m2/s] */

static const rn_law law = {.consistency = 1, .power = 0.6, .yield = 1};

static const double powers[] = {1, 0.7, 0.4};
static const double yields[] = {0.02, 0.3, 0.77, 1};

static double drive(void)
{
    return DENSITY * RN_GRAVITY * sin(TILT);
}

/* The published speed and flux, integrated here by midpoints. */
static void flux_and_face_are_the_integrals(void **state)
{
    (void)state;
    enum { N = 20000 };
    double u = 0, q = 0;
    for (int n = 0; n < N; n++) {
        const double z = (n + 0.5) * DEPTH / N, stress = drive() * (DEPTH - z) - law.yield;
        const double rate = stress > 0 ? pow(stress / law.consistency, 1 / law.power) : 0;
        u += rate * DEPTH / N;
        q += (DEPTH - z) * rate * DEPTH / N;
    }
    check_close(u, FACE, 2e-6);
    check_close(q, FLUX, 2e-6);
    check_close(rn_law_flux(&law, DEPTH, drive()), FLUX, 2e-6);
    check_close(rn_law_face_speed(&law, DEPTH, drive()), FACE, 2e-6);
}

static void the_face_moves_as_the_law_says(void **state)
{
    (void)state;
    const double q = rn_law_flux(&law, DEPTH, drive()), y = rn_profile_yielded(&law, DEPTH, q);
    check_close(y, 1 - law.yield / (drive() * DEPTH), 1e-6);
    check_close(rn_profile_plug_speed(law.power, y, 1) * q / DEPTH, rn_law_face_speed(&law, DEPTH, drive()), 1e-6);
    check_close(rn_profile_plug_speed(law.power, y, 1) * FLUX / DEPTH, FACE, 4e-6);
    check_close(rn_profile_plug_speed(law.power, y, y + 0.5 * (1 - y)) * FLUX / DEPTH, FACE, 4e-6); /* the plug */
}

static void profiles_have_their_mean(void **state)
{
    (void)state;
    enum { N = 4000 };
    for (int k = 0; k < 12; k++) {
        double sum = 0;
        for (int n = 0; n < N; n++)
            sum += rn_profile_plug_speed(powers[k % 3], yields[k / 3], (n + 0.5) / N) / N;
        check_close(sum, 1, 1e-4);
        check_close(rn_profile_plug_below(powers[k % 3], yields[k / 3], 1), 1, 1e-12);
        check_within(rn_profile_plug_below(powers[k % 3], yields[k / 3], 0), 0, 1e-15);
        check_within(rn_profile_plug_speed(powers[k % 3], yields[k / 3], 0), 0, 1e-15);
    }
}

static void what_runs_below_grows_with_the_speed(void **state)
{
    (void)state;
    const double step = 1e-5;
    for (int k = 0; k < 12; k++)
        for (int n = 1; n < 20; n++) {
            const double power = powers[k % 3], y = yields[k / 3], s = n / 20.0 + 0.0013;
            check_within((rn_profile_plug_below(power, y, s + step) - rn_profile_plug_below(power, y, s - step)) /
                             (2 * step),
                         rn_profile_plug_speed(power, y, s), 1e-4);
        }
}

/* Yielded throughout it is the power law's, and that of n = 1 is 3 s - 1.5 s^2 [jeffreys1930]. */
static void without_a_plug_it_is_the_power_laws(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++)
        for (int n = 0; n <= 10; n++) {
            const double s = n / 10.0;
            check_within(rn_profile_plug_speed(powers[k], 1, s), rn_profile_speed(powers[k], s), 1e-12);
            check_within(rn_profile_plug_below(powers[k], 1, s), rn_profile_below(powers[k], s), 1e-12);
            check_within(rn_profile_speed(1, s), 3 * s - 1.5 * s * s, 1e-12);
        }
}

static void the_yielded_share_is_found_from_the_flux(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++)
        for (int n = 1; n < 10; n++) {
            const rn_law liquid = {.consistency = 1.3, .power = powers[k], .yield = 2};
            const double y = n / 10.0, pull = liquid.yield / (DEPTH * (1 - y));
            const double q = rn_law_flux(&liquid, DEPTH, pull);
            check_within(rn_profile_yielded(&liquid, DEPTH, q), y, 1e-4);
            check_close(rn_profile_scaled_flux(liquid.power, y) * DEPTH * DEPTH *
                            pow(liquid.yield / liquid.consistency, 1 / liquid.power),
                        q, 1e-9);
        }
    const rn_law plain = {.consistency = 1, .power = 1};
    check_within(rn_profile_yielded(&plain, DEPTH, 1e-6), 1, 0);
}

static void pull(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)volumes;
    (void)context;
    (void)t0;
    (void)t1;
    *input = (rn_film_input){.gravity_x = RN_GRAVITY * sin(TILT)};
}

/* Traced back through a film's history, a point of the face has moved at that speed, and so has one inside the plug. */
static void a_traced_face_moves_at_the_plugs_speed(void **state)
{
    (void)state;
    const double until = 6;
    rn_film_options options = rn_film_defaults();
    rn_error err = {0};
    rn_film *film = NULL;
    rn_history *history = NULL;
    rn_team *team = NULL;
    check_ok(rn_grid_make(&options.grid, 0.2, 0.2, 64, &err), &err);
    options.law = law;
    options.density = DENSITY;
    options.tension = 0;
    options.edges = RN_EDGE_OPEN;
    options.step_most = RN_HISTORY_INTERVAL;
    options.threads = 1;
    check_ok(rn_film_new(&film, &options, &err), &err);
    double *depth = malloc(64 * 64 * sizeof *depth);
    assert_non_null(depth);
    for (int n = 0; n < 64 * 64; n++)
        depth[n] = DEPTH;
    rn_film_set(film, depth);
    check_ok(rn_history_new(&history, film, &err), &err);
    check_ok(rn_team_new(&team, 1, &err), &err);
    double taken;
    for (double t = 0; t < until; t = until - t - taken < 1e-12 ? until : t + taken) {
        check_ok(rn_film_step(&taken, film, t, until, pull, NULL, &err), &err);
        check_ok(rn_history_note(history, film, taken, &err), &err);
    }
    check_ok(rn_history_close(history, film, &err), &err);
    assert_true(rn_history_has_yield(history));
    float x[2] = {0.08f, 0.08f}, y[2] = {0.01f, 0.01f}, sigma[2] = {1, 0.9f}, released[2] = {0, 0};
    short source[2] = {RN_FROM_NOWHERE, RN_FROM_NOWHERE};
    const rn_tracers points = {2, x, y, sigma, source, released, NULL};
    const rn_layers layers = {.history = history, .power = law.power};
    check_ok(rn_layers_trace(&points, &layers, until, 0, team, &err), &err);
    for (int k = 0; k < 2; k++) {
        check_close(0.08 - (double)x[k], FACE * until, 2e-3);
        check_within((double)y[k], 0.01, 1e-6);
    }
    rn_team_free(team);
    rn_history_free(history);
    rn_film_free(film);
    free(depth);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flux_and_face_are_the_integrals),
        cmocka_unit_test(the_face_moves_as_the_law_says),
        cmocka_unit_test(profiles_have_their_mean),
        cmocka_unit_test(what_runs_below_grows_with_the_speed),
        cmocka_unit_test(without_a_plug_it_is_the_power_laws),
        cmocka_unit_test(the_yielded_share_is_found_from_the_flux),
        cmocka_unit_test(a_traced_face_moves_at_the_plugs_speed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
