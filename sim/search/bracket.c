/* Points are told along an axis on which the goal is met from some place on: the value or its logarithm, turned round where
   small values meet it. */
#include "search/bracket.h"

#include <math.h>

#define ALIKE 1e-12     /* values nearer than this, as a share, are one */
#define HINT_LEAST 0.05 /* what a first step is a share of is no less than this part of the range */
#define STEP_LEAST 1e-6 /* of a step outward, as a share of the range */

static double along(const rn_bracket *b, double value)
{
    const double place = b->logarithmic ? log(value) : value;
    return b->falling ? -place : place;
}

static double back(const rn_bracket *b, double place)
{
    const double value = b->falling ? -place : place;
    return b->logarithmic ? exp(value) : value;
}

static bool alike(double a, double b)
{
    return fabs(a - b) <= ALIKE * fmax(fabs(a), fabs(b));
}

void rn_bracket_tell(rn_bracket *bracket, double value, bool met)
{
    if (bracket->count == RN_BRACKET_MOST)
        return;
    bracket->told[bracket->count] = value;
    bracket->met[bracket->count++] = met;
}

/* The last place that does not meet the goal, and the first beyond it that does; NaN where there is none. */
static void find_ends(double *unmet, double *met, const rn_bracket *b)
{
    *unmet = *met = NAN;
    for (int i = 0; i < b->count; i++)
        if (!b->met[i] && !(along(b, b->told[i]) <= *unmet))
            *unmet = along(b, b->told[i]);
    for (int i = 0; i < b->count; i++) {
        const double place = along(b, b->told[i]);
        if (b->met[i] && !(place <= *unmet) && !(place >= *met))
            *met = place;
    }
}

rn_bracket_state rn_bracket_found(double *met, double *unmet, const rn_bracket *bracket)
{
    double last, first;
    find_ends(&last, &first, bracket);
    *unmet = *met = NAN;
    for (int i = 0; i < bracket->count; i++) { /* the very values that were told */
        if (along(bracket, bracket->told[i]) == last)
            *unmet = bracket->told[i];
        if (along(bracket, bracket->told[i]) == first)
            *met = bracket->told[i];
    }
    if (bracket->count == 0)
        return RN_BRACKET_OPEN;
    if (isnan(first))
        return RN_BRACKET_NONE;
    return isnan(last) ? RN_BRACKET_ALL : RN_BRACKET_FOUND;
}

bool rn_bracket_jumps(double *first, const rn_bracket *bracket)
{
    double last, beyond, place = NAN;
    find_ends(&last, &beyond, bracket);
    for (int i = 0; i < bracket->count; i++) {
        const double at = along(bracket, bracket->told[i]);
        if (bracket->met[i] && at < last && !(at >= place)) {
            place = at;
            *first = bracket->told[i];
        }
    }
    return !isnan(place);
}

/* A place as a value with its digits, within the range. */
static double value_at(const rn_bracket *b, double place)
{
    double value = back(b, place);
    if (b->round)
        value = b->round(b->round_context, value);
    return fmin(fmax(value, b->from), b->to);
}

static void add(double points[2], int *count, const rn_bracket *b, double value)
{
    for (int i = 0; i < b->count; i++)
        if (alike(b->told[i], value))
            return;
    for (int i = 0; i < *count; i++)
        if (alike(points[i], value))
            return;
    points[(*count)++] = value;
}

/* Only what lies strictly between, its digits given. */
static void add_between(double points[2], int *count, const rn_bracket *b, double place, double low, double high)
{
    const double value = value_at(b, place);
    if (along(b, value) > low && along(b, value) < high)
        add(points, count, b, value);
}

static int ask_between(double points[2], const rn_bracket *b, double unmet, double met)
{
    const double value = back(b, met), enough = fmax(b->absolute, b->share * fabs(value));
    const double width = fabs(value - back(b, unmet));
    int count = 0;
    if (width <= enough * (1 + 1e-9))
        return 0;
    if (width > 2 * enough) {
        add_between(points, &count, b, unmet + (met - unmet) / 3, unmet, met);
        add_between(points, &count, b, met - (met - unmet) / 3, unmet, met);
    }
    if (count == 0)
        add_between(points, &count, b, 0.5 * (unmet + met), unmet, met);
    return count;
}

/* From what has been tried outward, by as much again and by twice that; by more where the digits of a value do not tell so
   small a step. */
static int ask_outward(double points[2], const rn_bracket *b, int sign, double first)
{
    double low = INFINITY, high = -INFINITY;
    int count = 0;
    for (int i = 0; i < b->count; i++) {
        low = fmin(low, along(b, b->told[i]));
        high = fmax(high, along(b, b->told[i]));
    }
    const double least = fmin(along(b, b->from), along(b, b->to)), most = fmax(along(b, b->from), along(b, b->to));
    const double edge = sign > 0 ? high : low, room = sign > 0 ? most - edge : edge - least;
    double step = fmax(fmax(first, high - low), STEP_LEAST * (most - least));
    while (count == 0 && room > 0) {
        add(points, &count, b, value_at(b, fmin(fmax(edge + sign * step, least), most)));
        add(points, &count, b, value_at(b, fmin(fmax(edge + 2 * sign * step, least), most)));
        if (step > room)
            break;
        step *= 2;
    }
    return count;
}

rn_bracket rn_bracket_of_dial(const rn_dial *dial, double hint, double first, double share, double absolute)
{
    const double near = fmin(fmax(hint, dial->from), dial->to);
    const double least = HINT_LEAST * (dial->to - dial->from);
    return (rn_bracket){.from = dial->from,
                        .to = dial->to,
                        .logarithmic = dial->logarithmic,
                        .hint = near,
                        .first = dial->logarithmic ? first : first * fmax(near, least),
                        .absolute = absolute,
                        .share = share,
                        .round = rn_dial_round,
                        .round_context = dial};
}

int rn_bracket_ask(double points[2], const rn_bracket *bracket)
{
    const double first = bracket->logarithmic ? log1p(bracket->first) : bracket->first;
    const double hint = along(bracket, bracket->hint);
    double unmet, met;
    int count = 0;
    if (bracket->count + 2 > RN_BRACKET_MOST)
        return 0;
    if (bracket->count == 0) {
        add(points, &count, bracket, value_at(bracket, hint - first));
        add(points, &count, bracket, value_at(bracket, hint + first));
        return count;
    }
    find_ends(&unmet, &met, bracket);
    if (!isnan(unmet) && !isnan(met))
        return ask_between(points, bracket, unmet, met);
    return ask_outward(points, bracket, isnan(met) ? 1 : -1, first);
}
