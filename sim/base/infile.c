#define _XOPEN_SOURCE 700 /* S_IFSOCK, O_NOFOLLOW */

#include "base/infile.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Takes the descriptor; NULL, errno set and the descriptor closed where there is no stream. */
static FILE *stream_of(int handle)
{
    FILE *stream = fdopen(handle, "rb");
    const int reason = errno;
    if (!stream)
        close(handle);
    errno = reason;
    return stream;
}

static bool is_handed_over(const char *path)
{
    return strcmp(path, "/dev/stdin") == 0 || strncmp(path, "/dev/fd/", 8) == 0;
}

FILE *rn_infile_open(const char **why, const char *path)
{
    struct stat what;
    const int handle = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    FILE *stream = NULL;
    if (handle >= 0 && fstat(handle, &what) == 0 && S_ISFIFO(what.st_mode) && !is_handed_over(path)) {
        close(handle);
        *why = "this is a pipe, not a file; '-' reads what is piped in";
        return NULL;
    }
    if (handle >= 0 && fcntl(handle, F_SETFL, 0) == 0) /* from here on it waits for what is to come */
        stream = stream_of(handle);
    if (!stream)
        *why = strerror(errno);
    return stream;
}

FILE *rn_infile_open_kept(const char *path)
{
    struct stat what;
    const int handle = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC | O_NOFOLLOW);
    if (handle < 0)
        return NULL;
    if (fstat(handle, &what) != 0 || !S_ISREG(what.st_mode)) {
        close(handle);
        return NULL;
    }
    return stream_of(handle);
}
