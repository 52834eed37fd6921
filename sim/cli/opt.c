#include "cli/opt.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/units.h"

static const rn_opt *find_name(const rn_opt *table, int count, const char *name, size_t length)
{
    for (int i = 0; i < count; i++)
        if (strlen(table[i].name) == length && strncmp(table[i].name, name, length) == 0)
            return &table[i];
    return NULL;
}

static const rn_opt *find_letter(const rn_opt *table, int count, char letter)
{
    for (int i = 0; i < count; i++)
        if (table[i].letter == letter)
            return &table[i];
    return NULL;
}

static rn_status fail_unknown(const rn_opt *table, int count, const char *argument, rn_error *err)
{
    char typed[64], quoted[RN_QUOTE_SIZE];
    const char *name = argument + strspn(argument, "-"), *nearest = NULL;
    snprintf(typed, sizeof typed, "%.*s", (int)strcspn(name, "="), name);
    for (int i = 0; i < count; i++) { /* each against the nearest so far */
        const char *const names[] = {nearest ? nearest : table[i].name, table[i].name};
        nearest = rn_text_nearest(typed, names, 2);
    }
    snprintf(typed, sizeof typed, "%.*s", (int)strcspn(argument, "="), argument);
    rn_text_quote(quoted, typed);
    if (nearest)
        return rn_fail(err, RN_E_USAGE, "unknown option '%s'; did you mean '--%s'?", quoted, nearest);
    return rn_fail(err, RN_E_USAGE, "unknown option '%s'", quoted);
}

static rn_status store_time(double *time, const rn_opt *opt, const char *value, rn_error *err)
{
    rn_error why = {0};
    double seconds;
    if (rn_units_read(&seconds, NULL, value, RN_DIM_TIME, 0, &why))
        return rn_fail(err, RN_E_USAGE, "'--%s': %s", opt->name, why.message);
    if (!(seconds > 0))
        return rn_fail(err, RN_E_USAGE, "'--%s' wants a time after the start; write for example --%s %s", opt->name,
                       opt->name, opt->example);
    *time = seconds;
    return RN_OK;
}

static rn_status store_length(double *length, const rn_opt *opt, const char *value, rn_error *err)
{
    rn_error why = {0};
    double metres;
    if (rn_units_read(&metres, NULL, value, RN_DIM_LENGTH, 0, &why))
        return rn_fail(err, RN_E_USAGE, "'--%s': %s", opt->name, why.message);
    if (!(metres > 0))
        return rn_fail(err, RN_E_USAGE, "'--%s' wants a length; write for example --%s %s", opt->name, opt->name,
                       opt->example);
    *length = metres;
    return RN_OK;
}

static rn_status store_share(double *share, const rn_opt *opt, const char *value, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    double number;
    rn_text_quote(quoted, value);
    if (rn_units_read(&number, NULL, value, RN_DIM_SHARE, 0, NULL) != RN_OK) {
        if (rn_units_read(&number, NULL, value, RN_DIM_PLAIN, 0, NULL) != RN_OK)
            return rn_fail(err, RN_E_USAGE, "'--%s %s' is not a percentage; write for example --%s %s", opt->name,
                           quoted, opt->name, opt->example);
        number /= 100;
    }
    if (!(number >= 0 && number <= 1))
        return rn_fail(err, RN_E_USAGE, "'--%s %s' is out of range; it can be 0 to 100 %%", opt->name, quoted);
    *share = number;
    return RN_OK;
}

static rn_status store_count(int *count, const rn_opt *opt, const char *value, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    double number;
    rn_text_quote(quoted, value);
    if (rn_units_read(&number, NULL, value, RN_DIM_COUNT, 0, NULL) != RN_OK)
        return rn_fail(err, RN_E_USAGE, "'--%s %s' is not a whole number; write for example --%s %s", opt->name, quoted,
                       opt->name, opt->example);
    if (!(number >= opt->least && number <= opt->most))
        return rn_fail(err, RN_E_USAGE, "'--%s %s' is out of range; it can be %d to %d", opt->name, quoted, opt->least,
                       opt->most);
    *count = (int)number;
    return RN_OK;
}

static rn_status store(void *target, const rn_opt *opt, const char *value, rn_error *err)
{
    void *field = (char *)target + opt->offset;
    rn_opt_list *list;

    switch (opt->kind) {
    case RN_OPT_FLAG: *(bool *)field = true; return RN_OK;
    case RN_OPT_TEXT:
    case RN_OPT_FILE:
    case RN_OPT_FOLDER:
    case RN_OPT_WHOLE_FOLDER:
        if (!value[0])
            return rn_fail(err, RN_E_USAGE, "'--%s' has an empty value; write for example --%s %s", opt->name,
                           opt->name, opt->example);
        *(const char **)field = value;
        return RN_OK;
    case RN_OPT_LIST:
        list = field;
        if (list->count == RN_OPT_LIST_MOST)
            return rn_fail(err, RN_E_USAGE, "'--%s' can be given %d times at most", opt->name, RN_OPT_LIST_MOST);
        list->items[list->count++] = value;
        return RN_OK;
    case RN_OPT_COUNT: return store_count(field, opt, value, err);
    case RN_OPT_TIME: return store_time(field, opt, value, err);
    case RN_OPT_LENGTH: return store_length(field, opt, value, err);
    case RN_OPT_SHARE: return store_share(field, opt, value, err);
    case RN_OPT_PAIR: *(const char **)field = value; return RN_OK; /* the second one follows it */
    }
    return RN_OK;
}

static rn_status want_value(const rn_opt *opt, rn_error *err)
{
    return rn_fail(err, RN_E_USAGE, "'--%s' wants a value; write for example --%s %s", opt->name, opt->name,
                   opt->example);
}

/* One "--name", "--name=value" or "--name value" at argv[*at]; *at moves on to the last argument used. */
static rn_status take_long(void *target, int *at, const rn_opt *table, int count, int argc, char *const *argv,
                           rn_error *err)
{
    const char *name = argv[*at] + 2;
    const size_t length = strcspn(name, "=");
    const rn_opt *opt = find_name(table, count, name, length);
    const char *value = name[length] ? name + length + 1 : NULL;

    if (!opt)
        return fail_unknown(table, count, argv[*at], err);
    if (opt->kind == RN_OPT_FLAG && value)
        return rn_fail(err, RN_E_USAGE, "'--%s' takes no value", opt->name);
    if (opt->kind != RN_OPT_FLAG && !value) {
        if (*at + 1 >= argc)
            return want_value(opt, err);
        value = argv[++*at];
    }
    const rn_status status = store(target, opt, value, err);
    if (status != RN_OK || opt->kind != RN_OPT_PAIR)
        return status;
    if (*at + 1 >= argc)
        return rn_fail(err, RN_E_USAGE, "'--%s' wants two values; write for example --%s %s", opt->name, opt->name,
                       opt->example);
    ((const char **)(void *)((char *)target + opt->offset))[1] = argv[++*at];
    return RN_OK;
}

/* Short options at argv[*at]: flags may share a dash, a value follows at once or as the next argument. */
static rn_status take_letters(void *target, int *at, const rn_opt *table, int count, int argc, char *const *argv,
                              rn_error *err)
{
    const char *argument = argv[*at];
    for (const char *letter = argument + 1; *letter; letter++) {
        const rn_opt *opt = find_letter(table, count, *letter);
        if (!opt)
            return fail_unknown(table, count, argument, err);
        if (opt->kind != RN_OPT_FLAG) {
            const char *value = letter + 1;
            if (!*value) {
                if (*at + 1 >= argc)
                    return want_value(opt, err);
                value = argv[++*at];
            }
            return store(target, opt, value, err);
        }
        store(target, opt, NULL, err);
    }
    return RN_OK;
}

rn_status rn_opt_parse(void *target, const char **operands, int *operand_count, const rn_opt *table, int count,
                       int argc, char *const *argv, rn_error *err)
{
    bool options_ended = false;
    *operand_count = 0;
    for (int at = 0; at < argc; at++) {
        const char *argument = argv[at];
        rn_status status = RN_OK;
        if (options_ended || argument[0] != '-' || !argument[1])
            operands[(*operand_count)++] = argument;
        else if (strcmp(argument, "--") == 0)
            options_ended = true;
        else if (argument[1] == '-')
            status = take_long(target, &at, table, count, argc, argv, err);
        else
            status = take_letters(target, &at, table, count, argc, argv, err);
        if (status)
            return status;
    }
    return RN_OK;
}
