/* How long the window waits for a studio: bench_view [PLAN ...]. For each plan and grid the time from setting the plan until
   the first picture, the outcome, the film with its motion, and stretch and twist; from a change of the last move until the
   outcome; and for a quick picture while time moves. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#include "base/monotonic.h"
#include "plan/plan.h"
#include "studio.h"

#define PICTURES 40

static void doze(void)
{
    nanosleep(&(struct timespec){.tv_nsec = 500000}, NULL);
}

typedef struct waits {
    double picture, outcome, traced, pattern; /* [s]; NaN: not waited for */
} waits;

static waits wait_for(rv_studio *studio, bool picture_too, bool pattern_too)
{
    waits w = {NAN, NAN, NAN, NAN};
    const double began = rn_monotonic_now();
    while (isnan(w.traced) || (picture_too && isnan(w.picture)) || (pattern_too && isnan(w.pattern))) {
        rv_studio_tale *tale = studio_take_tale(studio);
        rv_studio_picture *picture = studio_take_picture(studio);
        const double since = rn_monotonic_now() - began;
        if (picture && isnan(w.picture))
            w.picture = since;
        if (tale && tale->complete && isnan(w.outcome))
            w.outcome = since;
        if (tale && tale->traced >= tale->end && isnan(w.traced))
            w.traced = since;
        if (tale && tale->forecast.has_pattern && isnan(w.pattern))
            w.pattern = since;
        studio_tale_free(tale);
        studio_picture_free(picture);
        doze();
    }
    return w;
}

/* Mean wait for a picture while time moves [s]. */
static double play(rv_studio *studio, double end, int pixels)
{
    double sum = 0;
    for (int k = 0; k < PICTURES; k++) {
        const double time = end * (k + 0.37) / PICTURES, began = rn_monotonic_now();
        studio_set_wish(studio, (rv_studio_wish){.time = time, .horizon = INFINITY, .moving = true, .pixels = pixels});
        for (bool seen = false; !seen; doze()) {
            rv_studio_picture *picture = studio_take_picture(studio);
            seen = picture && picture->wish.time == time && picture->wish.pixels == pixels;
            studio_picture_free(picture);
        }
        sum += rn_monotonic_now() - began;
    }
    return sum / PICTURES;
}

static bool look_at(const char *path, int cells, int points)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    rv_studio *studio = NULL;
    const rv_studio_options options = {.cells = cells, .points = points, .judges = true};
    if (rn_plan_read_file(&plan, path, &err) != RN_OK || studio_new(&studio, options, &err) != RN_OK) {
        fprintf(stderr, "%s\n", err.message);
        return false;
    }
    studio_set_wish(studio, (rv_studio_wish){.horizon = INFINITY, .pixels = 360});
    studio_set_plan(studio, plan, 1, &err);
    const waits first = wait_for(studio, true, true);
    const double small = play(studio, plan->end, 360), large = play(studio, plan->end, 720);
    waits edit = {NAN, NAN, NAN, NAN};
    if (plan->move_count) {
        plan->moves[plan->move_count - 1].amount *= 0.9;
        studio_set_plan(studio, plan, 2, &err);
        edit = wait_for(studio, false, false);
    }
    struct rusage used;
    getrusage(RUSAGE_SELF, &used);
    printf("%-28s %5d %8.0f %8.0f %8.0f %8.0f %8.0f %8.0f %8.0f %8.0f %8ld\n", path, cells, 1e3 * first.picture,
           1e3 * first.outcome, 1e3 * first.traced, 1e3 * first.pattern, 1e3 * edit.outcome, 1e3 * edit.traced,
           1e3 * small, 1e3 * large, used.ru_maxrss / 1024);
    fflush(stdout);
    studio_free(studio);
    rn_plan_free(plan);
    return true;
}

int main(int argc, char **argv)
{
    static char *usual[] = {"presets/tide-table.yaml", "presets/usual-dry.yaml", "presets/wet-base.yaml"};
    static const struct {
        int cells, points;
    } grids[] = {{96, 320}, {128, 320}, {256, 512}};
    char **paths = argc > 1 ? argv + 1 : usual;
    const int count = argc > 1 ? argc - 1 : (int)(sizeof usual / sizeof *usual);
    printf("%-28s %5s %8s %8s %8s %8s %8s %8s %8s %8s %8s\n", "plan [ms]", "cells", "picture", "outcome", "motion",
           "pattern", "edit", "its", "quick", "quick", "most");
    printf("%-28s %5s %8s %8s %8s %8s %8s %8s %8s %8s %8s\n", "", "", "first", "", "", "", "outcome", "motion", "360",
           "720", "MiB");
    for (int p = 0; p < count; p++)
        for (size_t g = 0; g < sizeof grids / sizeof *grids; g++)
            if (!look_at(paths[p], grids[g].cells, grids[g].points))
                return 1;
    return 0;
}
