/* Whoever deletes one thing is told what else went with it, and how it all comes back. */
#include <math.h>
#include <string.h>

#include "check.h"
#include "edit.h"
#include "hand.h"

static const char plan[] = "plan: 1\n"
                           "panel: {size: 300 mm x 300 mm}\n"
                           "paints:\n"
                           "  kelp: {viscosity: 1 Pa s}\n"
                           "  foam: {viscosity: 1 Pa s}\n"
                           "  rust: {viscosity: 1 Pa s}\n"
                           "  dune: {viscosity: 1 Pa s}\n"
                           "base:\n"
                           "  - {paint: kelp, depth: 0.5 mm}\n"
                           "  - {paint: kelp, at: corners, volume: 6 ml, across: 40 mm}\n"
                           "  - {paint: foam, at: 10 mm right, volume: 4 ml, across: 40 mm}\n"
                           "pours:\n"
                           "  - {from: rim, across: 70 mm, width: 10 mm, start: 0 s, lifts: 4, every: 5 s, open: 3 s,\n"
                           "     stack: [kelp 20 ml, foam 12 ml, kelp 10 ml]}\n"
                           "  - {from: cup, across: 40 mm, start: 30 s, open: 4 s, stack: [kelp 15 ml]}\n"
                           "  - {name: last, from: cup, across: 40 mm, start: 40 s, open: 4 s, stack: [foam 25 ml]}\n"
                           "moves:\n"
                           "  - {start: 10 s, for: 10 s, tilt: 4 deg, toward: right}\n"
                           "  - {start: 25 s, for: 10 s, tilt: 4 deg, toward: left}\n"
                           "  - {start: 26 s, for: 10 s, turn: 3 rpm}\n"
                           "  - {start: 50 s, for: 10 s, spin: 40 rpm}\n";

static int set_up(void **state)
{
    static painter hand;
    rn_plan *made = NULL;
    rn_error err = {0};
    hand = (painter){.view = view_new(), .now = 1};
    check_ok(rn_plan_read(&made, plan, (long)strlen(plan), "plan", &err), &err);
    document_put(hand.view->doc, made, "", false);
    view_fresh(hand.view);
    *state = &hand;
    return 0;
}

static int tear_down(void **state)
{
    view_free(((painter *)*state)->view);
    return 0;
}

static int index_of(const painter *hand, const char *paint)
{
    const rn_plan *now = document_plan(hand->view->doc);
    for (int k = 0; k < now->paint_count; k++)
        if (strcmp(now->paints[k].name, paint) == 0)
            return k;
    return -1;
}

static const char *after_delete(painter *hand, rv_part part, int a, int b)
{
    hand->view->focus = (rv_part_at){part, a, b};
    hand_key(hand, KEY_DELETE, 0);
    assert_false(hand->view->message_bad);
    return hand->view->message;
}

static void a_jar_tells_all_that_went_with_it(void **state)
{
    painter *hand = *state;
    const rn_plan *before = rn_plan_copy(document_plan(hand->view->doc));
    assert_string_equal(after_delete(hand, PART_JAR, index_of(hand, "kelp"), 0),
                        "kelp is deleted, and with it 30 ml of release 1, all of release 2 (15 ml), the base coat and "
                        "the corner puddles. Ctrl+Z brings all of it back.");
    const rn_plan *now = document_plan(hand->view->doc);
    assert_int_equal(now->pour_count, before->pour_count - 1); /* which is what is told */
    assert_int_equal(now->base_count, before->base_count - 2);
    hand_key(hand, 'z', MOD_CTRL);
    now = document_plan(hand->view->doc);
    assert_int_equal(now->paint_count, before->paint_count);
    assert_int_equal(now->pour_count, before->pour_count);
    assert_int_equal(now->base_count, before->base_count);
    rn_plan_free((rn_plan *)before);
}

static void one_that_is_used_elsewhere_tells_it_too(void **state)
{
    painter *hand = *state;
    assert_string_equal(after_delete(hand, PART_JAR, index_of(hand, "foam"), 0),
                        "foam is deleted, and with it 12 ml of release 1, all of release last (25 ml) and a puddle. "
                        "Ctrl+Z brings all of it back.");
    hand_key(hand, 'z', MOD_CTRL);
    hand_key(hand, 'u', 0);
    after_delete(hand, PART_JAR, index_of(hand, "foam"), 0);
    assert_non_null(strstr(hand->view->message, "0.41 fl oz of release 1"));
}

static void a_jar_that_nothing_holds_goes_alone(void **state)
{
    painter *hand = *state;
    assert_string_equal(after_delete(hand, PART_JAR, index_of(hand, "rust"), 0),
                        "rust is deleted. Ctrl+Z brings it back.");
}

static void a_burst_tells_that_the_release_went(void **state)
{
    painter *hand = *state;
    assert_string_equal(after_delete(hand, PART_BURST, 0, 2),
                        "Release 1 is deleted with all 4 bursts, 42 ml. Ctrl+Z brings it back.");
    assert_int_equal(document_plan(hand->view->doc)->pour_count, 2);
}

/* A plan without an end of its own ends where its last move does. */
static void a_shorter_plan_tells_its_end(void **state)
{
    painter *hand = *state;
    const rn_plan *now = document_plan(hand->view->doc);
    const double end = now->end;
    const char *said = after_delete(hand, PART_MOVE, 3, 0);
    now = document_plan(hand->view->doc);
    assert_true(now->end < end);
    char expected[128];
    snprintf(expected, sizeof expected,
             "The spin at 50 s is deleted. The plan now ends at %.0f s. Ctrl+Z brings it back.", now->end);
    assert_string_equal(said, expected);
}

static void a_rehearsal_tells_what_it_takes_away(void **state)
{
    painter *hand = *state;
    hand->view->time = 12;
    hand_key(hand, 'h', 0);
    assert_string_equal(hand->view->message, "By hand from 12 s on: the plan's later tilts and turns, 2 of them, are "
                                             "taken out. Ctrl+Z brings them back.");
    hand_key(hand, KEY_SPACE, 0);
    hand_key(hand, 'z', MOD_CTRL);
    hand->view->time = 45;
    hand_key(hand, 'h', 0); /* nothing is later */
    assert_string_equal(hand->view->message, "");
    hand_key(hand, KEY_SPACE, 0);
}

static void levelling_tells_which_tilt_went(void **state)
{
    painter *hand = *state;
    hand->view->time = 12;
    hand->view->focus = (rv_part_at){PART_BUBBLE, 0, 0};
    hand_key(hand, '0', 0);
    assert_int_equal(document_plan(hand->view->doc)->move_count, 3);
    assert_string_equal(hand->view->message, "The tilt at 10 s is deleted. Ctrl+Z brings it back.");
}

int main(void)
{
#define AT(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT(a_jar_tells_all_that_went_with_it),   AT(one_that_is_used_elsewhere_tells_it_too),
        AT(a_jar_that_nothing_holds_goes_alone), AT(a_burst_tells_that_the_release_went),
        AT(a_shorter_plan_tells_its_end),        AT(a_rehearsal_tells_what_it_takes_away),
        AT(levelling_tells_which_tilt_went),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
