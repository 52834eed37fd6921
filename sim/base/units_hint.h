/* What is wrong with a quantity, and what was likely meant: a hint is followed blindly, so it asks where it cannot know. */
#ifndef RN_BASE_UNITS_HINT_H
#define RN_BASE_UNITS_HINT_H

#include "base/units.h"

/* "noun" with its article before it: "a" or "an". */
const char *rn_hint_article(const char *noun);

/* A number without a unit: every reading that is usual. */
rn_status rn_hint_bare(const char *text, double number, rn_dimension dimension, const rn_usual *usual, rn_error *err);

/* A unit of another kind, or one that is not known. unit: what was found; weighed: a weight would do. */
rn_status rn_hint_unit(const char *text, const char *unit_text, const rn_unit *unit, double number,
                       rn_dimension dimension, bool weighed, const rn_usual *usual, rn_error *err);

/* "0:30"; "1,5 mm" and "1,500 ml". */
rn_status rn_hint_clock(const char *text, rn_dimension dimension, const rn_usual *usual, rn_error *err);
rn_status rn_hint_comma(const char *text, rn_error *err);

#endif
