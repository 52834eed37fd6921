/* Runs the command line in process and catches what it says; a scratch folder for files. */
#ifndef RN_TESTS_CLI_SHELL_H
#define RN_TESTS_CLI_SHELL_H

#include <stdbool.h>
#include <stddef.h>

typedef struct shell {
    int exit;
    char *out, *err; /* NUL-terminated, owned */
    size_t out_size, err_size;
    bool signal_back; /* shell_run_interrupted: what the signal did before it does again */
} shell;

/* shell_run(&s, "forecast", path, "--json", NULL): the program's name is put before. What s held is freed. */
void shell_run(shell *s, ...) __attribute__((sentinel));

/* The same with this text as standard input. */
void shell_run_fed(shell *s, const char *text, ...) __attribute__((sentinel));

/* The same with SIGINT, as Ctrl-C sends it, once the program catches it and has kept so many more runs in the folder of
   its `--cache=`; nothing is sent where it ends sooner. Arguments that are not needed are NULL. */
void shell_run_interrupted(shell *s, int more, const char *const arguments[7]);

/* The same with another signal than SIGINT. */
void shell_run_signalled(shell *s, int signal_number, int more, const char *const arguments[7]);

void shell_clear(shell *s);

/* A new empty folder, and its removal with all that is in it. */
int shell_make_folder(void **state);
int shell_remove_folder(void **state);

/* The same with shell_plan in it, as pool.yaml. */
int shell_make_pool(void **state);

/* Fails the test unless the text has those words in it. */
void shell_says(const char *text, const char *words);

/* Files in a folder and in the folders in it; 0 where there is none. */
int shell_count_below(const char *path);

/* "folder/name", kept until the next eight calls. */
const char *shell_path(void **state, const char *name);

void shell_write(const char *path, const char *text);
char *shell_read(const char *path, size_t *size); /* NUL-terminated, freed by the caller; NULL if there is no file */
bool shell_exists(const char *path);

/* How many entries a folder has. */
int shell_count(const char *folder);

/* A plan that takes a moment at 64 cells: 100 mm panel, 12 ml of 0.1 Pa s. */
extern const char shell_plan[];

#endif
