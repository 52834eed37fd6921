#include "search/dial.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "search/doubt_target.h"

#define TIMES_POURED 8
#define DEPTH_MOST 8e-3 /* of a film that any volume is tried for [m] */
#define TIMES_OTHERS 16
#define BY_FACTORS 3 /* ranges that span more than this factor are gone through by factors */

/* What one of the dimension's own unit is in SI; 1 for plain numbers. */
static double unit_of(rn_dimension dimension)
{
    const rn_unit *unit = rn_units_own(dimension);
    return unit ? unit->factor : 1;
}

double rn_dial_round_to(const rn_dial *dial, double value, int digits)
{
    char text[40];
    const double unit = unit_of(dial->dimension);
    if (dial->whole)
        return round(value);
    snprintf(text, sizeof text, "%.*g", digits, value / unit);
    return strtod(text, NULL) * unit;
}

double rn_dial_round(const void *dial, double value)
{
    return rn_dial_round_to(dial, value, RN_DIAL_DIGITS);
}

bool rn_dial_is_poured(const rn_dial *dial)
{
    return strcmp(dial->path, "poured") == 0;
}

double rn_dial_at(const rn_dial *dial, double share)
{
    if (dial->logarithmic)
        return dial->from * pow(dial->to / dial->from, share);
    return dial->from + share * (dial->to - dial->from);
}

double rn_dial_share(const rn_dial *dial, double value)
{
    if (dial->logarithmic)
        return log(value / dial->from) / log(dial->to / dial->from);
    return (value - dial->from) / (dial->to - dial->from);
}

double rn_dial_signed(const rn_dial *dial, double value)
{
    return dial->negative ? -value : value;
}

/* With all its digits. */
static void write_value(char *text, int size, const rn_dial *dial, double value)
{
    rn_units_write(text, size, rn_dial_signed(dial, value), dial->dimension, NULL);
}

void rn_dial_text(char *text, int size, const rn_dial *dial, double value)
{
    if (dial->whole)
        write_value(text, size, dial, value);
    else
        rn_units_round(text, size, rn_dial_signed(dial, value), dial->dimension, NULL, RN_DIAL_DIGITS);
}

static bool is_spin(const rn_dial *dial)
{
    const size_t length = strlen(dial->path);
    return strncmp(dial->path, "moves.", 6) == 0 && strcmp(dial->path + length - 5, ".spin") == 0;
}

/* Nothing is searched that the key's table, or the plan's limit of spin, forbids. */
static void bound(rn_dial *dial, const rn_plan *plan, const rn_plan_number *number)
{
    double least = number->least, most = number->most;
    if (dial->negative)
        most = -number->least;
    if (dial->dimension == RN_DIM_RATE)
        least = 0;
    if (is_spin(dial) && !isnan(plan->limits.spin))
        most = fmin(most, plan->limits.spin);
    if (!isnan(least))
        dial->from = fmax(dial->from, least);
    if (!isnan(most))
        dial->to = fmin(dial->to, most);
}

static void usual_range(rn_dial *dial, const rn_plan *plan)
{
    if (rn_dial_is_poured(dial)) {
        dial->from = dial->now / TIMES_POURED;
        dial->to = fmax(TIMES_POURED * dial->now, DEPTH_MOST * rn_panel_area(&plan->panel));
    } else if (dial->now > 0) {
        dial->from = dial->now / TIMES_OTHERS;
        dial->to = dial->now * TIMES_OTHERS;
    } else {
        dial->from = 0;
        dial->to = INFINITY;
    }
    if (dial->whole)
        dial->from = floor(dial->from);
}

static rn_status read_end(double *end, const rn_dial *dial, const char *text, rn_error *err)
{
    double value;
    rn_error why = {0};
    if (rn_units_read(&value, NULL, text, dial->dimension, 0, &why))
        return rn_fail(err, RN_E_PLAN, "%s: %s", dial->path, why.message);
    *end = dial->negative && value < 0 ? -value : value; /* "10 rpm" of a turn the other way round is its speed */
    return RN_OK;
}

static rn_status check(const rn_dial *dial, rn_error *err)
{
    char from[60], to[60];
    if (dial->from < dial->to && isfinite(dial->to) && dial->from >= 0)
        return RN_OK;
    if (!isfinite(dial->to))
        return rn_fail(err, RN_E_PLAN, "%s has no bounds of its own: say from where to where", dial->path);
    rn_dial_text(from, sizeof from, dial, dial->from);
    rn_dial_text(to, sizeof to, dial, dial->to);
    return rn_fail(err, RN_E_PLAN, "%s from %s to %s is no range to search", dial->path, from, to);
}

static bool by_factors(const rn_dial *dial)
{
    return !dial->whole && dial->from > 0 && dial->to > BY_FACTORS * dial->from;
}

rn_status rn_dial_narrow(rn_dial *dial, double from, double to, rn_error *err)
{
    rn_dial made = *dial;
    made.from = fmax(made.from, rn_dial_round(dial, dial->whole ? floor(from) : from));
    made.to = fmin(made.to, rn_dial_round(dial, dial->whole ? ceil(to) : to));
    const rn_status status = check(&made, err);
    if (status)
        return status;
    made.logarithmic = by_factors(&made);
    *dial = made;
    return RN_OK;
}

rn_status rn_dial_make(rn_dial *dial, const rn_plan *plan, const char *path, const char *from, const char *to,
                       rn_error *err)
{
    rn_plan_number number;
    rn_dial made = {0};
    rn_status status = rn_plan_number_at(&number, plan, path, err);
    if (status)
        return status;
    if (strlen(path) >= sizeof made.path)
        return rn_fail(err, RN_E_PLAN, "the path '%.60s...' is too long", path);
    memcpy(made.path, path, strlen(path) + 1);
    made.dimension = number.dimension;
    made.whole = number.whole;
    made.negative = number.dimension == RN_DIM_RATE && number.value < 0;
    made.now = fabs(number.value);
    if (rn_dial_is_poured(&made) && !(made.now > 0))
        return rn_fail(err, RN_E_PLAN, "nothing is poured in this plan, so there is no volume to look for");
    usual_range(&made, plan);
    if (from)
        status = read_end(&made.from, &made, from, err);
    if (to && status == RN_OK)
        status = read_end(&made.to, &made, to, err);
    if (status)
        return status;
    if (from && to && made.from > made.to) {
        const double swapped = made.from;
        made.from = made.to;
        made.to = swapped;
    }
    const double least = made.from, most = made.to;
    bound(&made, plan, &number);
    made.cut = (from && made.from > least) || (to && made.to < most);
    status = check(&made, err);
    if (status)
        return status;
    made.from = rn_dial_round(&made, made.from);
    made.to = rn_dial_round(&made, made.to);
    bound(&made, plan, &number); /* digits are not to lead past what is forbidden */
    made.logarithmic = by_factors(&made);
    *dial = made;
    return RN_OK;
}

rn_status rn_dial_turn(rn_plan **turned, const rn_dial *dial, const rn_plan *plan, double value, rn_error *err)
{
    char text[60];
    rn_plan *made = rn_plan_copy(plan);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    if (dial->with_base && dial->now > 0)
        for (int i = 0; i < made->base_count; i++) { /* one of the two is NaN and stays so */
            made->bases[i].volume *= value / dial->now;
            made->bases[i].depth *= value / dial->now;
        }
    write_value(text, sizeof text, dial, value);
    const rn_status status = rn_plan_set(made, dial->path, text, err);
    if (status == RN_OK)
        *turned = made;
    else
        rn_plan_free(made);
    return status;
}

rn_status rn_dial_must_turn(rn_plan **turned, const rn_dial *dial, const rn_plan *plan, double value, rn_error *err)
{
    char text[60];
    rn_error why = {0};
    const rn_status status = rn_dial_turn(turned, dial, plan, value, &why);
    if (status == RN_OK)
        return RN_OK;
    rn_dial_text(text, sizeof text, dial, value);
    return rn_fail(err, status, "%s %s makes no plan, so the range must be less: %s", dial->path, text, why.message);
}

/* Whether turning one changes what is behind the other; a whole number stands for itself. */
static bool moves(const rn_dial *one, const rn_dial *other, const rn_plan *plan)
{
    const double tries[] = {one->from, one->to, 0.5 * (one->from + one->to)}; /* some may make no plan */
    rn_target behind[RN_TARGETS_MOST];
    const int count = rn_targets_behind(behind, plan, other->path);
    rn_plan *turned = NULL;
    rn_plan_number now;
    for (int t = 0; t < 3 && !turned; t++)
        if (tries[t] != one->now && rn_dial_turn(&turned, one, plan, tries[t], NULL))
            turned = NULL;
    if (!turned)
        return false;
    const bool changed =
        rn_targets_changed(behind, count, turned) ||
        (other->whole && rn_plan_number_at(&now, turned, other->path, NULL) == RN_OK && fabs(now.value) != other->now);
    rn_plan_free(turned);
    return changed;
}

bool rn_dial_alike(const rn_dial *one, const rn_dial *other, const rn_plan *plan)
{
    return strcmp(one->path, other->path) == 0 || (moves(one, other, plan) && moves(other, one, plan));
}
