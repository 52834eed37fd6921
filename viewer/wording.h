/* How a plan's file is worded: as the program writes it, or by a person, whose comments and units another save does not
   keep. */
#ifndef WORDING_H
#define WORDING_H

#include <stddef.h>

typedef enum rv_wording { WORDING_OWN, WORDING_OTHER, WORDING_COMMENTED } rv_wording;

rv_wording wording_of(const char *text);

/* A whole file as it is, malloc'd and closed by a 0 that `length` does not count; NULL if it cannot be read. */
char *wording_read(size_t *length, const char *path);

#endif
