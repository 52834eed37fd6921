#include "show/screen.h"

#include <stdarg.h>
#include <string.h>

/* Bytes that begin a character (UTF-8 continues with 10xxxxxx). */
int rn_screen_columns(const char *text, size_t length)
{
    int columns = 0;
    for (size_t i = 0; i < length; i++)
        columns += ((unsigned char)text[i] & 0xC0) != 0x80;
    return columns;
}

static void put(rn_screen *page, const char *text, size_t length)
{
    if (page->out)
        fwrite(text, 1, length, page->out);
}

/* Ends the line; the next one begins under the same column. */
static void break_line(rn_screen *page, int indent)
{
    if (page->out)
        fprintf(page->out, "\n%*s", indent, "");
    page->lines++;
}

/* A word that is longer than a line, cut to pieces; returns the length of its last piece. */
static size_t put_pieces(rn_screen *page, const char **word, size_t length, int indent)
{
    const int room = RN_SCREEN_COLUMNS - indent;
    while (rn_screen_columns(*word, length) > room) {
        size_t piece = (size_t)room;
        while (piece > 1 && ((unsigned char)(*word)[piece] & 0xC0) == 0x80)
            piece--;
        put(page, *word, piece);
        break_line(page, indent);
        *word += piece;
        length -= piece;
    }
    return length;
}

/* Text broken between words, continued under its own column. */
static void put_wrapped(rn_screen *page, const char *text, int indent)
{
    int column = indent;
    size_t gap = 0;
    for (const char *word = text; *word; gap = strspn(word, " "), word += gap) {
        size_t length = strcspn(word, " ");
        if (column > indent && column + (int)gap + rn_screen_columns(word, length) > RN_SCREEN_COLUMNS) {
            break_line(page, indent);
            column = indent;
        } else {
            put(page, word - gap, gap);
            column += (int)gap;
        }
        if (column == indent)
            length = put_pieces(page, &word, length, indent);
        put(page, word, length);
        column += rn_screen_columns(word, length);
        word += length;
    }
    if (page->out)
        putc('\n', page->out);
    page->lines++;
}

void rn_screen_say(rn_screen *page, const char *label, const char *format, ...)
{
    char text[600];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    if (label && page->out)
        fprintf(page->out, "  %-*s", RN_SCREEN_LABEL - 2, label);
    put_wrapped(page, text, label ? RN_SCREEN_LABEL : 0);
}
