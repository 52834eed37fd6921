/* The rigid panel: its outline, what its edges do, and how paint takes to its dry ground. */
#ifndef RN_MATTER_PANEL_H
#define RN_MATTER_PANEL_H

#include <stdbool.h>

typedef enum rn_edge_kind {
    RN_EDGE_CLEAN,   /* taped: paint hangs on the edge, then drops off */
    RN_EDGE_WRAPPED, /* sides are to be covered: paint wets the side first */
    RN_EDGE_WALLS,   /* nothing leaves */
    RN_EDGE_OPEN,    /* no hold: paint leaves as it arrives */
} rn_edge_kind;

typedef enum rn_ground {
    RN_GROUND_PRIMED, /* dry primer */
    RN_GROUND_SEALED, /* dry, sealed or varnished */
} rn_ground;

typedef struct rn_panel {
    bool round;           /* a disc: width == height is its diameter */
    double width, height; /* left to right, front to back [m] */
    rn_edge_kind edges;
    double side; /* height of the sides, wrapped edges [m] */
    rn_ground ground;
    double advance;  /* advancing contact angle on the dry ground [rad] */
    double slope;    /* how far the bench is out of level [rad] */
    double downhill; /* toward where, in the room, counter-clockwise from right [rad] */
} rn_panel;

/* Area of the face [m2]. */
double rn_panel_area(const rn_panel *panel);

/* Where a word of place lies: side_x is -1 left, 0 middle, +1 right; side_y is -1 front, 0, +1 back.
   A disc of `radius` [m] put there touches the edge or both edges of the corner from inside; on a round
   panel it touches the rim at that bearing (corners at 45 degrees). */
void rn_panel_place(double *x, double *y, const rn_panel *panel, int side_x, int side_y, double radius);

#endif
