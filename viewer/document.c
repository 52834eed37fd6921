#include "document.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

bool document_pourable(const rv_document *doc)
{
    return doc->plan->pour_count + doc->plan->base_count > 0;
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
    const bool goes_on = join && doc->done_count > 0 && doc->undone_count == 0 &&
                         strncmp(doc->done[doc->done_count - 1].what, what, WHAT_SIZE - 1) == 0;
    if (goes_on)
        rn_plan_free(doc->plan);
    else
        keep_step(doc->done, &doc->done_count, doc->plan, what);
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
}

rn_status document_open(rv_document *doc, const char *path, rn_error *err)
{
    rn_plan *plan = NULL;
    if (strlen(path) >= DOCUMENT_PATH_SIZE)
        return rn_fail(err, RN_E_FILE, "the file's path is too long");
    const rn_status status = rn_plan_read_file(&plan, path, err);
    if (status == RN_OK)
        document_put(doc, plan, path, false);
    return status;
}

rn_status document_save(rv_document *doc, const char *path, rn_error *err)
{
    const char *target = path ? path : doc->path;
    if (!target[0] || strlen(target) >= DOCUMENT_PATH_SIZE)
        return rn_fail(err, RN_E_FILE, "nowhere to save it: name a file");
    char *text = NULL;
    rn_file file;
    rn_status status = rn_plan_write(&text, doc->plan, err);
    if (status == RN_OK)
        status = rn_file_open(&file, target, NULL, err);
    if (status == RN_OK) {
        fputs(text, file.stream);
        status = rn_file_close(&file, err);
    }
    if (status != RN_OK) {
        free(text);
        return status;
    }
    free(doc->saved);
    doc->saved = text;
    doc->changed = false;
    if (target != doc->path)
        snprintf(doc->path, sizeof doc->path, "%s", target);
    return RN_OK;
}
