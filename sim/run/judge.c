#include "run/judge.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"

/* How each kind is written: a figure of the forecast times `scale` is in `unit`. */
typedef struct wording {
    const char *name, *unit;
    double scale;
} wording;

static wording wording_of(const rn_expect *expect)
{
    switch (expect->kind) {
    case RN_EXPECT_COVERAGE: return (wording){"coverage", " %", 100};
    case RN_EXPECT_COVERED_BY: return (wording){"covered by", " s", 1};
    case RN_EXPECT_RUN_OFF:
        return expect->share ? (wording){"run-off", " %", 100} : (wording){"run-off", " ml", 1e6};
    case RN_EXPECT_CORNER: return (wording){"corner", " mm", 1e3};
    case RN_EXPECT_THINNEST: return (wording){"thinnest", " mm", 1e3};
    case RN_EXPECT_STRETCH: return (wording){"stretch", "", 1};
    case RN_EXPECT_TWIST: return (wording){"twist", " deg", 180 / RN_PI};
    }
    return (wording){"", "", 1};
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
    case RN_EXPECT_STRETCH: return NAN;
    case RN_EXPECT_TWIST: return NAN;
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

void rn_judge_words(char *text, int size, const rn_expect *expect)
{
    const wording words = wording_of(expect);
    const double value = expect->value * words.scale;
    const char *where = "";
    const char *in = "";
    char relation[80] = "";

    if (expect->one_side && expect->kind == RN_EXPECT_RUN_OFF)
        in = " at the ", where = rn_side_names[side_of(expect)];
    else if (expect->one_side && expect->kind == RN_EXPECT_CORNER)
        in = " ", where = rn_corner_names[corner_of(expect)];
    switch (expect->relation) {
    case RN_AT_LEAST: snprintf(relation, sizeof relation, "at least %.4g%s", value, words.unit); break;
    case RN_AT_MOST:
        snprintf(relation, sizeof relation, "%s%.4g%s", expect->kind == RN_EXPECT_COVERED_BY ? "" : "at most ", value,
                 words.unit);
        break;
    case RN_ABOUT:
        snprintf(relation, sizeof relation, "%.4g%s +- %.3g%s", value, words.unit, expect->tolerance * words.scale,
                 words.unit);
        break;
    }
    snprintf(text, (size_t)size, "%s%s%s %s", words.name, in, where, relation);
}

static const char *why_not_judged(const rn_expect *expect, const rn_forecast *forecast)
{
    if (expect->kind == RN_EXPECT_STRETCH)
        return "stretch is not worked out yet";
    if (expect->kind == RN_EXPECT_TWIST)
        return "twist is not worked out yet";
    return forecast->complete ? NULL : "the forecast stopped before the end";
}

rn_judgement rn_judge_expect(const rn_expect *expect, const rn_forecast *forecast)
{
    const wording words = wording_of(expect);
    const char *why_not = why_not_judged(expect, forecast);
    rn_judgement judgement = {.verdict = RN_NOT_JUDGED, .value = NAN, .by = NAN};

    rn_judge_words(judgement.wanted, sizeof judgement.wanted, expect);
    if (why_not) {
        snprintf(judgement.outcome, sizeof judgement.outcome, "not judged: %s", why_not);
        return judgement;
    }
    judgement.value = figure_of(expect, forecast);
    if (isnan(judgement.value)) {
        judgement.verdict = RN_MISSED;
        snprintf(judgement.outcome, sizeof judgement.outcome, "missed: %s",
                 expect->kind == RN_EXPECT_COVERED_BY ? "not covered at the end" : "there is no paint to judge");
        return judgement;
    }
    judgement.by = outside_by(expect, judgement.value);
    judgement.verdict = judgement.by > 0 ? RN_MISSED : RN_MET;
    const double value = judgement.value * words.scale;
    if (judgement.verdict == RN_MET)
        snprintf(judgement.outcome, sizeof judgement.outcome, "met: %.4g%s", value, words.unit);
    else
        snprintf(judgement.outcome, sizeof judgement.outcome, "missed by %.3g%s: %.4g%s", judgement.by * words.scale,
                 words.unit, value, words.unit);
    return judgement;
}
