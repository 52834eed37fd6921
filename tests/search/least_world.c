#include "search/least_world.h"

#include "check.h"

const world simple = {.all = 200, .most = 1, .overflow = 1e9, .coarse = 1};

static bool within(double value, const double *bounds)
{
    return value >= bounds[0] && value < bounds[1];
}

static rn_outcome outcome_of(const rn_run *run, const void *context)
{
    const world *w = context;
    const bool coarse = run->cells < 128;
    const double volume = rn_plan_poured_all(run->plan) / ML, scale = coarse ? w->coarse : 1;
    const double coverage = fmin(volume * scale / w->all, 1) * w->most;
    rn_outcome outcome =
        stand_in_outcome(run->plan, within(volume, w->gap) && (coarse || !w->coarse_gap) ? 0 : coverage);
    if (within(volume, w->fails)) {
        outcome = (rn_outcome){.state = RN_OUTCOME_FAILED};
        snprintf(outcome.why, sizeof outcome.why, "the film tore at 3 s");
        return outcome;
    }
    outcome.run_off = within(volume, w->dry) ? 0 : fmax(0, volume * scale - w->overflow) * ML;
    outcome.has_pattern = run->pattern;
    outcome.stretch = run->pattern ? 10 * pow(w->stretch_at_all / 10, volume / w->all) : NAN;
    if (w->spin[1] > 0) {
        const double *spin = coarse && w->coarse_spin[1] > 0 ? w->coarse_spin : w->spin;
        const double speed = fabs(run->plan->moves[run->plan->move_count - 1].amount) / RN_RPM;
        outcome.coverage = within(speed, spin) ? 1 : 0.5 - 1e-3 * fabs(speed - spin[0]);
    }
    if (w->lifts > 0)
        outcome.coverage = run->plan->pours[0].lifts >= w->lifts + (coarse ? 1 : 0) ? 1 : 0.5;
    if (w->settles && run->settles) {
        outcome.goal_met = rn_goal_judge(run->settles, &outcome).met;
        outcome.state = RN_OUTCOME_DECIDED;
        snprintf(outcome.why, sizeof outcome.why, "decided at 10 s");
    }
    return outcome;
}

static const char turning[] = "moves:\n  - {start: 10 s, for: 10 s, tilt: 5 deg, toward: back}\n"
                              "  - {start: 30 s, for: 10 s, spin: -40 rpm}\n";

search *search_of(const world *w, const char *path, const char *from, const char *to, rn_goal goal,
                  rn_study_options options)
{
    search *s = calloc(1, sizeof *s);
    assert_non_null(s);
    s->plan = stand_in_plan(turning);
    s->model = (stand_in){.of = outcome_of, .context = w};
    s->options = rn_least_defaults();
    s->options.goal = goal;
    check_ok(rn_dial_make(&s->dial, s->plan, path, from, to, &s->err), &s->err);
    s->study = stand_in_study(&s->model, options);
    return s;
}

void search_free(search *s)
{
    rn_study_free(s->study);
    rn_plan_free(s->plan);
    free(s);
}

void search_find(search *s)
{
    check_ok(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), &s->err);
}

search *found_by(const world *w, const char *path, rn_goal goal)
{
    search *s = search_of(w, path, NULL, NULL, goal, rn_study_defaults());
    search_find(s);
    assert_true(s->found.has_coarse && s->found.has_fine);
    assert_int_equal(s->found.coarse.cells, RN_LEAST_COARSE);
    assert_int_equal(s->found.fine.cells, RN_LEAST_FINE);
    assert_int_equal(s->found.coarse.runs + s->found.fine.runs, atomic_load(&s->model.calls));
    return s;
}

void check_answer(const rn_least *found, double known)
{
    const rn_least_look *fine = &found->fine;
    const double close = fmax(fine->value / 100, 1 * ML);
    assert_int_equal(fine->state, RN_LEAST_FOUND);
    check_at_least(fine->value, known * (1 - 1e-9));
    check_at_most(fine->unmet, known * (1 + 1e-9));
    check_at_most(fine->value - fine->unmet, close * (1 + 1e-3));
    check_close(found->close, fmax(fine->value / 100, 1 * ML), 1e-9);
    assert_int_equal(fine->outcome.state, RN_OUTCOME_WHOLE);
    assert_true(rn_goal_judge(&found->goal, &fine->outcome).met);
    assert_false(rn_goal_judge(&found->goal, &fine->below).met);
}
