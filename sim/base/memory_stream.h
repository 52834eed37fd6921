/* Text that is written into memory. Unlike open_memstream it says so where memory was short, at whatever moment. */
#ifndef RN_BASE_MEMORY_STREAM_H
#define RN_BASE_MEMORY_STREAM_H

#include <stdbool.h>
#include <stdio.h>

typedef struct rn_memory_stream {
    FILE *stream; /* write here */
    struct rn_memory_text *text;
} rn_memory_stream;

/* False if no memory; nothing is to be closed then. */
bool rn_memory_stream_open(rn_memory_stream *memory);

/* Ends it. Returns what was written with a closing 0, owned by the caller, and its size without that (may be NULL); NULL if
   there was too little memory for all of it. */
char *rn_memory_stream_close(rn_memory_stream *memory, size_t *size);

#endif
