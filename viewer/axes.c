#include "axes.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/units.h"

#define WIDER 4.0     /* a range that is gone through by factors: from what the plan says over this to times this */
#define THINNEST 0.02 /* ends that are left to the consistency [Pa s] */
#define THICKEST 40.0
#define LOW 0.4 /* of what the plan says: the ends of ranges that are gone through by steps */
#define HIGH 1.7
#define STEPS 7 /* about so many marks between them */

/* The unit that people read a dimension in. */
typedef struct reading {
    const char *unit;
    double size; /* of one in SI */
} reading;

static reading reading_of(rn_dimension dimension, bool ounces)
{
    switch (dimension) {
    case RN_DIM_VOLUME: return ounces ? (reading){"fl oz", RN_FLUID_OUNCE} : (reading){"ml", 1e-6};
    case RN_DIM_LENGTH: return (reading){"mm", 1e-3};
    case RN_DIM_TIME: return (reading){"s", 1};
    case RN_DIM_ANGLE: return (reading){"°", RN_DEGREE};
    case RN_DIM_RATE: return (reading){"rpm", RN_RPM};
    case RN_DIM_VISCOSITY: return (reading){"Pa·s", 1};
    case RN_DIM_SHARE: return (reading){"%", 0.01};
    case RN_DIM_PLAIN:
    case RN_DIM_COUNT:
    case RN_DIM_WEIGHT:
    case RN_DIM_STRESS:
    case RN_DIM_TENSION:
    case RN_DIM_DENSITY:
    case RN_DIM_PRICE:
    case RN_DIMENSIONS: break;
    }
    return (reading){"", 1};
}

bool axes_has_words(const rn_dial *dial)
{
    return strcmp(dial->path, "consistency") == 0;
}

/* ---- which ---- */

static void add(rv_axis list[AXES_MOST], int *count, const rn_plan *plan, const char *path, const char *words)
{
    rn_dial dial;
    rn_error err = {0};
    if (*count >= AXES_MOST || axes_dial(&dial, plan, path, &err) != RN_OK)
        return;
    rv_axis *axis = &list[(*count)++];
    snprintf(axis->path, sizeof axis->path, "%s", path);
    snprintf(axis->words, sizeof axis->words, "%s", words);
}

/* The moves of one kind, each told by when it begins where there are several. */
static void add_moves(rv_axis list[AXES_MOST], int *count, const rn_plan *plan, rn_move_kind kind, const char *key,
                      const char *words)
{
    char path[RN_DIAL_PATH], text[64];
    int all = 0;
    for (int k = 0; k < plan->move_count; k++)
        all += plan->moves[k].kind == kind;
    for (int k = 0; k < plan->move_count; k++) {
        if (plan->moves[k].kind != kind)
            continue;
        snprintf(path, sizeof path, "moves.%d.%s", k + 1, key);
        if (all > 1)
            snprintf(text, sizeof text, "%s at %.0f s", words, plan->moves[k].start);
        else
            snprintf(text, sizeof text, "%s", words);
        add(list, count, plan, path, text);
    }
}

int axes_list(rv_axis list[AXES_MOST], const rn_plan *plan)
{
    int count = 0;
    char path[RN_DIAL_PATH], words[64];
    add(list, &count, plan, "consistency", "consistency");
    add(list, &count, plan, "poured", "paint poured");
    add_moves(list, &count, plan, RN_MOVE_SPIN, "spin", "spin speed");
    add_moves(list, &count, plan, RN_MOVE_TURN, "turn", "turning speed");
    for (int k = 0; k < plan->pour_count && k < 2; k++) {
        snprintf(path, sizeof path, "pours.%d.across", k + 1);
        snprintf(words, sizeof words, plan->pour_count > 1 ? "diameter of ring %d" : "ring diameter", k + 1);
        add(list, &count, plan, path, words);
    }
    if (plan->base_count > 0) {
        add(list, &count, plan, "base.1.depth", "base coat depth");
        add(list, &count, plan, "base.1.volume", "base coat volume");
    }
    add_moves(list, &count, plan, RN_MOVE_TILT, "tilt", "tilt angle");
    return count;
}

/* ---- ranges ---- */

/* The step that takes about so many to go through a range: 1, 2 or 5 times a power of ten. */
static double step_of(double range, int most)
{
    const double power = pow(10, floor(log10(range / most)));
    static const double steps[] = {1, 2, 5, 10};
    for (int k = 0; k < 4; k++)
        if (range / (steps[k] * power) <= most)
            return steps[k] * power;
    return 10 * power;
}

static void by_factors(rn_dial *dial)
{
    const double now = dial->now > 0 ? dial->now : sqrt(THINNEST * THICKEST);
    const double from = fmin(fmax(now / WIDER, THINNEST), THICKEST / (WIDER * WIDER));
    dial->from = fmax(dial->from, from);
    dial->to = fmin(dial->to, from * WIDER * WIDER);
    dial->logarithmic = true;
}

static void by_steps(rn_dial *dial)
{
    const double size = reading_of(dial->dimension, false).size;
    const double step = step_of((HIGH - LOW) * dial->now / size, STEPS) * size;
    const double from = fmax(floor(LOW * dial->now / step), 0) * step, to = ceil(HIGH * dial->now / step) * step;
    dial->from = fmax(dial->from, from > 0 ? from : 0.5 * step);
    dial->to = fmin(dial->to, to);
    dial->logarithmic = false;
}

rn_status axes_dial(rn_dial *dial, const rn_plan *plan, const char *path, rn_error *err)
{
    rn_dial made;
    const rn_status status = rn_dial_make(&made, plan, path, NULL, NULL, err);
    if (status != RN_OK)
        return status;
    if (axes_has_words(&made))
        by_factors(&made);
    else if (made.now > 0)
        by_steps(&made);
    made.from = rn_dial_round(&made, made.from);
    made.to = rn_dial_round(&made, made.to);
    if (!(made.from < made.to))
        return rn_fail(err, RN_E_PLAN, "%s has no room to either side", path);
    *dial = made;
    return RN_OK;
}

/* ---- words ---- */

const char *axes_unit(const rn_dial *dial, bool ounces)
{
    return reading_of(dial->dimension, ounces).unit;
}

static void number(char *text, int size, double value, double step)
{
    const int places = step >= 1 ? 0 : (int)fmin(ceil(-log10(step) - 1e-9), 6);
    snprintf(text, (size_t)size, "%.*f", places, value);
}

void axes_text(char *text, int size, const rn_dial *dial, double value, bool ounces)
{
    const reading as = reading_of(dial->dimension, ounces);
    char figure[40];
    const double shown = value / as.size;
    const double digit = shown > 0 ? pow(10, floor(log10(shown)) - (shown >= 100 && shown < 1000 ? 2 : 1)) : 1;
    if (dial->logarithmic) {
        snprintf(figure, sizeof figure, "%.3g", round(shown / digit) * digit);
    } else {
        number(figure, sizeof figure, shown, fmax(fmin(step_of((dial->to - dial->from) / as.size, 250), 1), 1e-3));
        const size_t length = strlen(figure);
        if (length > 2 && strcmp(figure + length - 2, ".0") == 0)
            figure[length - 2] = '\0';
    }
    snprintf(text, (size_t)size, "%s%s%s%s", dial->negative ? "↻ " : "", figure,
             as.unit[0] && strcmp(as.unit, "°") != 0 ? "\u00a0" : "", as.unit);
}

int axes_marks(rv_axis_mark marks[AXES_MARKS], const rn_dial *dial, double from, double to, int most, bool ounces)
{
    static const double tens[] = {1, 1.5, 2, 3, 5, 7};
    const reading as = reading_of(dial->dimension, ounces);
    int count = 0;
    from /= as.size;
    to /= as.size;
    if (!dial->logarithmic) {
        const double step = step_of(to - from, most);
        for (double k = ceil(from / step - 1e-6); k * step <= to + 1e-6 * step && count < AXES_MARKS; k++) {
            marks[count].value = k * step * as.size;
            number(marks[count++].text, sizeof marks->text, k * step, step);
        }
        return count;
    }
    for (double power = pow(10, floor(log10(from))); power <= to && count < AXES_MARKS; power *= 10)
        for (size_t k = 0; k < sizeof tens / sizeof *tens && count < AXES_MARKS; k++) {
            const double value = tens[k] * power;
            if (value < from * (1 - 1e-9) || value > to * (1 + 1e-9))
                continue;
            marks[count].value = value * as.size;
            snprintf(marks[count++].text, sizeof marks->text, "%.3g", value);
        }
    return count;
}
