/* What is not known exactly of a plan, how far, and the plans it may turn out to be.

   "+-" is an expanded uncertainty with the coverage factor 2 [jcgm2008]: half of it is the standard deviation of a normal
   distribution round the plan's value, so that about 95 of 100 draws lie within. It is cut where the key's table, or zero,
   forbids to go on, and made whole again. */
#ifndef RN_SEARCH_DOUBT_H
#define RN_SEARCH_DOUBT_H

#include <stdint.h>

#include "plan/plan.h"

#define RN_DOUBT_PATH 96
#define RN_DOUBTS_MOST 30
#define RN_READINGS_MOST (RN_DOUBTS_MOST + 2)
#define RN_DOUBT_DIGITS 6       /* values are drawn with so many, and told with them: what is printed was run */
#define RN_SLOPE_DOUBT_MOST 5.0 /* of the bench [deg] */

/* One doubt is one thing that may turn out otherwise: a number of the plan by its path; a key of all entries of a list that
   have it, which are then off alike, "moves.spin" (it is one turntable); or "panel.slope", how far the bench is out of
   level, which has a direction: the slopes to the right and to the back are drawn each for itself. */
typedef struct rn_doubt {
    char path[RN_DOUBT_PATH];
    rn_dimension dimension; /* of the value */
    bool share;             /* half is a share of the value; else in its unit */
    double half;            /* the figure behind "+-", > 0 */
    bool usual;             /* nobody asked for it: one of rn_doubts_usual */
} rn_doubt;

typedef struct rn_doubts {
    int count;
    rn_doubt items[RN_DOUBTS_MOST];
} rn_doubts;

/* What is usually in doubt, as far as this plan has it: the consistency by 10 %, the volume poured by 3 %, spins together by
   5 %, the bench's level by 0.2 deg, the advancing angle by 5 deg (all of them common practice, no source). */
rn_doubts rn_doubts_usual(const rn_plan *plan);

/* Adds a doubt as one writes it: a path and "+-5%" (of the value; of shares: in points), "+-0.2 deg" or "+-3 ml". A star in
   the place of a name or number, "paints.*.viscosity", adds one for each entry that has the key. What is in doubt already
   from the usual ones and speaks of the same is taken out; "+-0" only takes out. RN_E_PLAN says what is wrong. */
rn_status rn_doubts_add(rn_doubts *doubts, const rn_plan *plan, const char *path, const char *text, rn_error *err);

/* "+-5 %", "+-0.2 deg". */
void rn_doubt_text(char *text, int size, const rn_doubt *doubt);

/* ---- draws ---- */

/* How many random numbers a draw needs: one for each doubt, two for the slope. */
int rn_doubts_numbers(const rn_doubts *doubts);

/* The numbers of one draw, numbers[rn_doubts_numbers()], uniform on 0..1 and independent. They depend on the seed, the place
   of the draw and each doubt's path alone: not on how many draws there are, nor on the other doubts. */
void rn_doubts_random(double *numbers, const rn_doubts *doubts, uint64_t seed, int draw);

/* Those of `draws` draws together, numbers[draws][rn_doubts_numbers()], as a Latin hypercube [mckay1979]: of each number one
   lies in each of as many even parts of 0..1. RN_E_MEMORY. */
rn_status rn_doubts_even(double *numbers, const rn_doubts *doubts, uint64_t seed, int draws, rn_error *err);

/* The plan that these numbers draw, owned by the caller (drawn NULL: not asked for), and what was drawn,
   readings[rn_doubts_readings()], SI, with the digits that were set: the parts of a slope follow from its size and way. A
   change is of the plan's own value, and what comes of it has those digits again. RN_E_PLAN where the values make no plan
   together, with its reason. */
rn_status rn_doubts_draw(rn_plan **drawn, double *readings, const rn_doubts *doubts, const rn_plan *plan,
                         const double *numbers, rn_error *err);

/* What a draw tells of its inputs. */
typedef struct rn_reading {
    char name[RN_DOUBT_PATH + 20]; /* "moves.spin", "panel.slope right" */
    rn_dimension dimension;
    bool change; /* how far off the plan's, as of several values alike; else the value itself */
    int doubt;
} rn_reading;

/* readings[RN_READINGS_MOST]; one for each doubt, three for the slope: how far, and its parts to the right and to the
   back. */
int rn_doubts_readings(rn_reading *readings, const rn_doubts *doubts, const rn_plan *plan);

#endif
