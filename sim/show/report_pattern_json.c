/* The pattern as members of the forecast's JSON object. */
#include <math.h>

#include "base/physical.h"
#include "show/json.h"
#include "show/report_pattern.h"

#define MM 1e3
#define ML 1e6

/* Begins a member: "name": */
static void name(FILE *out, bool first, const char *text)
{
    fputs(first ? "" : ", ", out);
    rn_json_string(out, text);
    fputs(": ", out);
}

static void number(FILE *out, bool first, const char *text, double value)
{
    name(out, first, text);
    rn_json_number(out, value);
}

static void amounts(FILE *out, const rn_plan *plan, const rn_colours *colours, const double *values, double unit)
{
    bool first = true;
    fputc('{', out);
    for (int p = 0; p < colours->paint_count; p++) {
        if (!(colours->came[p] > 0))
            continue;
        number(out, first, plan->paints[p].name, values[p] * unit);
        first = false;
    }
    fputc('}', out);
}

static void put_colours(FILE *out, const rn_plan *plan, const rn_colours *colours)
{
    fputs("  \"colours\": {\n    ", out);
    name(out, true, "came_ml");
    amounts(out, plan, colours, colours->came, ML);
    fputs(",\n    ", out);
    name(out, true, "seen");
    amounts(out, plan, colours, colours->visible, 1);
    number(out, false, "bare", colours->bare);
    fputs(",\n    ", out);
    name(out, true, "on_face_ml");
    amounts(out, plan, colours, colours->on_face, ML);
    fputs(",\n    ", out);
    name(out, true, "over_edge_ml");
    for (int s = 0; s < RN_SIDES; s++) {
        fputs(s == 0 ? "{" : ",\n      ", out);
        name(out, true, rn_side_names[s]);
        amounts(out, plan, colours, colours->over[s], ML);
    }
    fputs("},\n    ", out);
    name(out, true, "run_off_ml");
    for (int s = 0; s < RN_SIDES; s++) {
        fputs(s == 0 ? "{" : ",\n      ", out);
        name(out, true, rn_side_names[s]);
        amounts(out, plan, colours, colours->run_off[s], ML);
    }
    fputs("},\n    ", out);
    name(out, true, "in_corner");
    for (int c = 0; c < RN_CORNERS; c++) {
        fputs(c == 0 ? "{" : ",\n      ", out);
        name(out, true, rn_corner_names[c]);
        amounts(out, plan, colours, colours->corner[c], 1);
    }
    fputs("},\n    ", out);
    number(out, true, "misplaced_before_fit", colours->misplaced);
    number(out, false, "worst_paint_before_fit", colours->worst);
    fputs("},\n", out);
}

static void put_widths(FILE *out, const rn_ring_widths *widths)
{
    number(out, false, "whole", widths->count);
    number(out, false, "least_mm", widths->least * MM);
    number(out, false, "median_mm", widths->median * MM);
    number(out, false, "greatest_mm", widths->greatest * MM);
}

static bool has_begun(const rn_pour_pattern *pour)
{
    return pour->rings.bearings[0].reach > 0;
}

/* Begins the entry of a pour in a list. */
static void begin_pour(FILE *out, bool *first, const rn_pour_pattern *pour)
{
    fputs(*first ? "\n    {" : ",\n    {", out);
    *first = false;
    number(out, true, "pour", pour->rings.pour + 1);
}

static void put_rings(FILE *out, const rn_plan *plan, const rn_pattern *pattern)
{
    bool first = true;
    fputs("  \"rings\": {", out);
    number(out, true, "mud_share", pattern->mud);
    number(out, false, "mud_under_mm", RN_MUD_WIDTH * MM);
    name(out, false, "pours");
    fputc('[', out);
    for (int p = 0; p < pattern->pour_count; p++) {
        const rn_rings *rings = &pattern->pours[p].rings;
        if (!has_begun(&pattern->pours[p]))
            continue;
        begin_pour(out, &first, &pattern->pours[p]);
        put_widths(out, &rings->all);
        name(out, false, "bearings");
        for (int b = 0; b < RN_RING_BEARINGS; b++) {
            const rn_ring_bearing *along = &rings->bearings[b];
            fputs(b == 0 ? "[\n      {" : ",\n      {", out);
            number(out, true, "bearing_deg", along->bearing / RN_DEGREE);
            number(out, false, "bands", along->count);
            put_widths(out, &along->widths);
            name(out, false, "to_mm");
            for (int k = 0; k < along->count; k++) {
                fputs(k == 0 ? "[" : ", ", out);
                rn_json_number(out, along->bands[k].to * MM);
            }
            fputs(along->count > 0 ? "]" : "[]", out);
            name(out, false, "paints");
            for (int k = 0; k < along->count; k++) {
                fputs(k == 0 ? "[" : ", ", out);
                rn_json_string(out, plan->paints[along->bands[k].paint].name);
            }
            fputs(along->count > 0 ? "]}" : "[]}", out);
        }
        fputs("]}", out);
    }
    fputs("]},\n", out);
}

static void put_twist(FILE *out, const rn_pattern *pattern)
{
    bool first = true;
    fputs("  \"twist\": {", out);
    number(out, true, "greatest_deg", pattern->twist / RN_DEGREE);
    name(out, false, "pours");
    fputc('[', out);
    for (int p = 0; p < pattern->pour_count; p++) {
        const rn_pour_pattern *pour = &pattern->pours[p];
        static const char *const hands[] = {"none", "counter-clockwise", "clockwise"};
        if (!has_begun(pour))
            continue;
        begin_pour(out, &first, pour);
        number(out, false, "since_s", pour->drawn);
        name(out, false, "circles");
        for (int c = 0; c < RN_PATTERN_CIRCLES; c++) {
            const rn_circle_fate *fate = &pour->circles[c];
            fputs(c == 0 ? "[\n      {" : ",\n      {", out);
            number(out, true, "drawn_mm", fate->drawn * MM);
            number(out, false, "radius_mm", fate->radius * MM);
            number(out, false, "twist_deg", fate->twist / RN_DEGREE);
            number(out, false, "right_mm", fate->drift_x * MM);
            number(out, false, "back_mm", fate->drift_y * MM);
            fputc('}', out);
        }
        fputs("],\n      ", out);
        name(out, true, "spiral");
        fputs("{", out);
        name(out, true, "hand");
        rn_json_string(out, hands[pour->spiral.hand]);
        number(out, false, "turns_per_dm", rn_spiral_per_decimetre(&pour->spiral));
        number(out, false, "turned_deg", pour->spiral.turned / RN_DEGREE);
        number(out, false, "rings_used", pour->spiral.used);
        number(out, false, "rings_complete", pour->spiral.complete);
        number(out, false, "rings", pour->spiral.count);
        fputs("}}", out);
    }
    fputs("]},\n", out);
}

static void put_distortion(FILE *out, const rn_pattern *pattern)
{
    bool first = true;
    fputs("  \"distortion\": {", out);
    name(out, true, "pours");
    fputc('[', out);
    for (int p = 0; p < pattern->pour_count; p++) {
        const rn_pour_pattern *pour = &pattern->pours[p];
        if (!has_begun(pour))
            continue;
        begin_pour(out, &first, pour);
        name(out, false, "circles");
        for (int c = 0; c < RN_PATTERN_CIRCLES; c++) {
            const rn_circle_fate *fate = &pour->circles[c];
            const double values[4] = {fate->off_centre, fate->oval, fate->square, fate->fingers};
            static const char *const in_mm[4] = {"off_centre_mm", "oval_mm", "square_mm", "fingers_mm"};
            static const char *const shares[4] = {"off_centre_share", "oval_share", "square_share", "fingers_share"};
            fputs(c == 0 ? "[\n      {" : ",\n      {", out);
            number(out, true, "drawn_mm", fate->drawn * MM);
            for (int k = 0; k < 4; k++)
                number(out, false, in_mm[k], values[k] * MM);
            for (int k = 0; k < 4; k++)
                number(out, false, shares[k], values[k] / fate->radius);
            fputc('}', out);
        }
        fputs("],\n      ", out);
        name(out, true, "rings");
        bool any = false;
        fputc('[', out);
        for (int k = 0; k < pour->spiral.count; k++) {
            const rn_ring_curve *curve = &pour->spiral.curves[k];
            if (!curve->complete)
                continue;
            fputs(any ? ", {" : "{", out);
            any = true;
            number(out, true, "released_ml", curve->released * ML);
            number(out, false, "radius_mm", curve->radius * MM);
            number(out, false, "off_centre_mm", curve->shift * MM);
            number(out, false, "toward_deg", curve->phase / RN_DEGREE);
            fputc('}', out);
        }
        fputs("]}", out);
    }
    fputs("]},\n", out);
}

static void put_stretch(FILE *out, const rn_pattern *pattern)
{
    const rn_stretch *stretch = &pattern->stretch;
    fputs("  \"stretch\": {", out);
    number(out, true, "since_s", pattern->since);
    number(out, false, "known", stretch->known);
    number(out, false, "beyond_1.5", stretch->past[0]);
    number(out, false, "beyond_2", stretch->past[1]);
    number(out, false, "beyond_3", stretch->past[2]);
    number(out, false, "limit", stretch->limit);
    number(out, false, "beyond_limit", stretch->past_limit);
    number(out, false, "median", stretch->median);
    number(out, false, "percentile_99", stretch->high);
    number(out, false, "greatest", stretch->most);
    number(out, false, "right_mm", stretch->most_x * MM);
    number(out, false, "back_mm", stretch->most_y * MM);
    fputs("},\n", out);
}

static void put_cells(FILE *out, const rn_cells *cells)
{
    fputs("  \"cells\": {", out);
    name(out, true, "expected");
    fputs(cells->expected ? "true" : "false", out);
    number(out, false, "opened_s", cells->opened);
    number(out, false, "turns_over", cells->turns_over);
    number(out, false, "width_mm", cells->width * MM);
    number(out, false, "growth_s", cells->growth);
    number(out, false, "rest_s", cells->rest);
    number(out, false, "drawn", cells->count);
    number(out, false, "lost", cells->lost);
    number(out, false, "stretch_median", cells->stretch);
    number(out, false, "stretch_percentile_90", cells->stretch_high);
    number(out, false, "limit", cells->limit);
    number(out, false, "keep_shape", cells->kept);
    fputs("},\n", out);
}

void rn_report_pattern_json(FILE *out, const rn_plan *plan, const rn_pattern *pattern)
{
    if (pattern->has_colours)
        put_colours(out, plan, &pattern->colours);
    put_rings(out, plan, pattern);
    put_twist(out, pattern);
    put_distortion(out, pattern);
    put_stretch(out, pattern);
    put_cells(out, &pattern->cells);
}
