/* Paints that differ in how they flow, each by its own law while the session runs. */
#include "check.h"

#include "base/physical.h"
#include "film/mobility.h"
#include "lived.h"
#include "run/layering.h"

#define RING(slate, foam)                                                                                              \
    "plan: 1\n"                                                                                                        \
    "panel: {size: 20 cm x 20 cm, edges: clean}\n"                                                                     \
    "paints:\n"                                                                                                        \
    "  slate: {colour: 2b3a55, viscosity: " slate "}\n"                                                                \
    "  foam: {colour: ecebe4, viscosity: " foam "}\n"                                                                  \
    "  brass: {colour: c9962f, viscosity: 7 Pa s}\n"                                                                   \
    "base: [{paint: foam, depth: 0.5 mm}]\n"                                                                           \
    "pours: [{across: 50 mm, width: 8 mm, start: 1 s, lifts: 1, open: 4 s, stack: [slate 30 ml]}]\n"                   \
    "moves: [{start: 6 s, for: 8 s, tilt: 12 deg, toward: right}]\n"                                                   \
    "end: 16 s\n"

static void only_paints_that_are_used_and_differ_need_it(void **state)
{
    (void)state;
    rn_plan *same = lived_plan(RING("1 Pa s", "1 Pa s")), *other = lived_plan(RING("1 Pa s", "1.1 Pa s"));
    assert_false(rn_layering_needed(same)); /* brass is not used */
    assert_true(rn_layering_needed(other));
    rn_plan *yields = lived_plan(RING("1 Pa s", "1 Pa s, yield: 0.4 Pa"));
    assert_true(rn_layering_needed(yields));
    rn_plan_free(same);
    rn_plan_free(other);
    rn_plan_free(yields);
}

static void rest(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)context;
    (void)t0;
    (void)t1;
    *input = (rn_film_input){.gravity_normal = RN_GRAVITY};
    (void)volumes;
}

/* Soon where nothing is known of the film's motion yet; at rest every second, and 0.1 s after anything begins, whichever
   comes first, so that it is not slept through; every 0.2 s in a pour's first second. */
static void it_is_due_when_something_has_begun(void **state)
{
    (void)state;
    static const struct {
        double start, tilt, due;
    } cases[] = {{0, 6, 0.4}, {0.5, 6, 0.6}, {1.05, 6, 1.15}, {1.15, 6, 1.2}, {5, 6, 1.2}, {5, 0.8, 0.9}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        rn_plan *plan = lived_plan(RING("1 Pa s", "1.1 Pa s"));
        plan->pours[0].start = cases[k].start;
        plan->moves[0].start = cases[k].tilt;
        rn_film_options options = rn_film_defaults();
        options.grid = (rn_grid){64, 64, 0.2 / 64, 0.2 / 64};
        options.threads = 1;
        rn_film *film = NULL;
        rn_history *history = NULL;
        rn_layering *layering = NULL;
        rn_error err = {0};
        check_ok(rn_film_new(&film, &options, &err), &err);
        check_ok(rn_history_new(&history, film, &err), &err);
        check_ok(rn_layering_new(&layering, plan, film, history, 32, 1, &err), &err);
        check_close(rn_layering_due(layering), 0.1, 1e-12);
        double taken;
        for (double t = 0; t < 0.2; t += taken) {
            check_ok(rn_film_step(&taken, film, t, 0.2, rest, NULL, &err), &err);
            check_ok(rn_history_note(history, film, taken, &err), &err);
        }
        check_ok(rn_history_close(history, film, &err), &err);
        check_ok(rn_layering_renew(layering, film, history, 0.2, &err), &err);
        check_close(rn_layering_due(layering), cases[k].due, 1e-12);
        rn_layering_free(layering);
        rn_history_free(history);
        rn_film_free(film);
        rn_plan_free(plan);
    }
}

static double greatest_difference(const rn_still *a, const rn_still *b)
{
    double off = 0, deepest = 0;
    for (long n = 0; n < (long)a->grid.nx * a->grid.ny; n++) {
        off = fmax(off, fabs(a->depth[n] - b->depth[n]));
        deepest = fmax(deepest, a->depth[n]);
    }
    return off / deepest;
}

/* As a share of all depth. */
static double mean_difference(const rn_still *a, const rn_still *b)
{
    double off = 0, sum = 0;
    for (long n = 0; n < (long)a->grid.nx * a->grid.ny; n++) {
        off += fabs(a->depth[n] - b->depth[n]);
        sum += a->depth[n];
    }
    return off / sum;
}

static double all_paint(const rn_still *still)
{
    double sum = still->on_face + still->moment.on_sides;
    for (int s = 0; s < RN_SIDES; s++)
        sum += still->moment.run_off[s];
    return sum;
}

/* Against the same plan with one paint in both places that flows like the mixture. */
static void two_laws_are_not_their_mixture(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(RING("4 Pa s", "0.3 Pa s")), *mixed = rn_plan_copy(plan);
    const rn_law law = rn_plan_mixture(&(double){0}, plan).law;
    assert_non_null(mixed);
    mixed->paints[0].law = mixed->paints[1].law = law;
    lived *own = lived_of(plan, 64, 2, NAN), *one = lived_of(mixed, 64, 2, NAN);
    printf("depths differ by %.3f of the deepest\n", greatest_difference(own->still, one->still));
    check_at_least(greatest_difference(own->still, one->still), 0.1);
    check_close(all_paint(own->still), 30e-6 + 0.5e-3 * 0.04, 1e-12);
    check_close(all_paint(one->still), 30e-6 + 0.5e-3 * 0.04, 1e-12);
    check_at_least(own->still->moment.run_off[RN_RIGHT], 1e-7);
    lived_free(own);
    lived_free(one);
}

static rn_still *followed_at(rn_plan *plan, int points)
{
    rn_session *session = NULL;
    rn_still *still = NULL;
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = 64;
    options.threads = 2;
    options.layer_points = points;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_session_still(&still, session, &err), &err);
    rn_session_free(session);
    return still;
}

/* Layers that are followed at half as many points: much nearer to the film than one liquid for all would be. */
static void fewer_points_tell_nearly_the_same(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(RING("4 Pa s", "0.3 Pa s")), *mixed = rn_plan_copy(plan);
    assert_non_null(mixed);
    mixed->paints[0].law = mixed->paints[1].law = rn_plan_mixture(&(double){0}, plan).law;
    rn_still *all = followed_at(plan, 0), *same = followed_at(plan, 64), *half = followed_at(plan, 32);
    rn_still *one = followed_at(mixed, 0);
    const double off = mean_difference(half, all), as_one = mean_difference(one, all);
    printf("depths differ by %.3f in the mean, as one liquid by %.3f\n", off, as_one);
    check_within(greatest_difference(same, all), 0, 0); /* as many as the grid has */
    check_at_least(off, 1e-6);
    check_at_most(off, 0.5 * as_one);
    check_close(all_paint(half), 30e-6 + 0.5e-3 * 0.04, 1e-12);
    rn_still_free(all);
    rn_still_free(same);
    rn_still_free(half);
    rn_still_free(one);
    rn_plan_free(plan);
    rn_plan_free(mixed);
}

static lived *within_walls(const char *text)
{
    rn_plan *plan = lived_plan(text);
    plan->panel.edges = RN_EDGE_WALLS;
    return lived_of(plan, 64, 2, NAN);
}

/* Laws that hardly differ make a film that hardly does: within walls, for an edge that holds and then spills enlarges any
   difference. */
static void nearly_one_law_is_nearly_one_liquid(void **state)
{
    (void)state;
    lived *own = within_walls(RING("1 Pa s", "1.002 Pa s"));
    lived *one = within_walls(RING("1.001 Pa s", "1.001 Pa s"));
    printf("depths differ by %.5f of the deepest\n", greatest_difference(own->still, one->still));
    check_at_most(greatest_difference(own->still, one->still), 1e-3);
    lived_free(own);
    lived_free(one);
}

static void one_thread_and_three_give_the_same_bits(void **state)
{
    (void)state;
    lived *one = lived_of(lived_plan(RING("4 Pa s", "0.3 Pa s, yield: 0.2 Pa")), 64, 1, NAN);
    lived *three = lived_of(lived_plan(RING("4 Pa s", "0.3 Pa s, yield: 0.2 Pa")), 64, 3, NAN);
    const size_t size = (size_t)one->still->grid.nx * (size_t)one->still->grid.ny * sizeof(double);
    assert_memory_equal(one->still->depth, three->still->depth, size);
    assert_memory_equal(one->still->moment.run_off, three->still->moment.run_off, sizeof one->still->moment.run_off);
    lived_free(one);
    lived_free(three);
}

/* A coat of 2 Pa s under one of 0.5 Pa s from a broad cup, 10 deg:
   q = G [(h h1^2/2 - h1^3/6)/mu1 + (h h1 - h1^2/2) h2/mu1 + h2^3/(3 mu2)] (derived from [oron1997]'s balance), and the same
   by the exact flux of a column. The mixture, 1 Pa s, would be half as fast again. */
static void a_thick_coat_under_a_thin_one_runs_at_the_exact_speed(void **state)
{
    (void)state;
    const double until = 3;
    lived *life = lived_new("plan: 1\n"
                            "panel: {size: 20 cm x 20 cm, edges: open}\n"
                            "paints:\n"
                            "  slate: {colour: 2b3a55, viscosity: 2 Pa s, density: 1.1 g/ml}\n"
                            "  foam: {colour: ecebe4, viscosity: 0.5 Pa s, density: 1.1 g/ml}\n"
                            "base: [{paint: slate, depth: 1 mm}]\n"
                            "pours: [{from: cup, at: centre, across: 180 mm, start: 0 s, open: 1 s, "
                            "stack: [foam 23 ml]}]\n"
                            "moves: [{start: 1 s, for: 5 s, tilt: 10 deg, toward: right, ramp: 0.1 s}]\n"
                            "end: 6 s\n",
                            64, until);
    const rn_history *history = rn_session_history(life->session);
    const int last = rn_history_count(history) - 1;
    rn_motion_cell *cells = malloc(64 * 64 * sizeof *cells);
    assert_non_null(cells);
    rn_history_read(cells, history, last, life->team);
    double speed = 0, depth = 0;
    for (int j = 28; j < 36; j++)
        for (int i = 28; i < 36; i++) {
            speed += (double)cells[j * 64 + i].u / 64;
            depth += life->still->depth[j * 64 + i] / 64;
        }
    const double pull = 1100 * RN_GRAVITY * sin(10 * RN_PI / 180), h = depth, h1 = 1e-3, h2 = h - h1;
    const double exact =
        pull * ((h * h1 * h1 / 2 - h1 * h1 * h1 / 6) / 2 + (h * h1 - h1 * h1 / 2) * h2 / 2 + h2 * h2 * h2 / (3 * 0.5));
    static const unsigned char halves[8] = {0, 0, 0, 0, 1, 1, 1, 1};
    const rn_law laws[2] = {life->plan->paints[0].law, life->plan->paints[1].law};
    const rn_column column = {laws, halves, 1, 8, NULL};
    printf("depth %.4f mm, speed %.4f mm/s; exact %.4f, in eighths %.4f, as one liquid %.4f\n", 1e3 * h, 1e3 * speed,
           1e3 * exact / h, 1e3 * rn_column_flux(&column, h, pull) / h, 1e3 * pull * h * h / 3);
    check_close(h, 2e-3, 0.03);
    check_close(speed, rn_column_flux(&column, h, pull) / h, 1e-3);
    check_close(speed, exact / h, 0.01); /* the coats' border falls on an eighth of the depth */
    free(cells);
    lived_free(life);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_due_when_something_has_begun),
        cmocka_unit_test(only_paints_that_are_used_and_differ_need_it),
        cmocka_unit_test(two_laws_are_not_their_mixture),
        cmocka_unit_test(fewer_points_tell_nearly_the_same),
        cmocka_unit_test(nearly_one_law_is_nearly_one_liquid),
        cmocka_unit_test(one_thread_and_three_give_the_same_bits),
        cmocka_unit_test(a_thick_coat_under_a_thin_one_runs_at_the_exact_speed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
