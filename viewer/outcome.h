/* The outcome in words: always of exactly what is shown. */
#ifndef OUTCOME_H
#define OUTCOME_H

#include "canvas.h"

#define PHRASES_MOST 12
#define PHRASE_SIZE 160

/* One phrase of the sentence: words in plain ink, then words that matter. */
typedef struct rv_phrase {
    rv_tile tile;
    bool has_tile;
    double share; /* of TILE_PART */
    char lead[PHRASE_SIZE], strong[PHRASE_SIZE], tail[PHRASE_SIZE];
    rn_role role; /* of the strong words */
    rv_part part; /* what a press on it does; PART_NONE: nothing */
    bool aside;   /* left out before any letters are made smaller */
    int keep;     /* the less, the sooner it is left out; 0: never */
} rv_phrase;

/* The sentence about a plan at the view's time; the number of phrases. */
int outcome_phrases(rv_phrase phrases[PHRASES_MOST], const rv_canvas *canvas);

/* Phrases as plain text. */
void outcome_join(char *text, int size, const rv_phrase *phrases, int count);

/* The whole as plain text, for logs and tests. */
void outcome_text(char *text, int size, const rv_canvas *canvas);

/* The head of a page: the sentence, or the message if there is one, and whatever else is so: a plan that is dangerous says
   it, before everything. */
void outcome_head(rv_canvas *canvas, const rv_phrase *phrases, int count);

/* Sets phrases in at most two lines within the box, dropping what there is no room for. */
void outcome_set(rv_canvas *canvas, rn_box box, const rv_phrase *phrases, int count);

#endif
