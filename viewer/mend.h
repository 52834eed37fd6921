/* What is wrong with a plan that was not opened, line by line, and how each could be put right. */
#ifndef MEND_H
#define MEND_H

#include <stdbool.h>

#include "base/error.h"
#include "plan/plan.h"

#define MENDS_MOST 24
#define MEND_TEXT 240

typedef struct rv_mend_line {
    int line, column, length; /* of what is wrong; from 1; 0: of the whole file */
    char what[MEND_TEXT];     /* "a jar cannot hold -20 ml" */
    char wanted[MEND_TEXT];   /* "more than 0, up to 5000 ml"; may be "" */
    bool mendable;
    char offer[MEND_TEXT];   /* "Use 20 ml" */
    char instead[MEND_TEXT]; /* what stands in place of those `length` bytes then */
    bool taken;              /* the painter has chosen it */
} rv_mend_line;

typedef struct rv_mend {
    char path[4096], name[256];
    char *text; /* of the file, owned; NULL if it could not even be read: then `trouble` says why */
    int line_count;
    char trouble[320];
    int count;
    bool more; /* beyond those there are others, which only show once these are put right */
    rv_mend_line lines[MENDS_MOST];
} rv_mend;

/* Looks a file through that document_read has refused: finds the errors one after the other, as if each that can be
   mended had been. False if no memory. */
bool mend_look(rv_mend *mend, const char *path);
void mend_clear(rv_mend *mend);

/* Whether all of it can be mended, as far as can be seen. */
bool mend_whole(const rv_mend *mend);

/* The text with the mends that are taken, malloc'd, the caller's; all: with all of them. */
char *mend_apply(const rv_mend *mend, bool all);

/* As mend_apply, read as a plan (see document_read). The file itself is left as it is until the painter saves. */
rn_status mend_read(rn_plan **plan, const rv_mend *mend, bool all, rn_error *err);

#endif
