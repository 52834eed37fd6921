#define _XOPEN_SOURCE 700 /* lstat */

#include "search/cache.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/file.h"
#include "base/infile.h"
#include "search/seal.h"

#define HEAD "runnel run 1\n"
#define FILE_MOST (1 << 20)

struct rn_cache {
    char folder[RN_PATH_SIZE];
};

static rn_status default_folder(char folder[RN_PATH_SIZE], rn_error *err)
{
    const char *base = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
    int length;
    if (base && base[0] == '/') /* a relative one is to be ignored [freedesktop2021] */
        length = snprintf(folder, RN_PATH_SIZE, "%s/runnel", base);
    else if (home && home[0])
        length = snprintf(folder, RN_PATH_SIZE, "%s/.cache/runnel", home);
    else
        return rn_fail(err, RN_E_FILE, "there is no folder to keep runs in: neither HOME nor XDG_CACHE_HOME is set");
    if (length < 0 || length >= RN_PATH_SIZE)
        return rn_fail(err, RN_E_FILE, "the path of the folder to keep runs in is too long");
    return RN_OK;
}

rn_status rn_cache_open(rn_cache **cache, const char *folder, rn_error *err)
{
    rn_status status = RN_OK;
    rn_cache *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    if (!folder)
        status = default_folder(made->folder, err);
    else if (!folder[0])
        status = rn_fail(err, RN_E_FILE, "the folder to keep runs in needs a name");
    else if (strlen(folder) >= sizeof made->folder)
        status = rn_fail(err, RN_E_FILE, "the path '%.60s...' is too long", folder);
    else
        memcpy(made->folder, folder, strlen(folder) + 1);
    if (status == RN_OK)
        *cache = made;
    else
        free(made);
    return status;
}

void rn_cache_close(rn_cache *cache)
{
    free(cache);
}

const char *rn_cache_folder(const rn_cache *cache)
{
    return cache->folder;
}

/* "FOLDER/ab/cdef....run", after the identity's sum; false where that is too long. */
static bool path_of(char path[RN_PATH_SIZE], const rn_cache *cache, const char *identity)
{
    char sum[RN_SEAL_SIZE];
    if (!rn_seal_sum(sum, identity, strlen(identity)))
        return false;
    const int length = snprintf(path, RN_PATH_SIZE, "%s/%.2s/%s.run", cache->folder, sum, sum + 2);
    return length > 0 && length < RN_PATH_SIZE;
}

/* All of a file with a closing 0; NULL unless it can be read and is of a size that a run's file has. */
static char *read_file(const char *path, size_t *size)
{
    FILE *in = rn_infile_open_kept(path);
    if (!in)
        return NULL;
    struct stat what;
    char *text = NULL;
    if (fstat(fileno(in), &what) == 0 && what.st_size > 0 && what.st_size < FILE_MOST) {
        *size = (size_t)what.st_size;
        text = malloc(*size + 1);
        if (text && fread(text, 1, *size, in) == *size) {
            text[*size] = '\0';
        } else {
            free(text);
            text = NULL;
        }
    }
    fclose(in);
    return text;
}

/* The file is HEAD, the identity, the outcome's line, and the sum of all that on a line of its own. */
static bool take_apart(rn_outcome *outcome, char *text, size_t size, const char *identity)
{
    const size_t head = strlen(HEAD), length = strlen(identity);
    size_t inner;
    if (!rn_seal_holds(&inner, text, size) || inner < head + length + 1)
        return false;
    if (strncmp(text, HEAD, head) != 0 || strncmp(text + head, identity, length) != 0)
        return false;
    text[inner - 1] = '\0';
    rn_outcome found;
    if (!rn_outcome_read(&found, text + head + length) ||
        (found.state != RN_OUTCOME_WHOLE && found.state != RN_OUTCOME_DECIDED))
        return false;
    *outcome = found;
    return true;
}

bool rn_cache_find(rn_outcome *outcome, const rn_cache *cache, const char *identity)
{
    char path[RN_PATH_SIZE];
    size_t size = 0;
    if (!path_of(path, cache, identity))
        return false;
    char *text = read_file(path, &size);
    const bool found = text && take_apart(outcome, text, size, identity);
    free(text);
    return found;
}

/* Makes the folders of a file, each unless it is there. The last is the cache's own and no link: who may write to the cache
   could lead it elsewhere. */
static rn_status make_folders(const char *path, rn_error *err)
{
    char part[RN_PATH_SIZE];
    for (size_t i = 1; path[i]; i++) {
        if (path[i] != '/')
            continue;
        memcpy(part, path, i);
        part[i] = '\0';
        if (mkdir(part, 0777) != 0 && errno != EEXIST)
            return rn_fail(err, RN_E_FILE, "the folder '%.200s' cannot be made: %s", part, strerror(errno));
    }
    struct stat what;
    if (lstat(part, &what) != 0 || !S_ISDIR(what.st_mode))
        return rn_fail(err, RN_E_FILE, "'%.200s' is a link or a file, where a folder of kept runs should be", part);
    return RN_OK;
}

static char *put_together(const char *identity, const rn_outcome *outcome)
{
    char line[RN_OUTCOME_LINE], sum[RN_SEAL_SIZE];
    rn_outcome_write(line, outcome);
    const size_t size = strlen(HEAD) + strlen(identity) + strlen(line) + 1;
    char *text = malloc(size + RN_SEAL_SIZE + 1);
    if (!text)
        return NULL;
    snprintf(text, size + 1, "%s%s%s\n", HEAD, identity, line);
    if (!rn_seal_sum(sum, text, size)) {
        free(text);
        return NULL;
    }
    snprintf(text + size, RN_SEAL_SIZE + 1, "%s\n", sum);
    return text;
}

rn_status rn_cache_keep(const rn_cache *cache, const char *identity, const rn_outcome *outcome, rn_error *err)
{
    char path[RN_PATH_SIZE];
    rn_file file;
    if (outcome->state != RN_OUTCOME_WHOLE && outcome->state != RN_OUTCOME_DECIDED)
        return RN_OK;
    if (!path_of(path, cache, identity))
        return rn_fail(err, RN_E_FILE, "the path '%.60s...' is too long", cache->folder);
    char *text = put_together(identity, outcome);
    if (!text)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    rn_status status = make_folders(path, err);
    if (status == RN_OK)
        status = rn_file_open_over(&file, path, err);
    if (status == RN_OK) {
        file.fleeting = true; /* its sum tells whether it is whole */
        fputs(text, file.stream);
        status = rn_file_close(&file, err);
    }
    free(text);
    return status;
}
