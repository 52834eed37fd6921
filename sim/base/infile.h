/* Files that are read. What is named is opened without waiting: a pipe under a file's name would keep the program waiting for
   somebody to write to it, and is refused. */
#ifndef RN_BASE_INFILE_H
#define RN_BASE_INFILE_H

#include <stdio.h>

/* A file, or a device, that a person names; NULL and *why, in the system's words or ours, where it cannot be opened. Pipes are
   read under /dev/stdin and /dev/fd/, where whoever starts the program has put them. */
FILE *rn_infile_open(const char **why, const char *path);

/* A file that the program keeps in a folder others may write to: a regular one, and no link; NULL if it is not. */
FILE *rn_infile_open_kept(const char *path);

#endif
