#include "search/sure.h"

#include <math.h>
#include <stdlib.h>

#include "search/batch.h"
#include "search/bracket.h"
#include "search/odds.h"

#define CHUNK 16       /* draws run before it is asked again whether enough is known */
#define FIRST_STEP 0.1 /* from the plan's own least outward, as a share */
#define RUNGS 6        /* values gone through where it is not known what more of it does */
#define UPWARD 3       /* volumes are gone through up to so many times the least, where nothing bounds them */

/* The draws, each of which is asked at many values. */
typedef struct crowd {
    const rn_plan *plan;
    const rn_dial *dial;
    const rn_sure_options *options;
    rn_study *study;
    rn_sure *found;
    rn_goal rising, falling, either;
    double absolute; /* how close [the dial's unit] */
    bool pattern, stopped;
    int width;                    /* numbers of a draw */
    double *numbers;              /* [draws][width], owned, as is all below */
    int *which;                   /* [draws] */
    rn_outcome *ended;            /* [draws] */
    double *met_from, *missed_to; /* [draws]: see border */
} crowd;

/* ---- runs ---- */

/* Runs draws which[count] at a value into ended[count]; settles: stop as soon as this is decided, NULL: never. */
static rn_status run_some(crowd *c, double value, int count, const rn_goal *settles, rn_error *err)
{
    rn_batch batch = {0};
    rn_plan *turned = NULL;
    rn_status status = rn_dial_must_turn(&turned, c->dial, c->plan, value, err);
    for (int i = 0; i < count && status == RN_OK; i++) {
        status =
            rn_odds_add_draw(&batch, turned, &c->options->doubts, c->numbers + (size_t)c->which[i] * (size_t)c->width,
                             c->found->cells, c->pattern, err);
        if (status == RN_OK)
            batch.runs[i].settles = settles;
    }
    if (status == RN_OK)
        status = rn_batch_work(&batch, 0, 1, c->study, err);
    for (int i = 0; i < count && status == RN_OK; i++) {
        c->ended[i] = batch.runs[i].outcome;
        c->stopped = c->stopped || c->ended[i].state == RN_OUTCOME_NONE;
    }
    rn_batch_clear(&batch);
    rn_plan_free(turned);
    return status;
}

/* All draws to their ends. Left alone where it was asked to stop. */
static rn_status count_all(rn_sure_count *counted, crowd *c, double value, rn_error *err)
{
    const int draws = c->options->draws;
    const rn_goal *goal = &c->options->least.goal;
    rn_sure_count made = {.value = value, .of = draws, .worst = -1};
    for (int k = 0; k < draws; k++)
        c->which[k] = k;
    const rn_status status = run_some(c, value, draws, NULL, err);
    if (status || c->stopped)
        return status;
    for (int k = 0; k < draws; k++) {
        const rn_goal_verdict verdict = rn_goal_judge(goal, &c->ended[k]);
        const bool whole = c->ended[k].state == RN_OUTCOME_WHOLE;
        made.met += verdict.met;
        made.failed += !whole;
        for (int i = 0; i < goal->count && whole; i++)
            made.missed[i] += !verdict.margins[i].met;
    }
    for (int i = 0; i < goal->count; i++)
        if (made.missed[i] > (made.worst < 0 ? 0 : made.missed[made.worst]))
            made.worst = i;
    made.interval = rn_chance_interval(made.met, draws, RN_ODDS_SURE);
    *counted = made;
    return RN_OK;
}

/* ---- is a value sure enough? ---- */

/* -1, 0, 1: not, not known yet, it is. */
static int verdict_of(const crowd *c, int met, int missed)
{
    if (met >= c->found->needed)
        return 1;
    return missed > c->options->draws - c->found->needed ? -1 : 0;
}

/* Of the whole goal, draw after draw until that is known. *share of those asked that meet it: NULL, not wanted. */
static rn_status ask_whole(bool *enough, double *share, crowd *c, double value, rn_error *err)
{
    int met = 0, missed = 0;
    for (int next = 0; verdict_of(c, met, missed) == 0;) {
        int count = 0;
        while (count < CHUNK && next < c->options->draws)
            c->which[count++] = next++;
        const rn_status status = run_some(c, value, count, &c->options->least.goal, err);
        if (status || c->stopped)
            return status;
        for (int i = 0; i < count; i++)
            if (rn_goal_judge(&c->options->least.goal, &c->ended[i]).met)
                met++;
            else
                missed++;
    }
    *enough = verdict_of(c, met, missed) > 0;
    if (share)
        *share = (double)met / (met + missed);
    return RN_OK;
}

/* Of the whole goal and of its two parts, all draws being run to their ends until one of the three is certain; where none
   is, the parts are met in the share each for itself, and not together. */
static rn_status ask_all(bool *enough, bool *too_little, bool *too_much, crowd *c, double value, rn_error *err)
{
    int met = 0, little = 0, much = 0;
    for (int next = 0; next < c->options->draws && verdict_of(c, met, little) == 0 && verdict_of(c, met, much) == 0;) {
        int count = 0;
        while (count < CHUNK && next < c->options->draws)
            c->which[count++] = next++;
        const rn_status status = run_some(c, value, count, NULL, err);
        if (status || c->stopped)
            return status;
        for (int i = 0; i < count; i++) {
            met += rn_goal_judge(&c->options->least.goal, &c->ended[i]).met;
            little += !rn_goal_judge(&c->rising, &c->ended[i]).met;
            much += !rn_goal_judge(&c->falling, &c->ended[i]).met;
        }
    }
    *enough = verdict_of(c, met, 0) > 0;
    *too_little = verdict_of(c, 0, little) < 0;
    *too_much = verdict_of(c, 0, much) < 0;
    return RN_OK;
}

/* Of a part of the goal that goes one way. Along the axis on which it is met from some place on, a draw is known to meet it
   from met_from on and to miss it up to missed_to; only what lies between is run. */
static rn_status ask_part(bool *enough, crowd *c, double value, const rn_goal *part, bool falling, rn_error *err)
{
    const double place = falling ? -value : value;
    for (;;) {
        int met = 0, missed = 0, count = 0;
        for (int k = 0; k < c->options->draws; k++) {
            met += place >= c->met_from[k];
            missed += place < c->met_from[k] && place <= c->missed_to[k];
        }
        *enough = verdict_of(c, met, missed) > 0;
        if (verdict_of(c, met, missed) != 0)
            return RN_OK;
        for (int k = 0; k < c->options->draws && count < CHUNK; k++)
            if (place < c->met_from[k] && place > c->missed_to[k])
                c->which[count++] = k;
        const rn_status status = run_some(c, value, count, part, err);
        if (status || c->stopped)
            return status;
        for (int i = 0; i < count; i++) {
            const int k = c->which[i];
            if (rn_goal_judge(part, &c->ended[i]).met)
                c->met_from[k] = fmin(c->met_from[k], place);
            else
                c->missed_to[k] = fmax(c->missed_to[k], place);
        }
    }
}

/* ---- borders ---- */

static rn_bracket bracket_of(const crowd *c, double hint)
{
    return rn_bracket_of_dial(c->dial, hint, FIRST_STEP, c->options->least.share, c->absolute);
}

/* Where a part of the goal begins to be met in the share. One point at a time: what it tells of each draw spares runs at the
   next. */
static rn_status find_border(rn_bracket_state *state, double *met, double *unmet, crowd *c, const rn_goal *part,
                             bool falling, double hint, rn_error *err)
{
    double points[2];
    rn_bracket bracket = bracket_of(c, hint);
    bracket.falling = falling;
    for (int k = 0; k < c->options->draws; k++) {
        c->met_from[k] = INFINITY;
        c->missed_to[k] = -INFINITY;
    }
    for (int count = rn_bracket_ask(points, &bracket); count > 0; count = rn_bracket_ask(points, &bracket)) {
        bool enough = false;
        const rn_status status = ask_part(&enough, c, points[count - 1], part, falling, err);
        if (status || c->stopped)
            return status;
        rn_bracket_tell(&bracket, points[count - 1], enough);
    }
    *state = rn_bracket_found(met, unmet, &bracket);
    return RN_OK;
}

/* Between a value that is not sure enough and one that is, of the whole goal. */
static rn_status close_in(double *met, double *unmet, crowd *c, double below, double above, rn_error *err)
{
    double points[2];
    rn_bracket bracket = bracket_of(c, above);
    rn_bracket_tell(&bracket, below, false);
    rn_bracket_tell(&bracket, above, true);
    for (int count = rn_bracket_ask(points, &bracket); count > 0; count = rn_bracket_ask(points, &bracket)) {
        bool enough = false;
        const rn_status status = ask_whole(&enough, NULL, c, points[0], err);
        if (status || c->stopped)
            return status;
        rn_bracket_tell(&bracket, points[0], enough);
    }
    rn_bracket_found(met, unmet, &bracket);
    return RN_OK;
}

/* ---- searches ---- */

static double between(const crowd *c, double from, double to, double share)
{
    rn_dial part = *c->dial;
    part.from = from;
    part.to = to;
    return share >= 1 ? to : share <= 0 ? from : rn_dial_round(c->dial, rn_dial_at(&part, share));
}

/* Of a value that is sure enough above one that is not (NaN: there is none): the least. */
static rn_status take_least(crowd *c, double below, double above, rn_error *err)
{
    double met = above, unmet = NAN;
    rn_status status = RN_OK;
    if (!isnan(below))
        status = close_in(&met, &unmet, c, below, above, err);
    if (status || c->stopped)
        return status;
    c->found->state = isnan(below) ? RN_LEAST_LOWEST : RN_LEAST_FOUND;
    c->found->unmet = unmet;
    return count_all(&c->found->at, c, met, err);
}

/* Goes from `from` up to `to` and takes the first value that is sure enough; without the first, that is known not to be.
   Where none is, all draws are counted where it went best, unless that has been done. */
static rn_status climb(crowd *c, double from, double to, bool with_first, rn_error *err)
{
    rn_sure_count *at = &c->found->at;
    double before = with_first ? NAN : from, best = at->value, best_share = isnan(best) ? -1 : (double)at->met / at->of;
    for (int rung = with_first ? 0 : 1; rung <= RUNGS; rung++) {
        const double value = between(c, from, to, (double)rung / RUNGS);
        bool enough = false;
        double share = 0;
        if (value <= before)
            continue;
        const rn_status status = ask_whole(&enough, &share, c, value, err);
        if (status || c->stopped)
            return status;
        if (enough)
            return take_least(c, before, value, err);
        if (share > best_share) {
            best = value;
            best_share = share;
        }
        before = value;
    }
    c->found->state = RN_LEAST_NOWHERE;
    return best == at->value ? RN_OK : count_all(at, c, best, err);
}

/* The demand missed most often of those that want more, or less; -1: none. */
static int worst_of(const crowd *c, const rn_sure_count *count, bool less)
{
    const rn_goal *goal = &c->options->least.goal;
    int worst = -1;
    for (int i = 0; i < goal->count; i++) {
        const rn_goal alone = {.count = 1, .demands = {goal->demands[i]}};
        rn_goal rising, falling, either;
        rn_goal_apart(&rising, &falling, &either, &alone);
        if ((less ? falling : rising).count > 0 && count->missed[i] > (worst < 0 ? 0 : count->missed[worst]))
            worst = i;
    }
    return worst;
}

/* Which demands stand apart; tried: what lay between the two borders was. */
static rn_status name_apart(crowd *c, bool tried, rn_error *err)
{
    rn_sure *found = c->found;
    rn_sure_count below, above;
    rn_status status = RN_OK;
    if (!isnan(found->most))
        status = count_all(&found->at_most, c, found->most, err);
    below = found->at_most;
    above = found->at;
    if (tried && status == RN_OK && !c->stopped)
        status = count_all(&below, c, found->unmet, err);
    if (tried && status == RN_OK && !c->stopped)
        status = count_all(&above, c, found->too_much, err);
    if (status || c->stopped)
        return status;
    found->state = RN_LEAST_APART;
    found->needs = worst_of(c, &below, false);
    found->allows = worst_of(c, &above, true);
    return RN_OK;
}

/* Two borders that were closed in on each for itself may leave room between: as long as the greatest value known to be too
   little lies below the least known to be too much, what lies between is tried, to the last digit. */
static rn_status look_between(crowd *c, rn_error *err)
{
    rn_sure *found = c->found;
    const bool room = found->unmet < found->too_much;
    while (found->unmet < found->too_much) {
        const double value = between(c, found->unmet, found->too_much, 0.5);
        bool enough = false, too_little = false, too_much = false;
        if (!(value > found->unmet && value < found->too_much))
            break;
        const rn_status status = ask_all(&enough, &too_little, &too_much, c, value, err);
        if (status || c->stopped)
            return status;
        if (enough || (!too_little && !too_much)) {
            const double below = found->unmet, above = found->too_much;
            found->most = found->too_much = NAN;
            return enough ? take_least(c, below, value, err) : climb(c, below, above, false, err);
        }
        if (too_little)
            found->unmet = value;
        if (too_much)
            found->too_much = value;
    }
    return name_apart(c, room, err);
}

/* Where what wants less stops being met often enough. */
static rn_status look_down(crowd *c, double *top, rn_error *err)
{
    rn_sure *found = c->found;
    rn_bracket_state state;
    rn_status status = find_border(&state, &found->most, &found->too_much, c, &c->falling, true, found->at.value, err);
    if (status || c->stopped)
        return status;
    if (!(found->most >= found->at.value))
        return look_between(c, err);
    *top = found->most;
    found->most = found->too_much = NAN;
    return RN_OK;
}

static rn_status look_for_volume(crowd *c, double hint, rn_error *err)
{
    rn_sure *found = c->found;
    rn_bracket_state state = RN_BRACKET_ALL;
    double met = c->dial->from, unmet = NAN;
    rn_status status = RN_OK;
    if (c->rising.count > 0)
        status = find_border(&state, &met, &unmet, c, &c->rising, false, hint, err);
    if (status || c->stopped)
        return status;
    found->unmet = unmet;
    status = count_all(&found->at, c, state == RN_BRACKET_NONE ? unmet : met, err);
    if (status || c->stopped)
        return status;
    if (state == RN_BRACKET_NONE) {
        found->state = RN_LEAST_NEVER;
        return RN_OK;
    }
    if (found->at.met >= found->needed) {
        found->state = state == RN_BRACKET_ALL ? RN_LEAST_LOWEST : RN_LEAST_FOUND;
        return RN_OK;
    }
    double top = fmin(c->dial->to, UPWARD * met), bottom = met;
    if (c->falling.count > 0) {
        status = look_down(c, &top, err);
        bottom = isnan(unmet) ? met : unmet; /* a little less than what is wanted more of may be the best for both */
    }
    if (status || c->stopped || found->state != RN_LEAST_STOPPED)
        return status;
    return climb(c, bottom, top, false, err);
}

static bool has_answer(rn_least_state state)
{
    return state == RN_LEAST_FOUND || state == RN_LEAST_LOWEST;
}

static const rn_least_look *own_look(const rn_least *own)
{
    return own->has_fine ? &own->fine : own->has_coarse ? &own->coarse : NULL;
}

/* The plan itself at the answer, on the grid that the plan is forecast with. */
static rn_status confirm(crowd *c, rn_error *err)
{
    rn_sure *found = c->found;
    rn_plan *turned = NULL;
    if (!has_answer(found->state) || found->fine_cells == 0)
        return RN_OK;
    const rn_status status = rn_dial_must_turn(&turned, c->dial, c->plan, found->at.value, err);
    if (status)
        return status;
    rn_run run = {.plan = turned, .cells = found->fine_cells, .pattern = c->pattern};
    const rn_status worked = rn_study_work(c->study, &run, 1, err);
    found->fine = run.outcome;
    rn_plan_free(turned);
    return worked;
}

static rn_status look(crowd *c, rn_error *err)
{
    rn_sure *found = c->found;
    const double middle = c->dial->now > 0 ? c->dial->now : 0.5 * (c->dial->from + c->dial->to);
    rn_status status = rn_least_find(&found->own, c->plan, c->dial, &c->options->least, c->study, err);
    if (status || rn_study_stopped(c->study))
        return status;
    const rn_least_look *own = own_look(&found->own);
    const bool has_own = own && has_answer(own->state);
    /* Draws are asked on the coarse grid, so that begins where that has it. */
    const rn_least_look *start = found->own.has_coarse ? &found->own.coarse : own;
    if (has_own)
        status = count_all(&found->at_own, c, own->value, err);
    if (status == RN_OK && !c->stopped && rn_dial_is_poured(c->dial))
        status = look_for_volume(c, start && start->value > 0 ? start->value * (1 + FIRST_STEP) : middle, err);
    else if (status == RN_OK && !c->stopped)
        status = climb(c, c->dial->from, c->dial->to, true, err);
    if (status == RN_OK && !c->stopped)
        status = confirm(c, err);
    return status;
}

rn_sure_options rn_sure_defaults(void)
{
    return (rn_sure_options){.least = rn_least_defaults(), .sure = 0.9, .draws = RN_SURE_DRAWS, .seed = 1};
}

static rn_status prepare(crowd *c, rn_error *err)
{
    const int draws = c->options->draws;
    const size_t room = (size_t)draws + 1;
    c->width = rn_doubts_numbers(&c->options->doubts);
    c->numbers = malloc(room * (size_t)c->width * sizeof *c->numbers);
    c->which = malloc(room * sizeof *c->which);
    c->ended = malloc(room * sizeof *c->ended);
    c->met_from = malloc(room * sizeof *c->met_from);
    c->missed_to = malloc(room * sizeof *c->missed_to);
    if (!c->numbers || !c->which || !c->ended || !c->met_from || !c->missed_to)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int k = 0; k < draws; k++)
        rn_doubts_random(c->numbers + (size_t)k * (size_t)c->width, &c->options->doubts, c->options->seed, k);
    return RN_OK;
}

rn_status rn_sure_find(rn_sure *found, const rn_plan *plan, const rn_dial *dial, const rn_sure_options *options,
                       rn_study *study, rn_error *err)
{
    const rn_least_options *least = &options->least;
    const bool coarse = least->coarse_cells > 0 && least->coarse_cells < least->cells;
    const rn_sure_count nothing = {.value = NAN, .worst = -1};
    crowd c = {.plan = plan, .dial = dial, .options = options, .study = study};
    if (least->goal.count == 0)
        return rn_fail(err, RN_E_PLAN, "there is no goal to meet");
    if (options->doubts.count == 0)
        return rn_fail(err, RN_E_PLAN, "nothing of the plan is in doubt, so there are no odds");
    rn_sure *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    *made = (rn_sure){.dial = *dial,
                      .goal = least->goal,
                      .doubts = options->doubts,
                      .sure = options->sure,
                      .draws = options->draws,
                      .needed = (int)ceil(options->sure * options->draws - 1e-9),
                      .cells = coarse ? least->coarse_cells : least->cells,
                      .seed = options->seed,
                      .state = RN_LEAST_STOPPED,
                      .at = nothing,
                      .unmet = NAN,
                      .most = NAN,
                      .too_much = NAN,
                      .needs = -1,
                      .allows = -1,
                      .at_most = nothing,
                      .at_own = nothing,
                      .fine_cells = coarse ? least->cells : 0};
    c.found = made;
    c.pattern = rn_goal_needs_pattern(&least->goal);
    c.absolute = rn_least_absolute(least, dial);
    rn_goal_apart(&c.rising, &c.falling, &c.either, &least->goal);
    rn_status status = prepare(&c, err);
    if (status == RN_OK)
        status = look(&c, err);
    if (c.stopped || rn_study_stopped(study))
        made->state = RN_LEAST_STOPPED;
    made->close = fmax(c.absolute, least->share * fabs(isnan(made->at.value) ? dial->now : made->at.value));
    if (status == RN_OK)
        *found = *made;
    free(c.numbers);
    free(c.which);
    free(c.ended);
    free(c.met_from);
    free(c.missed_to);
    free(made);
    return status;
}
