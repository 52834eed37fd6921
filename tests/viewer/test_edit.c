/* Changes to a plan: whatever is done in whatever order, what is left can be poured, says the same when it has been written
   and read, and has changed only in what was touched. */
#include "check.h"

#include <string.h>

#include "base/random.h"
#include "document.h"
#include "edit.h"
#include "tidy.h"

#define PI 3.14159265358979323846
#define STEPS 200
#define ML 1e-6

static const char *const presets[] = {
    "presets/small-study.yaml", "presets/two-cups.yaml",    "presets/round-tray.yaml",  "presets/wet-base.yaml",
    "presets/stiff-yield.yaml", "presets/lesson-spin.yaml", "presets/forty-bands.yaml", "presets/tide-table.yaml"};
#define PRESETS (int)(sizeof presets / sizeof *presets)

static double between(rn_random *random, double least, double most)
{
    return least + (most - least) * rn_random_unit(random);
}

static int below(rn_random *random, int count)
{
    return (int)(rn_random_unit(random) * count);
}

static char *text_of(const rn_plan *plan)
{
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&text, plan, &err), &err);
    return text;
}

static bool holds(const rn_plan *plan, int paint)
{
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++)
            if (plan->pours[p].stack[k].paint == paint)
                return true;
    return false;
}

/* The same jar after others came or went: by its name. */
static int jar_named(const rn_plan *plan, const char *name)
{
    for (int k = 0; k < plan->paint_count; k++)
        if (strcmp(plan->paints[k].name, name) == 0)
            return k;
    return -1;
}

/* All jars but one hold what they held, to the last bit where exact. */
static void others_keep_their_volumes(const rn_plan *before, const rn_plan *after, const char *but)
{
    for (int k = 0; k < before->paint_count; k++) {
        const int now = jar_named(after, before->paints[k].name);
        if (now < 0 || (but && strcmp(before->paints[k].name, but) == 0))
            continue;
        check_within(edit_jar_volume(after, now), edit_jar_volume(before, k), 1e-15);
    }
}

static bool one_axis(const rn_move *a, const rn_move *b)
{
    const bool turn_a = a->kind == RN_MOVE_TURN || a->kind == RN_MOVE_SPIN;
    const bool turn_b = b->kind == RN_MOVE_TURN || b->kind == RN_MOVE_SPIN;
    return a->kind == b->kind || (turn_a && turn_b);
}

static void moves_keep_clear(const rn_plan *plan)
{
    for (int a = 0; a < plan->move_count; a++) {
        const rn_move *m = &plan->moves[a];
        assert_true(m->start >= 0 && m->duration >= 0.05);
        for (int b = 0; b < a; b++) {
            const rn_move *n = &plan->moves[b];
            if (one_axis(m, n))
                assert_true(m->start >= n->start + n->duration - 1e-9 || n->start >= m->start + m->duration - 1e-9);
        }
    }
}

/* ---- one random edit of each kind, with what it promises ---- */

static void jar_edit(rn_plan *plan, const rn_plan *before, rn_random *random)
{
    if (plan->paint_count == 0)
        return;
    const int jar = below(random, plan->paint_count), other = below(random, plan->paint_count);
    char name[RN_NAME_SIZE];
    strcpy(name, plan->paints[jar].name);
    switch (below(random, 5)) {
    case 0: {
        const double volume = round(between(random, 1, 900)) * ML;
        edit_set_jar_volume(plan, jar, volume);
        if (holds(before, jar))
            check_within(edit_jar_volume(plan, jar), volume, 1e-14);
        others_keep_their_volumes(before, plan, name);
        break;
    }
    case 1: {
        const double viscosity = exp(between(random, log(0.05), log(20)));
        edit_set_jar_viscosity(plan, jar, viscosity);
        check_close(edit_jar_viscosity(plan, jar), viscosity, 5e-3); /* three digits */
        for (int k = 0; k < plan->paint_count; k++)
            if (k != jar)
                assert_true(edit_jar_viscosity(plan, k) == edit_jar_viscosity(before, k));
        others_keep_their_volumes(before, plan, NULL);
        break;
    }
    case 2:
        edit_move_jar(plan, jar, other);
        others_keep_their_volumes(before, plan, NULL);
        break;
    case 3:
        edit_set_base_depth(plan, below(random, 3) ? between(random, 0.01e-3, 1e-3) : 0);
        others_keep_their_volumes(before, plan, NULL);
        break;
    default: {
        const double wanted = below(random, 4) ? round(between(random, 5, 200)) * 1e-5 : NAN;
        edit_set_least_wanted(plan, wanted);
        if (isnan(wanted))
            assert_true(isnan(edit_least_wanted(plan)) || before->expect_count - plan->expect_count == 1);
        else if (before->expect_count < RN_EXPECTS_MOST)
            check_within(edit_least_wanted(plan), wanted, 1e-12);
    }
    }
}

static void shelf_edit(rn_plan *plan, const rn_plan *before, rn_random *random)
{
    if (below(random, 3)) {
        const int made = edit_add_jar(plan);
        if (before->paint_count == RN_PAINTS_MOST)
            assert_int_equal(made, -1);
        else
            assert_int_equal(made, before->paint_count);
        if (made >= 0)
            for (int k = 0; k < made; k++)
                assert_string_not_equal(plan->paints[k].name, plan->paints[made].name);
        others_keep_their_volumes(before, plan, NULL);
    } else if (plan->paint_count > 1) {
        edit_remove_jar(plan, below(random, plan->paint_count));
        assert_int_equal(plan->paint_count, before->paint_count - 1);
        others_keep_their_volumes(before, plan, NULL);
    }
}

static void move_edit(rn_plan *plan, const rn_plan *before, rn_random *random)
{
    static const rn_move_kind kinds[] = {RN_MOVE_REST, RN_MOVE_TURN, RN_MOVE_TILT, RN_MOVE_SPIN};
    const double time = between(random, 0, 150);
    const int which = below(random, 6);
    if (which == 0) {
        const rn_move_kind kind = kinds[below(random, 4)];
        double from, to;
        const bool gap = edit_gap(&from, &to, plan, kind, time);
        const int made = edit_add_move(plan, kind, time, between(random, 0.1, 30));
        if (made >= 0) {
            assert_true(gap);
            assert_true(plan->moves[made].start >= from && plan->moves[made].start <= to);
        }
        return;
    }
    if (plan->move_count == 0)
        return;
    const int move = below(random, plan->move_count);
    rn_move *m = &plan->moves[move];
    const rn_move was = before->moves[move];
    switch (which) {
    case 1:
        edit_shift_move(plan, move, time);
        assert_true(m->duration == was.duration);
        break;
    case 2: /* its end */
        edit_stretch_move(plan, move, m->start, time);
        assert_true(m->start == was.start);
        assert_true(m->start + m->duration <= fmax(time, was.start + fmin(0.5, was.duration)) + 0.0051);
        break;
    case 3: /* its start */
        edit_stretch_move(plan, move, time, m->start + m->duration);
        check_within(m->start + m->duration, was.start + was.duration, 0.0051);
        break;
    case 4: edit_set_amount(plan, move, between(random, -400, 400)); break;
    default:
        if (below(random, 2))
            edit_set_toward(plan, move, between(random, -10, 10));
        else
            edit_remove_move(plan, move);
    }
}

static void burst_edit(rn_plan *plan, const rn_plan *before, int pour, rn_random *random)
{
    rn_pour *p = &plan->pours[pour];
    const int burst = below(random, p->lifts);
    const double volume = round(between(random, 1, 300)) * ML;
    edit_set_burst_volume(plan, pour, burst, volume);
    for (int k = 0; k < p->lifts; k++)
        check_within(edit_burst_volume(plan, pour, k), k == burst ? volume : edit_burst_volume(before, pour, k),
                     0.0011 * ML);
}

static void ring_edit(rn_plan *plan, int pour, rn_random *random)
{
    double inner, outer, inner_now, outer_now;
    edit_get_ring(&inner, &outer, plan, pour);
    if (below(random, 2)) { /* the outer radius is moved: the inner stays */
        edit_set_ring(plan, pour, inner, between(random, 0.005, 0.3));
        edit_get_ring(&inner_now, &outer_now, plan, pour);
        if (!plan->pours[pour].cup)
            check_within(inner_now, inner, 0.02e-3);
    } else {
        edit_set_ring(plan, pour, between(random, 0, outer), outer);
        edit_get_ring(&inner_now, &outer_now, plan, pour);
        check_within(outer_now, outer, 0.02e-3);
    }
    assert_true(inner_now < outer_now);
}

static void pour_edit(rn_plan *plan, const rn_plan *before, rn_random *random)
{
    const int which = below(random, 10);
    if (which == 0) {
        edit_add_pour(plan, between(random, 0, 100), between(random, 0.1, 60));
        return;
    }
    if (plan->pour_count == 0)
        return;
    const int pour = below(random, plan->pour_count);
    rn_pour *p = &plan->pours[pour];
    switch (which) {
    case 1: {
        const double start = round(between(random, 0, 2000)) / 10;
        edit_shift_pour(plan, pour, start);
        check_within(p->start, start, 1e-12);
        break;
    }
    case 2: edit_stretch_pour(plan, pour, between(random, 0, 300)); break;
    case 3: edit_set_burst_open(plan, pour, between(random, 0.5, 60)); break;
    case 4: edit_set_burst_count(plan, pour, below(random, 30)); break;
    case 5: edit_place_pour(plan, pour, between(random, -0.3, 0.3), between(random, -0.3, 0.3)); break;
    case 6:
        edit_place_pour(plan, pour, 1e-3, -1e-3);
        assert_false(p->at.point);
        break;
    case 7: ring_edit(plan, pour, random); return;
    case 8:
        if (below(random, 3) == 0)
            edit_remove_pour(plan, pour);
        return;
    default: burst_edit(plan, before, pour, random); return;
    }
    if (which < 8)
        others_keep_their_volumes(before, plan, NULL);
}

/* What was written reads as a plan that is written the same. */
static void reads_back(const rn_plan *plan)
{
    char *text = text_of(plan);
    rn_plan *again = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&again, text, (long)strlen(text), "test", &err), &err);
    char *second = text_of(again);
    assert_string_equal(text, second);
    free(text);
    free(second);
    rn_plan_free(again);
}

static void any_edits_leave_a_plan(void **state)
{
    (void)state;
    rn_error err = {0};
    for (int preset = 0; preset < PRESETS; preset++) {
        rv_document *doc = document_new();
        rn_random random = rn_random_seeded((uint64_t)preset + 41);
        check_ok(document_open(doc, presets[preset], &err), &err);
        for (int step = 0; step < STEPS; step++) {
            rn_plan *before = document_draft(doc), *draft = document_draft(doc);
            switch (below(&random, 4)) {
            case 0: jar_edit(draft, before, &random); break;
            case 1: move_edit(draft, before, &random); break;
            case 2: pour_edit(draft, before, &random); break;
            default:
                if (below(&random, 4))
                    move_edit(draft, before, &random);
                else
                    shelf_edit(draft, before, &random);
            }
            moves_keep_clear(draft);
            if (document_commit(doc, draft, "edit", false, &err) != RN_OK)
                fail_msg("%s, step %d: %s", presets[preset], step, err.message);
            if (document_pourable(doc))
                reads_back(document_plan(doc));
            rn_plan_free(before);
        }
        document_free(doc);
    }
}

/* ---- cases with answers known beforehand ---- */

static const char two[] = "plan: 1\n"
                          "panel: {size: 30 cm x 30 cm}\n"
                          "paints: {slate: {viscosity: 1 Pa s}, foam: {viscosity: 2 Pa s, yield: 1 Pa}, kelp: {}}\n"
                          "pours:\n"
                          "  - {lifts: 4, every: 5 s, open: 2 s, stack: [slate 20 ml, foam 30 ml, slate 40 ml]}\n"
                          "  - {start: 30 s, from: cup, across: 40 mm, stack: [foam 10 ml]}\n"
                          "moves:\n"
                          "  - {start: 10 s, for: 10 s, turn: 6 rpm}\n"
                          "  - {start: 30 s, for: 10 s, spin: 60 rpm}\n"
                          "  - {start: 15 s, for: 5 s, tilt: 4 deg, toward: right}\n";

static rn_plan *made(void)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, two, (long)strlen(two), "test", &err), &err);
    return plan;
}

static void volumes_of_jars(void **state)
{
    (void)state;
    rn_plan *plan = made();
    check_within(edit_jar_volume(plan, 0), 60 * ML, 1e-15);
    check_within(edit_jar_volume(plan, 1), 40 * ML, 1e-15);
    edit_set_jar_volume(plan, 0, 30 * ML); /* in proportion */
    check_within(plan->pours[0].stack[0].volume, 10 * ML, 1e-15);
    check_within(plan->pours[0].stack[2].volume, 20 * ML, 1e-15);
    edit_set_jar_volume(plan, 1, 100 * ML);
    check_within(plan->pours[0].stack[1].volume, 75 * ML, 1e-15);
    check_within(plan->pours[1].stack[0].volume, 25 * ML, 1e-15);
    edit_set_jar_volume(plan, 2, 12 * ML); /* it had no place yet: last out of the first pour */
    assert_int_equal(plan->pours[0].layer_count, 4);
    assert_int_equal(plan->pours[0].stack[3].paint, 2);
    check_within(edit_jar_volume(plan, 2), 12 * ML, 1e-15);
    edit_set_jar_volume(plan, 0, 10 * ML); /* thirds: written in millilitres a person can read, and still the sum */
    char *text = text_of(plan);
    assert_non_null(strstr(text, "slate 3.333 ml"));
    assert_non_null(strstr(text, "slate 6.667 ml"));
    check_within(edit_jar_volume(plan, 0), 10 * ML, 1e-15);
    free(text);
    rn_plan_free(plan);
}

/* By rn_law_viscosity at 1/s: 2 Pa s + 1 Pa is 3 Pa s there. */
static void consistency_of_jars(void **state)
{
    (void)state;
    rn_plan *plan = made();
    check_within(edit_jar_viscosity(plan, 1), 3, 1e-12);
    edit_set_jar_viscosity(plan, 1, 6);
    check_within(plan->paints[1].law.consistency, 4, 1e-12);
    check_within(plan->paints[1].law.yield, 2, 1e-12);
    edit_set_jar_viscosity(plan, 0, 1.23456);
    check_within(plan->paints[0].law.consistency, 1.23, 1e-12);
    edit_scale_viscosity(plan, 0.5);
    check_within(plan->paints[0].law.consistency, 0.615, 1e-12);
    check_within(plan->paints[1].law.yield, 1, 1e-12);
    rn_plan_free(plan);
}

static void jars_change_places(void **state)
{
    (void)state;
    rn_plan *plan = made();
    int order[RN_PAINTS_MOST];
    assert_int_equal(edit_shelf_order(order, plan), 3);
    assert_int_equal(order[0], 0);
    edit_move_jar(plan, 0, 1); /* slate to where foam stands: each keeps its volume in the stack that holds both */
    edit_shelf_order(order, plan);
    assert_int_equal(order[0], 1);
    assert_int_equal(plan->pours[0].stack[0].paint, 1);
    assert_int_equal(plan->pours[0].stack[1].paint, 0);
    assert_int_equal(plan->pours[0].stack[2].paint, 1);
    check_within(plan->pours[0].stack[0].volume, 10 * ML, 1e-15); /* 20 : 40 of 30 */
    check_within(plan->pours[0].stack[1].volume, 60 * ML, 1e-15);
    check_within(plan->pours[0].stack[2].volume, 20 * ML, 1e-15);
    assert_int_equal(plan->pours[1].stack[0].paint, 1); /* where only one of them is, nothing changes */
    check_within(plan->pours[1].stack[0].volume, 10 * ML, 1e-15);
    edit_move_jar(plan, 2, 1); /* kelp is in no stack: it cannot stand before what is poured */
    edit_shelf_order(order, plan);
    assert_int_equal(order[2], 2);
    rn_plan_free(plan);
}

/* From end to end of a stack of six: the others keep their order. */
static void a_jar_passes_one_neighbour_after_the_other(void **state)
{
    (void)state;
    static const char six[] = "plan: 1\npanel: {size: 30 cm x 30 cm}\n"
                              "paints: {a: {}, b: {}, c: {}, d: {}, e: {}, f: {}}\n"
                              "pours: [{stack: [a 1 ml, b 2 ml, c 3 ml, d 4 ml, e 5 ml, f 6 ml]}]\n";
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, six, (long)strlen(six), "test", &err), &err);
    edit_move_jar(plan, 5, 0);
    static const int wanted[] = {5, 0, 1, 2, 3, 4};
    int order[RN_PAINTS_MOST];
    assert_int_equal(edit_shelf_order(order, plan), 6);
    for (int k = 0; k < 6; k++) {
        assert_int_equal(order[k], wanted[k]);
        check_within(edit_jar_volume(plan, k), (k + 1) * ML, 1e-15);
    }
    edit_move_jar(plan, 5, 2);
    edit_shelf_order(order, plan);
    assert_int_equal(order[3], 5);
    rn_plan_free(plan);
}

static void moves_stop_where_they_touch(void **state)
{
    (void)state;
    rn_plan *plan = made();
    edit_shift_move(plan, 0, 27); /* a turn before a spin: one axis */
    check_within(plan->moves[0].start, 20, 1e-12);
    edit_stretch_move(plan, 0, 20, 99);
    check_within(plan->moves[0].duration, 10, 1e-12);
    edit_stretch_move(plan, 1, 3, 40);
    check_within(plan->moves[1].start, 30, 1e-12);
    edit_shift_move(plan, 2, -4);
    check_within(plan->moves[2].start, 0, 0);
    assert_int_equal(edit_add_move(plan, RN_MOVE_TURN, 25, 3), -1);
    const int added = edit_add_move(plan, RN_MOVE_TILT, 6, 8);
    assert_true(added >= 0);
    edit_stretch_move(plan, 2, 0, 20);
    check_within(plan->moves[2].duration, 6, 1e-12);
    edit_set_amount(plan, added, 10);
    check_within(plan->moves[added].amount, 0.5 * PI, 1e-12); /* upright */
    edit_set_amount(plan, 0, -1000);
    check_within(plan->moves[0].amount, -60 * PI / 30, 1e-12);
    double from, to;
    assert_true(edit_gap(&from, &to, plan, RN_MOVE_SPIN, 12));
    check_within(from, 0, 0);
    check_within(to, 20, 1e-12);
    assert_false(edit_gap(&from, &to, plan, RN_MOVE_TURN, 35));
    rn_plan_free(plan);
}

static void a_given_end_makes_room(void **state)
{
    (void)state;
    rn_plan *plan = made();
    plan->end_given = true;
    plan->end = 50;
    edit_shift_move(plan, 2, 60);
    check_within(plan->end, 65, 1e-12);
    edit_shift_pour(plan, 1, 100);
    check_within(plan->end, 102, 1e-12);
    rn_plan_free(plan);
}

static void bursts_keep_theirs(void **state)
{
    (void)state;
    rn_plan *plan = made(); /* 90 ml in four */
    check_within(edit_burst_volume(plan, 0, 2), 22.5 * ML, 1e-15);
    edit_set_burst_volume(plan, 0, 2, 32.5 * ML);
    check_within(edit_burst_volume(plan, 0, 2), 32.5 * ML, 1e-12);
    check_within(edit_burst_volume(plan, 0, 0), 22.5 * ML, 1e-12);
    check_within(edit_jar_volume(plan, 0), 60 * ML * 100 / 90, 0.001 * ML);
    edit_set_burst_count(plan, 0, 5);
    assert_int_equal(plan->pours[0].size_count, 5);
    check_within(edit_burst_volume(plan, 0, 4), 20 * ML, 1e-12); /* 25 of 125, of 100 ml */
    check_within(edit_burst_volume(plan, 0, 2), 26 * ML, 1e-12);
    edit_set_burst_count(plan, 0, 1);
    check_within(edit_burst_volume(plan, 0, 0), 100 * ML, 1e-12);
    rn_plan_free(plan);
}

static void pours_stretch_and_stay_apart(void **state)
{
    (void)state;
    rn_plan *plan = made();
    edit_stretch_pour(plan, 0, 32);
    check_within(plan->pours[0].every, 10, 1e-12);
    edit_stretch_pour(plan, 0, 3);
    check_within(plan->pours[0].every, 2, 1e-12); /* bursts that touch */
    edit_set_burst_open(plan, 0, 9);
    check_within(plan->pours[0].open, 2, 1e-12);
    edit_set_burst_open(plan, 1, 9);
    check_within(plan->pours[1].open, 9, 1e-12);
    rn_plan_free(plan);
}

static void rings_stop_where_they_must(void **state)
{
    (void)state;
    rn_plan *plan = made();
    double inner, outer;
    edit_get_ring(&inner, &outer, plan, 0); /* 70 mm across, 10 mm wide */
    check_within(inner, 30e-3, 1e-12);
    check_within(outer, 40e-3, 1e-12);
    edit_set_ring(plan, 0, 30e-3, 60e-3);
    edit_get_ring(&inner, &outer, plan, 0);
    check_within(inner, 30e-3, 1e-12);
    check_within(outer, 60e-3, 1e-12);
    edit_set_ring(plan, 0, 5e-3, 60e-3); /* at most half as wide as the rim's radius */
    edit_get_ring(&inner, &outer, plan, 0);
    check_within(inner, 20e-3, 1e-12);
    check_within(outer, 60e-3, 1e-12);
    edit_place_pour(plan, 0, 1, 0);
    check_within(plan->pours[0].at.x, 90e-3, 1e-12); /* 150 mm less its reach */
    edit_set_ring(plan, 0, 50e-3, 1);
    edit_set_ring(plan, 0, 50e-3, 1);
    edit_get_ring(&inner, &outer, plan, 0);
    check_within(outer, 60e-3, 1e-12); /* the panel's edge */
    edit_place_pour(plan, 0, 3e-3, 3e-3);
    assert_false(plan->pours[0].at.point);
    rn_plan_free(plan);
}

static void a_coat_of_paint(void **state)
{
    (void)state;
    rn_plan *plan = made();
    check_within(edit_base_depth(plan), 0, 0);
    edit_set_base_depth(plan, 0.25e-3);
    check_within(edit_base_depth(plan), 0.25e-3, 1e-15);
    assert_int_equal(plan->base_count, 1);
    edit_set_base_depth(plan, 0);
    assert_int_equal(plan->base_count, 0);
    plan->base_count = 1; /* by volume: 45 ml over 30 cm x 30 cm is 0.5 mm */
    plan->bases[0] = (rn_base){.kind = RN_BASE_ALL, .volume = 45 * ML, .depth = NAN};
    check_within(edit_base_depth(plan), 0.5e-3, 1e-15);
    edit_remove_jar(plan, 0);
    assert_int_equal(plan->base_count, 0);
    assert_int_equal(plan->paint_count, 2);
    assert_int_equal(plan->pours[0].layer_count, 1);
    assert_int_equal(plan->pours[1].stack[0].paint, 0); /* foam moved up */
    edit_remove_jar(plan, 0);
    assert_int_equal(plan->pour_count, 0);
    rn_plan_free(plan);
}

/* Rounded numbers are those that reading them gives, so that plan and file are the same to the last bit. */
static void tidy_numbers_are_read_the_same(void **state)
{
    (void)state;
    static const struct {
        rn_dimension dimension;
        double most;
        int decimals;
    } kinds[] = {{RN_DIM_VOLUME, 5e-3, 3}, {RN_DIM_TIME, 4000, 2},  {RN_DIM_ANGLE, 6.28, 2},
                 {RN_DIM_RATE, 300, 2},    {RN_DIM_LENGTH, 3, 1},   {RN_DIM_VISCOSITY, 50, 3},
                 {RN_DIM_STRESS, 50, 3},   {RN_DIM_PLAIN, 1000, 3}, {RN_DIM_ANGLE, 1, 1}};
    rn_random random = rn_random_seeded(7);
    rn_error err = {0};
    for (size_t kind = 0; kind < sizeof kinds / sizeof *kinds; kind++)
        for (int k = 0; k < 3000; k++) {
            const double exact = between(&random, 0, kinds[kind].most);
            const double value = tidy(exact, kinds[kind].dimension, kinds[kind].decimals);
            char text[64];
            double read;
            rn_units_write(text, sizeof text, value, kinds[kind].dimension, NULL);
            check_ok(rn_units_read(&read, NULL, text, kinds[kind].dimension, 0, &err), &err);
            assert_true(read == value);
            assert_true(tidy(value, kinds[kind].dimension, kinds[kind].decimals) == value);
            const double within = tidy_within(exact, exact, exact, kinds[kind].dimension, kinds[kind].decimals);
            assert_true(within == exact);
        }
    const rn_panel panel = {.width = 0.4, .height = 0.3};
    check_within(tidy_bearing(-0.01, 5, &panel), 0, 0);
    check_within(tidy_bearing(2 * PI - 0.01, 5, &panel), 0, 0);
    check_within(tidy_bearing(-PI / 2, 5, &panel), 1.5 * PI, 1e-12);
    check_within(tidy_bearing(1.0, 5, &panel), 55 * PI / 180, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_edits_leave_a_plan),
        cmocka_unit_test(volumes_of_jars),
        cmocka_unit_test(consistency_of_jars),
        cmocka_unit_test(jars_change_places),
        cmocka_unit_test(a_jar_passes_one_neighbour_after_the_other),
        cmocka_unit_test(moves_stop_where_they_touch),
        cmocka_unit_test(a_given_end_makes_room),
        cmocka_unit_test(bursts_keep_theirs),
        cmocka_unit_test(pours_stretch_and_stay_apart),
        cmocka_unit_test(rings_stop_where_they_must),
        cmocka_unit_test(a_coat_of_paint),
        cmocka_unit_test(tidy_numbers_are_read_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
