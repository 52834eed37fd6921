/* Changing what a slip shows: one of its rows, by typing or by steps. */
#ifndef SLIP_EDIT_H
#define SLIP_EDIT_H

#include "view.h"

/* The row's value as the plan file would hold it; "" if it says nothing. */
void slip_value(char *text, int size, const rv_view *view, int row);

/* Sets it on a draft from text with its unit. */
rn_status slip_put(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err);

/* One step up or down: the next word, one more, or a twentieth (coarse: half as much again) of a quantity. */
void slip_step(rv_view *view, int up, bool coarse);

/* What undo calls a change of it: "density of coral". */
void slip_what(char *text, int size, const rv_view *view, rv_part_at what);

#endif
