#include "search/together.h"

#include <math.h>
#include <nlopt.h>
#include <stdlib.h>
#include <string.h>

#include "search/least.h"

#define TRIED_MOST 512
#define WIDE_EACH 30      /* runs over the ranges, for each number */
#define NEAR_EACH 20      /* and near the best */
#define FIRST_STEP 0.1    /* of the near search, as a share of the range */
#define CONFIRMED 8       /* of the best on the coarse grid, those tried on the plan's */
#define CLOSE_RUNS 24     /* of a near search on the plan's grid, where none of them holds there */
#define CLOSE_STEP 0.02   /* and its first step */
#define AWAY_WHOLE 1000.0 /* what missing all of the goal costs, beyond what any values that meet it do */

typedef struct point {
    double values[RN_TOGETHER_MOST];
} point;

typedef struct tried {
    point at;
    rn_outcome outcome;
    bool met;
    double lack, cost;
} tried;

typedef struct search {
    const rn_plan *plan;
    const rn_dial *dials;
    int dial_count;
    const rn_together_options *options;
    rn_study *study;
    int cells, planned; /* runs, about */
    bool pattern;
    double dearest; /* what no values that meet the goal can cost */
    rn_status status;
    rn_error *err;
    int count;
    tried list[TRIED_MOST];
} search;

rn_together_options rn_together_defaults(void)
{
    return (rn_together_options){.cells = RN_LEAST_FINE, .coarse_cells = RN_LEAST_COARSE};
}

/* ---- descending, of any function ---- */

typedef struct descent {
    nlopt_opt method;
    rn_together_value *value;
    rn_together_stop *stop;
    void *context;
    int count, calls;
    double least, best[RN_TOGETHER_MOST]; /* of all calls */
} descent;

/* The value at a place, the best of them kept; HUGE_VAL where it was asked to stop. */
static double call(descent *d, const double *place)
{
    if (d->stop && d->stop(d->context))
        return HUGE_VAL;
    d->calls++;
    const double value = d->value(d->context, place);
    if (value < d->least) {
        d->least = value;
        memcpy(d->best, place, (size_t)d->count * sizeof *place);
    }
    return value;
}

static double ask(unsigned count, const double *place, double *gradient, void *context)
{
    descent *d = context;
    const int before = d->calls;
    (void)count;
    (void)gradient; /* methods without derivatives pass none */
    const double value = call(d, place);
    if (d->calls == before)
        nlopt_force_stop(d->method);
    return value;
}

static void descend(descent *d, nlopt_algorithm algorithm, int calls, double first)
{
    double low[RN_TOGETHER_MOST] = {0}, high[RN_TOGETHER_MOST] = {1, 1, 1}, place[RN_TOGETHER_MOST], least;
    d->method = calls > 0 ? nlopt_create(algorithm, (unsigned)d->count) : NULL;
    if (!d->method)
        return;
    memcpy(place, d->best, sizeof place);
    nlopt_set_lower_bounds(d->method, low);
    nlopt_set_upper_bounds(d->method, high);
    nlopt_set_min_objective(d->method, ask, d);
    nlopt_set_maxeval(d->method, calls);
    nlopt_set_xtol_abs1(d->method, 1e-4);
    nlopt_set_initial_step1(d->method, first);
    nlopt_optimize(d->method, place, &least); /* however it ends, d->best is the best so far */
    nlopt_destroy(d->method);
}

int rn_together_descend(double *best, int count, int wide, int near, double first, rn_together_value *value,
                        rn_together_stop *stop, void *context)
{
    descent d = {.value = value, .stop = stop, .context = context, .count = count, .least = HUGE_VAL};
    memcpy(d.best, best, (size_t)count * sizeof *best);
    call(&d, best); /* the wide search begins elsewhere */
    descend(&d, NLOPT_GN_DIRECT_L, wide, first);
    descend(&d, NLOPT_LN_SBPLX, near, first);
    memcpy(best, d.best, (size_t)count * sizeof *best);
    return d.calls;
}

/* ---- of a plan ---- */

static double value_at(const rn_dial *dial, double place)
{
    const double value = rn_dial_at(dial, fmin(fmax(place, 0), 1));
    return fmin(fmax(rn_dial_round(dial, value), dial->from), dial->to);
}

static double place_of(const rn_dial *dial, double value)
{
    return rn_dial_share(dial, fmin(fmax(value, dial->from), dial->to));
}

/* A number as a share of what the plan says, or of its range's end where that is nothing. */
static double share_of(const rn_dial *dial, double value)
{
    return value / (dial->now > 0 ? dial->now : dial->to);
}

static double cost_of(const search *s, const point *at, const rn_outcome *outcome)
{
    double cost = s->options->weight * rn_outcome_lost(outcome);
    for (int i = 0; i < s->dial_count; i++)
        cost += share_of(&s->dials[i], at->values[i]);
    return cost;
}

static double dearest_of(const rn_dial *dials, int count, double weight)
{
    double cost = 1 + weight;
    for (int i = 0; i < count; i++)
        cost += share_of(&dials[i], dials[i].to);
    return cost;
}

static const tried *known(const search *s, const point *at)
{
    for (int i = 0; i < s->count; i++)
        if (memcmp(&s->list[i].at, at, sizeof *at) == 0)
            return &s->list[i];
    return NULL;
}

/* The plan with all dials at their values; NULL where that is no plan. */
static rn_plan *plan_of(const search *s, const point *at)
{
    rn_plan *made = NULL;
    for (int i = 0; i < s->dial_count; i++) {
        rn_plan *next = NULL;
        const rn_status status = rn_dial_turn(&next, &s->dials[i], made ? made : s->plan, at->values[i], NULL);
        rn_plan_free(made);
        if (status != RN_OK)
            return NULL;
        made = next;
    }
    return made;
}

static void note(search *s, const point *at, const rn_outcome *outcome)
{
    const rn_goal_verdict verdict = rn_goal_judge(&s->options->goal, outcome);
    tried *t = &s->list[s->count++];
    *t = (tried){.at = *at, .outcome = *outcome, .met = verdict.met, .lack = verdict.lack};
    t->cost = cost_of(s, at, outcome);
}

/* Runs what is not known yet of some points, all at once. */
static void run_all(search *s, const point *points, int count)
{
    rn_run runs[CONFIRMED] = {0};
    rn_plan *plans[CONFIRMED] = {0};
    int which[CONFIRMED], asked = 0;
    for (int i = 0; i < count && s->count + asked < TRIED_MOST; i++) {
        if (known(s, &points[i]))
            continue;
        plans[asked] = plan_of(s, &points[i]);
        if (!plans[asked]) {
            note(s, &points[i], &(rn_outcome){.state = RN_OUTCOME_FAILED});
            continue;
        }
        runs[asked] = (rn_run){.plan = plans[asked], .cells = s->cells, .pattern = s->pattern};
        which[asked++] = i;
    }
    const int left = s->planned - s->count - asked;
    rn_study_announce(s->study, left > 0 ? left : 0, s->cells);
    if (s->status == RN_OK)
        s->status = rn_study_work(s->study, runs, asked, s->err);
    for (int i = 0; i < asked; i++) {
        if (s->status == RN_OK && runs[i].outcome.state != RN_OUTCOME_NONE)
            note(s, &points[which[i]], &runs[i].outcome);
        rn_plan_free(plans[i]);
    }
}

static double value_of(void *context, const double *place)
{
    search *s = context;
    point at = {0};
    for (int i = 0; i < s->dial_count; i++)
        at.values[i] = value_at(&s->dials[i], place[i]);
    run_all(s, &at, 1);
    const tried *t = known(s, &at);
    if (!t)
        return HUGE_VAL;
    return t->met ? t->cost : s->dearest + t->cost + AWAY_WHOLE * t->lack;
}

static bool stopped(void *context)
{
    const search *s = context;
    return s->status != RN_OK || s->count == TRIED_MOST || rn_study_stopped(s->study);
}

/* Whether a is the better answer. */
static bool better(const tried *a, const tried *b)
{
    if (a->met != b->met)
        return a->met;
    if (!a->met && a->lack != b->lack)
        return a->lack < b->lack;
    return a->cost < b->cost;
}

static int by_worth(const void *a, const void *b)
{
    const tried *p = a, *q = b;
    if (better(p, q))
        return -1;
    if (better(q, p))
        return 1;
    return memcmp(&p->at, &q->at, sizeof p->at); /* qsort keeps no order of its own */
}

static bool look_best(rn_together_look *look, const search *s)
{
    const tried *best = NULL;
    for (int i = 0; i < s->count; i++)
        if (s->list[i].outcome.state == RN_OUTCOME_WHOLE && (!best || better(&s->list[i], best)))
            best = &s->list[i];
    look->cells = s->cells;
    look->runs = s->count;
    if (!best)
        return false;
    look->met = best->met;
    look->outcome = best->outcome;
    look->cost = best->cost;
    memcpy(look->values, best->at.values, sizeof look->values);
    return true;
}

static void look_wide(search *s)
{
    const int wide = s->options->wide > 0 ? s->options->wide : WIDE_EACH * s->dial_count;
    const int near = s->options->near > 0 ? s->options->near : NEAR_EACH * s->dial_count;
    double best[RN_TOGETHER_MOST] = {0};
    for (int i = 0; i < s->dial_count; i++)
        best[i] = s->dials[i].now > 0 ? place_of(&s->dials[i], s->dials[i].now) : 0.5;
    s->planned = wide + near;
    rn_together_descend(best, s->dial_count, wide, near, FIRST_STEP, value_of, stopped, s);
}

/* The best of the coarse grid on the plan's; if none holds there, near the first of them. `coarse` is sorted for that. */
static void look_close(search *s, search *coarse)
{
    point points[CONFIRMED];
    double best[RN_TOGETHER_MOST] = {0};
    int count = 0;
    qsort(coarse->list, (size_t)coarse->count, sizeof *coarse->list, by_worth);
    for (int i = 0; i < coarse->count && count < CONFIRMED && (count == 0 || coarse->list[i].met); i++)
        points[count++] = coarse->list[i].at;
    s->planned = 2;
    for (int i = 0; i < count && !stopped(s); i += 2) { /* the better ones first, as many as it takes */
        run_all(s, &points[i], count - i < 2 ? count - i : 2);
        for (int k = 0; k < s->count; k++)
            if (s->list[k].met)
                return;
    }
    if (count == 0 || !coarse->list[0].met || stopped(s))
        return;
    for (int i = 0; i < s->dial_count; i++)
        best[i] = place_of(&s->dials[i], points[0].values[i]);
    s->planned = s->count + CLOSE_RUNS;
    rn_together_descend(best, s->dial_count, 0, CLOSE_RUNS, CLOSE_STEP, value_of, stopped, s);
}

rn_status rn_together_find(rn_together *found, const rn_plan *plan, const rn_dial *dials, int count,
                           const rn_together_options *options, rn_study *study, rn_error *err)
{
    rn_together made = {.count = count, .goal = options->goal, .weight = options->weight};
    if (count < 1 || count > RN_TOGETHER_MOST)
        return rn_fail(err, RN_E_PLAN, "one to %d numbers can be made least together", RN_TOGETHER_MOST);
    if (options->goal.count == 0)
        return rn_fail(err, RN_E_PLAN, "there is no goal to meet");
    search *looks = calloc(2, sizeof *looks);
    if (!looks)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    memcpy(made.dials, dials, (size_t)count * sizeof *dials);
    for (int i = 0; i < 2; i++)
        looks[i] = (search){.plan = plan,
                            .dials = made.dials,
                            .dial_count = count,
                            .options = options,
                            .study = study,
                            .cells = i == 0 ? options->coarse_cells : options->cells,
                            .pattern = rn_goal_needs_pattern(&options->goal),
                            .dearest = dearest_of(dials, count, options->weight),
                            .err = err};
    const bool coarse = options->coarse_cells > 0 && options->coarse_cells < options->cells;
    look_wide(&looks[coarse ? 0 : 1]);
    made.has_coarse = coarse && look_best(&made.coarse, &looks[0]);
    if (coarse && looks[0].status == RN_OK)
        look_close(&looks[1], &looks[0]);
    made.stopped = rn_study_stopped(study);
    made.has_fine = look_best(&made.fine, &looks[1]) && (made.fine.met || !coarse || !made.stopped);
    const rn_status status = looks[0].status ? looks[0].status : looks[1].status;
    if (status == RN_OK)
        *found = made;
    free(looks);
    return status;
}
