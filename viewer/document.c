#include "document.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/file.h"

#define WHAT_SIZE 96

/* One state of the plan that can be gone back to. */
typedef struct step {
    rn_plan *plan;
    char what[WHAT_SIZE]; /* the change that led away from it (done) or to it (undone) */
} step;

struct rv_document {
    rn_plan *plan;
    long version;
    char path[DOCUMENT_PATH_SIZE];
    char *saved; /* the plan as text when it was opened or saved; NULL: never */
    bool changed;
    bool opened; /* the file still is as it was found */
    rv_wording wording, aside;
    bool closed; /* the change before is done with: nothing joins it */
    int done_count, undone_count;
    step done[DOCUMENT_UNDO], undone[DOCUMENT_UNDO]; /* the latest last */
};

static void forget_steps(step *steps, int *count)
{
    for (int k = 0; k < *count; k++)
        rn_plan_free(steps[k].plan);
    *count = 0;
}

/* Adds a state; the oldest is let go where there are too many. */
static void keep_step(step *steps, int *count, rn_plan *plan, const char *what)
{
    if (*count == DOCUMENT_UNDO) {
        rn_plan_free(steps[0].plan);
        memmove(&steps[0], &steps[1], (DOCUMENT_UNDO - 1) * sizeof *steps);
        (*count)--;
    }
    steps[*count].plan = plan;
    snprintf(steps[*count].what, sizeof steps[*count].what, "%s", what);
    (*count)++;
}

static char *text_of(const rn_plan *plan)
{
    char *text = NULL;
    rn_error err = {0};
    return rn_plan_write(&text, plan, &err) == RN_OK ? text : NULL;
}

/* Whether two plans say the same, as a file would hold them. */
static bool same(const rn_plan *a, const rn_plan *b)
{
    char *one = text_of(a), *other = text_of(b);
    const bool equal = one && other && strcmp(one, other) == 0;
    free(one);
    free(other);
    return equal;
}

rv_document *document_new(void)
{
    rv_document *doc = calloc(1, sizeof *doc);
    if (doc && !(doc->plan = rn_plan_new())) {
        free(doc);
        return NULL;
    }
    if (!doc)
        return NULL;
    doc->version = 1;
    doc->saved = text_of(doc->plan); /* nothing is lost by leaving an empty bench */
    return doc;
}

void document_free(rv_document *doc)
{
    if (!doc)
        return;
    forget_steps(doc->done, &doc->done_count);
    forget_steps(doc->undone, &doc->undone_count);
    rn_plan_free(doc->plan);
    free(doc->saved);
    free(doc);
}

const rn_plan *document_plan(const rv_document *doc)
{
    return doc->plan;
}

long document_version(const rv_document *doc)
{
    return doc->version;
}

const char *document_path(const rv_document *doc)
{
    return doc->path;
}

const char *document_name(const rv_document *doc)
{
    if (doc->plan->title[0])
        return doc->plan->title;
    const char *slash = strrchr(doc->path, '/');
    return doc->path[0] ? (slash ? slash + 1 : doc->path) : "New plan";
}

bool document_changed(const rv_document *doc)
{
    return doc->changed;
}

/* Back at what was saved, nothing has changed. */
static void compare_with_saved(rv_document *doc)
{
    char *text = text_of(doc->plan);
    doc->changed = doc->saved ? !text || strcmp(text, doc->saved) != 0 : true;
    free(text);
}

rn_plan *document_draft(const rv_document *doc)
{
    return rn_plan_copy(doc->plan);
}

/* As rn_plan_check, but a plan that is only being made may still hold no paint: it is then checked with some. */
static rn_status check(const rn_plan *draft, rn_error *err)
{
    if (draft->pour_count + draft->base_count > 0)
        return rn_plan_check(draft, err);
    rn_plan *filled = rn_plan_copy(draft);
    if (!filled)
        return rn_fail(err, RN_E_MEMORY, "no memory to check the plan");
    if (!filled->paint_count) {
        filled->paint_count = 1;
        filled->paints[0] =
            (rn_paint){.name = "paint", .density = 1200, .tension = 0.033, .law = {1, 1, 0}, .solids = 0.35};
    }
    filled->base_count = 1;
    filled->bases[0] = (rn_base){.kind = RN_BASE_ALL, .volume = NAN, .depth = 1e-4, .across = 0.04, .width = 0.02};
    const rn_status status = rn_plan_check(filled, err);
    rn_plan_free(filled);
    return status;
}

rn_status document_commit(rv_document *doc, rn_plan *draft, const char *what, bool join, rn_error *err)
{
    rn_plan_settle(draft);
    const rn_status status = check(draft, err);
    if (status != RN_OK || same(draft, doc->plan)) {
        rn_plan_free(draft);
        return status;
    }
    const bool goes_on = join && !doc->closed && doc->done_count > 0 && doc->undone_count == 0 &&
                         strncmp(doc->done[doc->done_count - 1].what, what, WHAT_SIZE - 1) == 0;
    doc->closed = false;
    if (goes_on)
        rn_plan_free(doc->plan);
    else
        keep_step(doc->done, &doc->done_count, doc->plan, what);
    if (goes_on &&
        same(draft, doc->done[doc->done_count - 1].plan)) { /* dragged back to where it was: no change at all */
        rn_plan_free(doc->done[--doc->done_count].plan);
        doc->closed = true;
    }
    forget_steps(doc->undone, &doc->undone_count);
    doc->plan = draft;
    doc->version++;
    compare_with_saved(doc);
    return RN_OK;
}

/* Goes one step along, from the end of one list to the end of the other. */
static bool go(rv_document *doc, step *from, int *from_count, step *to, int *to_count)
{
    if (*from_count == 0)
        return false;
    const step taken = from[--*from_count];
    keep_step(to, to_count, doc->plan, taken.what);
    doc->plan = taken.plan;
    doc->closed = true;
    doc->version++;
    compare_with_saved(doc);
    return true;
}

bool document_undo(rv_document *doc)
{
    return go(doc, doc->done, &doc->done_count, doc->undone, &doc->undone_count);
}

bool document_redo(rv_document *doc)
{
    return go(doc, doc->undone, &doc->undone_count, doc->done, &doc->done_count);
}

const char *document_undo_what(const rv_document *doc)
{
    return doc->done_count ? doc->done[doc->done_count - 1].what : NULL;
}

const char *document_redo_what(const rv_document *doc)
{
    return doc->undone_count ? doc->undone[doc->undone_count - 1].what : NULL;
}

int document_undo_depth(const rv_document *doc)
{
    return doc->done_count;
}

void document_put(rv_document *doc, rn_plan *plan, const char *path, bool changed)
{
    forget_steps(doc->done, &doc->done_count);
    forget_steps(doc->undone, &doc->undone_count);
    rn_plan_free(doc->plan);
    doc->plan = plan;
    doc->version++;
    snprintf(doc->path, sizeof doc->path, "%s", path);
    free(doc->saved);
    doc->saved = changed ? NULL : text_of(plan);
    doc->changed = changed;
    size_t length;
    char *text = path[0] ? wording_read(&length, path) : NULL;
    doc->opened = path[0] != '\0';
    doc->wording = text ? wording_of(text) : WORDING_OWN;
    doc->aside = WORDING_OWN;
    free(text);
}

rv_wording document_wording(const rv_document *doc)
{
    return doc->wording;
}

rv_wording document_set_aside(const rv_document *doc)
{
    return doc->aside;
}

/* ---- files ---- */

/* A plan that is only being made says so much less than a plan must that it is read with a coat of paint added, which is
   then taken away again. */
static rn_plan *read_unpoured(const char *text, const char *path)
{
    const size_t size = strlen(text) + 512;
    char *filled = malloc(size);
    rn_plan *plan = NULL;
    rn_error err = {0};
    if (!filled)
        return NULL;
    const char *paints = strstr(text, "\npaints:\n  ");
    const char *name = paints ? paints + strlen("\npaints:\n  ") : NULL;
    const int letters = name ? (int)strcspn(name, ":\n") : 0;
    if (name)
        snprintf(filled, size, "%s\nbase: [{paint: %.*s, depth: 0.1 mm}]\n", text, letters < 256 ? letters : 0, name);
    else
        snprintf(filled, size, "%s\npaints: {paint: {viscosity: 1 Pa s}}\nbase: [{paint: paint, depth: 0.1 mm}]\n",
                 text);
    if (rn_plan_read(&plan, filled, (long)strlen(filled), path, &err) == RN_OK) {
        plan->base_count = 0;
        if (!name)
            plan->paint_count = 0;
        rn_plan_settle(plan);
    }
    free(filled);
    return plan;
}

rn_status document_read_text(rn_plan **plan, const char *text, const char *name, rn_error *err)
{
    const rn_status status = rn_plan_read(plan, text, (long)strlen(text), name, err);
    rn_plan *unpoured = status == RN_E_PLAN ? read_unpoured(text, name) : NULL;
    if (!unpoured)
        return status;
    *plan = unpoured;
    if (err)
        *err = (rn_error){0};
    return RN_OK;
}

rn_status document_read(rn_plan **plan, const char *path, rn_error *err)
{
    if (strcmp(path, "-") == 0)
        return rn_fail(err, RN_E_FILE, "a window reads no standard input: name a file");
    const rn_status status = rn_plan_read_file(plan, path, err);
    size_t length;
    char *text = status == RN_E_PLAN ? wording_read(&length, path) : NULL;
    rn_plan *unpoured = text ? read_unpoured(text, path) : NULL;
    free(text);
    if (!unpoured)
        return status;
    *plan = unpoured;
    if (err)
        *err = (rn_error){0};
    return RN_OK;
}

rn_status document_open(rv_document *doc, const char *path, rn_error *err)
{
    rn_plan *plan = NULL;
    if (strlen(path) >= DOCUMENT_PATH_SIZE)
        return rn_fail(err, RN_E_FILE, "the file's path is too long");
    const rn_status status = document_read(&plan, path, err);
    if (status == RN_OK)
        document_put(doc, plan, path, false);
    return status;
}

/* The system's reason, in a painter's words. */
static void say_plainly(rn_error *err)
{
    static const struct {
        int reason;
        const char *words;
    } reasons[] = {
        {ENOSPC, "the disk is full"},
        {EDQUOT, "your share of the disk is full"},
        {EFBIG, "the file would be larger than it may be"},
        {EROFS, "the disk can only be read"},
        {EACCES, "you may not write there"},
        {EPERM, "you may not write there"},
        {ENOENT, "there is no such folder"},
        {ENOTDIR, "a part of the path is no folder"},
        {EISDIR, "that is a folder"},
        {ENAMETOOLONG, "the name is too long"},
        {EIO, "the disk did not take it"},
    };
    const char *colon = strrchr(err->message, ':');
    for (size_t k = 0; colon && k < sizeof reasons / sizeof *reasons; k++)
        if (strcmp(colon + 2, strerror(reasons[k].reason)) == 0) {
            snprintf(err->message, sizeof err->message, "%s", reasons[k].words);
            return;
        }
}

/* like (may be NULL): a file whose rights it gets. */
static rn_status write_text(const char *path, const char *text, size_t length, const struct stat *like, rn_error *err)
{
    rn_file file;
    rn_error own = {0};
    rn_status status = rn_file_open(&file, path, NULL, &own);
    if (status == RN_OK) {
        if (like)
            rn_file_rights(&file, like->st_mode & 0777);
        fwrite(text, 1, length, file.stream);
        status = rn_file_close(&file, &own);
    }
    if (status != RN_OK) {
        say_plainly(&own);
        if (err && err->status == RN_OK)
            *err = own;
    }
    return status;
}

bool document_is_at(const rv_document *doc, const char *path)
{
    struct stat own, other;
    return stat(doc->path, &own) == 0 && stat(path, &other) == 0 && own.st_dev == other.st_dev &&
           own.st_ino == other.st_ino;
}

/* A link of that name leads to the plan or to something that is not the program's to write. */
static bool is_link(const char *path)
{
    struct stat there;
    return lstat(path, &there) == 0 && S_ISLNK(there.st_mode);
}

/* Keeps what a person wrote there, as it is now: it may have been changed since it was opened. */
static rn_status set_aside(rv_wording *wording, const char *path, rn_error *err)
{
    char beside[DOCUMENT_PATH_SIZE + 1];
    struct stat now;
    size_t length;
    if (stat(path, &now) != 0)
        return RN_OK; /* it is gone */
    rn_error own = {0};
    rn_status status = RN_E_FILE;
    char *text = wording_read(&length, path);
    snprintf(own.message, sizeof own.message, "it cannot be read");
    if (text) {
        *wording = strlen(text) == length ? wording_of(text) : WORDING_OTHER;
        own = (rn_error){0};
        snprintf(beside, sizeof beside, "%s~", path);
        if (*wording == WORDING_OWN)
            status = RN_OK;
        else if (is_link(beside))
            snprintf(own.message, sizeof own.message, "a link has that name");
        else
            status = write_text(beside, text, length, &now, &own);
    }
    free(text);
    if (status == RN_OK)
        return RN_OK;
    const char *slash = strrchr(path, '/');
    return rn_fail(err, RN_E_FILE, "what stands there cannot be kept as %.200s~ (%.200s)", slash ? slash + 1 : path,
                   own.message);
}

rn_status document_save(rv_document *doc, const char *path, rn_error *err)
{
    const char *target = path ? path : doc->path;
    if (!target[0] || strcmp(target, "-") == 0)
        return rn_fail(err, RN_E_FILE, "it has no file yet: name one");
    if (strlen(target) >= DOCUMENT_PATH_SIZE)
        return rn_fail(err, RN_E_FILE, "the name is too long");
    char *text = NULL;
    rv_wording aside = WORDING_OWN;
    rn_status status = rn_plan_write(&text, doc->plan, err);
    if (status == RN_OK && doc->opened && document_is_at(doc, target))
        status = set_aside(&aside, target, err);
    if (status == RN_OK)
        status = write_text(target, text, strlen(text), NULL, err);
    if (status != RN_OK) {
        free(text);
        return status;
    }
    free(doc->saved);
    doc->saved = text;
    doc->changed = doc->opened = false;
    doc->wording = WORDING_OWN;
    doc->aside = aside;
    if (target != doc->path)
        snprintf(doc->path, sizeof doc->path, "%s", target);
    return RN_OK;
}
