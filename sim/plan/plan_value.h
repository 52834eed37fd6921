/* One key's value between its text and its field: what reader, writer and command line share. */
#ifndef RN_PLAN_PLAN_VALUE_H
#define RN_PLAN_PLAN_VALUE_H

#include "plan/plan.h"
#include "plan/plan_keys.h"

/* Gives an element (of the plan, panel and limits: their scalars) its defaults; what has none is NaN. */
void rn_value_defaults(rn_plan *plan, rn_section section, int index);

/* Reads a key's text into its field. Lists are read from text with commas. The field is untouched on failure. */
rn_status rn_value_read(rn_plan *plan, rn_section section, int index, const rn_key *key, const char *text,
                        rn_error *err);

/* The viscosity that a word of consistency stands for [Pa s]; NaN: it is none. A word of the older ladder still stands for
   its number and is noted in plan->old_words, without a mark. */
double rn_value_consistency(rn_plan *plan, const char *text);

/* RN_E_PLAN: what the words are; more: what else might stand there, or "". */
rn_status rn_value_fail_consistency(const char *text, const char *more, rn_error *err);

/* Lists (RN_KEY_SIZES, RN_KEY_STACK): begin an empty one, add one item. */
void rn_value_empty(rn_plan *plan, int pour, const rn_key *key);
rn_status rn_value_append(rn_plan *plan, int pour, const rn_key *key, const char *text, rn_error *err);

/* The ranges of their items. */
extern const rn_key rn_layer_key, rn_size_key;

/* One layer of a stack, "slate 20 ml". */
rn_status rn_value_layer(rn_layer *layer, const rn_plan *plan, const char *text, rn_error *err);

/* The paint of that name; -1 if there is none. */
int rn_value_paint(const rn_plan *plan, const char *name);

/* RN_E_PLAN unless the text may name a paint or a pour. */
rn_status rn_value_name(char name[RN_NAME_SIZE], const char *text, rn_error *err);

/* Defaults that follow from other values. */
double rn_value_advance(rn_ground ground);
double rn_value_ramp(const rn_move *move);

/* Whether a quantity's value lies in its key's range; NaN (not given) does. */
bool rn_value_in_range(const rn_key *key, double value);

/* Whether a key has something to say about this element, as it is now. */
bool rn_value_applies(const rn_plan *plan, rn_section section, int index, const rn_key *key);

/* The field of a key. */
const void *rn_value_field(const rn_plan *plan, rn_section section, int index, const rn_key *key);

#endif
