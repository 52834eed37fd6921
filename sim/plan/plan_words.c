#include "plan/plan_words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "base/units.h"
#include "plan/plan_keys.h"

#define PLAIN_SIZE 160
#define SAME_BEARING 1e-12 /* [rad] */

/* ---- sides ---- */

/* Takes the next word off *rest into word; false at the end. */
static bool next_word(char word[PLAIN_SIZE], const char **rest)
{
    while (**rest == ' ')
        (*rest)++;
    size_t length = strcspn(*rest, " ");
    if (length == 0 || length >= PLAIN_SIZE)
        return false;
    memcpy(word, *rest, length);
    word[length] = '\0';
    *rest += length;
    return true;
}

static bool side_of(int *side_x, int *side_y, const char *word)
{
    static const struct {
        const char *word;
        int x, y;
    } sides[] = {{"left", -1, 0}, {"right", 1, 0}, {"front", 0, -1}, {"back", 0, 1}};
    for (int i = 0; i < 4; i++)
        if (rn_text_same(word, sides[i].word)) {
            *side_x = sides[i].x;
            *side_y = sides[i].y;
            return true;
        }
    return false;
}

/* One or two words of side and perhaps "edge" or "corner"; *after is what follows. False if none begins the text. */
static bool read_sides(int *side_x, int *side_y, const char **after, const char *text)
{
    char word[PLAIN_SIZE];
    const char *rest = text;
    *side_x = *side_y = 0;
    *after = text;
    while (next_word(word, &rest)) {
        int x = 0, y = 0;
        bool noun = (rn_text_same(word, "edge") && (!*side_x) != (!*side_y)) ||
                    (rn_text_same(word, "corner") && *side_x && *side_y);
        if (noun) {
            *after = rest;
            return true;
        }
        if (!side_of(&x, &y, word) || (x && *side_x) || (y && *side_y))
            break;
        *side_x += x;
        *side_y += y;
        *after = rest;
    }
    return *side_x || *side_y;
}

static const char *side_text(int side_x, int side_y)
{
    static const char *const words[3][3] = {
        {"front left", "front", "front right"}, {"left", "centre", "right"}, {"back left", "back", "back right"}};
    return words[side_y + 1][side_x + 1];
}

static bool ends(const char *text)
{
    return text[strspn(text, " ")] == '\0';
}

/* ---- places ---- */

static rn_status fail_place(const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    return rn_fail(err, RN_E_PLAN,
                   "'%s' is no place: write centre, back right corner, front edge, or 40 mm right 20 mm front",
                   rn_text_quote(quoted, text));
}

/* "40 mm right 20 mm front": lengths, each followed by its side. */
static rn_status read_point(rn_place *place, const char *plain, const char *text, rn_error *err)
{
    rn_place point = {.point = true};
    char word[PLAIN_SIZE], length_text[PLAIN_SIZE] = "";
    bool given_x = false, given_y = false;
    while (next_word(word, &plain)) {
        int x, y;
        if (!side_of(&x, &y, word)) {
            if (length_text[0])
                strcat(length_text, " "); /* fits: all words come from one text of PLAIN_SIZE */
            strcat(length_text, word);
            continue;
        }
        double length;
        if ((x && given_x) || (y && given_y))
            return fail_place(text, err);
        rn_status status = rn_units_read(&length, NULL, length_text, RN_DIM_LENGTH, 0, err);
        if (status)
            return status;
        given_x = given_x || x;
        given_y = given_y || y;
        point.x += x * length;
        point.y += y * length;
        length_text[0] = '\0';
    }
    if (length_text[0])
        return fail_place(text, err);
    *place = point;
    return RN_OK;
}

rn_status rn_place_read(rn_place *place, const char *text, rn_error *err)
{
    char plain[PLAIN_SIZE];
    if (!rn_units_plain(plain, sizeof plain, text) || !plain[0])
        return fail_place(text, err);
    if (rn_text_same(plain, "centre") || rn_text_same(plain, "center")) {
        *place = (rn_place){0};
        return RN_OK;
    }
    int side_x, side_y;
    const char *after;
    if (read_sides(&side_x, &side_y, &after, plain) && ends(after)) {
        *place = (rn_place){.side_x = side_x, .side_y = side_y};
        return RN_OK;
    }
    if (!isdigit((unsigned char)plain[0]) && !strchr("+-.", plain[0]))
        return fail_place(text, err);
    return read_point(place, plain, text, err);
}

void rn_place_write(char *text, int size, const rn_place *place)
{
    if (!place->point) {
        bool corner = place->side_x && place->side_y, edge = place->side_x || place->side_y;
        snprintf(text, (size_t)size, "%s%s", side_text(place->side_x, place->side_y),
                 corner ? " corner"
                 : edge ? " edge"
                        : "");
        return;
    }
    char x[48], y[48];
    rn_units_write(x, sizeof x, fabs(place->x), RN_DIM_LENGTH, NULL);
    rn_units_write(y, sizeof y, fabs(place->y), RN_DIM_LENGTH, NULL);
    const char *side_x = place->x < 0 ? "left" : "right", *side_y = place->y < 0 ? "front" : "back";
    if (place->y == 0)
        snprintf(text, (size_t)size, "%s %s", x, side_x);
    else if (place->x == 0)
        snprintf(text, (size_t)size, "%s %s", y, side_y);
    else
        snprintf(text, (size_t)size, "%s %s %s %s", x, side_x, y, side_y);
}

/* ---- directions ---- */

rn_status rn_bearing_read(double *bearing, const rn_panel *panel, const char *text, rn_error *err)
{
    char plain[PLAIN_SIZE], quoted[RN_QUOTE_SIZE];
    int side_x, side_y;
    const char *after;
    bool fits = rn_units_plain(plain, sizeof plain, text);
    if (fits && read_sides(&side_x, &side_y, &after, plain) && ends(after)) {
        *bearing = rn_place_bearing(panel, side_x, side_y);
        return RN_OK;
    }
    if (!fits || (!isdigit((unsigned char)plain[0]) && !(plain[0] && strchr("+-.", plain[0]))))
        return rn_fail(err, RN_E_PLAN,
                       "'%s' is no direction: write left, right, back, front, a pair such as back right, or an angle "
                       "such as 135 deg",
                       rn_text_quote(quoted, text));
    double angle;
    static const rn_usual usual = {5 * RN_DEGREE, 360 * RN_DEGREE, "135 deg"};
    rn_status status = rn_units_read_usual(&angle, NULL, text, RN_DIM_ANGLE, 0, &usual, err);
    if (status)
        return status;
    if (fabs(angle) > 2 * RN_PI + SAME_BEARING)
        return rn_fail(err, RN_E_PLAN, "'%s' is out of range: a direction goes from -360 deg to 360 deg",
                       rn_text_quote(quoted, text));
    *bearing = angle;
    return RN_OK;
}

static bool bearing_sides(int *side_x, int *side_y, const rn_panel *panel, double bearing)
{
    for (int y = -1; y <= 1; y++)
        for (int x = -1; x <= 1; x++)
            if ((x || y) && fabs(rn_place_bearing(panel, x, y) - bearing) < SAME_BEARING) {
                *side_x = x;
                *side_y = y;
                return true;
            }
    return false;
}

bool rn_bearing_corner(int *side_x, int *side_y, const rn_panel *panel, double bearing)
{
    return bearing_sides(side_x, side_y, panel, bearing) && *side_x && *side_y;
}

void rn_bearing_write(char *text, int size, const rn_panel *panel, double bearing)
{
    int side_x, side_y;
    if (bearing_sides(&side_x, &side_y, panel, bearing))
        snprintf(text, (size_t)size, "%s", side_text(side_x, side_y));
    else
        rn_units_write(text, size, bearing, RN_DIM_ANGLE, NULL);
}

/* ---- colours and sizes ---- */

rn_status rn_colour_read(uint8_t colour[3], const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    const char *digits = text + (*text == '#');
    bool hexadecimal = strlen(digits) == 6;
    unsigned value[6] = {0};
    for (int i = 0; hexadecimal && i < 6; i++) {
        const char *all = "0123456789abcdef", *found = strchr(all, tolower((unsigned char)digits[i]));
        hexadecimal = found != NULL;
        value[i] = found ? (unsigned)(found - all) : 0;
    }
    if (!hexadecimal)
        return rn_fail(err, RN_E_PLAN, "'%s' is no colour: write six hexadecimal digits, as \"#2b3a55\" or 2b3a55",
                       rn_text_quote(quoted, text));
    for (int i = 0; i < 3; i++)
        colour[i] = (uint8_t)(16 * value[2 * i] + value[2 * i + 1]);
    return RN_OK;
}

/* "12 x 16": with the units in which the longer side is usual. */
static rn_status fail_bare_size(const char *text, const char *first, const char *second, double longer,
                                const rn_usual *usual, rn_error *err)
{
    const rn_unit *likely[RN_LIKELY_MOST];
    char quoted[RN_QUOTE_SIZE], readings[RN_LIKELY_MOST * 2 * PLAIN_SIZE] = "";
    rn_text_quote(quoted, text);
    const int count = rn_units_likely(likely, longer, RN_DIM_LENGTH, usual);
    for (int i = 0, used = 0; i < count && used < (int)sizeof readings; i++)
        used += snprintf(readings + used, sizeof readings - (size_t)used, "%s%s %s x %s %s",
                         i == 0           ? ""
                         : i == count - 1 ? " or "
                                          : ", ",
                         first, likely[i]->name, second, likely[i]->name);
    if (count == 0)
        return rn_fail(err, RN_E_PLAN, "'%s' has no unit: write for example 12 in x 16 in, or 30 cm x 40 cm", quoted);
    return rn_fail_right(err, RN_E_PLAN, text, count == 1 ? readings : "", "'%s' has no unit: did you mean %s?", quoted,
                         readings);
}

/* "12 in x 16": the same unit is meant for both. */
static rn_status fail_half_bare(const char *text, const char *first, const char *second, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], right[3 * PLAIN_SIZE];
    const char *unit = first + strspn(first, "0123456789./ ");
    snprintf(right, sizeof right, "%s x %s%s%s", first, second, *unit == '"' ? "" : " ", unit);
    return rn_fail_right(err, RN_E_PLAN, text, right, "'%s' has a unit for its width alone: did you mean %s?",
                         rn_text_quote(quoted, text), right);
}

rn_status rn_size_read(double *width, double *height, const char *text, rn_error *err)
{
    char plain[PLAIN_SIZE], quoted[RN_QUOTE_SIZE];
    char *times = NULL;
    if (rn_units_plain(plain, sizeof plain, text))
        times = strpbrk(plain, "xX");
    if (!times)
        return rn_fail(err, RN_E_PLAN, "'%s' is no size: write width x height, for example 12 in x 16 in",
                       rn_text_quote(quoted, text));
    *times = '\0';
    char first[2 * PLAIN_SIZE];
    const char *second = times + 1;
    size_t last = strlen(plain) > 0 ? strlen(plain) - (plain[strlen(plain) - 1] == ' ') : 0;
    plain[last] = '\0';
    /* "12 x 16 in": one unit for both. */
    bool bare = plain[0] && strspn(plain, "0123456789./ ") == strlen(plain);
    const char *unit = second + strspn(second, " 0123456789./");
    snprintf(first, sizeof first, "%s%s%s", plain, bare ? " " : "", bare ? unit : "");
    double w, h;
    const rn_usual usual = rn_key_usual(rn_plan_key(RN_SECTION_PANEL, "size"));
    if (bare && !unit[0] && !rn_units_read(&w, NULL, plain, RN_DIM_PLAIN, 0, NULL) &&
        !rn_units_read(&h, NULL, second, RN_DIM_PLAIN, 0, NULL))
        return fail_bare_size(text, plain, second + strspn(second, " "), fmax(w, h), &usual, err);
    if (!bare && !rn_units_read(&w, NULL, plain, RN_DIM_LENGTH, 0, NULL) &&
        !rn_units_read(&h, NULL, second, RN_DIM_PLAIN, 0, NULL))
        return fail_half_bare(text, plain, second + strspn(second, " "), err);
    rn_status status = rn_units_read_usual(&w, NULL, first, RN_DIM_LENGTH, 0, &usual, err);
    if (!status)
        status = rn_units_read_usual(&h, NULL, second, RN_DIM_LENGTH, 0, &usual, err);
    if (status)
        return status;
    *width = w;
    *height = h;
    return RN_OK;
}

/* ---- expectations ---- */

static const struct {
    const char *word;
    rn_dimension dimension;
    const char *example;
    rn_usual usual; /* of its figure; common practice, no source */
} expectations[] = {
    [RN_EXPECT_COVERAGE] = {"coverage", RN_DIM_SHARE, "at least 99 %", {0.01, 1, "99 %"}},
    [RN_EXPECT_COVERED_BY] = {"covered by", RN_DIM_TIME, "120 s", {10, 3600, "120 s"}},
    [RN_EXPECT_RUN_OFF] = {"run-off", RN_DIM_VOLUME, "at most 30 ml", {1e-6, 5e-4, "30 ml"}},
    [RN_EXPECT_CORNER] = {"corner", RN_DIM_LENGTH, "at least 0.2 mm", {5e-5, 3e-3, "0.2 mm"}},
    [RN_EXPECT_THINNEST] = {"thinnest", RN_DIM_LENGTH, "at least 0.15 mm", {5e-5, 3e-3, "0.15 mm"}},
    [RN_EXPECT_STRETCH] = {"stretch", RN_DIM_PLAIN, "at most 2", {1, 100, "2"}},
    [RN_EXPECT_TWIST] = {"twist", RN_DIM_ANGLE, "0 deg +- 10 deg", {RN_DEGREE, 360 * RN_DEGREE, "10 deg"}},
};

#define EXPECTATION_COUNT ((int)(sizeof expectations / sizeof expectations[0]))

const char *rn_expect_word(int kind)
{
    return kind >= 0 && kind < EXPECTATION_COUNT ? expectations[kind].word : NULL;
}

static rn_dimension expect_dimension(const rn_expect *expect)
{
    return expect->share ? RN_DIM_SHARE : expectations[expect->kind].dimension;
}

/* One edge of a run-off, one corner of a corner's depth. */
static rn_status read_which(rn_expect *expect, const char **rest, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    int side_x, side_y;
    const char *after;
    if (!read_sides(&side_x, &side_y, &after, *rest))
        return RN_OK;
    bool corner = side_x && side_y;
    if (expect->kind == RN_EXPECT_CORNER && !corner)
        return rn_fail(err, RN_E_PLAN, "'%s' names no corner: write for example back left at least 0.2 mm",
                       rn_text_quote(quoted, text));
    if (expect->kind == RN_EXPECT_RUN_OFF && corner)
        return rn_fail(err, RN_E_PLAN, "'%s' names no single edge: write for example front at most 5 ml",
                       rn_text_quote(quoted, text));
    expect->one_side = true;
    expect->side_x = side_x;
    expect->side_y = side_y;
    *rest = after + strspn(after, " ");
    return RN_OK;
}

static bool skip_words(const char **rest, const char *words)
{
    for (size_t i = 0; words[i]; i++)
        if (tolower((unsigned char)(*rest)[i]) != words[i])
            return false;
    *rest += strlen(words);
    return true;
}

static rn_status read_bound(double *value, const rn_expect *expect, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    rn_dimension dimension = expect_dimension(expect);
    double found;
    if (expect->kind == RN_EXPECT_RUN_OFF && !rn_units_read(&found, NULL, text, RN_DIM_PLAIN, 0, NULL))
        return rn_fail(err, RN_E_PLAN,
                       "'%s' has no unit: run-off takes ml, fl oz or %% of all paint, for example 30 ml",
                       rn_text_quote(quoted, text));
    rn_status status = rn_units_read_usual(&found, NULL, text, dimension, 0,
                                           expect->share ? NULL : &expectations[expect->kind].usual, err);
    if (status)
        return status;
    if (found < 0 && expect->kind != RN_EXPECT_TWIST)
        return rn_fail(err, RN_E_PLAN, "'%s' is below zero, which '%s' never is", rn_text_quote(quoted, text),
                       expectations[expect->kind].word);
    if (dimension == RN_DIM_SHARE && found > 1)
        return rn_fail(err, RN_E_PLAN, "'%s' is out of range: a share goes from 0 %% to 100 %%",
                       rn_text_quote(quoted, text));
    *value = found;
    return RN_OK;
}

/* "0.4 mm +- 0.1 mm" */
static rn_status read_about(rn_expect *expect, const char *rest, const char *sign, rn_error *err)
{
    char value[PLAIN_SIZE];
    size_t length = (size_t)(sign - rest);
    memcpy(value, rest, length);
    value[length] = '\0';
    expect->relation = RN_ABOUT;
    rn_status status = read_bound(&expect->value, expect, value, err);
    if (!status)
        status = read_bound(&expect->tolerance, expect, sign + 2, err);
    if (!status && expect->tolerance < 0)
        status = rn_fail(err, RN_E_PLAN, "the tolerance after +- is below zero: write for example +- 0.1 mm");
    return status;
}

rn_status rn_expect_read(rn_expect *expect, const char *word, const char *text, rn_error *err)
{
    char plain[PLAIN_SIZE], quoted[RN_QUOTE_SIZE];
    rn_expect found = {0};
    int kind = 0;
    while (kind < EXPECTATION_COUNT && strcmp(expectations[kind].word, word))
        kind++;
    if (kind == EXPECTATION_COUNT)
        return rn_fail(err, RN_E_PLAN, "unknown expectation '%s'", rn_text_quote(quoted, word));
    found.kind = (rn_expect_kind)kind;
    const char *example = expectations[kind].example;
    if (!rn_units_plain(plain, sizeof plain, text) || !plain[0])
        return rn_fail(err, RN_E_PLAN, "'%s' is no expectation: write for example %s: %s", rn_text_quote(quoted, text),
                       word, example);
    const char *rest = plain;
    if (found.kind == RN_EXPECT_RUN_OFF || found.kind == RN_EXPECT_CORNER) {
        rn_status status = read_which(&found, &rest, text, err);
        if (status)
            return status;
    }
    found.share = found.kind == RN_EXPECT_RUN_OFF && (strchr(rest, '%') || strstr(rest, "cent"));
    const char *sign = strstr(rest, "+-");
    rn_status status = RN_OK;
    if (skip_words(&rest, "at least ")) {
        found.relation = RN_AT_LEAST;
        status = read_bound(&found.value, &found, rest, err);
    } else if (skip_words(&rest, "at most ") || (found.kind == RN_EXPECT_COVERED_BY && !sign)) {
        found.relation = RN_AT_MOST;
        status = read_bound(&found.value, &found, rest, err);
    } else if (sign && sign > rest) {
        status = read_about(&found, rest, sign, err);
    } else {
        status = rn_fail(err, RN_E_PLAN, "'%s' does not say 'at least', 'at most' or '+-': write for example %s: %s",
                         rn_text_quote(quoted, text), word, example);
    }
    if (!status)
        *expect = found;
    return status;
}

void rn_expect_write(char *text, int size, const rn_expect *expect)
{
    char value[48], tolerance[48];
    rn_dimension dimension = expect_dimension(expect);
    const char *which = expect->one_side ? side_text(expect->side_x, expect->side_y) : "";
    const char *gap = expect->one_side ? " " : "";
    rn_units_write(value, sizeof value, expect->value, dimension, NULL);
    rn_units_write(tolerance, sizeof tolerance, expect->tolerance, dimension, NULL);
    if (expect->relation == RN_ABOUT)
        snprintf(text, (size_t)size, "%s%s%s +- %s", which, gap, value, tolerance);
    else
        snprintf(text, (size_t)size, "%s%s%s %s", which, gap, expect->relation == RN_AT_LEAST ? "at least" : "at most",
                 value);
}
