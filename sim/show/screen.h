/* A screen of text being filled: labels at the left, lines broken between words. */
#ifndef RN_SHOW_SCREEN_H
#define RN_SHOW_SCREEN_H

#include <stddef.h>
#include <stdio.h>

#define RN_SCREEN_COLUMNS 80
#define RN_SCREEN_LABEL 14 /* where the second column begins */

typedef struct rn_screen {
    FILE *out; /* NULL: only counts */
    int lines;
} rn_screen;

/* One entry: a label (NULL: none, over the whole width) and a text, which is broken where it is too long. */
void rn_screen_say(rn_screen *page, const char *label, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* Columns that so many bytes of a text take on a terminal. */
int rn_screen_columns(const char *text, size_t length);

#endif
