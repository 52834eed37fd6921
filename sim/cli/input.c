#include "cli/input.h"

#include <errno.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/infile.h"
#include "base/memory_stream.h"
#include "base/text.h"
#include "plan/plan_scan.h"
#include "run/warn.h"

#define BYTES_MOST ((size_t)RN_PLAN_SIZE_MOST + 1) /* one more than a plan may have, so that the reader refuses it */
#define SHOWN_BEFORE 70                            /* characters of a long line that are shown before the caret ... */
#define SHOWN_MOST 110                             /* ... and in all */

static rn_status fail_file(const char *path, const char *what, const char *why, rn_error *err)
{
    if (err && err->status == RN_OK)
        snprintf(err->file, sizeof err->file, "%s", strcmp(path, "-") == 0 ? "standard input" : path);
    return rn_fail(err, RN_E_FILE, "%s: %s", what, why);
}

static rn_status read_text(rn_input *input, const char *path, rn_error *err)
{
    const bool standard = strcmp(path, "-") == 0;
    const char *why = NULL;
    errno = 0;
    FILE *stream = standard ? stdin : rn_infile_open(&why, path);
    if (!stream && errno == ENOMEM)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    if (!stream)
        return fail_file(path, "cannot be opened", why, err);
    input->text = malloc(BYTES_MOST + 1);
    rn_status status = RN_OK;
    if (input->text) {
        errno = 0;
        input->size = fread(input->text, 1, BYTES_MOST, stream);
        input->text[input->size] = '\0';
        if (ferror(stream))
            status = fail_file(path, "cannot be read", strerror(errno ? errno : EIO), err);
    } else {
        status = rn_fail(err, RN_E_MEMORY, "no memory left");
    }
    if (!standard)
        fclose(stream);
    return status;
}

#define PATH_MOST 160

static rn_status split_setting(char path[PATH_MOST], rn_setting *setting, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    const size_t length = strcspn(text, "=");
    if (!text[length] || length == 0)
        return rn_fail(err, RN_E_USAGE, "'--set %s' wants a path and a value; write for example --set end=3min",
                       rn_text_quote(quoted, text));
    if (length >= PATH_MOST)
        return rn_fail(err, RN_E_USAGE, "'--set %s' names no key; 'runnel keys' lists them",
                       rn_text_quote(quoted, text));
    memcpy(path, text, length);
    path[length] = '\0';
    *setting = (rn_setting){path, text + length + 1};
    return RN_OK;
}

/* All settings at once, so that two which only together make sense can be given. */
static rn_status apply_sets(rn_plan *plan, const rn_opt_list *sets, rn_error *err)
{
    char paths[RN_OPT_LIST_MOST][PATH_MOST];
    rn_setting settings[RN_OPT_LIST_MOST];
    rn_error why = {0};
    for (int i = 0; i < sets->count; i++)
        if (split_setting(paths[i], &settings[i], sets->items[i], err))
            return RN_E_USAGE;
    const rn_status status = rn_plan_set_all(plan, settings, sets->count, &why);
    if (status == RN_E_PLAN)
        return rn_fail(err, RN_E_USAGE, "--set %s", why.message);
    return status ? rn_fail(err, status, "%s", why.message) : RN_OK;
}

static rn_status read_plan(rn_input *input, const char *name, const rn_opt_list *sets, rn_error *err)
{
    rn_status status = rn_plan_read(&input->plan, input->text, (long)input->size, name, err);
    if (status == RN_OK && sets->count > 0)
        status = apply_sets(input->plan, sets, err);
    return status;
}

rn_status rn_input_load(rn_input *input, const char *path, const rn_opt_list *sets, rn_error *err)
{
    const rn_status status = read_text(input, path, err);
    return status ? status : read_plan(input, path, sets, err);
}

rn_status rn_input_take(rn_input *input, const char *text, size_t size, const char *name, const rn_opt_list *sets,
                        rn_error *err)
{
    input->text = malloc(size + 1);
    if (!input->text)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    memcpy(input->text, text, size);
    input->text[size] = '\0';
    input->size = size;
    return read_plan(input, name, sets, err);
}

rn_status rn_input_check_once(const char *const *paths, int count, rn_error *err)
{
    int standard = 0;
    for (int i = 0; i < count; i++)
        standard += strcmp(paths[i], "-") == 0;
    return standard > 1 ? rn_fail(err, RN_E_USAGE, "'-' is standard input, which can be read only once") : RN_OK;
}

const char *rn_input_name(int *length, const char *path, const char *standard)
{
    const char *slash = strrchr(path, '/'), *name = strcmp(path, "-") == 0 ? standard : slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    *length = (int)(dot && dot > name ? (size_t)(dot - name) : strlen(name));
    return name;
}

void rn_input_caution(const rn_plan *plan, FILE *err)
{
    char text[RN_WARN_DANGER_SIZE];
    if (rn_warn_danger(text, plan, plan->end))
        fprintf(err, "Danger: %s. See 'runnel help cautions'.\n", text);
}

void rn_input_clear(rn_input *input)
{
    rn_plan_free(input->plan);
    free(input->text);
    *input = (rn_input){0};
}

void rn_input_report(const rn_input *input, const rn_error *error, FILE *err)
{
    char text[sizeof error->file + sizeof error->message + 32];
    rn_error_text(error, text, sizeof text);
    fprintf(err, "%s\n", text);
    if (error->line > 0 && error->column > 0 && input->text)
        rn_input_caret(err, input->text, input->size, error->line, error->column);
}

void rn_input_remark(const rn_input *input, const char *path, FILE *err)
{
    for (int i = 0; i < input->plan->old_word_count; i++) {
        const rn_old_word *old = &input->plan->old_words[i];
        rn_error remark = {.line = old->mark.line, .column = old->mark.column};
        char message[300], text[sizeof remark.file + sizeof remark.message + 32];
        if (remark.line > 0)
            snprintf(remark.file, sizeof remark.file, "%s", strcmp(path, "-") == 0 ? "standard input" : path);
        snprintf(remark.message, sizeof remark.message, "warning: %s",
                 rn_consistency_old_text(message, sizeof message, old->word));
        rn_error_text(&remark, text, sizeof text);
        fprintf(err, "%s\n", text);
    }
}

rn_status rn_input_open(rn_input *input, const char *path, const rn_opt_list *sets, FILE *err, rn_error *error)
{
    rn_error why = {0};
    const rn_status status = rn_input_load(input, path, sets, &why);
    if (status == RN_E_PLAN || status == RN_E_FILE)
        rn_input_report(input, &why, err);
    else if (status)
        *error = why;
    if (status == RN_OK) {
        rn_input_remark(input, path, err);
        rn_input_caution(input->plan, err);
    }
    return status;
}

/* Columns of a terminal: 0 for marks that sit on the character before, 2 for the wide blocks of East Asia and for
   pictographs (after Unicode Standard Annex 11, the blocks from memory). */
static int columns_of(uint32_t code)
{
    static const struct {
        uint32_t from, to;
        int columns;
    } blocks[] = {
        {0x0300, 0x036F, 0},   {0x200B, 0x200F, 0},   {0x20D0, 0x20FF, 0}, {0xFE00, 0xFE0F, 0}, {0xFE20, 0xFE2F, 0},
        {0xFEFF, 0xFEFF, 0},   {0x1100, 0x115F, 2},   {0x2E80, 0x303E, 2}, {0x3041, 0xA4CF, 2}, {0xAC00, 0xD7A3, 2},
        {0xF900, 0xFAFF, 2},   {0xFE30, 0xFE6F, 2},   {0xFF00, 0xFF60, 2}, {0xFFE0, 0xFFE6, 2}, {0x1F300, 0x1F64F, 2},
        {0x1F900, 0x1F9FF, 2}, {0x20000, 0x3FFFD, 2},
    };
    for (size_t i = 0; i < sizeof blocks / sizeof blocks[0]; i++)
        if (code >= blocks[i].from && code <= blocks[i].to)
            return blocks[i].columns;
    return 1;
}

/* Where a line starts and ends; false if the text has fewer lines. */
static bool find_line(const char **start, size_t *length, const char *text, size_t size, int line)
{
    const char *at = text;
    size_t left = size;
    for (int i = 1; i < line; i++) {
        const char *newline = memchr(at, '\n', left);
        if (!newline)
            return false;
        left -= (size_t)(newline + 1 - at);
        at = newline + 1;
    }
    const char *newline = memchr(at, '\n', left);
    *start = at;
    *length = newline ? (size_t)(newline - at) : left;
    if (*length > 0 && at[*length - 1] == '\r')
        --*length;
    return true;
}

void rn_input_caret(FILE *err, const char *text, size_t size, int line, int column)
{
    const char *start;
    size_t length;
    if (!find_line(&start, &length, text, size, line))
        return;

    const int first = column > SHOWN_BEFORE ? column - SHOWN_BEFORE : 1;
    rn_memory_stream below;
    if (!rn_memory_stream_open(&below))
        return;
    FILE *caret = below.stream;
    fputs("    ", err);
    fputs("    ", caret);
    if (first > 1) {
        fputs("...", err);
        fputs("   ", caret);
    }
    int number = 1; /* of the character, as the reader counts columns */
    for (size_t at = 0; at < length; number++) {
        const char *character = start + at;
        const bool tab = *character == '\t';
        const int seen = rn_text_seen(character), bytes = rn_text_character(character);
        if (number >= first + SHOWN_MOST) {
            fputs("...", err);
            break;
        }
        if (number >= first) {
            if (tab)
                fputc('\t', err);
            else if (!seen)
                fputc('?', err); /* what a terminal might obey, or cannot show */
            else
                fwrite(character, 1, (size_t)seen, err);
            if (number < column)
                fprintf(caret, tab ? "\t" : "%*s", seen ? columns_of(rn_text_code(character)) : 1, "");
        }
        at += (size_t)(bytes > 0 ? bytes : 1);
    }
    char *blanks = rn_memory_stream_close(&below, NULL);
    fputc('\n', err);
    if (blanks)
        fprintf(err, "%s^\n", blanks);
    free(blanks);
}
