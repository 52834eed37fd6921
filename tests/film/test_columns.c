/* Layered columns through whole sessions. Where every column is the same, or of one paint, there is another way to the
   answer: the film of one liquid. */
#include "check.h"

#include <string.h>

#include "base/random.h"
#include "film/edge.h"
#include "scene.h"

typedef struct result {
    double *depth;
    double run_off[4], on_sides;
    long steps, rejected, cells;
} result;

static result result_of(const film_scene *scene)
{
    double worst;
    rn_film *film = film_scene_run(scene, 9, &worst);
    const rn_grid *grid = rn_film_grid(film);
    result got = {.cells = (long)grid->nx * grid->ny, .steps = rn_film_steps(film), .rejected = rn_film_rejected(film)};
    got.depth = malloc((size_t)got.cells * sizeof *got.depth);
    assert_non_null(got.depth);
    rn_film_get(got.depth, film);
    rn_film_run_off(got.run_off, film);
    got.on_sides = rn_film_on_sides(film);
    rn_film_free(film);
    return got;
}

/* The greatest difference in depth, of the greatest depth; run-off and sides of the paint poured. */
static double difference(const result *a, const result *b, double poured)
{
    double off = 0, deepest = 0;
    for (long n = 0; n < a->cells; n++) {
        off = fmax(off, fabs(a->depth[n] - b->depth[n]));
        deepest = fmax(deepest, a->depth[n]);
    }
    double over = fabs(a->on_sides - b->on_sides);
    for (int side = 0; side < 4; side++)
        over = fmax(over, fabs(a->run_off[side] - b->run_off[side]));
    return fmax(off / deepest, over / poured);
}

/* A wet panel with so much paint that much of it runs off. */
static film_scene full_scene(rn_edge_kind edges, bool round)
{
    const int cells = check_watched() ? 32 : 64;
    film_scene scene = film_scene_usual(cells, cells);
    scene.options.edges = edges;
    scene.options.round = round;
    scene.volume = 150e-6;
    scene.base = 1e-3;
    return scene;
}

static const struct {
    rn_edge_kind kind;
    bool round;
} rims[] = {{RN_EDGE_CLEAN, false}, {RN_EDGE_CLEAN, true}, {RN_EDGE_WRAPPED, false}, {RN_EDGE_OPEN, false}};

/* The same scene with one liquid; its columns are set all the same, so that steps are cut at the same times. */
static film_scene one_liquid(film_scene scene, rn_law one)
{
    scene.options.law = scene.laws[0] = one;
    scene.law_count = 1;
    return scene;
}

static double gone(const result *of)
{
    return of->run_off[0] + of->run_off[1] + of->run_off[2] + of->run_off[3] + of->on_sides;
}

/* How far two sessions are apart at the end. */
static double apart(const film_scene *layered, const film_scene *one)
{
    result a = result_of(one), b = result_of(layered);
    double off = difference(&a, &b, layered->volume);
    printf("off by %.2g; %ld+%ld steps, one liquid %ld+%ld; %.3f and %.3f ml went over the edge\n", off, b.steps,
           b.rejected, a.steps, a.rejected, 1e6 * gone(&b), 1e6 * gone(&a));
    check_at_least(gone(&a), 0.3 * layered->volume);
    check_close(gone(&b), gone(&a), 1e-2);
    free(a.depth);
    free(b.depth);
    return off;
}

/* How far rates and outflow are apart, of the greatest, on the film that one liquid has become, twice as deep so that it
   spills anew. */
static double rates_apart(const film_scene *layered, const film_scene *one)
{
    double *rates[2], off = 0, most = 0, run_off[2][4], over = 0;
    result at = result_of(one);
    for (long n = 0; n < at.cells; n++)
        at.depth[n] *= 2;
    for (int k = 0; k < 2; k++) {
        rn_film *film = film_scene_set(k ? layered : one);
        rn_film_input input = {0.9, 0.5, 9.7, 1.5, 0.2};
        rates[k] = malloc((size_t)at.cells * sizeof *rates[k]);
        assert_non_null(rates[k]);
        rn_film_rates(rates[k], run_off[k], film, at.depth, &input, NULL);
        rn_film_free(film);
    }
    for (long n = 0; n < at.cells; n++) {
        off = fmax(off, fabs(rates[0][n] - rates[1][n]));
        most = fmax(most, fabs(rates[0][n]));
    }
    off /= most;
    for (int side = 0; side < 4; side++)
        over += run_off[0][side];
    assert_true(over > 0);
    for (int side = 0; side < 4; side++)
        off = fmax(off, fabs(run_off[0][side] - run_off[1][side]) / over);
    printf("rates off by %.2g\n", off);
    for (int k = 0; k < 2; k++)
        free(rates[k]);
    free(at.depth);
    return off;
}

/* Rates everywhere; whole sessions where the edge does not hold. A sharp edge that begins to spill holds less and spills
   more: there the last bit grows, in a film of one liquid as well, until where it spills is another place, and only the
   volumes are compared. */
static void check_like(const film_scene *layered, const film_scene *one)
{
    check_at_most(rates_apart(layered, one), 1e-12);
    double off = apart(layered, one);
    if (layered->options.edges == RN_EDGE_OPEN)
        check_at_most(off, 1e-12);
}

static void paints_alike_are_one_liquid(void **state)
{
    (void)state;
    static const rn_law laws[] = {{1, 1, 0}, {1.2, 0.7, 0.8}};
    for (int k = 0; k < 2; k++) {
        film_scene scene = full_scene(RN_EDGE_CLEAN, false);
        scene.options.law = laws[k];
        scene.levels = 8;
        scene.law_count = 4;
        scene.mixed = 1;
        for (int law = 0; law < 4; law++)
            scene.laws[law] = laws[k];
        film_scene one = one_liquid(scene, laws[k]);
        check_within(apart(&scene, &one), 0, 0); /* the fast path itself */
    }
}

static void columns_of_one_paint_flow_as_a_film_of_it(void **state)
{
    (void)state;
    /* The film's own law is another, so that the columns' loops are the ones at work. */
    static const rn_law laws[] = {{1, 1, 0}, {1.2, 0.7, 0.8}, {0.8, 1, 0.5}};
    for (int k = 0; k < 3; k++)
        for (int rim = 0; rim < 4; rim++) {
            film_scene scene = full_scene(rims[rim].kind, rims[rim].round);
            scene.options.law = (rn_law){0.3, 1, 0};
            scene.levels = 8;
            scene.law_count = 2;
            scene.laws[0] = scene.laws[1] = laws[k];
            film_scene one = one_liquid(scene, laws[k]);
            check_like(&scene, &one);
        }
}

static void the_same_layers_everywhere_flow_with_their_viscosity(void **state)
{
    (void)state;
    /* 1/mu = 3 int (1-s)^2/mu(s) ds = (7/8)/2 + (1/8)/0.5: inside, and over the edges. */
    for (int rim = 0; rim < 4; rim++) {
        film_scene scene = full_scene(rims[rim].kind, rims[rim].round);
        scene.levels = 8;
        scene.law_count = 2;
        scene.laws[0] = (rn_law){2, 1, 0};
        scene.laws[1] = (rn_law){0.5, 1, 0};
        film_scene one = one_liquid(scene, (rn_law){1 / (7.0 / 8 / 2 + 1.0 / 8 / 0.5), 1, 0});
        check_like(&scene, &one);
    }
}

static void a_layered_side_drains_with_its_viscosity(void **state)
{
    (void)state;
    const rn_law laws[] = {{2, 1, 0}, {0.5, 1, 0}}, one = {1 / (7.0 / 8 / 2 + 1.0 / 8 / 0.5), 1, 0};
    const unsigned char law_of[] = {0, 0, 1, 1};
    const rn_column layered = {laws, law_of, 1, 4, NULL}, plain = {&one, NULL, 0, 1, NULL};
    rn_edges edges = {.kind = RN_EDGE_WRAPPED, .side = 0.02, .density = 1200};
    rn_edge_face a = {0}, b = {0};
    double dripped = 0;
    for (int k = 0; k < 400; k++) {
        double arriving = k < 40 ? 2e-6 : 0, from_a = rn_edge_side_step(&a, &edges, &layered, arriving, 0.1);
        check_within(from_a, rn_edge_side_step(&b, &edges, &plain, arriving, 0.1), 1e-16);
        check_close(a.side_volume, b.side_volume, 1e-11);
        check_close(a.side_wetted, b.side_wetted, 1e-11);
        dripped += from_a;
    }
    check_at_least(dripped, 20e-6);
}

static double between(rn_random *random, double least, double most)
{
    return least * pow(most / least, rn_random_unit(random));
}

static void volume_closes_whatever_the_layers(void **state)
{
    (void)state;
    double greatest = 0;
    long steps = 0, rejected = 0;
    const unsigned last = check_watched() ? 4 : 16;
    for (unsigned seed = 1; seed <= last; seed++) {
        rn_random random = rn_random_seeded(seed);
        film_scene scene = full_scene(rims[seed % 4].kind, rims[seed % 4].round);
        scene.mixed = 1;
        scene.levels = 1 + (int)(seed * 3 % 8);
        scene.law_count = 4;
        for (int law = 0; law < 4; law++) {
            bool yields = seed % 3 == 1 && law % 2;
            scene.laws[law] = (rn_law){between(&random, 0.1, 10), yields ? between(&random, 0.5, 1) : 1,
                                       yields ? between(&random, 0.05, 5) : 0};
        }
        double worst;
        rn_film *film = film_scene_run(&scene, 5, &worst);
        if (worst > 1e-12)
            fail_msg("seed %u: paint does not balance, %g", seed, worst);
        greatest = fmax(greatest, worst);
        steps += rn_film_steps(film);
        rejected += rn_film_rejected(film);
        rn_film_free(film);
    }
    printf("worst balance of %u layered sessions: %.2g, %ld+%ld steps\n", last, greatest, steps, rejected);
}

static void layers_mirrored_give_the_film_mirrored(void **state)
{
    (void)state;
    /* Columns that differ along y alone, forces along y alone: left and right halves stay alike. */
    film_scene scene = film_scene_usual(64, 64);
    scene.gravity_x = scene.rate = scene.acceleration = scene.x = 0;
    scene.levels = 8;
    scene.law_count = 3;
    scene.laws[0] = (rn_law){2, 1, 0};
    scene.laws[1] = (rn_law){0.5, 1, 0};
    scene.laws[2] = (rn_law){1, 0.8, 0.5};
    result got = result_of(&scene);
    double off = 0;
    for (int j = 0; j < 64; j++)
        for (int i = 0; i < 32; i++)
            off = fmax(off, fabs(got.depth[j * 64 + i] - got.depth[j * 64 + 63 - i]));
    printf("left against right: off by %.2g m\n", off);
    check_at_most(off, 1e-12);
    free(got.depth);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(paints_alike_are_one_liquid),
        cmocka_unit_test(columns_of_one_paint_flow_as_a_film_of_it),
        cmocka_unit_test(the_same_layers_everywhere_flow_with_their_viscosity),
        cmocka_unit_test(a_layered_side_drains_with_its_viscosity),
        cmocka_unit_test(volume_closes_whatever_the_layers),
        cmocka_unit_test(layers_mirrored_give_the_film_mirrored),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
