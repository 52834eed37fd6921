/* The map of a window: what works as one opening in a wall, the rest with the texture of what fails worst, contour lines of
   coverage, run-off and stretch over it, and the places of this plan, the safest and the nearest that works. */
#ifndef RN_SHOW_WINDOW_MAP_H
#define RN_SHOW_WINDOW_MAP_H

#include "show/window_page.h"

/* How a tile looks: its kind, or that too little runs off. */
#define RN_WINDOW_DRY RN_TILE_KINDS
#define RN_WINDOW_LOOKS (RN_TILE_KINDS + 1)

extern const int rn_window_looks[RN_WINDOW_LOOKS]; /* in the order they are listed in: what works first */
int rn_window_look(const rn_window *window, int column, int row);
void rn_window_count_looks(int counts[RN_WINDOW_LOOKS], const rn_window *window);
const char *rn_window_look_word(int look);

/* The ground of such tiles, and what is drawn on it, filling a box. */
rn_role rn_window_ground(int look);
void rn_window_texture(rn_pen *pen, rn_box box, int look);

/* A mark: this plan, the nearest that works, the safest. */
void rn_window_mark_own(rn_pen *pen, double x, double y);
void rn_window_mark_nearest(rn_pen *pen, double x, double y);
void rn_window_mark_best(rn_pen *pen, double x, double y);

/* The whole map, its tiles filling the box. False if no memory. */
bool rn_window_map_draw(rn_pen *pen, rn_box box, const rn_window_page *page);

#endif
