/* How hands become changes: the parts of view_apply, shared by the view's own files only. */
#ifndef GESTURE_H
#define GESTURE_H

#include "view.h"

/* Gives a draft back to the document; on refusal says why. `join` as in document_commit. */
bool gesture_commit(rv_view *view, rn_plan *draft, const char *what, bool join);

/* The pointer. */
rv_part_at gesture_under(const rv_view *view, double x, double y); /* the topmost handle there */
void gesture_press(rv_view *view, int clicks, unsigned mods);
void gesture_drag(rv_view *view, unsigned mods);
void gesture_lift(rv_view *view);
void gesture_wheel(rv_view *view, double notches, unsigned mods);

/* What a press on something that is no handle to drag does: sheets, pages, choices. False if it is none of these. */
bool gesture_choose(rv_view *view, rv_part_at what, unsigned mods);

/* Keys. */
void gesture_key(rv_view *view, int key, unsigned mods);
void gesture_scroll(rv_view *view, int by);                    /* what a cover shows */
bool gesture_cover_key(rv_view *view, int key, unsigned mods); /* while a cover lies over the page */
void gesture_walk(rv_view *view, int step, bool zone); /* the focus to the next stop, or the next zone's first */
bool gesture_nudge(rv_view *view, double right, double up, unsigned mods); /* arrows on what has the focus */

/* The window of plans that work. A key, a press: true if it was for that page. */
bool gesture_map_key(rv_view *view, int key, unsigned mods);
bool gesture_map_choose(rv_view *view, rv_part_at what);
void gesture_take_tile(rv_view *view, int column, int row); /* makes it the plan */
void gesture_take_pointed(rv_view *view);                   /* the tile under the pointer */
void gesture_drag_limit(rv_view *view);
bool gesture_nudge_limit(rv_view *view, double right, double up, unsigned mods);

/* Typing a value. */
void gesture_type(rv_view *view, rv_part_at what);
void gesture_typed_text(rv_view *view, const char *text);
bool gesture_typed_key(rv_view *view, int key, unsigned mods); /* true: it was for the field */

/* Hands on the panel: a tilt, or a rate of turning, from now on. Playing, it is a rehearsal; holding, an edit of the block
   under the plumb line, or a new one there. */
void gesture_tilt(rv_view *view, double tilt, double toward); /* toward: downhill in the panel's frame [rad] */
void gesture_turn_by(rv_view *view, double angle);            /* the table, by so much since the hand took hold [rad] */
void gesture_grip(rv_view *view, double step);                /* rehearsed: the ring in the hand, on by so much [rad] */
void gesture_let_go(rv_view *view);                           /* of the ring: the table stops */
void gesture_rehearse(rv_view *view);                         /* begins by hand at the time shown */
void gesture_hold(rv_view *view);                             /* stops playing; ends a rehearsal */
void gesture_play(rv_view *view);
void gesture_tick(rv_view *view, double since); /* seconds since the last */

/* Covers and actions that a key, a word or a choice can ask for. */
void gesture_undo(rv_view *view, bool redo);
void gesture_leave(rv_view *view);
/* An errand that takes the plan off the bench: at once, or when it has been asked what becomes of its changes. */
void gesture_depart(rv_view *view, rv_errand_slip errand);
void gesture_save(rv_view *view, bool elsewhere);
void gesture_choice(rv_view *view, int choice);
void gesture_mend(rv_view *view, int line);
void gesture_trio(rv_view *view, bool volumes); /* thin, usual, thick; or little, usual, much paint */
void gesture_copy_column(rv_view *view);
void gesture_drop_column(rv_view *view, int column);
void gesture_take_column(rv_view *view, int column);

#endif
