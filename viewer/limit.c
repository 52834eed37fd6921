#include "limit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "plan/plan_words.h"

static const struct {
    rn_expect_kind kind;
    const char *words, *short_words;
} kinds[LIMITS] = {
    [LIMIT_COVERED] = {RN_EXPECT_COVERED_BY, "covered by", "covered"},
    [LIMIT_RUN_OFF] = {RN_EXPECT_RUN_OFF, "run-off at most", "run-off"},
    [LIMIT_THINNEST] = {RN_EXPECT_THINNEST, "thinnest at least", "thinnest"},
    [LIMIT_STRETCH] = {RN_EXPECT_STRETCH, "stretch at most", "stretch"},
    [LIMIT_TWIST] = {RN_EXPECT_TWIST, "twist at most", "twist"},
};

const char *limit_words(rv_limit limit)
{
    return kinds[limit].words;
}

const char *limit_short(rv_limit limit)
{
    return kinds[limit].short_words;
}

static bool fits(const rn_expect *expect, rv_limit limit)
{
    if (expect->kind != kinds[limit].kind || expect->one_side)
        return false;
    return limit == LIMIT_THINNEST ? expect->relation == RN_AT_LEAST : expect->relation != RN_AT_LEAST;
}

rv_limit limit_of(const rn_plan *plan, int expect)
{
    for (rv_limit limit = 0; limit < LIMITS; limit++) {
        if (!fits(&plan->expects[expect], limit))
            continue;
        for (int k = 0; k < expect; k++) /* the first of a kind has the knob */
            if (fits(&plan->expects[k], limit))
                return LIMITS;
        return limit;
    }
    return LIMITS;
}

static double all_paint(const rn_plan *plan)
{
    double poured[RN_PAINTS_MOST], based[RN_PAINTS_MOST], sum = 0;
    rn_plan_poured(poured, plan);
    rn_plan_based(based, plan);
    for (int k = 0; k < plan->paint_count; k++)
        sum += poured[k] + based[k];
    return sum;
}

static void find_range(rv_limit_at *at, const rn_plan *plan, rv_limit limit)
{
    const bool volume = at->expect >= 0 && !plan->expects[at->expect].share;
    switch (limit) {
    case LIMIT_COVERED:
        at->step = 1;
        at->to = ceil(plan->end);
        break;
    case LIMIT_RUN_OFF:
        at->step = volume ? 1e-6 : 0.01;
        at->to = volume ? ceil(1e6 * all_paint(plan)) * 1e-6 : 1;
        break;
    case LIMIT_THINNEST:
        at->step = 0.01e-3;
        at->to = 1.5e-3;
        break;
    case LIMIT_STRETCH:
        at->step = 0.1;
        at->from = 1;
        at->to = 8;
        break;
    case LIMIT_TWIST:
        at->step = RN_DEGREE;
        at->to = RN_PI;
        break;
    case LIMITS: break;
    }
}

rv_limit_at limit_get(const rn_plan *plan, rv_limit limit)
{
    rv_limit_at at = {.expect = -1, .least = limit == LIMIT_THINNEST};
    for (int k = plan->expect_count - 1; k >= 0; k--)
        if (fits(&plan->expects[k], limit))
            at.expect = k;
    at.on = at.expect >= 0;
    find_range(&at, plan, limit);
    at.value = at.on ? plan->expects[at.expect].value : at.least ? at.from : at.to;
    return at;
}

double limit_along(const rv_limit_at *at, double value)
{
    return fmin(fmax((value - at->from) / (at->to - at->from), 0), 1);
}

double limit_value(const rv_limit_at *at, double along)
{
    const double value = at->from + fmin(fmax(along, 0), 1) * (at->to - at->from);
    return fmin(fmax(round(value / at->step) * at->step, at->from), at->to);
}

/* ---- setting ---- */

static void take_away(rn_plan *plan, int expect)
{
    memmove(&plan->expects[expect], &plan->expects[expect + 1],
            (size_t)(plan->expect_count - expect - 1) * sizeof *plan->expects);
    plan->expect_count--;
}

static void ask_for_the_usual(rn_plan *plan)
{
    const rn_goal usual = rn_goal_of_plan(plan);
    memcpy(plan->expects, usual.demands, (size_t)usual.count * sizeof *plan->expects);
    plan->expect_count = usual.count;
}

void limit_set(rn_plan *plan, rv_limit limit, double value)
{
    const rv_limit_at at = limit_get(plan, limit);
    value = isnan(value) ? value : limit_value(&at, limit_along(&at, value));
    const bool lax = isnan(value) || (at.least ? value <= at.from : value >= at.to);
    if (lax) {
        if (at.on)
            take_away(plan, at.expect);
        return;
    }
    if (plan->expect_count == 0)
        ask_for_the_usual(plan);
    if (limit == LIMIT_THINNEST) {
        edit_set_least_wanted(plan, value);
        return;
    }
    if (!at.on && plan->expect_count >= RN_EXPECTS_MOST)
        return;
    rn_expect *expect = &plan->expects[at.on ? at.expect : plan->expect_count++];
    if (!at.on)
        *expect = (rn_expect){
            .kind = kinds[limit].kind, .relation = RN_AT_MOST, .share = kinds[limit].kind == RN_EXPECT_RUN_OFF};
    expect->value = value;
}

/* ---- typing ---- */

void limit_typed(char *text, int size, const rn_plan *plan, rv_limit limit)
{
    const rv_limit_at at = limit_get(plan, limit);
    text[0] = '\0';
    if (at.on)
        rn_expect_write(text, size, &plan->expects[at.expect]);
}

rn_status limit_put(rn_plan *plan, rv_limit limit, const char *text, rn_error *err)
{
    char whole[200];
    rn_expect expect;
    const char *first = text + strspn(text, " ");
    if (!first[0] || strcmp(first, "any") == 0) {
        limit_set(plan, limit, NAN);
        return RN_OK;
    }
    const bool alone = strchr("0123456789.", first[0]) && !strstr(text, "+-") && !strstr(text, "±");
    snprintf(whole, sizeof whole, "%s%s", !alone ? "" : limit == LIMIT_THINNEST ? "at least " : "at most ", first);
    const rn_status status = rn_expect_read(&expect, rn_expect_word((int)kinds[limit].kind), whole, err);
    if (status != RN_OK)
        return status;
    if (!fits(&expect, limit))
        return rn_fail(err, RN_E_PLAN, "'%.60s' is no %s; write a figure, or for example %s", text, kinds[limit].words,
                       limit == LIMIT_THINNEST ? "at least 0.3 mm" : "at most 30 %");
    if (plan->expect_count == 0)
        ask_for_the_usual(plan);
    const rv_limit_at at = limit_get(plan, limit);
    if (!at.on && plan->expect_count >= RN_EXPECTS_MOST)
        return rn_fail(err, RN_E_PLAN, "the plan expects %d things already", RN_EXPECTS_MOST);
    plan->expects[at.on ? at.expect : plan->expect_count++] = expect;
    return RN_OK;
}

/* ---- words ---- */

static void amount(char *text, int size, const rn_expect *expect, double value, bool ounces)
{
    switch (expect->kind) {
    case RN_EXPECT_COVERED_BY: snprintf(text, (size_t)size, "%.0f\u00a0s", value); break;
    case RN_EXPECT_RUN_OFF:
        if (expect->share)
            snprintf(text, (size_t)size, "%.0f\u00a0%%", 100 * value);
        else if (ounces)
            snprintf(text, (size_t)size, "%.1f\u00a0fl oz", value / RN_FLUID_OUNCE);
        else
            snprintf(text, (size_t)size, "%.0f\u00a0ml", 1e6 * value);
        break;
    case RN_EXPECT_STRETCH: snprintf(text, (size_t)size, "%.1f\u00a0×", value); break;
    case RN_EXPECT_TWIST: snprintf(text, (size_t)size, "%.0f°", value * 180 / RN_PI); break;
    case RN_EXPECT_COVERAGE: snprintf(text, (size_t)size, "%.1f\u00a0%%", 100 * value); break;
    case RN_EXPECT_CORNER:
    case RN_EXPECT_THINNEST: snprintf(text, (size_t)size, "%.2f\u00a0mm", 1e3 * value); break;
    }
}

void limit_text(char *text, int size, const rn_plan *plan, rv_limit limit, bool ounces)
{
    const rv_limit_at at = limit_get(plan, limit);
    char about[40];
    if (!at.on) {
        snprintf(text, (size_t)size, "any");
        return;
    }
    const rn_expect *expect = &plan->expects[at.expect];
    amount(text, size, expect, expect->value, ounces);
    if (expect->relation != RN_ABOUT)
        return;
    amount(about, sizeof about, expect, expect->tolerance, ounces);
    const size_t used = strlen(text);
    snprintf(text + used, (size_t)size - used, " ± %s", about);
}
