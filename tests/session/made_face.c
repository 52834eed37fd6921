#include "check.h"

#include <string.h>

#include "made_face.h"

rn_strata *made_face(const rn_plan *plan, int points, made_released *released, const void *detail)
{
    rn_strata *strata = calloc(1, sizeof *strata);
    assert_non_null(strata);
    *strata =
        (rn_strata){.nx = points, .ny = points, .planes = 1, .width = plan->panel.width, .height = plan->panel.height};
    const size_t count = (size_t)points * (size_t)points;
    strata->sigma = malloc(sizeof *strata->sigma);
    strata->paint = malloc(count);
    strata->pour = malloc(count * sizeof *strata->pour);
    strata->released = calloc(count, sizeof *strata->released);
    assert_true(strata->sigma && strata->paint && strata->pour && strata->released);
    strata->sigma[0] = 1;
    for (int j = 0; j < points; j++)
        for (int i = 0; i < points; i++) {
            const double x = ((i + 0.5) / points - 0.5) * strata->width,
                         y = ((j + 0.5) / points - 0.5) * strata->height;
            const long k = (long)j * points + i;
            const double volume = released(x, y, detail);
            const bool poured = volume >= 0;
            strata->pour[k] = poured ? 0 : -1;
            strata->released[k] = poured ? (float)volume : 0;
            strata->paint[k] = volume <= MADE_BARE ? RN_PAINT_NONE : 0;
            if (poured) {
                const rn_pour *pour = &plan->pours[0];
                const int band = rn_strata_band(pour, volume);
                strata->paint[k] = (unsigned char)pour->stack[band % pour->layer_count].paint;
            }
        }
    return strata;
}

rn_plan *made_plan(double x_mm, double y_mm, int repeat)
{
    char text[600];
    snprintf(
        text, sizeof text,
        "plan: 1\n"
        "panel: {size: 30 cm x 30 cm}\n"
        "paints: {tide: {colour: 34566b}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}, slate: {colour: 2b3a55}}\n"
        "base: [{paint: tide, depth: 0.3 mm}]\n"
        "pours: [{at: %.3f mm %s %.3f mm %s, across: 40 mm, width: 8 mm, start: 1 s, lifts: 4, every: 4 s, "
        "open: 3 s, repeat: %d, stack: [kelp 100 ml, foam 60 ml, slate 40 ml]}]\n"
        "end: 60 s\n",
        fabs(x_mm), x_mm < 0 ? "left" : "right", fabs(y_mm), y_mm < 0 ? "front" : "back", repeat);
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    return plan;
}
