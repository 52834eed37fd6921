#include "base/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "base/units_hint.h"

#define TEXT_MOST 160
#define PLAIN_MOST 1e7 /* numbers from here on are written with their power of ten */

#define IMPERIAL_FLUID_OUNCE 28.4130625e-6 /* 1/160 of 4.54609 L, exact [nist811] */
#define INCH 0.0254                        /* exact [nist811] */

static const rn_unit units[] = {
    {"%", RN_DIM_SHARE, 0.01, false},
    {"percent", RN_DIM_SHARE, 0.01, false},
    {"per cent", RN_DIM_SHARE, 0.01, false},

    {"mm", RN_DIM_LENGTH, 1e-3, false},
    {"cm", RN_DIM_LENGTH, 1e-2, false},
    {"m", RN_DIM_LENGTH, 1, false},
    {"um", RN_DIM_LENGTH, 1e-6, false},
    {"in", RN_DIM_LENGTH, INCH, false},
    {"inch", RN_DIM_LENGTH, INCH, false},
    {"inches", RN_DIM_LENGTH, INCH, false},
    {"\"", RN_DIM_LENGTH, INCH, false},
    {"ft", RN_DIM_LENGTH, 12 * INCH, false},
    {"foot", RN_DIM_LENGTH, 12 * INCH, false},
    {"feet", RN_DIM_LENGTH, 12 * INCH, false},

    {"ml", RN_DIM_VOLUME, 1e-6, false},
    {"cl", RN_DIM_VOLUME, 1e-5, false},
    {"dl", RN_DIM_VOLUME, 1e-4, false},
    {"l", RN_DIM_VOLUME, 1e-3, false},
    {"litre", RN_DIM_VOLUME, 1e-3, false},
    {"litres", RN_DIM_VOLUME, 1e-3, false},
    {"liter", RN_DIM_VOLUME, 1e-3, false},
    {"liters", RN_DIM_VOLUME, 1e-3, false},
    {"cm3", RN_DIM_VOLUME, 1e-6, false},
    {"cc", RN_DIM_VOLUME, 1e-6, false},
    {"m3", RN_DIM_VOLUME, 1, false},
    {"fl oz", RN_DIM_VOLUME, RN_FLUID_OUNCE, false},
    {"oz", RN_DIM_VOLUME, RN_FLUID_OUNCE, false},
    {"us fl oz", RN_DIM_VOLUME, RN_FLUID_OUNCE, false},
    {"imp fl oz", RN_DIM_VOLUME, IMPERIAL_FLUID_OUNCE, false},

    {"g", RN_DIM_WEIGHT, 1e-3, false},
    {"kg", RN_DIM_WEIGHT, 1, false},

    {"s", RN_DIM_TIME, 1, false},
    {"sec", RN_DIM_TIME, 1, false},
    {"second", RN_DIM_TIME, 1, false},
    {"seconds", RN_DIM_TIME, 1, false},
    {"min", RN_DIM_TIME, 60, false},
    {"minute", RN_DIM_TIME, 60, false},
    {"minutes", RN_DIM_TIME, 60, false},
    {"h", RN_DIM_TIME, 3600, false},
    {"hour", RN_DIM_TIME, 3600, false},
    {"hours", RN_DIM_TIME, 3600, false},

    {"deg", RN_DIM_ANGLE, RN_DEGREE, false},
    {"degree", RN_DIM_ANGLE, RN_DEGREE, false},
    {"degrees", RN_DIM_ANGLE, RN_DEGREE, false},
    {"rad", RN_DIM_ANGLE, 1, false},

    {"rpm", RN_DIM_RATE, RN_RPM, false},
    {"deg/s", RN_DIM_RATE, RN_DEGREE, false},
    {"rad/s", RN_DIM_RATE, 1, false},

    {"Pa s", RN_DIM_VISCOSITY, 1, false},
    {"Pa s^n", RN_DIM_VISCOSITY, 1, false},
    {"mPa s", RN_DIM_VISCOSITY, 1e-3, true},
    {"mPa s^n", RN_DIM_VISCOSITY, 1e-3, true},
    {"P", RN_DIM_VISCOSITY, 0.1, false},
    {"cP", RN_DIM_VISCOSITY, 1e-3, false},

    {"Pa", RN_DIM_STRESS, 1, false},
    {"mPa", RN_DIM_STRESS, 1e-3, true},
    {"dyn/cm2", RN_DIM_STRESS, 0.1, false},

    {"mN/m", RN_DIM_TENSION, 1e-3, true},
    {"N/m", RN_DIM_TENSION, 1, false},
    {"dyn/cm", RN_DIM_TENSION, 1e-3, false},

    {"g/ml", RN_DIM_DENSITY, 1e3, false},
    {"g/cm3", RN_DIM_DENSITY, 1e3, false},
    {"kg/l", RN_DIM_DENSITY, 1e3, false},
    {"g/l", RN_DIM_DENSITY, 1, false},
    {"kg/m3", RN_DIM_DENSITY, 1, false},

    {"per ml", RN_DIM_PRICE, 1e6, false},
    {"per l", RN_DIM_PRICE, 1e3, false},
    {"per fl oz", RN_DIM_PRICE, 1 / RN_FLUID_OUNCE, false},
    {"per oz", RN_DIM_PRICE, 1 / RN_FLUID_OUNCE, false},
    {"per imp fl oz", RN_DIM_PRICE, 1 / IMPERIAL_FLUID_OUNCE, false},
};

#define UNIT_COUNT ((int)(sizeof units / sizeof units[0]))

/* What is usual at a pour is common practice, no source. */
static const struct {
    const char *name;
    rn_usual usual;
} dimensions[RN_DIMENSIONS] = {
    [RN_DIM_PLAIN] = {"plain number", {0, INFINITY, "0.8"}},
    [RN_DIM_COUNT] = {"whole number", {0, INFINITY, "8"}},
    [RN_DIM_SHARE] = {"share", {0.01, 1, "35 %"}},
    [RN_DIM_LENGTH] = {"length", {1e-3, 1, "40 mm"}},
    [RN_DIM_VOLUME] = {"volume", {1e-6, 1e-3, "30 ml"}},
    [RN_DIM_WEIGHT] = {"weight", {1e-3, 1, "40 g"}},
    [RN_DIM_TIME] = {"time", {0.2, 300, "8 s"}},
    [RN_DIM_ANGLE] = {"angle", {0.5 * RN_DEGREE, 90 * RN_DEGREE, "8 deg"}},
    [RN_DIM_RATE] = {"turning rate", {0.5 * RN_RPM, 300 * RN_RPM, "6 rpm"}},
    [RN_DIM_VISCOSITY] = {"viscosity", {0.02, 30, "1.1 Pa s"}},
    [RN_DIM_STRESS] = {"stress", {0.02, 50, "0.6 Pa"}},
    [RN_DIM_TENSION] = {"surface tension", {0.01, 0.1, "33 mN/m"}},
    [RN_DIM_DENSITY] = {"density", {700, 3000, "1.2 g/ml"}},
    [RN_DIM_PRICE] = {"price", {3e3, 5e5, "0.04 per ml"}},
};

static const struct {
    const char *print, *plain;
} signs[] = {
    {"\u2212", "-"},  {"\u00B0", " deg"}, {"\u00B7", " "},    {"\u22C5", " "},    {"\u00D7", "x"},    {"\u00B1", "+-"},
    {"\u00B3", "3"},  {"\u00B2", "2"},    {"\u207F", "^n"},   {"\u00B5", "u"},    {"\u03BC", "u"},    {"\u2044", "/"},
    {"\u2033", "\""}, {"\u201D", "\""},   {"\u00BD", " 1/2"}, {"\u00BC", " 1/4"}, {"\u00BE", " 3/4"}, {"\u00A0", " "},
    {"\u2009", " "},  {"\u202F", " "},    {"\t", " "},        {"\n", " "},        {"\r", " "},
};

/* ---- the table ---- */

const rn_unit *rn_units_table(int *count)
{
    *count = UNIT_COUNT;
    return units;
}

const rn_unit *rn_units_own(rn_dimension dimension)
{
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (units[i].dimension == dimension)
            return &units[i];
    return NULL;
}

const char *rn_dimension_name(rn_dimension dimension)
{
    return dimensions[dimension].name;
}

const char *rn_dimension_example(rn_dimension dimension)
{
    return dimensions[dimension].usual.example;
}

rn_usual rn_units_usual(rn_dimension dimension)
{
    return dimensions[dimension].usual;
}

static const rn_unit *own_unit(rn_dimension dimension)
{
    for (int i = 0; i < UNIT_COUNT; i++)
        if (units[i].dimension == dimension)
            return &units[i];
    return NULL;
}

static bool unit_is(const rn_unit *unit, const char *text)
{
    return rn_text_same(unit->name, text) && (!unit->strict || unit->name[0] == text[0]);
}

const rn_unit *rn_units_find(const char *text, rn_dimension dimension)
{
    const rn_unit *other = NULL;
    for (int i = 0; i < UNIT_COUNT; i++) {
        if (!unit_is(&units[i], text))
            continue;
        if (units[i].dimension == dimension)
            return &units[i];
        if (!other)
            other = &units[i];
    }
    return other;
}

/* ---- text into plain signs ---- */

bool rn_units_plain(char *plain, int size, const char *text)
{
    int length = 0;
    while (*text) {
        const char *piece = text;
        int taken = 1, put = 1;
        for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
            size_t bytes = strlen(signs[i].print);
            if (!strncmp(text, signs[i].print, bytes)) {
                piece = signs[i].plain;
                taken = (int)bytes;
                put = (int)strlen(piece);
                break;
            }
        }
        text += taken;
        for (int i = 0; i < put; i++) {
            if (piece[i] == ' ' && (length == 0 || plain[length - 1] == ' '))
                continue;
            if (length + 1 >= size)
                return false;
            plain[length++] = piece[i];
        }
    }
    if (length > 0 && plain[length - 1] == ' ')
        length--;
    plain[length] = '\0';
    return true;
}

/* Makes the ways to write one unit alike: "Pa*s", "Pa.s" -> "Pa s"; "g / ml" -> "g/ml"; "/ml" -> "per ml";
   "deg per s" -> "deg/s". */
static void unit_plain(char plain[TEXT_MOST], const char *text)
{
    char spaced[2 * TEXT_MOST];
    size_t length = 0;
    for (const char *c = text; *c && length + 4 < sizeof spaced; c++) {
        bool joint = *c == '*' || (*c == '.' && c[1]);
        spaced[length++] = joint ? ' ' : *c;
    }
    spaced[length] = '\0';
    char *out = plain;
    for (const char *c = spaced; *c && out < plain + TEXT_MOST - 5; c++) {
        bool slash = *c == '/';
        if (out > plain && !strncmp(c, " per ", 5) && strncmp(c, " per cent", 9)) {
            slash = true;
            c += 4;
        }
        if (slash && out == plain) {
            memcpy(out, "per ", 4);
            out += 4;
        } else if (slash || *c == '^') {
            if (out > plain && out[-1] == ' ')
                out--;
            *out++ = slash ? '/' : '^';
        } else if (*c != ' ' || (out > plain && out[-1] != ' ' && out[-1] != '/' && out[-1] != '^')) {
            *out++ = *c;
        }
    }
    while (out > plain && out[-1] == ' ')
        out--;
    *out = '\0';
}

/* ---- numbers ---- */

typedef struct number {
    double value;
    bool whole;        /* written with digits only */
    const char *after; /* what follows it */
} number;

static const char *skip_digits(const char *c)
{
    while (isdigit((unsigned char)*c))
        c++;
    return c;
}

/* a/b after a whole number; *whole_part is what stands before it ("1 1/2"). */
static bool read_fraction(double *value, const char **after, const char *from)
{
    const char *slash = skip_digits(from);
    if (slash == from || *slash != '/' || !isdigit((unsigned char)slash[1]))
        return false;
    double below = strtod(slash + 1, NULL);
    *value = below > 0 ? strtod(from, NULL) / below : INFINITY;
    *after = skip_digits(slash + 1);
    return true;
}

/* Digits, point and exponent, or a fraction; never a hexadecimal number or a word. */
static bool read_number(number *result, const char *text)
{
    double sign = 1;
    const char *c = text;
    if (*c == '-' || *c == '+')
        sign = *c++ == '-' ? -1 : 1;
    const char *first = c;
    double fraction;
    if (read_fraction(&fraction, &result->after, first)) {
        result->value = sign * fraction;
        result->whole = false;
        return true;
    }
    const char *point = skip_digits(c);
    c = *point == '.' ? skip_digits(point + 1) : point;
    if (c - first - (*point == '.') <= 0)
        return false;
    result->whole = c == point;
    if ((*c == 'e' || *c == 'E') && isdigit((unsigned char)c[1 + (c[1] == '-' || c[1] == '+')])) {
        c = skip_digits(c + 2);
        result->whole = false;
    }
    /* strtod sees only what was recognised here: it would also take 0x10 and words. */
    char digits[TEXT_MOST];
    size_t length = (size_t)(c - first) < sizeof digits - 1 ? (size_t)(c - first) : sizeof digits - 1;
    memcpy(digits, first, length);
    digits[length] = '\0';
    result->value = sign * strtod(digits, NULL);
    result->after = c;
    if (result->whole && *c == ' ' && read_fraction(&fraction, &result->after, c + 1)) {
        result->value += sign * fraction;
        result->whole = false;
    }
    return true;
}

static bool is_number_word(const char *text)
{
    static const char *const words[] = {"nan", "inf", "infinity", "infinite"};
    while (*text == '-' || *text == '+' || *text == '.')
        text++;
    char word[16] = "";
    for (size_t i = 0; i + 1 < sizeof word && isalpha((unsigned char)text[i]); i++) {
        word[i] = text[i];
        word[i + 1] = '\0';
    }
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (rn_text_same(word, words[i]))
            return true;
    return false;
}

/* ---- what is wrong with a quantity ---- */

/* Anything that keeps text from being a number with an optional unit. */
static rn_status read_checked(number *result, char plain[TEXT_MOST], const char *text, rn_dimension dimension,
                              const rn_usual *usual, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    rn_text_quote(quoted, text);
    const char *name = rn_dimension_name(dimension), *example = usual->example;
    if (!rn_units_plain(plain, TEXT_MOST, text))
        return rn_fail(err, RN_E_PLAN, "'%s' is too long for %s %s: write for example %s", quoted,
                       rn_hint_article(name), name, example);
    if (!plain[0])
        return rn_fail(err, RN_E_PLAN, "nothing is given where %s %s is wanted: write for example %s",
                       rn_hint_article(name), name, example);
    if (is_number_word(plain))
        return rn_fail(err, RN_E_PLAN, "'%s' is no %s that can be worked with: write for example %s", quoted, name,
                       example);
    if (!read_number(result, plain))
        return rn_fail(err, RN_E_PLAN, "'%s' is no %s: write for example %s", quoted, name, example);
    const char *after = result->after;
    if (*after == ',')
        return rn_hint_comma(text, err);
    if (*after == ':')
        return rn_hint_clock(plain, dimension, usual, err);
    if (*after == '.' || *after == '/' || isdigit((unsigned char)after[*after == ' ']))
        if (*after != '/' || dimension != RN_DIM_PRICE)
            return rn_fail(err, RN_E_PLAN, "'%s' cannot be read as one number: write for example %s", quoted, example);
    if (!isfinite(result->value))
        return rn_fail(err, RN_E_PLAN, "'%s' is too large a number: write for example %s", quoted, example);
    return RN_OK;
}

rn_status rn_units_read_usual(double *value, const rn_unit **unit, const char *text, rn_dimension dimension,
                              double density, const rn_usual *usual, rn_error *err)
{
    char plain[TEXT_MOST], unit_text[TEXT_MOST], quoted[RN_QUOTE_SIZE];
    number found;
    if (!usual)
        usual = &dimensions[dimension].usual;
    rn_status status = read_checked(&found, plain, text, dimension, usual, err);
    if (status)
        return status;
    unit_plain(unit_text, found.after);
    bool plain_wanted = dimension == RN_DIM_PLAIN || dimension == RN_DIM_COUNT;
    if (plain_wanted && unit_text[0])
        return rn_hint_unit(text, unit_text, NULL, found.value, dimension, false, usual, err);
    if (dimension == RN_DIM_COUNT && !found.whole)
        return rn_fail(err, RN_E_PLAN, "'%s' is no whole number: write for example %s", rn_text_quote(quoted, text),
                       usual->example);
    const rn_unit *written = NULL;
    double factor = 1;
    if (!plain_wanted) {
        if (!unit_text[0])
            return rn_hint_bare(text, found.value, dimension, usual, err);
        written = rn_units_find(unit_text, dimension);
        bool weighed = written && written->dimension == RN_DIM_WEIGHT && dimension == RN_DIM_VOLUME && density > 0;
        if (!written || (written->dimension != dimension && !weighed))
            return rn_hint_unit(text, unit_text, written, found.value, dimension, density > 0, usual, err);
        factor = weighed ? written->factor / density : written->factor;
    }
    if (!isfinite(found.value * factor))
        return rn_fail(err, RN_E_PLAN, "'%s' is too large a number: write for example %s", rn_text_quote(quoted, text),
                       usual->example);
    *value = found.value * factor;
    if (unit)
        *unit = written;
    return RN_OK;
}

rn_status rn_units_read(double *value, const rn_unit **unit, const char *text, rn_dimension dimension, double density,
                        rn_error *err)
{
    return rn_units_read_usual(value, unit, text, dimension, density, NULL, err);
}

/* ---- writing ---- */

/* "1470", where %g would make it 1.47e+03. */
static void write_amount(char text[40], double amount, int digits)
{
    snprintf(text, 40, "%.*g", digits, amount);
    if (strstr(text, "e+") && fabs(amount) < PLAIN_MOST)
        snprintf(text, 40, "%.0f", strtod(text, NULL));
}

const char *rn_units_round(char *text, int size, double value, rn_dimension dimension, const rn_unit *unit, int digits)
{
    char figure[40];
    if (!unit || unit->dimension != dimension)
        unit = own_unit(dimension);
    double amount = unit ? value / unit->factor : value;
    if (amount == 0)
        amount = 0; /* no "-0" */
    write_amount(figure, amount, digits);
    snprintf(text, (size_t)size, "%s%s%s", figure, unit ? " " : "", unit ? unit->name : "");
    return text;
}

const char *rn_units_write(char *text, int size, double value, rn_dimension dimension, const rn_unit *unit)
{
    return rn_units_round(text, size, value, dimension, unit, 15);
}
