/* The file: lines of a word and its value, the plan's text after the line that says how long it is, a line for each run of
   the share, and the check sum.

       runnel piece 1
       stamp 0.1.0 3f...
       study 9a...            sum of all runs' identities
       command odds
       word "--draws"
       word "400"
       named "tide-table.yaml"
       plan 812
       ...
       share 3 of 8
       runs 402
       2 whole met 96 96 ...
       10 ...
       5c...                  */
#define _XOPEN_SOURCE 700 /* lstat */

#include "search/piece.h"

#include <errno.h>
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/file.h"
#include "base/infile.h"
#include "base/text.h"
#include "search/identity.h"

#define HEAD "runnel piece 1\n"
#define FILE_MOST (256u << 20) /* of a piece [bytes] */
#define FIRST_ROOM (64u << 10) /* what reading begins with [bytes] */
#define WORDS_MOST 1000
#define RUNS_MOST 10000000
#define NAME_SIZE 310

void rn_studied_clear(rn_studied *studied)
{
    for (int i = 0; i < studied->word_count; i++)
        free(studied->words[i]);
    free(studied->words);
    free(studied->command);
    free(studied->plan_name);
    free(studied->plan);
    *studied = (rn_studied){0};
}

rn_status rn_batch_sum(char sum[RN_SEAL_SIZE], const rn_batch *batch, rn_error *err)
{
    rn_status status = RN_OK;
    GString *all = g_string_new(NULL);
    for (int i = 0; i < batch->count && status == RN_OK; i++) {
        char *identity = NULL;
        if (!batch->plans[i]) {
            g_string_append(all, "none\n");
            continue;
        }
        status = rn_identity_write(&identity, &batch->runs[i], NULL, err);
        char own[RN_SEAL_SIZE] = "";
        if (status == RN_OK && !rn_seal_sum(own, identity, strlen(identity)))
            status = rn_fail(err, RN_E_MEMORY, "no memory left");
        g_string_append_printf(all, "%s\n", own);
        free(identity);
    }
    if (status == RN_OK && !rn_seal_sum(sum, all->str, all->len))
        status = rn_fail(err, RN_E_MEMORY, "no memory left");
    g_string_free(all, TRUE);
    return status;
}

/* ---- writing ---- */

static void append_quoted(GString *text, const char *word, const char *value)
{
    char *escaped = g_strescape(value, NULL);
    g_string_append_printf(text, "%s \"%s\"\n", word, escaped);
    g_free(escaped);
}

rn_status rn_piece_try(const char *path, rn_error *err)
{
    struct stat what;
    if (strcmp(path, "-") != 0 && lstat(path, &what) == 0 && S_ISLNK(what.st_mode) && stat(path, &what) == 0 &&
        S_ISREG(what.st_mode))
        return rn_fail(err, RN_E_FILE, "'%.200s' is a link to a file, and a piece replaces none that is elsewhere",
                       path);
    return rn_file_try(path, err);
}

rn_status rn_piece_write(const char *path, FILE *standard, const rn_studied *studied, const rn_batch *batch, int share,
                         int shares, rn_error *err)
{
    char sum[RN_SEAL_SIZE], line[RN_OUTCOME_LINE];
    rn_status status = rn_batch_sum(sum, batch, err);
    if (status)
        return status;
    GString *text = g_string_new(HEAD);
    g_string_append_printf(text, "stamp %s\nstudy %s\ncommand %s\n", rn_identity_stamp(), sum, studied->command);
    for (int i = 0; i < studied->word_count; i++)
        append_quoted(text, "word", studied->words[i]);
    append_quoted(text, "named", studied->plan_name);
    g_string_append_printf(text, "plan %zu\n", studied->plan_size);
    g_string_append_len(text, studied->plan, (gssize)studied->plan_size);
    g_string_append_printf(text, "\nshare %d of %d\nruns %d\n", share + 1, shares, batch->count);
    for (int i = share; i < batch->count; i += shares) {
        rn_outcome_write(line, &batch->runs[i].outcome);
        g_string_append_printf(text, "%d %s\n", i + 1, line);
    }
    rn_file file;
    if (!rn_seal_sum(sum, text->str, text->len))
        status = rn_fail(err, RN_E_MEMORY, "no memory left");
    if (status == RN_OK)
        status = rn_piece_try(path, err);
    if (status == RN_OK)
        status = rn_file_open(&file, path, standard, err);
    if (status == RN_OK) {
        fprintf(file.stream, "%s%s\n", text->str, sum);
        status = rn_file_close(&file, err);
    }
    g_string_free(text, TRUE);
    return status;
}

/* ---- reading ---- */

/* As messages name it: "'pieces/3.piece'", "standard input". */
static const char *name_of(char name[NAME_SIZE], const char *path)
{
    snprintf(name, NAME_SIZE, strcmp(path, "-") == 0 ? "standard input" : "'%.300s'", path);
    return name;
}

static rn_status fail_file(const char *path, const char *what, rn_error *err)
{
    char name[NAME_SIZE];
    return rn_fail(err, RN_E_FILE, "%s %s", name_of(name, path), what);
}

/* Of what stands in one line of it. */
static rn_status fail_line(const rn_piece *piece, int line, const char *what, rn_error *err)
{
    if (err && err->status == RN_OK)
        snprintf(err->file, sizeof err->file, "%s", piece->name);
    return rn_fail_at(err, RN_E_FILE, (rn_mark){line, 0}, "%s; work that share again", what);
}

/* Up to so many bytes of what is read, with a closing 0, owned by the caller; NULL: no memory. */
static char *read_most(size_t *size, FILE *in, size_t most)
{
    size_t room = FIRST_ROOM;
    char *text = malloc(room);
    *size = 0;
    while (text) {
        const size_t wanted = (room - 1 < most ? room - 1 : most) - *size, got = fread(text + *size, 1, wanted, in);
        *size += got;
        text[*size] = '\0';
        if (got < wanted || *size == most)
            return text;
        room *= 2;
        char *more = realloc(text, room);
        if (!more)
            free(text);
        text = more;
    }
    return NULL;
}

/* The whole file, or a little more than a piece may have. */
static rn_status read_all(char **text, size_t *size, const char *path, rn_error *err)
{
    char name[NAME_SIZE];
    const bool standard = strcmp(path, "-") == 0;
    const char *reason = NULL;
    FILE *in = standard ? stdin : rn_infile_open(&reason, path);
    errno = 0;
    char *read = in ? read_most(size, in, FILE_MOST + 1) : NULL;
    if (in && ferror(in))
        reason = strerror(errno ? errno : EIO);
    if (in && !standard)
        fclose(in);
    if (!reason && read) {
        *text = read;
        return RN_OK;
    }
    free(read);
    return reason ? rn_fail(err, RN_E_FILE, "%s cannot be read: %s", name_of(name, path), reason)
                  : rn_fail(err, RN_E_MEMORY, "no memory left for %s", name_of(name, path));
}

/* What is taken apart, from its beginning on. */
typedef struct reader {
    char *at;
    bool no_memory;
    int line;  /* that `at` begins */
    int wrong; /* the line of an outcome that is none; 0: none is wrong */
} reader;

/* A copy of text[length], owned by the caller. */
static char *keep(reader *in, const char *text, size_t length)
{
    char *copy = strndup(text, length);
    in->no_memory = in->no_memory || !copy;
    return copy;
}

/* "word value"; the value is NUL-terminated in place, and what comes next is the next line. False if it is another. */
static bool take(char **value, reader *in, const char *word)
{
    const size_t length = strlen(word);
    char *end = strchr(in->at, '\n');
    if (!end || strncmp(in->at, word, length) != 0 || in->at[length] != ' ')
        return false;
    *value = in->at + length + 1;
    *end = '\0';
    in->at = end + 1;
    in->line++;
    return true;
}

/* The same of a quoted value, as a copy that the caller owns. */
static bool take_quoted(char **copy, reader *in, const char *word)
{
    char *value;
    if (!take(&value, in, word))
        return false;
    const size_t length = strlen(value);
    if (length < 2 || value[0] != '"' || value[length - 1] != '"')
        return false;
    value[length - 1] = '\0';
    gchar *plain = g_strcompress(value + 1);
    *copy = keep(in, plain, strlen(plain));
    g_free(plain);
    return *copy != NULL;
}

static bool take_count(int *count, reader *in, const char *word, int most)
{
    char *value, *end;
    if (!take(&value, in, word))
        return false;
    const long number = strtol(value, &end, 10);
    *count = (int)number;
    return end != value && *end == '\0' && number >= 0 && number <= most;
}

static bool take_words(rn_studied *studied, reader *in)
{
    studied->words = calloc(WORDS_MOST, sizeof *studied->words);
    in->no_memory = !studied->words;
    if (!studied->words)
        return false;
    while (studied->word_count < WORDS_MOST && strncmp(in->at, "word ", 5) == 0) {
        if (!take_quoted(&studied->words[studied->word_count], in, "word"))
            return false;
        studied->word_count++;
    }
    return true;
}

static bool take_plan(rn_studied *studied, reader *in, const char *end)
{
    int size;
    if (!take_quoted(&studied->plan_name, in, "named") || !take_count(&size, in, "plan", (int)FILE_MOST) ||
        size >= end - in->at || in->at[size] != '\n')
        return false;
    studied->plan = keep(in, in->at, (size_t)size);
    studied->plan_size = (size_t)size;
    for (int i = 0; i <= size; i++)
        in->line += in->at[i] == '\n';
    in->at += size + 1;
    return studied->plan != NULL;
}

static bool take_share(rn_piece *piece, reader *in)
{
    char *value;
    int used = 0;
    if (!take(&value, in, "share") || sscanf(value, "%d of %d%n", &piece->share, &piece->shares, &used) != 2 ||
        value[used] != '\0')
        return false;
    piece->share--;
    return piece->share >= 0 && piece->share < piece->shares && piece->shares <= RN_SHARES_MOST;
}

/* A line for each run of the share, and none besides. */
static bool take_runs(rn_piece *piece, reader *in)
{
    if (!take_count(&piece->run_count, in, "runs", RUNS_MOST))
        return false;
    piece->outcomes = calloc((size_t)piece->run_count + 1, sizeof *piece->outcomes);
    in->no_memory = !piece->outcomes;
    piece->line = in->line;
    for (int i = piece->share; piece->outcomes && i < piece->run_count; i += piece->shares) {
        char number[16], *line;
        snprintf(number, sizeof number, "%d", i + 1);
        in->wrong = in->line;
        if (!take(&line, in, number) || !rn_outcome_read(&piece->outcomes[i], line) ||
            piece->outcomes[i].state == RN_OUTCOME_NONE)
            return false;
    }
    in->wrong = 0;
    return piece->outcomes && *in->at == '\0';
}

static bool take_apart(rn_piece *piece, reader *in, const char *end)
{
    char *value;
    if (!take(&value, in, "stamp") || strlen(value) >= sizeof piece->stamp || !rn_text_printable(value))
        return false;
    strcpy(piece->stamp, value);
    if (!take(&value, in, "study") || strlen(value) != RN_SEAL_SIZE - 1)
        return false;
    strcpy(piece->batch_sum, value);
    if (!take(&value, in, "command") || value[strspn(value, "abcdefghijklmnopqrstuvwxyz")])
        return false;
    piece->studied.command = keep(in, value, strlen(value));
    return piece->studied.command && take_words(&piece->studied, in) && take_plan(&piece->studied, in, end) &&
           take_share(piece, in) && take_runs(piece, in);
}

rn_status rn_piece_read(rn_piece *piece, const char *path, rn_error *err)
{
    char *text = NULL;
    size_t size = 0, inner;
    rn_status status = read_all(&text, &size, path, err);
    if (status)
        return status;
    if (size > FILE_MOST || strncmp(text, HEAD, strlen(HEAD)) != 0)
        status = fail_file(path, "is no piece of a study: those are what --share writes", err);
    else if (!rn_seal_holds(&inner, text, size))
        status = fail_file(path, "is damaged: its check sum does not fit; work that share again", err);
    if (status == RN_OK) {
        reader in = {.at = text + strlen(HEAD), .line = 2};
        text[inner] = '\0';
        piece->name = strdup(strcmp(path, "-") == 0 ? "standard input" : path);
        if (!piece->name)
            status = rn_fail(err, RN_E_MEMORY, "no memory left");
        else if (!take_apart(piece, &in, text + inner))
            status = in.no_memory ? rn_fail(err, RN_E_MEMORY, "no memory left")
                     : in.wrong   ? fail_line(piece, in.wrong, "this is not what a run comes to", err)
                                : fail_file(path, "is no piece that this program can read; work that share again", err);
    }
    free(text);
    return status;
}

void rn_piece_clear(rn_piece *piece)
{
    rn_studied_clear(&piece->studied);
    free(piece->outcomes);
    free(piece->name);
    *piece = (rn_piece){0};
}

/* ---- together ---- */

static bool same_study(const rn_piece *a, const rn_piece *b)
{
    return a->run_count == b->run_count && strcmp(a->batch_sum, b->batch_sum) == 0 &&
           strcmp(a->studied.command, b->studied.command) == 0;
}

static rn_status fit_two(const rn_piece *a, const rn_piece *b, const char *name_a, const char *name_b, rn_error *err)
{
    if (strcmp(a->stamp, b->stamp) != 0)
        return rn_fail(err, RN_E_FILE, "'%.120s' and '%.120s' were worked by different programs: %s and %s", name_a,
                       name_b, a->stamp, b->stamp);
    if (!same_study(a, b))
        return rn_fail(err, RN_E_FILE, "'%.120s' and '%.120s' are pieces of different studies", name_a, name_b);
    if (a->shares != b->shares)
        return rn_fail(err, RN_E_FILE, "'%.120s' is one of %d shares and '%.120s' one of %d", name_a, a->shares, name_b,
                       b->shares);
    return RN_OK;
}

/* "share 3 is missing", "shares 3, 5 and 8 are missing", at most a dozen named. */
static rn_status fail_missing(const bool *there, int shares, rn_error *err)
{
    GString *list = g_string_new(NULL);
    int missing = 0, named = 0;
    for (int k = 0; k < shares; k++)
        missing += !there[k];
    for (int k = 0; k < shares && named < 12; k++)
        if (!there[k]) {
            g_string_append_printf(list, "%s%d", named == 0 ? "" : named == missing - 1 ? " and " : ", ", k + 1);
            named++;
        }
    if (missing > named)
        g_string_append_printf(list, " and %d more", missing - named);
    rn_fail(err, RN_E_FILE, "share%s %s of %d %s missing", missing == 1 ? "" : "s", list->str, shares,
            missing == 1 ? "is" : "are");
    g_string_free(list, TRUE);
    return RN_E_FILE;
}

rn_status rn_pieces_fit(const rn_piece *pieces, const char *const *names, int count, rn_error *err)
{
    const int shares = pieces[0].shares;
    rn_status status = RN_OK;
    int found = 0;
    bool *there = calloc((size_t)shares, sizeof *there);
    if (!there)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0; i < count && status == RN_OK; i++) {
        status = fit_two(&pieces[0], &pieces[i], names[0], names[i], err);
        if (status == RN_OK && there[pieces[i].share]) {
            int first = 0;
            while (pieces[first].share != pieces[i].share)
                first++;
            status = rn_fail(err, RN_E_FILE, "share %d of %d is there twice: '%.120s' and '%.120s'",
                             pieces[i].share + 1, shares, names[first], names[i]);
        } else if (status == RN_OK) {
            there[pieces[i].share] = true;
            found++;
        }
    }
    if (status == RN_OK && found < shares)
        status = fail_missing(there, shares, err);
    free(there);
    return status;
}

/* Runs of a study go to their ends; a place without a plan has failed, in the words it has here as well. */
static bool possible(const rn_run *run, const rn_outcome *outcome)
{
    if (!run->plan)
        return outcome->state == RN_OUTCOME_FAILED && strcmp(outcome->why, run->outcome.why) == 0;
    return outcome->state == RN_OUTCOME_FAILED ||
           (outcome->state == RN_OUTCOME_WHOLE && outcome->has_pattern == run->pattern &&
            !rn_outcome_strange(outcome, run->plan, run->cells));
}

rn_status rn_pieces_put(rn_batch *batch, const rn_piece *pieces, int count, rn_error *err)
{
    char sum[RN_SEAL_SIZE];
    if (strcmp(pieces[0].stamp, rn_identity_stamp()) != 0)
        return rn_fail(err, RN_E_FILE, "the pieces were worked by another program, %s; this is %s", pieces[0].stamp,
                       rn_identity_stamp());
    const rn_status status = rn_batch_sum(sum, batch, err);
    if (status)
        return status;
    if (batch->count != pieces[0].run_count || strcmp(sum, pieces[0].batch_sum) != 0)
        return rn_fail(err, RN_E_FILE, "the pieces are not of the study that they say they are of");
    for (int p = 0; p < count; p++)
        for (int i = pieces[p].share; i < batch->count; i += pieces[p].shares)
            if (!possible(&batch->runs[i], &pieces[p].outcomes[i]))
                return fail_line(&pieces[p], pieces[p].line + i / pieces[p].shares,
                                 "this is not what a run of this plan comes to", err);
    for (int p = 0; p < count; p++)
        for (int i = pieces[p].share; i < batch->count; i += pieces[p].shares)
            batch->runs[i].outcome = pieces[p].outcomes[i];
    return RN_OK;
}
