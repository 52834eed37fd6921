/* A window of plans that work, worked out in the test itself by a model that is a formula: no sessions, no threads. */
#ifndef MAPPED_H
#define MAPPED_H

#include <stdatomic.h>

#include "view.h"

/* What the formula says is asked of nature elsewhere; here it stands for it: more paint and stiffer paint stay on, thin paint
   runs off, little or stiff paint falls short. */
typedef struct mapped_model {
    atomic_int runs;   /* that were done */
    atomic_bool shut;  /* runs wait, until it is opened or they are asked to stop */
    atomic_bool fails; /* runs fail */
} mapped_model;

void mapped_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on, void *study);

/* A map of the view's plan with everything on it that the program outside would tell: tiles, to the given number of passes;
   faces; an answer. The view's, until mapped_clear. */
bool mapped_set(rv_map *map, rv_view *view, int passes);
void mapped_clear(rv_map *map, rv_view *view);

#endif
