#include "search/stand_in.h"

#include <stdarg.h>
#include <string.h>
#include <time.h>

#include "base/monotonic.h"
#include "check.h"

#define NAP 1e-3     /* [s] */
#define PATIENCE 120 /* with other runs, of which some may never begin [s] */

void stand_in_doze(double seconds)
{
    const double whole = floor(seconds);
    nanosleep(&(struct timespec){.tv_sec = (time_t)whole, .tv_nsec = (long)(1e9 * (seconds - whole))}, NULL);
}

void stand_in_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study)
{
    stand_in *model = context;
    const double until = rn_monotonic_now() + model->lasting;
    bool goes_on = true;
    const bool first = atomic_fetch_add(&model->calls, 1) == 0;
    const int now = atomic_fetch_add(&model->flight, 1) + 1;
    for (int most = atomic_load(&model->most); now > most;)
        if (atomic_compare_exchange_weak(&model->most, &most, now))
            break;
    while (goes_on &&
           ((model->lasting > 0 && rn_monotonic_now() < until) ||
            (!first && atomic_load(&model->most) < model->waits_for && rn_monotonic_now() < until + PATIENCE))) {
        stand_in_doze(NAP);
        goes_on = go_on(study);
    }
    *outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
    if (goes_on && go_on(study))
        *outcome = model->of(run, model->context);
    *bytes = model->bytes;
    atomic_fetch_sub(&model->flight, 1);
}

bool stand_in_goes_on(void *study)
{
    (void)study;
    return true;
}

rn_study *stand_in_study(stand_in *model, rn_study_options options)
{
    rn_study *study = NULL;
    rn_error err = {0};
    options.model = stand_in_run;
    options.model_context = model;
    if (!options.model_name)
        options.model_name = "stand-in";
    check_ok(rn_study_new(&study, options, &err), &err);
    return study;
}

rn_outcome stand_in_outcome(const rn_plan *plan, double coverage)
{
    const double poured = rn_plan_poured_all(plan), mean = poured / rn_panel_area(&plan->panel);
    rn_outcome outcome = {
        .state = RN_OUTCOME_WHOLE,
        .nx = 96,
        .ny = 48,
        .duration = 120,
        .cover = plan->cover,
        .coverage = coverage,
        .covered_at = NAN,
        .best_coverage = coverage,
        .best_at = 100,
        .poured = poured,
        .on_panel = poured,
        .mean = mean,
        .thinnest = mean,
        .deepest = mean,
        .side_coverage = NAN,
        .stretch = NAN,
        .twist = NAN,
    };
    for (int c = 0; c < RN_CORNERS; c++) {
        outcome.corner[c] = mean;
        outcome.corner_at[c] = NAN;
    }
    return outcome;
}

rn_plan *stand_in_read(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test.yaml", &err), &err);
    return plan;
}

rn_plan *stand_in_spun(void)
{
    return stand_in_read("plan: 1\n"
                         "panel: {size: 200 mm x 200 mm}\n"
                         "paints:\n"
                         "  kelp: {viscosity: 1 Pa s}\n"
                         "pours:\n"
                         "  - {stack: [kelp 100 ml]}\n"
                         "moves:\n"
                         "  - {start: 20 s, for: 8 s, spin: 40 rpm}\n");
}

rn_plan *stand_in_plan(const char *more)
{
    static const char head[] =
        "plan: 1\n"
        "title: Salt marsh\n"
        "panel: {size: 200 mm x 100 mm}\n"
        "paints:\n"
        "  samphire: {viscosity: 0.1 Pa s, colour: \"#3f6f4f\"}\n"
        "  silt: {viscosity: 0.5 Pa s}\n"
        "pours:\n"
        "  - {at: centre, across: 40 mm, width: 8 mm, open: 2 s, stack: [samphire 60 ml, silt 40 ml]}\n";
    char text[4000];
    snprintf(text, sizeof text, "%s%s", head, more ? more : "");
    return stand_in_read(text);
}

rn_goal stand_in_goal(const char *word, ...)
{
    rn_goal goal = {0};
    va_list words;
    va_start(words, word);
    for (; word; word = va_arg(words, const char *)) {
        rn_error err = {0};
        check_ok(rn_goal_add(&goal, word, va_arg(words, const char *), &err), &err);
    }
    va_end(words);
    return goal;
}
