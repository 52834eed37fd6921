#include "base/text.h"

#include <stdio.h>
#include <string.h>

#define WORD_MOST 63
#define QUOTE_CHARACTERS 40

static unsigned char lower(char c)
{
    return (unsigned char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

int rn_text_character(const char *text)
{
    const unsigned char *u = (const unsigned char *)text;
    int length = u[0] < 0x80 ? 1 : u[0] >= 0xC2 && u[0] < 0xE0 ? 2 : (u[0] & 0xF0) == 0xE0 ? 3 : 0;
    if (u[0] >= 0xF0 && u[0] < 0xF5)
        length = 4;
    if (u[0] == 0)
        return 0;
    for (int i = 1; i < length; i++)
        if ((u[i] & 0xC0) != 0x80)
            return 0;
    if ((u[0] == 0xE0 && u[1] < 0xA0) || (u[0] == 0xED && u[1] > 0x9F) || (u[0] == 0xF0 && u[1] < 0x90) ||
        (u[0] == 0xF4 && u[1] > 0x8F))
        return 0; /* overlong, surrogate, or beyond the last code point */
    return length;
}

/* Its code point; length as rn_text_character gives it. */
static uint32_t code_of(const char *character, int length)
{
    uint32_t code = (unsigned char)character[0];
    if (length > 1)
        code &= 0x7Fu >> length;
    for (int i = 1; i < length; i++)
        code = (code << 6) | ((unsigned char)character[i] & 0x3Fu);
    return code;
}

uint32_t rn_text_code(const char *character)
{
    const int length = rn_text_character(character);
    return length > 0 ? code_of(character, length) : 0;
}

/* What a terminal obeys, what turns the order of letters or ends the line, and what cannot be seen at all: the categories Cc,
   Zl, Zp and most of Cf of the Unicode Character Database. The joiners U+200C and U+200D are let through, as words and
   pictographs are written with them, and so are signs of Cf that have a shape. */
static bool is_unseen(uint32_t code)
{
    static const struct {
        uint32_t from, to;
    } ranges[] = {
        {0x0000, 0x001F}, {0x007F, 0x009F}, {0x00AD, 0x00AD},   {0x061C, 0x061C},   {0x180E, 0x180E},
        {0x200B, 0x200B}, {0x200E, 0x200F}, {0x2028, 0x202E},   {0x2060, 0x206F},   {0xFEFF, 0xFEFF},
        {0xFFF9, 0xFFFB}, {0xFFFE, 0xFFFF}, {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE007F},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++)
        if (code >= ranges[i].from && code <= ranges[i].to)
            return true;
    return false;
}

bool rn_text_printable(const char *text)
{
    for (int length; *text; text += length) {
        length = rn_text_character(text);
        if (length == 0 || is_unseen(code_of(text, length)))
            return false;
    }
    return true;
}

int rn_text_seen(const char *text)
{
    const int length = rn_text_character(text);
    return length > 0 && !is_unseen(code_of(text, length)) ? length : 0;
}

const char *rn_text_show(char *shown, size_t size, const char *text)
{
    static const char more[] = "...";
    size_t used = 0, good = 0; /* written; and with room for "..." after it */
    for (int length; *text; text += length) {
        char piece[16];
        const uint32_t code = rn_text_code(text);
        length = rn_text_seen(text);
        if (length > 0)
            snprintf(piece, sizeof piece, "%.*s", length, text);
        else if (code < 0x80 && (length = 1))
            snprintf(piece, sizeof piece, "\\x%02x", (unsigned)(unsigned char)*text);
        else if ((length = rn_text_character(text)))
            snprintf(piece, sizeof piece, code > 0xFFFF ? "\\U%08x" : "\\u%04x", (unsigned)code);
        if (used + sizeof more <= size)
            good = used;
        if (used + strlen(piece) >= size) {
            snprintf(shown + good, size - good, "%s", more);
            return shown;
        }
        memcpy(shown + used, piece, strlen(piece));
        used += strlen(piece);
    }
    shown[used] = '\0';
    return shown;
}

const char *rn_text_quote(char quoted[RN_QUOTE_SIZE], const char *text)
{
    char *out = quoted;
    for (int shown = 0; *text; shown++) {
        if (shown == QUOTE_CHARACTERS) {
            memcpy(out, "...", 3);
            out += 3;
            break;
        }
        int length = rn_text_character(text);
        if (length == 0 || is_unseen(code_of(text, length))) {
            *out++ = '?';
            text += length ? length : 1;
            continue;
        }
        memcpy(out, text, (size_t)length);
        out += length;
        text += length;
    }
    *out = '\0';
    return quoted;
}

bool rn_text_same(const char *a, const char *b)
{
    while (*a && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

int rn_text_distance(const char *a, const char *b)
{
    size_t na = strlen(a), nb = strlen(b);
    if (na > WORD_MOST || nb > WORD_MOST)
        return WORD_MOST;
    int rows[3][WORD_MOST + 1]; /* the current row and the two before it, in turn */
    for (size_t j = 0; j <= nb; j++)
        rows[0][j] = (int)j;
    for (size_t i = 1; i <= na; i++) {
        int *row = rows[i % 3];
        const int *before = rows[(i + 2) % 3], *before_that = rows[(i + 1) % 3];
        row[0] = (int)i;
        for (size_t j = 1; j <= nb; j++) {
            int least = before[j - 1] + (lower(a[i - 1]) != lower(b[j - 1]));
            if (before[j] + 1 < least)
                least = before[j] + 1;
            if (row[j - 1] + 1 < least)
                least = row[j - 1] + 1;
            bool swapped = i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]);
            if (swapped && before_that[j - 2] + 1 < least)
                least = before_that[j - 2] + 1;
            row[j] = least;
        }
    }
    return rows[na % 3][nb];
}

const char *rn_text_nearest(const char *text, const char *const *words, int count)
{
    const char *nearest = NULL;
    int least = WORD_MOST;
    for (int i = 0; i < count; i++) {
        int distance = rn_text_distance(text, words[i]);
        size_t length = strlen(words[i]) > strlen(text) ? strlen(words[i]) : strlen(text);
        /* One letter may be wrong of three, two of seven, three of eleven; more would be guessing, and so would any of two. */
        if (distance < least && distance <= ((int)length + 1) / 4 && (length > 2 || distance == 0)) {
            least = distance;
            nearest = words[i];
        }
    }
    return nearest;
}
