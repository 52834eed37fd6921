#include "search/least.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "search/bracket.h"

#define TRIED_MOST 160
#define FIRST_STEP 0.5   /* of the coarse look, as a share of the plan's own value */
#define LADDER 10        /* values tried at first where nothing is known of which way a demand goes */
#define RUNS_FINE 5      /* that the fine look is expected to take, for the time left */
#define FIRST_CLOSE 0.49 /* of the fine look, to either side, as a multiple of how close it shall come */

/* A value that was run. */
typedef struct tried {
    double value;
    const rn_goal *settles;
    rn_outcome outcome;
} tried;

/* One look. */
typedef struct look {
    const rn_plan *plan;
    const rn_dial *dial;
    const rn_least_options *options;
    const rn_least_look *before; /* the coarse one; NULL: there was none */
    rn_study *study;
    int cells, announced;
    double close;                    /* [the dial's unit] */
    rn_goal rising, falling, either; /* by what more of it does */
    bool pattern;
    int count;
    tried list[TRIED_MOST];
} look;

rn_least_options rn_least_defaults(void)
{
    return (rn_least_options){.cells = RN_LEAST_FINE, .coarse_cells = RN_LEAST_COARSE, .share = 0.01, .absolute = NAN};
}

/* ---- runs ---- */

/* What is known of a value: a whole run, or one that was stopped for the same goal; NULL: nothing. */
static const tried *known(const look *l, double value, const rn_goal *settles)
{
    for (int i = 0; i < l->count; i++)
        if (l->list[i].value == value &&
            (l->list[i].outcome.state == RN_OUTCOME_WHOLE || l->list[i].outcome.state == RN_OUTCOME_FAILED ||
             (settles && l->list[i].settles == settles)))
            return &l->list[i];
    return NULL;
}

static bool is_among(const double *values, int count, double value)
{
    for (int i = 0; i < count; i++)
        if (values[i] == value)
            return true;
    return false;
}

/* Runs what is not known yet of some values, all at once. */
static rn_status run_all(look *l, const double *values, int count, const rn_goal *settles, rn_error *err)
{
    rn_run runs[LADDER + 2] = {0};
    rn_plan *plans[LADDER + 2] = {0};
    double asked[LADDER + 2];
    int asked_count = 0;
    rn_status status = RN_OK;
    assert(count <= LADDER + 2);
    for (int i = 0; i < count && status == RN_OK; i++) {
        if (known(l, values[i], settles) || is_among(asked, asked_count, values[i]) ||
            l->count + asked_count == TRIED_MOST)
            continue;
        status = rn_dial_must_turn(&plans[asked_count], l->dial, l->plan, values[i], err);
        if (status == RN_OK) {
            runs[asked_count] =
                (rn_run){.plan = plans[asked_count], .cells = l->cells, .pattern = l->pattern, .settles = settles};
            asked[asked_count++] = values[i];
        }
    }
    const int left = RUNS_FINE - (l->announced == l->cells ? l->count + asked_count : 0);
    rn_study_announce(l->study, left > 0 ? left : 0, l->announced);
    if (status == RN_OK)
        status = rn_study_work(l->study, runs, asked_count, err);
    for (int i = 0; i < asked_count; i++) {
        if (status == RN_OK && runs[i].outcome.state != RN_OUTCOME_NONE)
            l->list[l->count++] = (tried){asked[i], settles, runs[i].outcome};
        rn_plan_free(plans[i]);
    }
    return status;
}

static rn_status fail_of(const look *l, const tried *t, rn_error *err)
{
    char value[60];
    rn_dial_text(value, sizeof value, l->dial, t->value);
    return rn_fail(err, RN_E_NUMERIC, "%s %s could not be worked out: %s", l->dial->path, value, t->outcome.why);
}

/* The whole outcome of a value that an answer rests on; NULL where it was asked to stop, or where it could not be worked
   out, which *status tells. */
static const rn_outcome *whole_of(look *l, double value, rn_status *status, rn_error *err)
{
    *status = run_all(l, &value, 1, NULL, err);
    const tried *t = *status == RN_OK ? known(l, value, NULL) : NULL;
    if (t && t->outcome.state == RN_OUTCOME_FAILED)
        *status = fail_of(l, t, err);
    return t && *status == RN_OK ? &t->outcome : NULL;
}

/* ---- borders ---- */

static rn_bracket bracket_of(const look *l, double hint, double first)
{
    return rn_bracket_of_dial(l->dial, hint, first, l->options->share, l->options->absolute);
}

/* Closes a bracket in on where `goal` begins to be met. *stopped where it was asked to. */
static rn_status close_in(rn_bracket *bracket, bool *stopped, look *l, const rn_goal *goal, rn_error *err)
{
    double points[2];
    for (int count = rn_bracket_ask(points, bracket); count > 0; count = rn_bracket_ask(points, bracket)) {
        const rn_status status = run_all(l, points, count, goal, err);
        if (status)
            return status;
        for (int i = 0; i < count; i++) {
            const tried *t = known(l, points[i], goal);
            if (!t) {
                *stopped = true;
                return RN_OK;
            }
            rn_bracket_tell(bracket, points[i], rn_goal_judge(goal, &t->outcome).met);
        }
    }
    return RN_OK;
}

/* The demand of the search's goal that speaks of the same as one of its parts. */
static int demand_like(const rn_goal *goal, const rn_expect *part)
{
    for (int i = 0; i < goal->count; i++) {
        const rn_expect *d = &goal->demands[i];
        if (d->kind == part->kind && d->one_side == part->one_side && d->side_x == part->side_x &&
            d->side_y == part->side_y && (d->relation == RN_ABOUT || d->relation == part->relation))
            return i;
    }
    return -1;
}

/* The demand that an outcome misses worst of a part of the goal; -1 where it misses none or does not say. */
static int missed_of(const look *l, const rn_goal *part, const rn_outcome *outcome)
{
    const rn_goal_verdict verdict = rn_goal_judge(part, outcome);
    if (verdict.worst >= 0)
        return demand_like(&l->options->goal, &part->demands[verdict.worst]);
    return part->count == 1 && !verdict.met ? demand_like(&l->options->goal, &part->demands[0]) : -1;
}

static bool meets(const rn_goal *goal, const rn_outcome *outcome)
{
    return rn_goal_judge(goal, outcome).met;
}

/* Of unmet and what is below. */
static void note_below(rn_least_look *found, look *l, double unmet, const rn_goal *part)
{
    const tried *t = known(l, unmet, part);
    found->unmet = unmet;
    if (!t)
        return;
    found->below = t->outcome;
    found->needs = missed_of(l, part, &t->outcome);
}

/* Where a bracket that has been closed in says the least value lies. */
static rn_status take_least(rn_least_look *found, bool *stopped, const rn_bracket *bracket, look *l, rn_error *err)
{
    double met, unmet;
    rn_status status;
    const rn_bracket_state state = rn_bracket_found(&met, &unmet, bracket);
    const rn_outcome *outcome = whole_of(l, met, &status, err);
    *stopped = !outcome;
    if (!outcome)
        return status;
    found->state = state == RN_BRACKET_ALL ? RN_LEAST_LOWEST : RN_LEAST_FOUND;
    found->value = met;
    found->outcome = *outcome;
    if (state == RN_BRACKET_FOUND)
        note_below(found, l, unmet, &l->options->goal);
    return RN_OK;
}

/* Where the border of an earlier look lies, as far as that found one. */
static double border_of(const look *l, const rn_least_look *before)
{
    return before->state != RN_LEAST_NEVER && before->unmet > 0 ? 0.5 * (before->value + before->unmet)
                                                                : fmax(before->value, l->dial->from);
}

/* ---- the look where it is known what more of it does ---- */

/* What wants less fails where what wants more is first met: from where down is it met? */
static rn_status look_down(rn_least_look *found, bool *stopped, look *l, double step, rn_error *err)
{
    const bool guided = l->before && l->before->state == RN_LEAST_APART && l->before->most > 0;
    rn_bracket bracket = bracket_of(l, guided ? l->before->most : found->value, step);
    bracket.falling = true;
    found->allows = missed_of(l, &l->falling, &found->outcome);
    rn_status status = guided ? close_in(&bracket, stopped, l, &l->falling, err) : RN_OK;
    rn_bracket_tell(&bracket, found->value, false); /* so that what it allows at most lies below, sharp border or not */
    if (status == RN_OK && !*stopped)
        status = close_in(&bracket, stopped, l, &l->falling, err);
    if (status == RN_OK && !*stopped)
        rn_bracket_found(&found->most, &found->too_much, &bracket);
    return status;
}

/* Stretch or twist fail where the rest is first met: does more help? Goes up by factors while what wants less allows it. */
static rn_status look_up(rn_least_look *found, bool *stopped, look *l, rn_error *err)
{
    const rn_goal *all = &l->options->goal;
    const double start = found->value;
    double before = start;
    found->state = RN_LEAST_NOWHERE;
    found->needs = missed_of(l, &l->either, &found->outcome);
    found->unmet = NAN; /* what is missed below is another demand */
    for (int rung = 1; rung <= LADDER; rung++) {
        const double share = (double)rung / LADDER;
        const double raw = l->dial->logarithmic ? start * pow(fmin(l->dial->to / start, 4), share)
                                                : start + share * (l->dial->to - start);
        const double value = fmin(rn_dial_round(l->dial, raw), l->dial->to);
        rn_status status;
        if (!(value > before))
            continue;
        const rn_outcome *outcome = whole_of(l, value, &status, err);
        *stopped = !outcome;
        if (!outcome)
            return status;
        if (l->falling.count > 0 && !meets(&l->falling, outcome))
            return RN_OK;
        if (meets(all, outcome)) {
            rn_bracket bracket = bracket_of(l, value, 1);
            rn_bracket_tell(&bracket, before, false);
            rn_bracket_tell(&bracket, value, true);
            status = close_in(&bracket, stopped, l, all, err);
            if (status || *stopped)
                return status;
            return take_least(found, stopped, &bracket, l, err);
        }
        before = value;
    }
    return RN_OK;
}

/* A value between meets what wants more and what wants less: the least that does. */
static rn_status take_between(rn_least_look *found, bool *stopped, look *l, double value, rn_error *err)
{
    double met, unmet;
    rn_bracket bracket = bracket_of(l, value, 1);
    rn_bracket_tell(&bracket, found->unmet, false);
    rn_bracket_tell(&bracket, value, true);
    rn_status status = close_in(&bracket, stopped, l, &l->rising, err);
    if (status || *stopped)
        return status;
    rn_bracket_found(&met, &unmet, &bracket);
    const rn_outcome *outcome = whole_of(l, met, &status, err);
    if (outcome && !meets(&l->falling, outcome)) /* its border is not sharp */
        outcome = whole_of(l, met = value, &status, err);
    *stopped = !outcome;
    if (!outcome)
        return status;
    found->state = RN_LEAST_FOUND;
    found->value = met;
    found->outcome = *outcome;
    found->most = found->too_much = NAN;
    found->allows = -1;
    note_below(found, l, unmet, &l->rising);
    return meets(&l->either, outcome) ? RN_OK : look_up(found, stopped, l, err);
}

/* What a value tells of the gap between too little and too much; true where it meets both. */
static bool is_between(rn_least_look *found, const look *l, double value, const rn_outcome *outcome)
{
    const bool enough = meets(&l->rising, outcome), allowed = meets(&l->falling, outcome);
    if (!enough)
        found->unmet = fmax(found->unmet, value);
    if (!allowed)
        found->too_much = fmin(found->too_much, value);
    if (enough && !allowed && value < found->value) {
        found->value = value;
        found->outcome = *outcome;
    }
    if (allowed && !enough)
        found->most = fmax(found->most, value);
    return enough && allowed;
}

/* Which demands stand apart, told of the very values that were too little and too much. */
static rn_status name_apart(rn_least_look *found, bool *stopped, look *l, rn_error *err)
{
    rn_status status = RN_OK;
    found->state = RN_LEAST_APART;
    if (isnan(found->unmet)) /* too much even at the least of the range */
        return RN_OK;
    note_below(found, l, found->unmet, &l->rising);
    const rn_outcome *below = found->needs < 0 ? whole_of(l, found->unmet, &status, err) : &found->below;
    const rn_outcome *above =
        below && l->falling.count > 1 ? whole_of(l, found->too_much, &status, err) : &found->outcome;
    *stopped = !below || !above;
    if (*stopped)
        return status;
    found->below = *below;
    found->needs = missed_of(l, &l->rising, below);
    found->allows = missed_of(l, &l->falling, above);
    return RN_OK;
}

/* Two borders that were closed in on each for itself may leave room between: as long as the greatest value known to be too
   little lies below the least known to be too much, what lies between is tried, to the last digit. */
static rn_status look_between(rn_least_look *found, bool *stopped, look *l, rn_error *err)
{
    while (found->unmet < found->too_much) {
        double points[2];
        rn_bracket gap = rn_bracket_of_dial(l->dial, found->value, 1, 0, 0);
        rn_bracket_tell(&gap, found->unmet, false);
        rn_bracket_tell(&gap, found->too_much, true);
        const int count = rn_bracket_ask(points, &gap);
        if (count == 0)
            break;
        rn_status status = run_all(l, points, count, NULL, err);
        for (int i = 0; i < count && status == RN_OK; i++) {
            const rn_outcome *outcome = whole_of(l, points[i], &status, err);
            *stopped = !outcome;
            if (!outcome)
                return status;
            if (is_between(found, l, points[i], outcome))
                return take_between(found, stopped, l, points[i], err);
        }
        if (status)
            return status;
    }
    return name_apart(found, stopped, l, err);
}

/* What an earlier look found to jump is tried on this grid as well, and told to the bracket. */
static rn_status try_jump(rn_bracket *bracket, bool *stopped, look *l, rn_error *err)
{
    if (!l->before || !l->before->jumps)
        return RN_OK;
    const rn_status status = run_all(l, &l->before->jump, 1, &l->rising, err);
    const tried *t = status == RN_OK ? known(l, l->before->jump, &l->rising) : NULL;
    *stopped = status == RN_OK && !t;
    if (!t)
        return status;
    rn_bracket_tell(bracket, t->value, meets(&l->rising, &t->outcome));
    return close_in(bracket, stopped, l, &l->rising, err);
}

static rn_status look_along(rn_least_look *found, bool *stopped, look *l, double hint, double step, rn_error *err)
{
    double met, unmet;
    rn_bracket bracket = bracket_of(l, hint, step);
    rn_status status = close_in(&bracket, stopped, l, &l->rising, err);
    if (status == RN_OK && !*stopped)
        status = try_jump(&bracket, stopped, l, err);
    if (status || *stopped)
        return status;
    const rn_bracket_state state = rn_bracket_found(&met, &unmet, &bracket);
    const double answer = state == RN_BRACKET_NONE ? unmet : met;
    const rn_outcome *outcome = whole_of(l, answer, &status, err);
    *stopped = !outcome;
    if (!outcome)
        return status;
    found->value = answer;
    found->outcome = *outcome;
    found->jumps = rn_bracket_jumps(&found->jump, &bracket);
    if (state == RN_BRACKET_NONE) {
        found->state = RN_LEAST_NEVER;
        found->needs = missed_of(l, &l->rising, outcome);
        return RN_OK;
    }
    found->state = state == RN_BRACKET_ALL ? RN_LEAST_LOWEST : RN_LEAST_FOUND;
    if (state == RN_BRACKET_FOUND)
        note_below(found, l, unmet, &l->rising);
    if (!meets(&l->falling, outcome)) {
        status = look_down(found, stopped, l, step, err);
        return status || *stopped ? status : look_between(found, stopped, l, err);
    }
    if (!meets(&l->either, outcome))
        return look_up(found, stopped, l, err);
    return RN_OK;
}

/* ---- the look where that is not known ---- */

static double rung_of(const rn_dial *dial, int rung)
{
    const double share = (double)rung / (LADDER - 1);
    if (rung == 0 || rung == LADDER - 1)
        return rung == 0 ? dial->from : dial->to;
    return rn_dial_round(dial, rn_dial_at(dial, share));
}

/* The value that came nearest, for when none meets the goal. */
static rn_status nearest_of(rn_least_look *found, const look *l, rn_error *err)
{
    double least = INFINITY;
    for (int i = 0; i < l->count; i++) {
        const rn_goal_verdict verdict = rn_goal_judge(&l->options->goal, &l->list[i].outcome);
        if (verdict.lack < least && l->list[i].outcome.state == RN_OUTCOME_WHOLE) {
            least = verdict.lack;
            found->value = l->list[i].value;
            found->outcome = l->list[i].outcome;
            found->needs = verdict.worst;
        }
    }
    found->state = RN_LEAST_NOWHERE;
    return isfinite(least) ? RN_OK : fail_of(l, &l->list[0], err); /* none is whole: all of them failed */
}

/* The whole range in steps, up to the first that meets the goal; *met is NaN where none does. */
static rn_status climb(double *met, double *unmet, bool *stopped, look *l, rn_error *err)
{
    double values[LADDER];
    *met = *unmet = NAN;
    for (int i = 0; i < LADDER; i++)
        values[i] = rung_of(l->dial, i);
    const rn_status status = run_all(l, values, LADDER, NULL, err);
    for (int i = 0; i < LADDER && status == RN_OK && isnan(*met); i++) {
        const tried *t = known(l, values[i], NULL);
        *stopped = !t;
        if (!t)
            return RN_OK;
        *(meets(&l->options->goal, &t->outcome) ? met : unmet) = values[i];
    }
    return status;
}

/* From where an earlier look found the least; *found is STOPPED still where nothing from there on meets the goal. */
static rn_status look_near(rn_least_look *found, bool *stopped, look *l, rn_error *err)
{
    double met, unmet;
    const rn_least_look *before = l->before;
    rn_bracket bracket = bracket_of(l, border_of(l, before), FIRST_CLOSE * l->close / before->value);
    const rn_status status = close_in(&bracket, stopped, l, &l->options->goal, err);
    if (status || *stopped || rn_bracket_found(&met, &unmet, &bracket) == RN_BRACKET_NONE)
        return status;
    return take_least(found, stopped, &bracket, l, err);
}

/* The whole range in steps, then in on the least that meets the goal. */
static rn_status look_over(rn_least_look *found, bool *stopped, look *l, rn_error *err)
{
    double met, unmet;
    rn_bracket bracket = bracket_of(l, l->dial->from, 1);
    rn_status status = RN_OK;
    if (l->before && l->before->state == RN_LEAST_FOUND)
        status = look_near(found, stopped, l, err);
    if (status || *stopped || found->state != RN_LEAST_STOPPED)
        return status;
    status = climb(&met, &unmet, stopped, l, err);
    if (status || *stopped)
        return status;
    if (isnan(met))
        return nearest_of(found, l, err);
    rn_bracket_tell(&bracket, met, true);
    if (!isnan(unmet))
        rn_bracket_tell(&bracket, unmet, false);
    status = close_in(&bracket, stopped, l, &l->options->goal, err);
    return status || *stopped ? status : take_least(found, stopped, &bracket, l, err);
}

/* ---- both looks ---- */

double rn_least_absolute(const rn_least_options *options, const rn_dial *dial)
{
    if (!isnan(options->absolute))
        return options->absolute;
    return rn_dial_is_poured(dial) ? 1e-6 : dial->logarithmic ? 0 : (dial->to - dial->from) / 400;
}

static double close_of(const rn_least_options *options, double value)
{
    return fmax(options->absolute, options->share * fabs(value));
}

static rn_status look_once(rn_least_look *found, look *l, rn_error *err)
{
    const rn_dial *dial = l->dial;
    double hint = dial->now > 0 ? dial->now : rn_dial_at(dial, 0.5), step = FIRST_STEP;
    bool stopped = false;
    rn_status status;
    *found = (rn_least_look){
        .cells = l->cells, .value = NAN, .unmet = NAN, .most = NAN, .too_much = NAN, .needs = -1, .allows = -1};
    l->close = close_of(l->options, l->before ? l->before->value : hint);
    if (l->before) {
        hint = border_of(l, l->before);
        step = FIRST_CLOSE * l->close / hint;
    }
    if (rn_dial_is_poured(dial))
        status = look_along(found, &stopped, l, hint, step, err);
    else
        status = look_over(found, &stopped, l, err);
    if (stopped)
        found->state = RN_LEAST_STOPPED;
    found->runs = l->count;
    return status;
}

rn_status rn_least_find(rn_least *found, const rn_plan *plan, const rn_dial *dial, const rn_least_options *options,
                        rn_study *study, rn_error *err)
{
    rn_least made = {.dial = *dial, .goal = options->goal};
    rn_least_options own = *options;
    rn_status status = RN_OK;
    if (options->goal.count == 0)
        return rn_fail(err, RN_E_PLAN, "there is no goal to meet");
    look *l = calloc(1, sizeof *l);
    if (!l)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    own.absolute = rn_least_absolute(options, dial);
    *l = (look){.plan = plan, .dial = dial, .options = &own, .study = study, .announced = own.cells};
    l->pattern = rn_goal_needs_pattern(&own.goal);
    rn_goal_apart(&l->rising, &l->falling, &l->either, &own.goal);
    if (own.coarse_cells > 0 && own.coarse_cells < own.cells) {
        l->cells = own.coarse_cells;
        status = look_once(&made.coarse, l, err);
        made.has_coarse = status == RN_OK && made.coarse.state != RN_LEAST_STOPPED;
    }
    if (status == RN_OK && !rn_study_stopped(study)) {
        l->cells = own.cells;
        l->count = 0;
        l->before = made.has_coarse ? &made.coarse : NULL;
        status = look_once(&made.fine, l, err);
        made.has_fine = status == RN_OK && made.fine.state != RN_LEAST_STOPPED;
    }
    if (status == RN_OK) {
        const rn_least_look *last = made.has_fine ? &made.fine : made.has_coarse ? &made.coarse : NULL;
        made.close = close_of(&own, last ? last->value : dial->now);
        if (last && last->state == RN_LEAST_FOUND) /* digits may not tell as much as was asked */
            made.close = fmax(made.close, last->value - last->unmet);
        *found = made;
    }
    free(l);
    return status;
}
