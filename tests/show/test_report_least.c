/* The least in words, one sentence for each way a search can end, and as JSON that reads back [rfc8259]. */
#include "check.h"

#include <string.h>

#include "cli/json.h"
#include "show/report_least.h"
#include "show/scratch.h"

#define ML 1e-6

static const rn_search_facts facts = {.title = "Salt \"marsh\"", .worked = 12, .known = 3, .seconds = 4.2};

static rn_outcome outcome_of(double coverage, double run_off)
{
    return (rn_outcome){.state = RN_OUTCOME_WHOLE,
                        .cover = 0.15e-3,
                        .coverage = coverage,
                        .covered_at = NAN,
                        .poured = 100 * ML,
                        .run_off = run_off,
                        .side_coverage = NAN,
                        .stretch = NAN,
                        .twist = NAN};
}

/* 100 ml in the plan, 180 ml found of 12.5 to 800 ml. */
static rn_least sample(rn_least_state state)
{
    rn_error err = {0};
    rn_least least = {.dial = {.path = "poured",
                               .dimension = RN_DIM_VOLUME,
                               .now = 100 * ML,
                               .from = 12.5 * ML,
                               .to = 800 * ML,
                               .logarithmic = true},
                      .close = 1.8 * ML,
                      .has_coarse = true,
                      .has_fine = true};
    check_ok(rn_goal_add(&least.goal, "coverage", "at least 90 %", &err), &err);
    check_ok(rn_goal_add(&least.goal, "run-off", "at most 10 ml", &err), &err);
    least.fine = (rn_least_look){.state = state,
                                 .cells = 256,
                                 .runs = 3,
                                 .value = 180 * ML,
                                 .outcome = outcome_of(0.91, 5 * ML),
                                 .unmet = 178.4 * ML,
                                 .below = outcome_of(0.893, 4 * ML),
                                 .needs = 0,
                                 .most = NAN,
                                 .too_much = NAN,
                                 .allows = -1};
    least.coarse = least.fine;
    least.coarse.cells = 96;
    least.coarse.value = 176.2 * ML;
    return least;
}

static void check_headline(const rn_least *least, const char *wanted)
{
    char text[RN_REPORT_LEAST_SIZE];
    rn_report_least_headline(text, least);
    assert_string_equal(text, wanted);
}

/* Of a number other than the volume only steps over the range are run at first: a spin that works between two of them, and
   nowhere else below, is not seen, and the report says so. */
static void what_lies_between_two_steps_is_not_promised(void **state)
{
    (void)state;
    for (int other = 0; other < 2; other++) {
        rn_least least = sample(RN_LEAST_FOUND);
        char *said = NULL;
        size_t size;
        if (other)
            least.dial = (rn_dial){.path = "moves.2.spin", .dimension = RN_DIM_RATE, .now = 4, .from = 1, .to = 10};
        FILE *out = open_memstream(&said, &size);
        rn_report_least_text(out, &least, &facts);
        fclose(out);
        assert_int_equal(strstr(said, "in steps first") != NULL, other);
        free(said);
    }
}

static void one_sentence_for_each_end(void **state)
{
    (void)state;
    rn_least least = sample(RN_LEAST_FOUND);
    check_headline(&least, "Least volume: 180 ml poured, 80 ml more than the plan's 100 ml.");
    least.dial.now = 180 * ML;
    check_headline(&least, "Least volume: 180 ml poured, as much as the plan has.");
    least.dial.now = 180.5 * ML; /* less than it was looked for, and yet not the same */
    check_headline(&least, "Least volume: 180 ml poured, 0.5 ml less than the plan's 180.5 ml.");
    least.dial.now = 240 * ML;
    check_headline(&least, "Least volume: 180 ml poured, 60 ml less than the plan's 240 ml.");
    least = sample(RN_LEAST_LOWEST);
    check_headline(&least, "Least volume: 180 ml or less, for even the least that was tried meets the goal.");
    least = sample(RN_LEAST_NEVER);
    check_headline(
        &least, "No volume that was tried up to 800 ml meets the goal: coverage at least 90 % is missed even there.");
    least = sample(RN_LEAST_APART);
    least.fine.most = 110 * ML;
    least.fine.too_much = 111 * ML;
    least.fine.allows = 1;
    check_headline(&least, "No volume that was tried meets the goal: coverage at least 90 % needs more than 178.4 ml, "
                           "run-off at most 10 ml "
                           "allows less than 111 ml.");
    least.fine.too_much = 178.5 * ML; /* neighbours */
    check_headline(&least, "No volume of 4 digits that was tried meets the goal: coverage at least 90 % needs more "
                           "than 178.4 ml, run-off at "
                           "most 10 ml allows less than 178.5 ml.");
    least.fine.needs = -1;
    least.fine.unmet = least.fine.most = NAN;
    check_headline(&least, "No volume that was tried meets the goal: run-off at most 10 ml is missed even at 12.5 ml.");
    least = sample(RN_LEAST_NOWHERE);
    check_headline(&least,
                   "No volume that was tried from 12.5 ml to 800 ml meets the whole goal; 180 ml comes nearest, where "
                   "coverage at least 90 % is missed.");
    least = sample(RN_LEAST_STOPPED);
    check_headline(&least, "Stopped before there was an answer.");
    least.has_fine = least.has_coarse = false;
    check_headline(&least, "Stopped before there was an answer.");
    least = sample(RN_LEAST_FOUND);
    least.has_fine = false;
    check_headline(&least, "Least volume: 176.2 ml poured, 76 ml more than the plan's 100 ml. Stopped before that was "
                           "confirmed on the fine grid.");
}

/* A spin clockwise keeps its sign in words and numbers. */
static void other_numbers_by_their_paths(void **state)
{
    (void)state;
    char *json = NULL;
    size_t size;
    rn_least least = sample(RN_LEAST_FOUND);
    const double rpm = 3.14159265358979 / 30;
    least.dial = (rn_dial){.path = "moves.3.spin",
                           .dimension = RN_DIM_RATE,
                           .negative = true,
                           .now = 40 * rpm,
                           .from = 10 * rpm,
                           .to = 90 * rpm};
    least.fine.value = 30 * rpm;
    least.fine.unmet = 29.5 * rpm;
    check_headline(&least, "Least moves.3.spin: -30 rpm, 10 rpm less than the plan's -40 rpm.");
    SCRATCH_CAPTURE(json, size, rn_report_least_json(out, &least, &facts));
    check_close(json_number(json, "value_si"), -30 * rpm, 1e-6);
    check_close(json_number(json, "looks.1.unmet_si"), -29.5 * rpm, 1e-6);
    free(json);
    least.dial.now = 0;
    least.dial.negative = false;
    check_headline(&least, "Least moves.3.spin: 30 rpm.");
}

static void words_fit_the_screen(void **state)
{
    (void)state;
    for (rn_least_state end = RN_LEAST_STOPPED; end <= RN_LEAST_NOWHERE; end++) {
        char *text = NULL;
        size_t size;
        rn_least least = sample(end);
        least.fine.jumps = true;
        least.fine.jump = 150 * ML;
        least.fine.outcome.base = 8 * ML;
        SCRATCH_CAPTURE(text, size, rn_report_least_text(out, &least, &facts));
        int width = 0;
        for (const char *c = text; *c; c++) {
            width = *c == '\n' ? 0 : width + 1;
            assert_true(width <= 80);
        }
        if (end == RN_LEAST_FOUND) {
            assert_non_null(strstr(text, "\n  goal        coverage at least 90 %  met: 91 %\n"));
            assert_non_null(strstr(text, "\n              run-off at most 10 ml   met: 5 ml\n"));
            assert_non_null(strstr(text, "\n  too little  178.4 ml, for coverage at least 90 %: 89.3 %\n"));
            assert_non_null(strstr(text, "\n  run-off     5.0 ml, 4.6 % of the paint\n"));
            assert_non_null(strstr(text, "\n  mind        The border is not sharp: 150 ml meets "));
            assert_non_null(strstr(text, "\n  looked for  from 12.5 ml to 800 ml, to 1.8 ml\n"));
            assert_non_null(strstr(text, " 176.2 ml on 96 cells along the longer side, 180 ml on 256\n"));
            assert_non_null(strstr(text, " 12 runs in 4.2 s, and 3 more were known\n"));
        }
        free(text);
    }
}

static void what_was_stopped_early_says_why(void **state)
{
    (void)state;
    char *text = NULL;
    size_t size;
    rn_least least = sample(RN_LEAST_FOUND);
    least.fine.below.state = RN_OUTCOME_DECIDED;
    snprintf(least.fine.below.why, sizeof least.fine.below.why, "too little paint is left for it");
    SCRATCH_CAPTURE(text, size, rn_report_least_text(out, &least, &facts));
    assert_non_null(strstr(text, "\n  too little  178.4 ml: too little paint is left for it\n"));
    free(text);
}

/* The base coat's own number is not the plan's once it was looked for. */
static void a_base_coat_is_told_as_it_is(void **state)
{
    (void)state;
    static const struct {
        const char *path;
        bool with_base;
        const char *says;
    } cases[] = {
        {"poured", false, "\n  base coat   8.0 ml, as the plan has it\n"},
        {"poured", true, "\n  base coat   8.0 ml, scaled with what is poured\n"},
        {"base.1.volume", false, "\n  base coat   8.0 ml, with base.1.volume as above\n"},
        {"base.2.depth", false, "\n  base coat   8.0 ml, with base.2.depth as above\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *text = NULL;
        size_t size;
        rn_least least = sample(RN_LEAST_FOUND);
        snprintf(least.dial.path, sizeof least.dial.path, "%s", cases[i].path);
        least.dial.with_base = cases[i].with_base;
        least.fine.outcome.base = 8 * ML;
        SCRATCH_CAPTURE(text, size, rn_report_least_text(out, &least, &facts));
        assert_non_null(strstr(text, cases[i].says));
        free(text);
    }
}

static void json_reads_back(void **state)
{
    (void)state;
    static const char *const words[] = {"stopped", "found", "lowest", "never", "apart", "nowhere"};
    for (rn_least_state end = RN_LEAST_STOPPED; end <= RN_LEAST_NOWHERE; end++) {
        char *json = NULL;
        size_t size;
        rn_least least = sample(end);
        SCRATCH_CAPTURE(json, size, rn_report_least_json(out, &least, &facts));
        assert_string_equal(json_text(json, "title"), "Salt \"marsh\"");
        assert_string_equal(json_text(json, "state"), words[end]);
        const bool found = end == RN_LEAST_FOUND || end == RN_LEAST_LOWEST;
        assert_string_equal(json_text(json, "found"), found ? "true" : "false");
        assert_string_equal(json_text(json, "value"), found ? "180 ml" : "null");
        assert_int_equal(json_count(json, "looks"), 2);
        check_close(json_number(json, "looks.0.value_si"), 176.2 * ML, 1e-6);
        assert_string_equal(json_text(json, "looks.1.most_si"), "null");
        assert_string_equal(json_text(json, "looks.1.too_much_si"), "null");
        check_close(json_number(json, "runs_known"), 3, 0);
        free(json);
    }
}

static rn_together several(void)
{
    const rn_least least = sample(RN_LEAST_FOUND);
    rn_together together = {.count = 2, .goal = least.goal, .weight = 2, .has_coarse = true, .has_fine = true};
    together.dials[0] = least.dial;
    together.dials[1] = (rn_dial){.path = "moves.1.tilt", .dimension = RN_DIM_ANGLE, .now = 0.1, .to = 0.3};
    together.fine = (rn_together_look){.cells = 256,
                                       .runs = 2,
                                       .met = true,
                                       .values = {120 * ML, 0.174532925199433},
                                       .outcome = least.fine.outcome,
                                       .cost = 2.9};
    together.coarse = together.fine;
    together.coarse.cells = 96;
    return together;
}

static void several_numbers_together(void **state)
{
    (void)state;
    char text[RN_REPORT_LEAST_SIZE], *json = NULL, *words = NULL;
    size_t size;
    rn_together together = several();
    rn_report_together_headline(text, &together);
    assert_string_equal(text, "Least found together: poured 120 ml, moves.1.tilt 10 deg.");
    SCRATCH_CAPTURE(json, size, rn_report_together_json(out, &together, &facts));
    assert_string_equal(json_text(json, "found"), "true");
    assert_string_equal(json_text(json, "confirmed"), "true");
    assert_string_equal(json_text(json, "numbers.1.of"), "moves.1.tilt");
    check_close(json_number(json, "numbers.0.value_si"), 120 * ML, 1e-6);
    check_close(json_number(json, "looks.1.values_si.1"), 0.174532925, 1e-6);
    SCRATCH_CAPTURE(words, size, rn_report_together_text(out, &together, &facts));
    assert_non_null(strstr(words, "\n  weight      2 on the share that runs off"));
    assert_non_null(strstr(words, "\n  looked for  poured from 12.5 ml to 800 ml; the plan has 100 ml\n"));
    assert_non_null(strstr(words, "\n  grids       poured 120 ml, "));
    free(words);
    together.has_coarse = false; /* the one grid */
    SCRATCH_CAPTURE(words, size, rn_report_together_text(out, &together, &facts));
    assert_non_null(strstr(words, "\n  grid        256 cells along the longer side\n"));
    together.has_coarse = true;
    together.stopped = true;
    rn_report_together_headline(text, &together);
    assert_string_equal(text,
                        "Least found together: poured 120 ml, moves.1.tilt 10 deg. Stopped before all was tried.");
    together.has_fine = false;
    rn_report_together_headline(text, &together);
    assert_string_equal(
        text, "Least found together: poured 120 ml, moves.1.tilt 10 deg. Stopped before that was confirmed on "
              "the fine grid.");
    together = several();
    together.fine.met = false;
    rn_report_together_headline(text, &together);
    assert_string_equal(text, "Nothing that was tried meets the goal; nearest: poured 120 ml, moves.1.tilt 10 deg.");
    together.has_coarse = together.has_fine = false;
    rn_report_together_headline(text, &together);
    assert_string_equal(text, "Stopped before there was an answer.");
    free(json);
    free(words);
    SCRATCH_CAPTURE(json, size, rn_report_together_json(out, &together, &facts));
    assert_int_equal(json_count(json, "looks"), 0);
    assert_string_equal(json_text(json, "numbers.0.value_si"), "null");
    free(json);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_lies_between_two_steps_is_not_promised),
        cmocka_unit_test(one_sentence_for_each_end),
        cmocka_unit_test(other_numbers_by_their_paths),
        cmocka_unit_test(words_fit_the_screen),
        cmocka_unit_test(what_was_stopped_early_says_why),
        cmocka_unit_test(a_base_coat_is_told_as_it_is),
        cmocka_unit_test(json_reads_back),
        cmocka_unit_test(several_numbers_together),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
