/* Pictures one after another: as an animated WebP [webp], or as numbered PNG files in a folder. Whole or not at all: what
   is written appears under its name only when it is closed. */
#ifndef RN_SHOW_ANIMATION_H
#define RN_SHOW_ANIMATION_H

#include <cairo.h>
#include <stdbool.h>
#include <stdio.h>

#include "base/error.h"

typedef struct rn_animation_options {
    double quality; /* 0 small .. 100 good; 80 */
    int loops;      /* how often it plays; 0: without end */
} rn_animation_options;

rn_animation_options rn_animation_defaults(void);

typedef struct rn_animation rn_animation;

/* RN_E_USAGE unless the path ends in .webp; "-" is good as well. */
rn_status rn_animation_check_path(const char *path, rn_error *err);

/* Begins an animated WebP; "-" goes to `standard`. RN_E_FILE where it cannot be written. */
rn_status rn_animation_open(rn_animation **animation, const char *path, FILE *standard, rn_animation_options options,
                            rn_error *err);

/* Begins a folder of frames 0001.png, 0002.png, ... The folder is made; one that is there may hold numbered frames only,
   which are replaced at the end. */
rn_status rn_animation_open_folder(rn_animation **animation, const char *folder, rn_error *err);

/* Adds a picture that is shown for so long [s]: an image surface of format RGB24, all of one size, which stays the
   caller's. After a failure only rn_animation_abandon is left to do. In a WebP, pictures with the same pixels as the one
   before become one that is shown longer. */
rn_status rn_animation_add(rn_animation *animation, cairo_surface_t *frame, double duration, rn_error *err);

/* Writes what there is under its name and frees the animation, whatever comes of it. RN_E_USAGE without a frame. */
rn_status rn_animation_close(rn_animation *animation, rn_error *err);

/* Leaves nothing behind, and an older file or folder as it was. NULL is good. */
void rn_animation_abandon(rn_animation *animation);

#endif
