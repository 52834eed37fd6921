/* What a history remembers of paint that left the panel, against the film's own count. */
#include "check.h"

#include <string.h>

#include "film/history.h"
#include "scene.h"

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    const film_scene *scene = context;
    const double g = hypot(scene->gravity_x, scene->gravity_y);
    *input = (rn_film_input){scene->gravity_x, scene->gravity_y, sqrt(RN_GRAVITY * RN_GRAVITY - g * g), scene->rate, 0};
    volumes[0] = scene->volume * (fmin(t1, scene->until) - fmin(t0, scene->until)) / scene->until;
}

typedef struct past {
    rn_film *film;
    rn_history *history;
} past;

static past run(const film_scene *scene, double until)
{
    past got = {.film = film_scene_set(scene)};
    rn_error err = {0};
    check_ok(rn_history_new(&got.history, got.film, &err), &err);
    double taken;
    for (double t = 0; t < until; t += taken) {
        check_ok(rn_film_step(&taken, got.film, t, until, drive, (void *)(uintptr_t)scene, &err), &err);
        check_ok(rn_history_note(got.history, got.film, taken, &err), &err);
        if (until - t - taken < 1e-12)
            break;
    }
    check_ok(rn_history_close(got.history, got.film, &err), &err);
    return got;
}

static film_scene full(rn_edge_kind edges, bool round)
{
    film_scene scene = film_scene_usual(64, 64);
    scene.options.edges = edges;
    scene.options.round = round;
    scene.options.step_most = RN_HISTORY_INTERVAL;
    scene.volume = 150e-6;
    scene.base = 1e-3;
    return scene;
}

/* Sums by side, over all intervals. */
static double spilled(double by_side[4], const rn_history *history)
{
    const rn_spill_place *places;
    const int count = rn_history_places(&places, history);
    double sum = 0;
    memset(by_side, 0, 4 * sizeof *by_side);
    for (int k = 0; k < rn_history_count(history); k++) {
        const float *spill = rn_history_spill(history, k);
        for (int f = 0; spill && f < count; f++) {
            assert_true(spill[f] >= 0);
            by_side[places[f].side] += (double)spill[f];
            sum += (double)spill[f];
        }
    }
    return sum;
}

static void spills_add_up_to_what_went_over(void **state)
{
    (void)state;
    static const struct {
        rn_edge_kind edges;
        bool round;
    } rims[] = {{RN_EDGE_CLEAN, false}, {RN_EDGE_CLEAN, true}, {RN_EDGE_WRAPPED, false}, {RN_EDGE_OPEN, false}};
    for (int r = 0; r < 4; r++) {
        const film_scene scene = full(rims[r].edges, rims[r].round);
        past got = run(&scene, 9);
        double by_side[4], passed[64], over = 0, run_off[4], all = rn_film_on_sides(got.film);
        const double sum = spilled(by_side, got.history);
        rn_film_passed(passed, 64, got.film);
        rn_film_run_off(run_off, got.film);
        for (int s = 0; s < 64; s++)
            over += passed[s];
        for (int s = 0; s < 4; s++)
            all += run_off[s];
        check_at_least(over, 5e-6);
        check_close(sum, over, 1e-5);
        check_close(over, all, 1e-9);
        if (rims[r].edges != RN_EDGE_WRAPPED) /* where none stays on the sides */
            for (int s = 0; s < 4; s++)
                check_within(by_side[s], run_off[s], 1e-5 * over);
        rn_history_free(got.history);
        rn_film_free(got.film);
    }
}

static void walls_spill_nothing(void **state)
{
    (void)state;
    const film_scene scene = full(RN_EDGE_WALLS, false);
    past got = run(&scene, 4);
    for (int k = 0; k < rn_history_count(got.history); k++)
        assert_null(rn_history_spill(got.history, k));
    rn_history_free(got.history);
    rn_film_free(got.film);
}

static void what_is_forgotten_has_spilled_all_the_same(void **state)
{
    (void)state;
    const film_scene scene = full(RN_EDGE_OPEN, false);
    past got = run(&scene, 5);
    rn_team *team = NULL;
    rn_error err = {0};
    check_ok(rn_team_new(&team, 1, &err), &err);
    double before[4], after[4];
    const double sum = spilled(before, got.history);
    rn_motion_cell *cells = malloc(64 * 64 * sizeof *cells);
    assert_non_null(cells);
    rn_history_read(cells, got.history, 2, team);
    double moved = 0;
    for (int n = 0; n < 64 * 64; n++)
        moved = fmax(moved, fabs((double)cells[n].u));
    check_at_least(moved, 1e-5);
    rn_history_forget(got.history, 3);
    check_within(spilled(after, got.history), sum, 0);
    rn_history_read(cells, got.history, 2, team);
    for (int n = 0; n < 64 * 64; n++)
        check_within((double)cells[n].u, 0, 0);
    free(cells);
    rn_team_free(team);
    rn_history_free(got.history);
    rn_film_free(got.film);
}

static void intervals_are_found_by_time(void **state)
{
    (void)state;
    const film_scene scene = full(RN_EDGE_OPEN, false);
    past got = run(&scene, 3);
    const int count = rn_history_count(got.history);
    assert_int_equal(rn_history_find(got.history, 0), -1);
    assert_int_equal(rn_history_find(got.history, 100), count - 1);
    check_within(rn_history_time(got.history, 0), 0, 0);
    check_close(rn_history_time(got.history, count), 3, 1e-9);
    for (int k = 0; k < count; k++) {
        const double from = rn_history_time(got.history, k), to = rn_history_time(got.history, k + 1);
        assert_true(to > from);
        assert_int_equal(rn_history_find(got.history, 0.5 * (from + to)), k);
    }
    rn_history_free(got.history);
    rn_film_free(got.film);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spills_add_up_to_what_went_over),
        cmocka_unit_test(walls_spill_nothing),
        cmocka_unit_test(what_is_forgotten_has_spilled_all_the_same),
        cmocka_unit_test(intervals_are_found_by_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
