#define _XOPEN_SOURCE 700 /* mkdtemp, P_tmpdir */

#include "scratch.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int scratch_make(void **state)
{
    const char *where = getenv("TMPDIR");
    char folder[512];
    snprintf(folder, sizeof folder, "%s/runnel-test-XXXXXX", where ? where : P_tmpdir);
    *state = mkdtemp(folder) ? strdup(folder) : NULL;
    return *state ? 0 : -1;
}

int scratch_remove(void **state)
{
    DIR *folder = opendir(*state);
    for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;)
        if (entry->d_name[0] != '.')
            unlink(scratch_path(state, entry->d_name));
    if (folder)
        closedir(folder);
    int status = rmdir(*state);
    free(*state);
    return status;
}

const char *scratch_path(void **state, const char *name)
{
    static char paths[4][1024];
    static int next;
    char *path = paths[next++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", (const char *)*state, name);
    return path;
}

char *scratch_read(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return NULL;
    fseek(file, 0, SEEK_END);
    long length = ftell(file);
    rewind(file);
    char *text = malloc((size_t)length + 1);
    if (!text)
        abort();
    *size = fread(text, 1, (size_t)length, file);
    text[*size] = 0;
    fclose(file);
    return text;
}
