#include "mapped.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "axes.h"
#include "plan/plan_unlike.h"

/* Smooth in both numbers, so that borders are lines. */
static void tell(rn_outcome *outcome, const rn_plan *plan, bool pattern)
{
    double volumes[RN_PAINTS_MOST], poured = 0;
    rn_plan_poured(volumes, plan);
    for (int k = 0; k < plan->paint_count; k++)
        poured += volumes[k];
    const double viscosity = rn_plan_viscosity(plan), depth = poured / rn_panel_area(&plan->panel);
    const double stays = fmin(depth, 2e-3 * sqrt(viscosity)) / depth;
    *outcome = (rn_outcome){.state = RN_OUTCOME_WHOLE,
                            .nx = 96,
                            .ny = 96,
                            .duration = plan->end,
                            .cover = plan->cover,
                            .poured = poured,
                            .on_panel = poured * stays,
                            .run_off = poured * (1 - stays),
                            .mean = depth * stays,
                            .thinnest = 0.4 * depth * stays / sqrt(viscosity),
                            .deepest = 1.5 * depth,
                            .side_coverage = NAN,
                            .has_pattern = pattern,
                            .stretch = pattern ? 1.5 + 1 / viscosity : NAN,
                            .twist = pattern ? 0.5 / viscosity : NAN};
    outcome->coverage = outcome->best_coverage = fmin(1, 0.7 + 0.5 * depth * 1e3 / (1 + viscosity));
    outcome->covered_at = outcome->coverage >= 1 ? fmin(0.9 * plan->end, 40 * viscosity) : NAN;
    for (int k = 0; k < RN_CORNERS; k++) {
        outcome->corner[k] = 0.9 * depth * stays;
        outcome->corner_at[k] = outcome->covered_at;
    }
}

void mapped_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on, void *study)
{
    mapped_model *model = context;
    *bytes = 1000;
    *outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
    while (model && atomic_load(&model->shut)) {
        if (!go_on(study))
            return;
        nanosleep(&(struct timespec){0, 1000000}, NULL);
    }
    if (model && atomic_load(&model->fails)) {
        outcome->state = RN_OUTCOME_FAILED;
        snprintf(outcome->why, sizeof outcome->why, "film thinner than the grid can hold");
    } else {
        tell(outcome, run->plan, run->pattern);
    }
    if (model)
        atomic_fetch_add(&model->runs, 1);
}

static cairo_surface_t *some_face(void)
{
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 60, 60);
    cairo_t *cr = cairo_create(image);
    cairo_set_source_rgb(cr, 0.4, 0.6, 0.5);
    cairo_paint(cr);
    cairo_destroy(cr);
    return image;
}

bool mapped_set(rv_map *map, rv_view *view, int passes)
{
    const rn_plan *plan = document_plan(view->doc);
    rn_dial x, y;
    rn_error err = {0};
    rn_study *study = NULL;
    rn_study_options study_options = rn_study_defaults();
    rn_window_options options = rn_window_defaults();
    memset(map, 0, sizeof *map);
    study_options.threads = 1;
    study_options.model = mapped_run;
    options.columns = MAP_COLUMNS;
    options.rows = MAP_ROWS;
    map->goal = rn_goal_of_plan(plan);
    if (axes_dial(&x, plan, "consistency", &err) != RN_OK || axes_dial(&y, plan, "poured", &err) != RN_OK ||
        rn_window_new(&map->window, plan, &x, &y, &map->goal, &options, &err) != RN_OK ||
        rn_study_new(&study, study_options, &err) != RN_OK)
        return false;
    bool more = true, good = true;
    for (int k = 0; k < passes && more && good; k++)
        good = rn_window_refine(map->window, &more, study, &err) == RN_OK;
    rn_study_free(study);
    map->complete = !more;
    map->version = document_version(view->doc);
    for (int k = 0; k < MAP_FACES; k++)
        map->faces[k] = (rv_map_face){.value = map_value(map->window, false, k * (MAP_COLUMNS - 1) / (MAP_FACES - 1)),
                                      .own = k == MAP_FACES / 2,
                                      .done = true,
                                      .image = k < MAP_FACES - 1 ? some_face() : NULL};
    for (int k = 0; k < RV_QUESTIONS; k++)
        map->answers[k] = (rv_map_answer){.value = NAN, .left = NAN};
    view->map = map;
    return good;
}

void mapped_clear(rv_map *map, rv_view *view)
{
    for (int k = 0; k < MAP_FACES; k++)
        if (map->faces[k].image)
            cairo_surface_destroy(map->faces[k].image);
    rn_window_free(map->window);
    memset(map, 0, sizeof *map);
    view->map = NULL;
}
