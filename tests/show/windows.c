#include "check.h"

#include "windows.h"

#include <string.h>

static double number_of(const rn_plan *plan, const char *path)
{
    rn_plan_number number = {0};
    rn_error err = {0};
    check_ok(rn_plan_number_at(&number, plan, path, &err), &err);
    return number.value;
}

static void model(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study)
{
    behaviour *const *behave = context;
    const double poured = number_of(run->plan, "poured");
    (void)go_on, (void)study;
    *bytes = 1;
    *outcome = (rn_outcome){.state = RN_OUTCOME_WHOLE,
                            .nx = run->cells,
                            .ny = run->cells,
                            .cover = 0.15e-3,
                            .coverage = 1,
                            .covered_at = 60,
                            .poured = poured,
                            .thinnest = 0.4e-3,
                            .has_pattern = run->pattern,
                            .stretch = 1.5,
                            .side_coverage = NAN};
    for (int c = 0; c < RN_CORNERS; c++)
        outcome->corner[c] = 0.5e-3;
    (*behave)(outcome, number_of(run->plan, "consistency"), 1e6 * poured);
}

void mixed(rn_outcome *outcome, double viscosity, double poured)
{
    outcome->coverage = fmin(1, 0.4 + 0.6 * poured / (130 * pow(viscosity, 0.4)));
    outcome->run_off = outcome->poured * fmin(fmax(0.004 * (poured - 90 * viscosity), 0), 1);
    outcome->stretch = 1 + 0.6 / viscosity + 0.004 * poured;
    if (viscosity > 1.7 && poured > 160)
        *outcome = (rn_outcome){.state = RN_OUTCOME_FAILED, .why = "the film is too deep, \"far\" too deep"};
}

void good(rn_outcome *outcome, double viscosity, double poured)
{
    outcome->run_off = 1e-9 * poured * viscosity;
}

void bad(rn_outcome *outcome, double viscosity, double poured)
{
    outcome->coverage = 0.2 + 0.001 * poured + 0.01 * viscosity;
    outcome->covered_at = NAN;
}

static const char plan_text[] = "plan: 1\n"
                                "title: Kelp forest, three greens on a primed board\n"
                                "panel: {size: 200 mm x 200 mm}\n"
                                "paints:\n"
                                "  kelp: {viscosity: 1 Pa s}\n"
                                "pours:\n"
                                "  - {across: 40 mm, width: 8 mm, open: 1 s, stack: [kelp 100 ml]}\n"
                                "moves:\n"
                                "  - {start: 20 s, for: 8 s, tilt: 6 deg, toward: back right}\n"
                                "  - {start: 30 s, for: 8 s, spin: -30 rpm}\n"
                                "end: 60 s\n";

static const char *const more_demands[][2] = {
    {"covered by", "at most 50 s"},          {"thinnest", "at least 0.3 mm"},        {"corner", "at least 0.2 mm"},
    {"corner", "back left at least 0.3 mm"}, {"run-off", "front at most 5 ml"},      {"run-off", "back at most 5 ml"},
    {"run-off", "left at most 5 ml"},        {"corner", "front right at most 2 mm"},
};

void view_make(view *v, const wish *wanted)
{
    rn_error err = {0};
    rn_study *study = NULL;
    rn_dial x, y;
    rn_goal goal = {0};
    behaviour *behave = wanted->behave;
    rn_study_options options = rn_study_defaults();
    *v = (view){.answer = {.closest_column = -1, .cells = 256}};
    check_ok(rn_plan_read(&v->plan, plan_text, (long)strlen(plan_text), "kelp", &err), &err);
    check_ok(rn_goal_add(&goal, "coverage", "at least 90 %", &err), &err);
    check_ok(rn_goal_add(&goal, "run-off", "at most 25 %", &err), &err);
    if (wanted->many)
        for (size_t i = 0; i < sizeof more_demands / sizeof *more_demands; i++)
            check_ok(rn_goal_add(&goal, more_demands[i][0], more_demands[i][1], &err), &err);
    if (wanted->stretch)
        check_ok(rn_goal_add(&goal, "stretch", wanted->stretch, &err), &err);
    options.model = model;
    options.model_context = &behave;
    options.model_name = "stand-in";
    check_ok(rn_study_new(&study, options, &err), &err);
    check_ok(rn_window_axis(&x, v->plan, wanted->x, NULL, NULL, &err), &err);
    check_ok(rn_window_axis(&y, v->plan, wanted->y, NULL, NULL, &err), &err);
    const rn_window_options size = {.columns = wanted->columns, .rows = wanted->rows, .cells = 96};
    check_ok(rn_window_new(&v->window, v->plan, &x, &y, &goal, &size, &err), &err);
    bool more = true;
    for (int pass = 0; more && (wanted->passes == 0 || pass < wanted->passes); pass++)
        check_ok(rn_window_refine(v->window, &more, study, &err), &err);
    if (wanted->unconfirmed)
        rn_study_stop(study);
    check_ok(rn_window_answer_find(&v->answer, v->window, 256, study, &err), &err);
    rn_study_free(study);
    v->page = (rn_window_page){.title = v->plan->title, .window = v->window, .answer = &v->answer};
}

void view_free(view *v)
{
    rn_window_free(v->window);
    rn_plan_free(v->plan);
}

void view_make_known(view *v, behaviour *behave, const int *places, int count)
{
    rn_error err = {0};
    rn_batch batch = {0};
    rn_study *study = NULL;
    const wish wanted = {behave, "consistency", "poured", NULL, 8, 8, -1, true, false};
    view_make(v, &wanted);
    check_ok(rn_window_list(&batch, v->window, &err), &err);
    for (int i = 0; i < count; i++) {
        long bytes;
        model(&behave, &batch.runs[places[i]].outcome, &bytes, &batch.runs[places[i]], NULL, NULL);
    }
    check_ok(rn_window_take(v->window, &batch, &err), &err);
    rn_batch_clear(&batch);
    check_ok(rn_study_new(&study, rn_study_defaults(), &err), &err);
    rn_study_stop(study);
    check_ok(rn_window_answer_find(&v->answer, v->window, 256, study, &err), &err);
    rn_study_free(study);
}

const wish wishes[WISHES] = {
    {mixed, "consistency", "poured", NULL, 32, 32, 0, false, false},
    {mixed, "consistency", "poured", "at most 2", 32, 32, 0, false, false},
    {mixed, "poured", "consistency", "at most 2", 40, 20, 0, false, false},
    {mixed, "consistency", "poured", "at most 2", 32, 32, 1, true, false},
    {mixed, "consistency", "poured", NULL, 4, 5, 0, false, false},
    {mixed, "consistency", "poured", NULL, 120, 90, 0, false, false},
    {mixed, "consistency", "paints.kelp.density", NULL, 24, 24, 0, false, false},
    {good, "consistency", "poured", NULL, 32, 32, 0, false, false},
    {bad, "consistency", "poured", NULL, 32, 32, 0, false, false},
    {bad, "moves.2.spin", "moves.1.tilt", NULL, 16, 16, 0, false, false},
    {good, "pours.1.across", "moves.2.for", NULL, 16, 16, 0, true, false},
    {mixed, "consistency", "poured", "at most 2", 32, 32, 0, false, true},
};
