/* Where neighbouring points of a lattice do not belong together, a seam runs between them. Only the points are known, so
   that the seam crosses the link between two of them somewhere; here it is drawn as smooth as the points allow. */
#ifndef RN_SHOW_SEAM_H
#define RN_SHOW_SEAM_H

#include <stdbool.h>

#define RN_LINK_RIGHT 1 /* a point belongs together with the one to its right */
#define RN_LINK_BACK 2  /* with the one behind it */

/* links[ny*nx], row-major. right[ny*nx], back[ny*nx]: for each link that does not hold, at which share of the way to the
   other point the seam crosses, 0..1. False if no memory. */
bool rn_seam_settle(float *right, float *back, const unsigned char *links, int nx, int ny);

/* The four points around a place: 0 at (i, j), then counter-clockwise. */
typedef struct rn_seam_cell {
    int broken;           /* how many of the four links between them */
    float crossing[4][2]; /* of those, counter-clockwise: where the seam crosses, 0..1 from point 0 */
    int before[4];        /* the point before each crossing */
} rn_seam_cell;

void rn_seam_cell_at(rn_seam_cell *cell, const float *right, const float *back, const unsigned char *links, int nx,
                     long point);

/* Which points a place (u, v in 0..1) belongs to: those from *first on, counter-clockwise, *count of them; and the
   neighbours across the nearest seam likewise, at a distance in steps of the lattice. Needs broken >= 2. */
typedef struct rn_seam_side {
    int first, count;
} rn_seam_side;

float rn_seam_sides(rn_seam_side *here, rn_seam_side *there, const rn_seam_cell *cell, float u, float v);

#endif
