#define _GNU_SOURCE /* fopencookie, realpath */

#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define TRIES 100 /* names tried for the temporary before giving up */

static rn_status fail(const rn_file *file, int reason, rn_error *err)
{
    if (reason == ENOMEM)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    if (err && err->status == RN_OK)
        snprintf(err->file, sizeof err->file, "%.*s", (int)sizeof err->file - 1, file->path);
    return rn_fail(err, RN_E_FILE, "cannot be written: %s", strerror(reason));
}

static void clear(rn_file *file)
{
    free(file->sink);
    *file = (rn_file){0};
}

/* A stream only remembers that something was not written, and by the time it is closed errno is of something else: so the
   first reason is kept here. */
struct rn_file_sink {
    int handle, reason;
};

static ssize_t put(void *cookie, const char *bytes, size_t size)
{
    struct rn_file_sink *sink = cookie;
    size_t done = 0;
    while (done < size) {
        const ssize_t now = write(sink->handle, bytes + done, size - done);
        if (now < 0 && errno == EINTR)
            continue;
        if (now <= 0) {
            if (!sink->reason)
                sink->reason = now < 0 ? errno : EIO;
            break;
        }
        done += (size_t)now;
    }
    return (ssize_t)done;
}

static int end(void *cookie)
{
    return close(((struct rn_file_sink *)cookie)->handle);
}

/* Takes the descriptor; false, errno set and nothing taken if no memory. */
static bool open_stream(rn_file *file, int handle)
{
    struct rn_file_sink *sink = calloc(1, sizeof *sink);
    if (!sink)
        return false;
    sink->handle = handle;
    file->stream = fopencookie(sink, "w", (cookie_io_functions_t){.write = put, .close = end});
    if (!file->stream) {
        free(sink);
        return false;
    }
    file->sink = sink;
    return true;
}

/* A new file beside the target, with the rights of the file it replaces or those the user's mask gives. */
static int open_temporary(rn_file *file, const struct stat *old)
{
    for (int i = 0; i < TRIES; i++) {
        snprintf(file->temporary, sizeof file->temporary, "%s.part%ld-%d", file->target, (long)getpid(), i);
        int handle = open(file->temporary, O_WRONLY | O_CREAT | O_EXCL, 0666);
        if (handle >= 0) {
            if (old && fchmod(handle, old->st_mode & 07777) != 0) { /* rights only: the text matters more */
            }
            return handle;
        }
        if (errno != EEXIST)
            break;
    }
    file->temporary[0] = 0;
    return -1;
}

/* Opens the descriptor behind a named target. */
static int open_target(rn_file *file)
{
    struct stat old;
    if (stat(file->path, &old) != 0) {
        if (errno != ENOENT)
            return -1;
        memcpy(file->target, file->path, sizeof file->target);
        return open_temporary(file, NULL);
    }
    if (S_ISDIR(old.st_mode)) {
        errno = EISDIR;
        return -1;
    }
    if (!S_ISREG(old.st_mode))
        return open(file->path, O_WRONLY);
    if (access(file->path, W_OK) != 0) /* a protected file is not to be replaced behind its owner's back */
        return -1;
    char *real = realpath(file->path, NULL);
    if (!real)
        return -1;
    size_t length = strlen(real);
    if (length >= sizeof file->target) {
        free(real);
        errno = ENAMETOOLONG;
        return -1;
    }
    memcpy(file->target, real, length + 1);
    free(real);
    return open_temporary(file, &old);
}

static rn_status open_any(rn_file *file, const char *path, FILE *standard, bool over, rn_error *err)
{
    rn_file made = {.standard = standard};
    size_t length = strlen(path);
    if (length == 0)
        return rn_fail(err, RN_E_FILE, "a file needs a name");
    snprintf(made.path, sizeof made.path, "%s", path);
    if (length >= sizeof made.path)
        return fail(&made, ENAMETOOLONG, err);

    if (strcmp(path, "-") == 0) {
        if (!rn_memory_stream_open(&made.memory))
            return rn_fail(err, RN_E_MEMORY, "no memory left");
        made.stream = made.memory.stream;
        *file = made;
        return RN_OK;
    }
    if (over)
        memcpy(made.target, made.path, sizeof made.target);
    int handle = over ? open_temporary(&made, NULL) : open_target(&made);
    if (handle < 0)
        return fail(&made, errno, err);
    if (!open_stream(&made, handle)) {
        int reason = errno;
        close(handle);
        if (made.temporary[0])
            unlink(made.temporary);
        return fail(&made, reason, err);
    }
    *file = made;
    return RN_OK;
}

rn_status rn_file_open(rn_file *file, const char *path, FILE *standard, rn_error *err)
{
    return open_any(file, path, standard, false, err);
}

rn_status rn_file_open_over(rn_file *file, const char *path, rn_error *err)
{
    return open_any(file, path, NULL, true, err);
}

rn_status rn_file_try(const char *path, rn_error *err)
{
    rn_file file = {0};
    struct stat what;
    if (strcmp(path, "-") == 0)
        return RN_OK;
    if (stat(path, &what) == 0 && !S_ISREG(what.st_mode) && !S_ISDIR(what.st_mode)) {
        snprintf(file.path, sizeof file.path, "%s", path);
        return access(path, W_OK) == 0 ? RN_OK : fail(&file, errno, err);
    }
    const rn_status status = rn_file_open(&file, path, NULL, err);
    if (status == RN_OK)
        rn_file_abandon(&file);
    return status;
}

void rn_file_rights(rn_file *file, unsigned mode)
{
    if (file->sink && file->temporary[0] && fchmod(file->sink->handle, mode & 07777) != 0) {
    }
}

static rn_status close_standard(rn_file *file, rn_error *err)
{
    snprintf(file->path, sizeof file->path, "standard output");
    size_t size;
    char *text = rn_memory_stream_close(&file->memory, &size);
    if (!text) {
        clear(file);
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    }
    errno = 0;
    bool whole = fwrite(text, 1, size, file->standard) == size;
    whole = fflush(file->standard) == 0 && whole;
    rn_status status = whole ? RN_OK : fail(file, errno ? errno : EIO, err);
    free(text);
    clear(file);
    return status;
}

rn_status rn_file_close(rn_file *file, rn_error *err)
{
    if (strcmp(file->path, "-") == 0)
        return close_standard(file, err);
    bool named = file->temporary[0] != 0;
    int reason = 0;
    errno = 0;
    if (fflush(file->stream) != 0 || ferror(file->stream))
        reason = file->sink->reason ? file->sink->reason : EIO;
    else if (named && !file->fleeting && fsync(file->sink->handle) != 0)
        reason = errno;
    if (fclose(file->stream) != 0 && !reason)
        reason = errno ? errno : EIO;
    if (named && !reason && rename(file->temporary, file->target) != 0)
        reason = errno;
    if (named && reason)
        unlink(file->temporary);
    rn_status status = reason ? fail(file, reason, err) : RN_OK;
    clear(file);
    return status;
}

void rn_file_abandon(rn_file *file)
{
    if (file->memory.stream)
        free(rn_memory_stream_close(&file->memory, NULL));
    else if (file->stream)
        fclose(file->stream);
    if (file->temporary[0])
        unlink(file->temporary);
    clear(file);
}
