/* What is looked at in a plan's text before and beside YAML: whether it is text at all, and traps that YAML
   itself would not explain. */
#ifndef RN_PLAN_PLAN_SCAN_H
#define RN_PLAN_PLAN_SCAN_H

#include <stdbool.h>

#include "base/error.h"

#define RN_PLAN_SIZE_MOST (1024 * 1024) /* bytes */

/* RN_E_PLAN with its place unless text is UTF-8 without NUL and control characters and not too long. */
rn_status rn_scan_text(const char *text, long size, rn_error *err);

/* The character that stands at a place; '\0' beyond the end. */
char rn_scan_at(const char *text, long size, rn_mark mark);

/* The same place, or the end of the last line where the text ends before it. */
rn_mark rn_scan_inside(const char *text, long size, rn_mark mark);

/* Whether the rest of the line from a place holds only blanks and a comment; *at is where the comment begins. */
bool rn_scan_comment(rn_mark *at, const char *text, long size, rn_mark from);

/* Looks on lines first..last for a value that was written as a comment, "colour: #2b3a55"; the last one found. */
bool rn_scan_eaten(rn_mark *at, const char *text, long size, int first, int last);

#endif
