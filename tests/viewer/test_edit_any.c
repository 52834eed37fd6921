/* Any edits in any order: what is left can be poured, says the same when it has been written and read, and has changed only
   in what was touched. */
#include "check.h"

#include <string.h>

#include "base/random.h"
#include "document.h"
#include "edit.h"

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
            if (edit_pourable(document_plan(doc)))
                reads_back(document_plan(doc));
            rn_plan_free(before);
        }
        document_free(doc);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_edits_leave_a_plan),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
