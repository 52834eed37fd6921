/* What of an answer stays true when the plan is changed: everything up to the moment that the change matters. */
#ifndef KEEP_H
#define KEEP_H

#include "view.h"

/* Cuts a tale of one plan back to what holds for another with which it agrees until `agreed` [s] (see
   rn_plan_agree_until) and gives it that plan's version. False if nothing of it holds: let it go. */
bool keep_tale(rv_studio_tale *tale, double agreed, double end, long version);

/* The same for all that is shown; what does not hold is freed. recoloured: pictures are those of the plan before. */
void keep_shown(rv_shown *shown, const rn_plan *plan, double agreed, bool recoloured, long version);

/* Whether any jar has another colour: no paint flows by it, but pictures are of it. */
bool keep_recoloured(const rn_plan *before, const rn_plan *plan);

#endif
