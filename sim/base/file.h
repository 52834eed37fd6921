/* Files that are written whole or not at all: the text goes to a temporary beside the target, which takes the
   target's name only once everything is safely on the disk. '-' is the standard output. */
#ifndef RN_BASE_FILE_H
#define RN_BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "base/error.h"
#include "base/memory_stream.h"

#define RN_PATH_SIZE 4096

typedef struct rn_file {
    FILE *stream;   /* write here; its errors are reported by rn_file_close */
    FILE *standard; /* where '-' goes in the end */
    bool
        fleeting; /* set once opened: closing does not wait for the disk, as what is written may be lost in a power cut */
    struct rn_file_sink *sink;         /* not of '-': where the stream's bytes go, and why one did not */
    rn_memory_stream memory;           /* '-': what was written so far; its stream is the one above */
    char path[RN_PATH_SIZE];           /* as the caller named it */
    char target[RN_PATH_SIZE];         /* what is replaced: links followed */
    char temporary[RN_PATH_SIZE + 32]; /* empty where the target is written directly (a device, a pipe) */
} rn_file;

/* Opens path for writing; "-" collects the text for `standard`. RN_E_FILE names the path and the system's reason. */
rn_status rn_file_open(rn_file *file, const char *path, FILE *standard, rn_error *err);

/* The same of a file that the program names itself, in a folder others may write to: what stands there, be it a link or a
   pipe, is replaced and never written through. */
rn_status rn_file_open_over(rn_file *file, const char *path, rn_error *err);

/* Whether path can be written, to know before long work begins; leaves nothing behind. A device or a pipe is not opened: who
   reads it would take that for all there is. RN_E_FILE as above. */
rn_status rn_file_try(const char *path, rn_error *err);

/* Gives it these rights, as of stat, in place of those of the file it replaces; where that cannot be, the text matters more. */
void rn_file_rights(rn_file *file, unsigned mode);

/* Makes what was written appear under its name. On failure nothing is left behind and an older file stays as it was. */
rn_status rn_file_close(rn_file *file, rn_error *err);

/* Drops what was written; an older file stays as it was. */
void rn_file_abandon(rn_file *file);

#endif
