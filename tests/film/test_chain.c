/* A chain of maps against closed forms, through several of its maps, and against the trace straight back:
   on a slope the face of a Newtonian film moves at rho g sin(alpha) h^2/(2 mu), at sigma at 3 sigma - 1.5 sigma^2 of the
   mean [jeffreys1930]; on a spinning panel the face goes out as r0 F^(3/8) and T = sqrt(sigma (2 - sigma))/(1 - sigma) as
   T0 F^(1/4), r/r0 = [(1 + T^2)/(1 + T0^2)]^(3/4), F = 1 + 4 rho omega^2/(3 mu) h0^2 t (derived from [emslie1958]). */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "film/chain.h"
#include "film/history.h"
#include "run/session.h"
#include "run/strata.h"

#define DENSITY 1100.0
#define CELLS 128

typedef struct scene {
    rn_film *film;
    rn_history *history;
    rn_layers layers;
    rn_team *team;
} scene;

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)volumes;
    (void)t0;
    (void)t1;
    *input = *(const rn_film_input *)context;
}

/* 1 Pa s on a panel of 300 mm with open edges, even from the start. */
static scene run(rn_film_input input, double depth, double until)
{
    scene got = {0};
    rn_film_options options = rn_film_defaults();
    rn_error err = {0};
    double *even = malloc(CELLS * CELLS * sizeof *even), taken;
    assert_non_null(even);
    check_ok(rn_grid_make(&options.grid, 0.3, 0.3, CELLS, &err), &err);
    options.law = (rn_law){1, 1, 0};
    options.density = DENSITY;
    options.tension = 0;
    options.edges = RN_EDGE_OPEN;
    options.step_most = RN_HISTORY_INTERVAL;
    options.threads = 2;
    check_ok(rn_film_new(&got.film, &options, &err), &err);
    for (int n = 0; n < CELLS * CELLS; n++)
        even[n] = depth;
    rn_film_set(got.film, even);
    free(even);
    check_ok(rn_history_new(&got.history, got.film, &err), &err);
    check_ok(rn_team_new(&got.team, 2, &err), &err);
    for (double t = 0; t < until; t = until - t - taken < 1e-12 ? until : t + taken) {
        check_ok(rn_film_step(&taken, got.film, t, until, drive, &input, &err), &err);
        check_ok(rn_history_note(got.history, got.film, taken, &err), &err);
    }
    check_ok(rn_history_close(got.history, got.film, &err), &err);
    got.layers = (rn_layers){.history = got.history, .power = 1};
    return got;
}

static void scene_free(scene *got)
{
    rn_history_free(got->history);
    rn_film_free(got->film);
    rn_team_free(got->team);
}

/* As a session does it: up to about every second. */
static void follow(rn_chain *chain, const rn_layers *layers, rn_team *team)
{
    rn_error err = {0};
    const int count = rn_history_count(layers->history);
    for (int k = 1; k <= count; k++) {
        const double end = rn_history_time(layers->history, k);
        if (end >= rn_chain_time(chain) + 1 || k == count)
            check_ok(rn_chain_advance(chain, layers, end, team, &err), &err);
    }
    check_within(rn_chain_time(chain), rn_history_time(layers->history, count), 1e-9);
}

/* A chain of the midpoints of so many equal levels and the face. */
static rn_status new_chain(rn_chain **chain, const rn_grid *grid, int points, int levels, rn_error *err)
{
    float sigma[16];
    for (int level = 0; level < levels; level++)
        sigma[level] = ((float)level + 0.5f) / (float)levels;
    sigma[levels] = 1;
    return rn_chain_new(chain, grid, points, points, sigma, levels + 1, err);
}

static rn_chain *chain_of(const scene *got, int points, int levels)
{
    rn_chain *chain = NULL;
    rn_error err = {0};
    check_ok(new_chain(&chain, rn_film_grid(got->film), points, levels, &err), &err);
    follow(chain, &got->layers, got->team);
    assert_in_range(rn_chain_maps(chain), 3, 1000); /* through several of them */
    return chain;
}

typedef struct place {
    double x, y, sigma;
} place;

static place origin(const rn_chain *chain, rn_team *team, double x, double y, double sigma)
{
    float at_x = (float)x, at_y = (float)y, at_sigma = (float)sigma, released = 0;
    short source = RN_FROM_NOWHERE;
    const rn_tracers one = {1, &at_x, &at_y, &at_sigma, &source, &released, NULL};
    rn_chain_find(&one, chain, team);
    assert_int_equal(source, RN_FROM_NOWHERE);
    return (place){(double)at_x, (double)at_y, (double)at_sigma};
}

static void a_slope_moves_each_depth_by_its_share(void **state)
{
    (void)state;
    const double depth = 1e-3, until = 40, pull = RN_GRAVITY * sin(5 * RN_DEGREE);
    scene got = run((rn_film_input){.gravity_x = pull}, depth, until);
    rn_chain *chain = chain_of(&got, 128, 8);
    const double mean = DENSITY * pull * depth * depth / 3 * until;
    const place face = origin(chain, got.team, 0.05, 0.01, 1), buried = origin(chain, got.team, 0.05, 0.01, 0.4375);
    check_close(0.05 - face.x, 1.5 * mean, 1e-3);
    check_within(face.y, 0.01, 1e-6);
    check_close(face.sigma, 1, 1e-6);
    check_close(0.05 - buried.x, (3 * 0.4375 - 1.5 * 0.4375 * 0.4375) * mean, 5e-3);
    check_within(buried.sigma, 0.4375, 1e-3);
    rn_chain_free(chain);
    scene_free(&got);
}

static void a_spin_carries_the_face_out(void **state)
{
    (void)state;
    const double depth = 1.5e-3, until = 30, rate = 60 * RN_PI / 30;
    const double F = 1 + 4 * DENSITY * rate * rate / 3 * depth * depth * until;
    scene got = run((rn_film_input){.rate = rate}, depth, until);
    rn_chain *chain = chain_of(&got, 128, 8);
    const place face = origin(chain, got.team, 0.08, 0.03, 1);
    check_close(hypot(0.08, 0.03) / hypot(face.x, face.y), pow(F, 0.375), 5e-3);
    check_close(face.y / face.x, 0.375, 2e-3);
    const double s = 0.3, T0 = sqrt(s * (2 - s)) / (1 - s), T = T0 * pow(F, 0.25), now = 1 - 1 / sqrt(1 + T * T);
    const place buried = origin(chain, got.team, 0.08, 0.03, now);
    check_close(buried.sigma, s, 0.02);
    check_close(hypot(0.08, 0.03) / hypot(buried.x, buried.y), pow((1 + T * T) / (1 + T0 * T0), 0.75), 0.01);
    rn_chain_free(chain);
    scene_free(&got);
}

static rn_session *small_pour(rn_plan **plan, rn_still **still)
{
    static const char text[] = "plan: 1\n"
                               "panel: {size: 20 cm x 20 cm, edges: clean}\n"
                               "paints: {slate: {colour: 2b3a55}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}}\n"
                               "base: [{paint: foam, depth: 0.4 mm}]\n"
                               "pours: [{across: 60 mm, width: 10 mm, start: 0 s, lifts: 2, every: 6 s, open: 6 s, "
                               "repeat: 3, stack: [slate 30 ml, kelp 20 ml, foam 20 ml]}]\n"
                               "moves:\n"
                               "  - {start: 0 s, for: 12 s, turn: 10 rpm, ramp: 1 s}\n"
                               "  - {start: 0 s, for: 12 s, tilt: 2 deg, toward: right, frame: room, ramp: 0.5 s}\n"
                               "  - {start: 14 s, for: 8 s, tilt: 6 deg, toward: back right}\n"
                               "end: 30 s\n";
    rn_session *session = NULL;
    rn_session_options options = rn_session_defaults();
    rn_error err = {0};
    check_ok(rn_plan_read(plan, text, (long)strlen(text), "test", &err), &err);
    options.cells = 64;
    options.threads = 2;
    options.history = true;
    check_ok(rn_session_new(&session, *plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_session_still(still, session, &err), &err);
    return session;
}

/* The limit is this program's own aim: some hundredths of the face may take a neighbouring band's colour. */
static void the_face_is_nearly_that_of_the_whole_trace(void **state)
{
    (void)state;
    enum { N = 512 };
    rn_plan *plan;
    rn_still *still = NULL;
    rn_session *session = small_pour(&plan, &still);
    rn_team *team = NULL;
    rn_chain *chain = NULL;
    rn_strata *whole = NULL, *quick = NULL;
    rn_past past;
    rn_error err = {0};
    check_ok(rn_team_new(&team, 2, &err), &err);
    rn_past_init(&past, plan, rn_session_history(session));
    check_ok(new_chain(&chain, rn_session_grid(session), N, 0, &err), &err);
    follow(chain, &past.layers, team);
    rn_strata_options options = rn_strata_defaults();
    options.points = N;
    options.levels = 1;
    check_ok(rn_strata_trace(&whole, &past, still, options, team, &err), &err);
    check_ok(rn_strata_find(&quick, &past, still, chain, N, team, &err), &err);
    long other = 0, wet = 0, seen[3] = {0};
    for (long p = 0; p < (long)N * N; p++) {
        const int paint = whole->paint[rn_strata_plane(whole, whole->planes - 1) + p];
        assert_true((paint == RN_PAINT_NONE) == (quick->paint[p] == RN_PAINT_NONE));
        if (paint == RN_PAINT_NONE)
            continue;
        wet++;
        seen[paint]++;
        other += paint != quick->paint[p];
    }
    printf("%.2f %% of another paint, %d maps\n", 100.0 * (double)other / (double)wet, rn_chain_maps(chain));
    check_at_most((double)other / (double)wet, 0.045);
    for (int p = 0; p < 3; p++)
        check_at_least((double)seen[p] / (double)wet, 0.05);
    rn_strata_free(whole);
    rn_strata_free(quick);
    rn_chain_free(chain);
    rn_team_free(team);
    rn_session_free(session);
    rn_still_free(still);
    rn_plan_free(plan);
}

/* The lattice's own points through the newest map, without and with a look between them; some have left a release there. */
static void the_newest_map_is_told_as_it_is(void **state)
{
    (void)state;
    enum { N = 64, LEVELS = 4, COUNT = (LEVELS + 1) * N * N };
    rn_plan *plan;
    rn_still *still = NULL;
    rn_session *session = small_pour(&plan, &still);
    rn_team *team = NULL;
    rn_chain *chain = NULL;
    rn_error err = {0};
    rn_past past;
    rn_tracers told = {0}, found = {0};
    check_ok(rn_team_new(&team, 2, &err), &err);
    check_ok(new_chain(&chain, rn_session_grid(session), N, LEVELS, &err), &err);
    check_ok(rn_tracers_init(&told, COUNT, &err), &err);
    check_ok(rn_tracers_init(&found, COUNT, &err), &err);
    rn_past_init(&past, plan, rn_session_history(session));
    rn_chain_newest(&told, chain, team); /* nothing has moved yet */
    memcpy(found.x, told.x, COUNT * sizeof(float));
    memcpy(found.y, told.y, COUNT * sizeof(float));
    memcpy(found.sigma, told.sigma, COUNT * sizeof(float));
    check_ok(rn_chain_advance(chain, &past.layers, rn_history_time(past.layers.history, 15), team, &err), &err);
    rn_chain_newest(&told, chain, team);
    rn_chain_descend(&found, chain, rn_chain_maps(chain) - 1, rn_chain_maps(chain) - 1, team);
    long left = 0;
    for (long p = 0; p < COUNT; p++) {
        assert_int_equal(told.source[p], found.source[p]);
        left += told.source[p] != RN_FROM_NOWHERE;
        if (told.source[p] != RN_FROM_NOWHERE) {
            check_within((double)told.released[p], (double)found.released[p], 1e-9); /* of 70e-6 m3 */
            continue;
        }
        check_within((double)told.x[p], (double)found.x[p], 1e-6);
        check_within((double)told.y[p], (double)found.y[p], 1e-6);
        check_within((double)told.sigma[p], (double)found.sigma[p], 1e-4);
    }
    assert_in_range(left, 100, COUNT / 2);
    rn_tracers_clear(&told);
    rn_tracers_clear(&found);
    rn_chain_free(chain);
    rn_team_free(team);
    rn_session_free(session);
    rn_still_free(still);
    rn_plan_free(plan);
}

static void one_thread_and_three_give_the_same_bits(void **state)
{
    (void)state;
    enum { N = 96, COUNT = 2000 };
    rn_plan *plan;
    rn_still *still = NULL;
    rn_session *session = small_pour(&plan, &still);
    rn_past past;
    rn_tracers found[2];
    rn_past_init(&past, plan, rn_session_history(session));
    for (int run_number = 0; run_number < 2; run_number++) {
        rn_team *team = NULL;
        rn_chain *chain = NULL;
        rn_error err = {0};
        rn_tracers *points = &found[run_number];
        check_ok(rn_team_new(&team, run_number ? 3 : 1, &err), &err);
        check_ok(new_chain(&chain, rn_session_grid(session), N, 4, &err), &err);
        follow(chain, &past.layers, team);
        check_ok(rn_tracers_init(points, COUNT, &err), &err);
        for (int p = 0; p < COUNT; p++) {
            points->x[p] = (float)(0.09 * sin(0.7 * p));
            points->y[p] = (float)(0.09 * cos(1.3 * p));
            points->sigma[p] = (float)(p % 11) / 10.0f;
            points->released[p] = 0;
        }
        rn_chain_find(points, chain, team);
        rn_chain_free(chain);
        rn_team_free(team);
    }
    assert_memory_equal(found[0].x, found[1].x, COUNT * sizeof(float));
    assert_memory_equal(found[0].y, found[1].y, COUNT * sizeof(float));
    assert_memory_equal(found[0].sigma, found[1].sigma, COUNT * sizeof(float));
    assert_memory_equal(found[0].source, found[1].source, COUNT * sizeof(short));
    assert_memory_equal(found[0].released, found[1].released, COUNT * sizeof(float));
    rn_tracers_clear(&found[0]);
    rn_tracers_clear(&found[1]);
    rn_session_free(session);
    rn_still_free(still);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_slope_moves_each_depth_by_its_share),      cmocka_unit_test(a_spin_carries_the_face_out),
        cmocka_unit_test(the_face_is_nearly_that_of_the_whole_trace), cmocka_unit_test(the_newest_map_is_told_as_it_is),
        cmocka_unit_test(one_thread_and_three_give_the_same_bits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
