/* A plan on the bench with hands at it and no studio, for tests of what hands do. */
#ifndef AT_BENCH_H
#define AT_BENCH_H

#include "hand.h"
#include "staged.h"

typedef struct at_bench {
    rv_view *view;
    rv_shown shown[PLACE_COUNT];
    cairo_surface_t *surface;
    painter hand;
} at_bench;

int at_bench_set_up(void **state); /* presets/tide-table.yaml, as if it were worked out to its end */
int at_bench_tear_down(void **state);

void at_bench_look(at_bench *b); /* a frame, so that the hand finds what it shows */
const rn_plan *at_bench_plan(const at_bench *b);

#define AT_BENCH(test) cmocka_unit_test_setup_teardown(test, at_bench_set_up, at_bench_tear_down)

#endif
