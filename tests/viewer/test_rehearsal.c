/* A pour rehearsed by hand: what is written is what was held, nothing before it changes, and what is poured from the written
   plan is what was seen, to the last bit. */
#include "base/physical.h"
#include "check.h"

#include <ctype.h>
#include <string.h>

#include "base/random.h"
#include "document.h"
#include "rehearsal.h"
#include "run/session.h"

static const char pour[] =
    "plan: 1\n"
    "panel: {size: 16 cm x 12 cm, edges: clean}\n"
    "paints: {slate: {viscosity: 0.6 Pa s}, foam: {viscosity: 0.6 Pa s}}\n"
    "base: [{paint: foam, depth: 0.3 mm}]\n"
    "pours:\n"
    "  - {across: 40 mm, width: 8 mm, lifts: 2, every: 3 s, open: 1 s, stack: [slate 12 ml, foam 9 ml]}\n"
    "  - {from: cup, at: 30 mm left, across: 24 mm, start: 8 s, open: 1 s, stack: [slate 6 ml]}\n";

static const char moves[] = "moves:\n"
                            "  - {start: 2.3 s, for: 9.4 s, tilt: 5 deg, toward: right, ramp: 0.7 s}\n"
                            "  - {start: 3.1 s, for: 8 s, turn: 12 rpm, ramp: 1 s}\n"
                            "  - {start: 13 s, for: 2 s, spin: 40 rpm, ramp: 0.5 s}\n"
                            "  - {start: 15.5 s, for: 2 s, tilt: 3 deg, toward: left}\n";

static rn_plan *read_text(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    return plan;
}

static rn_plan *plan_with(const char *more, const char *end)
{
    char text[4096];
    snprintf(text, sizeof text, "%s%s%s", pour, more, end);
    return read_text(text);
}

static rn_plan *written_and_read(const rn_plan *plan)
{
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&text, plan, &err), &err);
    rn_plan *again = read_text(text);
    free(text);
    return again;
}

static int count_of(const rn_plan *plan, rn_move_kind kind)
{
    int count = 0;
    for (int k = 0; k < plan->move_count; k++)
        count += plan->moves[k].kind == kind;
    return count;
}

static const rn_move *nth(const rn_plan *plan, rn_move_kind kind, int n)
{
    for (int k = 0; k < plan->move_count; k++)
        if (plan->moves[k].kind == kind && n-- == 0)
            return &plan->moves[k];
    fail_msg("there is no such move");
    return NULL;
}

static void pours(const rn_plan *plan)
{
    rn_error err = {0};
    check_ok(rn_plan_check(plan, &err), &err);
}

/* ---- what is written ---- */

static void hands_are_written_as_held(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    assert_true(r.on);
    for (int k = 0; k < 20; k++) {
        const double time = k * REHEARSAL_BEAT;
        r.hands.tilt = (k < 4 ? 0 : k < 12 ? 4.4 : 2) * RN_DEGREE; /* rounded to 4.5 */
        r.hands.toward = 91.4 * RN_DEGREE;
        r.hands.turn = k < 6 ? 0 : -5.1 * RN_RPM;
        assert_int_equal(rehearsal_beat(&r, plan, time), k == 4 || k == 6 || k == 12);
        pours(plan);
    }
    rehearsal_end(&r, plan, 10);
    assert_false(r.on);
    pours(plan);
    assert_int_equal(plan->move_count, 3);
    const rn_move *first = nth(plan, RN_MOVE_TILT, 0), *second = nth(plan, RN_MOVE_TILT, 1);
    const rn_move *turn = nth(plan, RN_MOVE_TURN, 0);
    check_within(first->start, 2, 0);
    check_within(first->duration, 4, 0);
    check_within(first->amount, 4.5 * RN_DEGREE, 1e-15);
    check_within(first->toward, 90 * RN_DEGREE, 1e-15);
    check_within(first->ramp, 0, 0);
    check_within(second->start, 6, 0);
    check_within(second->duration, 4, 0);
    check_within(turn->start, 3, 0);
    check_within(turn->duration, 7, 0);
    check_within(turn->amount, -5 * RN_RPM, 1e-15);
    rn_plan_free(plan);
}

/* A hand on the ring takes the table along: never further behind it than it turns from look to look, and a steady hand
   writes few moves. */
static void the_table_follows_a_hand_on_the_ring(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    r.hands.grips = true;
    const double rate = -9.3 * RN_RPM;
    for (int k = 0; k < 40; k++) { /* turned for 10 s, held for 10 s */
        const double time = k * REHEARSAL_BEAT;
        r.hands.turned = rate * fmin(time, 10);
        rehearsal_beat(&r, plan, time);
        pours(plan);
        const double turned = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, time).turned;
        check_at_most(fabs(turned - r.hands.turned), fabs(rate) * REHEARSAL_BEAT + 4.5 * RN_DEGREE);
    }
    rehearsal_end(&r, plan, 20);
    pours(plan);
    const rn_pose end = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, 20);
    check_within(end.turned, 10 * rate, 4.5 * RN_DEGREE);
    check_within(end.rate, 0, 0);
    assert_in_range(count_of(plan, RN_MOVE_TURN), 1, 8);
    rn_plan_free(plan);
}

/* However slow the hand, the table does not stop and start again behind it. */
static void a_slow_hand_writes_few_moves(void **state)
{
    (void)state;
    static const double rates[] = {0.6, 1, 1.3, 2.1, 3.4}; /* rpm */
    for (size_t n = 0; n < sizeof rates / sizeof *rates; n++) {
        rn_plan *plan = plan_with("", "");
        rv_rehearsal r;
        rehearsal_begin(&r, plan, 0);
        r.hands.grips = true;
        const double rate = rates[n] * RN_RPM;
        for (int k = 0; k <= 40; k++) {
            r.hands.turned = rate * k * REHEARSAL_BEAT;
            rehearsal_beat(&r, plan, k * REHEARSAL_BEAT);
        }
        rehearsal_end(&r, plan, 20);
        pours(plan);
        const int count = count_of(plan, RN_MOVE_TURN);
        assert_in_range(count, 1, 5);
        for (int k = 1; k < count; k++) {
            const rn_move *before = nth(plan, RN_MOVE_TURN, k - 1), *after = nth(plan, RN_MOVE_TURN, k);
            check_within(before->start + before->duration, after->start, 1e-9);
            assert_true(after->amount > 0);
        }
        check_within(rn_motion_pose(plan->moves, plan->move_count, &plan->panel, 20).turned, 20 * rate,
                     rate * REHEARSAL_BEAT + 4.5 * RN_DEGREE); /* one look behind, and the grip */
        rn_plan_free(plan);
    }
}

/* What a spin does to the table is not undone by the hand that waits. */
static void the_ring_slips_through_the_hand_in_a_spin(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("moves: [{start: 2 s, for: 3 s, spin: 60 rpm}]\n", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    r.hands.grips = true;
    for (int k = 0; k < 20; k++)
        rehearsal_beat(&r, plan, k * REHEARSAL_BEAT);
    rehearsal_end(&r, plan, 10);
    assert_int_equal(plan->move_count, 1);
    rn_plan_free(plan);
}

/* Each number of the moves has at most one decimal. */
static void a_person_can_read_it(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "");
    rv_rehearsal r;
    rn_random random = rn_random_seeded(3);
    rehearsal_begin(&r, plan, 0.5);
    for (int k = 1; k < 60; k++) {
        r.hands.tilt = 0.2 * rn_random_unit(&random);
        r.hands.toward = 20 * rn_random_unit(&random) - 10;
        r.hands.turn = 2 * rn_random_unit(&random) - 1;
        rehearsal_beat(&r, plan, k * REHEARSAL_BEAT);
    }
    rehearsal_end(&r, plan, 30);
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&text, plan, &err), &err);
    const char *c = strstr(text, "moves:");
    assert_non_null(c);
    for (; (c = strchr(c, '.')); c++)
        assert_false(isdigit((unsigned char)c[1]) && isdigit((unsigned char)c[2]));
    free(text);
    rn_plan_free(plan);
}

static void a_tap_between_two_looks_is_lost(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    assert_false(rehearsal_beat(&r, plan, 0));
    r.hands.tilt = 5 * RN_DEGREE;
    r.hands.tilt = 0;
    assert_false(rehearsal_beat(&r, plan, 0.5));
    rehearsal_end(&r, plan, 1);
    assert_int_equal(plan->move_count, 0);
    rn_plan_free(plan);
}

static void a_plan_holds_only_so_many_moves(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    int beats = 0;
    for (; !r.full && beats < 500; beats++) {
        r.hands.tilt = (beats % 2 ? 2 : 4) * RN_DEGREE;
        if (plan->end < beats + 10)
            plan->end = beats + 10;
        rehearsal_beat(&r, plan, beats * REHEARSAL_BEAT);
    }
    assert_true(r.full);
    assert_int_equal(beats, RN_MOVES_MOST + 1);
    rehearsal_end(&r, plan, beats * REHEARSAL_BEAT);
    assert_int_equal(plan->move_count, RN_MOVES_MOST);
    pours(plan);
    rn_plan_free(plan);
}

/* A spin has the table: a hand that turns it waits and then goes on. */
static void a_hand_waits_for_a_spin(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("moves: [{start: 5.2 s, for: 3 s, spin: 60 rpm}]\n", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    for (int k = 0; k < 30; k++) {
        r.hands.turn = k >= 4 ? 6 * RN_RPM : 0;
        rehearsal_beat(&r, plan, k * REHEARSAL_BEAT);
        pours(plan);
    }
    rehearsal_end(&r, plan, 15);
    pours(plan);
    assert_int_equal(count_of(plan, RN_MOVE_SPIN), 1);
    assert_int_equal(count_of(plan, RN_MOVE_TURN), 2);
    check_within(nth(plan, RN_MOVE_TURN, 0)->start, 2, 0);
    check_within(nth(plan, RN_MOVE_TURN, 0)->duration, 3.2, 1e-12);
    check_within(nth(plan, RN_MOVE_TURN, 1)->start, 8.5, 0);
    check_within(nth(plan, RN_MOVE_TURN, 1)->duration, 6.5, 0);
    rn_plan_free(plan);
}

/* What the plan's hands do at that time eases off from there on; what they did before stays. */
static void what_was_held_eases_off(void **state)
{
    (void)state;
    for (double time = 0; time < 20; time += REHEARSAL_BEAT) {
        rn_plan *plan = plan_with(moves, ""), *before = rn_plan_copy(plan);
        rv_rehearsal r;
        rehearsal_begin(&r, plan, time);
        pours(plan);
        check_at_least(rn_plan_agree_until(before, plan), time - 1e-9);
        for (int k = 0; k < plan->move_count; k++) {
            const rn_move *m = &plan->moves[k];
            if (m->kind == RN_MOVE_SPIN)
                continue;
            assert_true(m->start < time);
            assert_true(m->start + m->duration <= fmax(time, m->start + m->ramp) + m->ramp + 0.011);
        }
        assert_int_equal(count_of(plan, RN_MOVE_SPIN), 1);
        rn_plan_free(plan);
        rn_plan_free(before);
    }
}

static void nothing_held_leaves_nothing(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "end: 40 s\n");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 3);
    for (int k = 6; k < 20; k++)
        assert_false(rehearsal_beat(&r, plan, k * REHEARSAL_BEAT));
    rehearsal_end(&r, plan, 10);
    assert_int_equal(plan->move_count, 0);
    check_within(plan->end, 40, 0);
    rn_plan_free(plan);
}

/* ---- what the panel does then ---- */

static double apart(double a, double b)
{
    return fabs(remainder(a - b, 2 * RN_PI));
}

/* The pose between two looks is what the hands held, on the panel or in the room. Checked against gravity as matter/motion
   gives it: downhill is its bearing on the panel, turned how far the panel has come round. */
static void the_panel_does_what_hands_hold(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "end: 100 s\n");
    rv_rehearsal r;
    rn_random random = rn_random_seeded(11);
    rv_hands held[120];
    rehearsal_begin(&r, plan, 0);
    for (int k = 0; k < 120; k++) {
        if (rn_random_unit(&random) < 0.3) {
            r.hands.tilt = rn_random_unit(&random) < 0.2 ? 0 : 0.1 * rn_random_unit(&random);
            r.hands.toward = 7 * rn_random_unit(&random);
            r.hands.room = rn_random_unit(&random) < 0.5;
        }
        if (rn_random_unit(&random) < 0.2)
            r.hands.turn = rn_random_unit(&random) < 0.3 ? 0 : 2 * rn_random_unit(&random) - 1;
        rn_plan *before = rn_plan_copy(plan);
        const bool changed = rehearsal_beat(&r, plan, k * REHEARSAL_BEAT);
        const double until = rn_plan_agree_until(before, plan);
        assert_true(changed ? until >= k * REHEARSAL_BEAT - 1e-9 : isinf(until));
        rn_plan_free(before);
        pours(plan);
        held[k] = r.held;
    }
    rehearsal_end(&r, plan, 60);
    pours(plan);
    assert_false(r.full);
    int rooms = 0;
    for (int k = 0; k < plan->move_count; k++)
        rooms += plan->moves[k].room_frame;
    assert_true(rooms > 0);
    for (int k = 0; k < 120; k++) {
        const rn_pose pose = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, (k + 0.4) * REHEARSAL_BEAT);
        check_within(pose.tilt, held[k].tilt, 1e-9);
        check_within(pose.rate, held[k].turn, 1e-12);
        if (held[k].tilt > 0)
            check_at_most(apart(held[k].room ? pose.downhill + pose.turned : pose.downhill, held[k].toward), 1e-9);
    }
    const rn_pose after = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, 60.1);
    check_within(after.tilt, 0, 1e-12);
    check_within(after.rate, 0, 1e-12);
    rn_plan_free(plan);
}

/* A slope held in the room goes on being held there when a turn begins under it. */
static void a_slope_stays_in_the_room_when_a_turn_begins(void **state)
{
    (void)state;
    rn_plan *plan = plan_with("", "");
    rv_rehearsal r;
    rehearsal_begin(&r, plan, 0);
    r.hands = (rv_hands){.tilt = 4 * RN_DEGREE, .toward = 0, .room = true};
    rehearsal_beat(&r, plan, 0);
    assert_false(nth(plan, RN_MOVE_TILT, 0)->room_frame); /* where nothing turns a plain tilt will do */
    r.hands.turn = 10 * RN_RPM;
    assert_true(rehearsal_beat(&r, plan, 0.5));
    assert_true(nth(plan, RN_MOVE_TILT, 1)->room_frame);
    rehearsal_end(&r, plan, 4);
    const rn_pose pose = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, 2);
    check_within(pose.turned, 1.5 * 10 * RN_RPM, 1e-12);
    check_at_most(apart(pose.downhill, -pose.turned), 1e-9);
    rn_plan_free(plan);
}

/* ---- to the last bit ---- */

static rn_session *new_session(const rn_plan *plan)
{
    rn_session *session = NULL;
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = 64;
    options.threads = 1;
    options.history = true;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    return session;
}

/* No further than the next look at the hands; and never left waiting for more than the horizon. */
static void step_up_to(rn_session *session, double beat)
{
    rn_error err = {0};
    while (!rn_session_done(session) && rn_session_reach(session) <= beat)
        check_ok(rn_session_step(session, &err), &err);
    check_at_least(rn_session_time(session), fmin(beat, rn_session_end(session)) - REHEARSAL_HORIZON - 1e-9);
}

static double *depths(const rn_session *session, long *count)
{
    const rn_grid *grid = rn_session_grid(session);
    *count = (long)grid->nx * grid->ny;
    double *depth = malloc((size_t)*count * sizeof *depth);
    assert_non_null(depth);
    rn_session_depth(depth, session);
    return depth;
}

/* A session that has not begun looks at time 0 already, so that it is begun anew where the plan changes there. */
static void replan(rn_session **session, rv_document *doc, rn_plan *draft, bool join)
{
    rn_error err = {0};
    check_ok(document_commit(doc, draft, "by hand", join, &err), &err);
    if (rn_session_time(*session) > 0) {
        check_ok(rn_session_replan(*session, document_plan(doc), &err), &err);
        return;
    }
    rn_session_free(*session);
    *session = new_session(document_plan(doc));
}

/* Rehearses from `began` on; all the while the film is carried on with the plan as it is being written. Then the plan goes
   through a file, and a fresh pour of it must end the same. */
static void rehearse_and_pour_again(rn_plan *plan, double began, uint64_t seed)
{
    rv_document *doc = document_new();
    rv_rehearsal r;
    rn_error err = {0};
    rn_random random = rn_random_seeded(seed);
    document_put(doc, plan, "", true);
    rn_session *session = new_session(document_plan(doc));
    step_up_to(session, began);
    rn_plan *draft = document_draft(doc);
    rehearsal_begin(&r, draft, began);
    replan(&session, doc, draft, false);
    int changes = 0;
    double beat = began;
    for (; beat < began + 12; beat += REHEARSAL_BEAT) {
        if (rn_random_unit(&random) < 0.4) {
            r.hands.tilt = rn_random_unit(&random) < 0.2 ? 0 : 0.15 * rn_random_unit(&random);
            r.hands.toward = 7 * rn_random_unit(&random);
            r.hands.room = rn_random_unit(&random) < 0.5;
        }
        if (rn_random_unit(&random) < 0.2)
            r.hands.turn = 2 * rn_random_unit(&random) - 1;
        step_up_to(session, beat);
        draft = document_draft(doc);
        if (rehearsal_beat(&r, draft, beat)) {
            replan(&session, doc, draft, true);
            changes++;
        } else {
            rn_plan_free(draft);
        }
    }
    step_up_to(session, beat);
    draft = document_draft(doc);
    rehearsal_end(&r, draft, beat);
    replan(&session, doc, draft, true);
    assert_true(changes > 5);
    assert_int_equal(document_undo_depth(doc), 1);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);

    rn_plan *again = written_and_read(document_plan(doc));
    rn_session *fresh = new_session(again);
    check_ok(rn_session_run(fresh, NULL, NULL, &err), &err);
    long count, fresh_count;
    double *seen = depths(session, &count), *poured = depths(fresh, &fresh_count);
    assert_int_equal(count, fresh_count);
    assert_memory_equal(seen, poured, (size_t)count * sizeof(double));
    assert_true(rn_session_time(session) == rn_session_time(fresh));
    assert_true(rn_session_reel(session) && rn_session_history(session));
    free(seen);
    free(poured);
    rn_session_free(session);
    rn_session_free(fresh);
    rn_plan_free(again);
    document_free(doc);
}

static void what_was_seen_is_poured_again(void **state)
{
    (void)state;
    rehearse_and_pour_again(plan_with("", "end: 20 s\n"), 0, 5);
}

static void from_the_middle_of_a_plan(void **state)
{
    (void)state;
    rehearse_and_pour_again(plan_with(moves, "end: 24 s\n"), 4, 6); /* while both moves hold */
}

static void from_a_rising_ramp(void **state)
{
    (void)state;
    rehearse_and_pour_again(plan_with(moves, "end: 24 s\n"), 3.5, 7);
}

static void paints_that_flow_apart(void **state)
{
    (void)state;
    rn_plan *plan = plan_with(moves, "end: 18 s\n");
    plan->paints[1].law.consistency = 2;
    rehearse_and_pour_again(plan, 2, 8);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hands_are_written_as_held),
        cmocka_unit_test(the_table_follows_a_hand_on_the_ring),
        cmocka_unit_test(a_slow_hand_writes_few_moves),
        cmocka_unit_test(the_ring_slips_through_the_hand_in_a_spin),
        cmocka_unit_test(a_person_can_read_it),
        cmocka_unit_test(a_tap_between_two_looks_is_lost),
        cmocka_unit_test(a_plan_holds_only_so_many_moves),
        cmocka_unit_test(a_hand_waits_for_a_spin),
        cmocka_unit_test(what_was_held_eases_off),
        cmocka_unit_test(nothing_held_leaves_nothing),
        cmocka_unit_test(the_panel_does_what_hands_hold),
        cmocka_unit_test(a_slope_stays_in_the_room_when_a_turn_begins),
        cmocka_unit_test(what_was_seen_is_poured_again),
        cmocka_unit_test(from_the_middle_of_a_plan),
        cmocka_unit_test(from_a_rising_ramp),
        cmocka_unit_test(paints_that_flow_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
