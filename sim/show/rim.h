/* What stands around the map: run-off hanging from each edge, and a note for each corner. */
#ifndef RN_SHOW_RIM_H
#define RN_SHOW_RIM_H

#include "show/map.h"
#include "show/pen.h"

#define RN_RIM_ROOM_BACK 48.0  /* what needs to stay free behind the panel [units] */
#define RN_RIM_ROOM_FRONT 50.0 /* and in front */
#define RN_RIM_ROOM_SIDE 158.0 /* and on either side, corner notes included */

/* How much one drip stands for [m3]: a round volume that keeps the fullest edge readable; 0 if nothing ran off. */
double rn_rim_drip(const rn_forecast *forecast);

/* Drips along each edge, evenly spread (where along the edge paint left is not known), and the edge's name and ml. */
void rn_rim_draw_run_off(rn_pen *pen, const rn_map *map);

/* For each corner (on a disc, for each quarter) when it was covered and how deep it lies. */
void rn_rim_draw_corners(rn_pen *pen, const rn_map *map);

/* The sign for covered (a solid square) or short (a corner broken off), its centre at (x, y). */
void rn_rim_tile(rn_pen *pen, double x, double y, bool covered);

#endif
