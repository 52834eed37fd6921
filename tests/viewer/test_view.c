/* The view as a painter's hands drive it, with no window: what a press, a drag, a key or a typed value does. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "at_bench.h"
#include "base/physical.h"
#include "check.h"
#include "edit.h"

/* ---- time ---- */

static void plays_holds_and_stops_at_the_end(void **state)
{
    at_bench *b = *state;
    hand_key(&b->hand, KEY_SPACE, 0);
    assert_true(b->view->playing);
    hand_wait(&b->hand, 2);
    check_close(b->view->time, 2 * b->view->speed, 0.1 * b->view->speed);
    hand_key(&b->hand, KEY_SPACE, 0);
    assert_false(b->view->playing);
    const double held = b->view->time;
    hand_wait(&b->hand, 1);
    check_close(b->view->time, held, 1e-12);
    b->view->time = at_bench_plan(b)->end - 1;
    hand_press(&b->hand, PART_POUR, 0, 0);
    hand_wait(&b->hand, 2);
    assert_false(b->view->playing);
    check_close(b->view->time, at_bench_plan(b)->end, 1e-9);
}

static void waits_for_what_is_worked_out(void **state)
{
    at_bench *b = *state;
    b->view->solved = 3;
    hand_key(&b->hand, KEY_SPACE, 0);
    hand_wait(&b->hand, 5);
    check_close(b->view->time, 3, 1e-9);
    assert_true(b->view->playing);
    b->view->solved = 8;
    b->view->speed = INFINITY;
    hand_wait(&b->hand, 0.1);
    check_close(b->view->time, 8, 1e-9);
}

static void the_plumb_line_is_dragged_and_the_strip_pressed(void **state)
{
    at_bench *b = *state;
    const rv_layout *at = &b->view->layout;
    hand_take(&b->hand, PART_TIME, 0, 0);
    hand_move(&b->hand, layout_x(at, 100, 240), at->axis_y);
    hand_lift(&b->hand);
    check_within(b->view->time, 100, 0.051); /* to tenths */
    at_bench_look(b);
    hand_move(&b->hand, layout_x(at, 150, 240), at->lane_top[LANE_SPIN] + 4);
    hand_move(&b->hand, layout_x(at, 180, 240), at->strip.y + 2);
    rn_box strip;
    assert_true(hand_find(&strip, &b->hand, PART_STRIP, LANES, 0));
    assert_int_equal(document_undo_depth(b->view->doc), 0);
}

static void keys_step_the_time(void **state)
{
    at_bench *b = *state;
    hand_key(&b->hand, '.', 0);
    hand_key(&b->hand, '.', MOD_SHIFT);
    check_close(b->view->time, 1.1, 1e-9);
    hand_key(&b->hand, ',', 0);
    check_close(b->view->time, 1.0, 1e-9);
    hand_key(&b->hand, KEY_END, 0);
    check_close(b->view->time, at_bench_plan(b)->end, 1e-9);
    hand_key(&b->hand, KEY_HOME, 0);
    check_close(b->view->time, 0, 1e-12);
    const double speed = b->view->speed;
    hand_key(&b->hand, ']', 0);
    check_close(b->view->speed, 2 * speed, 1e-12);
    for (int k = 0; k < 9; k++)
        hand_key(&b->hand, '[', 0);
    check_close(b->view->speed, 0.25, 1e-12);
}

/* ---- blocks of the clock ---- */

static void a_block_is_dragged_and_undone_as_one(void **state)
{
    at_bench *b = *state;
    const double start = at_bench_plan(b)->moves[4].start, per_second = (b->view->layout.x1 - b->view->layout.x0) / 240;
    hand_drag(&b->hand, PART_MOVE, 4, 0, 20 * per_second, 0);
    check_within(at_bench_plan(b)->moves[4].start, start + 20, 0.051);
    assert_int_equal(document_undo_depth(b->view->doc), 1);
    hand_key(&b->hand, 'z', MOD_CTRL);
    check_close(at_bench_plan(b)->moves[4].start, start, 1e-12);
    hand_key(&b->hand, 'z', MOD_CTRL | MOD_SHIFT);
    check_within(at_bench_plan(b)->moves[4].start, start + 20, 0.051);
}

/* Taken by the knob in its middle: up and down is its amount, sideways carries it. */
static void a_block_is_carried_by_its_knob(void **state)
{
    at_bench *b = *state;
    const double per_second = (b->view->layout.x1 - b->view->layout.x0) / view_end(b->view);
    const rn_move before = at_bench_plan(b)->moves[0];
    b->view->focus = (rv_part_at){PART_MOVE, 0, 0};
    b->view->focus_seen = true;
    at_bench_look(b); /* with its knobs */
    hand_drag(&b->hand, PART_MOVE_AMOUNT, 0, 0, 20 * per_second, 1);
    check_within(at_bench_plan(b)->moves[0].start, before.start + 20, 0.051);
    check_within(at_bench_plan(b)->moves[0].amount, before.amount, 0);
    hand_key(&b->hand, 'z', MOD_CTRL);
    check_within(at_bench_plan(b)->moves[0].start, before.start, 0);
    hand_drag(&b->hand, PART_MOVE_AMOUNT, 0, 0, 2, -15);
    check_within(at_bench_plan(b)->moves[0].start, before.start, 0);
    assert_true(at_bench_plan(b)->moves[0].amount != before.amount);
}

static void ends_are_dragged_but_not_over_a_neighbour(void **state)
{
    at_bench *b = *state;
    const rn_move before = at_bench_plan(b)->moves[1], next = at_bench_plan(b)->moves[2];
    const double per_second = (b->view->layout.x1 - b->view->layout.x0) / 240;
    hand_drag(&b->hand, PART_MOVE_END, 1, 0, 300 * per_second, 0);
    check_close(at_bench_plan(b)->moves[1].start, before.start, 1e-9);
    check_close(at_bench_plan(b)->moves[1].start + at_bench_plan(b)->moves[1].duration, next.start, 1e-9);
}

static void a_block_is_drawn_lengthened_and_deleted(void **state)
{
    at_bench *b = *state;
    const rv_layout *at = &b->view->layout;
    const int moves = at_bench_plan(b)->move_count;
    const double y = at->lane_top[LANE_TILT] + 0.5 * at->lane_height[LANE_TILT];
    hand_move(&b->hand, layout_x(at, 150, 240), y);
    b->hand.now += 0.02;
    const rv_input press = {.kind = INPUT_PRESS, .now = b->hand.now, .x = layout_x(at, 150, 240), .y = y, .clicks = 1};
    view_apply(b->view, &press);
    hand_move(&b->hand, layout_x(at, 165, 240), y);
    hand_lift(&b->hand);
    assert_int_equal(at_bench_plan(b)->move_count, moves + 1);
    const rn_move *made = &at_bench_plan(b)->moves[moves];
    assert_int_equal(made->kind, RN_MOVE_TILT);
    check_within(made->start, 150, 0.051);
    check_within(made->duration, 15, 0.11);
    at_bench_look(b);
    const double lasted = made->duration;
    hand_key(&b->hand, KEY_RIGHT, MOD_SHIFT); /* it has the focus: a second longer */
    check_within(at_bench_plan(b)->moves[moves].duration, lasted + 1, 1e-9);
    hand_key(&b->hand, KEY_LEFT, MOD_SHIFT);
    check_within(at_bench_plan(b)->moves[moves].duration, lasted, 1e-9);
    hand_key(&b->hand, KEY_RIGHT, MOD_SHIFT | MOD_CTRL); /* or a tenth */
    check_within(at_bench_plan(b)->moves[moves].duration, lasted + 0.1, 1e-9);
    hand_key(&b->hand, KEY_DELETE, 0);
    assert_int_equal(at_bench_plan(b)->move_count, moves);
}

static void a_held_hand_is_not_settled(void **state)
{
    at_bench *b = *state;
    assert_true(view_settled(b->view));
    hand_take(&b->hand, PART_MOVE, 4, 0);
    hand_shift(&b->hand, 30, 0);
    assert_false(view_settled(b->view));
    hand_wait(&b->hand, 0.2);
    assert_true(view_settled(b->view)); /* it paused */
    hand_shift(&b->hand, 30, 0);
    assert_false(view_settled(b->view));
    hand_lift(&b->hand);
    assert_true(view_settled(b->view));
}

/* ---- the shelf ---- */

static void a_jars_level_scales_its_places(void **state)
{
    at_bench *b = *state;
    at_bench_look(b);
    const double before = edit_jar_volume(at_bench_plan(b), 1);
    hand_drag(&b->hand, PART_JAR_LEVEL, 1, 0, 0, -10);
    const double after = edit_jar_volume(at_bench_plan(b), 1);
    assert_true(after > before + 5e-6);
    check_close(edit_jar_volume(at_bench_plan(b), 0), 40e-6, 1e-12);
    assert_int_equal(document_undo_depth(b->view->doc), 1);
}

static void a_value_is_typed_with_its_unit(void **state)
{
    at_bench *b = *state;
    hand_press(&b->hand, PART_JAR, 2, 0);
    assert_int_equal(b->view->slip.kind, SLIP_JAR);
    at_bench_look(b);
    rn_box box;
    int density = -1;
    for (int row = 0; row < 12 && density < 0; row++) {
        char value[TYPING_SIZE] = "";
        hand_press(&b->hand, PART_SLIP_ROW, row, 0);
        snprintf(value, sizeof value, "%s", b->view->typing.text);
        if (strstr(value, "g/ml"))
            density = row;
        else
            hand_key(&b->hand, KEY_ESCAPE, 0);
        at_bench_look(b);
    }
    assert_true(density >= 0);
    hand_type(&b->hand, "nonsense");
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_true(b->view->typing.on); /* refused, with a reason */
    assert_true(b->view->typing.trouble[0] != '\0');
    hand_type(&b->hand, "1350 kg/m3");
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_false(b->view->typing.on);
    check_close(at_bench_plan(b)->paints[2].density, 1350, 1e-9);
    assert_true(hand_find(&box, &b->hand, PART_SLIP, 0, 0));
}

static void jars_come_and_go_by_keys(void **state)
{
    at_bench *b = *state;
    hand_key(&b->hand, 'n', 0);
    assert_int_equal(at_bench_plan(b)->paint_count, 5);
    check_close(edit_jar_volume(at_bench_plan(b), 4), 40e-6, 1e-12);
    hand_key(&b->hand, KEY_ESCAPE, 0);
    hand_key(&b->hand, KEY_DELETE, 0);
    assert_int_equal(at_bench_plan(b)->paint_count, 4);
    hand_key(&b->hand, 'z', MOD_CTRL);
    hand_key(&b->hand, 'z', MOD_CTRL);
    assert_int_equal(at_bench_plan(b)->paint_count, 4);
    assert_false(document_changed(b->view->doc));
}

/* ---- sheets, pages, covers ---- */

static void sheets_are_chosen_and_joined(void **state)
{
    at_bench *b = *state;
    hand_key(&b->hand, '2', 0);
    assert_int_equal(b->view->sheets, 1u << SHEET_DEPTH);
    hand_key(&b->hand, '6', MOD_CTRL);
    assert_int_equal(b->view->sheets, 1u << SHEET_DEPTH | 1u << SHEET_SECTION);
    assert_true(view_wish(b->view, 0).section);
    hand_key(&b->hand, '4', 0);
    check_close(view_wish(b->view, 0).peel, b->view->peel, 1e-12);
    hand_key(&b->hand, '=', 0);
    check_close(view_wish(b->view, 0).peel, b->view->peel, 1e-12);
    hand_key(&b->hand, '1', 0);
    check_close(view_wish(b->view, 0).peel, 0, 1e-12);
}

static void thin_usual_and_thick_are_one_action(void **state)
{
    at_bench *b = *state;
    hand_key(&b->hand, 't', 0);
    assert_int_equal(b->view->page, PAGE_SIDE);
    assert_int_equal(b->view->column_count, 3);
    const double usual = edit_jar_viscosity(at_bench_plan(b), 0);
    check_close(edit_jar_viscosity(view_plan(b->view, 1 + 0), 0), 0.5 * usual, 1e-9);
    check_close(edit_jar_viscosity(view_plan(b->view, 1 + 1), 0), usual, 1e-9);
    check_close(edit_jar_viscosity(view_plan(b->view, 1 + 2), 0), 2 * usual, 1e-9);
    assert_false(document_changed(b->view->doc));
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < k; i++)
            assert_true(view_version(b->view, 1 + k) != view_version(b->view, 1 + i));
    b->view->column_focus = 2;
    hand_key(&b->hand, KEY_ENTER, 0); /* the thick one is to be poured */
    assert_int_equal(b->view->page, PAGE_BENCH);
    check_close(edit_jar_viscosity(at_bench_plan(b), 0), 2 * usual, 1e-9);
}

/* Whatever makes a plan shorter, the clock does not stand beyond its end. */
static void the_clock_stands_within_the_plan(void **state)
{
    at_bench *b = *state;
    const double end = at_bench_plan(b)->end;
    rn_plan *draft = document_draft(b->view->doc);
    rn_error err = {0};
    draft->end = end + 70;
    check_ok(document_commit(b->view->doc, draft, "end", false, &err), &err);
    hand_key(&b->hand, KEY_END, 0);
    check_close(b->view->time, end + 70, 1e-12);
    hand_key(&b->hand, 'z', MOD_CTRL);
    check_close(at_bench_plan(b)->end, end, 1e-12);
    check_close(b->view->time, end, 1e-12);
    hand_key(&b->hand, 'z', MOD_CTRL | MOD_SHIFT);
    hand_key(&b->hand, KEY_END, 0);
    check_close(b->view->time, end + 70, 1e-12);
    at_bench_look(b);
    hand_drag(&b->hand, PART_END, 0, 0, -300, 0); /* dragged in */
    assert_true(at_bench_plan(b)->end < end + 70);
    check_at_most(b->view->time, at_bench_plan(b)->end);
}

/* Nor where the end was pushed out by a rehearsal that is taken back. */
static void the_clock_stands_within_a_plan_without_its_rehearsal(void **state)
{
    at_bench *b = *state;
    rn_plan *draft = document_draft(b->view->doc);
    rn_error err = {0};
    draft->end_given = false;
    check_ok(document_commit(b->view->doc, draft, "end", false, &err), &err);
    const double end = at_bench_plan(b)->end;
    b->view->time = end - 10;
    hand_key(&b->hand, 'h', 0);
    assert_true(b->view->rehearsal.on);
    b->view->rehearsal.hands = (rv_hands){.tilt = 0.1, .toward = 0};
    b->view->solved = INFINITY;
    hand_wait(&b->hand, 15);
    hand_key(&b->hand, KEY_SPACE, 0);
    assert_false(b->view->rehearsal.on);
    check_at_least(b->view->time, end + 1);
    check_at_most(b->view->time, at_bench_plan(b)->end);
    hand_key(&b->hand, 'z', MOD_CTRL);
    check_close(at_bench_plan(b)->end, end, 1e-12);
    check_at_most(b->view->time, end);
}

static void leaving_asks_once_and_only_if_something_changed(void **state)
{
    at_bench *b = *state;
    const rv_input close = {.kind = INPUT_CLOSE, .now = 20};
    view_apply(b->view, &close);
    assert_int_equal(b->view->cover, COVER_NONE);
    assert_int_equal(view_take_errand(b->view).what, ERRAND_QUIT);
    hand_key(&b->hand, 'n', 0);
    view_apply(b->view, &close);
    assert_int_equal(b->view->cover, COVER_LEAVE);
    assert_int_equal(view_take_errand(b->view).what, ERRAND_NONE);
    hand_key(&b->hand, KEY_ESCAPE, 0); /* stay */
    assert_int_equal(b->view->cover, COVER_NONE);
    assert_int_equal(view_take_errand(b->view).what, ERRAND_NONE);
    view_apply(b->view, &close);
    hand_key(&b->hand, 'd', 0); /* leave without */
    assert_int_equal(view_take_errand(b->view).what, ERRAND_QUIT);
}

/* Another plan takes this one off the bench as leaving does. */
static void another_plan_does_not_throw_changes_away(void **state)
{
    at_bench *b = *state;
    rv_input drop = {.kind = INPUT_DROP, .now = 20};
    snprintf(drop.text, sizeof drop.text, "presets/two-cups.yaml");
    hand_key(&b->hand, 'n', 0);
    hand_key(&b->hand, KEY_ESCAPE, 0);
    const long version = document_version(b->view->doc);
    view_apply(b->view, &drop);
    assert_int_equal(b->view->cover, COVER_LEAVE);
    hand_key(&b->hand, KEY_ESCAPE, 0); /* stay */
    assert_int_equal(view_take_errand(b->view).what, ERRAND_NONE);
    assert_int_equal(document_version(b->view->doc), version);
    static const int keys[] = {'n', 'o'};
    static const rv_errand due[] = {ERRAND_START, ERRAND_OPEN};
    for (int k = 0; k < 2; k++) {
        hand_key(&b->hand, keys[k], MOD_CTRL);
        assert_int_equal(b->view->cover, COVER_LEAVE);
        assert_int_equal(view_take_errand(b->view).what, ERRAND_NONE);
        hand_key(&b->hand, 'd', 0); /* go on without */
        assert_int_equal(view_take_errand(b->view).what, due[k]);
        assert_int_equal(b->view->then.what, ERRAND_NONE);
    }
    hand_key(&b->hand, 'n', MOD_CTRL);
    hand_key(&b->hand, KEY_ENTER, 0); /* saved first */
    assert_true(view_take_errand(b->view).what == ERRAND_SAVE);
    assert_int_equal(b->view->then.what, ERRAND_START);
}

static void a_broken_plan_leaves_the_bench_as_it_was(void **state)
{
    at_bench *b = *state;
    const long version = document_version(b->view->doc);
    rv_input drop = {.kind = INPUT_DROP, .now = 20};
    snprintf(drop.text, sizeof drop.text, "tests/plans/wrong/no-such-plan.yaml");
    view_apply(b->view, &drop);
    assert_int_equal(b->view->cover, COVER_MEND);
    assert_int_equal(document_version(b->view->doc), version);
    hand_key(&b->hand, KEY_ESCAPE, 0);
    assert_int_equal(b->view->cover, COVER_NONE);
    assert_string_equal(at_bench_plan(b)->title, "Tide table");
}

static void tab_walks_zone_by_zone(void **state)
{
    at_bench *b = *state;
    rv_part seen[6];
    for (int k = 0; k < 6; k++) {
        hand_key(&b->hand, KEY_TAB, 0);
        seen[k] = b->view->focus.part;
        assert_true(b->view->focus_seen);
        for (int i = 0; i < k && i < 4; i++)
            if (k < 4)
                assert_true(seen[i] != seen[k]);
    }
}

/* ---- anything at all ---- */

/* Whatever keys come in whatever order: the plan stays one that can be poured, and undo leads all the way back. */
static void any_keys_leave_a_sound_plan(void **state)
{
    at_bench *b = *state;
    static const int keys[] = {KEY_SPACE,  KEY_TAB,   KEY_LEFT,   KEY_RIGHT, KEY_UP,     KEY_DOWN,      KEY_INSERT,
                               KEY_DELETE, KEY_ENTER, KEY_ESCAPE, 'n',       'k',        'p',           'c',
                               'd',        'a',       'b',        '-',       '=',        'l',           'r',
                               '1',        '2',       '3',        '4',       '5',        '6',           '0',
                               ',',        '.',       '[',        ']',       KEY_F1,     KEY_HOME,      KEY_END,
                               't',        'h',       'u',        'g',       KEY_F1 + 5, KEY_PAGE_DOWN, KEY_PAGE_UP};
    unsigned long seed = 12345;
    char *first = NULL, *last = NULL;
    rn_error err = {0};
    assert_int_equal(rn_plan_write(&first, at_bench_plan(b), &err), RN_OK);
    for (int k = 0; k < 3000; k++) {
        seed = seed * 6364136223846793005ul + 1442695040888963407ul;
        const int key = keys[(seed >> 33) % (sizeof keys / sizeof *keys)];
        const unsigned mods = (seed >> 20 & 7) == 0 ? MOD_SHIFT : (seed >> 20 & 15) == 1 ? MOD_ALT : 0;
        hand_key(&b->hand, key, mods);
        if (b->view->typing.on && (seed >> 40 & 1))
            hand_type(&b->hand, "7");
        if (k % 5 == 0)
            hand_wait(&b->hand, 0.05);
        if (k % 8 == 0)
            at_bench_look(b);
        view_take_errand(b->view);
        if (edit_pourable(document_plan(b->view->doc))) {
            const rn_status status = rn_plan_check(at_bench_plan(b), &err);
            if (status != RN_OK)
                print_error("after %d keys: %s\n", k, err.message);
            assert_int_equal(status, RN_OK);
        }
        assert_true(b->view->time >= 0 && b->view->time <= view_end(b->view));
    }
    while (b->view->cover != COVER_NONE || b->view->typing.on)
        hand_key(&b->hand, KEY_ESCAPE, 0);
    if (document_undo_depth(b->view->doc) < DOCUMENT_UNDO) {
        while (document_undo(b->view->doc))
            continue;
        assert_int_equal(rn_plan_write(&last, at_bench_plan(b), &err), RN_OK);
        assert_string_equal(first, last);
    }
    free(first);
    free(last);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        AT_BENCH(plays_holds_and_stops_at_the_end),
        AT_BENCH(waits_for_what_is_worked_out),
        AT_BENCH(the_plumb_line_is_dragged_and_the_strip_pressed),
        AT_BENCH(keys_step_the_time),
        AT_BENCH(a_block_is_dragged_and_undone_as_one),
        AT_BENCH(a_block_is_carried_by_its_knob),
        AT_BENCH(ends_are_dragged_but_not_over_a_neighbour),
        AT_BENCH(a_block_is_drawn_lengthened_and_deleted),
        AT_BENCH(a_held_hand_is_not_settled),
        AT_BENCH(a_jars_level_scales_its_places),
        AT_BENCH(a_value_is_typed_with_its_unit),
        AT_BENCH(jars_come_and_go_by_keys),
        AT_BENCH(sheets_are_chosen_and_joined),
        AT_BENCH(thin_usual_and_thick_are_one_action),
        AT_BENCH(the_clock_stands_within_the_plan),
        AT_BENCH(the_clock_stands_within_a_plan_without_its_rehearsal),
        AT_BENCH(leaving_asks_once_and_only_if_something_changed),
        AT_BENCH(another_plan_does_not_throw_changes_away),
        AT_BENCH(a_broken_plan_leaves_the_bench_as_it_was),
        AT_BENCH(tab_walks_zone_by_zone),
        AT_BENCH(any_keys_leave_a_sound_plan),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
