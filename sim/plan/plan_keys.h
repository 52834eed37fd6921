/* The key table: one row for every scalar key of a plan, from which come the reader, the writer, the range
   check, the defaults, `runnel keys` and the reference in docs/plan.md. */
#ifndef RN_PLAN_PLAN_KEYS_H
#define RN_PLAN_PLAN_KEYS_H

#include <stddef.h>

#include "base/units.h"
#include "plan/plan.h"

/* Where a key stands in the file. Paints, bases, pours and moves are lists: the key is one of an element. */
typedef enum rn_section {
    RN_SECTION_PLAN, /* the top level */
    RN_SECTION_PANEL,
    RN_SECTION_PAINT,
    RN_SECTION_BASE,
    RN_SECTION_POUR,
    RN_SECTION_MOVE,
    RN_SECTION_LIMITS,
    RN_SECTIONS
} rn_section;

/* What is usual for a side of the panel, or its diameter. */
#define RN_SIDE_USUAL "60 mm", "1.5 m", "30 cm"

/* How the text of a key becomes a field. */
typedef enum rn_key_kind {
    RN_KEY_QUANTITY,    /* double */
    RN_KEY_COUNT,       /* int */
    RN_KEY_SEED,        /* long */
    RN_KEY_WORD,        /* an enum: the word's place among `words` */
    RN_KEY_FLAG,        /* bool: the first word is false, the second true */
    RN_KEY_TITLE,       /* char[RN_TITLE_SIZE] */
    RN_KEY_NAME,        /* char[RN_NAME_SIZE] */
    RN_KEY_COLOUR,      /* uint8_t[3] */
    RN_KEY_CONSISTENCY, /* a word of the ladder, for the law */
    RN_KEY_PAINT,       /* int: a paint by its name */
    RN_KEY_PLACE,       /* rn_place */
    RN_KEY_BEARING,     /* double */
    RN_KEY_SIZE,        /* the panel's width and height */
    RN_KEY_ROUND,       /* a round panel's diameter */
    RN_KEY_PUDDLE,      /* "corners" or a place, for a base coat */
    RN_KEY_STRIP,       /* an edge, for a base coat */
    RN_KEY_SIZES,       /* list of shares */
    RN_KEY_STACK,       /* list of paints with volumes */
    RN_KEY_AMOUNT,      /* what a move does, and how much */
    RN_KEY_REST,        /* "yes": a move that does nothing */
    RN_KEY_VERSION,     /* of the format; not kept */
    RN_KEY_SECTION,     /* holds other keys */
} rn_key_kind;

typedef struct rn_key {
    const char *name;
    rn_key_kind kind;
    rn_dimension dimension;   /* of quantities */
    size_t offset;            /* in rn_plan for the plan, panel and limits; else in the list's element */
    const char *least, *most; /* as a person writes them; NULL where there is nothing to compare */
    const char *fallback;     /* the default, as a person writes it */
    const char *otherwise;    /* what holds when it is left out and no fixed default does; NULL with fallback
                                 NULL: the key must be given */
    const char *const *words; /* NULL-terminated, for words and flags */
    int which;                /* RN_KEY_AMOUNT: the rn_move_kind */
    const char *doc;          /* one line */
    const char
        *usual[3]; /* usual from, to, and an example, where they do not follow from the default or the dimension */
} rn_key;

/* The rows of one section; *count is their number. */
const rn_key *rn_plan_keys(int *count, rn_section section);

/* NULL if the section has no such key. */
const rn_key *rn_plan_key(rn_section section, const char *name);

/* "", "panel", "paints.NAME", "base.NUMBER" ...: what stands before a key of that section in a path. */
const char *rn_section_path(rn_section section);

/* What a section is, in one line; the word that begins it in a file ("" for the top level). */
const char *rn_section_doc(rn_section section);
const char *rn_section_word(rn_section section);

/* What is usual for a quantity, for hints: as its row has it; else for a length round its default; else its dimension's. */
rn_usual rn_key_usual(const rn_key *key);

/* The range, or the choice of words, in one line for a person. */
void rn_key_range_text(char *text, int size, const rn_key *key);

/* The default, or what holds when the key is left out. */
const char *rn_key_default_text(const rn_key *key);

/* Writes the current value of a key as a plan file would hold it; false (and an empty text) if it has nothing
   to say there. index: of the element, from 0; unused for plan, panel and limits. */
bool rn_key_value_text(char *text, int size, const rn_plan *plan, rn_section section, int index, const rn_key *key);

/* The reference of all keys as Markdown, malloc'd, owned by the caller; NULL if no memory. */
char *rn_plan_keys_markdown(void);

#endif
