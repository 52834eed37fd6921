/* The film as code: volume closes at every step whatever is asked of it, mirrored sessions give mirrored films. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "scene.h"

#define CLOSURE 1e-12 /* of all paint; the promise is 1e-10 */

static double between(rn_random *random, double least, double most)
{
    return least * pow(most / least, rn_random_unit(random));
}

static film_scene any_scene(unsigned seed)
{
    rn_random random = rn_random_seeded(seed);
    static const rn_edge_kind edges[] = {RN_EDGE_CLEAN, RN_EDGE_WRAPPED, RN_EDGE_WALLS, RN_EDGE_OPEN};
    film_scene scene = film_scene_usual(64, 64 - 16 * (int)(seed % 2));
    double size = between(&random, 0.05, 3);
    scene.options.grid.dx = scene.options.grid.dy = size / 64;
    scene.options.round = seed % 4 == 2;
    scene.options.edges = edges[rn_random_bits(&random) % 4];
    scene.options.law.consistency = between(&random, 0.05, 100);
    scene.options.law.power = seed % 3 ? 1 : 0.5 + 0.5 * rn_random_unit(&random);
    scene.options.law.yield = seed % 3 ? 0 : between(&random, 0.01, 10);
    bool lab = scene.options.edges == RN_EDGE_WALLS || scene.options.edges == RN_EDGE_OPEN;
    scene.options.tension = lab && seed % 5 == 0 ? 0 : between(&random, 0.01, 0.07);
    scene.options.advance = rn_random_unit(&random) * 0.6;
    double tilt = 1.5 * rn_random_unit(&random) * (seed % 2), toward = 6.28 * rn_random_unit(&random);
    scene.gravity_x = RN_GRAVITY * sin(tilt) * cos(toward);
    scene.gravity_y = RN_GRAVITY * sin(tilt) * sin(toward);
    scene.rate = between(&random, 0.05, 20) * (seed % 3 == 1);
    scene.acceleration = scene.rate * 0.2;
    scene.x = scene.y = 0;
    scene.ring = 0.2 * size;
    scene.volume = 1.5e-3 * size * size * 0.5;
    scene.base = seed % 5 == 1 ? between(&random, 1e-5, 2e-3) : 0;
    return scene;
}

static void volume_closes_at_every_step(void **state)
{
    (void)state;
    double greatest = 0;
    for (unsigned seed = 1; seed <= 40; seed++) {
        film_scene scene = any_scene(seed);
        double worst;
        rn_film *film = film_scene_run(&scene, 8, &worst);
        if (worst > CLOSURE)
            fail_msg("seed %u: paint does not balance, %g", seed, worst);
        greatest = fmax(greatest, worst);
        rn_film_free(film);
    }
    printf("worst balance of 40 sessions: %.2g\n", greatest);
}

static double *depth_of(const rn_film *film)
{
    const rn_grid *grid = rn_film_grid(film);
    double *depth = malloc((size_t)grid->nx * (size_t)grid->ny * sizeof *depth);
    assert_non_null(depth);
    rn_film_get(depth, film);
    return depth;
}

/* The greatest difference between one film and another seen in a mirror, of the greatest depth. */
static double mirrored_misfit(const rn_film *film, const rn_film *other, bool across_x)
{
    const rn_grid *grid = rn_film_grid(film);
    double *a = depth_of(film), *b = depth_of(other), off = 0, most = 0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            long there = across_x ? (long)j * grid->nx + grid->nx - 1 - i : (long)(grid->ny - 1 - j) * grid->nx + i;
            off = fmax(off, fabs(a[(long)j * grid->nx + i] - b[there]));
            most = fmax(most, a[(long)j * grid->nx + i]);
        }
    free(a);
    free(b);
    return off / most;
}

static void a_mirrored_session_gives_a_mirrored_film(void **state)
{
    (void)state;
    /* Smooth, wet and short: where a front hops from cell to cell, rounding is enough to tip it. What rounding there is
       comes from the Jacobian in single precision (6e-8), whose last bit a mirror may flip. */
    film_scene scene = film_scene_usual(64, 64);
    scene.base = 0.5e-3;
    scene.options.edges = RN_EDGE_WALLS;
    film_scene mirror = scene;
    mirror.x = -scene.x;
    mirror.gravity_x = -scene.gravity_x;
    mirror.rate = -scene.rate;
    mirror.acceleration = -scene.acceleration;
    double worst;
    rn_film *film = film_scene_run(&scene, 7, &worst), *other = film_scene_run(&mirror, 7, &worst);
    check_at_most(mirrored_misfit(film, other, true), 1e-5);
    rn_film_free(other);
    mirror = scene;
    mirror.y = -scene.y;
    mirror.gravity_y = -scene.gravity_y;
    mirror.rate = -scene.rate;
    mirror.acceleration = -scene.acceleration;
    other = film_scene_run(&mirror, 7, &worst);
    check_at_most(mirrored_misfit(film, other, false), 1e-5);
    rn_film_free(other);
    rn_film_free(film);
}

static void what_is_laid_down_at_once_is_all_there(void **state)
{
    (void)state;
    film_scene scene = film_scene_usual(64, 64);
    rn_film *film = film_scene_set(&scene);
    rn_film_deposit(film, 0, 12e-6);
    check_close(rn_film_volume(film), 12e-6, 1e-13);
    rn_film_deposit(film, 0, 3e-6);
    check_close(rn_film_volume(film), 15e-6, 1e-13);
    rn_film_free(film);
}

static void still(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)context;
    (void)t0;
    (void)t1;
    *input = (rn_film_input){.gravity_normal = RN_GRAVITY};
    volumes[0] = 0;
}

/* A limit within two steps is reached in halves or at once: no sliver is left for the last. */
static void steps_toward_a_limit_leave_no_sliver(void **state)
{
    (void)state;
    film_scene scene = film_scene_usual(64, 64);
    scene.options.edges = RN_EDGE_WALLS;
    scene.base = 0.5e-3;
    rn_film *film = film_scene_set(&scene);
    rn_error err = {0};
    double t = 0, taken;
    for (int k = 0; k < 5; k++, t += taken)
        check_ok(rn_film_step(&taken, film, t, t + 1000, still, NULL, &err), &err);
    for (double share = 0.55; share < 2.6; share += 0.1) {
        const double wish = rn_film_wish(film), rest = share * wish;
        check_ok(rn_film_step(&taken, film, t, t + rest, still, NULL, &err), &err);
        check_close(taken, share <= 1 ? rest : share < 2 ? 0.5 * rest : wish, 1e-12);
        t += taken;
        if (share < 2)
            check_at_most(rn_film_wish(film), wish * (1 + 1e-12)); /* a step cut short tells nothing of longer ones */
    }
    rn_film_free(film);
}

static void after_a_rejected_attempt_no_longer_step_is_tried(void **state)
{
    (void)state;
    film_scene scene = film_scene_usual(64, 64);
    rn_film *film = film_scene_set(&scene);
    rn_error err = {0};
    rn_film_deposit(film, 0, scene.volume);
    int seen = 0;
    for (double t = 0, taken; t < 3; t += taken) {
        const long rejected = rn_film_rejected(film);
        check_ok(rn_film_step(&taken, film, t, t + 1000, still, NULL, &err), &err);
        if (rn_film_rejected(film) == rejected)
            continue;
        check_at_most(rn_film_wish(film), taken * (1 + 1e-12));
        seen++;
    }
    assert_true(seen > 0);
    rn_film_free(film);
}

/* No step is longer than a front cell takes to level, 3 mu d^2/(rho g e^3), but only while a front moves: on a wet panel
   steps grow to the longest allowed. */
static void a_front_shortens_steps_and_wet_ground_does_not(void **state)
{
    (void)state;
    for (int wet = 0; wet < 2; wet++) {
        film_scene scene = film_scene_usual(64, 64);
        scene.options.law.consistency = 0.03;
        scene.options.edges = RN_EDGE_WALLS;
        scene.base = wet ? 1e-3 : 0;
        rn_film *film = film_scene_set(&scene);
        rn_error err = {0};
        const double e = rn_film_front_hold(film), d = scene.options.grid.dx;
        const double front = 3 * 0.03 * d * d / (scene.options.density * RN_GRAVITY * e * e * e);
        rn_film_deposit(film, 0, wet ? 1e-6 : 20e-6);
        double taken, longest = 0;
        for (double t = 0; t < 40; t += taken) { /* long enough for the front to have all but stopped */
            check_ok(rn_film_step(&taken, film, t, t + 1000, still, NULL, &err), &err);
            longest = fmax(longest, taken);
        }
        if (wet)
            check_close(longest, scene.options.step_most, 1e-12);
        else
            check_close(longest, front, 1e-12);
        assert_true(front < 0.9 * scene.options.step_most);
        rn_film_free(film);
    }
}

static void an_unknown_kernel_is_refused(void **state)
{
    (void)state;
    film_scene scene = film_scene_usual(64, 64);
    scene.options.kernel = "abacus";
    rn_film *film = NULL;
    rn_error err = {0};
    assert_int_equal(rn_film_new(&film, &scene.options, &err), RN_E_USAGE);
    assert_null(film);
    assert_non_null(strstr(err.message, "abacus"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volume_closes_at_every_step),
        cmocka_unit_test(a_mirrored_session_gives_a_mirrored_film),
        cmocka_unit_test(what_is_laid_down_at_once_is_all_there),
        cmocka_unit_test(steps_toward_a_limit_leave_no_sliver),
        cmocka_unit_test(after_a_rejected_attempt_no_longer_step_is_tried),
        cmocka_unit_test(a_front_shortens_steps_and_wet_ground_does_not),
        cmocka_unit_test(an_unknown_kernel_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
