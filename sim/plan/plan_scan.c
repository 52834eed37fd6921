#include "plan/plan_scan.h"

#include <ctype.h>
#include <string.h>

#include "base/text.h"

#define BOM "\xEF\xBB\xBF"

/* One past the line's last byte. */
static const char *line_end(const char *line, const char *end)
{
    while (line < end && *line != '\n' && *line != '\r')
        line++;
    return line;
}

static const char *next_line(const char *line, const char *end)
{
    line = line_end(line, end);
    if (line < end)
        line += line[0] == '\r' && line + 1 < end && line[1] == '\n' ? 2 : 1;
    return line;
}

/* Columns count characters, as an editor does. */
static const char *step(const char *c, const char *end)
{
    do
        c++;
    while (c < end && ((unsigned char)*c & 0xC0) == 0x80);
    return c;
}

static const char *find_place(const char *text, long size, rn_mark mark)
{
    const char *end = text + size, *c = text;
    for (int line = 1; line < mark.line && c < end; line++)
        c = next_line(c, end);
    const char *last = line_end(c, end);
    for (int column = 1; column < mark.column && c < last; column++)
        c = step(c, last);
    return c;
}

rn_status rn_scan_text(const char *text, long size, rn_error *err)
{
    rn_mark mark = {1, 1};
    if (size > RN_PLAN_SIZE_MOST)
        return rn_fail_at(err, RN_E_PLAN, mark, "the file is too large for a plan: %ld bytes, at most %d", size,
                          RN_PLAN_SIZE_MOST);
    if (size >= 2 && (!memcmp(text, "\xFF\xFE", 2) || !memcmp(text, "\xFE\xFF", 2)))
        return rn_fail_at(err, RN_E_PLAN, mark, "the file is UTF-16 text: save it as UTF-8");
    const char *end = text + size, *c = text;
    if (size >= 3 && !memcmp(text, BOM, 3))
        c += 3;
    while (c < end) {
        char character[5] = {0};
        memcpy(character, c, end - c < 4 ? (size_t)(end - c) : 4);
        int length = rn_text_character(character);
        unsigned byte = (unsigned char)*c;
        if (byte == 0)
            return rn_fail_at(err, RN_E_PLAN, mark, "this is no text file: it holds a byte 0");
        if (length == 0)
            return rn_fail_at(err, RN_E_PLAN, mark, "this is not UTF-8 text: byte 0x%02X; save the plan as UTF-8",
                              byte);
        character[length] = '\0';
        bool line_break = byte == '\n' || byte == '\r';
        if (!line_break && byte != '\t' && !rn_text_seen(character))
            return rn_fail_at(err, RN_E_PLAN, mark, "a character that is no text (U+%04X) stands here: remove it",
                              (unsigned)rn_text_code(character));
        if (line_break) {
            c = next_line(c, end);
            mark = (rn_mark){mark.line + 1, 1};
        } else {
            c += length;
            mark.column++;
        }
    }
    return RN_OK;
}

char rn_scan_at(const char *text, long size, rn_mark mark)
{
    const char *c = find_place(text, size, mark);
    return c < text + size ? *c : '\0';
}

rn_mark rn_scan_inside(const char *text, long size, rn_mark mark)
{
    const char *end = text + size, *line = text;
    rn_mark last = {1, 1};
    for (const char *next; last.line < mark.line; line = next, last.line++) {
        next = next_line(line, end);
        if (next == end && (next == line || (next[-1] != '\n' && next[-1] != '\r')))
            break; /* this is the last line */
    }
    if (last.line == mark.line)
        return mark;
    for (const char *c = line; c < end; c = step(c, end))
        last.column++;
    return last;
}

bool rn_scan_comment(rn_mark *at, const char *text, long size, rn_mark from)
{
    const char *c = find_place(text, size, from), *end = line_end(c, text + size);
    for (; c < end && (*c == ' ' || *c == '\t' || *c == ':'); c++)
        from.column++;
    *at = from;
    return c < end && *c == '#';
}

/* The column (from 1) of the '#' that begins a comment on a line, if a value was expected there; else 0. */
static int eaten_column(const char *line, const char *end)
{
    char quote = '\0';
    int column = 1;
    for (const char *c = line; c < end; c = step(c, end), column++) {
        if (quote) {
            quote = *c == quote ? '\0' : quote;
        } else if ((*c == '"' || *c == '\'') && c > line && strchr(" :,[{", c[-1])) {
            quote = *c;
        } else if (*c == '#' && (c == line || c[-1] == ' ' || c[-1] == '\t')) {
            const char *before = c;
            while (before > line && (before[-1] == ' ' || before[-1] == '\t'))
                before--;
            return before > line && before[-1] == ':' && c + 1 < end && isxdigit((unsigned char)c[1]) ? column : 0;
        }
    }
    return 0;
}

bool rn_scan_eaten(rn_mark *at, const char *text, long size, int first, int last)
{
    const char *end = text + size, *line = find_place(text, size, (rn_mark){first, 1});
    bool found = false;
    for (int number = first; number <= last && line < end; number++, line = next_line(line, end)) {
        int column = eaten_column(line, line_end(line, end));
        if (column) {
            *at = (rn_mark){number, column};
            found = true;
        }
    }
    return found;
}
