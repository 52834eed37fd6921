#include "show/compare.h"

#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "show/report.h"

typedef struct telling {
    const char *name;
    const char *best; /* what is said of the best */
    int better;       /* 1: more, -1: less, 0: neither */
    double alike;     /* differences up to this are none: what grids and the clock of moments can tell [SI] */
} telling;

static const telling lines[RN_COMPARE_LINES] = {
    [RN_COMPARE_COVERED_AT] = {"covered at", "First covered", -1, 1},
    [RN_COMPARE_COVERAGE] = {"coverage", "Most covered", 1, 0.001},
    [RN_COMPARE_CORNER] = {"least corner", "Deepest in its corners", 1, 0.01e-3},
    [RN_COMPARE_THINNEST] = {"thinnest", "Least thin", 1, 0.01e-3},
    [RN_COMPARE_MEAN] = {"mean depth", "", 0, 0.01e-3},
    [RN_COMPARE_RUN_OFF] = {"run-off", "Least run-off", -1, 0.5e-6},
    [RN_COMPARE_TWIST] = {"twist", "", 0, RN_DEGREE},
    [RN_COMPARE_STRETCH] = {"stretch", "Least stretch", -1, 0.1},
};

const char *rn_compare_letter(int plan)
{
    static const char *const letters[RN_COMPARE_MOST] = {"A", "B", "C", "D", "E", "F"};
    return letters[plan];
}

const char *rn_compare_name(rn_compare_line line)
{
    return lines[line].name;
}

double rn_compare_value(const rn_compare_plan *of, rn_compare_line line)
{
    const rn_outcome *outcome = &of->outcome;
    if (outcome->state != RN_OUTCOME_WHOLE)
        return NAN;
    switch (line) {
    case RN_COMPARE_COVERED_AT: return outcome->covered_at;
    case RN_COMPARE_COVERAGE: return outcome->coverage;
    case RN_COMPARE_CORNER: return rn_outcome_least_corner(outcome);
    case RN_COMPARE_THINNEST: return outcome->thinnest;
    case RN_COMPARE_MEAN: return outcome->mean;
    case RN_COMPARE_RUN_OFF: return outcome->run_off;
    case RN_COMPARE_TWIST: return outcome->has_pattern ? fabs(outcome->twist) : NAN;
    case RN_COMPARE_STRETCH: return outcome->has_pattern ? outcome->stretch : NAN;
    case RN_COMPARE_LINES: break;
    }
    return NAN;
}

static void write_depth(char text[RN_COMPARE_SIZE], double depth)
{
    if (depth < RN_BARE_DEPTH)
        snprintf(text, RN_COMPARE_SIZE, "bare");
    else
        snprintf(text, RN_COMPARE_SIZE, "%.2f mm", 1e3 * depth);
}

void rn_compare_text(char text[RN_COMPARE_SIZE], const rn_compare_plan *of, rn_compare_line line)
{
    const double value = rn_compare_value(of, line);
    if (of->outcome.state != RN_OUTCOME_WHOLE) {
        snprintf(text, RN_COMPARE_SIZE, "not known");
        return;
    }
    switch (line) {
    case RN_COMPARE_COVERED_AT:
        if (isnan(value))
            snprintf(text, RN_COMPARE_SIZE, "never");
        else
            snprintf(text, RN_COMPARE_SIZE, value < RN_AT_START ? "at once" : "%.0f s", value);
        break;
    case RN_COMPARE_COVERAGE: /* rounded down: 99.96 % is not all of it */
        snprintf(text, RN_COMPARE_SIZE, "%.1f %%", floor(1000 * value + 1e-6) / 10);
        break;
    case RN_COMPARE_CORNER:
    case RN_COMPARE_THINNEST:
    case RN_COMPARE_MEAN: write_depth(text, value); break;
    case RN_COMPARE_RUN_OFF:
        if (value < 0.05e-6)
            snprintf(text, RN_COMPARE_SIZE, "none");
        else
            snprintf(text, RN_COMPARE_SIZE, "%.1f ml", 1e6 * value);
        break;
    case RN_COMPARE_TWIST: snprintf(text, RN_COMPARE_SIZE, isnan(value) ? "none" : "%.0f°", value / RN_DEGREE); break;
    case RN_COMPARE_STRETCH: snprintf(text, RN_COMPARE_SIZE, isnan(value) ? "none" : "%.1f ×", value); break;
    case RN_COMPARE_LINES: break;
    }
}

bool rn_compare_alike(const rn_compare *compare, rn_compare_line line)
{
    double least = INFINITY, most = -INFINITY;
    int told = 0;
    for (int k = 0; k < compare->count; k++) {
        const double value = rn_compare_value(&compare->plans[k], line);
        if (compare->plans[k].outcome.state != RN_OUTCOME_WHOLE)
            return false;
        if (isnan(value))
            continue;
        told++;
        least = fmin(least, value);
        most = fmax(most, value);
    }
    return told == 0 || (told == compare->count && most - least <= lines[line].alike);
}

int rn_compare_best(const rn_compare *compare, rn_compare_line line)
{
    const int better = lines[line].better;
    int best = -1;
    double found = -INFINITY, next = -INFINITY;
    if (better == 0)
        return -1;
    for (int k = 0; k < compare->count; k++) {
        const double value = better * rn_compare_value(&compare->plans[k], line);
        if (compare->plans[k].outcome.state == RN_OUTCOME_NONE) /* it may come to be the best */
            return -1;
        if (isnan(value))
            continue;
        if (value > found) {
            next = found;
            found = value;
            best = k;
        } else {
            next = fmax(next, value);
        }
    }
    return best >= 0 && found - next > lines[line].alike ? best : -1;
}

void rn_compare_headline(char text[RN_COMPARE_HEADLINE], const rn_compare *compare)
{
    static const char *const counts[] = {"No", "One", "Two", "Three", "Four", "Five", "Six"};
    static const rn_compare_line told[] = {RN_COMPARE_COVERED_AT, RN_COMPARE_RUN_OFF, RN_COMPARE_STRETCH};
    const rn_unlike *unlike = &compare->unlike;
    int used = snprintf(text, RN_COMPARE_HEADLINE, "%s plans", counts[compare->count]);
    if (unlike->kind == RN_ALIKE)
        used += snprintf(text + used, (size_t)(RN_COMPARE_HEADLINE - used), ", alike in every number.");
    else
        used += snprintf(text + used, (size_t)(RN_COMPARE_HEADLINE - used), ", unlike %sin %s.",
                         unlike->kind == RN_UNLIKE_SEVERAL ? "" : "only ", unlike->whole.words);
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        char figure[RN_COMPARE_SIZE];
        const int best = rn_compare_best(compare, told[i]);
        if (best < 0)
            continue;
        rn_compare_text(figure, &compare->plans[best], told[i]);
        used += snprintf(text + used, (size_t)(RN_COMPARE_HEADLINE - used), " %s: %s, %s.", lines[told[i]].best,
                         rn_compare_letter(best), figure);
    }
}
