/* The kept films of a session against the films themselves, taken as it ran. */
#include "check.h"

#include "lived.h"

static const char text[] =
    "plan: 1\n"
    "panel: {size: 20 cm x 16 cm, edges: clean}\n"
    "paints: {slate: {colour: 2b3a55}, foam: {colour: ecebe4}}\n"
    "base: [{paint: foam, depth: 0.3 mm}]\n"
    "pours: [{across: 50 mm, width: 8 mm, start: 1 s, lifts: 2, every: 4 s, open: 3 s, stack: [slate 50 ml]}]\n"
    "moves: [{start: 5 s, for: 10 s, tilt: 12 deg, toward: right}]\n"
    "end: 16 s\n";

static rn_session *begin(rn_plan *plan)
{
    rn_session *session = NULL;
    rn_session_options options = rn_session_defaults();
    rn_error err = {0};
    options.cells = 64;
    options.history = true;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    return session;
}

static void check_same(const rn_still *kept, const rn_still *real)
{
    double deepest = 0, off = 0;
    assert_int_equal(kept->grid.nx, real->grid.nx);
    assert_int_equal(kept->grid.ny, real->grid.ny);
    const long cells = (long)real->grid.nx * real->grid.ny;
    for (long n = 0; n < cells; n++) {
        deepest = fmax(deepest, real->depth[n]);
        off = fmax(off, fabs(kept->depth[n] - real->depth[n]));
    }
    check_at_most(off, deepest / 65535);
    assert_memory_equal(kept->inside, real->inside, (size_t)cells * sizeof *real->inside);
    check_close(kept->moment.time, real->moment.time, 1e-12);
    check_close(kept->moment.coverage, real->moment.coverage, 1e-12);
    check_close(kept->moment.wet_area, real->moment.wet_area, 1e-12);
    check_close(kept->moment.deepest, real->moment.deepest, 1e-12);
    check_close(kept->on_face, real->on_face, 1e-12);
    check_within(kept->base, real->base, 0);
    assert_int_equal(kept->spill_count, real->spill_count);
    for (int s = 0; s < real->spill_count; s++)
        check_within(kept->spill[s], real->spill[s], 1e-6 * real->spill[s]);
    for (int s = 0; s < RN_SIDES; s++)
        check_close(kept->moment.run_off[s], real->moment.run_off[s], 1e-12);
}

/* At every moment that is kept. */
static void kept_films_are_the_films(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(text);
    rn_session *session = begin(plan);
    rn_error err = {0};
    int seen = rn_reel_count(rn_session_reel(session)), looked = 0;
    while (!rn_session_done(session)) {
        check_ok(rn_session_step(session, &err), &err);
        const rn_reel *reel = rn_session_reel(session);
        if (rn_reel_count(reel) == seen)
            continue;
        seen = rn_reel_count(reel);
        rn_still *kept = NULL, *real = NULL;
        check_ok(rn_reel_still(&kept, reel, rn_session_time(session), &err), &err);
        check_ok(rn_session_still(&real, session, &err), &err);
        check_close(rn_reel_moment(reel, seen - 1)->time, rn_session_time(session), 1e-12);
        check_same(kept, real);
        rn_still_free(kept);
        rn_still_free(real);
        looked++;
    }
    assert_in_range(looked, 100, 1000);
    assert_true(rn_reel_bytes(rn_session_reel(session)) > 0);
    check_at_least(rn_reel_moment(rn_session_reel(session), seen - 1)->run_off[RN_RIGHT], 1e-6); /* spills are seen */
    rn_session_free(session);
    rn_plan_free(plan);
}

static void the_reel_has_the_records_moments(void **state)
{
    (void)state;
    lived *life = lived_new(text, 64, NAN);
    const rn_reel *reel = rn_session_reel(life->session);
    rn_record *record = NULL;
    rn_error err = {0};
    check_ok(rn_session_record(&record, life->session, &err), &err);
    assert_int_equal(rn_reel_count(reel), record->moment_count);
    for (int m = 0; m < record->moment_count; m++)
        assert_memory_equal(rn_reel_moment(reel, m), &record->moments[m], sizeof record->moments[m]);
    rn_record_free(record);
    lived_free(life);
}

static rn_still *at(const rn_reel *reel, double time)
{
    rn_still *still = NULL;
    rn_error err = {0};
    check_ok(rn_reel_still(&still, reel, time, &err), &err);
    return still;
}

static void between_two_it_is_linear(void **state)
{
    (void)state;
    lived *life = lived_new(text, 64, NAN);
    const rn_reel *reel = rn_session_reel(life->session);
    const int k = rn_reel_count(reel) / 2;
    const double a = rn_reel_moment(reel, k)->time, b = rn_reel_moment(reel, k + 1)->time;
    rn_still *before = at(reel, a), *after = at(reel, b), *between = at(reel, a + 0.25 * (b - a));
    double change = 0;
    for (long n = 0; n < (long)life->still->grid.nx * life->still->grid.ny; n++) {
        check_within(between->depth[n], 0.75 * before->depth[n] + 0.25 * after->depth[n], 1e-15);
        change = fmax(change, fabs(after->depth[n] - before->depth[n]));
    }
    check_at_least(change, 1e-6);
    check_close(between->moment.time, a + 0.25 * (b - a), 1e-12);
    check_close(between->on_face, 0.75 * before->on_face + 0.25 * after->on_face, 1e-12);
    check_close(between->moment.coverage, 0.75 * before->moment.coverage + 0.25 * after->moment.coverage, 1e-12);
    rn_still_free(before);
    rn_still_free(after);
    rn_still_free(between);
    lived_free(life);
}

/* Tilt and its bearing do not mix: they are the nearer film's. */
static void bearings_are_those_of_the_nearer(void **state)
{
    (void)state;
    lived *life = lived_new(text, 64, NAN);
    const rn_reel *reel = rn_session_reel(life->session);
    int seen = 0;
    for (int k = 0; k + 1 < rn_reel_count(reel); k++) {
        const rn_moment *a = rn_reel_moment(reel, k), *b = rn_reel_moment(reel, k + 1);
        if (a->tilt == b->tilt)
            continue;
        rn_still *nearer_a = at(reel, a->time + 0.4 * (b->time - a->time));
        rn_still *nearer_b = at(reel, a->time + 0.6 * (b->time - a->time));
        check_within(nearer_a->moment.tilt, a->tilt, 0);
        check_within(nearer_b->moment.tilt, b->tilt, 0);
        check_within(nearer_b->moment.downhill, b->downhill, 0);
        rn_still_free(nearer_a);
        rn_still_free(nearer_b);
        seen++;
    }
    assert_true(seen > 0);
    lived_free(life);
}

static void outside_it_is_the_nearest(void **state)
{
    (void)state;
    lived *life = lived_new(text, 64, NAN);
    const rn_reel *reel = rn_session_reel(life->session);
    const size_t size = (size_t)life->still->grid.nx * (size_t)life->still->grid.ny * sizeof(double);
    rn_still *early = at(reel, -3), *first = at(reel, 0), *late = at(reel, 1000);
    check_within(early->moment.time, 0, 0);
    assert_memory_equal(early->depth, first->depth, size);
    for (long n = 0; n < (long)(size / sizeof(double)); n++)
        check_close(first->depth[n], 0.3e-3, 1.0 / 65535); /* the base coat */
    check_same(late, life->still);
    rn_still_free(early);
    rn_still_free(first);
    rn_still_free(late);
    lived_free(life);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kept_films_are_the_films),  cmocka_unit_test(the_reel_has_the_records_moments),
        cmocka_unit_test(between_two_it_is_linear),  cmocka_unit_test(bearings_are_those_of_the_nearer),
        cmocka_unit_test(outside_it_is_the_nearest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
