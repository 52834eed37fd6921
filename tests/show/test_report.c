/* What the painter reads, and the same as JSON through independent readers. */
#include "check.h"

#include <string.h>

#include "cli/json.h"
#include "sample.h"
#include "scratch.h"
#include "show/report.h"

static rn_forecast covered_forecast(void)
{
    sample s = sample_make(sample_defaults());
    rn_forecast forecast = s.forecast;
    sample_clear(&s);
    return forecast;
}

static char *report_of(const rn_forecast *forecast)
{
    char *text;
    size_t size;
    SCRATCH_CAPTURE(text, size, rn_report_text(out, forecast));
    return text;
}

static char *json_of(const rn_forecast *forecast)
{
    char *text;
    size_t size;
    SCRATCH_CAPTURE(text, size, rn_report_json(out, forecast, NULL, NULL));
    return text;
}

static void assert_says(const rn_forecast *forecast, const char *words)
{
    char *text = report_of(forecast);
    if (!strstr(text, words))
        fprintf(stderr, "\"%s\" is not in:\n%s", words, text);
    assert_non_null(strstr(text, words));
    free(text);
}

static void the_answer_comes_first(void **state)
{
    (void)state;
    char line[RN_HEADLINE_SIZE];
    rn_forecast f = covered_forecast();
    rn_report_headline(line, &f);
    assert_string_equal(line, "Covered from 96 s on.");

    f.covered_at = 0.0;
    rn_report_headline(line, &f);
    assert_string_equal(line, "Covered from the start.");

    f.covered = false;
    f.coverage = 0.9725;
    f.corners[0] = (rn_corner_outcome){NAN, 0.0};
    f.corners[2] = (rn_corner_outcome){NAN, 0.001e-3};
    rn_report_headline(line, &f);
    assert_string_equal(line,
                        "Not covered: back left and front right corners stay bare; 97.2 % of the face is covered.");

    f.corners[2].depth = 0.1e-3;
    rn_report_headline(line, &f);
    assert_string_equal(line, "Not covered: back left corner stays bare, front right corner stays short; 97.2 % of the "
                              "face is covered.");

    f.complete = false;
    f.duration = 60.0;
    for (int c = 0; c < RN_CORNERS; c++)
        f.corners[c] = (rn_corner_outcome){NAN, 0.0};
    f.round = true;
    rn_report_headline(line, &f);
    assert_string_equal(line,
                        "Stopped at 60 s, not covered by then: all four quarters stay bare; 97.2 % of the face is "
                        "covered.");
}

static void what_is_nearly_all_is_not_called_all(void **state)
{
    (void)state;
    char line[RN_HEADLINE_SIZE];
    rn_forecast f = covered_forecast();
    f.covered = false;
    f.coverage = 0.99999;
    f.corners[1] = (rn_corner_outcome){NAN, 0.1e-3};
    rn_report_headline(line, &f);
    assert_null(strstr(line, "100"));
    assert_non_null(strstr(line, "99.9 %"));
}

static void places_are_the_painters(void **state)
{
    (void)state;
    char text[80];
    rn_report_place(text, sizeof text, -0.1432, 0.1478);
    assert_string_equal(text, "143 mm left 148 mm back of the centre");
    rn_report_place(text, sizeof text, 0.0, -0.02);
    assert_string_equal(text, "20 mm front of the centre");
    rn_report_place(text, sizeof text, 0.0002, -0.0003);
    assert_string_equal(text, "at the centre");
}

static void the_report_says_what_was_asked(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    /* 1 US fl oz = 29.5735295625 ml exactly [nist811]: 147.868 ml are 5 of them. */
    f.poured = 200e-6;
    f.run_off = 147.8676478125e-6;
    f.run_off_cost = 1.5;
    assert_says(&f, "147.9 ml (5.00 fl oz), 73.9 % of the paint; it cost 1.50");
    assert_says(&f, "back right  covered from 72 s on, 0.62 mm deep");
    assert_says(&f, "thickest 2.14 mm, 24 mm right 10 mm front of the centre");
    assert_says(&f, "still moving after 180 s, at 0.8 mm/min");
    assert_says(&f, "gives off its water in about 6 to 12 h at 20 degC and 50 %");
    f.still_moving = 1e-7;
    assert_says(&f, "at rest after 180 s");
    f.run_off = 0.0;
    assert_says(&f, "run-off     none");
    f.run_off = 0.004e-6;
    assert_says(&f, "run-off     none");
    f.run_off = 0.02e-6; /* half a drop is not none, and not 0.0 ml */
    assert_says(&f, "run-off     0.02 ml, 0.01 % of the paint");
    f.run_off = 0.0949e-6;
    assert_says(&f, "run-off     0.09 ml");
    f.run_off = 0.0951e-6;
    assert_says(&f, "run-off     0.1 ml");
    f.covered = false;
    f.best_coverage = 0.991;
    f.coverage = 0.97;
    assert_says(&f, "Best on the way: 99.1 % at 92 s.");
    f.wrapped = true;
    f.side_coverage = 0.85;
    f.on_sides = 12e-6;
    assert_says(&f, "85.0 % wetted, 12.0 ml on them");
    snprintf(f.warnings[0], sizeof f.warnings[0], "The brass is stiffer than the kelp.");
    f.warning_count = 1;
    assert_says(&f, "mind        The brass is stiffer than the kelp.");
}

/* Columns of a line of UTF-8. */
static int columns_of(const char *line, size_t bytes)
{
    int columns = 0;
    for (size_t i = 0; i < bytes; i++)
        columns += ((unsigned char)line[i] & 0xC0) != 0x80;
    return columns;
}

static void it_fits_one_screen_whatever_it_says(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    f.covered = false;
    f.wrapped = true;
    f.side_coverage = 0.5;
    memset(f.title, 'w', sizeof f.title - 1);
    f.corners[0] = f.corners[1] = f.corners[3] = (rn_corner_outcome){NAN, 0.1e-3};
    f.warning_count = RN_WARNINGS_MOST;
    for (int i = 0; i < RN_WARNINGS_MOST; i++)
        for (int k = 0; k < RN_WARNING_SIZE - 1; k++)
            f.warnings[i][k] = k % 9 == 8 ? ' ' : (char)('a' + i);
    char *text = report_of(&f);
    int lines = 0;
    for (const char *at = text; *at; lines++) {
        size_t length = strcspn(at, "\n");
        if (columns_of(at, length) > 80)
            fail_msg("longer than 80: %.*s", (int)length, at);
        at += length + 1;
    }
    check_at_most(lines, 40);
    check_at_least(lines, 30);
    assert_non_null(strstr(text, "more, listed by --json"));
    free(text);
}

static void words_that_frighten_are_avoided(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    f.covered = f.complete = false;
    char *text = report_of(&f);
    static const char *const avoided[] = {"simulat", "render", "parameter", "fail", "invalid", "nan", "inf"};
    for (size_t i = 0; i < sizeof avoided / sizeof avoided[0]; i++)
        assert_null(strstr(text, avoided[i]));
    free(text);
}

/* A second reader, stricter than YAML, where this machine has it. */
static void check_strictly(const char *json)
{
    if (system("python3 -c pass >/dev/null 2>&1") != 0)
        return;
    FILE *reader = popen("python3 -c 'import json, sys; json.loads(sys.stdin.buffer.read().decode(\"utf-8\"))'", "w");
    assert_non_null(reader);
    fputs(json, reader);
    assert_int_equal(pclose(reader), 0);
}

static void the_json_object_has_the_figures(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    char *json = json_of(&f);
    check_strictly(json);
    check_close(json_number(json, "coverage"), f.coverage, 1e-8);
    check_close(json_number(json, "covered_at_s"), 96.0, 1e-8);
    check_within(json_number(json, "base_ml"), 0.0, 1e-12);
    check_close(json_number(json, "poured_ml"), 150.0, 1e-8);
    check_close(json_number(json, "on_panel_ml"), f.on_panel * 1e6, 1e-8);
    check_close(json_number(json, "run_off_ml"), f.run_off * 1e6, 1e-8);
    check_close(json_number(json, "run_off_by_edge_ml.front"), f.run_off_by_side[RN_FRONT] * 1e6, 1e-8);
    check_close(json_number(json, "run_off_by_edge_ml.left"), f.run_off_by_side[RN_LEFT] * 1e6, 1e-8);
    check_close(json_number(json, "balance_error"), 3e-15, 1e-8);
    check_close(json_number(json, "film_mm.mean"), f.mean * 1e3, 1e-8);
    check_close(json_number(json, "film_mm.least"), f.least.depth * 1e3, 1e-8);
    check_close(json_number(json, "film_mm.most"), f.most.depth * 1e3, 1e-8);
    assert_int_equal(json_count(json, "corners"), 4);
    assert_string_equal(json_text(json, "corners.0.name"), "back left");
    check_close(json_number(json, "corners.1.covered_at_s"), 72.0, 1e-8);
    check_close(json_number(json, "corners.1.film_mm"), f.corners[1].depth * 1e3, 1e-8);
    check_close(json_number(json, "still_moving_mm_per_min"), 0.8, 1e-8);
    check_close(json_number(json, "duration_s"), 180.0, 1e-8);
    check_close(json_number(json, "steps"), 1268.0, 1e-8);
    check_close(json_number(json, "grid.nx"), f.grid.nx, 1e-8);
    check_close(json_number(json, "grid.ny"), f.grid.ny, 1e-8);
    check_close(json_number(json, "grid.cell_mm"), f.grid.dx * 1e3, 1e-8);
    check_close(json_number(json, "wall_s"), 1.6, 1e-8);
    check_close(json_number(json, "wet_time_h.0"), 6.0, 1e-8);
    check_close(json_number(json, "wet_time_h.1"), 12.0, 1e-8);
    assert_string_equal(json_text(json, "side_coverage"), "null");
    assert_string_equal(json_text(json, "run_off_cost"), "null");
    assert_string_equal(json_text(json, "complete"), "true");
    assert_int_equal(json_count(json, "warnings"), 0);
    free(json);
}

static void what_is_not_known_is_null_and_texts_are_escaped(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    f.covered = false;
    f.covered_at = 12.0; /* not to be told where the end is not covered */
    f.corners[3].covered_at = NAN;
    f.wet_least = f.wet_most = NAN;
    snprintf(f.title, sizeof f.title, "a \"tide\" \\ table\t\x01 caf\xc3\xa9 \xff end");
    snprintf(f.warnings[0], sizeof f.warnings[0], "two\nlines");
    f.warning_count = 1;
    char *json = json_of(&f);
    check_strictly(json);
    assert_string_equal(json_text(json, "covered_at_s"), "null");
    assert_string_equal(json_text(json, "covered"), "false");
    assert_string_equal(json_text(json, "corners.3.covered_at_s"), "null");
    assert_string_equal(json_text(json, "wet_time_h.0"), "null");
    assert_string_equal(json_text(json, "title"), "a \"tide\" \\ table\t\x01 caf\xc3\xa9 \xef\xbf\xbd end");
    assert_string_equal(json_text(json, "warnings.0"), "two\nlines");
    free(json);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_answer_comes_first),
        cmocka_unit_test(what_is_nearly_all_is_not_called_all),
        cmocka_unit_test(places_are_the_painters),
        cmocka_unit_test(the_report_says_what_was_asked),
        cmocka_unit_test(it_fits_one_screen_whatever_it_says),
        cmocka_unit_test(words_that_frighten_are_avoided),
        cmocka_unit_test(the_json_object_has_the_figures),
        cmocka_unit_test(what_is_not_known_is_null_and_texts_are_escaped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
