/* Sheets of paper over the page, always light, and the choices on them. */
#ifndef PAPER_H
#define PAPER_H

#include "canvas.h"

/* The page beneath steps back. */
void paper_dim(rv_canvas *canvas);

/* Lays a sheet with a torn lower edge, and a clip at its top if it has one; from here on the pen's inks are those for
   paper. The result is for paper_done. */
bool paper_lay(rv_canvas *canvas, rn_box box, bool clip);
void paper_done(rv_canvas *canvas, bool dark);

/* A choice: its words and its key. */
typedef struct rv_paper_choice {
    rv_part part;
    int a;
    const char *words, *key;
    bool first; /* what Enter does: filled */
    bool taken; /* has been chosen: ticked */
} rv_paper_choice;

/* How wide a choice is with letters of that size, key and all. */
double paper_choice_width(rv_canvas *canvas, const rv_paper_choice *choice, double size);

/* Draws it with its upper left at (x, y); false and nothing if it is wider than `most` even in small letters. */
#define PAPER_CHOICE_HEIGHT 32.0
bool paper_choice(rv_canvas *canvas, double x, double y, double most, const rv_paper_choice *choice);

/* Choices in rows within that width; the height they take. draw false: only measures. */
double paper_choices(rv_canvas *canvas, double x, double y, double most, const rv_paper_choice *choices, int count,
                     bool draw);

/* Words in up to so many lines within `most`, in smaller letters where they would be cut; the first baseline at y. The
   height from the first baseline to the last. draw false: only measures. */
double paper_words(rv_canvas *canvas, double x, double y, rn_letters letters, double most, int lines, const char *text,
                   bool draw);

#endif
