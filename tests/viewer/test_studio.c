/* Studios: what they answer is of the plan they were given last, and the same as a session alone would say. Real threads,
   small grids. */
#include <math.h>
#include <string.h>
#include <time.h>

#include "check.h"
#include "edit.h"
#include "run/session.h"
#include "studio.h"

#define CELLS 64
#define POINTS 128
#define LONGEST 120.0 /* a test that waits longer has failed [s] */

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void pause_a_little(void)
{
    nanosleep(&(struct timespec){0, 2000000}, NULL);
}

typedef struct desk {
    rv_studio *studio;
    rn_plan *plan;
    long version;
    rv_studio_wish wish;
} desk;

static int set_up(void **state)
{
    static desk d;
    rn_error err = {0};
    d = (desk){.version = 1, .wish = {.horizon = INFINITY}};
    assert_int_equal(rn_plan_read_file(&d.plan, "presets/small-study.yaml", &err), RN_OK);
    const rv_studio_options options = {.cells = CELLS, .points = POINTS, .threads = 1};
    assert_int_equal(studio_new(&d.studio, options, &err), RN_OK);
    studio_set_wish(d.studio, d.wish);
    assert_int_equal(studio_set_plan(d.studio, d.plan, d.version, &err), RN_OK);
    *state = &d;
    return 0;
}

static int tear_down(void **state)
{
    desk *d = *state;
    studio_free(d->studio);
    rn_plan_free(d->plan);
    return 0;
}

/* The tale of this version that was traced to its end. */
static rv_studio_tale *wait_for_end(desk *d)
{
    const double begun = seconds();
    for (;;) {
        rv_studio_tale *tale = studio_take_tale(d->studio);
        if (tale && tale->version == d->version && tale->complete && tale->traced >= tale->end)
            return tale;
        studio_tale_free(tale);
        assert_true(seconds() - begun < LONGEST);
        pause_a_little();
    }
}

static void give(desk *d)
{
    rn_error err = {0};
    assert_int_equal(studio_set_plan(d->studio, d->plan, ++d->version, &err), RN_OK);
}

/* A session of the plan alone, run to its end. */
static rn_session *alone(const rn_plan *plan)
{
    rn_error err = {0};
    rn_session *session = NULL;
    rn_session_options options = rn_session_defaults();
    options.cells = CELLS;
    options.threads = 1;
    options.history = true;
    assert_int_equal(rn_session_new(&session, plan, &options, &err), RN_OK);
    assert_int_equal(rn_session_run(session, NULL, NULL, &err), RN_OK);
    return session;
}

static void same_film(const rv_studio_tale *tale, const rn_plan *plan)
{
    rn_session *session = alone(plan);
    rn_error err = {0};
    rn_record *record = NULL;
    assert_int_equal(rn_session_record(&record, session, &err), RN_OK);
    assert_int_equal(record->grid.nx, tale->record->grid.nx);
    assert_memory_equal(record->depth, tale->record->depth,
                        (size_t)record->grid.nx * (size_t)record->grid.ny * sizeof *record->depth);
    rn_record_free(record);
    rn_session_free(session);
}

static void a_plan_comes_out_as_a_session_alone_says(void **state)
{
    desk *d = *state;
    rv_studio_tale *tale = wait_for_end(d);
    same_film(tale, d->plan);
    check_close(tale->solved, d->plan->end, 1e-9);
    studio_tale_free(tale);
}

/* A late move is changed: the film from there on is that of the new plan, to the last bit; again and again. */
static void late_edits_are_as_from_the_start(void **state)
{
    desk *d = *state;
    studio_tale_free(wait_for_end(d));
    assert_true(d->plan->move_count > 0);
    for (int k = 0; k < 3; k++) {
        rn_move *last = &d->plan->moves[d->plan->move_count - 1];
        last->amount *= k == 1 ? 0.5 : 1.3;
        give(d);
        rv_studio_tale *tale = wait_for_end(d);
        same_film(tale, d->plan);
        studio_tale_free(tale);
    }
    edit_set_jar_volume(d->plan, 0, 0.8 * edit_jar_volume(d->plan, 0)); /* and one that matters from early on */
    give(d);
    rv_studio_tale *tale = wait_for_end(d);
    same_film(tale, d->plan);
    studio_tale_free(tale);
}

static void answers_are_never_of_an_older_plan(void **state)
{
    desk *d = *state;
    d->wish.pixels = 64;
    d->wish.time = 5;
    d->wish.core = true;
    studio_set_wish(d->studio, d->wish);
    for (int k = 0; k < 6; k++) {
        edit_set_jar_viscosity(d->plan, 0, 0.6 + 0.2 * k);
        give(d);
        long latest = d->version;
        const double begun = seconds();
        bool seen = false;
        while (!seen) {
            rv_studio_picture *picture = studio_take_picture(d->studio);
            rv_studio_core *core = studio_take_core(d->studio);
            if (picture && picture->version == latest)
                seen = true;
            else if (picture) /* one that was ready before the plan was changed; never after a newer one */
                assert_false(seen);
            studio_picture_free(picture);
            studio_core_free(core);
            assert_true(seconds() - begun < LONGEST);
            pause_a_little();
        }
        for (int look = 0; look < 20; look++) {
            rv_studio_picture *picture = studio_take_picture(d->studio);
            if (picture)
                assert_int_equal(picture->version, latest);
            studio_picture_free(picture);
            pause_a_little();
        }
    }
}

static void a_horizon_is_not_looked_beyond(void **state)
{
    desk *d = *state;
    rn_error err = {0};
    d->wish.horizon = 8;
    studio_set_wish(d->studio, d->wish);
    edit_set_jar_viscosity(d->plan, 0, 0.9);
    assert_int_equal(studio_set_plan(d->studio, d->plan, ++d->version, &err), RN_OK);
    const double begun = seconds();
    double reached = 0;
    while (seconds() - begun < 1.5) {
        rv_studio_tale *tale = studio_take_tale(d->studio);
        if (tale && tale->version == d->version) {
            assert_true(tale->traced <= 8);
            reached = fmax(reached, tale->traced);
        }
        studio_tale_free(tale);
        pause_a_little();
    }
    assert_true(reached > 6);
    d->wish.horizon = INFINITY; /* and the rest is as if it had never waited */
    studio_set_wish(d->studio, d->wish);
    rv_studio_tale *tale = wait_for_end(d);
    same_film(tale, d->plan);
    studio_tale_free(tale);
}

static rv_studio_picture *wait_for_picture(desk *d, bool sharp)
{
    const double begun = seconds();
    for (;;) {
        rv_studio_picture *picture = studio_take_picture(d->studio);
        if (picture && picture->version == d->version && picture->wish.time == d->wish.time &&
            picture->sharp == sharp && fabs(picture->time - d->wish.time) < 0.5)
            return picture;
        studio_picture_free(picture);
        assert_true(seconds() - begun < LONGEST);
        pause_a_little();
    }
}

/* A quick face, which goes back to a kept one only, against a sharp one, which is traced to the start: band edges may lie a
   point off, no more. */
static void quick_faces_are_nearly_as_sharp_ones(void **state)
{
    desk *d = *state;
    studio_tale_free(wait_for_end(d));
    nanosleep(&(struct timespec){2, 0}, NULL); /* faces are kept meanwhile */
    for (int k = 1; k <= 3; k++) {
        d->wish.time = d->plan->end * (0.31 * k);
        d->wish.pixels = 96;
        d->wish.moving = true;
        studio_set_wish(d->studio, d->wish);
        rv_studio_picture *quick = wait_for_picture(d, false);
        d->wish.moving = false;
        studio_set_wish(d->studio, d->wish);
        rv_studio_picture *sharp = wait_for_picture(d, true);
        const rn_strata *a = quick->face, *b = sharp->face;
        assert_true(a->nx >= 40 && b->nx >= 40);
        long wet = 0, same = 0;
        for (int j = 0; j < b->ny; j++)
            for (int i = 0; i < b->nx; i++) {
                const int paint = b->paint[(long)j * b->nx + i];
                if (paint == RN_PAINT_NONE)
                    continue;
                const int x = i * a->nx / b->nx, y = j * a->ny / b->ny;
                bool near = false; /* within one point */
                for (int dj = -1; dj <= 1; dj++)
                    for (int di = -1; di <= 1; di++)
                        if (x + di >= 0 && x + di < a->nx && y + dj >= 0 && y + dj < a->ny)
                            near = near || a->paint[(long)(y + dj) * a->nx + x + di] == paint;
                wet++;
                same += near;
            }
        if ((double)same < 0.95 * (double)wet)
            print_error("at %.0f s %ld of %ld points\n", d->wish.time, same, wet);
        assert_true((double)same >= 0.95 * (double)wet);
        studio_picture_free(quick);
        studio_picture_free(sharp);
    }
}

static void a_core_is_as_deep_as_the_film(void **state)
{
    desk *d = *state;
    studio_tale_free(wait_for_end(d));
    d->wish.time = 0.7 * d->plan->end;
    d->wish.pixels = 64;
    d->wish.core = true;
    d->wish.core_x = 0.01;
    d->wish.core_y = -0.02;
    d->wish.section = true;
    d->wish.a[0] = -0.05;
    d->wish.b[0] = 0.05;
    studio_set_wish(d->studio, d->wish);
    rv_studio_picture *picture = wait_for_picture(d, true);
    rv_studio_core *core = NULL;
    rv_studio_section *section = NULL;
    const double begun = seconds();
    while (!core || !section) {
        if (!core)
            core = studio_take_core(d->studio);
        if (!section)
            section = studio_take_section(d->studio);
        assert_true(seconds() - begun < LONGEST);
        pause_a_little();
    }
    check_close(core->cut.depth[core->cut.columns / 2], rn_still_depth(picture->still, 0.01, -0.02), 2e-6);
    for (int r = 0; r < core->cut.rows; r++)
        assert_true(core->cut.paint[core->cut.rows + r] < d->plan->paint_count);
    check_close(section->cut.bx - section->cut.ax, 0.1, 1e-12);
    studio_picture_free(picture);
    studio_core_free(core);
    studio_section_free(section);
}

static void it_can_be_ended_at_any_time(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_plan *plan = NULL;
    assert_int_equal(rn_plan_read_file(&plan, "presets/small-study.yaml", &err), RN_OK);
    for (int k = 0; k < 8; k++) {
        rv_studio *studio = NULL;
        const rv_studio_options options = {.cells = CELLS, .points = POINTS, .threads = 1 + k % 2};
        assert_int_equal(studio_new(&studio, options, &err), RN_OK);
        studio_set_wish(studio, (rv_studio_wish){.horizon = INFINITY, .pixels = 100, .time = 10, .stretch = true});
        studio_set_plan(studio, plan, k, &err);
        nanosleep(&(struct timespec){0, 15000000L * k}, NULL);
        studio_free(studio);
    }
    rn_plan_free(plan);
}

int main(void)
{
#define AT_DESK(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT_DESK(a_plan_comes_out_as_a_session_alone_says), AT_DESK(late_edits_are_as_from_the_start),
        AT_DESK(answers_are_never_of_an_older_plan),       AT_DESK(a_horizon_is_not_looked_beyond),
        AT_DESK(quick_faces_are_nearly_as_sharp_ones),     AT_DESK(a_core_is_as_deep_as_the_film),
        cmocka_unit_test(it_can_be_ended_at_any_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
