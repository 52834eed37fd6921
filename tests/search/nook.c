#define _XOPEN_SOURCE 700 /* mkdtemp, nftw, P_tmpdir */

#include "search/nook.h"

#include <dirent.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

int nook_make(void **state)
{
    char folder[512];
    const char *where = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/runnel-test-XXXXXX", where ? where : P_tmpdir);
    *state = mkdtemp(folder) ? strdup(folder) : NULL;
    return *state ? 0 : -1;
}

static int drop(const char *path, const struct stat *what, int kind, struct FTW *at)
{
    (void)what;
    (void)kind;
    (void)at;
    return remove(path);
}

int nook_remove(void **state)
{
    const int status = nftw(*state, drop, 8, FTW_DEPTH | FTW_PHYS);
    free(*state);
    return status;
}

const char *nook_path(void **state, const char *name)
{
    static char paths[4][1024];
    static int next;
    char *path = paths[next++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", (const char *)*state, name);
    return path;
}

int nook_file(char *path, size_t size, const char *folder)
{
    int count = 0;
    DIR *open = opendir(folder);
    for (struct dirent *entry; open && (entry = readdir(open)) != NULL;) {
        char inside[1024];
        struct stat what;
        if (entry->d_name[0] == '.')
            continue;
        snprintf(inside, sizeof inside, "%s/%s", folder, entry->d_name);
        if (lstat(inside, &what) != 0)
            continue;
        if (S_ISDIR(what.st_mode)) {
            count += nook_file(path, size, inside);
        } else {
            snprintf(path, size, "%s", inside);
            count++;
        }
    }
    if (open)
        closedir(open);
    return count;
}

char *nook_read(const char *path, size_t *size)
{
    FILE *in = fopen(path, "rb");
    if (!in)
        return NULL;
    char *text = NULL;
    FILE *out = open_memstream(&text, size);
    for (int c = out ? getc(in) : EOF; c != EOF; c = getc(in))
        putc(c, out);
    fclose(in);
    if (out)
        fclose(out);
    return text;
}

void nook_write(const char *path, const char *text, size_t size)
{
    remove(path); /* some file systems wait for the disk where a file is emptied and written anew */
    FILE *out = fopen(path, "wb");
    if (!out || fwrite(text, 1, size, out) != size || fclose(out) != 0)
        abort();
}
