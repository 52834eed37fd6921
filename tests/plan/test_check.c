/* Every wrong plan under tests/plans/wrong is refused at the line, column and with the words that stand in the
   file beside it; and a plan built in memory is checked as well, its complaints naming the path. */
#include "check.h"

#include <dirent.h>
#include <string.h>

#include "plan/plan.h"

#define FOLDER "tests/plans/wrong/"
#define WRONG_PLANS_LEAST 45

static void read_line(char *text, int size, const char *path)
{
    FILE *file = fopen(path, "r");
    if (!file)
        fail_msg("%s is missing", path);
    if (!fgets(text, size, file))
        text[0] = '\0';
    text[strcspn(text, "\n")] = '\0';
    fclose(file);
}

/* One wrong plan; returns whether it is refused as its file says. */
static bool refused_as_told(const char *name)
{
    char path[400], told_path[400], told[600], heard[700], *dot;
    snprintf(path, sizeof path, FOLDER "%s", name);
    snprintf(told_path, sizeof told_path, "%s", path);
    dot = strrchr(told_path, '.');
    snprintf(dot, sizeof told_path - (size_t)(dot - told_path), ".expect");
    read_line(told, sizeof told, told_path);
    rn_error err = {0};
    rn_plan *plan = NULL;
    rn_status status = rn_plan_read_file(&plan, path, &err);
    snprintf(heard, sizeof heard, "%d:%d: %s", err.line, err.column, err.message);
    bool right = status == RN_E_PLAN && !plan && !strcmp(heard, told) && !strcmp(err.file, path);
    if (!right)
        print_error("%s\n  told:  %s\n  heard: %s\n", name, told, status ? heard : "it was accepted");
    rn_plan_free(plan);
    return right;
}

static void wrong_plans_are_refused_where_and_why(void **state)
{
    (void)state;
    DIR *folder = opendir(FOLDER);
    assert_non_null(folder);
    int count = 0, wrong = 0;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        const char *dot = strrchr(entry->d_name, '.');
        if (!dot || strcmp(dot, ".yaml"))
            continue;
        count++;
        wrong += !refused_as_told(entry->d_name);
    }
    closedir(folder);
    assert_int_equal(wrong, 0);
    assert_true(count >= WRONG_PLANS_LEAST);
}

static void a_file_over_one_mebibyte_is_refused(void **state)
{
    (void)state;
    const long size = 1024 * 1024 + 1;
    char *text = malloc((size_t)size);
    memset(text, '#', (size_t)size);
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_status(rn_plan_read(&plan, text, size, "large", &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, "the file is too large for a plan: 1048577 bytes, at most 1048576");
    assert_int_equal(err.line, 1);
    /* One byte less is only a comment. */
    err = (rn_error){0};
    check_status(rn_plan_read(&plan, text, size - 1, "large", &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, "the plan is empty: it begins with plan: 1");
    free(text);
}

/* A list with more entries than a plan holds. */
static void refuses_many(const char *before, const char *entry, const char *after, const char *message)
{
    const int count = 300;
    char *text = malloc(strlen(before) + (size_t)count * strlen(entry) + strlen(after) + 1);
    strcpy(text, before);
    for (int i = 0; i < count; i++)
        strcat(text, entry);
    strcat(text, after);
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_status(rn_plan_read(&plan, text, (long)strlen(text), "many", &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, message);
    assert_true(err.line > 0 && err.column > 0);
    free(text);
}

static void lists_that_are_too_long_are_refused(void **state)
{
    (void)state;
#define HEAD "plan: 1\npanel: {size: 30 cm x 30 cm}\npaints: {a: {}}\n"
    refuses_many(HEAD "base:\n", "- {paint: a, depth: 1 mm}\n", "",
                 "there are too many entries under 'base': at most 32");
    refuses_many(HEAD "pours:\n", "- {stack: [a 1 ml]}\n", "", "there are too many entries under 'pours': at most 32");
    refuses_many(HEAD "moves:\n", "- {start: 1 s, for: 1 s, rest: yes}\n", "",
                 "there are too many entries under 'moves': at most 200");
    refuses_many(HEAD "pours:\n- stack: [", "a 1 ml, ", "]\n", "the stack is too high: at most 24 layers");
    refuses_many(HEAD "pours:\n- sizes: [", "1, ", "]\n", "there are too many sizes: at most 200");
    refuses_many(HEAD "expect: {corner: [", "at least 1 mm, ", "]}\n", "there are too many expectations: at most 32");
#undef HEAD
}

static rn_plan *good_plan(void)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, "tests/plans/tide-table-full.yaml", &err), &err);
    return plan;
}

static void refuses_struct(const rn_plan *plan, const char *message)
{
    rn_error err = {0};
    check_status(rn_plan_check(plan, &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, message);
    assert_int_equal(err.line, 0);
}

static void a_plan_in_memory_is_checked_by_path(void **state)
{
    (void)state;
    rn_plan *plan = good_plan();
    rn_error err = {0};
    check_ok(rn_plan_check(plan, &err), &err);
    plan->moves[3].start = 30;
    refuses_struct(plan, "moves.4.start: move 4 (spin, 30 s to 50 s) overlaps move 1 (turn, 5 s to 45 s): one turn or "
                         "spin at a time");
    plan->moves[3].start = 45; /* as one ends the other may begin */
    check_ok(rn_plan_check(plan, &err), &err);
    plan->moves[1].amount = 2;
    refuses_struct(plan, "moves.2.tilt: it is out of range: tilt goes from 0 deg to 90 deg");
    rn_plan_free(plan);
    plan = good_plan();
    plan->paints[1].law.consistency = 1e5;
    refuses_struct(plan, "paints.kelp.viscosity: it is out of range: viscosity goes from 0.0001 Pa s to 10000 Pa s");
    plan->paints[1].law.consistency = 1;
    plan->paints[2].density = NAN;
    refuses_struct(plan, "paints.brass.density: it has no value");
    plan->paints[2].density = 1200;
    plan->pours[0].at = (rn_place){.point = true, .x = 0.1524 - 0.04, .y = -0.1524 + 0.04};
    check_ok(rn_plan_check(plan, &err), &err); /* it just touches both edges */
    plan->pours[0].at.x += 1e-6;
    refuses_struct(plan, "pours.1.at: the ring hangs over the edge: it reaches 40 mm from its centre");
    rn_plan_free(plan);
    plan = good_plan(); /* puddles on the four diagonals of a disc: D/(1 + sqrt 2) = 124.26 mm is the widest */
    check_ok(rn_plan_set(plan, "panel.across", "30 cm", &err), &err);
    check_ok(rn_plan_set(plan, "base.2.across", "124.2 mm", &err), &err);
    plan->bases[1].across = 124.3e-3;
    refuses_struct(plan, "base.2.across: corner puddles 124.3 mm wide meet each other on a panel of 300 mm");
    rn_plan_free(plan);
    plan = rn_plan_new();
    refuses_struct(plan, "pours: there is no paint: give a base coat or a pour");
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wrong_plans_are_refused_where_and_why),
        cmocka_unit_test(a_file_over_one_mebibyte_is_refused),
        cmocka_unit_test(lists_that_are_too_long_are_refused),
        cmocka_unit_test(a_plan_in_memory_is_checked_by_path),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
