/* From one error of a plan's text to what would put it right, and to the words that tell it. */
#ifndef MEND_FIND_H
#define MEND_FIND_H

#include "mend.h"
#include "mend_span.h"

typedef struct rv_mending {
    rv_span span;            /* what is replaced */
    char instead[MEND_TEXT]; /* by what */
    char offer[MEND_TEXT];   /* "Use 20 ml" */
} rv_mending;

/* False if there is no sensible mend. */
bool mend_find(rv_mending *mending, const rn_error *err, const char *text);

/* Of those, what keeps the text from being read at all; at: the place in it. */
bool mend_find_marks(rv_mending *mending, const rn_error *err, const char *text, long at);

/* What is wrong, and what is wanted instead ("": nothing more to say), as the page words it. */
void mend_say(rv_mend_line *line, const rn_error *err);

/* The part of a message between two words, `to` "": up to its end; false, and the part is "", if it is not there. */
bool mend_part(char *part, int size, const char *message, const char *from, const char *to);

#endif
