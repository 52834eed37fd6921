/* The picture, the report and the table of a window: texts apart and on the page, what is said, files whole. */
#include "check.h"

#include <string.h>

#include "scratch.h"
#include "show/dial_axis.h"
#include "show/report_window.h"
#include "show/window_map.h"
#include "show/window_page.h"

/* What a plan comes to, by its consistency and what is poured [Pa s, ml]. */
typedef void behaviour(rn_outcome *outcome, double viscosity, double poured);

static double number_of(const rn_plan *plan, const char *path)
{
    rn_plan_number number = {0};
    rn_error err = {0};
    check_ok(rn_plan_number_at(&number, plan, path, &err), &err);
    return number.value;
}

static void model(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study)
{
    behaviour *const *behave = context;
    const double poured = number_of(run->plan, "poured");
    (void)go_on, (void)study;
    *bytes = 1;
    *outcome = (rn_outcome){.state = RN_OUTCOME_WHOLE,
                            .nx = run->cells,
                            .ny = run->cells,
                            .cover = 0.15e-3,
                            .coverage = 1,
                            .covered_at = 60,
                            .poured = poured,
                            .thinnest = 0.4e-3,
                            .has_pattern = run->pattern,
                            .stretch = 1.5,
                            .side_coverage = NAN};
    for (int c = 0; c < RN_CORNERS; c++)
        outcome->corner[c] = 0.5e-3;
    (*behave)(outcome, number_of(run->plan, "consistency"), 1e6 * poured);
}

static void mixed(rn_outcome *outcome, double viscosity, double poured)
{
    outcome->coverage = fmin(1, 0.4 + 0.6 * poured / (130 * pow(viscosity, 0.4)));
    outcome->run_off = outcome->poured * fmin(fmax(0.004 * (poured - 90 * viscosity), 0), 1);
    outcome->stretch = 1 + 0.6 / viscosity + 0.004 * poured;
    if (viscosity > 1.7 && poured > 160)
        *outcome = (rn_outcome){.state = RN_OUTCOME_FAILED, .why = "the film is too deep, \"far\" too deep"};
}

static void good(rn_outcome *outcome, double viscosity, double poured)
{
    outcome->run_off = 1e-9 * poured * viscosity;
}

static void bad(rn_outcome *outcome, double viscosity, double poured)
{
    outcome->coverage = 0.2 + 0.001 * poured + 0.01 * viscosity;
    outcome->covered_at = NAN;
}

/* One window with its answer. */
typedef struct view {
    rn_plan *plan;
    rn_window *window;
    rn_window_answer answer;
    rn_window_page page;
} view;

typedef struct wish {
    behaviour *behave;
    const char *x, *y, *stretch; /* stretch: at most, NULL: not asked */
    int columns, rows, passes;   /* so many, then stopped; 0: to the end; -1: none */
    bool unconfirmed, many;      /* many demands */
} wish;

static const char plan_text[] = "plan: 1\n"
                                "title: Kelp forest, three greens on a primed board\n"
                                "panel: {size: 200 mm x 200 mm}\n"
                                "paints:\n"
                                "  kelp: {viscosity: 1 Pa s}\n"
                                "pours:\n"
                                "  - {across: 40 mm, width: 8 mm, open: 1 s, stack: [kelp 100 ml]}\n"
                                "moves:\n"
                                "  - {start: 20 s, for: 8 s, tilt: 6 deg, toward: back right}\n"
                                "  - {start: 30 s, for: 8 s, spin: -30 rpm}\n"
                                "end: 60 s\n";

static const char *const more_demands[][2] = {
    {"covered by", "at most 50 s"},          {"thinnest", "at least 0.3 mm"},        {"corner", "at least 0.2 mm"},
    {"corner", "back left at least 0.3 mm"}, {"run-off", "front at most 5 ml"},      {"run-off", "back at most 5 ml"},
    {"run-off", "left at most 5 ml"},        {"corner", "front right at most 2 mm"},
};

static void view_make(view *v, const wish *wanted)
{
    rn_error err = {0};
    rn_study *study = NULL;
    rn_dial x, y;
    rn_goal goal = {0};
    behaviour *behave = wanted->behave;
    rn_study_options options = rn_study_defaults();
    *v = (view){.answer = {.closest_column = -1, .cells = 256}};
    check_ok(rn_plan_read(&v->plan, plan_text, (long)strlen(plan_text), "kelp", &err), &err);
    check_ok(rn_goal_add(&goal, "coverage", "at least 90 %", &err), &err);
    check_ok(rn_goal_add(&goal, "run-off", "at most 25 %", &err), &err);
    if (wanted->many)
        for (size_t i = 0; i < sizeof more_demands / sizeof *more_demands; i++)
            check_ok(rn_goal_add(&goal, more_demands[i][0], more_demands[i][1], &err), &err);
    if (wanted->stretch)
        check_ok(rn_goal_add(&goal, "stretch", wanted->stretch, &err), &err);
    options.model = model;
    options.model_context = &behave;
    options.model_name = "stand-in";
    check_ok(rn_study_new(&study, options, &err), &err);
    check_ok(rn_window_axis(&x, v->plan, wanted->x, NULL, NULL, &err), &err);
    check_ok(rn_window_axis(&y, v->plan, wanted->y, NULL, NULL, &err), &err);
    const rn_window_options size = {.columns = wanted->columns, .rows = wanted->rows, .cells = 96};
    check_ok(rn_window_new(&v->window, v->plan, &x, &y, &goal, &size, &err), &err);
    bool more = true;
    for (int pass = 0; more && (wanted->passes == 0 || pass < wanted->passes); pass++)
        check_ok(rn_window_refine(v->window, &more, study, &err), &err);
    if (wanted->unconfirmed)
        rn_study_stop(study);
    check_ok(rn_window_answer_find(&v->answer, v->window, 256, study, &err), &err);
    rn_study_free(study);
    v->page = (rn_window_page){.title = v->plan->title, .window = v->window, .answer = &v->answer};
}

static void view_free(view *v)
{
    rn_window_free(v->window);
    rn_plan_free(v->plan);
}

static const wish wishes[] = {
    {mixed, "consistency", "poured", NULL, 32, 32, 0, false, false},
    {mixed, "consistency", "poured", "at most 2", 32, 32, 0, false, false},
    {mixed, "poured", "consistency", "at most 2", 40, 20, 0, false, false},
    {mixed, "consistency", "poured", "at most 2", 32, 32, 1, true, false},
    {mixed, "consistency", "poured", NULL, 4, 5, 0, false, false},
    {mixed, "consistency", "poured", NULL, 120, 90, 0, false, false},
    {mixed, "consistency", "paints.kelp.density", NULL, 24, 24, 0, false, false},
    {good, "consistency", "poured", NULL, 32, 32, 0, false, false},
    {bad, "consistency", "poured", NULL, 32, 32, 0, false, false},
    {bad, "moves.2.spin", "moves.1.tilt", NULL, 16, 16, 0, false, false},
    {good, "pours.1.across", "moves.2.for", NULL, 16, 16, 0, true, false},
    {mixed, "consistency", "poured", "at most 2", 32, 32, 0, false, true},
};

enum { WISHES = sizeof wishes / sizeof *wishes };

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
    char start[60];
    snprintf(start, sizeof start, "%d of 1024 plans work; ", rn_window_count(v.window, RN_TILE_WORKS));
    assert_memory_equal(text, start, strlen(start));
    rn_report_window_own(text, v.window, &v.answer);
    assert_non_null(strstr(text, "This plan falls short: coverage at least 90 % missed by "));
    assert_non_null(strstr(text, " Nearest that works: "));
    view_free(&v);
    view_make(&v, &wishes[8]);
    rn_report_window_headline(text, v.window, &v.answer);
    assert_non_null(
        strstr(text, "Nothing here works. Closest: 2 Pa s, 200 ml, which falls short: coverage at least 90 %"));
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

/* Only these tiles are known, of eight by eight. */
static void view_make_known(view *v, behaviour *behave, const int *places, int count)
{
    rn_error err = {0};
    rn_batch batch = {0};
    rn_study *study = NULL;
    const wish wanted = {behave, "consistency", "poured", NULL, 8, 8, -1, true, false};
    view_make(v, &wanted);
    check_ok(rn_window_list(&batch, v->window, &err), &err);
    for (int i = 0; i < count; i++) {
        long bytes;
        model(&behave, &batch.runs[places[i]].outcome, &bytes, &batch.runs[places[i]], NULL, NULL);
    }
    check_ok(rn_window_take(v->window, &batch, &err), &err);
    rn_batch_clear(&batch);
    check_ok(rn_study_new(&study, rn_study_defaults(), &err), &err);
    rn_study_stop(study);
    check_ok(rn_window_answer_find(&v->answer, v->window, 256, study, &err), &err);
    rn_study_free(study);
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
