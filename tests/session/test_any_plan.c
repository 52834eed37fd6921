/* Sessions of plans drawn at random: whatever a plan may say, the film stays finite and positive, its volume closes at
   every step, the session ends, and what comes of it is what a kept run may say. A plan that fails is printed, to be run as
   it is. */
#include "check.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "plan/plan.h"
#include "run/session.h"
#include "search/outcome.h"

#ifndef SESSIONS
#define SESSIONS 40
#endif
#ifndef FIRST
#define FIRST 1
#endif

#define CLOSURE 1e-13    /* of all paint; the promise is 1e-10 */
#define STEPS_MOST 40000 /* of a session of up to half a minute */

typedef struct writer {
    char text[4000];
    size_t used;
    rn_random random;
} writer;

static void say(writer *w, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void say(writer *w, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int more = vsnprintf(w->text + w->used, sizeof w->text - w->used, format, arguments);
    va_end(arguments);
    assert_true(more >= 0 && (size_t)more < sizeof w->text - w->used);
    w->used += (size_t)more;
}

/* Even in the logarithm. */
static double between(writer *w, double least, double most)
{
    return least * pow(most / least, rn_random_unit(&w->random));
}

static bool chance(writer *w, double share)
{
    return rn_random_unit(&w->random) < share;
}

static int one_of(writer *w, int count)
{
    return (int)(rn_random_bits(&w->random) % (uint64_t)count);
}

static void write_panel(writer *w, double *size, bool *tensionless)
{
    static const char *const edges[] = {"clean", "wrapped", "walls", "open"};
    int kind = one_of(w, 4);
    *size = between(w, 20, 3000); /* mm, the shorter side */
    say(w, "plan: 1\npanel:\n");
    if (chance(w, 0.3))
        say(w, "  across: %.4g mm\n", *size);
    else
        say(w, "  size: %.4g mm x %.4g mm\n", fmin(*size * between(w, 1, 2), 3000), *size);
    say(w, "  edges: %s\n", edges[kind]);
    if (kind == 1)
        say(w, "  side: %.3g mm\n", between(w, 1, 100));
    say(w, "  advance: %.3g deg\n", chance(w, 0.2) ? 0 : 60 * rn_random_unit(&w->random));
    say(w, "  slope: %.3g deg\n  downhill: %.4g deg\n", chance(w, 0.5) ? 0 : between(w, 0.1, 30),
        360 * rn_random_unit(&w->random));
    *tensionless = kind >= 2 && chance(w, 0.3);
}

static void write_paint(writer *w, bool tensionless)
{
    say(w, "paints:\n  kelp: {viscosity: %.3g Pa s%s", between(w, 0.001, 1000), chance(w, 0.3) ? "^n, power: 0.6" : "");
    if (chance(w, 0.3))
        say(w, ", yield: %.3g Pa", between(w, 0.01, 20));
    say(w, ", tension: %.3g mN/m, density: %.3g g/ml}\n", tensionless ? 0 : between(w, 1, 70), between(w, 0.8, 2));
}

static void write_base(writer *w, double size)
{
    if (chance(w, 0.6))
        return;
    say(w, "base:\n");
    if (chance(w, 0.5))
        say(w, "  - {paint: kelp, depth: %.3g mm}\n", between(w, 0.01, 3));
    if (chance(w, 0.5))
        say(w, "  - {paint: kelp, depth: %.3g mm, at: corners, across: %.4g mm}\n", between(w, 0.1, 5),
            size * between(w, 0.1, 0.4));
    say(w, "  - {paint: kelp, depth: %.3g mm, at: centre, across: %.4g mm}\n", between(w, 0.1, 5),
        size * between(w, 0.1, 0.8));
}

static void write_pours(writer *w, double size)
{
    static const char *const places[] = {"centre", "back right corner", "front edge", "left edge"};
    int count = 1 + one_of(w, 2);
    say(w, "pours:\n");
    for (int k = 0; k < count; k++) {
        bool cup = chance(w, 0.5);
        double across = size * between(w, 0.1, 0.6), every = between(w, 0.1, 2);
        double depth = between(w, 0.1, 3); /* if it were spread over a square of that size [mm] */
        say(w, "  - {from: %s, at: %s, across: %.4g mm, ", cup ? "cup" : "rim", places[one_of(w, 4)], across);
        if (!cup)
            say(w, "width: %.4g mm, uneven: %d %%, ", across * between(w, 0.05, 0.3), chance(w, 0.3) ? 100 : 0);
        say(w, "start: %.4g s, lifts: %d, every: %.3g s, open: %.3g s, stack: [kelp %.4g ml]}\n",
            chance(w, 0.4) ? 0 : 4 * rn_random_unit(&w->random), 1 + one_of(w, 4), every,
            chance(w, 0.3) ? 0 : 0.99 * every * rn_random_unit(&w->random), fmax(size * size * depth * 1e-3, 0.001));
    }
}

static void write_moves(writer *w)
{
    say(w, "moves:\n  - {start: 0 s, for: 0.1 s, rest: yes}\n");
    if (chance(w, 0.5))
        say(w, "  - {start: %.3g s, for: %.3g s, tilt: %.3g deg, toward: %.4g deg%s%s}\n", between(w, 0.1, 8),
            between(w, 0.5, 8), chance(w, 0.2) ? 90 : between(w, 0.5, 90), 360 * rn_random_unit(&w->random),
            chance(w, 0.3) ? ", frame: room" : "", chance(w, 0.3) ? ", ramp: 0 s" : "");
    if (chance(w, 0.5))
        say(w, "  - {start: %.3g s, for: %.3g s, spin: %s%.4g rpm%s}\n", between(w, 0.1, 8), between(w, 0.5, 8),
            chance(w, 0.5) ? "-" : "", between(w, 1, 600), chance(w, 0.3) ? ", ramp: 0 s" : "");
}

static void write_plan(writer *w, unsigned seed)
{
    double size;
    bool tensionless;
    *w = (writer){.random = rn_random_seeded(seed)};
    write_panel(w, &size, &tensionless);
    write_paint(w, tensionless);
    write_base(w, size);
    write_pours(w, size);
    write_moves(w);
    say(w, "end: %d s\n", 20 + one_of(w, 10));
}

/* Empty if all is well with the film as it is. */
static const char *fault_of(const rn_session *session, double *depth)
{
    const rn_grid *grid = rn_session_grid(session);
    rn_session_depth(depth, session);
    for (long n = 0; n < (long)grid->nx * grid->ny; n++)
        if (!(depth[n] >= 0 && depth[n] < 1e3))
            return "a depth is negative or not finite";
    return NULL;
}

typedef struct tally {
    double worst_balance;
    long most_steps;
    double longest; /* [s] */
} tally;

/* Whether what comes of it goes to a file of kept runs and is believed when it comes back. */
static const char *unkept(const rn_forecast *forecast, const rn_plan *plan, int cells)
{
    char line[RN_OUTCOME_LINE];
    rn_outcome outcome = rn_outcome_of(forecast);
    rn_outcome_write(line, &outcome);
    if (!rn_outcome_read(&outcome, line))
        return "its outcome is refused";
    return rn_outcome_strange(&outcome, plan, cells);
}

/* NULL, or what went wrong. */
static const char *run(tally *sum, const char *text, rn_error *err)
{
    rn_plan *plan = NULL;
    rn_session *session = NULL;
    rn_session_options options = rn_session_defaults();
    const char *fault = NULL;
    rn_forecast forecast = {0};
    options.cells = 64;
    options.threads = 1;
    if (rn_plan_read(&plan, text, (long)strlen(text), "drawn", err) != RN_OK)
        return "the plan cannot be read";
    if (rn_session_new(&session, plan, &options, err) != RN_OK) {
        rn_plan_free(plan);
        return "the session cannot be set up";
    }
    const rn_grid *grid = rn_session_grid(session);
    double *depth = malloc((size_t)grid->nx * (size_t)grid->ny * sizeof *depth);
    assert_non_null(depth);
    long steps = 0;
    while (!fault && !rn_session_done(session)) {
        if (rn_session_step(session, err) != RN_OK)
            fault = "a step failed";
        else if (++steps > STEPS_MOST)
            fault = "too many steps";
        else
            fault = fault_of(session, depth);
    }
    if (rn_session_forecast(&forecast, session, err) != RN_OK)
        fault = fault ? fault : "no forecast";
    else if (!fault && !(forecast.balance_error <= CLOSURE))
        fault = "paint does not balance";
    fault = fault ? fault : unkept(&forecast, plan, options.cells);
    sum->worst_balance = fmax(sum->worst_balance, forecast.balance_error);
    sum->longest = fmax(sum->longest, forecast.wall);
    sum->most_steps = steps > sum->most_steps ? steps : sum->most_steps;
#ifdef CHATTY
    if (steps > 3000 || fault)
        printf("   %ld steps %ld rejected %.2f s at %g: balance %.2g\n", steps, forecast.rejected, forecast.wall,
               forecast.duration, forecast.balance_error);
#endif
    free(depth);
    rn_session_free(session);
    rn_plan_free(plan);
    return fault;
}

static void whatever_a_plan_says_volume_closes(void **state)
{
    (void)state;
    tally sum = {0};
    int faults = 0;
    const unsigned sessions = getenv("RUNNEL_TEST_GRID") ? SESSIONS / 8 : SESSIONS; /* under watch all is slow */
    for (unsigned seed = FIRST; seed < FIRST + sessions; seed++) {
        writer w;
        rn_error err = {0};
        write_plan(&w, seed);
        const char *fault = run(&sum, w.text, &err);
        if (fault) {
            faults++;
            printf("plan %u: %s. %s\n%s\n", seed, fault, err.message, w.text);
        }
    }
    printf("%d sessions: worst balance %.2g, most steps %ld, longest %.2f s\n", SESSIONS, sum.worst_balance,
           sum.most_steps, sum.longest);
    assert_int_equal(faults, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whatever_a_plan_says_volume_closes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
