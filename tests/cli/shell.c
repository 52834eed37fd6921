#define _XOPEN_SOURCE 700 /* P_tmpdir */

#include "check.h"

#include "cli/shell.h"

#include <dirent.h>
#include <math.h>
#include <pthread.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "cli/cli.h"

#define ARGUMENTS_MOST 32

const char shell_plan[] = "plan: 1\n"
                          "title: Rock pool\n"
                          "panel: {size: 100 mm x 100 mm}\n"
                          "paints:\n"
                          "  foam: {viscosity: 0.1 Pa s, price: 0.05 per ml}\n"
                          "pours:\n"
                          "  - {across: 40 mm, width: 8 mm, lifts: 2, every: 2 s, open: 1 s, stack: [foam 12 ml]}\n"
                          "moves:\n"
                          "  - {start: 5 s, for: 3 s, tilt: 6 deg, toward: back right}\n"
                          "end: 10 s\n"
                          "expect:\n"
                          "  coverage: at least 1 %\n"
                          "  run-off: at most 100 %\n";

static void run(shell *s, va_list arguments)
{
    char name[] = "runnel";
    char *argv[ARGUMENTS_MOST + 1] = {name};
    int argc = 1;
    char *argument;
    while (argc < ARGUMENTS_MOST && (argument = va_arg(arguments, char *)) != NULL)
        argv[argc++] = argument;
    shell_clear(s);
    FILE *out = open_memstream(&s->out, &s->out_size);
    FILE *err = open_memstream(&s->err, &s->err_size);
    if (!out || !err)
        abort();
    s->exit = rn_cli(argc, argv, out, err);
    fclose(out);
    fclose(err);
}

void shell_run(shell *s, ...)
{
    va_list arguments;
    va_start(arguments, s);
    run(s, arguments);
    va_end(arguments);
}

void shell_run_fed(shell *s, const char *text, ...)
{
    FILE *file = tmpfile();
    const int kept = dup(STDIN_FILENO);
    if (!file || kept < 0)
        abort();
    fputs(text, file);
    rewind(file);
    fflush(stdin);
    dup2(fileno(file), STDIN_FILENO);
    clearerr(stdin);
    va_list arguments;
    va_start(arguments, text);
    run(s, arguments);
    va_end(arguments);
    dup2(kept, STDIN_FILENO);
    close(kept);
    fclose(file);
}

static void first_action(int number)
{
    (void)number;
}

static void pause_shortly(void)
{
    nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
}

typedef struct interruption {
    atomic_bool over;
    int signal_number;
    const char *folder; /* of runs that are kept; NULL: none */
    int kept;           /* so many files in it */
} interruption;

int shell_count_below(const char *path)
{
    int count = 0;
    DIR *folder = opendir(path);
    for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;) {
        char inside[1200];
        struct stat what;
        if (entry->d_name[0] == '.')
            continue;
        snprintf(inside, sizeof inside, "%s/%s", path, entry->d_name);
        if (lstat(inside, &what) == 0)
            count += S_ISDIR(what.st_mode) ? shell_count_below(inside) : 1;
    }
    if (folder)
        closedir(folder);
    return count;
}

/* Sends the signal once it is caught and enough runs are kept, so that nothing hangs on timing. */
static void *interrupt(void *context)
{
    interruption *i = context;
    while (!atomic_load(&i->over)) {
        struct sigaction now;
        sigaction(i->signal_number, NULL, &now);
        if (now.sa_handler != first_action && (!i->folder || shell_count_below(i->folder) >= i->kept)) {
            if (!atomic_load(&i->over))
                kill(getpid(), i->signal_number);
            return NULL;
        }
        pause_shortly();
    }
    return NULL;
}

void shell_run_interrupted(shell *s, int more, const char *const arguments[7])
{
    shell_run_signalled(s, SIGINT, more, arguments);
}

void shell_run_signalled(shell *s, int signal_number, int more, const char *const arguments[7])
{
    struct sigaction mine = {.sa_handler = first_action}, after;
    pthread_t thread;
    interruption context = {.signal_number = signal_number};
    for (int k = 0; k < 7 && more > 0; k++)
        if (arguments[k] && strncmp(arguments[k], "--cache=", 8) == 0)
            context.folder = arguments[k] + 8;
    context.kept = context.folder ? shell_count_below(context.folder) + more : 0;
    sigemptyset(&mine.sa_mask);
    sigaction(signal_number, &mine, NULL);
    pthread_create(&thread, NULL, interrupt, &context);
    shell_run(s, arguments[0], arguments[1], arguments[2], arguments[3], arguments[4], arguments[5], arguments[6],
              NULL);
    atomic_store(&context.over, true);
    pthread_join(thread, NULL);
    sigaction(signal_number, NULL, &after);
    s->signal_back = after.sa_handler == first_action;
    signal(signal_number, SIG_DFL);
}

void shell_clear(shell *s)
{
    free(s->out);
    free(s->err);
    *s = (shell){0};
}

int shell_make_folder(void **state)
{
    char folder[900];
    const char *scratch = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/runnel-test-XXXXXX", scratch ? scratch : P_tmpdir);
    *state = mkdtemp(folder) ? strdup(folder) : NULL;
    return *state ? 0 : -1;
}

static void remove_tree(const char *path)
{
    DIR *folder = opendir(path);
    for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;) {
        char inner[1024];
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name);
        if (unlink(inner) != 0)
            remove_tree(inner);
    }
    if (folder)
        closedir(folder);
    rmdir(path);
}

int shell_remove_folder(void **state)
{
    remove_tree(*state);
    free(*state);
    return 0;
}

const char *shell_path(void **state, const char *name)
{
    static char paths[8][1024];
    static int next;
    char *path = paths[next++ % 8];
    snprintf(path, sizeof paths[0], "%s/%s", (const char *)*state, name);
    return path;
}

void shell_write(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");
    if (!file)
        abort();
    fputs(text, file);
    fclose(file);
}

char *shell_read(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return NULL;
    fseek(file, 0, SEEK_END);
    const long length = ftell(file);
    rewind(file);
    char *text = malloc((size_t)length + 1);
    *size = fread(text, 1, (size_t)length, file);
    text[*size] = '\0';
    fclose(file);
    return text;
}

bool shell_exists(const char *path)
{
    struct stat what;
    return stat(path, &what) == 0;
}

int shell_count(const char *path)
{
    int count = 0;
    DIR *folder = opendir(path);
    for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;)
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    if (folder)
        closedir(folder);
    return count;
}

int shell_make_pool(void **state)
{
    if (shell_make_folder(state))
        return -1;
    shell_write(shell_path(state, "pool.yaml"), shell_plan);
    return 0;
}

void shell_says(const char *text, const char *words)
{
    if (!strstr(text, words))
        fail_msg("'%s' is not in:\n%s", words, text);
}
