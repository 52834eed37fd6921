/* The pattern in words fits its screen whatever the plan, and as JSON it reads back [rfc8259]. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "cli/json.h"
#include "run/session.h"
#include "show/report.h"
#include "show/report_pattern.h"

typedef struct told {
    rn_plan *plan;
    rn_pattern *pattern;
    char *words, *json;
} told;

static char *collect(void (*write)(FILE *out, const rn_plan *plan, const rn_pattern *pattern), const rn_plan *plan,
                     const rn_pattern *pattern, bool object)
{
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    if (object)
        fputs("{\n", out);
    write(out, plan, pattern);
    if (object)
        fputs("\"end\": 0}\n", out);
    fclose(out);
    return text;
}

/* As long as a name can be; one with letters beyond ASCII, one that JSON has to escape. */
static const char *const long_names[2] = {"grüne Gezeitenzone überm Strandhafer",
                                          "the \\\"slate\\\" of the outer skerries 1"};

/* Twelve paints of that sort, and so many pours one after the other. */
static rn_plan *make_plan(int pours)
{
    static char text[16384];
    int at = snprintf(text, sizeof text, "plan: 1\npanel: {size: 20 cm x 20 cm, edges: clean}\npaints:\n");
    for (int p = 0; p < 12; p++)
        at += snprintf(text + at, sizeof text - (size_t)at, "  p%d: {colour: %02x5577, density: %.2f g/ml}\n", p,
                       20 * p, 1.3 - 0.01 * p);
    at += snprintf(text + at, sizeof text - (size_t)at, "base: [{paint: p0, depth: 0.4 mm}]\n%s",
                   pours ? "pours:\n" : "");
    for (int k = 0; k < pours; k++) {
        at +=
            snprintf(text + at, sizeof text - (size_t)at,
                     "  - {at: %d mm left %d mm back, across: 40 mm, width: 8 mm, start: %.1f s, lifts: 1, open: 1 s, "
                     "stack: [",
                     (k % 5) * 10, (k % 3) * 10, 0.1 * k);
        for (int p = 0; p < 12; p++)
            at += snprintf(text + at, sizeof text - (size_t)at, "%sp%d %d ml", p ? ", " : "", p, pours > 4 ? 1 : 4);
        at += snprintf(text + at, sizeof text - (size_t)at, "]}\n");
    }
    snprintf(text + at, sizeof text - (size_t)at,
             "moves: [{start: 4 s, for: 5 s, tilt: 9 deg, toward: 30 deg}]\nend: 10 s\n");
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    for (int p = 0; p < 12; p++)
        snprintf(plan->paints[p].name, sizeof plan->paints[p].name, "%c %.36s", 'a' + p, long_names[p % 2]);
    return plan;
}

static told tell(rn_plan *plan, double time, int levels)
{
    told got = {.plan = plan};
    rn_session *session = NULL;
    rn_still *still = NULL;
    rn_team *team = NULL;
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = 64;
    options.threads = 2;
    options.history = true;
    check_ok(rn_session_new(&session, got.plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_reel_still(&still, rn_session_reel(session), time, &err), &err);
    check_ok(rn_team_new(&team, 2, &err), &err);
    rn_pattern_options wanted = rn_pattern_defaults();
    wanted.points = 256;
    wanted.levels = levels;
    check_ok(rn_pattern_work_out(&got.pattern, got.plan, session, still, wanted, team, &err), &err);
    got.words = collect(rn_report_pattern, got.plan, got.pattern, false);
    got.json = collect(rn_report_pattern_json, got.plan, got.pattern, true);
    rn_team_free(team);
    rn_still_free(still);
    rn_session_free(session);
    return got;
}

static void untell(told *got)
{
    rn_pattern_free(got->pattern);
    rn_plan_free(got->plan);
    free(got->words);
    free(got->json);
}

/* Columns, not bytes: letters beyond ASCII take several. */
static void check_screen(const char *words)
{
    int lines = 0, columns = 0;
    for (const char *at = words; *at; at++) {
        if (*at == '\n') {
            lines++;
            columns = 0;
        } else if (((unsigned char)*at & 0xC0) != 0x80 && ++columns > RN_REPORT_COLUMNS) {
            fail_msg("line %d is longer than %d columns:\n%s", lines + 1, RN_REPORT_COLUMNS, words);
        }
    }
    if (lines > RN_REPORT_LINES_MOST)
        fail_msg("%d lines:\n%s", lines, words);
}

static void check_object(const char *json)
{
    static const char *const keys[] = {"rings", "twist", "distortion", "stretch", "cells", "colours"};
    assert_string_equal(json_text(json, "end"), "0");
    for (int k = 0; k < 6; k++)
        if (json_count(json, keys[k]) < 1)
            fail_msg("no key %s in\n%s", keys[k], json);
}

static int count_of(const char *text, const char *what)
{
    int count = 0;
    for (const char *at = text; (at = strstr(at, what)); at++)
        count++;
    return count;
}

static void twelve_paints_fit(void **state)
{
    (void)state;
    told got = tell(make_plan(1), 10, 2);
    check_screen(got.words);
    check_object(got.json);
    static const char *const said[] = {"colours, ml", "rings", "stretch", "cells", "fitted to what was poured"};
    for (int k = 0; k < 5; k++)
        if (!strstr(got.words, said[k]))
            fail_msg("no word of %s in\n%s", said[k], got.words);
    assert_int_equal(count_of(got.words, " grüne"), 6);
    /* The object's figures are the pattern's, under names with marks and umlauts too. */
    char path[160];
    for (int p = 0; p < 12; p++) {
        snprintf(path, sizeof path, "colours.came_ml.%s", got.plan->paints[p].name);
        check_close(json_number(got.json, path), 1e6 * got.pattern->colours.came[p], 1e-4);
    }
    check_close(json_number(got.json, "stretch.median"), got.pattern->stretch.median, 1e-3);
    untell(&got);
}

static void thirty_two_pours_fit(void **state)
{
    (void)state;
    told got = tell(make_plan(RN_POURS_MOST), 10, 2);
    check_screen(got.words);
    check_object(got.json);
    assert_int_equal(json_count(got.json, "rings.pours"), RN_POURS_MOST); /* there all are told */
    assert_true(strstr(got.words, "more pours") != NULL);
    assert_true(strstr(got.words, "stretch") != NULL);
    assert_true(strstr(got.words, "cells") != NULL);
    untell(&got);
}

/* What is not known is null, not a number that no reader takes. */
static void before_anything_is_poured_it_reads_back(void **state)
{
    (void)state;
    told got = tell(make_plan(3), 0, 2);
    check_screen(got.words);
    check_object(got.json);
    assert_null(strstr(got.json, "nan"));
    assert_null(strstr(got.json, "inf"));
    untell(&got);
    told bare = tell(make_plan(0), 10, 0); /* no pour, no volumes */
    check_screen(bare.words);
    assert_string_equal(json_text(bare.json, "end"), "0");
    assert_null(strstr(bare.words, "colours, ml"));
    untell(&bare);
}

/* Figures made up for how they round: no zero with a sign, no range that seems to run backwards. */
static void rounded_figures_make_sense(void **state)
{
    (void)state;
    told got = tell(make_plan(1), 10, 0);
    rn_pour_pattern *pour = &got.pattern->pours[0];
    for (int c = 0; c < RN_PATTERN_CIRCLES; c++)
        pour->circles[c].twist = -0.3 * RN_PI / 180;
    pour->rings.all = (rn_ring_widths){.count = 2, .least = 2.06e-3, .median = 2.1e-3, .greatest = 2.14e-3};
    char *words = collect(rn_report_pattern, got.plan, got.pattern, false);
    if (strstr(words, "-0") || !strstr(words, " 0 degrees"))
        fail_msg("a zero has a sign in\n%s", words);
    if (!strstr(words, "2.1 to 2.1 mm wide"))
        fail_msg("widths of 2.06 to 2.14 mm are told as\n%s", words);
    free(words);
    pour->rings.all = (rn_ring_widths){.count = 2, .least = 9.97e-3, .median = 20.04e-3, .greatest = 38.4e-3};
    words = collect(rn_report_pattern, got.plan, got.pattern, false);
    if (!strstr(words, "10 to 38 mm wide"))
        fail_msg("widths of 9.97 to 38.4 mm are told as\n%s", words);
    free(words);
    untell(&got);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(twelve_paints_fit),
        cmocka_unit_test(thirty_two_pours_fit),
        cmocka_unit_test(before_anything_is_poured_it_reads_back),
        cmocka_unit_test(rounded_figures_make_sense),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
