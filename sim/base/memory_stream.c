#define _GNU_SOURCE /* fopencookie */

#include "base/memory_stream.h"

#include <stdlib.h>
#include <string.h>

struct rn_memory_text {
    char *bytes;
    size_t size, room;
    bool short_of_memory;
};

/* A short count is what makes the stream remember an error; the flag is kept as well, for writes after it may succeed. */
static ssize_t put(void *cookie, const char *bytes, size_t size)
{
    struct rn_memory_text *text = cookie;
    if (text->size + size >= text->room) {
        const size_t room = 2 * (text->size + size) + 256;
        char *more = text->short_of_memory ? NULL : realloc(text->bytes, room);
        if (!more) {
            text->short_of_memory = true;
            return 0;
        }
        text->bytes = more;
        text->room = room;
    }
    memcpy(text->bytes + text->size, bytes, size);
    text->size += size;
    text->bytes[text->size] = '\0';
    return (ssize_t)size;
}

bool rn_memory_stream_open(rn_memory_stream *memory)
{
    rn_memory_stream made = {.text = calloc(1, sizeof *made.text)};
    if (made.text)
        made.text->bytes = calloc(1, 1);
    if (made.text && made.text->bytes)
        made.stream = fopencookie(made.text, "w", (cookie_io_functions_t){.write = put});
    if (made.stream) {
        *memory = made;
        return true;
    }
    if (made.text)
        free(made.text->bytes);
    free(made.text);
    return false;
}

char *rn_memory_stream_close(rn_memory_stream *memory, size_t *size)
{
    const bool failed = ferror(memory->stream) != 0;
    const bool whole = fclose(memory->stream) == 0 && !failed && !memory->text->short_of_memory;
    char *bytes = memory->text->bytes;
    if (size)
        *size = memory->text->size;
    free(memory->text);
    *memory = (rn_memory_stream){0};
    if (whole)
        return bytes;
    free(bytes);
    return NULL;
}
