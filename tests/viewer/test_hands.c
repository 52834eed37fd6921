/* Hands on the panel: the bubble and the ring, on the plan and in a rehearsal. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "at_bench.h"
#include "base/physical.h"
#include "check.h"
#include "edit.h"

/* ---- hands on the panel ---- */

/* The bubble stands uphill: dragged to the back it means that the panel falls to the front. */
static void holding_the_bubble_edits_the_tilt(void **state)
{
    at_bench *b = *state;
    b->view->time = 150;
    at_bench_look(b);
    const int moves = at_bench_plan(b)->move_count;
    const rv_layout *at = &b->view->layout;
    hand_take(&b->hand, PART_BUBBLE, 0, 0);
    hand_move(&b->hand, at->level_x, at->level_y - 0.5 * at->level_radius);
    hand_lift(&b->hand);
    assert_int_equal(at_bench_plan(b)->move_count, moves + 1);
    const rn_move *made = &at_bench_plan(b)->moves[moves];
    assert_int_equal(made->kind, RN_MOVE_TILT);
    check_close(made->amount, 4 * RN_PI / 180, 0.11 * RN_PI / 180);
    check_close(cos(made->toward - 1.5 * RN_PI), 1, 1e-3);
    assert_int_equal(document_undo_depth(b->view->doc), 1);
}

static void rehearsing_writes_moves(void **state)
{
    at_bench *b = *state;
    const rv_layout *at = &b->view->layout;
    b->view->time = 125; /* everything of the plan is over */
    hand_key(&b->hand, 'h', 0);
    assert_true(b->view->rehearsal.on);
    at_bench_look(b);
    hand_take(&b->hand, PART_BUBBLE, 0, 0);
    hand_move(&b->hand, at->level_x + 0.5 * at->level_radius, at->level_y);
    hand_wait(&b->hand, 6);
    hand_lift(&b->hand);
    hand_key(&b->hand, '0', 0);
    hand_wait(&b->hand, 3);
    hand_key(&b->hand, KEY_SPACE, 0);
    assert_false(b->view->rehearsal.on);
    const rn_move *made = &at_bench_plan(b)->moves[at_bench_plan(b)->move_count - 1];
    assert_int_equal(made->kind, RN_MOVE_TILT);
    check_close(made->amount, 4 * RN_PI / 180, 1e-9); /* rounded to half degrees */
    check_close(cos(made->toward), -1, 1e-9);
    assert_true(made->start >= 125 && made->duration > 4 && made->duration < 8);
    assert_int_equal(document_undo_depth(b->view->doc), 1); /* one rehearsal, one change */
    hand_key(&b->hand, 'z', MOD_CTRL);
    assert_false(document_changed(b->view->doc));
}

/* 0 levels the panel whatever has the focus, and stops a table that keys turn. */
static void nought_levels_whatever_has_the_focus(void **state)
{
    at_bench *b = *state;
    static const rv_part parts[] = {PART_KNOB, PART_BUBBLE, PART_JAR, PART_MOVE, PART_SHEET, PART_NONE};
    b->view->time = 125;
    hand_key(&b->hand, 'h', 0);
    for (size_t k = 0; k < sizeof parts / sizeof *parts; k++) {
        b->view->rehearsal.hands.tilt = 3 * RN_DEGREE;
        b->view->rehearsal.hands.turn = 4 * RN_RPM;
        b->view->focus = (rv_part_at){parts[k], 0, 0};
        hand_key(&b->hand, '0', 0);
        assert_true(b->view->rehearsal.on);
        check_within(b->view->rehearsal.hands.tilt, 0, 0);
        check_within(b->view->rehearsal.hands.turn, parts[k] == PART_KNOB ? 0 : 4 * RN_RPM, 0);
    }
}

/* The table comes to where the hand takes the ring, and stays there when it lets go. */
static void a_hand_on_the_ring_turns_the_table(void **state)
{
    at_bench *b = *state;
    const rv_layout *at = &b->view->layout;
    b->view->time = 125;
    const double before =
        rn_motion_pose(at_bench_plan(b)->moves, at_bench_plan(b)->move_count, &at_bench_plan(b)->panel, 125).turned;
    const int moves = at_bench_plan(b)->move_count;
    hand_key(&b->hand, 'h', 0);
    at_bench_look(b);
    rn_box knob;
    assert_true(hand_find(&knob, &b->hand, PART_KNOB, 0, 0));
    const double x = knob.x + 0.5 * knob.width - at->cx, y = knob.y + 0.5 * knob.height - at->cy;
    hand_take(&b->hand, PART_KNOB, 0, 0);
    for (int k = 1; k <= 30; k++) { /* a quarter turn to the left in three seconds */
        const double angle = -k * RN_PI / 60;
        hand_move(&b->hand, at->cx + x * cos(angle) - y * sin(angle), at->cy + x * sin(angle) + y * cos(angle));
        hand_wait(&b->hand, 0.1);
    }
    hand_wait(&b->hand, 1.5);
    hand_lift(&b->hand);
    hand_wait(&b->hand, 2);
    hand_key(&b->hand, KEY_SPACE, 0);
    assert_true(at_bench_plan(b)->move_count > moves);
    for (int k = moves; k < at_bench_plan(b)->move_count; k++)
        assert_int_equal(at_bench_plan(b)->moves[k].kind, RN_MOVE_TURN);
    const rn_pose pose =
        rn_motion_pose(at_bench_plan(b)->moves, at_bench_plan(b)->move_count, &at_bench_plan(b)->panel, 131);
    check_within(pose.turned - before, 0.5 * RN_PI, 5 * RN_DEGREE);
    check_within(pose.rate, 0, 0);
    assert_int_equal(document_undo_depth(b->view->doc), 1);
}

/* In the room the bubble stays where the hand holds it while the panel turns beneath. */
static void the_bubble_stays_where_the_hand_holds_it(void **state)
{
    at_bench *b = *state;
    const rv_layout *at = &b->view->layout;
    b->view->room = true;
    b->view->time = 20; /* the plan turns the panel */
    hand_key(&b->hand, 'h', 0);
    at_bench_look(b);
    hand_take(&b->hand, PART_BUBBLE, 0, 0);
    hand_move(&b->hand, at->level_x, at->level_y + 0.5 * at->level_radius);
    for (int k = 0; k < 5; k++) {
        hand_wait(&b->hand, 1);
        double tilt, downhill;
        view_slope(&tilt, &downhill, b->view);
        check_within(tilt, 0.5 * at->level_tilt, 1e-9);
        check_within(remainder(downhill - 0.5 * RN_PI, 2 * RN_PI), 0, 1e-9);
        hand_key(&b->hand, KEY_TAB, 0);
    }
}

/* A hand that is still on the bubble when the rehearsal ends writes no more. */
static void what_a_hand_does_after_the_rehearsal_is_not_written(void **state)
{
    at_bench *b = *state;
    const rv_layout *at = &b->view->layout;
    b->view->time = 125;
    hand_key(&b->hand, 'h', 0);
    at_bench_look(b);
    hand_take(&b->hand, PART_BUBBLE, 0, 0);
    hand_move(&b->hand, at->level_x + 0.5 * at->level_radius, at->level_y);
    hand_wait(&b->hand, 2);
    hand_key(&b->hand, KEY_SPACE, 0);
    const long version = document_version(b->view->doc);
    hand_move(&b->hand, at->level_x, at->level_y - 0.7 * at->level_radius);
    hand_lift(&b->hand);
    assert_int_equal(document_version(b->view->doc), version);
}

/* Time does not run ahead of the film, or the film would have to know what the hands will do. */
static void a_rehearsal_waits_for_the_film(void **state)
{
    at_bench *b = *state;
    b->view->time = 125;
    b->view->solved = 120;
    hand_key(&b->hand, 'h', 0);
    hand_wait(&b->hand, 4);
    assert_true(b->view->time <= 125.5 + 1e-9);
    check_close(view_wish(b->view, 0).horizon, b->view->rehearsal.beat, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        AT_BENCH(holding_the_bubble_edits_the_tilt),
        AT_BENCH(rehearsing_writes_moves),
        AT_BENCH(nought_levels_whatever_has_the_focus),
        AT_BENCH(a_hand_on_the_ring_turns_the_table),
        AT_BENCH(the_bubble_stays_where_the_hand_holds_it),
        AT_BENCH(what_a_hand_does_after_the_rehearsal_is_not_written),
        AT_BENCH(a_rehearsal_waits_for_the_film),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
