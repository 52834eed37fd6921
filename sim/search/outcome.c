#include "search/outcome.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct field {
    const char *name;
    size_t offset;
} field;

#define FIELD(name)                                                                                                    \
    {                                                                                                                  \
#name, offsetof(rn_outcome, name)                                                                              \
    }

/* The numbers in the order of the line. */
static const field fields[] = {
    FIELD(duration),
    FIELD(cover),
    FIELD(coverage),
    FIELD(covered_at),
    FIELD(best_coverage),
    FIELD(best_at),
    FIELD(base),
    FIELD(poured),
    FIELD(on_panel),
    FIELD(on_sides),
    FIELD(run_off),
    FIELD(run_off_by_side[0]),
    FIELD(run_off_by_side[1]),
    FIELD(run_off_by_side[2]),
    FIELD(run_off_by_side[3]),
    FIELD(mean),
    FIELD(thinnest),
    FIELD(deepest),
    FIELD(corner[0]),
    FIELD(corner[1]),
    FIELD(corner[2]),
    FIELD(corner[3]),
    FIELD(corner_at[0]),
    FIELD(corner_at[1]),
    FIELD(corner_at[2]),
    FIELD(corner_at[3]),
    FIELD(side_coverage),
    FIELD(still_moving),
    FIELD(stretch),
    FIELD(twist),
};

#define FIELD_COUNT (sizeof fields / sizeof fields[0])

static const char *const states[] = {
    [RN_OUTCOME_NONE] = "none",
    [RN_OUTCOME_WHOLE] = "whole",
    [RN_OUTCOME_DECIDED] = "decided",
    [RN_OUTCOME_FAILED] = "failed",
};

#define STATE_COUNT ((int)(sizeof states / sizeof states[0]))

rn_outcome rn_outcome_of(const rn_forecast *forecast)
{
    rn_outcome outcome = {
        .state = forecast->complete ? RN_OUTCOME_WHOLE : RN_OUTCOME_DECIDED,
        .nx = forecast->grid.nx,
        .ny = forecast->grid.ny,
        .duration = forecast->duration,
        .cover = forecast->cover,
        .coverage = forecast->coverage,
        .covered_at = forecast->covered ? forecast->covered_at : NAN,
        .best_coverage = forecast->best_coverage,
        .best_at = forecast->best_at,
        .base = forecast->base,
        .poured = forecast->poured,
        .on_panel = forecast->on_panel,
        .on_sides = forecast->on_sides,
        .run_off = forecast->run_off,
        .mean = forecast->mean,
        .thinnest = forecast->least.depth,
        .deepest = forecast->most.depth,
        .side_coverage = forecast->side_coverage,
        .still_moving = forecast->still_moving,
        .has_pattern = forecast->has_pattern,
        .stretch = forecast->stretch,
        .twist = forecast->twist,
    };
    memcpy(outcome.run_off_by_side, forecast->run_off_by_side, sizeof outcome.run_off_by_side);
    for (int c = 0; c < RN_CORNERS; c++) {
        outcome.corner[c] = forecast->corners[c].depth;
        outcome.corner_at[c] = forecast->corners[c].covered_at;
    }
    return outcome;
}

rn_forecast rn_outcome_forecast(const rn_outcome *outcome)
{
    rn_forecast forecast = {
        .cover = outcome->cover,
        .coverage = outcome->coverage,
        .covered = !isnan(outcome->covered_at),
        .covered_at = outcome->covered_at,
        .best_coverage = outcome->best_coverage,
        .best_at = outcome->best_at,
        .base = outcome->base,
        .poured = outcome->poured,
        .on_panel = outcome->on_panel,
        .on_sides = outcome->on_sides,
        .run_off = outcome->run_off,
        .run_off_cost = NAN,
        .poured_cost = NAN,
        .mean = outcome->mean,
        .least = {outcome->thinnest, 0, 0},
        .most = {outcome->deepest, 0, 0},
        .still_moving = outcome->still_moving,
        .wrapped = !isnan(outcome->side_coverage),
        .side_coverage = outcome->side_coverage,
        .has_pattern = outcome->has_pattern,
        .stretch = outcome->stretch,
        .twist = outcome->twist,
        .duration = outcome->duration,
        .complete = outcome->state == RN_OUTCOME_WHOLE,
        .grid = {.nx = outcome->nx, .ny = outcome->ny},
    };
    memcpy(forecast.run_off_by_side, outcome->run_off_by_side, sizeof forecast.run_off_by_side);
    for (int c = 0; c < RN_CORNERS; c++)
        forecast.corners[c] = (rn_corner_outcome){outcome->corner_at[c], outcome->corner[c]};
    return forecast;
}

double rn_outcome_lost(const rn_outcome *outcome)
{
    const double all = outcome->base + outcome->poured;
    return all > 0 ? outcome->run_off / all : 0;
}

static double number_of(const rn_outcome *outcome, int at)
{
    return *(const double *)((const char *)outcome + fields[at].offset);
}

rn_outcome rn_outcome_between(const rn_outcome *const *outcomes, const double *weights, int count)
{
    rn_outcome made = *outcomes[0];
    for (int k = 0; k < (int)FIELD_COUNT; k++) {
        const double first = number_of(outcomes[0], k);
        double more = 0; /* so that what is the same in all stays so to the last bit */
        for (int i = 1; i < count; i++)
            more += weights[i] * (number_of(outcomes[i], k) - first);
        *(double *)((char *)&made + fields[k].offset) = first + more;
    }
    return made;
}

double rn_outcome_least_corner(const rn_outcome *outcome)
{
    double least = outcome->corner[0];
    for (int c = 1; c < RN_CORNERS; c++)
        least = fmin(least, outcome->corner[c]);
    return least;
}

/* "decided met 96 96 pattern duration=0x1.58p+7 ... why=the run-off is over 20 ml". */
void rn_outcome_write(char line[RN_OUTCOME_LINE], const rn_outcome *outcome)
{
    int used =
        snprintf(line, RN_OUTCOME_LINE, "%s %s %d %d %s", states[outcome->state], outcome->goal_met ? "met" : "missed",
                 outcome->nx, outcome->ny, outcome->has_pattern ? "pattern" : "plain");
    for (size_t i = 0; i < FIELD_COUNT; i++) {
        double value;
        memcpy(&value, (const char *)outcome + fields[i].offset, sizeof value);
        const size_t left = (size_t)(RN_OUTCOME_LINE - used);
        if (isnan(value)) /* whatever its sign and bits */
            used += snprintf(line + used, left, " %s=nan", fields[i].name);
        else
            used += snprintf(line + used, left, " %s=%a", fields[i].name, value);
    }
    snprintf(line + used, (size_t)(RN_OUTCOME_LINE - used), " why=%s", outcome->why);
}

static bool skip(const char **at, const char *text)
{
    const size_t length = strlen(text);
    if (strncmp(*at, text, length) != 0)
        return false;
    *at += length;
    return true;
}

static bool read_count(int *count, const char **at)
{
    char *end;
    const long number = strtol(*at, &end, 10);
    if (end == *at || number < 0 || number > 1000000)
        return false;
    *count = (int)number;
    *at = end;
    return true;
}

static bool read_number(double *number, const char **at)
{
    char *end;
    *number = strtod(*at, &end);
    if (end == *at)
        return false;
    *at = end;
    return true;
}

static bool read_head(rn_outcome *outcome, const char **at)
{
    int state = 0;
    while (state < STATE_COUNT && !skip(at, states[state]))
        state++;
    if (state == STATE_COUNT)
        return false;
    outcome->state = (rn_outcome_state)state;
    outcome->goal_met = skip(at, " met ");
    if (!outcome->goal_met && !skip(at, " missed "))
        return false;
    if (!read_count(&outcome->nx, at) || !read_count(&outcome->ny, at))
        return false;
    outcome->has_pattern = skip(at, " pattern");
    return outcome->has_pattern || skip(at, " plain");
}

bool rn_outcome_read(rn_outcome *outcome, const char *line)
{
    rn_outcome found = {0};
    const char *at = line;
    if (!read_head(&found, &at))
        return false;
    for (size_t i = 0; i < FIELD_COUNT; i++) {
        double value;
        if (!skip(&at, " ") || !skip(&at, fields[i].name) || !skip(&at, "=") || !read_number(&value, &at))
            return false;
        memcpy((char *)&found + fields[i].offset, &value, sizeof value);
    }
    if (!skip(&at, " why=") || strlen(at) >= sizeof found.why)
        return false;
    memcpy(found.why, at, strlen(at) + 1);
    *outcome = found;
    return true;
}
