#include "mend.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "document.h"
#include "mend_find.h"

#define LARGEST (1 << 20) /* a plan is no larger [bytes] */
#define ROUNDS_MOST (4 * MENDS_MOST)

void mend_clear(rv_mend *mend)
{
    free(mend->text);
    memset(mend, 0, sizeof *mend);
}

/* ---- the file ---- */

static bool is_wide(const char *text, size_t size)
{
    return size >= 2 && (!memcmp(text, "\xFF\xFE", 2) || !memcmp(text, "\xFE\xFF", 2));
}

static char *read_whole(char trouble[320], FILE *file, size_t size)
{
    char *text = malloc(size + 1);
    if (!text) {
        snprintf(trouble, 320, "There is no memory to read it.");
        return NULL;
    }
    const size_t got = fread(text, 1, size, file);
    text[got] = '\0';
    if (got != size)
        snprintf(trouble, 320, "It could not be read to its end.");
    else if (is_wide(text, size))
        snprintf(trouble, 320, "It is UTF-16 text: save it as UTF-8.");
    else if (memchr(text, 0, size))
        snprintf(trouble, 320, "It is no text: a plan is a text file.");
    else
        return text;
    free(text);
    return NULL;
}

/* NULL, and why, if the file cannot be a plan. A pipe would keep the window waiting, so only files are opened. */
static char *read_file(char trouble[320], const char *path)
{
    struct stat status;
    if (stat(path, &status) != 0) {
        snprintf(trouble, 320, errno == ENOENT ? "There is no such file." : "It cannot be read: %s.", strerror(errno));
        return NULL;
    }
    if (!S_ISREG(status.st_mode)) {
        snprintf(trouble, 320, S_ISDIR(status.st_mode) ? "It is a folder, not a plan." : "It is no file with a plan.");
        return NULL;
    }
    if (status.st_size > LARGEST) {
        snprintf(trouble, 320, "It is %ld kB long: a plan is at most %d kB.", (long)(status.st_size / 1024),
                 LARGEST / 1024);
        return NULL;
    }
    FILE *file = fopen(path, "rb");
    if (!file) {
        snprintf(trouble, 320, "It may not be read: %s.", strerror(errno));
        return NULL;
    }
    char *text = read_whole(trouble, file, (size_t)status.st_size);
    fclose(file);
    return text;
}

static int count_lines(const char *text)
{
    int line, column;
    const long end = (long)strlen(text);
    span_mark(&line, &column, text, end);
    return column == 1 && line > 1 ? line - 1 : line;
}

/* ---- mends as changes of the original text ---- */

/* The span of the original text that a mend replaces. */
static rv_span span_of(const rv_mend *mend, const rv_mend_line *line)
{
    const char *at = mend->text;
    for (int k = 1; k < line->line; k++) {
        at += strcspn(at, "\r\n");
        at += at[0] == '\r' && at[1] == '\n' ? 2 : at[0] != '\0';
    }
    return (rv_span){(long)(at - mend->text) + line->column - 1, line->length};
}

/* The lines that are applied, by their place. */
static int sorted(int order[MENDS_MOST], const rv_mend *mend, bool all)
{
    int count = 0;
    for (int k = 0; k < mend->count; k++) {
        if (!mend->lines[k].mendable || !(all || mend->lines[k].taken))
            continue;
        int to = count++;
        for (; to > 0 && span_of(mend, &mend->lines[order[to - 1]]).at > span_of(mend, &mend->lines[k]).at; to--)
            order[to] = order[to - 1];
        order[to] = k;
    }
    return count;
}

char *mend_apply(const rv_mend *mend, bool all)
{
    int order[MENDS_MOST];
    if (!mend->text)
        return NULL;
    char *text = strdup(mend->text);
    for (int k = sorted(order, mend, all) - 1; k >= 0 && text; k--) { /* from the end, so that places stay */
        char *next = span_replace(text, span_of(mend, &mend->lines[order[k]]), mend->lines[order[k]].instead);
        free(text);
        text = next;
    }
    return text;
}

/* A place in the mended text as one of the original; after: where it touches a mend, behind what that replaced. */
static long original(const rv_mend *mend, long at, bool after)
{
    int order[MENDS_MOST];
    const int count = sorted(order, mend, true);
    long shift = 0; /* mended less original */
    for (int k = 0; k < count; k++) {
        const rv_mend_line *line = &mend->lines[order[k]];
        const rv_span span = span_of(mend, line);
        const long begin = span.at + shift, end = begin + (long)strlen(line->instead);
        if (at < begin || (at == begin && !after))
            break;
        if (at < end || (at == end && !after))
            return after ? span.at : span.at + span.length; /* within: see merge_spans */
        shift += (long)strlen(line->instead) - span.length;
    }
    return at - shift;
}

/* The earlier mend that a new one, of the mended text, meets; -1: none. Its place there is given back. */
static int met_by(rv_span *there, const rv_mend *mend, rv_span span)
{
    int order[MENDS_MOST];
    const int count = sorted(order, mend, true);
    long shift = 0;
    for (int k = 0; k < count; k++) {
        const rv_mend_line *line = &mend->lines[order[k]];
        const rv_span own = span_of(mend, line);
        const long length = (long)strlen(line->instead);
        *there = (rv_span){own.at + shift, length};
        const bool apart = span.at + span.length < there->at || span.at > there->at + length;
        const bool touch = span.at + span.length == there->at || span.at == there->at + length;
        if (!apart && (!touch || span.length == 0 || length == 0))
            return order[k];
        shift += length - own.length;
    }
    return -1;
}

static void set_place(rv_mend_line *line, const rv_mend *mend, rv_span span)
{
    if (span.length == 0 && !mend->text[span.at]) /* what is missed at the end is missed behind the last line */
        while (span.at > 0 && (mend->text[span.at - 1] == '\n' || mend->text[span.at - 1] == '\r'))
            span.at--;
    span_mark(&line->line, &line->column, mend->text, span.at);
    line->length = (int)span.length;
}

/* A mend of what an earlier one wrote, or touches: both become one. False if that is too long. */
static bool merge(rv_mend *mend, int earlier, rv_span there, const rv_mending *mending, const char *text)
{
    rv_mend_line *line = &mend->lines[earlier];
    const rv_span new = mending->span, own = span_of(mend, line);
    const long new_end = new.at + new.length, there_end = there.at + there.length;
    const long from = new.at < there.at ? new.at : there.at, to = new_end > there_end ? new_end : there_end;
    char instead[MEND_TEXT];
    const int used = snprintf(instead, sizeof instead, "%.*s%s%.*s", (int)(new.at - from), text + from,
                              mending->instead, (int)(to - new_end), text + new_end);
    if (used >= MEND_TEXT)
        return false;
    const rv_span whole = {own.at - (there.at - from), own.length + (there.at - from) + (to - there_end)};
    rv_span other; /* a third one in between would be lost */
    rv_mend_line kept = *line;
    line->mendable = false;
    const bool third = met_by(&other, mend, (rv_span){from, to - from}) >= 0 && to - from > there.length;
    *line = kept;
    if (third)
        return false;
    const bool all = from == new.at &&to == new_end;
    set_place(line, mend, whole);
    snprintf(line->instead, sizeof line->instead, "%s", instead);
    if (all)
        snprintf(line->offer, sizeof line->offer, "%s", mending->offer);
    else
        snprintf(line->offer, sizeof line->offer, "Write %.*s", MEND_TEXT - 8, instead);
    return true;
}

/* ---- looking ---- */

/* The plan's first error; false if it has none. */
static bool first_error(rn_error *err, const rv_mend *mend, const char *text)
{
    rn_plan *plan = NULL;
    *err = (rn_error){0};
    const rn_status status = document_read_text(&plan, text, mend->name, err);
    rn_plan_free(plan);
    return status != RN_OK;
}

static bool same_error(const rn_error *a, const rn_error *b)
{
    return a->line == b->line && a->column == b->column && !strcmp(a->message, b->message);
}

/* Tells an error that no mend is known for, where it stands in the original. */
static void tell(rv_mend *mend, const rn_error *err, const char *text)
{
    mend->more = true; /* perhaps: nobody can see past it */
    if (mend->count == MENDS_MOST)
        return;
    rv_mend_line line = {0};
    mend_say(&line, err);
    const long at = span_place(text, err->line, err->column);
    if (at >= 0) {
        const rv_span value = span_value(text, at);
        const long from = original(mend, at, true), to = original(mend, at + value.length, false);
        set_place(&line, mend, (rv_span){from, to > from ? to - from : 0});
    }
    mend->lines[mend->count++] = line;
}

/* Notes a mend; false if it does not fit to those before. */
static bool note(rv_mend *mend, const rv_mending *mending, const rn_error *err, const char *text)
{
    rv_span there;
    const int earlier = met_by(&there, mend, mending->span);
    if (earlier >= 0)
        return merge(mend, earlier, there, mending, text);
    if (mend->count == MENDS_MOST)
        return false;
    rv_mend_line line = {.mendable = true};
    const long from = original(mend, mending->span.at, mending->span.length > 0);
    const long to = original(mend, mending->span.at + mending->span.length, false);
    mend_say(&line, err);
    set_place(&line, mend, (rv_span){from, to - from});
    snprintf(line.instead, sizeof line.instead, "%s", mending->instead);
    snprintf(line.offer, sizeof line.offer, "%s", mending->offer);
    mend->lines[mend->count++] = line;
    return true;
}

/* One step: the first error is noted with its mend. True if the text was changed and there is still an error. */
static bool look_once(rv_mend *mend, rn_error *err)
{
    char *text = mend_apply(mend, true);
    if (!text)
        return false;
    rv_mending mending;
    rv_mend_line before[MENDS_MOST];
    const int count = mend->count;
    memcpy(before, mend->lines, sizeof before);
    rn_error next = {0};
    bool again = false, good = mend_find(&mending, err, text) && note(mend, &mending, err, text);
    if (good) {
        char *mended = mend_apply(mend, true);
        again = mended && first_error(&next, mend, mended);
        good = !again || !same_error(err, &next); /* a mend that mends nothing is none */
        free(mended);
    }
    if (!good) {
        memcpy(mend->lines, before, sizeof before);
        mend->count = count;
        tell(mend, err, text);
        again = false;
    }
    *err = next;
    free(text);
    return again;
}

static void sort_lines(rv_mend *mend)
{
    for (int k = 1; k < mend->count; k++) {
        const rv_mend_line line = mend->lines[k];
        int to = k;
        for (; to > 0 && (mend->lines[to - 1].line > line.line ||
                          (mend->lines[to - 1].line == line.line && mend->lines[to - 1].column > line.column));
             to--)
            mend->lines[to] = mend->lines[to - 1];
        mend->lines[to] = line;
    }
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
    mend->line_count = count_lines(mend->text);
    rn_error err;
    bool wrong = first_error(&err, mend, mend->text);
    int rounds = 0;
    while (wrong && rounds++ < ROUNDS_MOST)
        wrong = look_once(mend, &err);
    if (wrong)
        mend->more = true;
    sort_lines(mend);
    return true;
}

bool mend_whole(const rv_mend *mend)
{
    bool whole = mend->text && !mend->more;
    for (int k = 0; k < mend->count; k++)
        whole = whole && mend->lines[k].mendable;
    return whole;
}

rn_status mend_read(rn_plan **plan, const rv_mend *mend, bool all, rn_error *err)
{
    char *text = mend_apply(mend, all);
    if (!text)
        return rn_fail(err, RN_E_FILE, "%s", mend->trouble[0] ? mend->trouble : "there is nothing to read");
    const rn_status status = document_read_text(plan, text, mend->name, err);
    free(text);
    return status;
}
