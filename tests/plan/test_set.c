/* One value by its path, from the command line: set as a person writes it, or the plan stays as it was. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "plan/plan.h"
#include "plan/plan_keys.h"
#include "same.h"

static rn_plan *good_plan(void)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, "tests/plans/tide-table-full.yaml", &err), &err);
    return plan;
}

static void set(rn_plan *plan, const char *path, const char *value)
{
    rn_error err = {0};
    check_ok(rn_plan_set(plan, path, value, &err), &err);
}

static void refuses(const char *path, const char *value, const char *message)
{
    rn_plan *plan = good_plan(), *before = good_plan();
    rn_error err = {0};
    check_status(rn_plan_set(plan, path, value, &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, message);
    assert_int_equal(err.line, 0);
    check_same_plan(plan, before);
    rn_plan_free(plan);
    rn_plan_free(before);
}

static void scalars_are_set_by_path(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    set(plan, "moves.4.spin", "45rpm");
    check_close(plan->moves[3].amount, 1.5 * RN_PI, 1e-15);
    set(plan, "paints.slate.viscosity", "1200 mPa s");
    check_close(plan->paints[0].law.consistency, 1.2, 1e-15);
    set(plan, "paints.2.consistency", "thinned glycerine");
    check_close(plan->paints[1].law.consistency, 0.5, 1e-15);
    assert_int_equal(plan->old_word_count, 0);
    set(plan, "pours.1.start", "0.5 min");
    check_close(plan->pours[0].start, 30, 1e-15);
    set(plan, "pours.1.name", "tide");
    set(plan, "pours.tide.uneven", "20 %");
    check_close(plan->pours[0].uneven, 0.2, 1e-15);
    set(plan, "cover", "0.2 mm");
    check_close(plan->cover, 0.2e-3, 1e-15);
    set(plan, "limits.spin", "50 rpm");
    check_close(plan->limits.spin, 50 * RN_PI / 30, 1e-15);
    set(plan, "title", "Ebb");
    assert_string_equal(plan->title, "Ebb");
    set(plan, "panel.edges", "wrapped");
    assert_int_equal(plan->panel.edges, RN_EDGE_WRAPPED);
    rn_plan_free(plan);
}

static void lists_are_set_whole_or_by_entry(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    set(plan, "pours.1.stack.2", "45 ml");
    check_close(plan->pours[0].stack[1].volume, 45e-6, 1e-15);
    assert_int_equal(plan->pours[0].stack[1].paint, 1);
    set(plan, "pours.1.stack.brass", "slate 24 g");
    check_close(plan->pours[0].stack[2].volume, 20e-6, 1e-15);
    assert_int_equal(plan->pours[0].stack[2].paint, 0);
    set(plan, "pours.1.sizes.3", "2");
    check_close(rn_pour_source(plan, &plan->pours[0]).share[2], 2.0 / 9, 1e-15);
    set(plan, "pours.1.stack", "brass 1 oz, slate 30 ml");
    assert_int_equal(plan->pours[0].layer_count, 2);
    check_close(plan->pours[0].stack[0].volume, 29.5735295625e-6, 1e-15);
    set(plan, "pours.1.sizes", "equal");
    assert_int_equal(plan->pours[0].size_count, 0);
    set(plan, "expect.run-off", "at most 10 ml");
    assert_int_equal(plan->expect_count, 2);
    check_close(plan->expects[1].value, 10e-6, 1e-15);
    set(plan, "expect.covered by", "100 s");
    assert_int_equal(plan->expect_count, 3);
    set(plan, "expect.run-off.2", "8 ml +- 2 ml"); /* one more */
    set(plan, "expect.run-off.2", "7 ml +- 2 ml");
    assert_int_equal(plan->expect_count, 4);
    check_close(plan->expects[1].value, 10e-6, 1e-15);
    check_close(plan->expects[3].value, 7e-6, 1e-15);
    rn_plan_free(plan);
}

static void several_are_checked_when_all_are_set(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    rn_error err = {0};
    const rn_setting settings[] = {{"pours.1.lifts", "3"}, {"pours.1.sizes", "[1, 2, 1]"}};
    check_ok(rn_plan_set_all(plan, settings, 2, &err), &err);
    assert_int_equal(plan->pours[0].lifts, 3);
    check_close(rn_pour_source(plan, &plan->pours[0]).share[1], 0.5, 1e-15);
    rn_plan_free(plan);
}

static void poured_scales_all_stacks(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    set(plan, "poured", "155ml");
    double volumes[3];
    rn_plan_poured(volumes, plan);
    check_close(volumes[0] + volumes[1] + volumes[2], 155e-6, 1e-14);
    check_close(volumes[1] / volumes[0], 3, 1e-14); /* 60 to 20 ml, as before */
    rn_plan_free(plan);
}

static void consistency_scales_every_viscosity(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    set(plan, "consistency", "2 Pa s");
    double based[3], poured[3], logs = 0, total = 0;
    rn_plan_based(based, plan);
    rn_plan_poured(poured, plan);
    for (int i = 0; i < 3; i++) { /* the log mean of Grunberg and Nissan 1949 [grunberg1949], by volume */
        logs += (based[i] + poured[i]) * log(plan->paints[i].law.consistency);
        total += based[i] + poured[i];
    }
    check_close(exp(logs / total), 2, 1e-13);
    check_close(plan->paints[1].law.consistency / plan->paints[0].law.consistency, 1.1, 1e-14);
    check_close(plan->paints[2].law.yield, 0.6, 1e-15);
    set(plan, "consistency", "Milk"); /* a word of the older ladder, 0.03 Pa s */
    check_close(plan->paints[1].law.consistency / plan->paints[0].law.consistency, 1.1, 1e-14);
    double volume;
    check_close(rn_plan_mixture(&volume, plan).law.consistency, 0.03, 1e-13);
    assert_int_equal(plan->old_word_count, 1);
    assert_string_equal(rn_consistency_olds[plan->old_words[0].word].word, "milk");
    assert_int_equal(plan->old_words[0].mark.line, 0);
    rn_plan_free(plan);
}

static void what_follows_a_change_follows(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    set(plan, "panel.size", "12 in x 16 in");
    check_close(plan->moves[1].toward, atan2(16, 12), 1e-14); /* still the back right corner */
    check_close(plan->moves[2].toward, RN_PI, 1e-15);
    set(plan, "panel.across", "40 cm");
    assert_true(plan->panel.round);
    check_close(plan->moves[1].toward, RN_PI / 4, 1e-15);
    set(plan, "panel.ground", "sealed");
    check_close(plan->panel.advance, 35 * RN_PI / 180, 1e-15);
    set(plan, "panel.advance", "30 deg");
    set(plan, "panel.ground", "primed");
    check_close(plan->panel.advance, 30 * RN_PI / 180, 1e-15);
    set(plan, "base.1.volume", "20 ml");
    assert_true(isnan(plan->bases[0].depth));
    set(plan, "base.1.depth", "0.4 mm");
    assert_true(isnan(plan->bases[0].volume));
    set(plan, "moves.2.for", "0.6 s");
    check_close(plan->moves[1].ramp, 0.3, 1e-15);
    set(plan, "moves.2.for", "9 s");
    check_close(plan->moves[1].ramp, 0.5, 1e-15);
    rn_plan_free(plan);
}

static void the_end_follows_unless_given(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, "tests/plans/smallest.yaml", &err), &err);
    set(plan, "pours.1.start", "10 s");
    check_close(plan->end, 72, 1e-15);
    set(plan, "end", "100 s");
    set(plan, "pours.1.start", "20 s");
    check_close(plan->end, 100, 0);
    rn_plan_free(plan);
}

static void what_cannot_be_set_names_its_path(void **state)
{
    (void)state;
    refuses("moves.4.spin", "45", "moves.4.spin: '45' has no unit: did you mean 45 rpm?");
    refuses("moves.4.spin", "4000 rpm",
            "moves.4.spin: '4000 rpm' is out of range: spin goes from -3000 rpm to 3000 rpm");
    refuses("moves.4.tilt", "4 deg", "moves.4.tilt: 'tilt' does not apply to this entry as it is");
    refuses("moves.9.for", "4 s", "moves.9.for: there is no '9' under moves");
    refuses("moves.0.for", "4 s", "moves.0.for: there is no '0' under moves");
    refuses("moves", "4 s", "moves: it holds keys of its own: write for example moves.4.spin or panel.size");
    refuses("mvoes.1.for", "4 s", "mvoes.1.for: unknown key 'mvoes'; did you mean 'moves'?");
    refuses("paints.kelp.viscosty", "1 Pa s",
            "paints.kelp.viscosty: unknown key 'viscosty'; did you mean 'viscosity'?");
    refuses("paints.umber.viscosity", "1 Pa s", "paints.umber.viscosity: there is no 'umber' under paints");
    refuses("pours.1.stack.9", "1 ml", "pours.1.stack.9: there is no entry '9'");
    refuses("pours.1.lifts", "3", "pours.1.sizes: there are 8 sizes for 3 lifts: give one for each");
    refuses("end", "20 s", "end: the plan ends at 20 s, but pour 1 lasts until 42 s");
    refuses("base.1.across", "20 mm", "base.1.across: 'across' does not apply to this entry as it is");
    refuses("poured", "0 ml", "poured: the volume must be more than nothing: write for example 155 ml");
    refuses("poured", "155 l", "pours.1.stack: layer 1 is out of range: a volume goes from 0 ml to 20 l");
    refuses("poured", "155", "poured: '155' has no unit: did you mean 155 ml?");
    refuses("consistency", "nan",
            "consistency: 'nan' is no viscosity that can be worked with: write for example 1.1 Pa s");
    refuses("consistency", "1 MPa s", "consistency: unknown unit 'MPa s' in '1 MPa s'; did you mean 'mPa s'?");
    refuses("", "1", "'' is no path: write for example moves.4.spin");
    refuses("a..b", "1", "'a..b' is no path: write for example moves.4.spin");
    refuses("title", "two\nlines", "title: the value holds a character that is no text");
    refuses("panel", "1", "panel: it holds keys of its own: write for example moves.4.spin or panel.size");
    refuses("expect", "1", "expect: it holds keys of its own: write for example expect.coverage");
    refuses("expect.coverage.3", "at least 9 %", "expect.coverage.3: there is no expectation '3' of this kind");
}

/* Every value that the key table writes for a plan can be set again under its path, and changes nothing. */
static void every_key_that_is_written_can_be_set(void **state)
{
    (void)state;
    rn_plan *plan = good_plan(), *before = good_plan();
    const int elements[RN_SECTIONS] = {1, 1, plan->paint_count, plan->base_count, plan->pour_count, plan->move_count,
                                       1};
    int set_count = 0;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++)
        for (int index = 0; index < elements[section]; index++) {
            int count;
            const rn_key *keys = rn_plan_keys(&count, section);
            for (int i = 0; i < count; i++) {
                char value[1000], path[200];
                if (!rn_key_value_text(value, sizeof value, plan, section, index, &keys[i]))
                    continue;
                const char *word = rn_section_word(section);
                if (section == RN_SECTION_PLAN || section == RN_SECTION_PANEL || section == RN_SECTION_LIMITS)
                    snprintf(path, sizeof path, "%s%s%s", word, word[0] ? "." : "", keys[i].name);
                else
                    snprintf(path, sizeof path, "%s.%d.%s", word, index + 1, keys[i].name);
                set(plan, path, value);
                set_count++;
            }
        }
    check_same_plan(plan, before);
    assert_true(set_count > 70);
    rn_plan_free(plan);
    rn_plan_free(before);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scalars_are_set_by_path),
        cmocka_unit_test(lists_are_set_whole_or_by_entry),
        cmocka_unit_test(several_are_checked_when_all_are_set),
        cmocka_unit_test(poured_scales_all_stacks),
        cmocka_unit_test(consistency_scales_every_viscosity),
        cmocka_unit_test(what_follows_a_change_follows),
        cmocka_unit_test(the_end_follows_unless_given),
        cmocka_unit_test(what_cannot_be_set_names_its_path),
        cmocka_unit_test(every_key_that_is_written_can_be_set),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
