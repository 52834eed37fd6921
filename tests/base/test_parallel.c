/* Work that is shared, and the end of it where it is asked to stop. */
#include "check.h"

#include <stdatomic.h>

#include "base/parallel.h"

#define BLOCKS 1000

typedef struct work {
    atomic_int done[BLOCKS];
    int asked, most; /* how often it may still be asked before it says no */
} work;

static void mark(void *context, int block, int member)
{
    (void)member;
    work *w = context;
    atomic_fetch_add(&w->done[block], 1);
}

static bool go_on(void *context)
{
    work *w = context;
    w->asked++; /* by one thread alone */
    return w->asked <= w->most;
}

static int count(const work *w)
{
    int done = 0;
    for (int i = 0; i < BLOCKS; i++)
        done += atomic_load(&w->done[i]);
    return done;
}

static void every_block_is_worked_once(void **state)
{
    (void)state;
    for (int threads = 1; threads <= 4; threads++) {
        rn_error err = {0};
        rn_team *team;
        work w = {.most = 10 * BLOCKS};
        check_ok(rn_team_new(&team, threads, &err), &err);
        rn_team_heed(team, go_on, &w);
        rn_team_share(team, BLOCKS, mark, &w);
        for (int i = 0; i < BLOCKS; i++)
            assert_int_equal(atomic_load(&w.done[i]), 1);
        check_at_least(w.asked, BLOCKS / threads); /* before each block of the one who asks */
        check_ok(rn_team_ends(team, &err), &err);
        rn_team_free(team);
    }
}

/* Of what the one who asks was to do no block is begun after the no, and no later share of work at all. */
static void no_block_is_begun_after_a_no(void **state)
{
    (void)state;
    for (int threads = 1; threads <= 4; threads++) {
        rn_error err = {0};
        rn_team *team;
        work w = {.most = 20};
        check_ok(rn_team_new(&team, threads, &err), &err);
        rn_team_heed(team, go_on, &w);
        rn_team_share(team, BLOCKS, mark, &w);
        const int done = count(&w);
        check_at_most(done, 20 + (threads - 1) * (BLOCKS / threads + 1));
        assert_int_equal(w.asked, 21);
        check_status(rn_team_ends(team, &err), RN_E_STOPPED, &err);
        rn_team_share(team, BLOCKS, mark, &w);
        assert_int_equal(count(&w), done);
        assert_int_equal(w.asked, 21); /* a no is a no */
        rn_team_heed(team, NULL, NULL);
        rn_team_share(team, BLOCKS, mark, &w);
        assert_int_equal(count(&w), done + BLOCKS);
        rn_team_free(team);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_block_is_worked_once),
        cmocka_unit_test(no_block_is_begun_after_a_no),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
