/* Sessions that go back to a mark and on with another plan, against sessions of that plan from its start: the same bits. */
#include "check.h"

#include <string.h>

#include "base/random.h"
#include "lived.h"
#include "twin.h"

#define CELLS 64

#define POURS                                                                                                          \
    "pours:\n"                                                                                                         \
    "  - {across: 50 mm, width: 8 mm, start: 0.5 s, lifts: 2, every: 2 s, open: 1.5 s, stack: [slate 31 ml]}\n"        \
    "  - {from: cup, at: 30 mm left 0 mm back, across: 30 mm, start: 5 s, open: 2 s, stack: [foam 15 ml]}\n"
#define MOVES                                                                                                          \
    "moves:\n"                                                                                                         \
    "  - {start: 2 s, for: 3 s, tilt: 12 deg, toward: right, ramp: 1 s}\n"                                             \
    "  - {start: 4 s, for: 3 s, turn: 12 rpm, ramp: 1 s}\n"                                                            \
    "  - {start: 7 s, for: 2.5 s, tilt: 12 deg, toward: back, ramp: 0 s}\n"                                            \
    "  - {start: 7.5 s, for: 2 s, spin: 60 rpm, ramp: 0.5 s}\n"                                                        \
    "end: 10 s\n"
#define ONE "paints: {slate: {viscosity: 0.6 Pa s}, foam: {viscosity: 0.6 Pa s}}\n"

static const struct {
    const char *name, *text;
} plans[] = {
    {"a rectangle", "plan: 1\npanel: {size: 20 cm x 16 cm, slope: 0.5 deg, downhill: front}\n" ONE
                    "base: [{paint: foam, volume: 4 ml, at: corners, across: 30 mm}]\n" POURS MOVES},
    {"a round panel with wrapped sides", "plan: 1\npanel: {across: 18 cm, edges: wrapped, side: 9 mm}\n" ONE
                                         "base: [{paint: foam, depth: 0.3 mm}]\n" POURS MOVES},
    {"layers that differ", "plan: 1\npanel: {size: 20 cm x 16 cm}\n"
                           "paints: {slate: {viscosity: 0.4 Pa s}, foam: {viscosity: 1.6 Pa s}}\n"
                           "base: [{paint: foam, depth: 0.3 mm}]\n" POURS MOVES},
    {"layers with a yield stress on a round panel",
     "plan: 1\npanel: {across: 18 cm, edges: open}\n"
     "paints: {slate: {viscosity: 0.4 Pa s}, foam: {viscosity: 0.8 Pa s, yield: 0.3 Pa}}\n" POURS MOVES},
    {"paint with a yield stress",
     "plan: 1\npanel: {size: 16 cm x 20 cm, edges: walls}\n"
     "paints: {slate: {viscosity: 0.5 Pa s^n, power: 0.8, yield: 0.4 Pa}, foam: {viscosity: 0.5 Pa s^n, power: 0.8, "
     "yield: 0.4 Pa}}\n" POURS MOVES},
    {"instant bursts", "plan: 1\npanel: {size: 20 cm x 16 cm}\n" ONE "pours:\n"
                       "  - {across: 50 mm, start: 0 s, lifts: 3, every: 2 s, open: 0 s, stack: [slate 21 ml]}\n"
                       "  - {from: cup, across: 30 mm, start: 5 s, open: 0 s, stack: [foam 15 ml]}\n" MOVES},
};
#define PLANS (int)(sizeof plans / sizeof *plans)

/* With history or without, so that each test meets both, and layers in both. */
static bool with_history(int plan)
{
    return plan == 0 || plan > 2;
}

static void step(rn_session *session)
{
    rn_error err = {0};
    check_ok(rn_session_step(session, &err), &err);
}

static void run_until(rn_session *session, double time)
{
    while (!rn_session_done(session) && rn_session_time(session) < time)
        step(session);
}

static rn_bookmark *mark_of(const rn_session *session)
{
    rn_bookmark *mark = NULL;
    rn_error err = {0};
    check_ok(rn_session_mark(&mark, session, &err), &err);
    check_within(rn_bookmark_time(mark), rn_session_time(session), 0);
    check_within(rn_bookmark_bound(mark), rn_session_bound(session), 0);
    return mark;
}

static void rewind_to(rn_session *session, const rn_bookmark *mark)
{
    rn_error err = {0};
    check_ok(rn_session_rewind(session, mark, &err), &err);
    check_within(rn_session_time(session), rn_bookmark_time(mark), 0);
}

static void replan(rn_session *session, const rn_plan *plan)
{
    rn_error err = {0};
    check_ok(rn_session_replan(session, plan, &err), &err);
}

/* The later half of the second tilt goes the other way, the cup holds more, and a spin is left out. */
static rn_plan *changed(const rn_plan *plan)
{
    rn_plan *made = rn_plan_copy(plan);
    assert_non_null(made);
    made->moves[2].start = 7.8;
    made->moves[2].duration = 2;
    made->moves[2].toward = 4;
    made->move_count = 3;
    made->pours[1].start = 6.5;
    return made;
}

/* Marks at odd times, within intervals and between; on to the end; back to each from the last to the first. */
static void back_and_on_is_as_if_never_left(void **state)
{
    (void)state;
    static const double times[] = {0, 0.7, 2.9, 4.4};
    enum { MARKS = 4 };
    for (int p = 0; p < PLANS; p++) {
        const bool history = with_history(p);
        rn_plan *plan = lived_plan(plans[p].text);
        rn_session *session = twin_new(plan, CELLS, 1, history), *straight = twin_new(plan, CELLS, 2, history);
        rn_bookmark *marks[MARKS];
        for (int m = 0; m < MARKS; m++) {
            run_until(session, times[m]);
            marks[m] = mark_of(session);
        }
        run_until(session, INFINITY);
        run_until(straight, INFINITY);
        check_twins(session, straight, true);
        for (int m = MARKS - 1; m >= 0; m--) {
            rewind_to(session, marks[m]);
            run_until(session, m == 2 ? INFINITY : 7); /* some it leaves on the way */
            if (m == 2)
                check_twins(session, straight, true);
        }
        rewind_to(session, marks[0]);
        run_until(session, INFINITY);
        check_twins(session, straight, true);
        printf("%s, %s: mark of %.0f kB, session of %.0f kB\n", plans[p].name, history ? "history" : "plain",
               1e-3 * (double)rn_bookmark_bytes(marks[2]), 1e-3 * (double)rn_session_bytes(session));
        for (int m = 0; m < MARKS; m++)
            rn_bookmark_free(marks[m]);
        rn_session_free(session);
        rn_session_free(straight);
        rn_plan_free(plan);
    }
}

static void another_plan_is_as_if_it_had_always_been(void **state)
{
    (void)state;
    for (int p = 0; p < PLANS; p++) {
        const bool history = !with_history(p);
        rn_plan *plan = lived_plan(plans[p].text), *other = changed(plan);
        const double until = rn_plan_agree_until(plan, other);
        check_within(until, 5, 0); /* the cup */
        rn_session *session = twin_new(plan, CELLS, 1, history), *fresh = twin_new(other, CELLS, 1, history);
        run_until(session, 3.3);
        rn_bookmark *mark = mark_of(session);
        run_until(session, INFINITY);
        rewind_to(session, mark);
        replan(session, other);
        run_until(session, INFINITY);
        run_until(fresh, INFINITY);
        check_twins(session, fresh, true);
        rn_bookmark_free(mark);
        rn_session_free(session);
        rn_session_free(fresh);
        rn_plan_free(plan);
        rn_plan_free(other);
    }
}

static void plans_that_do_not_agree_so_far_are_refused(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(plans[0].text), *other = changed(plan);
    rn_session *session = twin_new(plan, CELLS, 1, true), *straight = twin_new(plan, CELLS, 1, true);
    rn_error err = {0};
    run_until(session, 4.9);
    check_at_least(rn_session_bound(session), rn_session_time(session));
    check_at_most(rn_session_bound(session), rn_session_time(session) + 2 * RN_HISTORY_INTERVAL + 1e-6);
    while (rn_session_bound(session) <= 5)
        step(session);
    check_status(rn_session_replan(session, other, &err), RN_E_USAGE, &err);
    run_until(session, INFINITY);
    run_until(straight, INFINITY);
    check_twins(session, straight, true);
    rn_session_free(session);
    rn_session_free(straight);
    rn_plan_free(plan);
    rn_plan_free(other);
}

static void marks_on_a_way_that_was_left_are_refused(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(plans[0].text);
    rn_session *session = twin_new(plan, CELLS, 2, true), *other = twin_new(plan, CELLS, 2, true);
    rn_bookmark *marks[4];
    rn_error err = {0};
    for (int m = 0; m < 4; m++) {
        run_until(session, 1 + m);
        marks[m] = mark_of(session);
    }
    rewind_to(session, marks[2]);
    check_status(rn_session_rewind(session, marks[3], &err), RN_E_USAGE, &err);
    rewind_to(session, marks[2]);
    rewind_to(session, marks[1]);
    run_until(session, 3);
    rn_bookmark *later = mark_of(session);
    run_until(session, 6);
    for (int m = 2; m < 4; m++) {
        err = (rn_error){0};
        check_status(rn_session_rewind(session, marks[m], &err), RN_E_USAGE, &err);
    }
    rewind_to(session, later);
    rewind_to(session, marks[0]);
    err = (rn_error){0};
    check_status(rn_session_rewind(session, marks[1], &err), RN_E_USAGE, &err);
    err = (rn_error){0};
    check_status(rn_session_rewind(other, marks[0], &err), RN_E_USAGE, &err);
    for (int m = 0; m < 4; m++)
        rn_bookmark_free(marks[m]);
    rn_session_free(session);
    rn_session_free(other);
    rn_bookmark_free(later); /* marks outlive their session */
    rn_plan_free(plan);
}

/* A plan whose hands decide late: every half second another tilt from there on, until the end. */
static void decide(rn_plan *plan, double time, int number)
{
    rn_move *last = &plan->moves[plan->move_count - 1];
    last->duration = time - last->start;
    plan->moves[plan->move_count++] = (rn_move){.kind = RN_MOVE_TILT,
                                                .start = time,
                                                .duration = plan->end - time,
                                                .amount = 0.05 + 0.02 * (number % 3),
                                                .toward = number};
}

static void what_is_held_back_can_still_be_decided(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(plans[0].text);
    plan->move_count = 1;
    decide(plan, 5.5, 0);
    rn_session *session = twin_new(plan, CELLS, 2, true);
    for (int number = 1; number < 8; number++) {
        const double horizon = 5.5 + 0.5 * number;
        while (rn_session_reach(session) <= horizon)
            step(session);
        check_at_least(rn_session_time(session), horizon - 2 * RN_HISTORY_INTERVAL - 1e-6);
        check_at_most(rn_session_bound(session), horizon);
        decide(plan, horizon, number);
        replan(session, plan);
    }
    run_until(session, INFINITY);
    rn_session *fresh = twin_new(plan, CELLS, 1, true);
    run_until(fresh, INFINITY);
    check_twins(session, fresh, true);
    rn_session_free(session);
    rn_session_free(fresh);
    rn_plan_free(plan);
}

/* Another end keeps the film; only the moments lie otherwise. */
static void a_later_end_goes_on(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan(plans[0].text), *longer = rn_plan_copy(plan);
    longer->end = 12;
    rn_session *session = twin_new(plan, CELLS, 1, true), *fresh = twin_new(longer, CELLS, 1, true);
    run_until(session, 9);
    rn_bookmark *mark = mark_of(session);
    run_until(session, INFINITY);
    rewind_to(session, mark);
    replan(session, longer);
    check_within(rn_session_end(session), 12, 0);
    run_until(session, INFINITY);
    run_until(fresh, INFINITY);
    check_twins(session, fresh, false);
    rn_bookmark_free(mark);
    rn_session_free(session);
    rn_session_free(fresh);
    rn_plan_free(plan);
    rn_plan_free(longer);
}

static int below(rn_random *random, int count)
{
    return (int)(rn_random_bits(random) % (uint64_t)count);
}

static double tenths(rn_random *random, double from, double to)
{
    return from + 0.1 * below(random, (int)(10 * (to - from)));
}

/* One edit as a person might make it; the plan may come out as one that the check would turn down. */
static void edit(rn_plan *plan, rn_random *random)
{
    rn_move *move = &plan->moves[below(random, plan->move_count)];
    rn_pour *pour = &plan->pours[below(random, plan->pour_count)];
    switch (below(random, 12)) {
    case 0: move->amount *= 1.1; break;
    case 1: move->duration = fmax(2 * move->ramp, tenths(random, 1, 3)); break;
    case 2: move->start = tenths(random, 0, 9); break;
    case 3: move->toward += 1; break;
    case 4: pour->start = tenths(random, 0, 8); break;
    case 5: pour->stack[0].volume *= 1.25; break;
    case 6: pour->lifts = 1 + below(random, 3); break;
    case 7: plan->end = tenths(random, 10, 12); break;
    case 8: plan->move_count -= plan->move_count > 1; break;
    case 9: plan->pour_count -= plan->pour_count > 1; break;
    case 10: plan->cover *= 1.1; break;
    default:
        if (plan->panel.slope == 0)
            plan->panel.downhill += 1;
        plan->paints[0].colour[0] ^= 1;
        plan->limits.stretch += 1;
    }
}

static rn_plan *edited(const rn_plan *plan, rn_random *random)
{
    rn_error err;
    for (;;) {
        rn_plan *made = rn_plan_copy(plan);
        assert_non_null(made);
        edit(made, random);
        if (rn_plan_check(made, &err) == RN_OK)
            return made;
        rn_plan_free(made);
    }
}

/* Both sessions step alike while their steps do not look past that time. */
static void plans_run_alike_until_they_differ(void **state)
{
    (void)state;
    rn_random random = rn_random_seeded(20);
    const int rounds = getenv("RUNNEL_TEST_GRID") ? 6 : 20;
    int at_once = 0, never = 0;
    for (int round = 0; round < rounds; round++) {
        rn_plan *plan = lived_plan(plans[round % PLANS].text), *other = edited(plan, &random);
        const bool history = round % 4 > 0;
        const double until = rn_plan_agree_until(plan, other), ends = fmin(until, 7);
        at_once += until == 0;
        never += isinf(until);
        rn_session *a = twin_new(plan, CELLS, 1, history), *b = twin_new(other, CELLS, 1, history);
        while (!rn_session_done(a) && rn_session_time(a) < ends && rn_session_reach(a) <= until) {
            const double reach[2] = {rn_session_reach(a), rn_session_reach(b)};
            if (reach[0] <= ends)
                check_within(reach[1], reach[0], 0);
            step(a);
            step(b);
        }
        if (until > 0)
            check_twins(a, b, plan->end == other->end);
        rn_session_free(a);
        rn_session_free(b);
        rn_plan_free(plan);
        rn_plan_free(other);
    }
    printf("of %d edits %d count at once, %d never\n", rounds, at_once, never);
    assert_in_range(at_once, 1, rounds / 3);
    assert_in_range(never, 1, rounds / 3);
}

/* A session led hither and thither: on, marked, back, on with other plans. */
static void whatever_way_it_took(void **state)
{
    (void)state;
    enum { MARKS = 6 };
    rn_random random = rn_random_seeded(7);
    const int rounds = getenv("RUNNEL_TEST_GRID") ? 3 : 6;
    int replans = 0, rewinds = 0;
    for (int round = 0; round < rounds; round++) {
        rn_plan *plan = lived_plan(plans[round % PLANS].text);
        const bool history = round % 3 > 0;
        rn_session *session = twin_new(plan, CELLS, 1 + round % 2, history);
        rn_bookmark *marks[MARKS] = {mark_of(session)};
        for (int turn = 0; turn < 14; turn++) {
            rn_error err = {0};
            const int chosen = 1 + below(&random, MARKS - 1);
            rn_plan *other = edited(plan, &random);
            other->end = plan->end; /* moments then lie alike */
            run_until(session, rn_session_time(session) + 2 * rn_random_unit(&random));
            switch (below(&random, 3)) {
            case 0:
                rn_bookmark_free(marks[chosen]);
                marks[chosen] = mark_of(session);
                break;
            case 1:
                for (int m = chosen; m >= 0; m--) /* the first that still holds: that at 0 always does */
                    if (marks[m] && rn_session_rewind(session, marks[m], &err) == RN_OK)
                        break;
                rewinds++;
                break;
            default:
                if (rn_plan_check(other, &err) == RN_OK && rn_session_replan(session, other, &err) == RN_OK) {
                    rn_plan *before = plan;
                    plan = other;
                    other = before;
                    replans++;
                }
            }
            rn_plan_free(other);
        }
        run_until(session, INFINITY);
        rn_session *fresh = twin_new(plan, CELLS, 1, history);
        run_until(fresh, INFINITY);
        check_twins(session, fresh, true);
        for (int m = 0; m < MARKS; m++)
            rn_bookmark_free(marks[m]);
        rn_session_free(session);
        rn_session_free(fresh);
        rn_plan_free(plan);
    }
    printf("%d times back, %d other plans\n", rewinds, replans);
    assert_true(rewinds >= rounds && replans >= rounds);
}

/* At any moment of a pour. */
static void a_forecast_can_be_asked_for_on_the_way(void **state)
{
    (void)state;
    for (int p = 0; p < PLANS; p++) {
        rn_plan *plan = lived_plan(plans[p].text);
        rn_session *session = twin_new(plan, CELLS, 1, false);
        for (double time = 0; time < 10; time += 0.5) {
            rn_forecast f;
            rn_error err = {0};
            run_until(session, time);
            check_ok(rn_session_forecast(&f, session, &err), &err);
            assert_false(f.complete);
            const double known[] = {f.coverage,  f.best_coverage, f.base,     f.poured,          f.on_panel,
                                    f.on_sides,  f.run_off,       f.mean,     f.least.depth,     f.most.depth,
                                    f.wet_least, f.wet_most,      f.duration, f.still_moving,    f.balance_error,
                                    f.best_at,   f.least.x,       f.most.x,   f.corners[0].depth};
            for (size_t k = 0; k < sizeof known / sizeof *known; k++)
                assert_true(isfinite(known[k]));
            assert_int_equal(f.covered, !isnan(f.covered_at));
            check_close(f.base + f.poured, f.on_panel + f.run_off, 1e-12);
            for (int w = 0; w < f.warning_count; w++) /* which are about the end */
                assert_true(!strstr(f.warnings[w], "At the end") && !strstr(f.warnings[w], "The film stays"));
        }
        rn_session_free(session);
        rn_plan_free(plan);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(back_and_on_is_as_if_never_left),
        cmocka_unit_test(another_plan_is_as_if_it_had_always_been),
        cmocka_unit_test(plans_that_do_not_agree_so_far_are_refused),
        cmocka_unit_test(marks_on_a_way_that_was_left_are_refused),
        cmocka_unit_test(what_is_held_back_can_still_be_decided),
        cmocka_unit_test(a_later_end_goes_on),
        cmocka_unit_test(plans_run_alike_until_they_differ),
        cmocka_unit_test(whatever_way_it_took),
        cmocka_unit_test(a_forecast_can_be_asked_for_on_the_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
