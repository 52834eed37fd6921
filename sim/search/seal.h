/* Texts that end with their own check sum, so that what is damaged or unfinished is known for that. */
#ifndef RN_SEARCH_SEAL_H
#define RN_SEARCH_SEAL_H

#include <stdbool.h>
#include <stddef.h>

#define RN_SEAL_SIZE 65 /* SHA-256 in hexadecimal digits and their end [fips2015] */

/* The sum of a text; false if there is no memory for it. */
bool rn_seal_sum(char sum[RN_SEAL_SIZE], const char *text, size_t size);

/* Whether text[size] ends with a line that is the sum of all before it; *inner: how much that is. text must end in a 0 that
   is not counted, and hold none before. */
bool rn_seal_holds(size_t *inner, const char *text, size_t size);

#endif
