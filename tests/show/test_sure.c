/* The least that is sure enough in words, told of answers made by hand. */
#include "check.h"

#include <string.h>

#include "cli/json.h"
#include "show/report_sure.h"

static rn_sure told(rn_least_state state)
{
    const rn_sure_count nothing = {.value = NAN, .worst = -1};
    rn_sure sure = {
        .dial = {.path = "poured", .dimension = RN_DIM_VOLUME, .now = 120e-6, .from = 15e-6, .to = 960e-6},
        .sure = 0.9,
        .close = 1.3e-6,
        .draws = 60,
        .needed = 54,
        .cells = 96,
        .seed = 1,
        .state = state,
        .at = {.value = 131.2e-6, .met = 55, .of = 60, .interval = {0.82, 0.96}, .missed = {5, 0}, .worst = 0},
        .unmet = 130e-6,
        .most = NAN,
        .at_most = nothing,
        .at_own = {.value = 122.4e-6, .met = 31, .of = 60, .interval = {0.39, 0.64}, .missed = {29}, .worst = 0},
        .fine_cells = 256};
    rn_error err = {0};
    check_ok(rn_goal_add(&sure.goal, "coverage", "at least 99.5 %", &err), &err);
    check_ok(rn_goal_add(&sure.goal, "run-off", "at most 30 ml", &err), &err);
    return sure;
}

static void check_says(const rn_sure *sure, const char *words)
{
    char said[RN_REPORT_SURE_SIZE];
    rn_report_sure_headline(said, sure);
    assert_string_equal(said, words);
}

static void the_headline_says_what_was_found(void **state)
{
    (void)state;
    rn_sure sure = told(RN_LEAST_FOUND);
    check_says(&sure, "For 90 % of draws to meet the goal: volume 131.2 ml, where 55 of 60 do; 8.8 ml more than the "
                      "122.4 ml that would do if nothing "
                      "were in doubt.");
    sure.at_own.value = 131e-6;
    check_says(&sure, "For 90 % of draws to meet the goal: volume 131.2 ml, where 55 of 60 do; as much as would do if "
                      "nothing were in doubt.");
    sure.at_own.value = NAN;
    check_says(&sure, "For 90 % of draws to meet the goal: volume 131.2 ml, where 55 of 60 do.");
    sure.fine = (rn_outcome){.state = RN_OUTCOME_WHOLE, .coverage = 0.9, .covered_at = NAN, .side_coverage = NAN};
    check_says(&sure, "For 90 % of draws to meet the goal: volume 131.2 ml, where 55 of 60 do. Mind the grid: on 256 "
                      "cells even the plan as written "
                      "misses the goal there.");
}

static void the_headline_says_why_nothing_was(void **state)
{
    (void)state;
    rn_sure sure = told(RN_LEAST_APART);
    sure.allows = 1;
    check_says(&sure, "No volume that was tried meets the goal in 90 % of draws: run-off at most 30 ml is missed too "
                      "often even at 15 ml.");
    sure.most = 118e-6;
    sure.unmet = 130.1e-6;
    sure.too_much = 119e-6;
    sure.needs = 0;
    check_says(&sure, "No volume that was tried meets the goal in 90 % of draws: for that coverage at least 99.5 % "
                      "needs more than 130.1 ml, and "
                      "run-off at most 30 ml allows less than 119 ml.");
    sure.too_much = 130.2e-6; /* neighbours */
    check_says(&sure, "No volume of 4 digits that was tried meets the goal in 90 % of draws: for that coverage at "
                      "least 99.5 % needs more than "
                      "130.1 ml, and run-off at most 30 ml allows less than 130.2 ml.");
    sure = told(RN_LEAST_NOWHERE);
    check_says(&sure, "No volume that was tried meets the goal in 90 % of draws. Best is 131.2 ml, where 55 of 60 do; "
                      "coverage at least 99.5 % is missed most often.");
    sure = told(RN_LEAST_STOPPED);
    check_says(&sure, "Stopped before there was an answer.");
}

static void the_report_and_the_json_are_whole(void **state)
{
    (void)state;
    for (int i = RN_LEAST_STOPPED; i <= RN_LEAST_NOWHERE; i++) {
        char *said = NULL, *json = NULL;
        size_t size;
        const rn_sure sure = told((rn_least_state)i);
        const rn_search_facts facts = {.title = "Neap tide", .worked = 349, .seconds = 40};
        FILE *out = open_memstream(&said, &size);
        rn_report_sure_text(out, &sure, &facts);
        fclose(out);
        for (const char *line = said; *line; line += strcspn(line, "\n") + 1)
            check_at_most((double)strcspn(line, "\n"), 80);
        assert_null(strstr(said, "nan"));
        out = open_memstream(&json, &size);
        rn_report_sure_json(out, &sure, &facts);
        fclose(out);
        assert_string_equal(json_text(json, "found"), i == RN_LEAST_FOUND || i == RN_LEAST_LOWEST ? "true" : "false");
        check_within(json_number(json, "at.met"), 55, 0);
        check_within(json_number(json, "at_own_least.missed.0"), 29, 0);
        assert_string_equal(json_text(json, "at_most"), "null");
        free(said);
        free(json);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_headline_says_what_was_found),
        cmocka_unit_test(the_headline_says_why_nothing_was),
        cmocka_unit_test(the_report_and_the_json_are_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
