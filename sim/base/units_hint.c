#include "base/units_hint.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"

#define INCH 0.0254   /* exact [nist811] */
#define UNITS_MOST 40 /* names of one dimension's units */

/* Units of which a hint speaks, in the order in which painters are likely to mean them; few use the rare ones. */
static const struct {
    const char *name;
    bool rare;
} offered[] = {{"mm", false},    {"cm", false},       {"in", false},    {"m", true},     {"ft", true},
               {"um", true},     {"ml", false},       {"fl oz", false}, {"l", false},    {"s", false},
               {"min", false},   {"h", true},         {"deg", false},   {"rad", true},   {"rpm", false},
               {"deg/s", true},  {"Pa s", false},     {"mPa s", false}, {"Pa", false},   {"mPa", true},
               {"mN/m", false},  {"N/m", true},       {"g/ml", false},  {"kg/m3", true}, {"per ml", false},
               {"per l", false}, {"per fl oz", false}};

/* Units that people write and that are not read: what they are, so that a hint can turn them into some that are. */
static const struct {
    const char *name;
    rn_dimension dimension;
    double factor; /* SI value of one */
    bool american; /* elsewhere it is another */
} foreign[] = {
    {"lb", RN_DIM_WEIGHT, 0.45359237, false}, /* exact, as those that follow [nist811] */
    {"lbs", RN_DIM_WEIGHT, 0.45359237, false},
    {"pound", RN_DIM_WEIGHT, 0.45359237, false},
    {"pounds", RN_DIM_WEIGHT, 0.45359237, false},
    {"mg", RN_DIM_WEIGHT, 1e-6, false},
    {"gram", RN_DIM_WEIGHT, 1e-3, false},
    {"grams", RN_DIM_WEIGHT, 1e-3, false},
    {"us", RN_DIM_TIME, 1e-6, false},
    {"ms", RN_DIM_TIME, 1e-3, false},
    {"msec", RN_DIM_TIME, 1e-3, false},
    {"hr", RN_DIM_TIME, 3600, false},
    {"hrs", RN_DIM_TIME, 3600, false},
    {"day", RN_DIM_TIME, 86400, false},
    {"days", RN_DIM_TIME, 86400, false},
    {"nm", RN_DIM_LENGTH, 1e-9, false},
    {"micron", RN_DIM_LENGTH, 1e-6, false},
    {"microns", RN_DIM_LENGTH, 1e-6, false},
    {"mil", RN_DIM_LENGTH, INCH / 1000, false},
    {"mils", RN_DIM_LENGTH, INCH / 1000, false},
    {"thou", RN_DIM_LENGTH, INCH / 1000, false},
    {"yd", RN_DIM_LENGTH, 36 * INCH, false},
    {"dm", RN_DIM_LENGTH, 0.1, false},
    {"km", RN_DIM_LENGTH, 1e3, false},
    {"ul", RN_DIM_VOLUME, 1e-9, false},
    {"tsp", RN_DIM_VOLUME, RN_FLUID_OUNCE / 6, true},
    {"tbsp", RN_DIM_VOLUME, RN_FLUID_OUNCE / 2, true},
    {"cup", RN_DIM_VOLUME, 8 * RN_FLUID_OUNCE, true},
    {"cups", RN_DIM_VOLUME, 8 * RN_FLUID_OUNCE, true},
    {"pt", RN_DIM_VOLUME, 16 * RN_FLUID_OUNCE, true},
    {"pint", RN_DIM_VOLUME, 16 * RN_FLUID_OUNCE, true},
    {"pints", RN_DIM_VOLUME, 16 * RN_FLUID_OUNCE, true},
    {"qt", RN_DIM_VOLUME, 32 * RN_FLUID_OUNCE, true},
    {"quart", RN_DIM_VOLUME, 32 * RN_FLUID_OUNCE, true},
    {"gal", RN_DIM_VOLUME, 128 * RN_FLUID_OUNCE, true},
    {"gallon", RN_DIM_VOLUME, 128 * RN_FLUID_OUNCE, true},
    {"rps", RN_DIM_RATE, 60 * RN_RPM, false},
    {"rev/s", RN_DIM_RATE, 60 * RN_RPM, false},
    {"rev/min", RN_DIM_RATE, RN_RPM, false},
    {"r/min", RN_DIM_RATE, RN_RPM, false},
    {"kPa s", RN_DIM_VISCOSITY, 1e3, false},
    {"poise", RN_DIM_VISCOSITY, 0.1, false},
    {"centipoise", RN_DIM_VISCOSITY, 1e-3, false},
    {"cps", RN_DIM_VISCOSITY, 1e-3, false}, /* common practice, no source: centipoise */
    {"kPa", RN_DIM_STRESS, 1e3, false},
    {"g/cc", RN_DIM_DENSITY, 1e3, false},
    {"lb/gal", RN_DIM_DENSITY, 0.45359237 / (128 * RN_FLUID_OUNCE), true},
    {"per litre", RN_DIM_PRICE, 1e3, false},
    {"per liter", RN_DIM_PRICE, 1e3, false},
    {"per cup", RN_DIM_PRICE, 1 / (8 * RN_FLUID_OUNCE), true},
    {"per pint", RN_DIM_PRICE, 1 / (16 * RN_FLUID_OUNCE), true},
    {"per gal", RN_DIM_PRICE, 1 / (128 * RN_FLUID_OUNCE), true},
    {"per gallon", RN_DIM_PRICE, 1 / (128 * RN_FLUID_OUNCE), true},
};

const char *rn_hint_article(const char *noun)
{
    return strchr("aeiou", noun[0]) ? "an" : "a";
}

int rn_units_likely(const rn_unit *likely[RN_LIKELY_MOST], double number, rn_dimension dimension, const rn_usual *usual)
{
    int count = 0;
    const double slack = 1 + 1e-9; /* limits are likely too, in whatever unit they are written */
    for (int rare = 0; rare < 2 && count == 0; rare++)
        for (size_t i = 0; i < sizeof offered / sizeof offered[0] && count < RN_LIKELY_MOST; i++) {
            const rn_unit *unit = rn_units_find(offered[i].name, dimension);
            const double value = fabs(number) * unit->factor;
            if (unit->dimension == dimension && offered[i].rare == rare && value * slack >= usual->least &&
                value <= usual->most * slack)
                likely[count++] = unit;
        }
    return count;
}

/* "0:30" on a clock: the readings that are usual, or both. */
rn_status rn_hint_clock(const char *text, rn_dimension dimension, const rn_usual *usual, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], right[40];
    rn_text_quote(quoted, text);
    long minutes, seconds;
    char rest;
    if (dimension != RN_DIM_TIME || sscanf(text, "%4ld:%4ld%c", &minutes, &seconds, &rest) != 2)
        return rn_fail(err, RN_E_PLAN, "'%s' is no %s: write for example %s", quoted, rn_dimension_name(dimension),
                       usual->example);
    const long total = minutes * 60 + seconds;
    if ((double)total * 60 <= usual->most)
        return rn_fail(err, RN_E_PLAN, "'%s' could be minutes or hours: write %ld s or %ld min", quoted, total, total);
    snprintf(right, sizeof right, "%ld s", total);
    return rn_fail_right(err, RN_E_PLAN, text, right, "'%s' is written as a clock has it: did you mean %s?", quoted,
                         right);
}

/* Whether each comma has three digits after it, as those between thousands have, and more than a 0 before it. */
static bool sets_thousands(const char *number)
{
    const char *c = number + strspn(number, "+-");
    if (*c == '0' || strspn(c, "0123456789") > 3)
        return false;
    for (c = strchr(c, ','); c && *c == ','; c += 4)
        if (strspn(c + 1, "0123456789") != 3)
            return false;
    return true;
}

rn_status rn_hint_comma(const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], pointed[RN_QUOTE_SIZE], joined[RN_QUOTE_SIZE];
    rn_text_quote(quoted, text);
    rn_text_quote(pointed, text);
    char *to = joined;
    for (const char *c = pointed; *c; c++)
        if (*c != ',')
            *to++ = *c;
    *to = '\0';
    const bool one = strchr(pointed, ',') == strrchr(pointed, ','), thousands = sets_thousands(pointed);
    *strchr(pointed, ',') = '.';
    if (thousands && one)
        return rn_fail(err, RN_E_PLAN, "'%s' has a comma: did you mean %s or %s?", quoted, joined, pointed);
    if (!one && !thousands)
        return rn_fail(err, RN_E_PLAN, "'%s' has commas: write a number with a decimal point", quoted);
    if (strstr(quoted, "..."))
        return rn_fail(err, RN_E_PLAN, "'%s' has a decimal comma: write a point", quoted);
    return rn_fail_right(err, RN_E_PLAN, text, one ? pointed : joined,
                         one ? "'%s' has a decimal comma: write %s" : "'%s' has commas: write %s", quoted,
                         one ? pointed : joined);
}

/* A share below 1 may be a part of one or per cent; nobody can tell. */
static rn_status bare_share(const char *written, double number, const rn_usual *usual, rn_error *err)
{
    char right[60];
    if (number > 0 && number <= 1)
        return rn_fail(err, RN_E_PLAN, "'%s' has no unit: did you mean %.6g %% or %s %%?", written, 100 * number,
                       written);
    if (number < 0 || number > 100)
        return rn_fail(err, RN_E_PLAN, "'%s' has no unit: a share goes from 0 %% to 100 %%, for example %s", written,
                       usual->example);
    snprintf(right, sizeof right, "%.50s %%", written);
    return rn_fail_right(err, RN_E_PLAN, written, right, "'%s' has no unit: did you mean %s?", written, right);
}

/* Asks what was meant, with every reading that is usual; a unit glued on blindly would be followed blindly. */
rn_status rn_hint_bare(const char *text, double number, rn_dimension dimension, const rn_usual *usual, rn_error *err)
{
    char written[RN_QUOTE_SIZE], readings[4 * RN_QUOTE_SIZE] = "", all[80] = "", right[RN_QUOTE_SIZE + 80];
    const rn_unit *likely[RN_LIKELY_MOST], *own = rn_units_own(dimension);
    rn_text_quote(written, text);
    for (size_t n = strlen(written); n > 0 && written[n - 1] == ' '; n--)
        written[n - 1] = '\0';
    memmove(written, written + strspn(written, " "), strlen(written + strspn(written, " ")) + 1);
    if (dimension == RN_DIM_SHARE)
        return bare_share(written, number, usual, err);
    const int count = number == 0 ? 0 : rn_units_likely(likely, number, dimension, usual);
    for (int i = 0, used = 0; i < count; i++)
        used += snprintf(readings + used, sizeof readings - (size_t)used, "%s%s %s",
                         i == 0           ? ""
                         : i == count - 1 ? " or "
                                          : ", ",
                         written, likely[i]->name);
    if (count > 1)
        return rn_fail(err, RN_E_PLAN, "'%s' has no unit: did you mean %s?", written, readings);
    if (count == 1) {
        char also[60] = "", value[48];
        if (likely[0] != own && dimension != RN_DIM_LENGTH)
            snprintf(also, sizeof also, ", which is %s",
                     rn_units_round(value, sizeof value, number * likely[0]->factor, dimension, own, 3));
        snprintf(right, sizeof right, "%s %s", written, likely[0]->name);
        return rn_fail_right(err, RN_E_PLAN, written, right, "'%s' has no unit: did you mean %s%s?", written, right,
                             also);
    }
    int units = 0, told = 0;
    for (size_t i = 0; i < sizeof offered / sizeof offered[0]; i++)
        units += rn_units_find(offered[i].name, dimension)->dimension == dimension;
    for (size_t i = 0, used = 0; i < sizeof offered / sizeof offered[0]; i++)
        if (rn_units_find(offered[i].name, dimension)->dimension == dimension) {
            const char *gap = told == 0 ? "" : told + 1 == units ? " or " : ", ";
            used += (size_t)snprintf(all + used, sizeof all - used, "%s%s", gap, offered[i].name);
            told++;
        }
    return rn_fail(err, RN_E_PLAN, "'%s' has no unit: %s %s takes %s, for example %s", written,
                   rn_hint_article(rn_dimension_name(dimension)), rn_dimension_name(dimension), all, usual->example);
}

/* A unit that is known but not read, turned into one that is; RN_OK if it is none. */
static rn_status fail_foreign(const char *text, const char *unit_text, double number, rn_dimension dimension,
                              bool weighed, const rn_usual *usual, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], right[60];
    rn_text_quote(quoted, text);
    const char *name = rn_dimension_name(dimension);
    for (size_t i = 0; i < sizeof foreign / sizeof foreign[0]; i++) {
        if (!rn_text_same(foreign[i].name, unit_text))
            continue;
        const rn_dimension found = foreign[i].dimension;
        if (found == RN_DIM_WEIGHT && dimension == RN_DIM_VOLUME && !weighed)
            return rn_fail(err, RN_E_PLAN, "'%s' is a weight, and no density is known here: write for example %s",
                           quoted, usual->example);
        if (found != dimension && !(found == RN_DIM_WEIGHT && dimension == RN_DIM_VOLUME))
            return rn_fail(err, RN_E_PLAN, "'%s' is %s %s where %s %s is wanted: write for example %s", quoted,
                           rn_hint_article(rn_dimension_name(found)), rn_dimension_name(found), rn_hint_article(name),
                           name, usual->example);
        rn_units_round(right, sizeof right, number * foreign[i].factor, found, NULL, 4);
        if (foreign[i].american)
            return rn_fail(err, RN_E_PLAN, "unknown unit '%s' in '%s': by the American measure that is %s", unit_text,
                           quoted, right);
        return rn_fail_right(err, RN_E_PLAN, text, right, "unknown unit '%s' in '%s': that is %s", unit_text, quoted,
                             right);
    }
    return RN_OK;
}

rn_status rn_hint_unit(const char *text, const char *unit_text, const rn_unit *unit, double number,
                       rn_dimension dimension, bool weighed, const rn_usual *usual, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], quoted_unit[RN_QUOTE_SIZE];
    rn_text_quote(quoted, text);
    rn_text_quote(quoted_unit, unit_text);
    const char *name = rn_dimension_name(dimension), *example = usual->example;
    if (dimension == RN_DIM_PLAIN && strcmp(unit_text, "%") == 0) {
        char right[40];
        snprintf(right, sizeof right, "%.6g", number / 100);
        return rn_fail_right(err, RN_E_PLAN, text, right,
                             "'%s' is a share where a plain number is wanted: did you mean %s?", quoted, right);
    }
    if (dimension == RN_DIM_PLAIN || dimension == RN_DIM_COUNT)
        return rn_fail(err, RN_E_PLAN, "'%s' has a unit where %s %s is wanted: write for example %s", quoted,
                       rn_hint_article(name), name, example);
    if (unit && unit->dimension == RN_DIM_WEIGHT && dimension == RN_DIM_VOLUME)
        return rn_fail(err, RN_E_PLAN, "'%s' is a weight, and no density is known here: write for example %s", quoted,
                       example);
    const char *found = unit ? rn_dimension_name(unit->dimension) : "";
    if (unit)
        return rn_fail(err, RN_E_PLAN, "'%s' is %s %s where %s %s is wanted: write for example %s", quoted,
                       rn_hint_article(found), found, rn_hint_article(name), name, example);
    const rn_status known = fail_foreign(text, unit_text, number, dimension, weighed, usual, err);
    if (known)
        return known;
    const char *names[UNITS_MOST];
    int all, count = 0;
    const rn_unit *units = rn_units_table(&all);
    for (int i = 0; i < all && count < UNITS_MOST && dimension != RN_DIM_PRICE;
         i++) /* "per kg" is no slip of "per ml" */
        if (units[i].dimension == dimension)
            names[count++] = units[i].name;
    const char *nearest = rn_text_nearest(unit_text, names, count);
    if (nearest)
        return rn_fail(err, RN_E_PLAN, "unknown unit '%s' in '%s'; did you mean '%s'?", quoted_unit, quoted, nearest);
    return rn_fail(err, RN_E_PLAN, "unknown unit '%s' in '%s': %s %s is written for example %s", quoted_unit, quoted,
                   rn_hint_article(name), name, example);
}
