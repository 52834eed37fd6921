/* What a plan leaves on its panel, worked out by the program: the depths and what the report tells. */
#ifndef RN_TESTS_CLI_POURED_H
#define RN_TESTS_CLI_POURED_H

typedef struct poured {
    int nx, ny;
    double cell;     /* [m] */
    double *depth;   /* ny*nx [m], row 0 at the back edge, owned */
    double on_panel; /* [m3] */
} poured;

/* Forecasts the text of a plan whose panel is so wide [m], on so many cells, until a time ("32 s") or, NULL, its end. Fails
   the test where the program does, or paint does not balance. */
poured poured_from(void **state, const char *plan, double width, int cells);
poured poured_until(void **state, const char *plan, double width, int cells, const char *until);

/* Depth between cell centres, bilinear; x and y from the centre, y toward the back [m]. */
double poured_depth(const poured *end, double x, double y);

/* Where, going out from the centre, the film becomes less deep than this [m]. */
double poured_reach(const poured *end, double bearing, double level);

/* Radius of the disc as large as the place that is at least so deep [m]. */
double poured_radius(const poured *end, double level);

#endif
