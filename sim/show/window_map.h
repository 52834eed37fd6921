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

/* What contour lines are drawn of. */
typedef enum rn_window_field {
    RN_WINDOW_COVERAGE, /* [%] */
    RN_WINDOW_RUN_OFF,  /* [% of the paint] */
    RN_WINDOW_STRETCH,  /* [-] */
    RN_WINDOW_FIELDS,
} rn_window_field;

/* Whether the window knows anything of it, that is not the same everywhere. */
bool rn_window_field_shown(const rn_window *window, rn_window_field field);

/* A line as those of the field are drawn. */
void rn_window_field_stroke(rn_pen *pen, rn_window_field field, double x0, double y0, double x1, double y1);

/* A mark: this plan, the nearest that works, the safest. */
void rn_window_mark_own(rn_pen *pen, double x, double y);
void rn_window_mark_nearest(rn_pen *pen, double x, double y);
void rn_window_mark_best(rn_pen *pen, double x, double y);

/* The whole map, its tiles filling the box. False if no memory. */
bool rn_window_map_draw(rn_pen *pen, rn_box box, const rn_window_page *page);

#endif
