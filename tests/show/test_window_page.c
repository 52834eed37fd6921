/* The picture, the report and the table of a window: texts apart and on the page, what is said, files whole. */
#include "check.h"

#include "cli/json.h"

#include <string.h>

#include "scratch.h"
#include "show/dial_axis.h"
#include "show/report_window.h"
#include "show/window_lines.h"
#include "show/window_map.h"
#include "show/window_page.h"
#include "windows.h"

/* Where too little runs off it is said so, and not that it is too much. */
static void too_little_run_off_has_words(void **state)
{
    (void)state;
    char text[RN_REPORT_WINDOW_SIZE];
    view v;
    rn_error err = {0};
    rn_goal goal = {0};
    int dry = 0;
    view_make(&v, &wishes[7]);
    check_ok(rn_goal_add(&goal, "run-off", "at least 30 %", &err), &err);
    check_ok(rn_window_judge(v.window, &goal, &err), &err);
    for (int i = 0; i < 32 * 32; i++)
        dry += rn_window_look(v.window, i % 32, i / 32) == RN_WINDOW_DRY;
    assert_int_equal(dry, 32 * 32);
    char *report = NULL;
    size_t size;
    SCRATCH_CAPTURE(report, size, rn_report_window_text(out, v.window, &v.answer, &(rn_search_facts){0}));
    assert_non_null(strstr(report, "  tiles       - runs off too little 1024; @ this plan\n"));
    free(report);
    rn_report_window_own(text, v.window, &v.answer);
    assert_non_null(strstr(text, "This plan runs off too little: run-off at least 30 % missed by 29.9 %"));
    view_free(&v);
}

static void check_texts(const rn_pen *pen, double height, int which)
{
    for (int i = 0; i < pen->box_count; i++) {
        const rn_box box = pen->boxes[i];
        if (box.x < 4 || box.y < 4 || box.x + box.width > RN_WINDOW_PAGE_WIDTH - 4 || box.y + box.height > height - 4)
            fail_msg("picture %d: a text leaves the page at %.0f, %.0f", which, box.x, box.y);
        for (int k = i + 1; k < pen->box_count; k++) {
            const rn_box other = pen->boxes[k];
            const bool marks = box.width == 18 && other.width == 18; /* those may meet: a plan may be the safest */
            if (!marks && box.x < other.x + other.width && other.x < box.x + box.width &&
                box.y < other.y + other.height && other.y < box.y + box.height)
                fail_msg("picture %d: texts meet at %.0f, %.0f", which, box.x, box.y);
        }
    }
    assert_int_equal(pen->box_lost, 0);
}

static void texts_stand_apart_on_the_page(void **state)
{
    (void)state;
    for (int i = 0; i < 2 * WISHES; i++) {
        view v;
        rn_pen pen;
        view_make(&v, &wishes[i / 2]);
        cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1280, 1000);
        cairo_t *cr = cairo_create(surface);
        assert_true(rn_pen_init(&pen, cr, i % 2));
        const double height = rn_window_page_height(&pen, &v.page);
        check_at_most(height, wishes[i / 2].many ? 1400 : 1000);
        assert_true(rn_window_page_draw(&pen, height, &v.page));
        check_texts(&pen, height, i);
        assert_int_equal(cairo_status(cr), CAIRO_STATUS_SUCCESS);
        rn_pen_clear(&pen);
        cairo_destroy(cr);
        cairo_surface_destroy(surface);
        view_free(&v);
    }
}

static void pictures_are_what_their_names_say(void **state)
{
    static const char *const names[][2] = {{"w.png", "\x89PNG"}, {"w.PDF", "%PDF"}, {"w.svg", "<?xml"}};
    view v;
    rn_error err = {0};
    size_t size;
    view_make(&v, &wishes[1]);
    for (int i = 0; i < 3; i++) {
        const char *path = scratch_path(state, names[i][0]);
        check_ok(rn_window_page_write(path, stdout, &v.page, rn_figure_defaults(), &err), &err);
        char *text = scratch_read(path, &size);
        assert_non_null(text);
        assert_memory_equal(text, names[i][1], strlen(names[i][1]));
        free(text);
    }
    assert_int_equal(rn_window_page_write(scratch_path(state, "w.gif"), stdout, &v.page, rn_figure_defaults(), &err),
                     RN_E_USAGE);
    view_free(&v);
}

static void what_is_said_is_so(void **state)
{
    (void)state;
    char text[RN_REPORT_WINDOW_SIZE];
    view v;
    view_make(&v, &wishes[0]);
    rn_report_window_headline(text, v.window, &v.answer);
    char start[90];
    int run = 0;
    for (int i = 0; i < 1024; i++) {
        const rn_tile *tile = rn_window_tile(v.window, i % 32, i / 32);
        run += tile->worked && tile->kind == RN_TILE_WORKS;
    }
    const int works = rn_window_count(v.window, RN_TILE_WORKS);
    snprintf(start, sizeof start, "%d of 1024 plans work (%d as their neighbours tell); ", works, works - run);
    assert_memory_equal(text, start, strlen(start));
    rn_report_window_own(text, v.window, &v.answer);
    assert_non_null(strstr(text, "This plan falls short: coverage at least 90 % missed by "));
    assert_non_null(strstr(text, " Nearest that works: "));
    view_free(&v);
    view_make(&v, &wishes[8]);
    rn_report_window_headline(text, v.window, &v.answer);
    assert_non_null(
        strstr(text, "Nothing that was run works. Closest: 2 Pa s, 200 ml, which falls short: coverage at least 90 %"));
    assert_false(rn_window_answer_holds(&v.answer, v.window));
    view_free(&v);
    view_make(&v, &wishes[7]);
    rn_report_window_own(text, v.window, &v.answer);
    assert_string_equal(text, "This plan works.");
    view_free(&v);
    view_make(&v, &wishes[3]);
    rn_report_window_headline(text, v.window, &v.answer);
    snprintf(start, sizeof start, "Stopped; of the %d of 1024 plans", 1024 - rn_window_count(v.window, RN_TILE_OPEN));
    assert_memory_equal(text, start, strlen(start));
    assert_non_null(strstr(text, " stands safest so far."));
    view_free(&v);
}

/* Of the oval no more is said than what was run. */
static void the_oval_promises_what_was_run(void **state)
{
    (void)state;
    char text[RN_REPORT_WINDOW_INSIDE];
    const struct {
        int run, told;
        const char *says;
    } cases[] = {{1, 0, "no other tile lies in the oval of both"},
                 {9, 0, "in the oval of both lie 9 tiles, all run, and work"},
                 {1, 2, "in the oval of both 1 tile was run and works, 2 are told from neighbours"},
                 {12, 1, "in the oval of both 12 tiles were run and work, 1 is told from neighbours"}};
    for (int i = 0; i < 4; i++) {
        const rn_window_answer answer = {.inside_run = cases[i].run, .inside_told = cases[i].told};
        rn_report_window_inside(text, sizeof text, &answer);
        assert_string_equal(text, cases[i].says);
    }
    view v;
    char *report = NULL, *json = NULL;
    size_t size;
    view_make(&v, &wishes[0]);
    assert_true(v.answer.ends_run && v.answer.inside_told > 0);
    FILE *out = open_memstream(&report, &size);
    rn_report_window_text(out, v.window, &v.answer, &(rn_search_facts){0});
    fclose(out);
    assert_non_null(strstr(report, "the ends were run and"));
    assert_non_null(strstr(report, "told from"));
    assert_null(strstr(report, "all works"));
    out = open_memstream(&json, &size);
    rn_report_window_json(out, v.window, &v.answer, &(rn_search_facts){0});
    fclose(out);
    assert_string_equal(json_text(json, "room.ends_run"), "true");
    check_within(json_number(json, "room.tiles_run"), v.answer.inside_run, 0);
    check_within(json_number(json, "room.tiles_told"), v.answer.inside_told, 0);
    free(report);
    free(json);
    view_free(&v);
}

/* Nothing is said of tiles that are not known: not that they do not work, and no line is listed that is not drawn. */
static void a_stopped_window_tells_what_is_known(void **state)
{
    (void)state;
    static const int places[] = {7, 56}; /* thick and little, thin and much */
    char text[RN_REPORT_WINDOW_SIZE];
    view v;
    view_make_known(&v, bad, places, 2);
    rn_report_window_headline(text, v.window, &v.answer);
    assert_non_null(
        strstr(text, "Stopped; of the 2 of 64 plans worked out none works. Closest: 0.5 Pa s, 200 ml, which"));
    view_free(&v);
    view_make_known(&v, bad, places, 0);
    rn_report_window_headline(text, v.window, &v.answer);
    assert_string_equal(text, "Stopped before any of 64 plans was worked out.");
    view_free(&v);
    view_make_known(&v, mixed, places, 2);
    const double lost = rn_outcome_lost(&rn_window_tile(v.window, 0, 7)->outcome);
    check_at_least(lost, 0.1); /* the two differ, and a level lies between them */
    check_at_most(rn_outcome_lost(&rn_window_tile(v.window, 7, 0)->outcome), 0.01);
    assert_false(rn_window_field_shown(v.window, RN_WINDOW_RUN_OFF));
    assert_false(rn_window_field_shown(v.window, RN_WINDOW_COVERAGE));
    view_free(&v);
    view_make(&v, &wishes[0]);
    assert_true(rn_window_field_shown(v.window, RN_WINDOW_RUN_OFF));
    assert_true(rn_window_field_shown(v.window, RN_WINDOW_COVERAGE));
    view_free(&v);
}

/* Where the grids do not agree on the safest plan, that is said and it does not hold. */
static void a_safest_plan_that_does_not_hold_is_said(void **state)
{
    (void)state;
    char text[RN_REPORT_WINDOW_SIZE], *report = NULL;
    size_t size;
    view v;
    view_make(&v, &wishes[0]);
    assert_true(rn_window_answer_holds(&v.answer, v.window));
    v.answer.best_own.coverage = 0.89;
    assert_false(rn_window_answer_holds(&v.answer, v.window));
    rn_report_window_headline(text, v.window, &v.answer);
    assert_non_null(strstr(text, "on 256 cells that does not hold"));
    SCRATCH_CAPTURE(report, size, rn_report_window_text(out, v.window, &v.answer, &(rn_search_facts){0}));
    assert_non_null(strstr(report, "The safest works on 96 cells and not on 256"));
    free(report);
    view_free(&v);
}

/* What is told from neighbours is counted, and not spoken of where there is none. */
static void tiles_that_are_told_are_counted(void **state)
{
    (void)state;
    char *report = NULL, line[100];
    size_t size;
    view v;
    view_make(&v, &wishes[0]);
    const int worked = rn_window_worked(v.window);
    assert_in_range(worked, 81, 1023);
    SCRATCH_CAPTURE(report, size, rn_report_window_text(out, v.window, &v.answer, &(rn_search_facts){0}));
    snprintf(line, sizeof line, "%d tiles were run, %d told from their neighbours\n", worked, 1024 - worked);
    assert_non_null(strstr(report, line));
    free(report);
    view_free(&v);
    view_make(&v, &wishes[4]); /* four by five, and every one a crossing of the first lines */
    assert_int_equal(rn_window_worked(v.window), 20);
    SCRATCH_CAPTURE(report, size, rn_report_window_text(out, v.window, &v.answer, &(rn_search_facts){0}));
    assert_null(strstr(report, "neighbours"));
    free(report);
    view_free(&v);
}

static int count_of(const char *text, char letter)
{
    int count = 0;
    for (; *text; text++)
        count += *text == letter;
    return count;
}

static void the_table_has_a_line_for_each_tile(void **state)
{
    (void)state;
    view v;
    char *text = NULL;
    size_t size;
    view_make(&v, &wishes[2]);
    SCRATCH_CAPTURE(text, size, rn_report_window_csv(out, v.window));
    assert_int_equal(count_of(text, '\n'), 40 * 20 + 1);
    assert_memory_equal(text, "poured_si,consistency_si,kind,run,", 34);
    const char *second = strchr(text, '\n') + 1;
    double x, y;
    assert_int_equal(sscanf(second, "%lf,%lf,", &x, &y), 2);
    check_close(x, 50e-6, 1e-9);
    check_close(y, 0.5, 1e-9);
    assert_non_null(strstr(text, "\"the film is too deep, \"\"far\"\" too deep\"\n"));
    free(text);
    view_free(&v);
}

/* ---- axes ---- */

static void ticks_are_round_and_have_room(void **state)
{
    (void)state;
    static const double ranges[][2] = {{0.5, 2},  {0.05, 20}, {75e-6, 300e-6}, {80e-6, 90e-6},
                                       {0.01, 4}, {0, 1},     {1e-6, 3e-4},    {0.93, 1.07}};
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        double values[RN_DIAL_TICKS_MOST];
        const bool volume = ranges[i][1] < 1e-3;
        const rn_dial dial = {.dimension = volume ? RN_DIM_VOLUME : RN_DIM_VISCOSITY,
                              .from = ranges[i][0],
                              .to = ranges[i][1],
                              .logarithmic = ranges[i][0] > 0 && ranges[i][1] > 3 * ranges[i][0]};
        const rn_dial_axis axis = {&dial, 100, 900};
        const int count = rn_dial_axis_ticks(values, &axis, 46);
        assert_true(count >= 2);
        for (int k = 0; k < count; k++) {
            const double unit = volume ? 1e-6 : 1;
            char text[40];
            snprintf(text, sizeof text, "%.3g", values[k] / unit);
            check_within(strtod(text, NULL) * unit, values[k], 1e-9 * dial.to);
            check_at_least(values[k], dial.from * (1 - 1e-9));
            check_at_most(values[k], dial.to * (1 + 1e-9));
            if (k > 0)
                check_at_least(rn_dial_axis_place(&axis, values[k]) - rn_dial_axis_place(&axis, values[k - 1]), 45.9);
        }
        check_within(rn_dial_axis_place(&axis, dial.from), 100, 1e-9);
        check_within(rn_dial_axis_place(&axis, dial.to), 900, 1e-9);
    }
}

static void numbers_have_names(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"poured", "paint poured"},
        {"consistency", "consistency"},
        {"moves.4.spin", "spin of move 4"},
        {"moves.1.for", "length of move 1"},
        {"base.1.volume", "volume of base coat 1"},
        {"pours.1.across", "diameter of pour 1"},
        {"pours.2.every", "interval of pour 2"},
        {"pours.tide.lifts", "lifts of pour tide"},
        {"pours.1.stack.kelp", "kelp of pour 1"},
        {"pours.1.stack.2", "layer 2 of pour 1"},
        {"paints.kelp.density", "density of kelp"},
        {"end", "end"},
        {"panel.across", "diameter of the panel"},
        {"panel.slope", "slope of the panel"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        rn_dial dial = {0};
        char text[RN_DIAL_PATH];
        snprintf(dial.path, sizeof dial.path, "%s", cases[i][0]);
        rn_dial_words(text, sizeof text, &dial);
        assert_string_equal(text, cases[i][1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_oval_promises_what_was_run),
        cmocka_unit_test(texts_stand_apart_on_the_page),
        cmocka_unit_test(pictures_are_what_their_names_say),
        cmocka_unit_test(what_is_said_is_so),
        cmocka_unit_test(too_little_run_off_has_words),
        cmocka_unit_test(a_safest_plan_that_does_not_hold_is_said),
        cmocka_unit_test(a_stopped_window_tells_what_is_known),
        cmocka_unit_test(tiles_that_are_told_are_counted),
        cmocka_unit_test(the_table_has_a_line_for_each_tile),
        cmocka_unit_test(ticks_are_round_and_have_room),
        cmocka_unit_test(numbers_have_names),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
