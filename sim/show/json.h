/* The two kinds of JSON value that need care [rfc8259]. Write errors stay with the stream. */
#ifndef RN_SHOW_JSON_H
#define RN_SHOW_JSON_H

#include <stdio.h>

/* A string with its quotes; bytes that are not UTF-8 become the replacement character. */
void rn_json_string(FILE *out, const char *string);

/* A number with 9 digits, null where it is not finite. */
void rn_json_number(FILE *out, double value);

#endif
