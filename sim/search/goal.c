#include "search/goal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/units.h"
#include "plan/plan_words.h"
#include "run/measure.h"

/* What cells of the rim and rounding may add to a volume before it counts as too little. */
#define VOLUME_DOUBT 0.02

rn_goal rn_goal_of_plan(const rn_plan *plan)
{
    rn_goal goal = {.count = plan->expect_count};
    memcpy(goal.demands, plan->expects, sizeof goal.demands);
    if (goal.count > 0)
        return goal;
    goal.demands[0] = (rn_expect){.kind = RN_EXPECT_COVERAGE, .relation = RN_AT_LEAST, .value = RN_COVERED_SHARE};
    goal.demands[1] = (rn_expect){.kind = RN_EXPECT_CORNER, .relation = RN_AT_LEAST, .value = plan->cover};
    goal.count = 2;
    return goal;
}

/* Whether both speak of the same side or corner, or of no one. */
static bool same_place(const rn_expect *a, const rn_expect *b)
{
    return a->one_side == b->one_side && (!a->one_side || (a->side_x == b->side_x && a->side_y == b->side_y));
}

/* Whether both bound the same figure from the same side. */
static bool same_bound(const rn_expect *a, const rn_expect *b)
{
    return a->kind == b->kind && same_place(a, b) &&
           (a->relation == b->relation || a->relation == RN_ABOUT || b->relation == RN_ABOUT);
}

rn_status rn_goal_add(rn_goal *goal, const char *word, const char *text, rn_error *err)
{
    rn_expect demand;
    const rn_status status = rn_expect_read(&demand, word, text, err);
    if (status)
        return status;
    int kept = 0;
    for (int i = 0; i < goal->count; i++)
        kept += !same_bound(&goal->demands[i], &demand);
    if (kept == RN_EXPECTS_MOST)
        return rn_fail(err, RN_E_PLAN, "there are too many demands: at most %d", RN_EXPECTS_MOST);
    kept = 0;
    for (int i = 0; i < goal->count; i++)
        if (!same_bound(&goal->demands[i], &demand))
            goal->demands[kept++] = goal->demands[i];
    goal->demands[kept++] = demand;
    goal->count = kept;
    return RN_OK;
}

bool rn_goal_needs_pattern(const rn_goal *goal)
{
    for (int i = 0; i < goal->count; i++)
        if (goal->demands[i].kind == RN_EXPECT_STRETCH || goal->demands[i].kind == RN_EXPECT_TWIST)
            return true;
    return false;
}

/* How far inside a value lies. */
static double margin_of(const rn_expect *demand, double value)
{
    if (isnan(value))
        return -INFINITY;
    switch (demand->relation) {
    case RN_AT_LEAST: return value - demand->value;
    case RN_AT_MOST: return demand->value - value;
    case RN_ABOUT: return demand->tolerance - fabs(value - demand->value);
    }
    return -INFINITY;
}

/* What a lack is measured by: shares by all of it, volumes by all the paint, the rest by what is wanted. */
static double scale_of(const rn_expect *demand, const rn_outcome *outcome)
{
    const double paint = outcome->base + outcome->poured;
    if (demand->kind == RN_EXPECT_COVERAGE || (demand->kind == RN_EXPECT_RUN_OFF && demand->share))
        return 1;
    if (demand->kind == RN_EXPECT_RUN_OFF)
        return paint > 0 ? paint : 1;
    return demand->value > 0 ? demand->value : 1;
}

static double lack_of(const rn_expect *demand, const rn_margin *margin, const rn_outcome *outcome)
{
    if (margin->met)
        return 0;
    if (isfinite(margin->margin))
        return -margin->margin / scale_of(demand, outcome);
    return demand->kind == RN_EXPECT_COVERED_BY ? 2 - outcome->coverage : 1; /* never covered is worse than late */
}

static rn_margin judge(const rn_expect *demand, const rn_outcome *outcome, const rn_forecast *forecast)
{
    const rn_judgement judgement = rn_judge_expect(demand, forecast);
    rn_margin margin = {
        .met = judgement.verdict == RN_MET,
        .value = judgement.value,
        .margin = margin_of(demand, judgement.value),
    };
    margin.lack = lack_of(demand, &margin, outcome);
    return margin;
}

/* Of outcomes that tell no more than yes or no. */
static rn_goal_verdict verdict_alone(const rn_goal *goal, bool met)
{
    rn_goal_verdict verdict = {.met = met, .worst = -1, .lack = met ? 0 : goal->count, .count = goal->count};
    for (int i = 0; i < goal->count; i++)
        verdict.margins[i] = (rn_margin){.met = met, .value = NAN, .margin = NAN, .lack = met ? 0 : 1};
    return verdict;
}

rn_goal_verdict rn_goal_judge(const rn_goal *goal, const rn_outcome *outcome)
{
    if (outcome->state != RN_OUTCOME_WHOLE)
        return verdict_alone(goal, outcome->state == RN_OUTCOME_DECIDED && outcome->goal_met);
    const rn_forecast forecast = rn_outcome_forecast(outcome);
    rn_goal_verdict verdict = {.met = true, .worst = -1, .count = goal->count};
    for (int i = 0; i < goal->count; i++) {
        const rn_margin margin = judge(&goal->demands[i], outcome, &forecast);
        verdict.margins[i] = margin;
        verdict.met = verdict.met && margin.met;
        verdict.lack += margin.lack;
        if (!margin.met && (verdict.worst < 0 || margin.lack > verdict.margins[verdict.worst].lack))
            verdict.worst = i;
    }
    return verdict;
}

void rn_goal_wanted(char text[RN_JUDGE_SIZE], const rn_expect *demand)
{
    const rn_forecast nothing = {0};
    const rn_judgement judgement = rn_judge_expect(demand, &nothing);
    snprintf(text, RN_JUDGE_SIZE, "%s", judgement.wanted);
}

void rn_goal_said(char text[RN_JUDGE_SIZE], const rn_expect *demand, const rn_outcome *outcome)
{
    const rn_forecast forecast = rn_outcome_forecast(outcome);
    const rn_judgement judgement = rn_judge_expect(demand, &forecast);
    snprintf(text, RN_JUDGE_SIZE, "%s", judgement.outcome);
}

void rn_goal_figure(char text[RN_JUDGE_SIZE], const rn_expect *demand, const rn_outcome *outcome)
{
    char said[RN_JUDGE_SIZE];
    rn_goal_said(said, demand, outcome);
    const char *figure = strstr(said, ": "); /* of "met: 28.1 ml", "missed by 4.2 ml: 34.2 ml" */
    snprintf(text, RN_JUDGE_SIZE, "%s", figure ? figure + 2 : said);
}

/* ---- by what more paint does ---- */

typedef enum trend { RISING, FALLING, EITHER, TRENDS } trend;

static trend trend_of(const rn_expect *demand)
{
    trend of_least = RISING;
    switch (demand->kind) {
    case RN_EXPECT_COVERAGE:
    case RN_EXPECT_RUN_OFF:
    case RN_EXPECT_CORNER:
    case RN_EXPECT_THINNEST: break;
    case RN_EXPECT_COVERED_BY: of_least = FALLING; break; /* the more, the sooner */
    case RN_EXPECT_STRETCH:
    case RN_EXPECT_TWIST: return EITHER;
    }
    if (demand->relation == RN_AT_LEAST)
        return of_least;
    return of_least == RISING ? FALLING : RISING;
}

static void sort_in(rn_goal *goals[TRENDS], const rn_expect *demand)
{
    rn_goal *goal = goals[trend_of(demand)];
    if (goal->count < RN_EXPECTS_MOST) /* each demand adds one at most to each */
        goal->demands[goal->count++] = *demand;
}

void rn_goal_apart(rn_goal *rising, rn_goal *falling, rn_goal *either, const rn_goal *goal)
{
    rn_goal *goals[TRENDS] = {[RISING] = rising, [FALLING] = falling, [EITHER] = either};
    rising->count = falling->count = either->count = 0;
    for (int i = 0; i < goal->count; i++) {
        rn_expect bound = goal->demands[i];
        if (bound.relation != RN_ABOUT || trend_of(&bound) == EITHER) {
            sort_in(goals, &bound);
            continue;
        }
        bound.tolerance = 0;
        bound.relation = RN_AT_LEAST;
        bound.value = goal->demands[i].value - goal->demands[i].tolerance;
        if (bound.value > 0)
            sort_in(goals, &bound);
        bound.relation = RN_AT_MOST;
        bound.value = goal->demands[i].value + goal->demands[i].tolerance;
        sort_in(goals, &bound);
    }
}

/* ---- before the end ---- */

static double to_come(const rn_plan *plan, const rn_forecast *forecast)
{
    return fmax(0, rn_plan_poured_all(plan) - forecast->poured);
}

static double run_off_of(const rn_expect *demand, const rn_forecast *forecast)
{
    if (!demand->one_side)
        return forecast->run_off;
    if (demand->side_y)
        return forecast->run_off_by_side[demand->side_y < 0 ? RN_FRONT : RN_BACK];
    return forecast->run_off_by_side[demand->side_x > 0 ? RN_RIGHT : RN_LEFT];
}

/* The least and the most that a demand allows, whichever way it is worded. */
static double least_wanted(const rn_expect *demand)
{
    if (demand->relation == RN_AT_MOST)
        return 0;
    return demand->value - (demand->relation == RN_ABOUT ? demand->tolerance : 0);
}

static double most_wanted(const rn_expect *demand)
{
    if (demand->relation == RN_AT_LEAST)
        return INFINITY;
    return demand->value + (demand->relation == RN_ABOUT ? demand->tolerance : 0);
}

/* What ran off does not come back, and no more can follow than there is. */
static rn_decided run_off_decided(const rn_expect *demand, const rn_forecast *forecast, double coming)
{
    const double all = forecast->base + forecast->poured + coming, unit = demand->share ? all : 1;
    const double now = run_off_of(demand, forecast), later = now + forecast->on_panel + coming;
    const double doubt = 1e-6 * all, least = least_wanted(demand) * unit, most = most_wanted(demand) * unit;
    if (now > most + doubt || later < least - doubt)
        return RN_SURELY_MISSED;
    return now >= least && later < most - doubt ? RN_SURELY_MET : RN_OPEN;
}

static rn_decided demand_decided(const rn_expect *demand, const rn_plan *plan, const rn_forecast *forecast)
{
    const double coming = to_come(plan, forecast), area = rn_panel_area(&plan->panel);
    const double left = (forecast->on_panel - forecast->on_sides + coming) * (1 + VOLUME_DOUBT);
    const double least = least_wanted(demand), most = most_wanted(demand);
    switch (demand->kind) {
    case RN_EXPECT_RUN_OFF: return run_off_decided(demand, forecast, coming);
    case RN_EXPECT_COVERAGE: return left < least * area * forecast->cover ? RN_SURELY_MISSED : RN_OPEN;
    case RN_EXPECT_THINNEST: return left < least * area ? RN_SURELY_MISSED : RN_OPEN;
    case RN_EXPECT_COVERED_BY: /* from then on for good */
        if (forecast->duration > most && !(forecast->covered && forecast->covered_at <= most))
            return RN_SURELY_MISSED;
        return left < RN_COVERED_SHARE * area * forecast->cover ? RN_SURELY_MISSED : RN_OPEN;
    case RN_EXPECT_CORNER:
    case RN_EXPECT_STRETCH:
    case RN_EXPECT_TWIST: break;
    }
    return RN_OPEN;
}

static void say_why(char why[RN_OUTCOME_WHY], const rn_expect *demand, const rn_forecast *forecast)
{
    char wanted[RN_JUDGE_SIZE], value[40];
    const double paint = forecast->base + forecast->poured;
    rn_goal_wanted(wanted, demand);
    if (demand->kind == RN_EXPECT_RUN_OFF) {
        const double off = run_off_of(demand, forecast);
        rn_units_round(value, sizeof value, demand->share && paint > 0 ? off / paint : off,
                       demand->share ? RN_DIM_SHARE : RN_DIM_VOLUME, NULL, 3);
        snprintf(why, RN_OUTCOME_WHY, "%.90s: %s by %.0f s", wanted, value, forecast->duration);
    } else if (demand->kind == RN_EXPECT_COVERED_BY) {
        snprintf(why, RN_OUTCOME_WHY, "%.90s: not covered by then", wanted);
    } else {
        snprintf(why, RN_OUTCOME_WHY, "%.90s: too little paint is left for it", wanted);
    }
}

rn_decided rn_goal_decided(char why[RN_OUTCOME_WHY], const rn_goal *goal, const rn_plan *plan,
                           const rn_forecast *forecast)
{
    int met = 0;
    for (int i = 0; i < goal->count; i++) {
        const rn_decided decided = demand_decided(&goal->demands[i], plan, forecast);
        if (decided == RN_SURELY_MISSED) {
            say_why(why, &goal->demands[i], forecast);
            return decided;
        }
        met += decided == RN_SURELY_MET;
    }
    if (met < goal->count || met == 0)
        return RN_OPEN;
    snprintf(why, RN_OUTCOME_WHY, "nothing can miss it any more at %.0f s", forecast->duration);
    return RN_SURELY_MET;
}
