/* A scratch folder for files that a test writes; set up and taken down by cmocka's group fixtures. */
#ifndef RN_TESTS_SHOW_SCRATCH_H
#define RN_TESTS_SHOW_SCRATCH_H

#include <stddef.h>

int scratch_make(void **state);
int scratch_remove(void **state);

/* "folder/name"; kept until the next four calls. */
const char *scratch_path(void **state, const char *name);

/* A whole file, NUL-terminated, freed by the caller; NULL if it cannot be read. */
char *scratch_read(const char *path, size_t *size);

/* What a function writes to a stream, NUL-terminated, freed by the caller. */
#define SCRATCH_CAPTURE(text, size, call)                                                                              \
    do {                                                                                                               \
        FILE *out = open_memstream(&(text), &(size));                                                                  \
        if (!out)                                                                                                      \
            abort();                                                                                                   \
        call;                                                                                                          \
        fclose(out);                                                                                                   \
    } while (0)

#endif
