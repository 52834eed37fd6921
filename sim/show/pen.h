/* The drawing kit that every chart shares: the bench's colours, its letters, and a memory of where text already
   stands, so that no text is ever laid over another. All lengths are units of the page (see figure.h). */
#ifndef RN_SHOW_PEN_H
#define RN_SHOW_PEN_H

#include <cairo.h>
#include <stdbool.h>
#include <stdint.h>

#define RN_BOXES_MOST 600
#define RN_BOX_GAP 1.5 /* texts closer than this count as overlapping */

/* What a colour is for; each has its value for a light and for a dark room. */
typedef enum rn_role {
    RN_ROLE_BENCH,
    RN_ROLE_STRIP,
    RN_ROLE_PAPER,
    RN_ROLE_INK,
    RN_ROLE_INK2,
    RN_ROLE_SHORT,
    RN_ROLE_RUN_OFF,
    RN_ROLE_LINE,
    RN_ROLE_HAIR,
    RN_ROLE_GLASS,
    RN_ROLE_PULLED,
    RN_ROLE_WELL,     /* ground of the ring and the level */
    RN_ROLE_SOLVED,   /* the part of a strip that is worked out */
    RN_ROLE_BOARD,    /* a shelf's */
    RN_ROLE_BRASS,    /* what the hand may move */
    RN_ROLE_ON_BRASS, /* words on it */
    RN_ROLES,
} rn_role;

typedef struct rn_box {
    double x, y, width, height;
} rn_box;

struct _PangoLayout; /* Pango stays out of the headers */

typedef struct rn_pen {
    cairo_t *cr;
    struct _PangoLayout *layout;
    bool dark;
    double longer; /* share by which words are made longer, to see whether a page holds in another language; 0 */
    rn_box veil;   /* texts that would stand under this are not drawn: paper will lie there; width 0: nothing */
    int box_count; /* texts drawn so far */
    int box_lost;  /* texts that found no place in the list */
    rn_box boxes[RN_BOXES_MOST];
} rn_pen;

/* Which letters: to read, for small headings and the ring's numerals, wide ones for names, and those of a plan file. */
typedef enum rn_lettering { RN_LETTERS_READ, RN_LETTERS_HEAD, RN_LETTERS_WIDE, RN_LETTERS_MONO } rn_lettering;

/* How a text is set. Zero means: left, regular, upright, one line, as long as it likes, no halo. */
typedef struct rn_letters {
    double size;
    rn_role role;
    bool bold;
    rn_lettering lettering;
    double align; /* 0 left, 0.5 middle, 1 right of the point */
    int turn;     /* quarter turns counter-clockwise: 1 reads upward, -1 downward */
    double most;  /* greatest width; longer text ends in an ellipsis */
    int lines;    /* breaks between words into so many lines, at most, within `most` */
    int accent;   /* so many bytes at the beginning stand in accent_role */
    rn_role accent_role;
    bool on_map; /* colour and halo below instead of the role's */
    bool light;  /* on_map: white letters, else near-black */
    uint8_t halo[3];
} rn_letters;

/* Draws on cr, which stays the caller's. False if no memory. */
bool rn_pen_init(rn_pen *pen, cairo_t *cr, bool dark);
void rn_pen_clear(rn_pen *pen);

void rn_pen_use(rn_pen *pen, rn_role role);
void rn_pen_use_rgb(rn_pen *pen, const uint8_t rgb[3]);

/* Where a text would stand with its first baseline at (x, y): the box of its ink. */
rn_box rn_pen_measure(rn_pen *pen, double x, double y, rn_letters letters, const char *text);

/* From the first baseline to the last [units]. */
double rn_pen_depth(rn_pen *pen, rn_letters letters, const char *text);

/* Draws it there and remembers its box, which is returned. */
rn_box rn_pen_text(rn_pen *pen, double x, double y, rn_letters letters, const char *text);

/* True if no text stands within `gap` of the box. */
bool rn_pen_vacant(const rn_pen *pen, rn_box box, double gap);

/* Pairs of texts closer than RN_BOX_GAP: 0 in a good picture. */
int rn_pen_overlaps(const rn_pen *pen);

/* One rule, from point to point. */
void rn_pen_line(rn_pen *pen, rn_role role, double width, double x0, double y0, double x1, double y1);

#endif
