#include "chooser.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define PROGRAM "zenity"

static bool in_path(const char *program)
{
    const char *path = getenv("PATH");
    char file[CHOOSER_SIZE];
    while (path && *path) {
        const size_t length = strcspn(path, ":");
        snprintf(file, sizeof file, "%.*s/%s", (int)length, path, program);
        if (length > 0 && access(file, X_OK) == 0)
            return true;
        path += length + (path[length] == ':');
    }
    return false;
}

bool chooser_there(void)
{
    return (getenv("DISPLAY") || getenv("WAYLAND_DISPLAY")) && in_path(PROGRAM);
}

bool chooser_open(rv_chooser *chooser, bool saves, const char *title, const char *suggested)
{
    int ends[2];
    if (chooser->child || pipe(ends) != 0)
        return false;
    char name[CHOOSER_SIZE + 16], head[256];
    snprintf(name, sizeof name, "--filename=%s", suggested);
    snprintf(head, sizeof head, "--title=%s", title);
    const pid_t child = fork();
    if (child < 0) {
        close(ends[0]);
        close(ends[1]);
        return false;
    }
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        close(ends[1]);
        const char *words[8] = {PROGRAM, "--file-selection", head};
        int count = 3;
        if (saves) {
            words[count++] = "--save";
            words[count++] = "--confirm-overwrite";
        }
        if (suggested[0])
            words[count++] = name;
        execvp(PROGRAM, (char *const *)(const void *)words);
        _exit(127);
    }
    close(ends[1]);
    fcntl(ends[0], F_SETFL, O_NONBLOCK);
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    *chooser = (rv_chooser){.child = child, .pipe = ends[0]};
    return true;
}

bool chooser_done(rv_chooser *chooser, char path[CHOOSER_SIZE])
{
    if (!chooser->child)
        return false;
    for (;;) {
        const int room = CHOOSER_SIZE - 1 - chooser->length;
        const ssize_t got = room > 0 ? read(chooser->pipe, chooser->text + chooser->length, (size_t)room) : 0;
        if (got < 0 && errno != EINTR)
            return false; /* nothing yet */
        if (got == 0)
            break;
        if (got > 0)
            chooser->length += (int)got;
    }
    int status = 0;
    close(chooser->pipe);
    waitpid(chooser->child, &status, 0);
    chooser->text[chooser->length] = '\0';
    chooser->text[strcspn(chooser->text, "\n")] = '\0';
    const bool chosen = WIFEXITED(status) && WEXITSTATUS(status) == 0;
    snprintf(path, CHOOSER_SIZE, "%s", chosen ? chooser->text : "");
    *chooser = (rv_chooser){0};
    return true;
}

void chooser_close(rv_chooser *chooser)
{
    if (!chooser->child)
        return;
    kill(chooser->child, SIGTERM);
    close(chooser->pipe);
    waitpid(chooser->child, NULL, 0);
    *chooser = (rv_chooser){0};
}
