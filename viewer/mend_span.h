/* Places in the text of a plan: where a value begins and ends, and the key it belongs to. Offsets are bytes. */
#ifndef MEND_SPAN_H
#define MEND_SPAN_H

#include <stdbool.h>

typedef struct rv_span {
    long at, length;
} rv_span;

/* Where a line and column, both from 1 and the column in characters, stand; -1: nowhere. */
long span_place(const char *text, int line, int column);

/* The reverse, but the column in bytes. */
void span_mark(int *line, int *column, const char *text, long at);

rv_span span_line(const char *text, long at); /* the line around a place, without its end */

/* Whether a place stands between braces or brackets. */
bool span_in_flow(const char *text, long at);

/* The value or key that begins there: quoted, in brackets, or plain. */
rv_span span_value(const char *text, long at);

/* The key whose value begins there: NULL-terminated in word; false if none stands before it on the line. */
bool span_key(char *word, int size, rv_span *key, const char *text, long at);

/* What has to go so that the key at a place, or the key whose value stands there, goes too; false if it cannot be told. */
bool span_pair(rv_span *pair, const char *text, long at);

/* The text with another one in place of the span; malloc'd, NULL if no memory. */
char *span_replace(const char *text, rv_span span, const char *instead);

#endif
