/* In what plans differ, by the key table. */
#ifndef RN_PLAN_PLAN_UNLIKE_H
#define RN_PLAN_PLAN_UNLIKE_H

#include "plan/plan.h"

#define RN_UNLIKE_PLANS 6
#define RN_UNLIKE_KEYS 12

typedef enum rn_unlike_kind {
    RN_ALIKE,
    RN_UNLIKE_CONSISTENCY, /* in nothing but how their paints flow */
    RN_UNLIKE_POURED,      /* in nothing but volumes in their stacks */
    RN_UNLIKE_ONE,         /* in one key */
    RN_UNLIKE_SEVERAL,
} rn_unlike_kind;

typedef struct rn_unlike_key {
    char words[80];                   /* "spin of move 4" */
    char values[RN_UNLIKE_PLANS][64]; /* what each has there: "45 rpm"; "none" */
} rn_unlike_key;

typedef struct rn_unlike {
    rn_unlike_kind kind;
    rn_unlike_key whole; /* all of it in short: "consistency" with "like castor oil" ...; "7 things" with nothing */
    char note[RN_UNLIKE_PLANS]
             [48]; /* the consistency of each, whatever they differ in: "0.6 Pa·s"; empty without paint */
    int count;     /* in how many keys */
    int listed;    /* the first of them */
    rn_unlike_key keys[RN_UNLIKE_KEYS];
} rn_unlike;

/* Compares two to RN_UNLIKE_PLANS plans; of one, it is alike. */
rn_unlike rn_plan_unlike(const rn_plan *const plans[], int count);

/* Viscosity of a plan's paint, all mixed, at 1/s [Pa s]; NaN without paint. */
double rn_plan_viscosity(const rn_plan *plan);

#endif
