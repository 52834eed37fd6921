/* Where files that the window writes go: what is proposed, where a typed name leads, what may not be written over. A name
   that says no folder goes beside the plan. */
#ifndef FILING_H
#define FILING_H

#include "view.h"

#define FILING_WHY 200

/* The folder of the plan's file, or the one in which the program was begun. */
void filing_folder(char folder[DOCUMENT_PATH_SIZE], const rv_document *doc);

/* A name in that folder that nothing has yet: of a picture; of the plan, or its own where it has a file. "" for what is
   opened. */
void filing_propose(char *name, size_t size, const rv_document *doc, rv_errand what, const char *folder);

/* The whole path of a typed name; a plan's that has no ending gets one. False, and why, if nothing can be written there as it
   stands: a picture of another ending, the plan's own file, a folder. */
bool filing_leads(char path[DOCUMENT_PATH_SIZE], char why[FILING_WHY], const rv_document *doc, rv_errand what,
                  const char *folder, const char *typed);

/* Whether something would be lost by writing there that is not the plan's own file. */
bool filing_replaces(const rv_document *doc, rv_errand what, const char *path);

#endif
