/* Which moments of a session are worth a picture: records made by hand. */
#include "check.h"

#include <string.h>

#include "lived.h"
#include "run/telling.h"

#define N 64
#define MOMENTS 501

typedef struct made {
    rn_plan *plan;
    rn_record record;
} made;

/* A record in which nothing is ever reached, of that plan, to its end. */
static made make(const char *text)
{
    made got = {.plan = lived_plan(text)};
    rn_error err = {0};
    rn_record *record = &got.record;
    check_ok(rn_grid_make(&record->grid, got.plan->panel.width, got.plan->panel.height, N, &err), &err);
    record->inside = malloc(N * N * sizeof *record->inside);
    record->arrival = malloc(N * N * sizeof *record->arrival);
    record->moments = calloc(MOMENTS, sizeof *record->moments);
    assert_true(record->inside && record->arrival && record->moments);
    for (int n = 0; n < N * N; n++) {
        record->inside[n] = true;
        record->arrival[n] = NAN;
    }
    record->end = got.plan->end;
    record->complete = true;
    record->moment_count = MOMENTS;
    for (int m = 0; m < MOMENTS; m++)
        record->moments[m].time = record->end * m / (MOMENTS - 1);
    return got;
}

static void unmake(made *got)
{
    rn_plan_free(got->plan);
    free(got->record.inside);
    free(got->record.arrival);
    free(got->record.moments);
}

static void reach_corner(made *got, int corner, double time)
{
    for (int m = 0; m < MOMENTS; m++)
        if (got->record.moments[m].time >= time)
            got->record.moments[m].corner[corner] = 2 * got->plan->cover;
}

typedef struct told {
    int count;
    rn_telling list[RN_TELLING_MOST];
} told;

static told tell(const made *got)
{
    told all;
    all.count = rn_telling_find(all.list, got->plan, &got->record);
    for (int k = 1; k < all.count; k++)
        assert_true(all.list[k].time > all.list[k - 1].time);
    for (int k = 0; k < all.count; k++)
        assert_true(all.list[k].words[0] != '\0' && strlen(all.list[k].words) < RN_TELLING_SIZE);
    return all;
}

static double when(const told *all, const char *words)
{
    for (int k = 0; k < all->count; k++)
        if (strcmp(all->list[k].words, words) == 0)
            return all->list[k].time;
    fprintf(stderr, "no moment is called \"%s\"; there are:", words);
    for (int k = 0; k < all->count; k++)
        fprintf(stderr, " \"%s\"", all->list[k].words);
    fprintf(stderr, "\n");
    return NAN;
}

#define HEAD                                                                                                           \
    "plan: 1\npanel: {size: 20 cm x 20 cm}\npaints: {slate: {colour: 2b3a55}}\n"                                       \
    "pours:\n"
#define POUR(start, more) "  - {start: " #start " s, lifts: 1, open: 10 s, stack: [slate 10 ml]" more "}\n"

static void each_kind_of_moment_is_told(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, ", name: kelp bed") POUR(20, "")
                        POUR(90, ", name: late") "moves: [{start: 40 s, for: 20 s, spin: 30 rpm}]\nend: 100 s\n");
    got.record.end = 80; /* the third pour has not ended by then */
    for (int m = 0; m < MOMENTS; m++)
        got.record.moments[m].time *= 0.8;
    got.record.arrival[5 * N + N - 1] = 36;
    got.record.arrival[5] = 37;        /* the front edge, later */
    got.record.arrival[5 * N + 5] = 4; /* no edge */
    reach_corner(&got, 2, 50);
    reach_corner(&got, 0, 70);
    const told all = tell(&got);
    check_within(when(&all, "kelp bed is out"), 10, 1e-9);
    check_within(when(&all, "pour 2 is out"), 30, 1e-9);
    check_within(when(&all, "right edge reached"), 36, 1e-9);
    check_within(when(&all, "front right corner reached"), 50, 0.17);
    check_within(when(&all, "spin ends"), 60, 1e-9);
    check_within(when(&all, "back left corner reached"), 70, 0.17);
    check_within(when(&all, "end"), 80, 1e-9);
    assert_int_equal(all.count, 7);
    got.record.complete = false;
    const told stopped = tell(&got);
    check_within(when(&stopped, "stopped here"), 80, 1e-9);
    unmake(&got);
}

static void one_pour_is_the_release(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, ", name: kelp bed") "end: 100 s\n");
    const told all = tell(&got);
    check_within(when(&all, "release ends"), 10, 1e-9);
    check_within(when(&all, "end"), 100, 1e-9);
    assert_int_equal(all.count, RN_TELLING_LEAST); /* the gaps are filled */
    check_within(when(&all, "pouring"), 5, 1e-9);
    check_within(when(&all, "at rest"), 32.5, 1e-9);
    unmake(&got);
}

/* What is poured or moved shows more than as long a rest. */
static void gaps_are_filled_where_most_happens(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") "moves: [{start: 30 s, for: 20 s, tilt: 5 deg, toward: right}]\nend: 100 s\n");
    const told all = tell(&got);
    assert_int_equal(all.count, RN_TELLING_LEAST);
    static const double times[] = {32.5, 43.75};
    for (int k = 0; k < 2; k++) {
        assert_string_equal(all.list[1 + k].words, "tilted");
        check_within(all.list[1 + k].time, times[k], 1e-9);
    }
    unmake(&got);
}

static void on_a_disc_they_are_quarters(void **state)
{
    (void)state;
    made got = make("plan: 1\npanel: {across: 20 cm}\npaints: {slate: {colour: 2b3a55}}\n"
                    "pours:\n" POUR(0, "") "end: 100 s\n");
    got.record.arrival[(N / 2) * N] = 30;
    reach_corner(&got, 1, 50);
    const told all = tell(&got);
    check_within(when(&all, "left edge reached"), 30, 1e-9);
    check_within(when(&all, "back right quarter reached"), 50, 0.2);
    unmake(&got);
}

/* A puddle of the coat creeps along the front edge, cell by cell; later the pour comes to the right edge from within. */
static void creeping_along_an_edge_does_not_reach_it(void **state)
{
    (void)state;
    made got = make("plan: 1\npanel: {size: 20 cm x 20 cm}\npaints: {slate: {colour: 2b3a55}}\n"
                    "base: [{paint: slate, volume: 5 ml, at: corners}]\n"
                    "pours:\n" POUR(0, "") "end: 100 s\n");
    for (int i = 0; i < 30; i++)
        got.record.arrival[i] = i < 20 ? 0 : (float)i;
    for (int i = 30; i < N; i++)
        got.record.arrival[40 * N + i] = (float)(i - 4);
    for (int j = 37; j < 44; j++)
        got.record.arrival[j * N + N - 1] = 59 + (float)abs(j - 40);
    const told all = tell(&got);
    check_within(when(&all, "right edge reached"), 59, 1e-9);
    unmake(&got);
}

static void near_moments_are_one(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") "end: 100 s\n");
    got.record.arrival[5] = 30;
    reach_corner(&got, 3, 30.4);
    const told all = tell(&got);
    check_within(when(&all, "front edge reached, front left corner reached"), 30.4, 1e-9);
    unmake(&got);
}

/* Nine pours, each too near to the one before: not all of them become the last. */
static void a_long_row_of_near_moments_is_not_one(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") POUR(4, "") POUR(8, "") POUR(12, "") POUR(16, "") POUR(20, "") POUR(24, "")
                        POUR(28, "") POUR(32, "") "end: 400 s\n");
    const told all = tell(&got);
    int pours = 0;
    for (int k = 0; k < all.count; k++)
        pours += strstr(all.list[k].words, "is out") != NULL;
    assert_in_range(pours, 4, 9);
    unmake(&got);
}

static void there_are_never_more_than_fit(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") POUR(10, "") POUR(20, "") POUR(30, "") POUR(40, "") POUR(50, "") POUR(60, "")
                        POUR(70, "") POUR(80, "") POUR(90, "") POUR(100, "") POUR(110, "") POUR(120, "") POUR(130, "")
                            POUR(140, "") POUR(150, "") "end: 200 s\n");
    const told all = tell(&got);
    assert_int_equal(all.count, RN_TELLING_MOST);
    assert_string_equal(all.list[all.count - 1].words, "end");
    unmake(&got);
}

static bool tells(const told *all, const char *words)
{
    for (int k = 0; k < all->count; k++)
        if (strstr(all->list[k].words, words))
            return true;
    return false;
}

/* Of the two nearest the one that says less goes: an edge, and not the pour beside it. */
static void the_lighter_of_two_gives_way(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") POUR(10, "") POUR(20, "") POUR(30, "") POUR(40, "") POUR(50, "") POUR(60, "")
                        POUR(70, "") POUR(80, "") POUR(90, "") POUR(100, "") POUR(110, "") POUR(120, "") POUR(130, "")
                            POUR(140, "") POUR(150, "") "end: 200 s\n");
    got.record.arrival[5] = 124;
    const told all = tell(&got);
    assert_int_equal(all.count, RN_TELLING_MOST);
    assert_false(tells(&all, "edge reached"));
    assert_true(tells(&all, "pour 12 is out"));
    unmake(&got);
}

/* What is wet within the first half second was so from the start. */
static void what_is_wet_from_the_start_is_not_reached(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") "end: 100 s\n");
    got.record.arrival[5] = 0.4F;
    reach_corner(&got, 3, 0.4);
    const told early = tell(&got);
    assert_false(tells(&early, "reached"));
    got.record.arrival[5] = 30;
    const told late = tell(&got);
    assert_true(tells(&late, "front edge reached"));
    unmake(&got);
}

/* As many spins as a plan can have: the end is told all the same. */
static void the_end_is_always_told(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") "end: 2000 s\n");
    got.plan->move_count = RN_MOVES_MOST;
    for (int m = 0; m < RN_MOVES_MOST; m++)
        got.plan->moves[m] = (rn_move){.kind = RN_MOVE_SPIN, .start = 9.0 * m, .duration = 8, .amount = 3};
    const told all = tell(&got);
    assert_int_equal(all.count, RN_TELLING_MOST);
    check_within(when(&all, "end"), 2000, 0);
    unmake(&got);
}

static void a_short_session_has_its_moments(void **state)
{
    (void)state;
    made got = make(HEAD POUR(0, "") "end: 100 s\n");
    got.record.end = 0.4;
    const told brief = tell(&got);
    assert_int_equal(brief.count, RN_TELLING_LEAST);
    check_within(when(&brief, "end"), 0.4, 0);
    got.record.end = 0;
    assert_int_equal(tell(&got).count, 0);
    unmake(&got);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_kind_of_moment_is_told),
        cmocka_unit_test(one_pour_is_the_release),
        cmocka_unit_test(gaps_are_filled_where_most_happens),
        cmocka_unit_test(on_a_disc_they_are_quarters),
        cmocka_unit_test(creeping_along_an_edge_does_not_reach_it),
        cmocka_unit_test(near_moments_are_one),
        cmocka_unit_test(a_long_row_of_near_moments_is_not_one),
        cmocka_unit_test(there_are_never_more_than_fit),
        cmocka_unit_test(the_lighter_of_two_gives_way),
        cmocka_unit_test(what_is_wet_from_the_start_is_not_reached),
        cmocka_unit_test(the_end_is_always_told),
        cmocka_unit_test(a_short_session_has_its_moments),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
