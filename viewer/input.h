/* What the hands did, as plain data: made from SDL's events in input.c, or by a test. */
#ifndef INPUT_H
#define INPUT_H

#include <stdbool.h>

typedef enum rv_input_kind {
    INPUT_NONE,
    INPUT_TICK,  /* time passes */
    INPUT_MOVE,  /* of the pointer */
    INPUT_PRESS, /* left button, or a finger; `clicks` tells a double press */
    INPUT_LIFT,
    INPUT_MENU, /* right button, or a long press */
    INPUT_WHEEL,
    INPUT_KEY,
    INPUT_TEXT,  /* what was typed, UTF-8 */
    INPUT_DROP,  /* a file, by its path */
    INPUT_SIZE,  /* of the drawing surface */
    INPUT_LEAVE, /* the pointer left the window */
    INPUT_CLOSE, /* the window is asked to close */
} rv_input_kind;

/* Keys that print stand for themselves, unshifted and in small letters; the others: */
enum {
    KEY_ENTER = 256,
    KEY_ESCAPE,
    KEY_TAB,
    KEY_SPACE,
    KEY_BACKSPACE,
    KEY_DELETE,
    KEY_INSERT,
    KEY_LEFT,
    KEY_RIGHT,
    KEY_UP,
    KEY_DOWN,
    KEY_HOME,
    KEY_END,
    KEY_PAGE_UP,
    KEY_PAGE_DOWN,
    KEY_F1, /* F1..F12 in a row */
    KEY_F12 = KEY_F1 + 11,
};

enum { MOD_SHIFT = 1, MOD_CTRL = 2, MOD_ALT = 4 };

#define INPUT_TEXT_SIZE 1024

typedef struct rv_input {
    rv_input_kind kind;
    double now;        /* [s], of a clock that only rises */
    double x, y;       /* of the pointer [pixels of the drawing surface] */
    int clicks;        /* press: 1, 2 ... */
    double wheel;      /* notches, away from the reader positive */
    int key;           /* see above */
    unsigned mods;     /* of MOD_ */
    bool held;         /* key: it came by itself, as the key is still down */
    bool touch;        /* a finger: targets are larger */
    int width, height; /* size [pixels] */
    double ratio;      /* size: pixels of the surface per pixel of the window's own measure; 2 on a high-DPI screen */
    char text[INPUT_TEXT_SIZE]; /* text, drop */
} rv_input;

#endif
