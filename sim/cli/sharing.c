#include "cli/sharing.h"

#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "cli/claims.h"

/* ---- which share ---- */

typedef struct share {
    int k, n; /* the k-th of n, from 1 */
} share;

/* A whole number from the environment; *there: whether it is set. */
static rn_status read_variable(int *number, bool *there, const char *name, rn_error *err)
{
    const char *value = getenv(name);
    char *end, quoted[RN_QUOTE_SIZE];
    *there = value && value[0];
    if (!*there)
        return RN_OK;
    const long read = strtol(value, &end, 10);
    if (end == value || *end || read < 0 || read > 100000000)
        return rn_fail(err, RN_E_USAGE, "%s is '%s', which is no number of a task", name, rn_text_quote(quoted, value));
    *number = (int)read;
    return RN_OK;
}

/* Tasks are numbered from SLURM_ARRAY_TASK_MIN on, in steps where the job was submitted so [slurm2024]. */
static rn_status read_array(share *found, rn_error *err)
{
    int id = 0, count = 0, first = 1, step = 1;
    bool has_id, has_count, there;
    rn_status status = read_variable(&id, &has_id, "SLURM_ARRAY_TASK_ID", err);
    if (status == RN_OK)
        status = read_variable(&count, &has_count, "SLURM_ARRAY_TASK_COUNT", err);
    if (status == RN_OK)
        status = read_variable(&first, &there, "SLURM_ARRAY_TASK_MIN", err);
    if (status == RN_OK)
        status = read_variable(&step, &there, "SLURM_ARRAY_TASK_STEP", err);
    if (status)
        return status;
    if (!has_id || !has_count)
        return rn_fail(err, RN_E_USAGE,
                       "'--share array' wants SLURM_ARRAY_TASK_ID and SLURM_ARRAY_TASK_COUNT, and %s "
                       "is not set; elsewhere write --share 3/8",
                       has_id ? "the second" : "the first");
    found->k = step > 0 ? (id - first) / step + 1 : 0;
    found->n = count;
    if (step < 1 || id < first || found->k > count)
        return rn_fail(err, RN_E_USAGE,
                       "task %d is outside an array of %d that begins with %d; number it from 1, as in "
                       "--array=1-%d",
                       id, count, first, count);
    return RN_OK;
}

static rn_status read_share(share *found, const char *text, rn_error *err)
{
    char *end, quoted[RN_QUOTE_SIZE];
    if (strcmp(text, "array") == 0)
        return read_array(found, err);
    const long k = strtol(text, &end, 10);
    const bool slash = end != text && *end == '/';
    const char *second = slash ? end + 1 : end;
    const long n = strtol(second, &end, 10);
    rn_text_quote(quoted, text);
    if (!slash || end == second || *end)
        return rn_fail(err, RN_E_USAGE, "'--share %s' is no share; write for example --share 3/8", quoted);
    if (n < 1 || n > RN_SHARES_MOST || k < 1 || k > n)
        return rn_fail(err, RN_E_USAGE, "'--share %s' is out of range; it can be 1/N to N/N, with N up to %d", quoted,
                       RN_SHARES_MOST);
    *found = (share){(int)k, (int)n};
    return RN_OK;
}

bool rn_sharing_asked(const rn_arguments *arguments)
{
    return arguments->share != NULL;
}

/* Where the piece goes; if that is left out, "plan.odds.3-of-8.piece" of "plans/plan.yaml". */
static const char *path_of(char path[RN_PATH_SIZE], const rn_command *command, const rn_arguments *arguments,
                           share which)
{
    int length;
    const char *name = rn_input_name(&length, arguments->operands[0], "plan");
    snprintf(path, RN_PATH_SIZE, "%.*s.%s.%d-of-%d.piece", length, name, command->name, which.k, which.n);
    return arguments->piece ? arguments->piece : path;
}

/* Before any work begins. */
static rn_status check(const rn_command *command, const rn_arguments *arguments, rn_error *err)
{
    share found;
    char path[RN_PATH_SIZE];
    if (!arguments->share)
        return arguments->piece ? rn_fail(err, RN_E_USAGE, "'--piece' goes with --share") : RN_OK;
    if (arguments->json || arguments->picture || arguments->csv || arguments->save)
        return rn_fail(err, RN_E_USAGE, "a share alone tells nothing yet: ask 'runnel gather' for %s",
                       arguments->json      ? "--json"
                       : arguments->picture ? "--picture"
                       : arguments->csv     ? "--csv"
                                            : "--save");
    const rn_status status = read_share(&found, arguments->share, err);
    return status ? status : rn_piece_try(path_of(path, command, arguments, found), err);
}

rn_status rn_sharing_claim(rn_claims *claims, const rn_command *command, const rn_arguments *arguments, rn_error *err)
{
    share which;
    char path[RN_PATH_SIZE];
    if (!arguments->share || arguments->piece)
        return RN_OK;
    const rn_status status = read_share(&which, arguments->share, err);
    return status ? status : rn_claims_add(claims, "share", path_of(path, command, arguments, which), err);
}

/* ---- what is studied ---- */

static rn_status add_word(rn_studied *studied, const char *word, rn_error *err)
{
    char **words = realloc(studied->words, (size_t)(studied->word_count + 1) * sizeof *words);
    if (words)
        studied->words = words;
    char *copy = words ? strdup(word) : NULL;
    if (!copy)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    studied->words[studied->word_count++] = copy;
    return RN_OK;
}

static rn_status add_option(rn_studied *studied, const rn_opt *opt, const char *value, rn_error *err)
{
    char name[64];
    snprintf(name, sizeof name, "--%s", opt->name);
    const rn_status status = add_word(studied, name, err);
    return status || !value ? status : add_word(studied, value, err);
}

/* One option as words again. */
static rn_status note_option(rn_studied *studied, const rn_opt *opt, const rn_arguments *arguments, rn_error *err)
{
    const void *field = (const char *)arguments + opt->offset;
    const rn_opt_list *list = field;
    rn_status status = RN_OK;
    char text[32];
    switch (opt->kind) {
    case RN_OPT_FLAG: return *(const bool *)field ? add_option(studied, opt, NULL, err) : RN_OK;
    case RN_OPT_TEXT:
        return *(const char *const *)field ? add_option(studied, opt, *(const char *const *)field, err) : RN_OK;
    case RN_OPT_LIST:
        for (int i = 0; i < list->count && status == RN_OK; i++)
            status = add_option(studied, opt, list->items[i], err);
        return status;
    case RN_OPT_COUNT:
        if (*(const int *)field == 0) /* left out */
            return RN_OK;
        snprintf(text, sizeof text, "%d", *(const int *)field);
        return add_option(studied, opt, text, err);
    case RN_OPT_FILE:
    case RN_OPT_FOLDER:
    case RN_OPT_WHOLE_FOLDER:
    case RN_OPT_TIME:
    case RN_OPT_LENGTH:
    case RN_OPT_SHARE:
    case RN_OPT_PAIR: break; /* no command that is shared has any */
    }
    return rn_fail(err, RN_E_USAGE, "'--%s' cannot be shared", opt->name);
}

static rn_status describe(rn_studied *studied, const rn_command *command, const rn_input *input,
                          const rn_arguments *arguments, rn_error *err)
{
    rn_status status = RN_OK;
    studied->command = strdup(command->name);
    studied->plan_name = strdup(arguments->operands[0]);
    studied->plan = malloc(input->size + 1);
    if (!studied->command || !studied->plan_name || !studied->plan)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    memcpy(studied->plan, input->text, input->size + 1);
    studied->plan_size = input->size;
    for (int i = 0; i < command->opt_count && status == RN_OK; i++)
        if (command->opts[i].study)
            status = note_option(studied, &command->opts[i], arguments, err);
    return status;
}

/* ---- working ---- */

rn_status rn_sharing_open(rn_input *input, const rn_command *command, const rn_arguments *arguments, FILE *err,
                          rn_error *error)
{
    const rn_status status = check(command, arguments, error);
    if (status)
        return status;
    if (!arguments->gathered)
        return rn_input_open(input, arguments->operands[0], &arguments->sets, err, error);
    const rn_studied *studied = &arguments->gathered->pieces[0].studied;
    return rn_input_take(input, studied->plan, studied->plan_size, studied->plan_name, &arguments->sets, error);
}

rn_status rn_sharing_work(rn_batch *batch, const rn_arguments *arguments, rn_study *study, rn_error *err)
{
    share which = {1, 1};
    rn_status status = RN_OK;
    if (arguments->gathered)
        return rn_pieces_put(batch, arguments->gathered->pieces, arguments->gathered->count, err);
    if (arguments->share)
        status = read_share(&which, arguments->share, err);
    return status ? status : rn_batch_work(batch, which.k - 1, which.n, study, err);
}

rn_status rn_sharing_write(const rn_batch *batch, const rn_command *command, const rn_input *input,
                           const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    share which;
    char path[RN_PATH_SIZE], shown[RN_PATH_SIZE];
    rn_studied studied = {0};
    rn_status status = read_share(&which, arguments->share, err);
    if (status || !rn_batch_done(batch, which.k - 1, which.n))
        return status;
    const char *to = path_of(path, command, arguments, which);
    status = describe(&studied, command, input, arguments, err);
    if (status == RN_OK)
        status = rn_piece_write(to, streams.out, &studied, batch, which.k - 1, which.n, err);
    rn_studied_clear(&studied);
    if (status == RN_OK && strcmp(to, "-") != 0 && !arguments->quiet)
        fprintf(streams.out, "Share %d of %d: %d of %d runs, in %s\n", which.k, which.n,
                (batch->count - which.k + which.n) / which.n, batch->count, rn_text_show(shown, sizeof shown, to));
    return status;
}
