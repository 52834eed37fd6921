/* What went wrong, where, and what would be right: one line for a person. */
#ifndef RN_BASE_ERROR_H
#define RN_BASE_ERROR_H

typedef enum rn_status {
    RN_OK = 0,
    RN_E_USAGE,   /* the command line is wrong */
    RN_E_PLAN,    /* the plan says something it cannot mean */
    RN_E_FILE,    /* a file cannot be read or written */
    RN_E_MEMORY,  /* no memory left */
    RN_E_NUMERIC, /* the solver could not go on; the message names time and cell */
    RN_E_STOPPED, /* the work was asked to stop; nothing is at fault */
} rn_status;

/* A place in a text file; both count from 1, 0 means unknown. */
typedef struct rn_mark {
    int line, column;
} rn_mark;

#define RN_RIGHT_SIZE 120

/* Owned by the caller; start from `rn_error e = {0};`. */
typedef struct rn_error {
    rn_status status;
    char file[512]; /* empty when no file is concerned */
    int line, column;
    char message[512];
    char wrong
        [RN_RIGHT_SIZE]; /* the part of what was written that is wrong, and the one thing that would put it right ... */
    char right[RN_RIGHT_SIZE]; /* ... for those who offer it; both empty where there is none, or more than one */
} rn_error;

/* Fills err, unless it already holds an error (the lowest message wins), and returns status.
   err may be NULL. */
rn_status rn_fail(rn_error *err, rn_status status, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* As rn_fail, and remembers what is wrong and what would be right; nothing of it if either does not fit. */
rn_status rn_fail_right(rn_error *err, rn_status status, const char *wrong, const char *right, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* As rn_fail, and remembers the place in the file. */
rn_status rn_fail_at(rn_error *err, rn_status status, rn_mark mark, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* One line "file:line:column: message" (parts that are unknown left out) into text[size], as rn_text_show shows it:
   whatever a file is called, nothing in it is obeyed by a terminal. */
void rn_error_text(const rn_error *err, char *text, int size);

#endif
