/* How fast the layers are: the colour session's film with its history, its face and its depths traced, its volumes by
   colour, and a chain that follows it. Prints a table, or with -w FOLDER adds it to FOLDER/<date>-layers.md.

     bench_colour [-n REPEATS] [-w FOLDER] [PLAN] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/monotonic.h"
#include "film/chain.h"
#include "run/colours.h"
#include "run/session.h"
#include "run/strata.h"

#define POINTS 512

typedef struct timing {
    double film, history, face, depths, colours, chain; /* [s] */
    double memory, reel, maps;                          /* [bytes] */
    int intervals;
    double misplaced, mismatch, displaced; /* shares; [m] */
} timing;

static rn_status run(rn_session **session, double *seconds, const rn_plan *plan, int cells, bool history, rn_error *err)
{
    rn_session_options options = rn_session_defaults();
    options.cells = cells;
    options.history = history;
    const double begun = rn_monotonic_now();
    rn_status status = rn_session_new(session, plan, &options, err);
    if (status == RN_OK)
        status = rn_session_run(*session, NULL, NULL, err);
    *seconds = rn_monotonic_now() - begun;
    return status;
}

/* Face points whose paint differs, and how far band edges are displaced on the mean: the area that differs over the
   length of the edges, points of an edge being those whose right or back neighbour is another paint. */
static void compare(timing *t, const rn_strata *whole, const rn_strata *found)
{
    const unsigned char *a = whole->paint + rn_strata_plane(whole, whole->planes - 1), *b = found->paint;
    long wet = 0, differ = 0, edges = 0;
    for (int j = 0; j + 1 < whole->ny; j++)
        for (int i = 0; i + 1 < whole->nx; i++) {
            const long p = (long)j * whole->nx + i;
            if (a[p] == RN_PAINT_NONE)
                continue;
            wet++;
            differ += a[p] != b[p];
            edges += (a[p] != a[p + 1]) + (a[p] != a[p + whole->nx]);
        }
    const double point = whole->width / whole->nx;
    t->mismatch = (double)differ / (double)wet;
    /* an edge at any bearing crosses 4/pi times its length in neighbour pairs */
    t->displaced = (double)differ * point / ((double)edges * 3.14159265 / 4);
}

static rn_status follow(timing *t, const rn_past *past, const rn_still *still, const rn_strata *whole, rn_team *team,
                        rn_error *err)
{
    rn_chain *chain = NULL;
    rn_strata *found = NULL;
    const rn_history *history = past->layers.history;
    rn_status status = rn_chain_new(&chain, rn_history_grid(history), whole->nx, whole->ny, &(const float){1}, 1, err);
    const double begun = rn_monotonic_now();
    for (int k = 1; k <= rn_history_count(history) && status == RN_OK; k++)
        if (rn_history_time(history, k) >= rn_chain_time(chain) + 1 || k == rn_history_count(history))
            status = rn_chain_advance(chain, &past->layers, rn_history_time(history, k), team, err);
    t->chain = rn_monotonic_now() - begun;
    if (status == RN_OK)
        status = rn_strata_find(&found, past, still, chain, POINTS, team, err);
    if (status == RN_OK) {
        compare(t, whole, found);
        t->maps = (double)rn_chain_bytes(chain);
    }
    rn_strata_free(found);
    rn_chain_free(chain);
    return status;
}

static rn_status measure(timing *t, const rn_plan *plan, int cells, rn_error *err)
{
    rn_session *plain = NULL, *session = NULL;
    rn_still *still = NULL;
    rn_strata *face = NULL, *depths = NULL;
    rn_team *team = NULL;
    rn_past past;
    rn_colours colours;
    rn_strata_options options = rn_strata_defaults();
    rn_status status = run(&plain, &t->film, plan, cells, false, err);
    rn_session_free(plain);
    if (status == RN_OK)
        status = run(&session, &t->history, plan, cells, true, err);
    if (status == RN_OK)
        status = rn_session_still(&still, session, err);
    if (status == RN_OK)
        status = rn_team_new(&team, 0, err);
    if (status == RN_OK) {
        rn_past_init(&past, plan, rn_session_history(session));
        t->intervals = rn_history_count(past.layers.history);
        t->memory = (double)rn_history_bytes(past.layers.history);
        t->reel = (double)rn_reel_bytes(rn_session_reel(session));
        options.points = POINTS;
        options.levels = 1;
        const double begun = rn_monotonic_now();
        status = rn_strata_trace(&face, &past, still, options, team, err);
        t->face = rn_monotonic_now() - begun;
    }
    if (status == RN_OK) {
        options.levels = 8;
        const double begun = rn_monotonic_now();
        status = rn_strata_trace(&depths, &past, still, options, team, err);
        t->depths = rn_monotonic_now() - begun;
    }
    if (status == RN_OK) {
        const double begun = rn_monotonic_now();
        status = rn_colours_trace(&colours, &past, still, face, 8, team, err);
        t->colours = rn_monotonic_now() - begun;
        t->misplaced = colours.misplaced;
    }
    if (status == RN_OK)
        status = follow(t, &past, still, face, team, err);
    rn_strata_free(face);
    rn_strata_free(depths);
    rn_team_free(team);
    rn_still_free(still);
    rn_session_free(session);
    return status;
}

static void keep_best(timing *best, const timing *again)
{
    best->film = fmin(best->film, again->film);
    best->history = fmin(best->history, again->history);
    best->face = fmin(best->face, again->face);
    best->depths = fmin(best->depths, again->depths);
    best->colours = fmin(best->colours, again->colours);
    best->chain = fmin(best->chain, again->chain);
}

int main(int argc, char **argv)
{
    int repeats = 2, option;
    const char *folder = NULL;
    while ((option = getopt(argc, argv, "n:w:")) != -1) {
        if (option == 'n' && atoi(optarg) > 0)
            repeats = atoi(optarg);
        else if (option == 'w')
            folder = optarg;
        else
            return 2;
    }
    rn_error err = {0};
    rn_plan *plan = NULL;
    char date[32], path[1000];
    time_t today = time(NULL);
    strftime(date, sizeof date, "%Y-%m-%d", gmtime(&today));
    snprintf(path, sizeof path, "%s/%s-layers.md", folder ? folder : ".", date);
    FILE *out = folder ? fopen(path, "w") : stdout;
    rn_status status = rn_plan_read_file(&plan, optind < argc ? argv[optind] : "tests/bench/colour.yaml", &err);
    if (!out || status != RN_OK) {
        fprintf(stderr, "bench_colour: %s\n", out ? err.message : "the page cannot be written");
        return 1;
    }
    fprintf(
        out,
        "# Timing of the layers, %s\n\n%ld processors in sight; %s; %d points along the panel; the quickest of %d runs "
        "each.\n\n"
        "| cells | film s | with history s | face s | 8 levels s | volumes by colour s | chain s | history MB | reel "
        "MB "
        "| chain MB | misplaced before the fit | chain: points with another paint | its band edges off by |\n"
        "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n",
        date, sysconf(_SC_NPROCESSORS_ONLN), plan->title, POINTS, repeats);
    static const int cells[] = {128, 256};
    for (int n = 0; n < 2 && status == RN_OK; n++) {
        timing best = {0};
        for (int k = 0; k < repeats && status == RN_OK; k++) {
            timing again = {0};
            status = measure(&again, plan, cells[n], &err);
            if (k == 0)
                best = again;
            keep_best(&best, &again);
        }
        fprintf(out,
                "| %d | %.2f | %.2f | %.2f | %.2f | %.2f | %.2f | %.0f | %.0f | %.0f | %.1f %% | %.2f %% | %.2f mm |\n",
                cells[n], best.film, best.history, best.face, best.depths, best.colours, best.chain, 1e-6 * best.memory,
                1e-6 * best.reel, 1e-6 * best.maps, 100 * best.misplaced, 100 * best.mismatch, 1e3 * best.displaced);
        fflush(out);
    }
    if (status != RN_OK)
        fprintf(stderr, "bench_colour: %s\n", err.message);
    if (out != stdout)
        fclose(out);
    rn_plan_free(plan);
    return status == RN_OK ? 0 : 1;
}
