#include "run/judge.h"

#include <math.h>
#include <stdio.h>

#include "base/units.h"
#include "plan/plan_words.h"

#define POINTS_LEAST 256

static rn_dimension dimension_of(const rn_expect *expect)
{
    switch (expect->kind) {
    case RN_EXPECT_COVERAGE: return RN_DIM_SHARE;
    case RN_EXPECT_COVERED_BY: return RN_DIM_TIME;
    case RN_EXPECT_RUN_OFF: return expect->share ? RN_DIM_SHARE : RN_DIM_VOLUME;
    case RN_EXPECT_CORNER: return RN_DIM_LENGTH;
    case RN_EXPECT_THINNEST: return RN_DIM_LENGTH;
    case RN_EXPECT_STRETCH: return RN_DIM_PLAIN;
    case RN_EXPECT_TWIST: return RN_DIM_ANGLE;
    }
    return RN_DIM_PLAIN;
}

static rn_side side_of(const rn_expect *expect)
{
    if (expect->side_y)
        return expect->side_y < 0 ? RN_FRONT : RN_BACK;
    return expect->side_x > 0 ? RN_RIGHT : RN_LEFT;
}

static int corner_of(const rn_expect *expect)
{
    if (expect->side_y > 0)
        return expect->side_x < 0 ? 0 : 1;
    return expect->side_x > 0 ? 2 : 3;
}

static double least_corner(const rn_forecast *forecast)
{
    double least = INFINITY;
    for (int i = 0; i < RN_CORNERS; i++)
        least = fmin(least, forecast->corners[i].depth);
    return least;
}

/* The forecast's figure for an expectation, in SI; NaN where there is none. */
static double figure_of(const rn_expect *expect, const rn_forecast *forecast)
{
    double run_off;
    switch (expect->kind) {
    case RN_EXPECT_COVERAGE: return forecast->coverage;
    case RN_EXPECT_COVERED_BY: return forecast->covered ? forecast->covered_at : NAN;
    case RN_EXPECT_RUN_OFF:
        run_off = expect->one_side ? forecast->run_off_by_side[side_of(expect)] : forecast->run_off;
        return expect->share ? run_off / (forecast->base + forecast->poured) : run_off;
    case RN_EXPECT_CORNER:
        return expect->one_side ? forecast->corners[corner_of(expect)].depth : least_corner(forecast);
    case RN_EXPECT_THINNEST: return forecast->least.depth;
    case RN_EXPECT_STRETCH: return forecast->stretch;
    case RN_EXPECT_TWIST: return forecast->twist;
    }
    return NAN;
}

/* How far a figure lies outside what is expected; 0 inside. */
static double outside_by(const rn_expect *expect, double figure)
{
    switch (expect->relation) {
    case RN_AT_LEAST: return fmax(0, expect->value - figure);
    case RN_AT_MOST: return fmax(0, figure - expect->value);
    case RN_ABOUT: return fmax(0, fabs(figure - expect->value) - expect->tolerance);
    }
    return NAN;
}

/* As the plan words it: "run-off front at most 5 ml". */
static void say_wanted(char *text, size_t size, const rn_expect *expect)
{
    char written[RN_JUDGE_SIZE / 2];
    rn_expect_write(written, sizeof written, expect);
    snprintf(text, size, "%s %s", rn_expect_word(expect->kind), written);
}

static const char *why_not_judged(const rn_expect *expect, const rn_forecast *forecast)
{
    if (!forecast->has_pattern && expect->kind == RN_EXPECT_STRETCH)
        return "stretch was not worked out";
    if (!forecast->has_pattern && expect->kind == RN_EXPECT_TWIST)
        return "twist was not worked out";
    return forecast->complete ? NULL : "the forecast stopped before the end";
}

#define STRETCH_SHARE 0.95 /* of the face that stays under the stretch that is judged */

bool rn_expects_pattern(const rn_plan *plan)
{
    for (int i = 0; i < plan->expect_count; i++)
        if (plan->expects[i].kind == RN_EXPECT_STRETCH || plan->expects[i].kind == RN_EXPECT_TWIST)
            return true;
    return false;
}

void rn_judge_pattern(rn_forecast *forecast, const rn_pattern *pattern)
{
    forecast->has_pattern = true;
    forecast->stretch = rn_stretch_quantile(&pattern->stretch, STRETCH_SHARE);
    forecast->twist = fabs(pattern->twist);
}

/* More than two points to a cell cost time and tell nothing: on 96 cells stretch is the same to some 1 % with 256 points as
   with 512, which take twice as long. */
static int points_for(const rn_grid *grid)
{
    const int cells = grid->nx > grid->ny ? grid->nx : grid->ny;
    return 2 * cells < POINTS_LEAST ? POINTS_LEAST : 2 * cells < RN_STRATA_POINTS ? 2 * cells : RN_STRATA_POINTS;
}

rn_status rn_judge_session(rn_forecast *forecast, const rn_session *session, const rn_plan *plan, int threads,
                           rn_team_go_on *go_on, void *context, rn_error *err)
{
    rn_still *still = NULL;
    rn_team *team = NULL;
    rn_pattern *pattern = NULL;
    rn_pattern_options options = rn_pattern_defaults();
    options.levels = 0; /* no volumes by colour */
    options.points = points_for(rn_session_grid(session));
    rn_status status = rn_session_still(&still, session, err);
    if (status == RN_OK)
        status = rn_team_new(&team, threads, err);
    if (status == RN_OK) {
        rn_team_heed(team, go_on, context);
        status = rn_pattern_work_out(&pattern, plan, session, still, options, team, err);
    }
    if (status == RN_OK)
        rn_judge_pattern(forecast, pattern);
    rn_pattern_free(pattern);
    rn_team_free(team);
    rn_still_free(still);
    return status;
}

rn_judgement rn_judge_expect(const rn_expect *expect, const rn_forecast *forecast)
{
    const rn_dimension dimension = dimension_of(expect);
    const char *why_not = why_not_judged(expect, forecast);
    rn_judgement judgement = {.verdict = RN_NOT_JUDGED, .value = NAN, .by = NAN};
    char value[40], by[40];

    say_wanted(judgement.wanted, sizeof judgement.wanted, expect);
    if (why_not) {
        snprintf(judgement.outcome, sizeof judgement.outcome, "not judged: %s", why_not);
        return judgement;
    }
    judgement.value = figure_of(expect, forecast);
    if (isnan(judgement.value)) {
        judgement.verdict = RN_MISSED;
        snprintf(judgement.outcome, sizeof judgement.outcome, "missed: %s",
                 expect->kind == RN_EXPECT_COVERED_BY ? "not covered at the end"
                 : expect->kind == RN_EXPECT_TWIST    ? "all circles have run over an edge"
                                                      : "there is no paint to judge");
        return judgement;
    }
    judgement.by = outside_by(expect, judgement.value);
    judgement.verdict = judgement.by > 0 ? RN_MISSED : RN_MET;
    rn_units_round(value, sizeof value, judgement.value, dimension, NULL, 4);
    rn_units_round(by, sizeof by, judgement.by, dimension, NULL, 3);
    if (judgement.verdict == RN_MET)
        snprintf(judgement.outcome, sizeof judgement.outcome, "met: %s", value);
    else
        snprintf(judgement.outcome, sizeof judgement.outcome, "missed by %s: %s", by, value);
    return judgement;
}
