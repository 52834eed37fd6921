#include "search/outcome.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* What a number of any run can be [SI]. The plan's own bounds, which are closer, are those of rn_outcome_strange. */
typedef enum range {
    SHARE,  /* 0..1 */
    TIME,   /* 0 to more than the day that a plan may last */
    DEPTH,  /* 0 to more than any panel is wide */
    VOLUME, /* 0 to more than all stacks and base coats may hold */
    PLAIN,  /* 0 and up, as long as it is a number */
} range;

static const double most_of[] = {[SHARE] = 1, [TIME] = 1e6, [DEPTH] = 1e3, [VOLUME] = 1e3, [PLAIN] = 1e12};

#define ROUNDING 1e-9 /* of what is added up, as a share */
#define CELLS_COAT 2  /* a base coat is laid on whole cells, which may hold more than its outline; far less than this */

typedef struct field {
    const char *name;
    size_t offset;
    range range;
    bool may_lack; /* NaN: there is none */
} field;

#define FIELD(name, range, may_lack)                                                                                   \
    {                                                                                                                  \
#name, offsetof(rn_outcome, name), range, may_lack                                                             \
    }

/* The numbers in the order of the line. */
static const field fields[] = {
    FIELD(duration, TIME, false),
    FIELD(cover, DEPTH, false),
    FIELD(coverage, SHARE, false),
    FIELD(covered_at, TIME, true),
    FIELD(best_coverage, SHARE, false),
    FIELD(best_at, TIME, true),
    FIELD(base, VOLUME, false),
    FIELD(poured, VOLUME, false),
    FIELD(on_panel, VOLUME, false),
    FIELD(on_sides, VOLUME, false),
    FIELD(run_off, VOLUME, false),
    FIELD(run_off_by_side[0], VOLUME, false),
    FIELD(run_off_by_side[1], VOLUME, false),
    FIELD(run_off_by_side[2], VOLUME, false),
    FIELD(run_off_by_side[3], VOLUME, false),
    FIELD(mean, DEPTH, false),
    FIELD(thinnest, DEPTH, false),
    FIELD(deepest, DEPTH, false),
    FIELD(corner[0], DEPTH, false),
    FIELD(corner[1], DEPTH, false),
    FIELD(corner[2], DEPTH, false),
    FIELD(corner[3], DEPTH, false),
    FIELD(corner_at[0], TIME, true),
    FIELD(corner_at[1], TIME, true),
    FIELD(corner_at[2], TIME, true),
    FIELD(corner_at[3], TIME, true),
    FIELD(side_coverage, SHARE, true),
    FIELD(still_moving, PLAIN, false),
    FIELD(stretch, PLAIN, true),
    FIELD(twist, PLAIN, true),
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
    if (end == *at || number < 0 || number > RN_GRID_MOST)
        return false;
    *count = (int)number;
    *at = end;
    return true;
}

/* A number as it is written, without a sign or a space before it that none has. */
static bool read_number(double *number, const char **at)
{
    char *end;
    *number = strtod(*at, &end);
    if (end == *at || strchr(" \t+", **at))
        return false;
    *at = end;
    return true;
}

static bool in_range(const field *f, double value)
{
    return isnan(value) ? f->may_lack : value >= 0 && value <= most_of[f->range] * (1 + ROUNDING);
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
        if (!skip(&at, " ") || !skip(&at, fields[i].name) || !skip(&at, "=") || !read_number(&value, &at) ||
            !in_range(&fields[i], value))
            return false;
        memcpy((char *)&found + fields[i].offset, &value, sizeof value);
    }
    if (!skip(&at, " why=") || strlen(at) >= sizeof found.why || !rn_text_printable(at))
        return false;
    memcpy(found.why, at, strlen(at) + 1);
    *outcome = found;
    return true;
}

static bool is_more(double value, double most)
{
    return value > most * (1 + ROUNDING);
}

/* Whether what came is there again, on the panel and off it. */
static bool balances(const rn_outcome *o)
{
    double sides = 0;
    const double all = o->base + o->poured;
    for (int s = 0; s < RN_SIDES; s++)
        sides += o->run_off_by_side[s];
    return fabs(all - o->on_panel - o->run_off) <= ROUNDING * all && fabs(sides - o->run_off) <= ROUNDING * all;
}

const char *rn_outcome_strange(const rn_outcome *o, const rn_plan *plan, int cells)
{
    rn_grid grid;
    if (o->state != RN_OUTCOME_WHOLE && o->state != RN_OUTCOME_DECIDED)
        return NULL;
    if (rn_grid_make(&grid, plan->panel.width, plan->panel.height, cells, NULL) || o->nx != grid.nx || o->ny != grid.ny)
        return "grid";
    if (is_more(o->duration, plan->end))
        return "duration";
    if (o->cover != plan->cover)
        return "cover";
    if (is_more(o->covered_at, o->duration) || is_more(o->best_at, o->duration))
        return "moment";
    if (isnan(o->side_coverage) != (plan->panel.edges != RN_EDGE_WRAPPED))
        return "side coverage";
    if (is_more(o->coverage, o->best_coverage))
        return "coverage";
    if (is_more(o->base, CELLS_COAT * rn_plan_based_all(plan)) || is_more(o->poured, rn_plan_poured_all(plan)) ||
        is_more(o->on_sides, o->on_panel) || !balances(o))
        return "volume";
    if (is_more(o->thinnest, o->mean) || is_more(o->mean, o->deepest) ||
        is_more(o->deepest * grid.dx * grid.dy, o->on_panel))
        return "depth";
    for (int c = 0; c < RN_CORNERS; c++)
        if (is_more(o->corner[c], o->deepest) || is_more(o->corner_at[c], o->duration))
            return "corner";
    return NULL;
}
