/* Changing what a slip shows: one of its rows, by typing or by steps. */
#ifndef SLIP_EDIT_H
#define SLIP_EDIT_H

#include "view.h"

/* The row's value as the plan file would hold it, a jar's volume in the painter's unit; "" if it says nothing. */
void slip_value(char *text, int size, const rv_view *view, int row);

/* Sets it on a draft from text with its unit. err says why not without the plan's path to it. */
rn_status slip_put(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err);

/* One step up or down: the next word, one more, or a twentieth (coarse: half as much again) of a quantity. */
void slip_step(rv_view *view, int up, bool coarse);

/* The same for the figures at the head of a jar's slip. A figure that is typed as it stands changes nothing. */
void slip_jar_value(char *text, int size, const rv_view *view, int row);
rn_status slip_jar_put(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err);
void slip_jar_step(char *text, int size, const rv_view *view, int row, int up, bool coarse);
const char *slip_jar_help(int row);

/* Takes the plan's own path from the front of a refusal: `own` (may be NULL) is what the painter was at and needs no
   name, another place is called as a painter would, "release 2: ...". */
void slip_say_plainly(rn_error *err, const char *own);

/* What undo calls a change of it: "density of coral". */
void slip_what(char *text, int size, const rv_view *view, rv_part_at what);

#endif
