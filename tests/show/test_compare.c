/* Plans side by side: which is best, which are alike, and a page whose texts stand apart. */
#include "check.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/json.h"
#include "scratch.h"
#include "show/compare.h"
#include "show/report_compare.h"

typedef struct made {
    rn_compare compare;
    rn_plan *plans[RN_COMPARE_MOST];
    rn_moment moments[RN_COMPARE_MOST][40];
    rn_record records[RN_COMPARE_MOST];
    cairo_surface_t *faces[RN_COMPARE_MOST];
} made;

/* Figures that differ by more than a run can tell, the first the best in everything. */
static void fill_outcome(rn_outcome *outcome, int k)
{
    *outcome = (rn_outcome){
        .state = RN_OUTCOME_WHOLE,
        .nx = 96,
        .ny = 96,
        .duration = 120,
        .cover = 0.15e-3,
        .coverage = 1 - 0.06 * k,
        .covered_at = k < 2 ? 60.0 + 20 * k : NAN,
        .poured = 120e-6,
        .run_off = (1 + 30 * k) * 1e-6,
        .mean = 1e-3,
        .thinnest = k < 2 ? (0.8 - 0.3 * k) * 1e-3 : 0,
        .has_pattern = true,
        .stretch = 2.0 + 3 * k,
        .twist = k % 2 ? -0.3 : 0.3,
        .side_coverage = NAN,
    };
    for (int c = 0; c < RN_CORNERS; c++)
        outcome->corner[c] = k < 2 ? (1.5 - 0.4 * k + 0.1 * c) * 1e-3 : 0;
}

static made *make(int count)
{
    static const char *const names[] = {"a",     "slate and kelp at the turn of the tide, third study of nine",
                                        "b",     "thin",
                                        "usual", "the last of the six"};
    rn_error err = {0};
    made *got = calloc(1, sizeof *got);
    assert_non_null(got);
    got->compare.count = count;
    for (int k = 0; k < count; k++) {
        rn_compare_plan *of = &got->compare.plans[k];
        check_ok(rn_plan_read_file(&got->plans[k], "presets/lesson-consistency.yaml", &err), &err);
        *of = (rn_compare_plan){.plan = got->plans[k], .name = names[k], .goal = rn_goal_of_plan(got->plans[k])};
        fill_outcome(&of->outcome, k);
        for (int m = 0; m < 40; m++)
            got->moments[k][m] =
                (rn_moment){.time = 3 * m, .coverage = fmin(1, 0.03 * m / (1 + 0.2 * k)), .run_off = {k * m * 1e-6}};
        got->records[k] = (rn_record){.moment_count = 40, .moments = got->moments[k], .end = 117};
        of->record = &got->records[k];
        got->faces[k] = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 90, k % 2 ? 90 : 60);
        of->face = got->faces[k];
    }
    got->compare.unlike = rn_plan_unlike((const rn_plan *const *)got->plans, count);
    return got;
}

static void unmake(made *got)
{
    for (int k = 0; k < got->compare.count; k++) {
        rn_plan_free(got->plans[k]);
        cairo_surface_destroy(got->faces[k]);
    }
    free(got);
}

static void the_best_is_told_where_one_is_better(void **state)
{
    (void)state;
    made *got = make(3);
    static const rn_compare_line firsts[] = {RN_COMPARE_COVERED_AT, RN_COMPARE_COVERAGE, RN_COMPARE_CORNER,
                                             RN_COMPARE_THINNEST,   RN_COMPARE_RUN_OFF,  RN_COMPARE_STRETCH};
    for (int i = 0; i < 6; i++)
        assert_int_equal(rn_compare_best(&got->compare, firsts[i]), 0);
    assert_int_equal(rn_compare_best(&got->compare, RN_COMPARE_MEAN), -1); /* deep is neither good nor bad */
    assert_int_equal(rn_compare_best(&got->compare, RN_COMPARE_TWIST), -1);
    got->compare.plans[2].outcome.run_off = 0.8e-6; /* less, but by no more than a run can tell */
    assert_int_equal(rn_compare_best(&got->compare, RN_COMPARE_RUN_OFF), -1);
    got->compare.plans[2].outcome.run_off = 0;
    assert_int_equal(rn_compare_best(&got->compare, RN_COMPARE_RUN_OFF), 2);
    got->compare.plans[1].outcome = (rn_outcome){.state = RN_OUTCOME_NONE}; /* and may be better still */
    assert_int_equal(rn_compare_best(&got->compare, RN_COMPARE_RUN_OFF), -1);
    unmake(got);
}

static void alike_is_alike_in_all(void **state)
{
    (void)state;
    made *got = make(3);
    assert_true(rn_compare_alike(&got->compare, RN_COMPARE_MEAN));
    assert_true(rn_compare_alike(&got->compare, RN_COMPARE_TWIST));       /* either way round, by the same */
    assert_false(rn_compare_alike(&got->compare, RN_COMPARE_COVERED_AT)); /* one never is */
    got->compare.plans[1].outcome.mean = 1.02e-3;
    assert_false(rn_compare_alike(&got->compare, RN_COMPARE_MEAN));
    unmake(got);
}

static void what_is_not_known_is_not_told(void **state)
{
    (void)state;
    char text[RN_COMPARE_SIZE];
    made *got = make(2);
    got->compare.plans[1].outcome = (rn_outcome){.state = RN_OUTCOME_FAILED, .why = "no memory left"};
    for (int line = 0; line < RN_COMPARE_LINES; line++) {
        rn_compare_text(text, &got->compare.plans[1], (rn_compare_line)line);
        assert_string_equal(text, "not known");
        assert_true(isnan(rn_compare_value(&got->compare.plans[1], (rn_compare_line)line)));
        assert_false(rn_compare_alike(&got->compare, (rn_compare_line)line));
    }
    got->compare.plans[0].outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
    for (int line = 0; line < RN_COMPARE_LINES; line++)
        assert_false(rn_compare_alike(&got->compare, (rn_compare_line)line));
    fill_outcome(&got->compare.plans[0].outcome, 0);
    got->compare.plans[0].outcome.has_pattern = false;
    assert_true(isnan(rn_compare_value(&got->compare.plans[0], RN_COMPARE_STRETCH)));
    unmake(got);
}

static void the_sentence_says_in_what_they_differ(void **state)
{
    (void)state;
    char text[RN_COMPARE_HEADLINE];
    rn_error err = {0};
    made *got = make(2);
    rn_compare_headline(text, &got->compare);
    assert_string_equal(text, "Two plans, alike in every number. First covered: A, 60 s. Least run-off: A, 1.0 ml. "
                              "Least stretch: A, 2.0 ×.");
    check_ok(rn_plan_set(got->plans[1], "moves.4.spin", "25 rpm", &err), &err);
    got->compare.unlike = rn_plan_unlike((const rn_plan *const *)got->plans, 2);
    rn_compare_headline(text, &got->compare);
    assert_non_null(strstr(text, "Two plans, unlike only in spin of move 4. "));
    unmake(got);
}

/* Reads with an independent reader. */
static void tables_have_room(void **state)
{
    (void)state;
    for (int count = 2; count <= RN_COMPARE_MOST; count++) {
        made *got = make(count);
        const rn_search_facts facts = {.worked = count, .seconds = 1.5};
        char *text = NULL;
        size_t size = 0;
        SCRATCH_CAPTURE(text, size, rn_report_compare_text(out, &got->compare, &facts));
        for (const char *line = text; *line;) {
            const size_t length = strcspn(line, "\n");
            assert_true(rn_screen_columns(line, length) <= RN_SCREEN_COLUMNS);
            line += length + (line[length] == '\n');
        }
        assert_non_null(strstr(text, "run-off      1.0 ml *"));
        free(text);
        SCRATCH_CAPTURE(text, size, rn_report_compare_json(out, &got->compare, &facts));
        assert_int_equal(json_count(text, "plans"), count);
        check_close(json_number(text, "plans.1.run_off_m3"), 31e-6, 1e-9);
        assert_string_equal(json_text(text, "measures.5.best"), "A");
        assert_int_equal(json_count(text, "unlike"), 0);
        free(text);
        unmake(got);
    }
}

static void texts_stand_apart(void **state)
{
    (void)state;
    for (int count = 2; count <= RN_COMPARE_MOST; count++)
        for (int dark = 0; dark <= 1; dark++) {
            made *got = make(count);
            cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 1200);
            cairo_t *cr = cairo_create(image);
            rn_pen pen;
            assert_true(rn_pen_init(&pen, cr, dark));
            const double height = rn_compare_height(&pen, &got->compare);
            rn_compare_draw(&pen, &got->compare);
            assert_int_equal(rn_pen_overlaps(&pen), 0);
            assert_int_equal(pen.box_lost, 0);
            assert_true(pen.box_count > RN_COMPARE_LINES + (RN_COMPARE_LINES + 3) * count); /* and the axes */
            for (int i = 0; i < pen.box_count; i++) {
                const rn_box box = pen.boxes[i];
                assert_true(box.x >= 0 && box.x + box.width <= RN_COMPARE_PAGE);
                assert_true(box.y >= 0 && box.y + box.height <= height);
            }
            rn_pen_clear(&pen);
            cairo_destroy(cr);
            cairo_surface_destroy(image);
            unmake(got);
        }
}

static void the_page_is_written_whole_or_not_at_all(void **state)
{
    static const char *const names[] = {"side.png", "side.pdf", "side.svg"};
    static const char *const heads[] = {"\x89PNG", "%PDF", "<?xml"};
    rn_error err = {0};
    made *got = make(3);
    for (int i = 0; i < 3; i++) {
        size_t size;
        const char *path = scratch_path(state, names[i]);
        check_ok(rn_compare_write(path, NULL, &got->compare, rn_figure_defaults(), &err), &err);
        char *bytes = scratch_read(path, &size);
        assert_true(size > 1000 && strncmp(bytes, heads[i], strlen(heads[i])) == 0);
        free(bytes);
    }
    assert_int_equal(rn_compare_write("/dev/full", NULL, &got->compare, rn_figure_defaults(), &err), RN_E_USAGE);
    err = (rn_error){0};
    assert_int_equal(
        rn_compare_write(scratch_path(state, "no/side.png"), NULL, &got->compare, rn_figure_defaults(), &err),
        RN_E_FILE);
    unmake(got);
}

/* Pictures are larger than what a stream holds back: the reason is that of the write that failed. */
static void a_full_disk_is_told(void **state)
{
    static const char *const names[] = {"full.png", "full.pdf", "full.svg"};
    struct stat info;
    if (stat("/dev/full", &info) != 0)
        skip();
    made *got = make(2);
    for (int i = 0; i < 3; i++) {
        rn_error err = {0};
        const char *path = scratch_path(state, names[i]);
        assert_int_equal(symlink("/dev/full", path), 0);
        assert_int_equal(rn_compare_write(path, NULL, &got->compare, rn_figure_defaults(), &err), RN_E_FILE);
        assert_string_equal(err.file, path);
        assert_non_null(strstr(err.message, strerror(ENOSPC)));
    }
    unmake(got);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_best_is_told_where_one_is_better),
        cmocka_unit_test(alike_is_alike_in_all),
        cmocka_unit_test(what_is_not_known_is_not_told),
        cmocka_unit_test(the_sentence_says_in_what_they_differ),
        cmocka_unit_test(tables_have_room),
        cmocka_unit_test(texts_stand_apart),
        cmocka_unit_test(the_page_is_written_whole_or_not_at_all),
        cmocka_unit_test(a_full_disk_is_told),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
