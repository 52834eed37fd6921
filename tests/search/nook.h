/* A new empty folder for each test, removed with all that is in it; set up and taken down by cmocka's fixtures. */
#ifndef RN_TESTS_SEARCH_NOOK_H
#define RN_TESTS_SEARCH_NOOK_H

#include <stddef.h>

int nook_make(void **state);
int nook_remove(void **state);

/* "folder/name", kept until the next four calls. */
const char *nook_path(void **state, const char *name);

/* The only file that a folder holds, at any depth, into path[size]; how many files there are. */
int nook_file(char *path, size_t size, const char *folder);

/* A whole file, NUL-terminated, freed by the caller; NULL if there is none. */
char *nook_read(const char *path, size_t *size);
void nook_write(const char *path, const char *text, size_t size);

#endif
