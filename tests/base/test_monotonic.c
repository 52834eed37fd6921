/* The clock that how long things take is measured by, against a sleep of known length. */
#include "check.h"

#include <time.h>

#include "base/monotonic.h"

/* POSIX: nanosleep sleeps no less than it is asked to, of a clock that goes as fast as this one. */
static void it_counts_seconds(void **state)
{
    (void)state;
    const double before = rn_monotonic_now();
    nanosleep(&(struct timespec){.tv_nsec = 30000000}, NULL);
    const double took = rn_monotonic_now() - before;
    check_at_least(took, 0.0299);
    check_at_most(took, 20);
}

static void it_never_goes_back(void **state)
{
    (void)state;
    double last = rn_monotonic_now();
    for (int i = 0; i < 10000; i++) {
        const double now = rn_monotonic_now();
        check_at_least(now, last);
        last = now;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_counts_seconds),
        cmocka_unit_test(it_never_goes_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
