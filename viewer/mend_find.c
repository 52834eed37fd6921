#include "mend_find.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/units.h"
#include "plan/plan_keys.h"

/* An error and the place it is about. */
typedef struct wrong {
    const char *message, *text;
    const char *wrong, *right; /* as the error has it */
    rv_span value;             /* what begins at the place */
    char found[MEND_TEXT];     /* its text; "" if it is longer than any value that can be mended */
    char quoted[120];          /* what the message quotes first */
} wrong;

bool mend_part(char *part, int size, const char *message, const char *from, const char *to)
{
    part[0] = '\0';
    const char *at = strstr(message, from);
    if (!at)
        return false;
    at += strlen(from);
    const char *end = to[0] ? strstr(at, to) : at + strlen(at);
    if (!end || end == at || end - at >= size)
        return false;
    snprintf(part, (size_t)size, "%.*s", (int)(end - at), at);
    return true;
}

static bool says(const wrong *w, const char *words)
{
    return strstr(w->message, words) != NULL;
}

static bool put(rv_mending *mending, rv_span span, const char *instead)
{
    if (strlen(instead) >= sizeof mending->instead)
        return false;
    mending->span = span;
    snprintf(mending->instead, sizeof mending->instead, "%s", instead);
    return true;
}

/* Replaces, and offers it by `verb`: "Use", "Write". */
static bool use(rv_mending *mending, rv_span span, const char *verb, const char *instead)
{
    if (!put(mending, span, instead))
        return false;
    snprintf(mending->offer, sizeof mending->offer, "%s %.*s", verb, MEND_TEXT - 24, instead);
    return true;
}

/* Where the text that the message quotes stands within the value; the whole value if it does not. */
static rv_span quoted_span(const wrong *w, const char *quoted)
{
    const char *at = quoted[0] ? strstr(w->found, quoted) : NULL;
    return at ? (rv_span){w->value.at + (long)(at - w->found), (long)strlen(quoted)} : w->value;
}

static bool take_out(rv_mending *mending, const wrong *w, const char *what)
{
    rv_span pair;
    if (!span_pair(&pair, w->text, w->value.at) || !put(mending, pair, ""))
        return false;
    snprintf(mending->offer, sizeof mending->offer, "Take %s out", what);
    return true;
}

/* ---- words ---- */

static bool mend_word(rv_mending *mending, const wrong *w)
{
    char meant[80], unit[80];
    if (!mend_part(meant, sizeof meant, w->message, "did you mean '", "'"))
        return false;
    if (!says(w, "unknown unit"))
        return use(mending, quoted_span(w, w->quoted), "Write", meant);
    rv_span span = quoted_span(w, w->quoted);
    if (!mend_part(unit, sizeof unit, w->message, " in '", "'") || span.length == w->value.length)
        return false;
    return use(mending, span, "Write", meant);
}

static bool mend_unknown_key(rv_mending *mending, const wrong *w)
{
    if (says(w, "decimal comma, write a point")) { /* within braces the comma ended the value */
        long comma = w->value.at - 1, begin;
        while (comma > 0 && w->text[comma] == ' ')
            comma--;
        for (begin = comma; begin > 0 && isdigit((unsigned char)w->text[begin - 1]);)
            begin--;
        if (begin == comma || w->text[comma] != ',' || w->value.length == 0)
            return false;
        char pointed[MEND_TEXT + 40];
        snprintf(pointed, sizeof pointed, "%.*s.%s", (int)(comma - begin < 30 ? comma - begin : 30), w->text + begin,
                 w->found);
        return use(mending, (rv_span){begin, w->value.at + w->value.length - begin}, "Use", pointed);
    }
    if (says(w, "a comma within a number"))
        return false;
    if (says(w, "unknown key '") || says(w, "is a key of"))
        return take_out(mending, w, "it");
    return false;
}

static bool mend_colour(rv_mending *mending, const wrong *w)
{
    static const struct {
        const char *name, *digits;
    } names[] = {/* the sixteen of HTML 4.01 [w3c1999] */
                 {"black", "000000"},  {"silver", "c0c0c0"}, {"gray", "808080"},  {"grey", "808080"},
                 {"white", "ffffff"},  {"maroon", "800000"}, {"red", "ff0000"},   {"purple", "800080"},
                 {"green", "008000"},  {"lime", "00ff00"},   {"olive", "808000"}, {"yellow", "ffff00"},
                 {"navy", "000080"},   {"blue", "0000ff"},   {"teal", "008080"},  {"aqua", "00ffff"},
                 {"fuchsia", "ff00ff"}};
    char written[24] = "";
    const char *digits = w->text + w->value.at;
    if (says(w, "begins a comment here")) {
        if (*digits != '#')
            return false;
        const int count = (int)strspn(digits + 1, "0123456789abcdefABCDEF");
        if (count == 0 || count > 12)
            return false;
        snprintf(written, sizeof written, "\"#%.*s\"", count, digits + 1);
        const long before = w->value.at > 0 && w->text[w->value.at - 1] == ' ' ? 0 : 1;
        char spaced[32];
        snprintf(spaced, sizeof spaced, "%s%s", before ? " " : "", written);
        return use(mending, (rv_span){w->value.at, count + 1}, "Write", spaced);
    }
    if (!says(w, "is no colour"))
        return false;
    const char *shown = w->quoted + (w->quoted[0] == '#');
    if (strlen(shown) == 3 && strspn(shown, "0123456789abcdefABCDEF") == 3)
        snprintf(written, sizeof written, "\"#%c%c%c%c%c%c\"", shown[0], shown[0], shown[1], shown[1], shown[2],
                 shown[2]);
    for (size_t k = 0; k < sizeof names / sizeof names[0]; k++)
        if (!strcmp(w->quoted, names[k].name))
            snprintf(written, sizeof written, "\"#%s\"", names[k].digits);
    return written[0] && use(mending, w->value, "Write", written);
}

/* A number where a word of the ladder should be goes under the other key. */
static bool mend_consistency(rv_mending *mending, const wrong *w)
{
    char word[40], written[MEND_TEXT + 20];
    rv_span key;
    if (!says(w, "a number goes under viscosity") || !span_key(word, sizeof word, &key, w->text, w->value.at))
        return false;
    snprintf(written, sizeof written, "viscosity: %s", w->found);
    return use(mending, (rv_span){key.at, w->value.at + w->value.length - key.at}, "Write", written);
}

/* ---- numbers ---- */

/* "write for example 0.15 mm", where the example is what was written with its usual unit; "write 0.15 mm". */
static bool mend_example(rv_mending *mending, const wrong *w)
{
    char meant[120];
    if (says(w, "has no volume"))
        return mend_part(meant, sizeof meant, w->message, "write for example ", "") && !strstr(meant, "...") &&
               use(mending, quoted_span(w, w->quoted), "Use", meant);
    if (says(w, "give it some, for example "))
        return mend_part(meant, sizeof meant, w->message, "for example ", ",") && use(mending, w->value, "Use", meant);
    return false;
}

/* A limit as it may be written: one that the message rounded is brought inside by a hundredth part of itself. */
static void tidy_limit(char *text, int size, bool most)
{
    char *rest;
    const double value = strtod(text, &rest);
    int digits = 0;
    for (const char *c = text; c < rest; c++)
        digits += isdigit((unsigned char)*c) != 0;
    if (rest == text || digits < 5 || value == round(value))
        return;
    char unit[40];
    snprintf(unit, sizeof unit, "%.39s", rest);
    const double step = pow(10, floor(log10(fabs(value))) - 2);
    snprintf(text, (size_t)size, "%.6g%s", most ? floor(value / step) * step : ceil(value / step) * step, unit);
}

/* The nearest value in range, or the positive one of the same size. */
static bool nearest_in_range(char *instead, int size, const char *found, const char *least, const char *most)
{
    for (rn_dimension d = RN_DIM_PLAIN; d < RN_DIMENSIONS; d++) {
        double value, low, high;
        if (rn_units_read(&low, NULL, least, d, 0, NULL) || rn_units_read(&high, NULL, most, d, 0, NULL))
            continue;
        char plain[MEND_TEXT];
        if (rn_units_read(&value, NULL, found, d, d == RN_DIM_VOLUME ? 1200 : 0, NULL) ||
            !rn_units_plain(plain, sizeof plain, found))
            continue;
        if (value < 0 && -value >= low && -value <= high && plain[0] == '-')
            snprintf(instead, (size_t)size, "%s", plain + 1);
        else
            snprintf(instead, (size_t)size, "%s", value < low ? least : value > high ? most : plain);
        return true;
    }
    return false;
}

static bool mend_range(rv_mending *mending, const wrong *w)
{
    char least[64], most[64], instead[MEND_TEXT], first[MEND_TEXT];
    if (!says(w, "is out of range: ") || !mend_part(least, sizeof least, w->message, " goes from ", " to ") ||
        !mend_part(most, sizeof most, strstr(w->message, " goes from "), " to ", ""))
        return false;
    tidy_limit(least, sizeof least, false);
    tidy_limit(most, sizeof most, true);
    const rv_span span = quoted_span(w, w->quoted);
    if (nearest_in_range(instead, sizeof instead, w->quoted, least, most))
        return use(mending, span, "Use", instead);
    if (!mend_part(first, sizeof first, w->quoted, "", " x ")) /* width x height */
        return false;
    char one[90], other[90];
    if (!nearest_in_range(one, sizeof one, first, least, most) ||
        !nearest_in_range(other, sizeof other, strstr(w->quoted, " x ") + 3, least, most))
        return false;
    snprintf(instead, sizeof instead, "%s x %s", one, other);
    return use(mending, span, "Use", instead);
}

static bool mend_number(rv_mending *mending, const wrong *w)
{
    char instead[MEND_TEXT], *rest;
    const double value = strtod(w->quoted, &rest);
    if (says(w, "where a plain number is wanted") || says(w, "where a whole number is wanted")) {
        snprintf(instead, sizeof instead, "%.*s", (int)(rest - w->quoted), w->quoted);
        return rest > w->quoted && use(mending, quoted_span(w, w->quoted), "Use", instead);
    }
    if (says(w, "is no whole number") && rest > w->quoted && fabs(value) < 1e9) {
        snprintf(instead, sizeof instead, "%.0f", round(value));
        return use(mending, quoted_span(w, w->quoted), "Use", instead);
    }
    if (says(w, "cannot be read as one number")) { /* thousands set apart */
        int used = 0;
        for (const char *c = w->quoted; *c && used < MEND_TEXT - 1; c++)
            if (!(*c == ' ' && c > w->quoted && isdigit((unsigned char)c[-1]) && isdigit((unsigned char)c[1])))
                instead[used++] = *c;
        instead[used] = '\0';
        return use(mending, quoted_span(w, w->quoted), "Use", instead);
    }
    return false;
}

/* ---- what the plan's parts allow each other ---- */

static bool mend_time(rv_mending *mending, const wrong *w)
{
    char text[80];
    double value;
    const char *other = strstr(w->message, "overlaps move");
    if (other && (other = strstr(other, " s to ")) && sscanf(other, " s to %lf", &value) == 1) {
        snprintf(text, sizeof text, "%.6g s", ceil(value * 1000 - 1e-6) / 1000);
        if (!use(mending, w->value, "Use", text))
            return false;
        snprintf(mending->offer, sizeof mending->offer, "Begin it at %s", text);
        return true;
    }
    if (says(w, "the plan ends at") && mend_part(text, sizeof text, w->message, "lasts until ", " s") &&
        sscanf(text, "%lf", &value) == 1) {
        snprintf(text, sizeof text, "%.6g s", ceil(value * 1000 - 1e-6) / 1000);
        if (!use(mending, w->value, "Use", text))
            return false;
        snprintf(mending->offer, sizeof mending->offer, "End it at %s", text);
        return true;
    }
    if (says(w, "bursts would overlap") && mend_part(text, sizeof text, w->message, "begins after ", ":"))
        return use(mending, w->value, "Use", text);
    if (says(w, "a ramp is at most half") && mend_part(text, sizeof text, w->message, "do not fit into ", " s:") &&
        sscanf(text, "%lf", &value) == 1) {
        snprintf(text, sizeof text, "%.4g s", floor(0.5 * value * 1000) / 1000);
        return use(mending, w->value, "Use", text);
    }
    return false;
}

/* Lengths of the message, the first after `a` and the second after `b` [m]. */
static bool two_lengths(double *first, double *second, const wrong *w, const char *a, const char *b)
{
    char one[60], other[60];
    return mend_part(one, sizeof one, w->message, a, b) && mend_part(other, sizeof other, w->message, b, "") &&
           rn_units_read(first, NULL, one, RN_DIM_LENGTH, 0, NULL) == RN_OK &&
           rn_units_read(second, NULL, other, RN_DIM_LENGTH, 0, NULL) == RN_OK;
}

static bool mend_room(rv_mending *mending, const wrong *w)
{
    double wide, room, value;
    char text[60];
    if (says(w, "more than the rim's radius") || says(w, "the panel there only")) {
        if (!two_lengths(&wide, &room, w, " is ",
                         says(w, "the rim's") ? " wide, more than the rim's radius of "
                                              : " wide, the panel there only "))
            return false;
    } else if (says(w, " wide, the panel only ")) {
        if (!two_lengths(&wide, &room, w, " is ", " wide, the panel only ") ||
            rn_units_read(&value, NULL, w->found, RN_DIM_LENGTH, 0, NULL) != RN_OK)
            return false;
        room = value - (wide - room); /* a ring reaches beyond the rim */
    } else if (says(w, "corner puddles ")) {
        if (!two_lengths(&wide, &room, w, "corner puddles ", " wide meet each other on a panel of "))
            return false;
        room *= 0.41; /* less than 1 / (1 + sqrt 2), that of a round panel */
    } else if (says(w, "lies off the panel") || says(w, "hangs over the edge")) {
        if (!use(mending, w->value, "Use", "centre"))
            return false;
        snprintf(mending->offer, sizeof mending->offer, "Put it at the centre");
        return true;
    } else {
        return false;
    }
    snprintf(text, sizeof text, "%.0f mm", floor(room * 1e3 + 1e-6));
    return room >= 1e-3 && use(mending, w->value, "Use", text);
}

static bool mend_list(rv_mending *mending, const wrong *w)
{
    char text[MEND_TEXT + 2];
    if (says(w, "all sizes are zero") || says(w, "lifts: give one for each")) {
        if (w->value.length == 0 || !put(mending, w->value, "equal"))
            return false;
        snprintf(mending->offer, sizeof mending->offer, "Make them equal");
        return true;
    }
    if (says(w, "is a list: begin each entry") && w->found[0] == '{') {
        snprintf(text, sizeof text, "[%s]", w->found);
        if (!put(mending, w->value, text))
            return false;
        snprintf(mending->offer, sizeof mending->offer, "Make it a list of one");
        return true;
    }
    if (says(w, "names no paint first")) { /* "20 ml slate" */
        const char *blank = strrchr(w->found, ' ');
        if (!blank || !isdigit((unsigned char)w->found[0]))
            return false;
        snprintf(text, sizeof text, "%s %.*s", blank + 1, (int)(blank - w->found), w->found);
        return use(mending, w->value, "Write", text);
    }
    return false;
}

static bool mend_expectation(rv_mending *mending, const wrong *w)
{
    char text[MEND_TEXT + 20];
    if (!says(w, "does not say 'at least'"))
        return false;
    const char *relation = says(w, ": at most ") ? "at most" : "at least";
    snprintf(text, sizeof text, "%s %s", relation, w->found);
    return use(mending, w->value, "Write", text);
}

/* ---- what is there twice, in vain, or missing ---- */

static bool mend_needless(rv_mending *mending, const wrong *w)
{
    static const char *const needless[] = {"does not apply here", "not both", "is given twice; the first is on line",
                                           "has no value", "given twice"};
    if (says(w, "write several as a list"))
        return false;
    for (size_t k = 0; k < sizeof needless / sizeof needless[0]; k++)
        if (says(w, needless[k]))
            return take_out(mending, w, says(w, "twice") ? "the second" : "it");
    return false;
}

/* A key that must be given is put before the first of its element. */
static bool mend_missing(rv_mending *mending, const wrong *w)
{
    char example[80], added[120];
    if (!says(w, " needs ") || (!mend_part(example, sizeof example, w->message, "for example ", "") &&
                                !mend_part(example, sizeof example, w->message, "for example ", ", or ")))
        return false;
    if (says(w, "'stack'") || says(w, "'paints'") || says(w, "'paint'"))
        return false; /* nobody but the painter knows */
    if (says(w, "needs one of rest"))
        snprintf(example, sizeof example, "rest: yes");
    static const char *const others[] = {", or ", " or "};
    for (int k = 0; k < 2; k++) {
        char *other = strstr(example, others[k]);
        if (other)
            *other = '\0';
    }
    const long at = w->value.at;
    if (w->text[at] == '{') {
        const bool bare = w->text[at + 1 + (long)strspn(w->text + at + 1, " ")] == '}';
        snprintf(added, sizeof added, "%s%s", example, bare ? "" : ", ");
        if (!put(mending, (rv_span){at + 1, 0}, added))
            return false;
    } else {
        const rv_span line = span_line(w->text, at);
        snprintf(added, sizeof added, "%s\n%*s", example, (int)(at - line.at < 30 ? at - line.at : 30), "");
        if (!put(mending, (rv_span){at, 0}, added))
            return false;
    }
    snprintf(mending->offer, sizeof mending->offer, "Add %s", example);
    return true;
}

/* What cannot be read at all gives way to what holds when nothing is said. */
static bool mend_usual(rv_mending *mending, const wrong *w)
{
    static const char *const hopeless[] = {
        "that can be worked with", "too large a number", "is wanted: write",       "is no place",        "cannot be '",
        "wants one value",         "where a ",           "is written for example", "unknown consistency"};
    char word[40];
    rv_span key;
    bool known = false;
    for (size_t k = 0; k < sizeof hopeless / sizeof hopeless[0]; k++)
        known = known || says(w, hopeless[k]);
    if (!known || !span_key(word, sizeof word, &key, w->text, w->value.at) || w->value.length == 0)
        return false;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        const rn_key *found = rn_plan_key(section, word);
        if (!found)
            continue;
        if (found->fallback) {
            if (!use(mending, w->value, "Use", found->fallback))
                return false;
            snprintf(mending->offer, sizeof mending->offer, "Use the usual %s", found->fallback);
            return true;
        }
        return found->kind == RN_KEY_QUANTITY && found->otherwise && !strstr(found->otherwise, "give ") &&
               take_out(mending, w, "it");
    }
    return false;
}

static bool mend_other(rv_mending *mending, const wrong *w)
{
    char text[MEND_TEXT];
    if (says(w, "this program reads plan: 1")) {
        if (!put(mending, w->value, "1"))
            return false;
        snprintf(mending->offer, sizeof mending->offer, "Read it as plan: 1");
        return true;
    }
    if (says(w, "is no edge: write")) {
        const char *blank = strchr(w->found, ' ');
        snprintf(text, sizeof text, "%.*s edge", blank ? (int)(blank - w->found) : 0, w->found);
        return blank && use(mending, w->value, "Write", text);
    }
    return false;
}

/* What the error itself knows to be right. */
static bool mend_right(rv_mending *mending, const wrong *w)
{
    return w->right[0] && use(mending, quoted_span(w, w->wrong), "Use", w->right);
}

bool mend_find(rv_mending *mending, const rn_error *err, const char *text)
{
    static bool (*const rules[])(rv_mending *, const wrong *) = {
        mend_right,    mend_word,    mend_unknown_key, mend_colour, mend_consistency, mend_example,
        mend_range,    mend_number,  mend_time,        mend_room,   mend_list,        mend_expectation,
        mend_needless, mend_missing, mend_other,       mend_usual};
    *mending = (rv_mending){0};
    wrong w = {.message = err->message, .wrong = err->wrong, .right = err->right, .text = text};
    const long at = span_place(text, err->line, err->column);
    if (at < 0)
        return false;
    if (mend_find_marks(mending, err, text, at))
        return true;
    w.value = span_value(text, at);
    if (w.value.length < MEND_TEXT)
        snprintf(w.found, sizeof w.found, "%.*s", (int)w.value.length, text + at);
    mend_part(w.quoted, sizeof w.quoted, err->message, "'", "'");
    for (size_t k = 0; k < sizeof rules / sizeof rules[0]; k++)
        if (rules[k](mending, &w))
            return true;
    return false;
}
