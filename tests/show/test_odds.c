/* The odds in words and as a page: lines that fit, texts that stand apart, whatever the draws say. */
#include "check.h"

#include <float.h>
#include <string.h>

#include "cli/json.h"
#include "show/odds_page.h"
#include "show/report_odds.h"

static const char text[] = "plan: 1\n"
                           "title: Neap tide, with a title that is longer than anybody would write it on a jar's lid\n"
                           "panel: {size: 200 mm x 200 mm}\n"
                           "paints:\n"
                           "  kelp-from-the-third-shelf-of-the-shed: {viscosity: 1 Pa s}\n"
                           "  foam: {viscosity: 2 Pa s}\n"
                           "pours:\n"
                           "  - {stack: [kelp-from-the-third-shelf-of-the-shed 100 ml, foam 20 ml]}\n"
                           "moves:\n"
                           "  - {start: 20 s, for: 8 s, tilt: 8 deg, toward: back}\n"
                           "  - {start: 30 s, for: 8 s, spin: 40 rpm}\n"
                           "  - {start: 40 s, for: 8 s, spin: -50 rpm}\n"
                           "expect:\n"
                           "  coverage: at least 99 %\n"
                           "  covered by: 120 s\n"
                           "  run-off: [30 ml +- 6 ml, front at most 20 %]\n"
                           "  corner: [at least 0.4 mm, front left at least 0.5 mm]\n"
                           "  stretch: at most 3\n";

/* What the draws say. */
typedef struct tale {
    const char *what;
    int draws, done; /* done: the first so many */
    bool even, never, alike, failing, each;
} tale;

static rn_outcome outcome_of(const tale *t, int k)
{
    const double u = t->alike ? 0.5 : fmod(0.5 + 0.6180339887 * k, 1), v = t->alike ? 0.5 : fmod(0.75488 * k, 1);
    rn_outcome o = {.state = RN_OUTCOME_WHOLE,
                    .nx = 96,
                    .ny = 96,
                    .duration = 160,
                    .cover = 0.15e-3,
                    .coverage = t->never ? 0.7 + 0.2 * u : fmin(1, 0.985 + 0.02 * u),
                    .covered_at = t->never || u < 0.2 ? NAN : 90 + 60 * v,
                    .poured = 120e-6,
                    .run_off = (20 + 20 * v * u) * 1e-6,
                    .run_off_by_side = {4e-6, 5e-6, 6e-6, 7e-6},
                    .mean = 1e-3,
                    .thinnest = u < 0.2 ? 0 : u * 1e-3,
                    .side_coverage = NAN,
                    .has_pattern = true,
                    .stretch = 2 + 2 * u * v,
                    .twist = k % 7 ? 0.3 * v : NAN};
    for (int c = 0; c < RN_CORNERS; c++) {
        o.corner[c] = u < 0.2 ? 0 : (0.3 + 0.1 * c + 0.4 * v) * 1e-3;
        o.corner_at[c] = u < 0.2 ? NAN : 80 + 10 * v;
    }
    if (t->failing && k % 5 == 0)
        o = (rn_outcome){.state = RN_OUTCOME_FAILED, .why = "the step became too short at 31.2 s in cell 12, 40"};
    return o;
}

static rn_odds *tell(const tale *t)
{
    rn_plan *plan = NULL;
    rn_batch batch = {0};
    rn_odds *odds = NULL;
    rn_error err = {0};
    rn_odds_options options = rn_odds_defaults();
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    options.goal = rn_goal_of_plan(plan);
    options.doubts = rn_doubts_usual(plan);
    options.draws = t->draws;
    options.even = t->even;
    if (t->each)
        check_ok(rn_doubts_add(&options.doubts, plan, "paints.*.viscosity", "+-12.5%", &err), &err);
    check_ok(rn_odds_list(&batch, plan, &options, &err), &err);
    for (int i = 0; i < t->done + 2; i++)
        batch.runs[i].outcome = outcome_of(t, i);
    check_ok(rn_odds_take(&odds, &batch, plan, &options, &err), &err);
    rn_batch_clear(&batch);
    rn_plan_free(plan);
    return odds;
}

static const tale tales[] = {
    {.what = "usual", .draws = 100, .done = 100},
    {.what = "each paint", .draws = 60, .done = 60, .each = true},
    {.what = "never covered", .draws = 40, .done = 40, .even = true, .never = true},
    {.what = "all alike", .draws = 30, .done = 30, .alike = true},
    {.what = "failing", .draws = 100, .done = 100, .failing = true},
    {.what = "stopped", .draws = 100, .done = 7},
    {.what = "stopped at once", .draws = 100, .done = 0},
    {.what = "many", .draws = 3000, .done = 3000},
};

#define TALES ((int)(sizeof tales / sizeof tales[0]))

static void check_apart(const rn_pen *pen, double height, const char *what)
{
    for (int i = 0; i < pen->box_count; i++) {
        const rn_box a = pen->boxes[i];
        if (a.x < 4 || a.y < 4 || a.x + a.width > RN_ODDS_PAGE_WIDTH - 4 || a.y + a.height > height - 4)
            fail_msg("%s: a text leaves the page at %.0f, %.0f", what, a.x, a.y);
        for (int k = i + 1; k < pen->box_count; k++) {
            const rn_box b = pen->boxes[k];
            if (a.x < b.x + b.width + RN_BOX_GAP && b.x < a.x + a.width + RN_BOX_GAP &&
                a.y < b.y + b.height + RN_BOX_GAP && b.y < a.y + a.height + RN_BOX_GAP)
                fail_msg("%s: texts at %.0f, %.0f and %.0f, %.0f", what, a.x, a.y, b.x, b.y);
        }
    }
}

static void texts_of_the_page_stand_apart(void **state)
{
    (void)state;
    for (int t = 0; t < TALES; t++) {
        rn_odds *odds = tell(&tales[t]);
        const rn_odds_page page = {odds, "Neap tide"};
        rn_pen *pen = calloc(1, sizeof *pen);
        cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 640, 640);
        cairo_t *cr = cairo_create(surface);
        assert_true(pen && rn_pen_init(pen, cr, t % 2));
        const double height = rn_odds_page_height(pen, &page);
        rn_odds_page_draw(pen, height, &page);
        assert_int_equal(cairo_status(cr), CAIRO_STATUS_SUCCESS);
        assert_int_equal(pen->box_lost, 0);
        check_at_least(pen->box_count, 8);
        check_apart(pen, height, tales[t].what);
        rn_pen_clear(pen);
        cairo_destroy(cr);
        cairo_surface_destroy(surface);
        free(pen);
        rn_odds_free(odds);
    }
}

/* Numbers that no paint comes to, as a broken file might bring them: the page is drawn, and ends. */
static void absurd_numbers_are_drawn_to_an_end(void **state)
{
    (void)state;
    static const double absurd[] = {NAN,     INFINITY, -INFINITY, 1e308,        -1e308, 1e300, -1e-300,
                                    DBL_MIN, DBL_MAX,  -DBL_MAX,  DBL_TRUE_MIN, 1e15,   -1,    0};
    const int count = (int)(sizeof absurd / sizeof absurd[0]);
    for (int i = 0; i < count * count; i++) {
        rn_odds *odds = tell(&(tale){.what = "absurd", .draws = 8, .done = 8});
        for (int k = 0; k < odds->done; k++) { /* the first half of one kind, the second of another */
            rn_outcome *o = &odds->draws[k].outcome;
            const double value = absurd[k < 4 ? i % count : i / count];
            o->coverage = o->covered_at = o->thinnest = o->run_off = o->stretch = o->twist = value;
            for (int c = 0; c < RN_CORNERS; c++)
                o->corner[c] = value;
        }
        odds->own.coverage = odds->own.run_off = absurd[i % count];
        for (int f = 0; f < RN_ODDS_FIGURES; f++)
            odds->spreads[f] = (rn_spread){
                .count = 8, .low = absurd[i % count], .middle = absurd[(i / 2) % count], .high = absurd[i / count]};
        const rn_odds_page page = {odds, "Neap tide"};
        rn_pen *pen = calloc(1, sizeof *pen);
        cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 64, 64);
        cairo_t *cr = cairo_create(surface);
        assert_true(pen && rn_pen_init(pen, cr, false));
        rn_odds_page_draw(pen, rn_odds_page_height(pen, &page), &page);
        if (cairo_status(cr) != CAIRO_STATUS_SUCCESS)
            fail_msg("%g and %g: %s", absurd[i % count], absurd[i / count], cairo_status_to_string(cairo_status(cr)));
        rn_pen_clear(pen);
        cairo_destroy(cr);
        cairo_surface_destroy(surface);
        free(pen);
        rn_odds_free(odds);
    }
}

static char *report_of(const rn_odds *odds, bool json)
{
    char *said = NULL;
    size_t size;
    const rn_search_facts facts = {.title = "Neap tide", .worked = 102, .seconds = 12};
    FILE *out = open_memstream(&said, &size);
    if (json)
        rn_report_odds_json(out, odds, &facts);
    else
        rn_report_odds_text(out, odds, &facts);
    fclose(out);
    return said;
}

static void lines_fit_a_terminal(void **state)
{
    (void)state;
    for (int t = 0; t < TALES; t++) {
        rn_odds *odds = tell(&tales[t]);
        char *said = report_of(odds, false);
        for (const char *line = said; *line; line += strcspn(line, "\n") + 1) {
            const size_t length = strcspn(line, "\n");
            if (length > 80)
                fail_msg("%s: '%.*s'", tales[t].what, (int)length, line);
        }
        assert_null(strstr(said, "nan"));
        assert_null(strstr(said, "inf"));
        free(said);
        rn_odds_free(odds);
    }
}

/* Figures keep to their columns, however little or much there is of a thing. */
static void figures_have_room(void **state)
{
    (void)state;
    static const double values[] = {0, 1.73e-9, 1.7321e-6, 1.7321e-3, 0.17321, 1.7321, 173.21};
    char figure[RN_FIGURE_SIZE];
    for (int f = 0; f < RN_ODDS_FIGURES; f++)
        for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
            const bool large = rn_odds_figure_dimension((rn_odds_figure)f) == RN_DIM_VOLUME;
            rn_report_odds_figure(figure, (rn_odds_figure)f, large ? 1e-6 * values[i] : values[i]);
            assert_true(!strstr(figure, "e-") && !strstr(figure, "e+"));
            if (strlen(figure) > 9)
                fail_msg("%s: '%s'", rn_odds_figure_name((rn_odds_figure)f), figure);
        }
    rn_report_odds_figure(figure, RN_ODDS_THINNEST, 1.73e-6);
    assert_string_equal(figure, "0.002 mm");
    rn_report_odds_figure(figure, RN_ODDS_RUN_OFF, 1.473e-3);
    assert_string_equal(figure, "1470 ml");
}

static void the_json_is_whole(void **state)
{
    (void)state;
    for (int t = 0; t < TALES; t++) {
        rn_odds *odds = tell(&tales[t]);
        char *said = report_of(odds, true);
        check_within(json_number(said, "draws"), tales[t].done, 0);
        check_within(json_number(said, "asked"), tales[t].draws, 0);
        check_within(json_number(said, "failed"), odds->failed, 0);
        assert_int_equal(json_count(said, "goal"), 7);
        assert_int_equal(json_count(said, "spreads"), RN_ODDS_FIGURES);
        assert_int_equal(json_count(said, "goal.6.ranks"), odds->reading_count);
        assert_null(strstr(said, "nan"));
        assert_null(strstr(said, "inf"));
        free(said);
        rn_odds_free(odds);
    }
}

static void the_headline_tells_what_was_counted(void **state)
{
    (void)state;
    char said[RN_REPORT_ODDS_SIZE];
    static const char *const begins[TALES] = {NULL,
                                              NULL,
                                              "In 0 of 40 draws, evenly spread, the goal is met.",
                                              NULL,
                                              NULL,
                                              NULL,
                                              "Stopped before a draw was worked out."};
    for (int t = 0; t < TALES; t++) {
        rn_odds *odds = tell(&tales[t]);
        rn_report_odds_headline(said, odds);
        if (begins[t])
            assert_string_equal(said, begins[t]);
        if (tales[t].done == 7)
            assert_non_null(strstr(said, " of the first 7 draws the goal is met: "));
        rn_odds_free(odds);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_of_the_page_stand_apart),
        cmocka_unit_test(absurd_numbers_are_drawn_to_an_end),
        cmocka_unit_test(lines_fit_a_terminal),
        cmocka_unit_test(figures_have_room),
        cmocka_unit_test(the_json_is_whole),
        cmocka_unit_test(the_headline_tells_what_was_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
