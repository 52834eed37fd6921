#define _XOPEN_SOURCE 700 /* readlink, lstat */

#include "base/file_place.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LINKS_MOST 40 /* followed one after another, as the system does */

static bool is_kept(mode_t mode)
{
    return S_ISREG(mode) || S_ISDIR(mode);
}

/* Appends "/name"; false if there is no room. */
static bool append(char path[RN_PATH_SIZE], const char *name, size_t length)
{
    const size_t before = strlen(path);
    const bool slash = before > 0 && path[before - 1] != '/';
    if (before + slash + length >= RN_PATH_SIZE)
        return false;
    if (slash)
        path[before] = '/';
    memcpy(path + before + slash, name, length);
    path[before + slash + length] = '\0';
    return true;
}

/* Takes the last name off; a root stays as it is. */
static void shorten(char path[RN_PATH_SIZE])
{
    char *slash = strrchr(path, '/');
    if (!slash)
        path[0] = '\0';
    else
        slash[slash == path ? 1 : 0] = '\0';
}

/* Puts where the link leads before what is left to walk. */
static bool follow(rn_file_place *at, const char *link, char left[2 * RN_PATH_SIZE])
{
    char target[RN_PATH_SIZE], after[2 * RN_PATH_SIZE];
    const ssize_t length = readlink(link, target, sizeof target - 1);
    if (length <= 0)
        return false;
    target[length] = '\0';
    memcpy(after, left, strlen(left) + 1);
    if ((size_t)length + 1 + strlen(after) >= sizeof after)
        return false;
    memcpy(left, target, (size_t)length);
    left[length] = '/';
    memcpy(left + length + 1, after, strlen(after) + 1);
    if (target[0] == '/')
        strcpy(at->real, "/");
    return true;
}

/* One name further along the path. */
static bool step(rn_file_place *at, const char *name, size_t length, char left[2 * RN_PATH_SIZE], int *links)
{
    char next[RN_PATH_SIZE];
    struct stat what;
    if (length == 0 || (length == 1 && name[0] == '.'))
        return true;
    if (length == 2 && memcmp(name, "..", 2) == 0) {
        shorten(at->rest[0] ? at->rest : at->real);
        return true;
    }
    if (at->rest[0])
        return append(at->rest, name, length);
    memcpy(next, at->real, sizeof next);
    if (!append(next, name, length))
        return false;
    if (lstat(next, &what) != 0)
        return errno == ENOENT && append(at->rest, name, length);
    if (S_ISLNK(what.st_mode))
        return ++*links <= LINKS_MOST && follow(at, next, left);
    memcpy(at->real, next, sizeof next);
    return true;
}

bool rn_file_place_find(rn_file_place *place, const char *path)
{
    rn_file_place at = {.rest = ""};
    char left[2 * RN_PATH_SIZE], name[RN_PATH_SIZE];
    struct stat what;
    int links = 0;
    if (!path[0] || strlen(path) >= RN_PATH_SIZE)
        return false;
    strcpy(left, path);
    if (path[0] == '/')
        strcpy(at.real, "/");
    else if (!getcwd(at.real, sizeof at.real))
        return false;
    while (left[0]) {
        const size_t length = strcspn(left, "/"), with_slash = length + (left[length] == '/');
        if (length >= sizeof name)
            return false;
        memcpy(name, left, length);
        memmove(left, left + with_slash, strlen(left + with_slash) + 1);
        if (!step(&at, name, length, left, &links))
            return false;
    }
    if (stat(at.real, &what) != 0 || !is_kept(what.st_mode))
        return false;
    at.device = what.st_dev;
    at.inode = what.st_ino;
    *place = at;
    return true;
}

bool rn_file_place_of(rn_file_place *place, int descriptor)
{
    struct stat what;
    if (descriptor < 0 || fstat(descriptor, &what) != 0 || !is_kept(what.st_mode))
        return false;
    *place = (rn_file_place){.device = what.st_dev, .inode = what.st_ino};
    return true;
}

static bool same_node(const rn_file_place *a, const rn_file_place *b)
{
    return a->device == b->device && a->inode == b->inode;
}

bool rn_file_place_same(const rn_file_place *a, const rn_file_place *b)
{
    return same_node(a, b) && strcmp(a->rest, b->rest) == 0;
}

bool rn_file_place_within(const rn_file_place *file, const rn_file_place *folder)
{
    char above[RN_PATH_SIZE];
    struct stat what;
    const size_t length = strlen(folder->rest);
    if (length > 0)
        return same_node(file, folder) && strncmp(file->rest, folder->rest, length) == 0 && file->rest[length] == '/';
    if (file->rest[0] && same_node(file, folder))
        return true;
    memcpy(above, file->real, sizeof above);
    while (above[0] && strcmp(above, "/") != 0) {
        shorten(above);
        if (stat(above, &what) == 0 && what.st_dev == folder->device && what.st_ino == folder->inode)
            return true;
    }
    return false;
}
