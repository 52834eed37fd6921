#include "search/odds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/least.h"
#include "search/rank.h"

static const struct {
    const char *name;
    rn_dimension dimension;
} figures[RN_ODDS_FIGURES] = {
    [RN_ODDS_COVERAGE] = {"coverage", RN_DIM_SHARE},    [RN_ODDS_COVERED_AT] = {"covered at", RN_DIM_TIME},
    [RN_ODDS_LEAST_CORNER] = {"corner", RN_DIM_LENGTH}, [RN_ODDS_THINNEST] = {"thinnest", RN_DIM_LENGTH},
    [RN_ODDS_RUN_OFF] = {"run-off", RN_DIM_VOLUME},     [RN_ODDS_STRETCH] = {"stretch", RN_DIM_PLAIN},
    [RN_ODDS_TWIST] = {"twist", RN_DIM_ANGLE},
};

const char *rn_odds_figure_name(rn_odds_figure figure)
{
    return figures[figure].name;
}

rn_dimension rn_odds_figure_dimension(rn_odds_figure figure)
{
    return figures[figure].dimension;
}

double rn_odds_figure_of(rn_odds_figure figure, const rn_outcome *outcome)
{
    switch (figure) {
    case RN_ODDS_COVERAGE: return outcome->coverage;
    case RN_ODDS_COVERED_AT: return isnan(outcome->covered_at) ? INFINITY : outcome->covered_at;
    case RN_ODDS_LEAST_CORNER: return rn_outcome_least_corner(outcome);
    case RN_ODDS_THINNEST: return outcome->thinnest;
    case RN_ODDS_RUN_OFF: return outcome->run_off;
    case RN_ODDS_STRETCH: return outcome->has_pattern ? outcome->stretch : NAN;
    case RN_ODDS_TWIST: return outcome->has_pattern ? outcome->twist : NAN;
    case RN_ODDS_FIGURES: break;
    }
    return NAN;
}

rn_odds_options rn_odds_defaults(void)
{
    return (rn_odds_options){.draws = RN_ODDS_DRAWS, .cells = RN_LEAST_COARSE, .own_cells = RN_LEAST_FINE, .seed = 1};
}

/* ---- the list ---- */

static bool has_fine(const rn_odds_options *options)
{
    return options->own_cells > options->cells;
}

/* The places before the draws: the plan's own runs. */
static int first_draw(const rn_odds_options *options)
{
    return has_fine(options) ? 2 : 1;
}

static bool needs_pattern(const rn_odds_options *options)
{
    return options->pattern || rn_goal_needs_pattern(&options->goal);
}

/* The random numbers of all draws, numbers[draws][rn_doubts_numbers()], owned by the caller. */
static rn_status make_numbers(double **numbers, const rn_odds_options *options, rn_error *err)
{
    const int width = rn_doubts_numbers(&options->doubts);
    double *made = malloc(((size_t)options->draws * (size_t)width + 1) * sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    rn_status status = RN_OK;
    if (options->even)
        status = rn_doubts_even(made, &options->doubts, options->seed, options->draws, err);
    for (int k = 0; k < options->draws && !options->even; k++)
        rn_doubts_random(made + (size_t)k * (size_t)width, &options->doubts, options->seed, k);
    if (status == RN_OK)
        *numbers = made;
    else
        free(made);
    return status;
}

static rn_status add_own(rn_batch *batch, const rn_plan *plan, int cells, bool pattern, rn_error *err)
{
    rn_plan *copy = rn_plan_copy(plan);
    return copy ? rn_batch_add(batch, copy, cells, pattern, err) : rn_fail(err, RN_E_MEMORY, "no memory left");
}

rn_status rn_odds_add_draw(rn_batch *batch, const rn_plan *plan, const rn_doubts *doubts, const double *numbers,
                           int cells, bool pattern, rn_error *err)
{
    double readings[RN_READINGS_MOST];
    rn_plan *drawn = NULL;
    rn_error own = {0};
    const rn_status status = rn_doubts_draw(&drawn, readings, doubts, plan, numbers, &own);
    if (status == RN_E_PLAN)
        return rn_batch_add_none(batch, own.message, err);
    if (status)
        return rn_fail(err, status, "%s", own.message);
    return rn_batch_add(batch, drawn, cells, pattern, err);
}

rn_status rn_odds_list(rn_batch *batch, const rn_plan *plan, const rn_odds_options *options, rn_error *err)
{
    const int width = rn_doubts_numbers(&options->doubts);
    double *numbers = NULL;
    if (options->goal.count == 0)
        return rn_fail(err, RN_E_PLAN, "there is no goal to meet");
    if (width == 0)
        return rn_fail(err, RN_E_PLAN, "nothing of the plan is in doubt, so there are no odds");
    rn_status status = make_numbers(&numbers, options, err);
    if (status == RN_OK && has_fine(options))
        status = add_own(batch, plan, options->own_cells, needs_pattern(options), err);
    if (status == RN_OK)
        status = add_own(batch, plan, options->cells, needs_pattern(options), err);
    for (int k = 0; k < options->draws && status == RN_OK; k++)
        status = rn_odds_add_draw(batch, plan, &options->doubts, numbers + (size_t)k * (size_t)width, options->cells,
                                  needs_pattern(options), err);
    free(numbers);
    return status;
}

/* ---- what comes of it ---- */

static bool whole(const rn_odds_draw *draw)
{
    return draw->outcome.state == RN_OUTCOME_WHOLE;
}

static rn_status gather(rn_odds *odds, const rn_batch *batch, const rn_plan *plan, const rn_odds_options *options,
                        rn_error *err)
{
    const int width = rn_doubts_numbers(&options->doubts), first = first_draw(options);
    double *numbers = NULL;
    rn_status status = make_numbers(&numbers, options, err);
    for (int k = 0; k < options->draws && status == RN_OK; k++) {
        rn_odds_draw *draw = &odds->draws[k];
        if (batch->runs[first + k].outcome.state == RN_OUTCOME_NONE)
            break;
        status = rn_doubts_draw(NULL, draw->readings, &options->doubts, plan, numbers + (size_t)k * (size_t)width, err);
        draw->outcome = batch->runs[first + k].outcome;
        draw->verdict = rn_goal_judge(&odds->goal, &draw->outcome);
        odds->done = k + 1;
    }
    free(numbers);
    return status;
}

static void count(rn_odds *odds)
{
    for (int k = 0; k < odds->done; k++) {
        const rn_odds_draw *draw = &odds->draws[k];
        odds->met += draw->verdict.met;
        odds->failed += !whole(draw);
        for (int i = 0; i < odds->goal.count && whole(draw); i++)
            odds->missed[i] += !draw->verdict.margins[i].met;
    }
    odds->interval = odds->even ? (rn_interval){NAN, NAN} : rn_chance_interval(odds->met, odds->done, RN_ODDS_SURE);
    odds->noise = rn_rank_noise(odds->done - odds->failed);
}

/* How far inside a demand the draws lie on the average, by how far they spread: the nearer to 0, the sooner it is missed. */
static double ease_of(const rn_odds *odds, int demand)
{
    double sum = 0, squares = 0;
    int count = 0;
    for (int k = 0; k < odds->done; k++) {
        const double margin = odds->draws[k].verdict.margins[demand].margin;
        if (!whole(&odds->draws[k]) || !isfinite(margin))
            continue;
        sum += margin;
        squares += margin * margin;
        count++;
    }
    const double mean = count > 0 ? sum / count : NAN, variance = count > 0 ? squares / count - mean * mean : NAN;
    return variance > 0 ? mean / sqrt(variance) : INFINITY;
}

static int tightest_of(const rn_odds *odds)
{
    int found = -1;
    double least = INFINITY;
    for (int i = 0; i < odds->goal.count; i++)
        if (odds->missed[i] > (found < 0 ? 0 : odds->missed[found]))
            found = i;
    for (int i = 0; i < odds->goal.count && found < 0; i++)
        least = fmin(least, ease_of(odds, i));
    for (int i = 0; i < odds->goal.count && found < 0 && isfinite(least); i++)
        if (ease_of(odds, i) == least)
            found = i;
    return found;
}

static rn_spread spread_of(double *sorted, const double *values, int count)
{
    rn_spread spread = {.low = NAN, .middle = NAN, .high = NAN};
    for (int k = 0; k < count; k++)
        if (!isnan(values[k]))
            sorted[spread.count++] = values[k];
    if (spread.count == 0)
        return spread;
    rn_rank_sort(sorted, spread.count);
    while (spread.never < spread.count && isinf(sorted[spread.count - 1 - spread.never]))
        spread.never++;
    spread.low = rn_rank_quantile(sorted, spread.count, 0.05);
    spread.middle = rn_rank_quantile(sorted, spread.count, 0.5);
    spread.high = rn_rank_quantile(sorted, spread.count, 0.95);
    return spread;
}

/* values[done] against all readings. */
static rn_status correlate(double ranks[RN_READINGS_MOST], double *room, const double *values, const rn_odds *odds,
                           rn_error *err)
{
    rn_status status = RN_OK;
    for (int r = 0; r < odds->reading_count && status == RN_OK; r++) {
        for (int k = 0; k < odds->done; k++)
            room[k] = odds->draws[k].readings[r];
        status = rn_rank_correlation(&ranks[r], room, values, odds->done, err);
    }
    return status;
}

/* What a demand judges, of one draw; never covered is later than any time. */
static double judged(const rn_odds *odds, int demand, const rn_odds_draw *draw)
{
    const double value = draw->verdict.margins[demand].value;
    if (!whole(draw))
        return NAN;
    return isnan(value) && odds->goal.demands[demand].kind == RN_EXPECT_COVERED_BY ? INFINITY : value;
}

static rn_status describe(rn_odds *odds, rn_error *err)
{
    double *values = malloc(2 * ((size_t)odds->done + 1) * sizeof *values);
    rn_status status = RN_OK;
    if (!values)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    double *room = values + odds->done;
    for (int f = 0; f < RN_ODDS_FIGURES && status == RN_OK; f++) {
        for (int k = 0; k < odds->done; k++)
            values[k] = whole(&odds->draws[k]) ? rn_odds_figure_of((rn_odds_figure)f, &odds->draws[k].outcome) : NAN;
        odds->spreads[f] = spread_of(room, values, odds->done);
        status = correlate(odds->figure_ranks[f], room, values, odds, err);
    }
    for (int i = 0; i < odds->goal.count && status == RN_OK; i++) {
        for (int k = 0; k < odds->done; k++)
            values[k] = judged(odds, i, &odds->draws[k]);
        status = correlate(odds->demand_ranks[i], room, values, odds, err);
    }
    free(values);
    return status;
}

rn_status rn_odds_take(rn_odds **odds, const rn_batch *batch, const rn_plan *plan, const rn_odds_options *options,
                       rn_error *err)
{
    if (batch->count != first_draw(options) + options->draws)
        return rn_fail(err, RN_E_USAGE, "there are %d runs, and the odds are made of %d", batch->count,
                       first_draw(options) + options->draws);
    rn_odds *made = calloc(1, sizeof *made);
    rn_odds_draw *draws = calloc((size_t)options->draws + 1, sizeof *draws);
    if (!made || !draws) {
        free(made);
        free(draws);
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    }
    *made = (rn_odds){.goal = options->goal,
                      .doubts = options->doubts,
                      .even = options->even,
                      .seed = options->seed,
                      .cells = options->cells,
                      .asked = options->draws,
                      .own = batch->runs[first_draw(options) - 1].outcome,
                      .draws = draws};
    made->reading_count = rn_doubts_readings(made->readings, &options->doubts, plan);
    if (has_fine(options)) {
        made->fine = batch->runs[0].outcome;
        made->fine_cells = options->own_cells;
    }
    rn_status status = gather(made, batch, plan, options, err);
    if (status == RN_OK) {
        count(made);
        made->tightest = tightest_of(made);
        status = describe(made, err);
    }
    if (status == RN_OK)
        *odds = made;
    else
        rn_odds_free(made);
    return status;
}

void rn_odds_free(rn_odds *odds)
{
    if (!odds)
        return;
    free(odds->draws);
    free(odds);
}
