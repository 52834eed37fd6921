/* A plan: everything a painter decides before the pour, in SI units. Plain data, copied by assignment
   of its scalars; the lists are owned by the plan. */
#ifndef RN_PLAN_PLAN_H
#define RN_PLAN_PLAN_H

#include <stdbool.h>
#include <stdio.h>

#include "base/error.h"
#include "base/units.h"
#include "matter/motion.h"
#include "matter/paint.h"
#include "matter/panel.h"
#include "matter/source.h"

#define RN_PAINTS_MOST 12
#define RN_BASES_MOST 32
#define RN_POURS_MOST 32
#define RN_LAYERS_MOST 24 /* places in one stack */
#define RN_MOVES_MOST 200
#define RN_EXPECTS_MOST 32
#define RN_OLD_WORDS_MOST 16
#define RN_TITLE_SIZE 200

/* Where something lies on the panel. Either a word (sides) or a point. */
typedef struct rn_place {
    bool point;
    int side_x, side_y; /* -1, 0, +1 as in rn_panel_place; both 0 is the centre */
    double x, y;        /* when point: [m] right and back of the centre */
} rn_place;

typedef enum rn_base_kind {
    RN_BASE_ALL,     /* over the whole face */
    RN_BASE_CORNERS, /* a puddle in each corner (round panel: at each of the four diagonals) */
    RN_BASE_DISC,    /* a puddle at a place */
    RN_BASE_STRIP,   /* along an edge */
} rn_base_kind;

/* One base coat. Exactly one of volume (in all) and depth is given; the other is NaN. */
typedef struct rn_base {
    int paint; /* index into paints */
    rn_base_kind kind;
    double volume; /* [m3] */
    double depth;  /* [m] */
    rn_place at;   /* disc: where; strip: which edge (one of the sides is 0) */
    double across; /* corners, disc: diameter of a puddle [m] */
    double width;  /* strip [m] */
} rn_base;

typedef struct rn_layer {
    int paint;
    double volume; /* total over all repeats [m3] */
} rn_layer;

typedef struct rn_pour {
    char name[RN_NAME_SIZE]; /* empty: only known by its number */
    bool cup;                /* laid on top; otherwise from under a rim, through the film's depth */
    rn_place at;
    double across, width; /* [m] */
    double start;         /* [s] */
    int lifts;
    double every, open; /* [s] */
    int size_count;     /* 0: all bursts equal */
    double sizes[RN_BURSTS_MOST];
    double uneven; /* 0..1 */
    long seed;
    int repeat;
    int layer_count;
    rn_layer stack[RN_LAYERS_MOST]; /* first out first */
} rn_pour;

typedef enum rn_expect_kind {
    RN_EXPECT_COVERAGE,   /* fraction of the face */
    RN_EXPECT_COVERED_BY, /* time [s] */
    RN_EXPECT_RUN_OFF,    /* volume [m3], or share of all paint */
    RN_EXPECT_CORNER,     /* least corner depth, or that of one corner [m] */
    RN_EXPECT_THINNEST,   /* [m] */
    RN_EXPECT_STRETCH,    /* ratio */
    RN_EXPECT_TWIST,      /* [rad] */
} rn_expect_kind;

typedef enum rn_relation { RN_AT_LEAST, RN_AT_MOST, RN_ABOUT } rn_relation;

typedef struct rn_expect {
    rn_expect_kind kind;
    rn_relation relation;
    double value;     /* SI */
    double tolerance; /* RN_ABOUT: +- this, SI */
    bool share;       /* run-off: value is a share of base and poured */
    bool one_side;    /* run-off of one edge, depth of one corner: */
    int side_x, side_y;
} rn_expect;

typedef struct rn_limits {
    double spin;    /* the table's greatest rate [rad/s]; NaN not given */
    double stretch; /* greatest ratio for cells to keep their shape */
    double deepest; /* film depth from which cracking is usual [m] */
} rn_limits;

/* A word of the older ladder of consistency that was written where it stands for the viscosity of a paint. */
typedef struct rn_old_word {
    rn_mark mark; /* unknown where it was set by its path */
    int word;     /* index into rn_consistency_olds */
} rn_old_word;

typedef struct rn_plan {
    char title[RN_TITLE_SIZE];
    rn_panel panel;
    double cover; /* least wet depth that counts as covered [m] */
    int paint_count;
    rn_paint paints[RN_PAINTS_MOST];
    int base_count;
    rn_base bases[RN_BASES_MOST];
    int pour_count;
    rn_pour *pours; /* RN_POURS_MOST entries, owned */
    int move_count;
    rn_move moves[RN_MOVES_MOST];
    rn_limits limits;
    double end;     /* [s] */
    bool end_given; /* false: end follows the last event, see rn_plan_settle */
    int expect_count;
    rn_expect expects[RN_EXPECTS_MOST];
    int old_word_count; /* what its file should say otherwise, though it holds; the first so many of them */
    rn_old_word old_words[RN_OLD_WORDS_MOST];
} rn_plan;

/* A plan with every default and empty lists; NULL if no memory. */
rn_plan *rn_plan_new(void);
void rn_plan_free(rn_plan *plan);
rn_plan *rn_plan_copy(const rn_plan *plan);

/* Reads a plan from YAML text. name is used in messages ("-" is written as "standard input").
   Checks everything rn_plan_check does, with the line and column. *plan is set only on success. */
rn_status rn_plan_read(rn_plan **plan, const char *text, long size, const char *name, rn_error *err);
rn_status rn_plan_read_file(rn_plan **plan, const char *path, rn_error *err);

/* Writes a plan as a person would, to be read back as the same plan. *text is malloc'd, owned by the caller. */
rn_status rn_plan_write(char **text, const rn_plan *plan, rn_error *err);

/* The same to a file, whole or not at all; "-" is the stream `standard`. */
rn_status rn_plan_write_file(const char *path, FILE *standard, const rn_plan *plan, rn_error *err);

/* Sets one scalar by its path ("moves.4.spin", "paints.slate.viscosity", "pours.1.start", "poured",
   "consistency") from text with its unit, then checks the plan anew; the plan is untouched on failure. */
rn_status rn_plan_set(rn_plan *plan, const char *path, const char *value, rn_error *err);

/* What "thin" and "thick" are to "usual", where one plan is shown with all three. */
#define RN_THIN 0.5
#define RN_THICK 2.0

typedef struct rn_setting {
    const char *path, *value;
} rn_setting;

/* As rn_plan_set for several at once, in order, checked when all are set; all or none take hold. */
rn_status rn_plan_set_all(rn_plan *plan, const rn_setting *settings, int count, rn_error *err);

/* A number of a plan by its path, for whoever turns at it. */
typedef struct rn_plan_number {
    double value; /* SI; NaN: not given */
    rn_dimension dimension;
    double least, most; /* as the key table bounds it, SI; NaN: it does not */
    bool whole;         /* only whole numbers */
} rn_plan_number;

/* Paths as for rn_plan_set; RN_E_PLAN where there is none, or where it is no number. */
rn_status rn_plan_number_at(rn_plan_number *number, const rn_plan *plan, const char *path, rn_error *err);

/* Brings up to date what follows from other values: the end where none is given. Call after changing moves
   or pours by hand; rn_plan_set does it by itself. */
void rn_plan_settle(rn_plan *plan);

/* Checks what concerns more than one key: geometry, overlapping moves, empty stacks. */
rn_status rn_plan_check(const rn_plan *plan, rn_error *err);

/* What a pour releases, ready for the film; the volume is the sum of its stack. */
rn_source rn_pour_source(const rn_plan *plan, const rn_pour *pour);

/* Where a place lies on this plan's panel, for something of that radius [m]. */
void rn_place_point(double *x, double *y, const rn_panel *panel, const rn_place *place, double radius);

/* The bearing of a side or corner seen from the centre, counter-clockwise from right, 0..2 pi [rad]; corners lie
   on the panel's own diagonals. Both sides 0 gives 0. */
double rn_place_bearing(const rn_panel *panel, int side_x, int side_y);

/* How far a pour reaches from its centre [m]. */
double rn_pour_reach(const rn_pour *pour);

/* When the last drop of a pour is out [s]. */
double rn_pour_end(const rn_pour *pour);

/* Volumes by paint, volumes[paint_count] [m3]: of the stacks, and of the base coats (depths times the
   area they cover). */
void rn_plan_poured(double *volumes, const rn_plan *plan);
void rn_plan_based(double *volumes, const rn_plan *plan);
/* How deep a base coat lies on its place, a volume spread evenly [m]. */
double rn_plan_base_depth(const rn_plan *plan, const rn_base *base);
/* All that the stacks hold, and all base coats [m3]. */
double rn_plan_poured_all(const rn_plan *plan);
double rn_plan_based_all(const rn_plan *plan);

/* All the paint of a plan, stacks and base coats, as one: the law by rn_law_mixed, all else by volume; its price is NaN
   where a paint that is used has none. *volume in all [m3]; where it is 0 the mixture is the first paint. */
rn_paint rn_plan_mixture(double *volume, const rn_plan *plan);

/* The laws of the paints in use, each once, laws[RN_PAINTS_MOST]; law_of[paint_count]: which of them each paint follows,
   RN_LAW_NONE where it is not used. */
#define RN_LAW_NONE 255
int rn_plan_laws(rn_law *laws, unsigned char *law_of, const rn_plan *plan);

/* Up to when two plans are the same pour [s]: nothing that a session works out before then differs, to the last bit. 0:
   they differ from the start. INFINITY: only in what no paint flows by, such as colours, names and expectations. The
   mixture of all paints is one liquid from the start on, so that it counts at once where it differs. A pour keeps its
   place in the list, by which the film's layers know it. Steps look ahead by up to twice their length, see
   rn_session_reach. */
double rn_plan_agree_until(const rn_plan *a, const rn_plan *b);

#endif
