/* What the axes of the window of plans that work can be, and their marks. */
#include <string.h>

#include "axes.h"
#include "check.h"
#include "program.h"

static void axes_lie_around_what_the_plan_says(void **state)
{
    (void)state;
    rn_plan *plan = program_plan();
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, plan);
    assert_true(count >= 6);
    assert_string_equal(list[0].path, "consistency");
    assert_string_equal(list[1].path, "poured");
    for (int k = 0; k < count; k++) {
        rn_dial dial;
        rn_error err = {0};
        check_ok(axes_dial(&dial, plan, list[k].path, &err), &err);
        check_at_least(dial.now, dial.from);
        check_at_most(dial.now, dial.to);
        assert_true(dial.now - dial.from > 0.1 * dial.now && dial.to - dial.now > 0.1 * dial.now);
        for (int other = 0; other < k; other++)
            assert_string_not_equal(list[k].words, list[other].words);
    }
    rn_plan_free(plan);
}

static void marks_are_round_and_within(void **state)
{
    (void)state;
    rn_plan *plan = program_plan();
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, plan);
    for (int k = 0; k < count; k++)
        for (int ounces = 0; ounces < 2; ounces++) {
            rn_dial dial;
            rn_error err = {0};
            rv_axis_mark marks[AXES_MARKS];
            check_ok(axes_dial(&dial, plan, list[k].path, &err), &err);
            const int all = axes_marks(marks, &dial, dial.from, dial.to, 7, ounces);
            assert_in_range(all, 2, AXES_MARKS);
            for (int m = 0; m < all; m++) {
                check_at_least(marks[m].value, dial.from * (1 - 1e-6));
                check_at_most(marks[m].value, dial.to * (1 + 1e-6));
                assert_true(strlen(marks[m].text) <= 5);
            }
        }
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(axes_lie_around_what_the_plan_says),
        cmocka_unit_test(marks_are_round_and_within),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
