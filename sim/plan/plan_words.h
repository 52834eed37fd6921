/* The small grammars of a plan: places, directions, colours, expectations; each both ways. On failure a reader
   says in one line what was found and what would be right, and leaves its outputs alone. */
#ifndef RN_PLAN_PLAN_WORDS_H
#define RN_PLAN_PLAN_WORDS_H

#include <stdbool.h>
#include <stdint.h>

#include "plan/plan.h"

/* "centre", "back right corner", "front edge", "40 mm right 20 mm front". */
rn_status rn_place_read(rn_place *place, const char *text, rn_error *err);
void rn_place_write(char *text, int size, const rn_place *place);

/* "back", "back right", "135 deg" -> bearing, counter-clockwise from right [rad]. */
rn_status rn_bearing_read(double *bearing, const rn_panel *panel, const char *text, rn_error *err);
void rn_bearing_write(char *text, int size, const rn_panel *panel, double bearing);

/* If the bearing is that of a corner of the panel, its sides. */
bool rn_bearing_corner(int *side_x, int *side_y, const rn_panel *panel, double bearing);

/* "#2b3a55" or "2b3a55". */
rn_status rn_colour_read(uint8_t colour[3], const char *text, rn_error *err);

/* "12 in x 16 in", "30 x 40 cm". */
rn_status rn_size_read(double *width, double *height, const char *text, rn_error *err);

/* word: "coverage", "run-off" ...; text: "at least 99 %", "front at most 5 ml", "0.4 mm +- 0.1 mm". */
rn_status rn_expect_read(rn_expect *expect, const char *word, const char *text, rn_error *err);
void rn_expect_write(char *text, int size, const rn_expect *expect);

/* The word of a kind; NULL beyond the last. */
const char *rn_expect_word(int kind);

#endif
