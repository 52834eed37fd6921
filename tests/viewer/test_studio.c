/* Studios at work, on small grids: what they answer is held against sessions and traces made here by themselves. */
#include <string.h>
#include <time.h>

#include "base/monotonic.h"
#include "check.h"
#include "plan/plan.h"
#include "run/past.h"
#include "run/strata.h"
#include "studio.h"

#define CELLS 64
#define POINTS 256
#define PATIENCE 3600.0 /* what hangs ends so; the tests' own limit comes first [s] */

static void doze(void)
{
    nanosleep(&(struct timespec){.tv_nsec = 2000000}, NULL);
}

static rn_plan *read_plan(const char *text)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "plan", &err), &err);
    return plan;
}

/* Poured, tilted and turned in half a minute; spread by gravity over most of a small panel. */
static rn_plan *short_plan(void)
{
    return read_plan("plan: 1\n"
                     "title: Short\n"
                     "panel: {size: 20 cm x 16 cm}\n"
                     "paints:\n"
                     "  ink: {colour: \"#2b3a55\", viscosity: 0.4 Pa s}\n"
                     "  chalk: {colour: \"#ecebe4\", viscosity: 0.4 Pa s}\n"
                     "pours:\n"
                     "  - {across: 50 mm, width: 10 mm, start: 1 s, lifts: 3, every: 4 s, open: 2 s, repeat: 2,\n"
                     "     stack: [ink 22 ml, chalk 22 ml]}\n"
                     "moves:\n"
                     "  - {start: 2 s, for: 8 s, turn: 8 rpm}\n"
                     "  - {start: 13 s, for: 6 s, tilt: 7 deg, toward: right}\n"
                     "  - {start: 20 s, for: 6 s, tilt: 7 deg, toward: left}\n"
                     "end: 32 s\n");
}

static rv_studio *new_studio(int threads)
{
    rn_error err = {0};
    rv_studio *studio = NULL;
    check_ok(studio_new(&studio,
                        (rv_studio_options){.cells = CELLS, .points = POINTS, .threads = threads, .judges = true},
                        &err),
             &err);
    return studio;
}

static rv_studio_wish wish_at(double time)
{
    return (rv_studio_wish){.time = time, .horizon = INFINITY};
}

static void set_plan(rv_studio *studio, const rn_plan *plan, long version)
{
    rn_error err = {0};
    check_ok(studio_set_plan(studio, plan, version, &err), &err);
}

static rv_studio_tale *first_tale(rv_studio *studio, long version)
{
    const double began = rn_monotonic_now();
    rv_studio_tale *tale;
    while (!(tale = studio_take_tale(studio))) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        doze();
    }
    assert_int_equal(tale->version, version);
    return tale;
}

/* The tale that tells most: complete, with its motion traced. */
static rv_studio_tale *last_tale(rv_studio *studio, long version)
{
    const double began = rn_monotonic_now();
    while (rn_monotonic_now() - began < PATIENCE) {
        rv_studio_tale *tale = studio_take_tale(studio);
        if (tale) {
            assert_int_equal(tale->version, version);
            if (tale->complete && tale->traced == tale->end)
                return tale;
            studio_tale_free(tale);
        }
        doze();
    }
    fail_msg("no tale came");
    return NULL;
}

static rv_studio_picture *wait_for_picture(rv_studio *studio, double time, bool sharp)
{
    const double began = rn_monotonic_now();
    while (rn_monotonic_now() - began < PATIENCE) {
        rv_studio_picture *picture = studio_take_picture(studio);
        if (picture && picture->sharp == sharp && fabs(picture->time - time) < 1e-9)
            return picture;
        studio_picture_free(picture);
        doze();
    }
    fail_msg("no picture came");
    return NULL;
}

/* A session of its own, as the studio says its film is worked out. */
static rn_session *own_session(const rn_plan *plan, double until)
{
    rn_error err = {0};
    rn_session *session = NULL;
    rn_session_options options = studio_session_options(CELLS, 1);
    options.until = until;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    return session;
}

static void check_same_film(const rv_studio_tale *tale, const rn_session *session)
{
    rn_error err = {0};
    rn_record *record = NULL;
    check_ok(rn_session_record(&record, session, &err), &err);
    const size_t cells = (size_t)record->grid.nx * (size_t)record->grid.ny;
    assert_int_equal(tale->record->grid.nx, record->grid.nx);
    assert_memory_equal(tale->record->depth, record->depth, cells * sizeof *record->depth);
    assert_memory_equal(tale->record->arrival, record->arrival, cells * sizeof *record->arrival);
    rn_record_free(record);
}

static void test_tells_the_film_of_a_session(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(2);
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 7);
    rv_studio_tale *tale = last_tale(studio, 7);
    rn_session *session = own_session(plan, NAN);
    rn_forecast forecast;
    rn_error err = {0};
    check_same_film(tale, session);
    check_ok(rn_session_forecast(&forecast, session, &err), &err);
    check_within(tale->forecast.run_off, forecast.run_off, 0);
    check_within(tale->forecast.coverage, forecast.coverage, 0);
    check_within(tale->end, plan->end, 0);
    assert_string_equal(tale->trouble, "");
    rn_session_free(session);
    studio_tale_free(tale);
    studio_free(studio);
    rn_plan_free(plan);
}

/* The outcome is told before the film's motion is known, and then the pattern. */
static void test_tells_more_and_more(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(1);
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 1);
    double traced = 0, rough = NAN;
    const double began = rn_monotonic_now();
    for (bool done = false; !done; doze()) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        rv_studio_tale *tale = studio_take_tale(studio);
        if (!tale)
            continue;
        assert_true(tale->traced >= traced);
        traced = tale->traced;
        check_at_least(tale->solved, traced);
        if (tale->complete && tale->traced < tale->end && isnan(rough))
            rough = tale->forecast.run_off;
        done = tale->forecast.has_pattern;
        if (done) {
            assert_true(tale->complete);
            check_at_least(tale->forecast.stretch, 1);
            assert_true(!isnan(rough));
            check_within(tale->forecast.run_off, rough, 1e-6); /* by 1 ml of 44 */
        }
        studio_tale_free(tale);
    }
    studio_free(studio);
    rn_plan_free(plan);
}

/* A changed move late in the plan: from then on the film is another, to the last bit that of the changed plan. */
static void test_goes_on_from_an_edit(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(1);
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 1);
    studio_tale_free(last_tale(studio, 1));
    plan->moves[2].amount *= 0.5;
    set_plan(studio, plan, 2);
    double least = INFINITY;
    rv_studio_tale *tale = NULL;
    const double began = rn_monotonic_now();
    while (!tale || !tale->complete || tale->traced < tale->end) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        studio_tale_free(tale);
        tale = studio_take_tale(studio);
        if (tale) {
            assert_int_equal(tale->version, 2);
            least = fmin(least, tale->traced);
        }
        doze();
    }
    check_at_least(least, 18); /* what lies before the move was kept, but for less than the way to a mark */
    rn_session *session = own_session(plan, NAN);
    check_same_film(tale, session);
    rn_session_free(session);
    studio_tale_free(tale);

    for (long version = 3; version <= 6; version++) { /* again, earlier and earlier */
        if (version == 6)
            plan->pours[0].stack[0].volume *= 0.8;
        else
            plan->moves[5 - version].amount *= 1.2;
        set_plan(studio, plan, version);
        tale = last_tale(studio, version);
        session = own_session(plan, NAN);
        check_same_film(tale, session);
        rn_session_free(session);
        studio_tale_free(tale);
    }

    strcpy(plan->title, "Only called otherwise"); /* nothing is worked out anew */
    set_plan(studio, plan, 7);
    tale = first_tale(studio, 7);
    assert_true(tale->complete && tale->traced == tale->end);
    assert_string_equal(tale->forecast.title, "Only called otherwise");
    studio_tale_free(tale);
    studio_free(studio);
    rn_plan_free(plan);
}

/* Plans that come faster than they can be worked out: the last one is. */
static void test_never_answers_for_a_plan_before(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(2);
    rv_studio_wish wish = wish_at(9);
    wish.pixels = 64;
    wish.core = true;
    studio_set_wish(studio, wish);
    for (long version = 1; version <= 12; version++) {
        plan->moves[version % 3].amount *= 0.9;
        set_plan(studio, plan, version);
        for (int k = 0; k < 20; k++) {
            rv_studio_tale *tale = studio_take_tale(studio);
            rv_studio_picture *picture = studio_take_picture(studio);
            rv_studio_core *core = studio_take_core(studio);
            assert_true(!tale || tale->version == version);
            assert_true(!picture || picture->version == version);
            assert_true(!core || core->version == version);
            studio_tale_free(tale);
            studio_picture_free(picture);
            studio_core_free(core);
            doze();
        }
    }
    rv_studio_tale *tale = last_tale(studio, 12);
    rn_session *session = own_session(plan, NAN);
    check_same_film(tale, session);
    rn_session_free(session);
    studio_tale_free(tale);
    studio_free(studio);
    rn_plan_free(plan);
}

/* Until it has come so far, and then as long as anything comes. */
static double stand_still(rv_studio *studio, double horizon, double least)
{
    double traced = 0, since = rn_monotonic_now();
    while (rn_monotonic_now() - since < (traced < least ? PATIENCE : 0.5)) {
        rv_studio_tale *tale = studio_take_tale(studio);
        if (tale) {
            since = rn_monotonic_now();
            traced = tale->traced;
            check_at_most(traced, horizon);
            assert_false(tale->complete);
        }
        studio_tale_free(tale);
        doze();
    }
    return traced;
}

/* A rehearsal: the plan grows beat by beat, and is never worked out beyond the next one. In the end the film is that of the
   plan that has been written. */
static void test_holds_a_horizon(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    plan->move_count = 0;
    plan->end = 8;
    plan->end_given = true;
    rv_studio *studio = new_studio(1);
    double beat = 4;
    rv_studio_wish wish = wish_at(0);
    wish.horizon = beat;
    studio_set_wish(studio, wish);
    set_plan(studio, plan, 1);
    check_at_least(stand_still(studio, beat, beat - 0.4 - 1e-9), beat - 0.4 - 1e-9);
    for (long version = 2; version <= 6; version++, beat += 0.5) {
        if (plan->move_count)
            plan->moves[plan->move_count - 1].duration = beat - plan->moves[plan->move_count - 1].start;
        plan->moves[plan->move_count++] = (rn_move){.kind = RN_MOVE_TILT,
                                                    .start = beat,
                                                    .duration = plan->end - beat,
                                                    .amount = 0.02 * (double)version,
                                                    .toward = (double)version};
        set_plan(studio, plan, version);
        wish.horizon = beat + 0.5;
        studio_set_wish(studio, wish);
        check_at_least(stand_still(studio, wish.horizon, wish.horizon - 0.4 - 1e-9), wish.horizon - 0.4 - 1e-9);
    }
    wish.horizon = INFINITY;
    studio_set_wish(studio, wish);
    rv_studio_tale *tale = last_tale(studio, 6);
    rn_session *session = own_session(plan, NAN);
    check_same_film(tale, session);
    rn_session_free(session);
    studio_tale_free(tale);
    studio_free(studio);
    rn_plan_free(plan);
}

/* Share of the points with paint in either that have the same in both. */
static double agreement(const rn_strata *a, const rn_strata *b)
{
    long same = 0, wet = 0;
    assert_int_equal(a->nx, b->nx);
    assert_int_equal(a->ny, b->ny);
    for (long p = 0; p < (long)a->nx * a->ny; p++) {
        wet += a->paint[p] != RN_PAINT_NONE || b->paint[p] != RN_PAINT_NONE;
        same += a->paint[p] != RN_PAINT_NONE && a->paint[p] == b->paint[p];
    }
    assert_true(wet > 1000);
    return (double)same / (double)wet;
}

static void test_pictures_show_the_traced_face(void **state)
{
    (void)state;
    static const double times[] = {4.3, 12, 21.7, 32};
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(1);
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 1);
    studio_tale_free(last_tale(studio, 1));
    rn_session *session = own_session(plan, NAN);
    rn_past past;
    rn_team *team = NULL;
    rn_error err = {0};
    rn_past_init(&past, plan, rn_session_history(session));
    check_ok(rn_team_new(&team, 1, &err), &err);
    for (size_t k = 0; k < sizeof times / sizeof *times; k++) {
        rn_still *still = NULL;
        rn_strata *face = NULL;
        rn_strata_options options = rn_strata_defaults();
        options.levels = 1;
        options.points = POINTS;
        check_ok(rn_reel_still(&still, rn_session_reel(session), times[k], &err), &err);
        check_ok(rn_strata_trace(&face, &past, still, options, team, &err), &err);
        rv_studio_wish wish = wish_at(times[k]);
        wish.pixels = 120;
        wish.moving = true;
        studio_set_wish(studio, wish);
        rv_studio_picture *picture = wait_for_picture(studio, times[k], false);
        check_at_least(agreement(picture->face, face), 0.95);
        assert_true(cairo_image_surface_get_width(picture->image) <= 120);
        studio_picture_free(picture);
        wish.moving = false;
        studio_set_wish(studio, wish);
        picture = wait_for_picture(studio, times[k], true);
        check_at_least(agreement(picture->face, face), 1);
        assert_int_equal(cairo_image_surface_get_width(picture->image), 120);
        assert_int_equal(cairo_image_surface_get_height(picture->image), 96);
        studio_picture_free(picture);
        rn_strata_free(face);
        rn_still_free(still);
    }
    rn_team_free(team);
    rn_session_free(session);
    studio_free(studio);
    rn_plan_free(plan);
}

/* A wish for a time to come is answered with what there is. */
static void test_shows_as_far_as_it_goes(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(1);
    rv_studio_wish wish = wish_at(30);
    wish.horizon = 6;
    wish.pixels = 64;
    studio_set_wish(studio, wish);
    set_plan(studio, plan, 1);
    const double began = rn_monotonic_now();
    double shown = -1;
    while (shown < 5.5) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        rv_studio_picture *picture = studio_take_picture(studio);
        if (picture) {
            assert_true(picture->time >= shown);
            check_at_most(picture->time, 6);
            check_within(picture->wish.time, 30, 0);
            shown = picture->time;
        }
        studio_picture_free(picture);
        doze();
    }
    studio_free(studio);
    rn_plan_free(plan);
}

static void test_cuts_and_pulls(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    rv_studio *studio = new_studio(1);
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 1);
    studio_tale_free(last_tale(studio, 1));
    rv_studio_wish wish = wish_at(22);
    wish.core = wish.section = wish.stretch = true;
    wish.core_x = 0.012;
    wish.core_y = -0.007;
    wish.a[0] = -0.06;
    wish.b[0] = 0.06;
    studio_set_wish(studio, wish);
    rv_studio_core *core = NULL;
    rv_studio_section *section = NULL;
    rv_studio_pull *pull = NULL;
    const double began = rn_monotonic_now();
    while (!core || !section || !pull) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        core = core ? core : studio_take_core(studio);
        section = section ? section : studio_take_section(studio);
        pull = pull ? pull : studio_take_pull(studio);
        doze();
    }
    rn_error err = {0};
    rn_still *still = NULL;
    rn_session *session = own_session(plan, NAN);
    check_ok(rn_reel_still(&still, rn_session_reel(session), 22, &err), &err);
    const rn_cut *cut = &core->cut;
    assert_int_equal(cut->columns % 2, 1);
    assert_true(cut->rows >= 24);
    check_within(0.5 * (cut->ax + cut->bx), wish.core_x, 1e-12);
    check_within(cut->depth[cut->columns / 2], rn_still_depth(still, wish.core_x, wish.core_y), 1e-12);
    check_at_least(cut->depth[cut->columns / 2], 1e-4);
    for (int row = 0; row < cut->rows; row++) /* no bare ground within paint: the layers make up the whole depth */
        assert_true(cut->paint[cut->columns / 2 * cut->rows + row] < plan->paint_count);
    check_within(core->time, 22, 1e-9);
    assert_true(section->cut.columns >= 100);
    check_within(section->cut.bx, 0.06, 0);
    check_within(pull->since, rn_pour_end(&plan->pours[0]), 1e-9);
    check_at_least(pull->stretch.median, 1);
    check_at_least(pull->stretch.known, 0.5);
    rn_still_free(still);
    rn_session_free(session);
    studio_core_free(core);
    studio_section_free(section);
    studio_pull_free(pull);
    studio_free(studio);
    rn_plan_free(plan);
}

/* How long the processors have been at work for this program [s]: another that keeps them busy does not count. */
static double worked(void)
{
    struct timespec used;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &used);
    return (double)used.tv_sec + 1e-9 * (double)used.tv_nsec;
}

/* It stops at once, wherever it is. */
static void test_stops_while_at_work(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    for (int k = 0; k < 6; k++) {
        rv_studio *studio = new_studio(1);
        rv_studio_wish wish = wish_at(k % 2 ? 30 : 3);
        wish.pixels = 80;
        wish.core = wish.section = wish.stretch = true;
        wish.b[0] = 0.05;
        studio_set_wish(studio, wish);
        set_plan(studio, plan, 1);
        for (int n = 0; n < 30 * k * k; n++)
            doze();
        const double began = worked();
        studio_free(studio);
        check_at_most(worked() - began, 1);
    }
    rn_plan_free(plan);
}

static void test_stays_alive_on_what_cannot_be_worked_out(void **state)
{
    (void)state;
    rn_plan *plan = short_plan();
    plan->panel.width = 2;
    plan->panel.height = 0.011; /* too narrow for a grid of so few cells */
    rv_studio *studio = new_studio(1);
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 1);
    rv_studio_tale *tale = NULL;
    const double began = rn_monotonic_now();
    while (!(tale = studio_take_tale(studio))) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        doze();
    }
    assert_false(tale->complete);
    assert_true(strlen(tale->trouble) > 10);
    assert_null(tale->record);
    studio_tale_free(tale);
    rn_plan_free(plan);
    plan = short_plan();
    set_plan(studio, plan, 2); /* and goes on with the next */
    studio_tale_free(last_tale(studio, 2));
    studio_free(studio);
    rn_plan_free(plan);
}

static void count_wake(void *context)
{
    int *count = context;
    __atomic_add_fetch(count, 1, __ATOMIC_SEQ_CST);
}

static void test_wakes_the_window_and_then_rests(void **state)
{
    (void)state;
    int count = 0;
    rn_error err = {0};
    rv_studio *studio = NULL;
    rv_studio_options options = {
        .cells = CELLS, .points = POINTS, .threads = 1, .judges = true, .wake = count_wake, .context = &count};
    check_ok(studio_new(&studio, options, &err), &err);
    rn_plan *plan = short_plan();
    studio_set_wish(studio, wish_at(0));
    set_plan(studio, plan, 1);
    const double began = rn_monotonic_now();
    for (bool done = false; !done; doze()) {
        assert_true(rn_monotonic_now() - began < PATIENCE);
        rv_studio_tale *tale = studio_take_tale(studio);
        done = tale && tale->forecast.has_pattern;
        studio_tale_free(tale);
    }
    assert_true(__atomic_load_n(&count, __ATOMIC_SEQ_CST) >= 2);
    const double before = rn_monotonic_now(), used = worked();
    const int woken = __atomic_load_n(&count, __ATOMIC_SEQ_CST);
    while (rn_monotonic_now() - before < 0.5)
        doze();
    assert_int_equal(__atomic_load_n(&count, __ATOMIC_SEQ_CST), woken);
    check_at_most(worked() - used, 0.1);
    studio_free(studio);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tells_the_film_of_a_session),
        cmocka_unit_test(test_tells_more_and_more),
        cmocka_unit_test(test_goes_on_from_an_edit),
        cmocka_unit_test(test_never_answers_for_a_plan_before),
        cmocka_unit_test(test_holds_a_horizon),
        cmocka_unit_test(test_pictures_show_the_traced_face),
        cmocka_unit_test(test_shows_as_far_as_it_goes),
        cmocka_unit_test(test_cuts_and_pulls),
        cmocka_unit_test(test_stops_while_at_work),
        cmocka_unit_test(test_stays_alive_on_what_cannot_be_worked_out),
        cmocka_unit_test(test_wakes_the_window_and_then_rests),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
