/* What a deletion takes with it, in words: whoever deletes is told at once, beside how it comes back. */
#ifndef GONE_H
#define GONE_H

#include "view.h"

#define GONE_SIZE 320

/* "slate is deleted, and with it ..." of what has the focus, said of the plan as it is before; "" if that cannot be
   deleted. */
void gone_words(char text[GONE_SIZE], const rv_view *view, rv_part_at what);

/* Says them once the plan has changed; end: of the plan before [s]. */
void gone_say(rv_view *view, const char *words, double end);

#endif
