/* One result, to the last bit, for every number of threads and every kernel. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "film/kernels.h"
#include "scene.h"

typedef struct result {
    double *depth;
    double run_off[4];
    long steps, rejected, cells;
} result;

static result result_of(const film_scene *scene)
{
    double worst;
    rn_film *film = film_scene_run(scene, check_watched() ? 4 : 9, &worst);
    const rn_grid *grid = rn_film_grid(film);
    result got = {.cells = (long)grid->nx * grid->ny, .steps = rn_film_steps(film), .rejected = rn_film_rejected(film)};
    got.depth = malloc((size_t)got.cells * sizeof *got.depth);
    assert_non_null(got.depth);
    rn_film_get(got.depth, film);
    rn_film_run_off(got.run_off, film);
    rn_film_free(film);
    return got;
}

static void check_same(const result *a, const result *b)
{
    assert_int_equal(a->steps, b->steps);
    assert_int_equal(a->rejected, b->rejected);
    assert_memory_equal(a->depth, b->depth, (size_t)a->cells * sizeof *a->depth);
    assert_memory_equal(a->run_off, b->run_off, sizeof a->run_off);
}

static void try_all(film_scene scene)
{
    static const char *const kernels[] = {"baseline", "avx2", "avx512"};
    static const int threads[] = {1, 2, 3, 5};
    scene.options.kernel = "baseline";
    result first = result_of(&scene);
    assert_true(first.steps > 20);
    for (int k = 0; k < 3; k++) {
        if (!rn_kernels_choose(kernels[k])) {
            printf("%s: not on this machine, not tried\n", kernels[k]);
            continue;
        }
        for (int n = 0; n < 4; n += check_watched() ? 2 : 1) {
            scene.options.kernel = kernels[k];
            scene.options.threads = threads[n];
            result again = result_of(&scene);
            check_same(&first, &again);
            free(again.depth);
        }
    }
    free(first.depth);
}

/* Half as fine under watch. */
static film_scene scene_of(int nx, int ny)
{
    return check_watched() ? film_scene_usual((nx + 1) / 2, (ny + 1) / 2) : film_scene_usual(nx, ny);
}

static void a_square_panel(void **state)
{
    (void)state;
    try_all(scene_of(64, 64));
}

static void a_panel_that_fits_no_lane(void **state)
{
    (void)state;
    film_scene scene = scene_of(101, 70);
    scene.base = 0.2e-3;
    try_all(scene);
}

static void a_round_panel(void **state)
{
    (void)state;
    film_scene scene = scene_of(70, 70);
    scene.options.round = true;
    try_all(scene);
}

static void shear_thinning_paint_with_a_yield_stress(void **state)
{
    (void)state;
    film_scene scene = scene_of(64, 80);
    scene.options.law = (rn_law){1.2, 0.7, 0.8};
    try_all(scene);
}

static void wrapped_sides(void **state)
{
    (void)state;
    film_scene scene = scene_of(64, 64);
    scene.options.edges = RN_EDGE_WRAPPED;
    scene.volume = 200e-6;
    try_all(scene);
}

static void layers_of_plain_viscosity(void **state)
{
    (void)state;
    film_scene scene = scene_of(48, 41);
    scene.levels = 8;
    scene.law_count = 3;
    scene.laws[0] = (rn_law){1.5, 1, 0};
    scene.laws[1] = (rn_law){0.4, 1, 0};
    scene.laws[2] = (rn_law){0.9, 1, 0};
    scene.mixed = 1;
    try_all(scene);
}

static void layers_that_yield(void **state)
{
    (void)state;
    film_scene scene = scene_of(44, 44);
    scene.options.round = true;
    scene.levels = 5;
    scene.law_count = 3;
    scene.laws[0] = (rn_law){1.2, 0.7, 0.8};
    scene.laws[1] = (rn_law){0.4, 1, 0};
    scene.laws[2] = (rn_law){0.9, 0.85, 0.1};
    scene.mixed = 1;
    try_all(scene);
    scene.options.round = false; /* and where every n is 1, over wrapped sides */
    scene.options.edges = RN_EDGE_WRAPPED;
    scene.volume = 200e-6;
    scene.laws[0].power = scene.laws[2].power = 1;
    try_all(scene);
}

/* -div q of a film with slopes, turning and tilt, as a law's kernel sees it. */
static double *rates_of(const film_scene *scene)
{
    double worst, run_off[4];
    film_scene shaped = film_scene_usual(64, 64);
    shaped.base = 0.3e-3;
    rn_film *from = film_scene_run(&shaped, 3, &worst), *film = film_scene_set(scene);
    double *depth = malloc(64 * 64 * sizeof *depth), *rates = malloc(64 * 64 * sizeof *rates);
    assert_non_null(depth);
    assert_non_null(rates);
    rn_film_get(depth, from);
    rn_film_input input = {0.9, 0.5, 9.7, 1.5, 0.2};
    rn_film_rates(rates, run_off, film, depth, &input, NULL);
    rn_film_free(from);
    rn_film_free(film);
    free(depth);
    return rates;
}

static void a_yield_law_that_is_plain_viscosity(void **state)
{
    (void)state;
    /* n = 1 and next to no yield stress through the yield kernel: the exact limit, up to rounding. */
    film_scene scene = film_scene_usual(64, 64);
    double *plain = rates_of(&scene), off = 0, most = 0;
    scene.options.law.yield = 1e-300;
    double *yield = rates_of(&scene);
    for (long n = 0; n < 64 * 64; n++) {
        off = fmax(off, fabs(plain[n] - yield[n]));
        most = fmax(most, fabs(plain[n]));
    }
    printf("yield kernel without a yield stress: off by %.2g of the greatest rate\n", off / most);
    check_at_most(off / most, 1e-12);
    free(plain);
    free(yield);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_square_panel),
        cmocka_unit_test(a_panel_that_fits_no_lane),
        cmocka_unit_test(a_round_panel),
        cmocka_unit_test(shear_thinning_paint_with_a_yield_stress),
        cmocka_unit_test(layers_of_plain_viscosity),
        cmocka_unit_test(layers_that_yield),
        cmocka_unit_test(wrapped_sides),
        cmocka_unit_test(a_yield_law_that_is_plain_viscosity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
