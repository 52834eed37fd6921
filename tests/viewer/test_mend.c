/* What is wrong with a plan and how it is mended: every broken plan of the plan's own tests, and files that are none. */
#define _XOPEN_SOURCE 700 /* P_tmpdir */
#include "check.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mend.h"

#define WRONG "tests/plans/wrong"
#define GOOD                                                                                                           \
    "plan: 1\npanel: {size: 12 in x 12 in}\npaints:\n  slate: {colour: \"#2b3a55\"}\n  kelp: {colour: 1f7a5c}\n"

static char scratch[400];

static void write_file(const char *path, const char *text, size_t size)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, size, file), size);
    assert_int_equal(fclose(file), 0);
}

static void look_at(rv_mend *mend, const char *text)
{
    write_file(scratch, text, strlen(text));
    assert_true(mend_look(mend, scratch));
}

/* Holds for every file: the mended text is a plan, or says the error that the page tells last of. */
static void check_promise(const rv_mend *mend, const char *path)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    const rn_status status = mend_read(&plan, mend, true, &err);
    if (mend->text && mend_whole(mend) != (status == RN_OK))
        fail_msg("%s: whole %d, but reading it says: %s", path, mend_whole(mend), err.message);
    rn_plan_free(plan);
    for (int k = 0; k < mend->count; k++) {
        const rv_mend_line *line = &mend->lines[k];
        if (!line->what[0] || line->line < 1 || line->line > mend->line_count || line->column < 1 || line->length < 0)
            fail_msg("%s: line %d, column %d, '%s'", path, line->line, line->column, line->what);
        if (line->mendable != (line->offer[0] != '\0'))
            fail_msg("%s: mendable without an offer, or the reverse", path);
    }
    if (mend->text && mend->count == 0 && status != RN_OK)
        fail_msg("%s: nothing is told of what is wrong", path);
    if (!mend->text && !mend->trouble[0])
        fail_msg("%s: not read, and no word why", path);
}

static void every_wrong_plan_is_looked_at(void **state)
{
    (void)state;
    DIR *folder = opendir(WRONG);
    assert_non_null(folder);
    int plans = 0, mended = 0;
    for (struct dirent *entry; (entry = readdir(folder));) {
        const char *dot = strrchr(entry->d_name, '.');
        if (!dot || strcmp(dot, ".yaml") != 0)
            continue;
        char path[400], expected[400] = "";
        snprintf(path, sizeof path, WRONG "/%s", entry->d_name);
        rv_mend mend;
        assert_true(mend_look(&mend, path));
        check_promise(&mend, path);
        plans++;
        mended += mend_whole(&mend);
        snprintf(expected, sizeof expected, WRONG "/%.*s.expect", (int)(dot - entry->d_name), entry->d_name);
        FILE *file = fopen(expected, "r");
        int line = 0, column = 0;
        assert_non_null(file);
        assert_int_equal(fscanf(file, "%d:%d", &line, &column), 2);
        fclose(file);
        bool told = !mend.text || (mend.count == 0 && mend_whole(&mend)); /* only being made: a window takes those */
        for (int k = 0; k < mend.count; k++) /* a bracket is closed, a line taken out, near to where the error shows */
            told = told || abs(mend.lines[k].line - line) <= 1;
        if (!told)
            fail_msg("%s: line %d is not told", path, line);
        if (getenv("RUNNEL_TEST_TELL"))
            for (int k = 0; k < mend.count || (k == 0 && mend.trouble[0]); k++)
                printf("%-34s %d:%d+%d %s | %s | %s [%s]%s%s\n", entry->d_name, mend.lines[k].line,
                       mend.lines[k].column, mend.lines[k].length, mend.lines[k].what, mend.lines[k].wanted,
                       mend.lines[k].offer, mend.lines[k].instead, mend.more ? " ..." : "", mend.trouble);
        mend_clear(&mend);
    }
    closedir(folder);
    print_message("%d of %d wrong plans are mended whole\n", mended, plans);
    assert_true(plans > 100);
    assert_true(2 * mended > plans);
}

static const char *offered(const rv_mend *mend, int k)
{
    assert_true(k < mend->count);
    return mend->lines[k].offer;
}

static void several_errors_come_at_once(void **state)
{
    (void)state;
    rv_mend mend;
    look_at(&mend, GOOD "pours:\n  - {stack: [slate 100 ml, kelp -20 ml]}\nmoves:\n"
                        "  - {start: 41 s, for: 21 s, tilt: 4.5 deg, toward: left}\n"
                        "  - {start: 58 s, for: 12 s, tilt: 3 deg, toward: back left}\n"
                        "cover: 0,15\nend: 2:30\nlimits: {spni: 300 rpm}\n");
    check_promise(&mend, "several");
    assert_int_equal(mend.count, 5);
    assert_int_equal(mend.line_count, 13);
    assert_string_equal(offered(&mend, 0), "Use 20 ml");
    assert_int_equal(mend.lines[0].line, 7);
    assert_string_equal(mend.lines[0].what, "a jar cannot hold \u221220 ml");
    assert_string_equal(offered(&mend, 1), "Begin it at 62 s");
    assert_int_equal(mend.lines[1].line, 10);
    assert_string_equal(offered(&mend, 2), "Use 0.15 mm"); /* the point, and then the unit, are one mend */
    assert_int_equal(mend.lines[2].column, 8);
    assert_int_equal(mend.lines[2].length, 4);
    assert_string_equal(offered(&mend, 3), "Use 150 s");
    assert_string_equal(offered(&mend, 4), "Write spin");
    assert_true(mend_whole(&mend));

    rn_plan *plan = NULL;
    rn_error err = {0};
    assert_int_equal(mend_read(&plan, &mend, true, &err), RN_OK);
    check_within(plan->pours[0].stack[1].volume, 20e-6, 1e-12);
    check_within(plan->moves[1].start, 62, 1e-9);
    check_within(plan->cover, 0.15e-3, 1e-12);
    check_within(plan->end, 150, 1e-9);
    rn_plan_free(plan);
    mend_clear(&mend);
}

static void one_mend_alone_leaves_the_others(void **state)
{
    (void)state;
    rv_mend mend;
    look_at(&mend, GOOD "pours:\n  - {stack: [slate -10 ml, kelp -200000 ml, kelp -3 ml]}\n");
    assert_int_equal(mend.count, 3);
    mend.lines[2].taken = true;
    char *text = mend_apply(&mend, false);
    assert_non_null(text);
    assert_non_null(strstr(text, "[slate -10 ml, kelp -200000 ml, kelp 3 ml]"));
    free(text);
    text = mend_apply(&mend, true);
    assert_non_null(strstr(text, "[slate 10 ml, kelp 0 ml, kelp 3 ml]"));
    free(text);
    mend_clear(&mend);
}

static void places_hold_in_other_letters(void **state)
{
    (void)state;
    rv_mend mend;
    look_at(&mend, "plan: 1\r\ntitle: Öl über Éis\r\npanel: {size: 12 in x 12 in, edges: cleen} # größer\r\n"
                   "base: [{paint: slate, depth: 1 mm}]\r\npaints: {slate: {colour: \"é\"}}\r\n");
    check_promise(&mend, "letters");
    assert_string_equal(offered(&mend, 0), "Write clean");
    assert_int_equal(mend.lines[0].line, 3);
    assert_int_equal(mend.lines[0].column, 37);
    assert_int_equal(mend.lines[1].line, 5);
    assert_false(mend.lines[1].mendable);
    mend_clear(&mend);
}

static void files_that_are_no_plans(void **state)
{
    (void)state;
    rv_mend mend;
    assert_true(mend_look(&mend, "tests/plans"));
    check_promise(&mend, "a folder");
    assert_non_null(strstr(mend.trouble, "folder"));
    mend_clear(&mend);
    assert_true(mend_look(&mend, "tests/plans/there-is-no-such-plan.yaml"));
    check_promise(&mend, "no file");
    assert_string_equal(mend.name, "there-is-no-such-plan.yaml");
    mend_clear(&mend);

    write_file(scratch, "", 0);
    assert_true(mend_look(&mend, scratch));
    check_promise(&mend, "empty");
    mend_clear(&mend);
    write_file(scratch, "plan: 1\0\0\1", 10);
    assert_true(mend_look(&mend, scratch));
    check_promise(&mend, "binary");
    assert_null(mend.text);
    mend_clear(&mend);
    const size_t size = (1 << 20) + 1;
    char *much = malloc(size);
    assert_non_null(much);
    memset(much, 'a', size);
    write_file(scratch, much, size);
    assert_true(mend_look(&mend, scratch));
    check_promise(&mend, "too large");
    assert_null(mend.text);
    mend_clear(&mend);
    write_file(scratch, much, 4000); /* one line without an end */
    free(much);
    assert_true(mend_look(&mend, scratch));
    check_promise(&mend, "a long line");
    mend_clear(&mend);
    assert_int_equal(unlink(scratch), 0);
    assert_int_equal(mkfifo(scratch, 0600), 0); /* must not wait for somebody to write */
    assert_true(mend_look(&mend, scratch));
    check_promise(&mend, "a pipe");
    mend_clear(&mend);
}

/* A plan with letters lost, doubled and changed, as fingers do: whatever comes, the promise holds. */
static void slips_of_the_fingers(void **state)
{
    (void)state;
    static const char *const presets[] = {"presets/cells.yaml", "presets/forty-bands.yaml", "presets/lesson-spin.yaml"};
    unsigned long seed = 7;
    for (int round = 0; round < 240; round++) {
        FILE *file = fopen(presets[round % 3], "rb");
        char text[4096];
        assert_non_null(file);
        size_t size = fread(text, 1, sizeof text - 64, file);
        fclose(file);
        for (int slip = 0; slip <= round % 4; slip++) {
            seed = seed * 6364136223846793005UL + 1442695040888963407UL;
            const size_t at = (size_t)(seed >> 33) % size;
            const char letter = "-,:{}[]#'\" \n\tx0.\xFC"[(seed >> 20) % 17];
            switch ((seed >> 28) % 3) {
            case 0: text[at] = letter; break;
            case 1:
                memmove(text + at, text + at + 1, size - at - 1);
                size--;
                break;
            default:
                memmove(text + at + 1, text + at, size - at);
                text[at] = letter;
                size++;
                break;
            }
        }
        write_file(scratch, text, size);
        rv_mend mend;
        assert_true(mend_look(&mend, scratch));
        char name[40];
        snprintf(name, sizeof name, "slip %d", round);
        check_promise(&mend, name);
        mend_clear(&mend);
    }
}

/* What could be meant in two ways is left to the painter; what is meant in one is offered, in a unit that makes it usual. */
static void numbers_without_units_are_mended_as_they_are_meant(void **state)
{
    (void)state;
    static const struct {
        const char *pair, *offer;
    } tries[] = {{"viscosity: 1000", "Use 1000 mPa s"},
                 {"solids: 0.35", ""},
                 {"solids: 35", "Use 35 %"},
                 {"price: 0.95", "Use 0.95 per fl oz"},
                 {"price: 40 per kg", "Take it out"},
                 {"density: 1200", "Use 1200 kg/m3"},
                 {"density: 1,200 kg/m3", ""},
                 {"tension: 0.033", "Use 0.033 N/m"}};
    for (size_t k = 0; k < sizeof tries / sizeof tries[0]; k++) {
        rv_mend mend;
        char text[300];
        snprintf(text, sizeof text,
                 "plan: 1\npanel: {size: 12 in x 12 in}\npaints:\n  slate: {\"colour\": 1f7a5c, %s}\n"
                 "pours: [{stack: [slate 100 ml]}]\n",
                 tries[k].pair);
        look_at(&mend, text);
        assert_int_equal(mend.count, 1);
        assert_string_equal(mend.lines[0].offer, tries[k].offer);
        mend_clear(&mend);
    }
    rv_mend mend;
    look_at(&mend, GOOD "pours:\n  - {open: 2000 ms, stack: [slate 100 ml]}\n  - {open: 1.5, stack: [slate 2 lb]}\n"
                        "end: 4:00\n");
    assert_int_equal(mend.count, 4);
    assert_string_equal(mend.lines[0].offer, "Use 2 s");
    assert_string_equal(mend.lines[1].offer, "Use 1.5 s");
    assert_string_equal(mend.lines[2].offer, "Use 907.2 g");
    assert_string_equal(mend.lines[3].offer, "Use 240 s");
    mend_clear(&mend);
}

int main(void)
{
    const char *where = getenv("TMPDIR");
    snprintf(scratch, sizeof scratch, "%s/runnel-mend-%ld.yaml", where ? where : P_tmpdir, (long)getpid());
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_wrong_plan_is_looked_at),
        cmocka_unit_test(several_errors_come_at_once),
        cmocka_unit_test(one_mend_alone_leaves_the_others),
        cmocka_unit_test(places_hold_in_other_letters),
        cmocka_unit_test(slips_of_the_fingers),
        cmocka_unit_test(numbers_without_units_are_mended_as_they_are_meant),
        cmocka_unit_test(files_that_are_no_plans),
    };
    const int failed = cmocka_run_group_tests_name("viewer.mend", tests, NULL, NULL);
    unlink(scratch);
    return failed;
}
