/* Where a path leads, so that one file is known under all its spellings: through links, "." and "..", by any of its names
   if it has several; and what is not there yet by the folder it would lie in. */
#ifndef RN_BASE_FILE_PLACE_H
#define RN_BASE_FILE_PLACE_H

#include <stdbool.h>
#include <sys/types.h>

#include "base/file.h"

typedef struct rn_file_place {
    dev_t device; /* of the file; of the nearest folder that is there if the file is not */
    ino_t inode;
    char real[RN_PATH_SIZE]; /* a path to that without links */
    char rest[RN_PATH_SIZE]; /* "folder/name" below it; empty if the file is there */
} rn_file_place;

/* False where that cannot be found out, so that nothing can be written there either, and for what is no file or folder: what
   goes to a device or a pipe replaces nothing. */
bool rn_file_place_find(rn_file_place *place, const char *path);

/* The same of an open descriptor. */
bool rn_file_place_of(rn_file_place *place, int descriptor);

bool rn_file_place_same(const rn_file_place *a, const rn_file_place *b);

/* Whether the file lies in that folder or in one below it. */
bool rn_file_place_within(const rn_file_place *file, const rn_file_place *folder);

#endif
