/* The desktop's own dialog for choosing a file, where there is one: run as a child, looked after while the window goes on. */
#ifndef CHOOSER_H
#define CHOOSER_H

#include <stdbool.h>
#include <sys/types.h>

#define CHOOSER_SIZE 4096

typedef struct rv_chooser {
    pid_t child; /* 0: none is open */
    int pipe;
    int length;
    char text[CHOOSER_SIZE];
} rv_chooser;

/* Whether this desktop has one: a screen, and zenity in the path. */
bool chooser_there(void);

/* Opens it; suggested: a path to begin with, may be "". False if it cannot be started. */
bool chooser_open(rv_chooser *chooser, bool saves, const char *title, const char *suggested);

/* Whether it has been closed; then path is what was chosen, "" if nothing. */
bool chooser_done(rv_chooser *chooser, char path[CHOOSER_SIZE]);

/* Closes one that is still open. */
void chooser_close(rv_chooser *chooser);

#endif
