#define _XOPEN_SOURCE 700 /* realpath */

#include "recovery.h"

#include <dirent.h>
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"

#define BENCH "bench-"
#define FROM "# runnel bench from: "

/* The folder, made if need be; false if there is none. */
static bool folder(char path[RECOVERY_PATH_SIZE])
{
    const char *state = getenv("XDG_STATE_HOME"), *home = getenv("HOME");
    int length;
    if (state && state[0] == '/')
        length = snprintf(path, RECOVERY_PATH_SIZE, "%s/runnel", state);
    else if (home && home[0] == '/')
        length = snprintf(path, RECOVERY_PATH_SIZE, "%s/.local/state/runnel", home);
    else
        return false;
    if (length >= RECOVERY_PATH_SIZE - 64)
        return false;
    for (char *slash = path + 1; (slash = strchr(slash, '/')); slash++) {
        *slash = '\0';
        const bool made = mkdir(path, 0700) == 0 || errno == EEXIST;
        *slash = '/';
        if (!made)
            return false;
    }
    return mkdir(path, 0700) == 0 || errno == EEXIST;
}

static bool write_text(const char *path, const char *head, const char *text)
{
    rn_file file;
    rn_error err = {0};
    if (rn_file_open(&file, path, NULL, &err) != RN_OK)
        return false;
    fputs(head, file.stream);
    fputs(text, file.stream);
    return rn_file_close(&file, &err) == RN_OK;
}

/* ---- plans opened last ---- */

void recent_read(rv_recent *recent)
{
    recent->count = 0;
    char path[RECOVERY_PATH_SIZE], line[RECOVERY_PATH_SIZE];
    if (!folder(path))
        return;
    strcat(path, "/recent");
    FILE *file = fopen(path, "r");
    if (!file)
        return;
    while (recent->count < RECENT_MOST && fgets(line, sizeof line, file)) {
        line[strcspn(line, "\n")] = '\0';
        if (line[0] == '/' && access(line, R_OK) == 0)
            snprintf(recent->paths[recent->count++], RECOVERY_PATH_SIZE, "%s", line);
    }
    fclose(file);
}

void recent_add(const char *path)
{
    char where[RECOVERY_PATH_SIZE];
    char *full = realpath(path, NULL);
    if (!full || strchr(full, '\n') || !folder(where)) {
        free(full);
        return;
    }
    rv_recent *recent = malloc(sizeof *recent);
    char *text = malloc((RECENT_MOST + 1) * (size_t)RECOVERY_PATH_SIZE);
    if (recent && text) {
        recent_read(recent);
        size_t used = (size_t)sprintf(text, "%s\n", full);
        int kept = 1;
        for (int k = 0; k < recent->count && kept < RECENT_MOST; k++)
            if (strcmp(recent->paths[k], full) != 0) {
                used += (size_t)sprintf(text + used, "%s\n", recent->paths[k]);
                kept++;
            }
        strcat(where, "/recent");
        write_text(where, "", text);
    }
    free(recent);
    free(text);
    free(full);
}

/* ---- the bench ---- */

static bool own_bench(char path[RECOVERY_PATH_SIZE])
{
    if (!folder(path))
        return false;
    const size_t length = strlen(path);
    snprintf(path + length, RECOVERY_PATH_SIZE - length, "/" BENCH "%ld.yaml", (long)getpid());
    return true;
}

void recovery_keep(const rn_plan *plan, const char *path)
{
    char file[RECOVERY_PATH_SIZE], head[RECOVERY_PATH_SIZE + 64], *text = NULL;
    rn_error err = {0};
    if (!own_bench(file) || strchr(path, '\n') || rn_plan_write(&text, plan, &err) != RN_OK)
        return;
    snprintf(head, sizeof head, FROM "%s\n", path);
    write_text(file, head, text);
    free(text);
}

void recovery_drop(void)
{
    char file[RECOVERY_PATH_SIZE];
    if (own_bench(file))
        unlink(file);
}

static bool lives(long pid)
{
    return kill((pid_t)pid, 0) == 0 || errno == EPERM;
}

static void read_origin(rv_left_bench *left)
{
    char line[RECOVERY_PATH_SIZE + 64] = "";
    FILE *file = fopen(left->file, "r");
    if (file && fgets(line, sizeof line, file) && strncmp(line, FROM, strlen(FROM)) == 0) {
        line[strcspn(line, "\n")] = '\0';
        snprintf(left->path, sizeof left->path, "%.*s", (int)sizeof left->path - 1, line + strlen(FROM));
    }
    if (file)
        fclose(file);
}

bool recovery_find(rv_left_bench *left)
{
    *left = (rv_left_bench){0};
    char where[RECOVERY_PATH_SIZE];
    DIR *entries = folder(where) ? opendir(where) : NULL;
    if (!entries)
        return false;
    for (struct dirent *entry; (entry = readdir(entries));) {
        long pid;
        struct stat status;
        char file[RECOVERY_PATH_SIZE + 300];
        if (sscanf(entry->d_name, BENCH "%ld.yaml", &pid) != 1 || lives(pid))
            continue;
        snprintf(file, sizeof file, "%s/%s", where, entry->d_name);
        if (strlen(file) >= RECOVERY_PATH_SIZE || stat(file, &status) != 0 ||
            (left->file[0] && status.st_mtime <= left->when))
            continue;
        snprintf(left->file, sizeof left->file, "%.*s", (int)sizeof left->file - 1, file);
        left->when = status.st_mtime;
    }
    closedir(entries);
    rn_error err = {0};
    if (!left->file[0])
        return false;
    if (rn_plan_read_file(&left->plan, left->file, &err) != RN_OK) {
        unlink(left->file); /* half a bench is none */
        return false;
    }
    read_origin(left);
    return true;
}

void recovery_clear(rv_left_bench *left, bool forget)
{
    if (forget && left->file[0])
        unlink(left->file);
    rn_plan_free(left->plan);
    *left = (rv_left_bench){0};
}
