#include "mend_span.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool ends_line(char c)
{
    return c == '\n' || c == '\r' || c == '\0';
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

long span_place(const char *text, int line, int column)
{
    const char *at = text;
    if (line < 1 || column < 1)
        return -1;
    for (int k = 1; k < line; k++) {
        at += strcspn(at, "\r\n");
        if (!*at)
            return -1;
        at += at[0] == '\r' && at[1] == '\n' ? 2 : 1;
    }
    for (int k = 1; k < column; k++) {
        if (ends_line(*at))
            return -1;
        do
            at++;
        while (((unsigned char)*at & 0xC0) == 0x80);
    }
    return (long)(at - text);
}

void span_mark(int *line, int *column, const char *text, long at)
{
    long begin = 0;
    *line = 1;
    for (long k = 0; k < at; k++)
        if (text[k] == '\n' || (text[k] == '\r' && text[k + 1] != '\n')) {
            ++*line;
            begin = k + 1;
        }
    *column = (int)(at - begin) + 1;
}

rv_span span_line(const char *text, long at)
{
    long begin = at;
    while (begin > 0 && text[begin - 1] != '\n' && text[begin - 1] != '\r')
        begin--;
    return (rv_span){begin, (long)strcspn(text + begin, "\r\n")};
}

/* The length of what stands in quotes there, quotes included; 0 if they are not closed on the line. */
static long quoted_length(const char *at)
{
    const char quote = *at;
    for (long k = 1; !ends_line(at[k]); k++) {
        if (at[k] == '\\' && quote == '"' && !ends_line(at[k + 1]))
            k++;
        else if (at[k] == quote && quote == '\'' && at[k + 1] == quote)
            k++;
        else if (at[k] == quote)
            return k + 1;
    }
    return 0;
}

/* Quotes and comments hold no brackets; this steps over one of them, or over one character. */
static long step_over(const char *text, long at)
{
    const bool begins = at == 0 || strchr(" \t\r\n:,[{-", text[at - 1]);
    if ((text[at] == '"' || text[at] == '\'') && begins) {
        const long length = quoted_length(text + at);
        return at + (length > 0 ? length : 1);
    }
    if (text[at] == '#' && (at == 0 || strchr(" \t\r\n", text[at - 1])))
        return at + (long)strcspn(text + at, "\r\n");
    return at + 1;
}

bool span_in_flow(const char *text, long at)
{
    int depth = 0;
    for (long k = 0; k < at && text[k]; k = step_over(text, k)) {
        if (text[k] == '{' || text[k] == '[')
            depth++;
        else if ((text[k] == '}' || text[k] == ']') && depth > 0)
            depth--;
    }
    return depth > 0;
}

/* From an opening bracket to the one that closes it; 0 if none does. */
static long bracket_length(const char *text, long at)
{
    int depth = 0;
    for (long k = at; text[k]; k = step_over(text, k)) {
        if (text[k] == '{' || text[k] == '[')
            depth++;
        else if ((text[k] == '}' || text[k] == ']') && --depth == 0)
            return k + 1 - at;
    }
    return 0;
}

rv_span span_value(const char *text, long at)
{
    rv_span value = {at, 0};
    if (text[at] == '{' || text[at] == '[')
        value.length = bracket_length(text, at);
    else if (text[at] == '"' || text[at] == '\'')
        value.length = quoted_length(text + at);
    if (value.length > 0)
        return value;
    const bool flow = span_in_flow(text, at);
    long end = at;
    for (; !ends_line(text[end]); end++) {
        if (flow && strchr(",[]{}", text[end]) && end > at)
            break;
        if (text[end] == ':' && (is_blank(text[end + 1]) || ends_line(text[end + 1])))
            break;
        if (text[end] == '#' && end > at && is_blank(text[end - 1]))
            break;
    }
    while (end > at && is_blank(text[end - 1]))
        end--;
    value.length = end - at;
    return value;
}

bool span_key(char *word, int size, rv_span *key, const char *text, long at)
{
    const rv_span line = span_line(text, at);
    long end = at;
    while (end > line.at && is_blank(text[end - 1]))
        end--;
    if (end == line.at || text[end - 1] != ':')
        return false;
    end--;
    long begin = end;
    while (begin > line.at && !strchr("{,[", text[begin - 1]))
        begin--;
    while (begin < end && (is_blank(text[begin]) || (text[begin] == '-' && is_blank(text[begin + 1]))))
        begin++;
    if (begin == end || end - begin >= size)
        return false;
    snprintf(word, (size_t)size, "%.*s", (int)(end - begin), text + begin);
    *key = (rv_span){begin, end - begin};
    return true;
}

static bool flow_pair(rv_span *pair, const char *text, long from, long to)
{
    while (is_blank(text[to]))
        to++;
    long before = from;
    while (before > 0 && is_blank(text[before - 1]))
        before--;
    if (text[to] == ',') { /* the next one moves up */
        to++;
        while (is_blank(text[to]))
            to++;
    } else if (before > 0 && text[before - 1] == ',') {
        from = before - 1;
    }
    *pair = (rv_span){from, to - from};
    return to > from;
}

/* How far a line is indented; -1 if nothing stands on it. */
static long indentation(const char *text, rv_span line)
{
    long k = 0;
    while (k < line.length && text[line.at + k] == ' ')
        k++;
    return k == line.length || text[line.at + k] == '#' ? -1 : k;
}

/* A key with a line of its own goes with it, and with the lines that are deeper in. */
static bool block_pair(rv_span *pair, const char *text, long from)
{
    const rv_span line = span_line(text, from);
    const long in = indentation(text, line);
    if (in < 0 || line.at + in != from || text[from] == '-')
        return false;
    long end = line.at + line.length;
    while (text[end]) {
        long next = end + (text[end] == '\r' && text[end + 1] == '\n' ? 2 : 1);
        const rv_span below = span_line(text, next);
        end = next;
        if (!text[next] || (indentation(text, below) >= 0 && indentation(text, below) <= in))
            break;
        end = below.at + below.length;
    }
    *pair = (rv_span){line.at, end - line.at};
    return true;
}

bool span_pair(rv_span *pair, const char *text, long at)
{
    char word[80];
    rv_span key, value = span_value(text, at);
    if (!span_key(word, sizeof word, &key, text, at))
        key = value; /* the place is that of the key itself */
    if (!span_in_flow(text, key.at))
        return block_pair(pair, text, key.at);
    long to = value.at + value.length;
    if (key.at == value.at) { /* on to its value */
        while (is_blank(text[to]))
            to++;
        if (text[to] == ':') {
            to++;
            while (is_blank(text[to]))
                to++;
            value = span_value(text, to);
            to = value.at + value.length;
        }
    }
    return flow_pair(pair, text, key.at, to);
}

char *span_replace(const char *text, rv_span span, const char *instead)
{
    const size_t all = strlen(text), more = strlen(instead);
    char *made = malloc(all - (size_t)span.length + more + 1);
    if (!made)
        return NULL;
    memcpy(made, text, (size_t)span.at);
    memcpy(made + span.at, instead, more);
    memcpy(made + (size_t)span.at + more, text + span.at + span.length, all - (size_t)(span.at + span.length) + 1);
    return made;
}
