/* The plan on the bench: what it says, where it is kept, and every change to it, so that each can be undone. Knows nothing
   of windows. */
#ifndef DOCUMENT_H
#define DOCUMENT_H

#include <stdbool.h>

#include "plan/plan.h"
#include "wording.h"

#define DOCUMENT_UNDO 256 /* changes that can be undone */
#define DOCUMENT_PATH_SIZE 4096

typedef struct rv_document rv_document;

/* An empty plan on a fresh panel, without a path, unchanged; NULL if no memory. */
rv_document *document_new(void);
void document_free(rv_document *doc);

const rn_plan *document_plan(const rv_document *doc);

/* Rises with every change of the plan, undo and redo too, and never comes back. */
long document_version(const rv_document *doc);

const char *document_path(const rv_document *doc); /* "" : never saved */
const char *document_name(const rv_document *doc); /* the plan's title, or the file's name, or "New plan" */
bool document_changed(const rv_document *doc);     /* since it was opened or saved */

/* To change the plan: take a draft, change it, and give it back. The draft is then the document's, whatever comes of it. It
   is settled and checked; if it cannot be poured the document stays as it was and err says why. `what` names the change in
   two or three words ("volume of coral") for undo; it is copied. join: part of the change before, if that had the same
   `what`: a drag is undone in one, and one that ends where it began is no change at all. A draft that says the same as the plan is no change. */
rn_plan *document_draft(const rv_document *doc);
rn_status document_commit(rv_document *doc, rn_plan *draft, const char *what, bool join, rn_error *err);

/* False if there is nothing to undo or redo. */
bool document_undo(rv_document *doc);
bool document_redo(rv_document *doc);
const char *document_undo_what(const rv_document *doc); /* NULL: nothing */
const char *document_redo_what(const rv_document *doc);
int document_undo_depth(const rv_document *doc);

/* As rn_plan_read_file, but also takes what document_save wrote of a plan that is still being made, without any paint that
   is poured or coated with. */
rn_status document_read(rn_plan **plan, const char *path, rn_error *err);

/* The same for a text; name: of the file, for messages. */
rn_status document_read_text(rn_plan **plan, const char *text, const char *name, rn_error *err);

/* Opens a file in place of the plan; undo begins anew. On failure the document stays as it was. */
rn_status document_open(rv_document *doc, const char *path, rn_error *err);

/* Puts a plan (which is then the document's) in place; path "" for one without a file. */
void document_put(rv_document *doc, rn_plan *plan, const char *path, bool changed);

/* Writes the plan to `path`, or where it came from if that is NULL; written aside, then renamed, so that
   an older file stays whole if it cannot be. err says why as a painter would: "the disk is full". The first save over the
   file that was opened sets aside what a person wrote there, as a file of its name and ~; if that cannot be nothing is
   written. */
rn_status document_save(rv_document *doc, const char *path, rn_error *err);

/* Whether a path, however it is written, leads to the file the plan came from or was saved to. */
bool document_is_at(const rv_document *doc, const char *path);

/* The wording of the file that a save would write over, as it was when opened; and of what the last save set aside.
   WORDING_OWN: there is nothing to set aside. */
rv_wording document_wording(const rv_document *doc);
rv_wording document_set_aside(const rv_document *doc);

#endif
