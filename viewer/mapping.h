/* Keeps the window of plans that work true to the plan on the bench: says what is surveyed, takes what was told, has the faces
   along its row made. The view's `map` is what it tells. */
#ifndef MAPPING_H
#define MAPPING_H

#include "view.h"

typedef struct rv_mapping rv_mapping;

typedef struct rv_mapping_options {
    rv_survey_options survey;
    int columns, rows, cells;    /* 0: MAP_COLUMNS, MAP_ROWS, MAP_CELLS; no more than these many tiles */
    int face_cells, face_points; /* of the faces along the row */
} rv_mapping_options;

/* Nothing is begun before the page is first seen. */
rn_status mapping_new(rv_mapping **mapping, rv_mapping_options options, rn_error *err);
void mapping_free(rv_mapping *mapping);

/* Once a frame, before it is drawn; true if there is something new to be seen. busy: hands are moving on the
   bench, which goes first. */
bool mapping_update(rv_mapping *mapping, rv_view *view, bool busy);

/* Whether all that the page shows is worked out, or cannot be. */
bool mapping_still(const rv_mapping *mapping, const rv_view *view);

void mapping_ask(rv_mapping *mapping, rv_view *view, rv_question question);
void mapping_ask_not(rv_mapping *mapping);

#endif
