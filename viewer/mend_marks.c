/* Mends of what keeps a text from being read at all: tabs, quotes, brackets, characters. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "mend_find.h"

static bool put(rv_mending *mending, rv_span span, const char *instead, const char *offer)
{
    if (strlen(instead) >= sizeof mending->instead)
        return false;
    mending->span = span;
    snprintf(mending->instead, sizeof mending->instead, "%s", instead);
    snprintf(mending->offer, sizeof mending->offer, "%s", offer);
    return true;
}

/* Two blanks for each tab that a line begins with; one for those within. */
static bool mend_tab(rv_mending *mending, const char *text, long at)
{
    const rv_span line = span_line(text, at);
    const long lead = (long)strspn(text + line.at, " \t");
    if (at > line.at + lead)
        return put(mending, (rv_span){at, (long)strspn(text + at, "\t")}, " ", "Write a blank");
    char blanks[MEND_TEXT] = "";
    size_t used = 0;
    for (long k = 0; k < lead && used + 3 < sizeof blanks; k++)
        used += (size_t)snprintf(blanks + used, sizeof blanks - used, text[line.at + k] == '\t' ? "  " : " ");
    return put(mending, (rv_span){line.at, lead}, blanks, "Indent with blanks");
}

static bool mend_open_quote(rv_mending *mending, const char *text, long at)
{
    const rv_span line = span_line(text, at);
    long end = line.at + line.length;
    while (end > at && text[end - 1] == ' ')
        end--;
    const char quote[2] = {text[at], '\0'};
    return (*quote == '"' || *quote == '\'') && put(mending, (rv_span){end, 0}, quote, "Close the quotes");
}

/* The bracket is closed where the line before what did not fit ends. */
static bool mend_open_bracket(rv_mending *mending, const char *text, long at, const char *message)
{
    const char *bracket = strstr(message, " or a '");
    if (!bracket)
        return false;
    const char close[2] = {bracket[7], '\0'};
    long end = span_line(text, at).at;
    while (end > 0 && strchr(" \t\r\n", text[end - 1]))
        end--;
    if (end == 0)
        return false;
    char offer[40];
    snprintf(offer, sizeof offer, "Close it with %s", close);
    return put(mending, (rv_span){end, 0}, close, offer);
}

/* A second ': ' on a line belongs into quotes; a line that is only too deep in comes out to the one before. */
static bool mend_colon(rv_mending *mending, const char *text, long at)
{
    const rv_span line = span_line(text, at);
    const char *first = strstr(text + line.at, ": ");
    if (first && first - text < at) {
        const long value = (long)(first - text) + 2;
        const long length = line.at + line.length - value;
        char quoted[MEND_TEXT], offer[MEND_TEXT];
        if (length < 1 || length > MEND_TEXT - 20 || memchr(text + value, '"', (size_t)length) ||
            memchr(text + value, '\\', (size_t)length))
            return false;
        snprintf(quoted, sizeof quoted, "\"%.*s\"", (int)length, text + value);
        snprintf(offer, sizeof offer, "Write %.*s", MEND_TEXT - 8, quoted);
        return put(mending, (rv_span){value, length}, quoted, offer);
    }
    if (line.at == 0)
        return false;
    const rv_span above = span_line(text, line.at - 1);
    const long in = (long)strspn(text + above.at, " "), lead = (long)strspn(text + line.at, " ");
    return lead > in && put(mending, (rv_span){line.at, lead - in}, "", "Move it out");
}

static bool mend_byte(rv_mending *mending, const char *text, long at, const char *message)
{
    const unsigned byte = (unsigned char)text[at];
    const int length = rn_text_character(text + at);
    if (strstr(message, "a character that is no text"))
        return put(mending, (rv_span){at, length > 0 ? length : 1}, "", "Take it out");
    if (byte < 0xA0) /* below that ISO 8859-1 has no letters */
        return false;
    const char letter[3] = {(char)(0xC0 | byte >> 6), (char)(0x80 | (byte & 0x3F)), '\0'};
    char offer[24];
    snprintf(offer, sizeof offer, "Read it as %s", letter);
    return put(mending, (rv_span){at, 1}, letter, offer);
}

/* "!!float 0.15", "&a [..]": the value stays. */
static bool mend_tag(rv_mending *mending, const char *text, long at)
{
    if (text[at] != '!' && text[at] != '&')
        return false;
    const long length = (long)strcspn(text + at, " \r\n,]}");
    return put(mending, (rv_span){at, length + (text[at + length] == ' ')}, "", "Take it out");
}

bool mend_find_marks(rv_mending *mending, const rn_error *err, const char *text, long at)
{
    const char *message = err->message;
    if (strstr(message, "a tab stands here"))
        return mend_tab(mending, text, at);
    if (strstr(message, "the quotes that open here"))
        return mend_open_quote(mending, text, at);
    if (strstr(message, "is missing before this; the bracket opens"))
        return mend_open_bracket(mending, text, at, message);
    if (strstr(message, "a ':' stands here where none fits"))
        return mend_colon(mending, text, at);
    if (strstr(message, "a character that is no text") || strstr(message, "this is not UTF-8 text"))
        return mend_byte(mending, text, at, message);
    if (strstr(message, "a tag ('!')") || strstr(message, "an anchor ('&')"))
        return mend_tag(mending, text, at);
    return false;
}
