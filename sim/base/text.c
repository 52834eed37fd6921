#include "base/text.h"

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

static bool is_control(const char *text, int length)
{
    unsigned char first = (unsigned char)text[0];
    if (length == 1)
        return first < 0x20 || first == 0x7F;
    if (length == 2)
        return first == 0xC2 && (unsigned char)text[1] < 0xA0;
    static const char *const unfit[] = {"\u2028", "\u2029", "\uFEFF", "\uFFFE", "\uFFFF"};
    for (size_t i = 0; i < sizeof unfit / sizeof unfit[0]; i++)
        if (!strncmp(text, unfit[i], 3))
            return true;
    return false;
}

bool rn_text_printable(const char *text)
{
    for (int length; *text; text += length) {
        length = rn_text_character(text);
        if (length == 0 || is_control(text, length))
            return false;
    }
    return true;
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
        if (length == 0 || is_control(text, length)) {
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
        /* Up to a third of the letters may be wrong; more would be guessing. */
        if (distance < least && distance * 3 <= (int)length + 1 && distance < (int)length) {
            least = distance;
            nearest = words[i];
        }
    }
    return nearest;
}
