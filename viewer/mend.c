#include "mend.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/units.h"

#define LARGEST (1 << 20) /* a plan is no larger [bytes] */

void mend_clear(rv_mend *mend)
{
    free(mend->text);
    memset(mend, 0, sizeof *mend);
}

/* The whole file; NULL, and why, if it cannot be a plan. */
static char *read_file(char trouble[320], const char *path)
{
    struct stat status;
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    if (!file || fstat(fileno(file), &status) != 0)
        snprintf(trouble, 320, "The file cannot be read.");
    else if (S_ISDIR(status.st_mode))
        snprintf(trouble, 320, "That is a folder, not a plan.");
    else if (status.st_size > LARGEST)
        snprintf(trouble, 320, "A file of %ld kB is no plan.", (long)(status.st_size / 1024));
    else if (!(text = calloc(1, (size_t)status.st_size + 1)))
        snprintf(trouble, 320, "No memory to read it.");
    else if (fread(text, 1, (size_t)status.st_size, file) != (size_t)status.st_size)
        snprintf(trouble, 320, "The file could not be read to its end.");
    else if (strlen(text) != (size_t)status.st_size)
        snprintf(trouble, 320, "That is no text: a plan is a text file.");
    if (file)
        fclose(file);
    if (text && trouble[0]) {
        free(text);
        text = NULL;
    }
    return text;
}

/* Where line and column (from 1) lie in a text; -1: nowhere. */
static long place_of(const char *text, int line, int column)
{
    const char *at = text;
    for (int k = 1; k < line; k++) {
        at = strchr(at, '\n');
        if (!at)
            return -1;
        at++;
    }
    const size_t length = strcspn(at, "\n");
    return column >= 1 && (size_t)(column - 1) <= length ? (long)(at - text) + column - 1 : -1;
}

/* How far the value at a place goes: a quoted one to its quote, a plain one to what ends it. */
static int value_length(const char *at)
{
    if (*at == '"' || *at == '\'') {
        const char *end = strchr(at + 1, *at);
        return end ? (int)(end - at) + 1 : (int)strcspn(at, "\n");
    }
    int length = 0;
    while (at[length] && !strchr("\n,]}", at[length]) && !(at[length] == ' ' && at[length + 1] == '#'))
        length++;
    if (at[length] == ',' && isdigit((unsigned char)at[length + 1]) && length > 0 &&
        isdigit((unsigned char)at[length - 1]))
        while (at[length] && !strchr("\n]}", at[length]) && !(at[length] == ',' && at[length + 1] == ' '))
            length++; /* a decimal comma */
    while (length > 0 && at[length - 1] == ' ')
        length--;
    return length;
}

/* What stands between two words of a message: after `from`, up to `to` ("": the end). */
static bool between(char *text, int size, const char *message, const char *from, const char *to)
{
    const char *at = strstr(message, from);
    if (!at)
        return false;
    at += strlen(from);
    const char *end = to[0] ? strstr(at, to) : at + strlen(at);
    if (!end || end == at || end - at >= size)
        return false;
    snprintf(text, (size_t)size, "%.*s", (int)(end - at), at);
    return true;
}

static void offer(rv_mend_line *line, const char *format, const char *instead) __attribute__((format(printf, 2, 0)));

static void offer(rv_mend_line *line, const char *format, const char *instead)
{
    char short_one[MEND_TEXT / 2];
    snprintf(line->instead, sizeof line->instead, "%.*s", (int)sizeof line->instead - 1, instead);
    snprintf(short_one, sizeof short_one, "%.*s", (int)sizeof short_one - 1, instead);
    snprintf(line->offer, sizeof line->offer, format, short_one);
    line->mendable = true;
}

/* Whether a text is a number and a unit with a decimal comma; then with a point. */
static bool comma_to_point(char *text)
{
    char *comma = strchr(text, ',');
    if (!comma || comma == text || !isdigit((unsigned char)comma[-1]) || !isdigit((unsigned char)comma[1]))
        return false;
    *comma = '.';
    return strchr(comma, ',') == NULL;
}

/* "1:30" as seconds. */
static bool clock_to_seconds(char *text, int size)
{
    int minutes, seconds, used = 0;
    if (sscanf(text, "%d:%2d%n", &minutes, &seconds, &used) != 2 || text[used] || seconds > 59 || minutes < 0)
        return false;
    snprintf(text, (size_t)size, "%d s", 60 * minutes + seconds);
    return true;
}

/* What would be right in place of a value, from what the message says of it. */
static void find_offer(rv_mend_line *line, const char *message, const char *found)
{
    char text[MEND_TEXT], least[80], most[80];
    snprintf(text, sizeof text, "%.*s", (int)sizeof text - 1, found);
    const bool quoted = text[0] == '"' || text[0] == '\'';
    if (between(least, sizeof least, message, "did you mean '", "'") ||
        between(least, sizeof least, message, "Did you mean '", "'")) {
        offer(line, "Write %s", least);
        return;
    }
    if (!quoted && comma_to_point(text)) {
        offer(line, "Use %s", text);
        return;
    }
    if (clock_to_seconds(text, sizeof text)) {
        offer(line, "Use %s", text);
        return;
    }
    if (strstr(message, "out of range") || strstr(message, "range")) {
        const bool goes = (between(least, sizeof least, message, "goes from ", " to ") &&
                           between(most, sizeof most, message, " to ", "")) ||
                          (between(least, sizeof least, message, "can be ", " to ") &&
                           between(most, sizeof most, message, " to ", ""));
        rn_error err = {0};
        for (rn_dimension d = RN_DIM_PLAIN; goes && d < RN_DIMENSIONS; d++) {
            double value, low, high;
            if (rn_units_read(&low, NULL, least, d, 0, &err) != RN_OK ||
                rn_units_read(&high, NULL, most, d, 0, &err) != RN_OK ||
                rn_units_read(&value, NULL, found, d, 0, &err) != RN_OK)
                continue;
            if (value < 0 && -value >= low && -value <= high && (found[0] == '-'))
                offer(line, "Use %s", found + 1);
            else
                offer(line, "Use %s", value < low ? least : most);
            snprintf(line->wanted, sizeof line->wanted, "%s to %s", least, most);
            return;
        }
    }
}

/* A bare number: the unit of the example that the message shows. */
static void offer_unit(rv_mend_line *line, const char *message, const char *found)
{
    char example[80], text[MEND_TEXT + 90];
    double number;
    int used = 0;
    if (line->mendable || sscanf(found, "%lf%n", &number, &used) != 1 || found[used] || !strstr(message, "unit"))
        return;
    if (!between(example, sizeof example, message, "for example ", "") &&
        !between(example, sizeof example, message, "'", "'"))
        return;
    const char *unit = example;
    while (*unit && (isdigit((unsigned char)*unit) || strchr("'.+- ", *unit)))
        unit++;
    int length = (int)strcspn(unit, "',;");
    if (length == 0)
        return;
    snprintf(text, sizeof text, "%s %.*s", found, length, unit);
    offer(line, "Use %s", text);
}

/* Moves that overlap: the later one begins when the earlier ends. */
static void offer_start(rv_mend_line *line, const char *message)
{
    const char *overlaps = strstr(message, "overlaps move");
    char text[80];
    double end;
    const char *to = overlaps ? strstr(overlaps, " s to ") : NULL;
    if (line->mendable || !to || sscanf(to, " s to %lf", &end) != 1)
        return;
    snprintf(text, sizeof text, "%.6g s", end);
    offer(line, "Begin it at %s", text);
    snprintf(line->wanted, sizeof line->wanted, "one after another");
}

/* Takes an error of reading for a line of the page. */
static bool take_error(rv_mend_line *line, const rn_error *err, const char *text)
{
    memset(line, 0, sizeof *line);
    line->line = err->line;
    line->column = err->column;
    snprintf(line->what, sizeof line->what, "%.*s", (int)sizeof line->what - 1, err->message);
    const long at = err->line > 0 ? place_of(text, err->line, err->column) : -1;
    if (at < 0)
        return false;
    line->length = value_length(text + at);
    char found[MEND_TEXT];
    snprintf(found, sizeof found, "%.*s", line->length < MEND_TEXT - 1 ? line->length : MEND_TEXT - 1, text + at);
    if (line->length > 0 && line->length < MEND_TEXT - 1) {
        find_offer(line, err->message, found);
        offer_unit(line, err->message, found);
        offer_start(line, err->message);
    }
    return line->mendable;
}

static char *replaced(const char *text, const rv_mend_line *line)
{
    const long at = place_of(text, line->line, line->column);
    if (at < 0)
        return NULL;
    const size_t all = strlen(text), more = strlen(line->instead);
    char *made = malloc(all + more + 1);
    if (!made)
        return NULL;
    memcpy(made, text, (size_t)at);
    memcpy(made + at, line->instead, more);
    strcpy(made + (size_t)at + more, text + at + line->length);
    return made;
}

bool mend_look(rv_mend *mend, const char *path)
{
    memset(mend, 0, sizeof *mend);
    snprintf(mend->path, sizeof mend->path, "%s", path);
    const char *slash = strrchr(path, '/');
    snprintf(mend->name, sizeof mend->name, "%.*s", (int)sizeof mend->name - 1, slash ? slash + 1 : path);
    mend->text = read_file(mend->trouble, path);
    if (!mend->text)
        return true;
    for (const char *at = mend->text; *at; at++)
        mend->line_count += *at == '\n' || !at[1];
    char *text = strdup(mend->text);
    while (text && mend->count < MENDS_MOST) {
        rn_plan *plan = NULL;
        rn_error err = {0};
        if (rn_plan_read(&plan, text, (long)strlen(text), mend->name, &err) == RN_OK) {
            rn_plan_free(plan);
            break;
        }
        rv_mend_line *line = &mend->lines[mend->count++];
        if (!take_error(line, &err, text)) {
            mend->more = true;
            break;
        }
        bool again = false; /* a mend that mends nothing is none */
        for (int k = 0; k < mend->count - 1; k++)
            again = again || (mend->lines[k].line == line->line && mend->lines[k].column == line->column);
        if (again) {
            line->mendable = false;
            mend->more = true;
            break;
        }
        char *next = replaced(text, line);
        free(text);
        text = next;
    }
    if (mend->count == MENDS_MOST)
        mend->more = true;
    const bool good = text != NULL;
    free(text);
    return good;
}

char *mend_apply(const rv_mend *mend, bool all)
{
    char *text = mend->text ? strdup(mend->text) : NULL;
    /* Each place was found in a text in which those before it were mended already. */
    for (int k = 0; k < mend->count && text; k++) {
        const rv_mend_line *line = &mend->lines[k];
        if (!line->mendable || !(all || line->taken))
            continue;
        char *next = replaced(text, line);
        free(text);
        text = next;
    }
    return text;
}

rn_status mend_read(rn_plan **plan, const rv_mend *mend, bool all, rn_error *err)
{
    char *text = mend_apply(mend, all);
    if (!text)
        return rn_fail(err, RN_E_FILE, "%s", mend->trouble[0] ? mend->trouble : "there is nothing to read");
    const rn_status status = rn_plan_read(plan, text, (long)strlen(text), mend->name, err);
    free(text);
    return status;
}
