/* Volumes by colour: the fit to two sets of sums [deming1940], and the balance of a small session. */
#include "check.h"

#include "base/random.h"
#include "lived.h"
#include "run/colours.h"

/* Equal sums of 2: [a 2-a; 2-a a] keeps the cross-product ratio 4 where a/(2-a) = 2. Worked by hand. */
static void a_table_of_four_is_fitted_as_by_hand(void **state)
{
    (void)state;
    double table[4] = {4, 1, 1, 1};
    const double sums[2] = {2, 2};
    check_at_most(rn_colours_fit(table, 2, 2, sums, sums), 1e-12);
    check_close(table[0], 4.0 / 3, 1e-12);
    check_close(table[1], 2.0 / 3, 1e-12);
    check_close(table[2], 2.0 / 3, 1e-12);
    check_close(table[3], 4.0 / 3, 1e-12);
}

/* Rows times 1, 2, 3 and columns times 1, 1/2, 2 of [1 2 1; 3 1 2; 1 1 4]; the only table with these sums that comes of
   scaling rows and columns. Worked by hand. */
static void a_table_of_nine_is_fitted_as_by_hand(void **state)
{
    (void)state;
    double table[9] = {1, 2, 1, 3, 1, 2, 1, 1, 4};
    const double wanted[9] = {1, 1, 2, 6, 1, 8, 3, 1.5, 24};
    const double rows[3] = {4, 15, 28.5}, columns[3] = {10, 3.5, 34};
    check_at_most(rn_colours_fit(table, 3, 3, rows, columns), 1e-12);
    for (int n = 0; n < 9; n++)
        check_close(table[n], wanted[n], 1e-10);
}

/* Proportional fitting keeps every ratio (a d)/(b c) of four corners, and what is 0 stays 0 [deming1940]. */
static void cross_products_are_kept(void **state)
{
    (void)state;
    enum { R = 5, C = 4 };
    rn_random random = rn_random_seeded(11);
    double before[R * C], table[R * C], rows[R] = {0}, columns[C] = {0};
    for (int n = 0; n < R * C; n++) {
        const double wanted = 0.1 + rn_random_unit(&random);
        table[n] = before[n] = 0.1 + rn_random_unit(&random);
        rows[n / C] += wanted;
        columns[n % C] += wanted;
    }
    check_at_most(rn_colours_fit(table, R, C, rows, columns), 1e-12);
    for (int r = 0; r < R; r++) {
        double sum = 0;
        for (int c = 0; c < C; c++)
            sum += table[r * C + c];
        check_close(sum, rows[r], 1e-12);
    }
    for (int c = 0; c < C; c++) {
        double sum = 0;
        for (int r = 0; r < R; r++)
            sum += table[r * C + c];
        check_close(sum, columns[c], 1e-12);
    }
    for (int r = 1; r < R; r++)
        for (int c = 1; c < C; c++)
            check_close(table[0] * table[r * C + c] / (table[c] * table[r * C]),
                        before[0] * before[r * C + c] / (before[c] * before[r * C]), 1e-9);
}

static void what_is_nowhere_stays_nowhere(void **state)
{
    (void)state;
    double table[6] = {1, 0, 2, 3, 1, 0};
    const double rows[2] = {2, 4}, columns[3] = {2, 3, 1};
    rn_colours_fit(table, 2, 3, rows, columns);
    check_within(table[1], 0, 0);
    check_within(table[5], 0, 0);
    check_close(table[4], 3, 1e-9); /* the column has no other */
    check_close(table[2], 1, 1e-9);
    check_close(table[0], 1, 1e-9);
}

#define PAINTS                                                                                                         \
    "plan: 1\n"                                                                                                        \
    "paints: {slate: {colour: 2b3a55}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}, brass: {colour: c9962f}}\n"     \
    "base: [{paint: foam, depth: 0.3 mm}]\n"                                                                           \
    "pours: [{across: 50 mm, width: 8 mm, start: 0 s, lifts: 2, every: 4 s, open: 3 s, repeat: 2, "                    \
    "stack: [slate 30 ml, kelp 20 ml]}]\n"

static const char to_the_right[] = PAINTS "panel: {size: 20 cm x 16 cm, edges: clean}\n"
                                          "moves: [{start: 8 s, for: 12 s, tilt: 12 deg, toward: right}]\n"
                                          "end: 22 s\n";
static const char within_walls[] = PAINTS "panel: {size: 20 cm x 16 cm, edges: walls}\n"
                                          "moves: [{start: 8 s, for: 12 s, tilt: 12 deg, toward: right}]\n"
                                          "end: 22 s\n";

static rn_colours trace(const lived *life, int points, int levels)
{
    rn_colours colours;
    rn_strata *face = NULL;
    rn_strata_options wanted = rn_strata_defaults();
    rn_error err = {0};
    wanted.points = points;
    wanted.levels = 1;
    check_ok(rn_strata_trace(&face, &life->past, life->still, wanted, life->team, &err), &err);
    check_ok(rn_colours_trace(&colours, &life->past, life->still, face, levels, life->team, &err), &err);
    rn_strata_free(face);
    return colours;
}

static void check_balance(const rn_colours *colours, const lived *life)
{
    double on_face = 0, spilled = 0, run_over = 0, seen = colours->bare;
    for (int p = 0; p < colours->paint_count; p++) {
        double all = colours->on_face[p];
        for (int s = 0; s < RN_SIDES; s++) {
            all += colours->over[s][p];
            run_over += colours->over[s][p];
            check_at_most(colours->run_off[s][p], colours->over[s][p] * (1 + 1e-12));
        }
        check_within(all, colours->came[p], 1e-12 * (1e-6 + colours->came[p]));
        on_face += colours->on_face[p];
        seen += colours->visible[p];
    }
    for (int f = 0; f < life->still->spill_count; f++)
        spilled += life->still->spill[f];
    check_close(on_face, life->still->on_face, 1e-9);
    check_within(run_over, spilled, 1e-9 * life->still->on_face);
    check_close(seen, 1, 1e-12);
}

static void volumes_add_up_by_paint_and_by_edge(void **state)
{
    (void)state;
    lived *life = lived_new(to_the_right, 64, NAN);
    const rn_colours colours = trace(life, 128, 4);
    check_balance(&colours, life);
    check_close(colours.came[0], 30e-6, 1e-9); /* all that the plan pours */
    check_close(colours.came[1], 20e-6, 1e-9);
    check_close(colours.came[2], 0.3e-3 * 0.2 * 0.16, 1e-9);
    check_within(colours.came[3], 0, 0);
    check_within(colours.on_face[3], 0, 0);
    double over[RN_SIDES] = {0}, run_off[RN_SIDES] = {0};
    for (int s = 0; s < RN_SIDES; s++)
        for (int p = 0; p < colours.paint_count; p++) {
            over[s] += colours.over[s][p];
            run_off[s] += colours.run_off[s][p];
        }
    check_at_least(over[RN_RIGHT], 1e-6);
    for (int s = 0; s < RN_SIDES; s++)
        check_within(run_off[s], life->still->moment.run_off[s], 1e-9 * life->still->on_face);
    check_within(over[RN_LEFT], 0, 0);
    check_at_most(fmax(over[RN_FRONT], over[RN_BACK]), 1e-4 * over[RN_RIGHT]); /* the right corners */
    for (int c = 0; c < RN_CORNERS; c++) {
        double share = 0;
        for (int p = 0; p < colours.paint_count; p++)
            share += colours.corner[c][p];
        check_close(share, 1, 1e-12);
    }
    lived_free(life);
}

static void nothing_goes_over_walls(void **state)
{
    (void)state;
    lived *life = lived_new(within_walls, 64, NAN);
    const rn_colours colours = trace(life, 128, 4);
    check_balance(&colours, life);
    for (int s = 0; s < RN_SIDES; s++)
        for (int p = 0; p < colours.paint_count; p++)
            check_within(colours.over[s][p], 0, 0);
    for (int p = 0; p < colours.paint_count; p++)
        check_within(colours.on_face[p], colours.came[p], 1e-12 * life->still->on_face);
    lived_free(life);
}

/* Half the bursts of the timing case, turned on its tilt. The limit is this program's own aim. */
static void little_is_traced_to_the_wrong_colour(void **state)
{
    (void)state;
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, "tests/bench/colour.yaml", &err), &err);
    lived *life = lived_of(plan, check_grid(128), 2, 24);
    const rn_colours colours = trace(life, 128, 8);
    check_balance(&colours, life);
    printf("misplaced %.2f %%, worst %.2f %%\n", 100 * colours.misplaced, 100 * colours.worst);
    check_at_most(colours.misplaced, check_grid(128) < 128 ? 0.06 : 0.03); /* coarser grids are only watched here */
    lived_free(life);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_table_of_four_is_fitted_as_by_hand),
        cmocka_unit_test(a_table_of_nine_is_fitted_as_by_hand),
        cmocka_unit_test(cross_products_are_kept),
        cmocka_unit_test(what_is_nowhere_stays_nowhere),
        cmocka_unit_test(volumes_add_up_by_paint_and_by_edge),
        cmocka_unit_test(nothing_goes_over_walls),
        cmocka_unit_test(little_is_traced_to_the_wrong_colour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
