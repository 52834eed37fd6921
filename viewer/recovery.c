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
#include "base/infile.h"
#include "document.h"

#define BENCH "bench-"
#define FROM "# runnel bench from: "
#define SINCE "# runnel process since: "
#define FOUND_MOST 64 /* benches looked at */

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
    FILE *file = rn_infile_open_kept(path);
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

/* When a process began, in the system's own count, which tells it from a later one with the same number; 0: not known. */
static unsigned long long began(long pid)
{
    char path[64], text[1024] = "";
    snprintf(path, sizeof path, "/proc/%ld/stat", pid);
    FILE *file = fopen(path, "r");
    if (!file)
        return 0;
    const size_t length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[length] = '\0';
    const char *c =
        strrchr(text, ')'); /* after the name, which may hold anything; the start is the 20th word from there */
    for (int word = 0; c && word < 20; word++)
        if ((c = strchr(c, ' ')))
            c++;
    return c ? strtoull(c, NULL, 10) : 0;
}

/* What stands after a word at the beginning of one of the first two lines; false if it does not. */
static bool read_head(char *text, size_t size, const char *path, const char *word)
{
    char line[RECOVERY_PATH_SIZE + 64];
    FILE *file = rn_infile_open_kept(path);
    bool found = false;
    for (int k = 0; file && k < 2 && !found && fgets(line, sizeof line, file); k++) {
        line[strcspn(line, "\n")] = '\0';
        found = strncmp(line, word, strlen(word)) == 0 && strlen(line) - strlen(word) < size;
        if (found)
            strcpy(text, line + strlen(word));
    }
    if (file)
        fclose(file);
    return found;
}

/* Numbers of processes come again, after a restart of the machine nearly in the same order: a bench under this one's number
   may be one that was left. */
static bool is_of_another(const char *file)
{
    char since[64];
    struct stat status;
    const unsigned long long now = began(getpid());
    return now != 0 && stat(file, &status) == 0 && S_ISREG(status.st_mode) &&
           read_head(since, sizeof since, file, SINCE) && strtoull(since, NULL, 10) != now;
}

/* Gives it a name beside its own that nothing has yet. */
static bool make_way(const char *file)
{
    char aside[RECOVERY_PATH_SIZE + 16];
    const int stem = (int)(strlen(file) - strlen(".yaml"));
    for (int k = 1; k <= FOUND_MOST; k++) {
        snprintf(aside, sizeof aside, "%.*s-%d.yaml", stem, file, k);
        if (link(file, aside) == 0)
            return unlink(file) == 0;
        if (errno != EEXIST)
            break;
    }
    return false;
}

bool recovery_keep(const rn_plan *plan, const char *path)
{
    char file[RECOVERY_PATH_SIZE], head[RECOVERY_PATH_SIZE + 128], *text = NULL;
    rn_error err = {0};
    if (!own_bench(file) || (is_of_another(file) && !make_way(file)) || rn_plan_write(&text, plan, &err) != RN_OK)
        return false;
    char *full = path[0] ? realpath(path, NULL) : NULL; /* it may be taken up from another folder */
    const char *from = full ? full : path;
    snprintf(head, sizeof head, FROM "%s\n" SINCE "%llu\n",
             strchr(from, '\n') || strlen(from) >= RECOVERY_PATH_SIZE ? "" : from, began(getpid()));
    const bool kept = write_text(file, head, text);
    free(full);
    free(text);
    return kept;
}

void recovery_drop(void)
{
    char file[RECOVERY_PATH_SIZE];
    if (own_bench(file) && !is_of_another(file))
        unlink(file);
}

/* Whether the process that keeps this bench still runs. */
static bool lives(long pid, const char *file)
{
    char since[64];
    if (kill((pid_t)pid, 0) != 0 && errno != EPERM)
        return false;
    const unsigned long long now = began(pid);
    return now == 0 || !read_head(since, sizeof since, file, SINCE) || strtoull(since, NULL, 10) == now;
}

typedef struct found {
    char name[64];
    struct timespec when;
} found;

/* The newest first. */
static int by_age(const void *a, const void *b)
{
    const struct timespec *p = &((const found *)a)->when, *q = &((const found *)b)->when;
    return p->tv_sec != q->tv_sec ? (p->tv_sec < q->tv_sec) - (p->tv_sec > q->tv_sec)
                                  : (p->tv_nsec < q->tv_nsec) - (p->tv_nsec > q->tv_nsec);
}

/* The process that a file of the folder belongs to; *part: it was still being written when that ended. One that made way for
   another of its number has a second number. */
static bool bench_name(long *pid, bool *part, const char *name)
{
    char *rest;
    if (strncmp(name, BENCH, strlen(BENCH)) != 0 || strlen(name) >= sizeof((found *)0)->name)
        return false;
    *pid = strtol(name + strlen(BENCH), &rest, 10);
    if (*rest == '-')
        rest += 1 + strspn(rest + 1, "0123456789");
    *part = strncmp(rest, ".yaml.part", 10) == 0;
    return *pid > 0 && (*part || strcmp(rest, ".yaml") == 0);
}

static int list_left(found *list, const char *where)
{
    int count = 0;
    DIR *entries = opendir(where);
    for (struct dirent *entry; entries && (entry = readdir(entries));) {
        long pid;
        bool part;
        struct stat status;
        char file[RECOVERY_PATH_SIZE + 64];
        if (!bench_name(&pid, &part, entry->d_name))
            continue;
        snprintf(file, sizeof file, "%s/%.63s", where, entry->d_name);
        if (stat(file, &status) != 0 || lives(pid, file))
            continue;
        if (part) {
            unlink(file);
        } else if (count < FOUND_MOST) {
            snprintf(list[count].name, sizeof list[count].name, "%.63s", entry->d_name);
            list[count++].when = status.st_mtim;
        }
    }
    if (entries)
        closedir(entries);
    qsort(list, (size_t)count, sizeof *list, by_age);
    return count;
}

bool recovery_find(rv_left_bench *left)
{
    *left = (rv_left_bench){0};
    char where[RECOVERY_PATH_SIZE];
    found list[FOUND_MOST];
    const int count = folder(where) ? list_left(list, where) : 0;
    for (int k = 0; k < count; k++) {
        rn_error err = {0};
        const int length = snprintf(left->file, sizeof left->file, "%s/%s", where, list[k].name);
        if (length >= (int)sizeof left->file || document_read(&left->plan, left->file, &err) != RN_OK)
            continue; /* of another make of this program, perhaps: it stays for that one */
        left->when = list[k].when.tv_sec;
        if (!read_head(left->path, sizeof left->path, left->file, FROM))
            left->path[0] = '\0';
        return true;
    }
    *left = (rv_left_bench){0};
    return false;
}

void recovery_clear(rv_left_bench *left, bool forget)
{
    if (forget && left->file[0])
        unlink(left->file);
    rn_plan_free(left->plan);
    *left = (rv_left_bench){0};
}
