/* What the window is showing and what the hands are doing with it: plain state, and the one way to change it. Knows nothing
   of SDL and nothing of threads; drives a whole rehearsal in a test.

   Each piece of state is one of four: plan (in the document; saved, undone), session (in `shown`; worked out by studios),
   view (here; kept when the plan is undone), drawing (in handles; as of the last frame). */
#ifndef VIEW_H
#define VIEW_H

#include <stdbool.h>

#include "document.h"
#include "input.h"
#include "layout.h"
#include "map.h"
#include "mend.h"
#include "rehearsal.h"
#include "studio.h"

typedef enum rv_page { PAGE_BENCH, PAGE_SIDE, PAGE_WINDOW, PAGES } rv_page;

/* What lies over the page and takes all input until it is put away. */
typedef enum rv_cover {
    COVER_NONE,
    COVER_KEYS,     /* F1 */
    COVER_MEND,     /* a plan that was not opened */
    COVER_FILE,     /* the text of that plan */
    COVER_LEAVE,    /* unsaved changes */
    COVER_PATH,     /* a path is typed */
    COVER_REPLACE,  /* a file of that path is there already */
    COVER_RECOVER,  /* a bench left behind by a crash */
    COVER_CAUTIONS, /* what this plan is warned of, and the usual cautions */
} rv_cover;

typedef enum rv_sheet {
    SHEET_FACE,
    SHEET_DEPTH,
    SHEET_ARRIVAL,
    SHEET_PEEL,
    SHEET_STRETCH,
    SHEET_SECTION,
    SHEETS
} rv_sheet;

/* Things that can be pressed, dragged, focused. a and b say which one. */
typedef enum rv_part {
    PART_NONE,
    /* the clock */
    PART_POUR, /* the disc: pour or hold */
    PART_SPEED,
    PART_TIME,  /* the bob */
    PART_STRIP, /* the clock's ground: press to go there; a: the lane, or LANES */
    PART_MOVE,  /* a: move; its body: drag along */
    PART_MOVE_START,
    PART_MOVE_END,
    PART_MOVE_AMOUNT, /* a: move */
    PART_POURING,     /* a: pour; body */
    PART_BURST,       /* a: pour, b: burst; body */
    PART_BURST_FOOT,  /* its end: how long it stays open */
    PART_BURST_TOP,   /* its volume */
    PART_POURING_END, /* a: pour: when its last burst ends */
    PART_END,         /* of the plan */
    /* the bench */
    PART_PANEL, /* its face: the pointer's core */
    PART_KNOB,  /* of the turning ring */
    PART_RING_INNER,
    PART_RING_OUTER,
    PART_RING_CENTRE, /* a: pour */
    PART_DIPSTICK,    /* knob: least wanted */
    PART_FOLD,        /* peel */
    PART_ARRIVAL,     /* the line of the time shown */
    PART_A,
    PART_B, /* ends of the section */
    /* the right column */
    PART_BUBBLE,
    PART_SHEET,         /* a: which */
    PART_PAGE,          /* a: which */
    PART_KEYS_WORD,     /* "F1 all keys" */
    PART_CAUTIONS_WORD, /* "danger: ...", "2 warnings" */
    PART_UNDO_WORD,
    PART_NAME,  /* the plan's name: open, save, picture */
    PART_START, /* a: what to begin from, on an empty bench */
    /* the shelf */
    PART_JAR, /* a: paint */
    PART_JAR_LEVEL,
    PART_JAR_THREAD, /* a: paint: volume, consistency */
    PART_JAR_PLACE,  /* an empty place on the shelf */
    PART_BASE,
    PART_BASE_LEVEL,
    PART_BOARD, /* the panel on the shelf */
    /* the slip: the keys of one thing */
    PART_SLIP,     /* its paper */
    PART_SLIP_ROW, /* a: row, see slip.h */
    PART_SLIP_VOLUME,
    PART_SLIP_THREAD,
    PART_SLIP_COLOUR, /* handles on a jar's slip */
    PART_SLIP_CLOSE,
    /* side by side */
    PART_COLUMN,      /* a: 0, 1, 2 */
    PART_COLUMN_TAKE, /* makes it the plan */
    PART_TRIO,        /* thin, usual, thick */
    /* the window of plans that work */
    PART_TILES,       /* all of them: which one is where the pointer is */
    PART_PIN,         /* this plan among them */
    PART_AXIS,        /* a: 0 along x, 1 along y: opens the list of what it can be */
    PART_AXIS_CHOICE, /* a: of that list */
    PART_LIMIT,       /* a: which of what must hold */
    PART_FACE,        /* a: which face along the row or column */
    PART_FACES,       /* row or column */
    PART_QUESTION,    /* a: which: asks it, or stops it */
    PART_ANSWER,      /* a: takes what it answered */
    /* covers */
    PART_CHOICE, /* a: which of the cover's choices; Enter takes the first */
    PART_MEND,   /* a: which line's mend */
    PART_FIELD,  /* where text is typed */
} rv_part;

typedef struct rv_part_at {
    rv_part part;
    int a, b;
} rv_part_at;

/* What can be pressed, as of the last frame: later ones lie on top. */
#define HANDLES_MOST 1024
#define ARRIVALS 48 /* along either side of the panel */
typedef struct rv_handle {
    rv_part_at what;
    rn_box box; /* [units], at least 24 either way for what is dragged */
} rv_handle;

typedef struct rv_handles {
    int count, lost;
    int scroll_most; /* how far what lies over the page can be scrolled, */
    int scroll_page; /* and how much of it is seen at once; 0: that is not known */
    rv_handle list[HANDLES_MOST];
    double stick_top; /* the depth at the dipstick's head [m] */
    bool arrives;     /* lines of arrival are drawn: a hand that drags one may ask when paint came to a place */
    float arrival[ARRIVALS * ARRIVALS]; /* [s], row 0 at the front; NaN: not yet */
} rv_handles;

/* A value being typed. */
#define TYPING_SIZE 1024
typedef struct rv_typing {
    bool on;
    rv_part_at what;
    char text[TYPING_SIZE];
    int caret;         /* bytes */
    bool whole;        /* all of it is selected: the next letter replaces it */
    char trouble[320]; /* why the last Enter was refused */
    int opener;        /* the letter that opened it, until its text has come too; 0: none */
} rv_typing;

/* What the slip shows: a row of a list of the plan. */
typedef enum rv_slip_kind { SLIP_NONE, SLIP_JAR, SLIP_BASE, SLIP_PANEL, SLIP_MOVE, SLIP_POUR, SLIP_PLAN } rv_slip_kind;

typedef struct rv_slip {
    rv_slip_kind kind;
    int index; /* of the element */
    int row;   /* with the focus */
} rv_slip;

/* What the program outside must do; taken by view_take_errand. */
typedef enum rv_errand {
    ERRAND_NONE,
    ERRAND_OPEN, /* ask for a file, then view_open */
    ERRAND_SAVE, /* where it is kept; as ERRAND_SAVE_AS if that is nowhere */
    ERRAND_SAVE_AS,
    ERRAND_PICTURE, /* of what is shown, where the painter says */
    ERRAND_QUIT,
    ERRAND_START,   /* open the start page's entry `number` */
    ERRAND_RECOVER, /* take up the bench that was left behind */
    ERRAND_FORGET,  /* or discard it, for good */
    ERRAND_ASK,     /* the question `number` of the plan */
    ERRAND_ASK_NOT, /* whatever is asked, no more */
} rv_errand;

typedef struct rv_errand_slip {
    rv_errand what;
    int number;
    char path[DOCUMENT_PATH_SIZE]; /* a typed path; "" : ask */
} rv_errand_slip;

/* All that is known of one plan now; parts may be NULL. Owned by whoever runs the studios. */
typedef struct rv_shown {
    const rn_plan *plan;
    long version; /* of that plan; answers of another version are not readings but memories */
    rv_studio_tale *tale;
    rv_studio_picture *picture;
    rv_studio_picture *face; /* of the same plan and moment, from before it was peeled; may be NULL */
    rv_studio_core *core;
    rv_studio_section *section;
    rv_studio_pull *pull;
} rv_shown;

#define COLUMNS 3

/* Where a plan stands and is worked out: on the bench, which has the document's, or in a column of the page of plans side by
   side that has one of its own. No other page knows of columns. */
#define PLACE_BENCH 0
#define PLACE_COUNT (1 + COLUMNS)

/* A plan to set beside the one on the bench. */
typedef struct rv_column {
    rn_plan *plan; /* owned; NULL: the plan on the bench */
    long version;
    char label[64]; /* "thin", "usual", "copy" */
} rv_column;

/* The hand on the window of plans that work. */
typedef struct rv_map_hand {
    char axes[2][RN_DIAL_PATH]; /* along x, along y; "": the usual one */
    int list;                   /* whose choices lie open: 1 + axis; 0: none */
    int choice;                 /* of these the one with the focus */
    bool upright;               /* faces along the column, not the row */
    bool keyed;                 /* a tile is held by keys: */
    int column, row;
} rv_map_hand;

/* Something to begin from, for an empty bench. */
#define STARTS_MOST 4
#define RECENTS_SHOWN 5
typedef enum rv_start_kind {
    START_EXAMPLE, /* E, Shift+E */
    START_LAST,    /* the plan opened last, Ctrl+L */
    START_LEFT,    /* the bench that was left behind, Ctrl+R */
} rv_start_kind;
typedef struct rv_start {
    rv_start_kind kind;
    char title[128], note[128], path[DOCUMENT_PATH_SIZE];
} rv_start;

typedef struct rv_view {
    rv_document *doc; /* owned */
    int width, height;
    double ratio;
    bool dark, still_hands; /* still_hands: reduced motion */
    bool ounces;            /* volumes in fl oz rather than ml */
    rv_page page;
    rv_cover cover;
    int cover_choice, cover_scroll;

    double now;  /* of the last input */
    double time; /* shown [s] */
    bool playing;
    double speed;  /* times real time; INFINITY: as fast as it is worked out */
    double solved; /* told by the program outside: worked out until here [s] */
    int finest;    /* the same: cells of the finest grid that it works out; 0: nothing is known of it */
    bool room;     /* the panel turns, the reader stands still */
    bool sheen;
    unsigned sheets;             /* bits of 1 << SHEET_ */
    double peel;                 /* 0..1 of the depth; the fold lies at its square root across the panel */
    double a[2], b[2];           /* section [m] */
    bool pointing;               /* the pointer is over the window */
    double pointer_x, pointer_y; /* [units] */
    bool on_panel;               /* over the panel's face, at */
    double spot_x, spot_y;       /* [m] */

    rv_part_at focus, hover;
    bool focus_seen;                               /* keys are being used: draw the focus */
    rv_part_at drag;                               /* PART_NONE: nothing is held */
    double drag_x, drag_y, drag_value, drag_other; /* where it began [units], what it was */
    bool joined;   /* the change at hand belongs to the one before: they are undone as one */
    double keyed;  /* when a key last changed something [s] */
    double edited; /* when the plan was last changed by a hand that still holds [s]; NaN: it is settled */
    rv_slip slip;
    rv_typing typing;
    rv_rehearsal rehearsal;

    rv_column columns[COLUMNS];
    int column_count, column_focus;
    rv_map_hand map_hand;
    const rv_map *map;    /* told by the program outside; NULL: nothing is known of any window */
    long column_versions; /* so many plans have stood in a column: each gets a version of its own */
    int start_count;
    rv_start starts[STARTS_MOST];
    int recent_count;
    char recents[RECENTS_SHOWN][DOCUMENT_PATH_SIZE]; /* plans opened last, to be typed by a key */
    char left_when[64], left[128];                   /* a bench that was left behind: "at 14:03", "Tide ring" */
    char folder[DOCUMENT_PATH_SIZE];                 /* where a name that is typed for a file goes */
    rv_mend mend;                                    /* what is wrong with the plan that was not opened */

    char message[320]; /* said once under the outcome until the next input: "Saved.", "Not saved: ..." */
    bool message_bad;
    rv_errand_slip errand;
    rv_errand_slip then; /* what waits until unsaved changes are saved or let go: to quit, or for another plan */
    rv_handles handles;  /* as of the last frame */
    rv_layout layout;    /* as of the last frame */
} rv_view;

rv_view *view_new(void); /* an empty bench; NULL if no memory */
void view_free(rv_view *view);

/* The one way anything changes. */
void view_apply(rv_view *view, const rv_input *input);

/* Takes what is to be done outside; ERRAND_NONE if nothing. */
rv_errand_slip view_take_errand(rv_view *view);

/* Opens a plan; if it is broken the bench stays and the mend page comes up. */
void view_open(rv_view *view, const char *path);

/* After the document has another plan in it: everything else begins anew. */
void view_fresh(rv_view *view);

/* Lets a path be typed for that errand; one is proposed. */
void view_ask_path(rv_view *view, rv_errand what);

/* The same once more, with what was typed, and why it cannot be. */
void view_ask_again(rv_view *view, rv_errand what, const char *path, const char *why);

/* A path that the desktop's own dialog gave, which has asked whether what has that name may be replaced. */
void view_take_path(rv_view *view, rv_errand what, const char *path);

/* After an errand: what came of it. */
void view_say(rv_view *view, bool bad, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* A volume in ml or fl oz, as the painter prefers, with its unit; rounded for reading. */
const char *view_volume(char *text, int size, const rv_view *view, double volume);

/* The place of a column's plan, the bench for a column that has none of its own. */
int view_column_place(const rv_view *view, int column);

/* The plan that stands at a place. */
const rn_plan *view_plan(const rv_view *view, int place);
long view_version(const rv_view *view, int place);

/* Whether it is seen on the page that is shown. */
bool view_on_page(const rv_view *view, int place);

/* What a studio is to be asked for now. */
rv_studio_wish view_wish(const rv_view *view, int place);

/* Whether the plan stands still long enough to be worked out. */
bool view_settled(const rv_view *view);

/* Whether something moves by itself, so that the next frame differs from this one. */
bool view_moves(const rv_view *view);

/* How far the panel stands turned on the page: 0, or in room view the angle at the time shown [rad]. */
double view_turned(const rv_view *view);

/* How the panel, or the hand that rehearses, is held now: tilt, and the bearing of downhill on the page [rad]. */
void view_slope(double *tilt, double *downhill, const rv_view *view);

/* The time at the right end of the clock's axis [s]: when the last plan on the page ends. */
double view_end(const rv_view *view);

#endif
