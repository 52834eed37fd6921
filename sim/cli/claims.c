#define _XOPEN_SOURCE 700 /* fileno, strdup */

#include "cli/claims.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/file_place.h"
#include "base/text.h"

typedef enum purpose {
    READ,   /* a file */
    WRITE,  /* a file */
    FILL,   /* a folder, in which files are written */
    REPLACE /* a folder, all of which is written anew */
} purpose;

typedef struct claim {
    const char *by; /* the option's name, "series"; of what is read what it is, "plan"; NULL: standard output */
    char *path;     /* owned */
    purpose purpose;
    bool replaces, told; /* it may be what is read, where that is said; it is said */
    rn_file_place place;
} claim;

struct rn_claims {
    int count, room;
    claim *list; /* owned */
};

static rn_status add(rn_claims *claims, claim added, const char *path, rn_error *err)
{
    if (claims->count == claims->room) {
        const int room = claims->room > 0 ? 2 * claims->room : 8;
        claim *list = realloc(claims->list, (size_t)room * sizeof *list);
        if (!list)
            return rn_fail(err, RN_E_MEMORY, "no memory left");
        claims->list = list;
        claims->room = room;
    }
    added.path = strdup(path);
    if (!added.path)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    claims->list[claims->count++] = added;
    return RN_OK;
}

/* Of standard input that is a file it is that file. */
static rn_status add_path(rn_claims *claims, claim added, const char *path, rn_error *err)
{
    const bool there = strcmp(path, "-") != 0  ? rn_file_place_find(&added.place, path)
                       : added.purpose == READ ? rn_file_place_of(&added.place, STDIN_FILENO)
                                               : false;
    return there ? add(claims, added, path, err) : RN_OK;
}

rn_status rn_claims_add(rn_claims *claims, const char *by, const char *path, rn_error *err)
{
    return add_path(claims, (claim){.by = by, .purpose = WRITE}, path, err);
}

/* What was there is kept beside. */
static rn_status add_kept(rn_claims *claims, const char *path, rn_error *err)
{
    char beside[RN_PATH_SIZE + 1];
    snprintf(beside, sizeof beside, "%s~", path);
    return rn_claims_add(claims, "replace", beside, err);
}

static rn_status add_option(rn_claims *claims, const rn_opt *opt, const rn_arguments *arguments, rn_error *err)
{
    if (opt->kind != RN_OPT_FILE && opt->kind != RN_OPT_FOLDER && opt->kind != RN_OPT_WHOLE_FOLDER)
        return RN_OK;
    const char *path = *(const char *const *)((const char *)arguments + opt->offset);
    const claim added = {.by = opt->name,
                         .purpose = opt->kind == RN_OPT_FILE     ? WRITE
                                    : opt->kind == RN_OPT_FOLDER ? FILL
                                                                 : REPLACE,
                         .replaces = opt->replaces,
                         .told = opt->replaces && arguments->replace};
    if (!path)
        return added.told ? rn_fail(err, RN_E_USAGE, "'--replace' goes with --%s", opt->name) : RN_OK;
    const rn_status status = add_path(claims, added, path, err);
    return status == RN_OK && added.told ? add_kept(claims, path, err) : status;
}

static rn_status gather(rn_claims *claims, const rn_command *command, const rn_arguments *arguments, FILE *out,
                        rn_error *err)
{
    rn_status status = RN_OK;
    claim standard = {.purpose = WRITE};
    for (int i = 0; command->reads && i < arguments->operand_count && status == RN_OK; i++)
        status = add_path(claims, (claim){.by = command->reads, .purpose = READ}, arguments->operands[i], err);
    for (int i = 0; i < command->opt_count && status == RN_OK; i++)
        status = add_option(claims, &command->opts[i], arguments, err);
    if (status == RN_OK && command->also_writes)
        status = command->also_writes(claims, command, arguments, err);
    if (status == RN_OK && rn_file_place_of(&standard.place, fileno(out)))
        status = add(claims, standard, "standard output", err);
    return status;
}

#define SHOWN_MOST 160 /* of a path, so that two and the words around them fit a message */
#define NAME_SIZE (SHOWN_MOST + 40)

/* The path's end tells more than its beginning. */
static void show(char text[SHOWN_MOST], const claim *of)
{
    const size_t length = strlen(of->path);
    const char *from = of->path;
    if (length >= SHOWN_MOST) {
        from += length - SHOWN_MOST + 4;
        while ((*from & 0xC0) == 0x80) /* the middle of a character */
            from++;
    }
    const int before = snprintf(text, SHOWN_MOST, "%s", from > of->path ? "..." : "");
    rn_text_show(text + before, (size_t)(SHOWN_MOST - before), from);
}

/* "'--series a.csv'", "standard output". */
static void name(char text[NAME_SIZE], const claim *of)
{
    char shown[SHOWN_MOST];
    show(shown, of);
    if (of->by)
        snprintf(text, NAME_SIZE, "'--%s %s'", of->by, shown);
    else
        snprintf(text, NAME_SIZE, "%s", shown);
}

static rn_status hold_against(const claim *writes, const claim *other, rn_error *err)
{
    char one[NAME_SIZE], two[NAME_SIZE], shown[SHOWN_MOST];
    const bool same = rn_file_place_same(&writes->place, &other->place);
    name(one, writes);
    name(two, other);
    show(shown, other);
    if (same && other->purpose == READ && !writes->told)
        return rn_fail(err, RN_E_USAGE, "%s would replace the %s '%s'; name another file%s", one, other->by, shown,
                       writes->replaces ? ", or add --replace" : "");
    if (same && other->purpose != READ && !(writes->purpose == FILL && other->purpose == FILL))
        return rn_fail(err, RN_E_USAGE, "%s and %s are the same; name two", one, two);
    if (!same && writes->purpose == REPLACE && rn_file_place_within(&other->place, &writes->place))
        return rn_fail(err, RN_E_USAGE, "'%s' lies in the folder of %s, where all is replaced; name another folder",
                       shown, one);
    return RN_OK;
}

rn_status rn_claims_check(const rn_command *command, const rn_arguments *arguments, FILE *out, rn_error *err)
{
    rn_claims claims = {0};
    rn_status status = gather(&claims, command, arguments, out, err);
    for (int i = 0; i < claims.count && status == RN_OK; i++)
        for (int k = 0; k < claims.count && status == RN_OK && claims.list[i].purpose != READ; k++)
            if (k != i)
                status = hold_against(&claims.list[i], &claims.list[k], err);
    for (int i = 0; i < claims.count; i++)
        free(claims.list[i].path);
    free(claims.list);
    return status;
}
