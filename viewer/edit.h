/* Changes to a plan as a painter thinks of them. Each works on a draft (see document.h) and leaves a plan that may still have
   to be checked; indices are those of the plan's lists. Values are rounded as a person would write them (see tidy.h): to 0.001 ml, 0.01 s,
   0.1 mm of place, 0.01 of a degree or a turn a minute, three digits of consistency. Nothing here knows of windows. */
#ifndef EDIT_H
#define EDIT_H

#include <stdbool.h>

#include "plan/plan.h"

/* Whether there is any paint to pour or coat with; a plan without is being made, and is not worked out. */
bool edit_pourable(const rn_plan *plan);

/* Jars. The volume of a jar is the sum over its places in the stacks [m3]; setting it scales them, and where it has none
   gives it a place on top of the first pour's stack (none if nothing is poured yet). */
double edit_jar_volume(const rn_plan *plan, int paint);
void edit_set_jar_volume(rn_plan *plan, int paint, double volume);

/* Viscosity at a shear rate of 1/s [Pa s]; setting it scales the law's consistency and yield stress alike. */
double edit_jar_viscosity(const rn_plan *plan, int paint);
void edit_set_jar_viscosity(rn_plan *plan, int paint, double viscosity);

/* All paints at once by a factor; for 'thin, usual, thick'. */
void edit_scale_viscosity(rn_plan *plan, double factor);

/* All that is poured by a factor, the base coat left as it is. */
void edit_scale_poured(rn_plan *plan, double factor);

/* A new paint with a name and a colour of its own after the last one, 40 ml of it as the last out of the first pour; its
   index, -1 if the shelf is full. */
int edit_add_jar(rn_plan *plan);
/* Paints as they stand on the shelf: by their first place in the stacks, then those without one; their number. */
int edit_shelf_order(int order[RN_PAINTS_MOST], const rn_plan *plan);
/* The paint and all its places; a pour or base coat that held only it goes too. */
void edit_remove_jar(rn_plan *plan, int paint);
/* Moves a paint to where the paint `to` stands on the shelf, past one neighbour after the other: in every stack that holds
   both they exchange places, each with its own volume. Goes as far as it can: what is poured stands before what is not. */
void edit_move_jar(rn_plan *plan, int paint, int to);

/* Moves (turn, tilt, spin, rest). Times stay >= 0 and moves of a kind keep clear of each other: an edit that would make
   them overlap stops where they touch. */
int edit_add_move(rn_plan *plan, rn_move_kind kind, double start, double duration); /* index; -1: no room for it */
void edit_remove_move(rn_plan *plan, int move);
void edit_shift_move(rn_plan *plan, int move, double start);
void edit_stretch_move(rn_plan *plan, int move, double start, double end); /* either end moved */
void edit_set_amount(rn_plan *plan, int move, double amount);              /* turn, spin [rad/s]; tilt [rad] */
void edit_set_toward(rn_plan *plan, int move, double bearing);             /* [rad] */
/* The free stretch of a lane around a time [s]; false if a move is there. */
bool edit_gap(double *from, double *to, const rn_plan *plan, rn_move_kind kind, double time);

/* Pours and their bursts. Burst k of a pour begins at start + k every and lasts open. */
/* A ring at the centre, with all jars that have no place yet or else a copy of the last pour's stack; -1: no room for it. */
int edit_add_pour(rn_plan *plan, double start, double duration);
void edit_remove_pour(rn_plan *plan, int pour);
void edit_shift_pour(rn_plan *plan, int pour, double start);
void edit_stretch_pour(rn_plan *plan, int pour, double end);    /* when its last burst ends: changes `every` */
void edit_set_burst_open(rn_plan *plan, int pour, double open); /* [s] */
void edit_set_burst_count(rn_plan *plan, int pour,
                          int count); /* the volume stays; new bursts are as large as the mean */
double edit_burst_volume(const rn_plan *plan, int pour, int burst); /* [m3] */
void edit_set_burst_volume(rn_plan *plan, int pour, int burst,
                           double volume);                               /* the others keep theirs: the pour grows */
void edit_set_ring(rn_plan *plan, int pour, double inner, double outer); /* radii of the ring let out [m] */
void edit_get_ring(double *inner, double *outer, const rn_plan *plan, int pour);
void edit_place_pour(rn_plan *plan, int pour, double x, double y); /* [m] from the centre; snaps to it */

/* Base coat: depth over the whole face [m], 0 takes it away; paints itself with the first jar unless one is there. */
double edit_base_depth(const rn_plan *plan);
void edit_set_base_depth(rn_plan *plan, double depth);

/* The least depth that is wanted [m]: the plan's `expect: thinnest`, or NaN; setting NaN takes it away. */
double edit_least_wanted(const rn_plan *plan);
void edit_set_least_wanted(rn_plan *plan, double depth);

#endif
