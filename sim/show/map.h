/* The panel from above, true to scale: how deep the film lies, where it stays short, when it arrived. */
#ifndef RN_SHOW_MAP_H
#define RN_SHOW_MAP_H

#include "matter/panel.h"
#include "run/forecast.h"
#include "run/record.h"
#include "show/pen.h"
#include "show/sheet.h"

typedef struct rn_map {
    rn_box face;           /* the panel's rectangle on the page [units] */
    const rn_panel *panel; /* these three stay the caller's */
    const rn_record *record;
    const rn_forecast *forecast;
    rn_sheet depth, arrival;
    double top; /* the depth at the ramp's light end [m] */
} rn_map;

/* Ready to be drawn with the panel's face in that box. False if no memory. */
bool rn_map_init(rn_map *map, rn_box face, const rn_panel *panel, const rn_record *record, const rn_forecast *forecast);
void rn_map_clear(rn_map *map);

/* Page position of a point on the panel [m]. */
double rn_map_x(const rn_map *map, double x);
double rn_map_y(const rn_map *map, double y);
double rn_map_scale(const rn_map *map); /* units per metre */

/* The film in the depth ramp, with lines of depth and arrival, their figures, what stays short, and the places
   where it is thinnest and thickest. False if no memory. */
bool rn_map_draw(rn_pen *pen, const rn_map *map);

/* The outline of the panel as the current path. */
void rn_map_outline(rn_pen *pen, const rn_map *map);

/* When the last place was first covered [s]; 0 where all was from the start, or nothing ever. */
double rn_map_latest_arrival(const rn_map *map);

/* A rule of a round length in the scale of the map, its left end at (x, y). */
void rn_map_rule(rn_pen *pen, const rn_map *map, double x, double y);

/* Levels that get a line, [m]: those below `top`; returns how many, at most RN_MAP_LEVELS. */
#define RN_MAP_LEVELS 14
int rn_map_levels(double levels[RN_MAP_LEVELS], double top);

#endif
