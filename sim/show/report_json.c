/* The forecast as one JSON object. */
#include <math.h>

#include "show/json.h"
#include "show/report.h"
#include "show/report_pattern.h"

#define MM 1e3
#define ML 1e6

static void put_indent(FILE *out, int depth)
{
    fprintf(out, "%*s", 2 * depth, "");
}

static void key(FILE *out, int depth, const char *name)
{
    put_indent(out, depth);
    rn_json_string(out, name);
    fputs(": ", out);
}

static void number(FILE *out, int depth, const char *name, double value)
{
    key(out, depth, name);
    rn_json_number(out, value);
    fputs(",\n", out);
}

static void truth(FILE *out, int depth, const char *name, bool value)
{
    key(out, depth, name);
    fprintf(out, "%s,\n", value ? "true" : "false");
}

static void put_spot(FILE *out, const char *name, const rn_spot *spot)
{
    key(out, 1, name);
    fputs("{\"film_mm\": ", out);
    rn_json_number(out, spot->depth * MM);
    fputs(", \"right_mm\": ", out);
    rn_json_number(out, spot->x * MM);
    fputs(", \"back_mm\": ", out);
    rn_json_number(out, spot->y * MM);
    fputs("},\n", out);
}

static void put_run_off(FILE *out, const rn_forecast *forecast)
{
    number(out, 1, "run_off_ml", forecast->run_off * ML);
    key(out, 1, "run_off_by_edge_ml");
    for (int s = 0; s < RN_SIDES; s++) {
        fputs(s == 0 ? "{" : ", ", out);
        rn_json_string(out, rn_side_names[s]);
        fputs(": ", out);
        rn_json_number(out, forecast->run_off_by_side[s] * ML);
    }
    fputs("},\n", out);
    number(out, 1, "run_off_cost", forecast->run_off_cost);
    number(out, 1, "paint_cost", forecast->poured_cost);
}

static void put_film(FILE *out, const rn_forecast *forecast)
{
    key(out, 1, "film_mm");
    fputs("{\"mean\": ", out);
    rn_json_number(out, forecast->mean * MM);
    fputs(", \"least\": ", out);
    rn_json_number(out, forecast->least.depth * MM);
    fputs(", \"most\": ", out);
    rn_json_number(out, forecast->most.depth * MM);
    fputs("},\n", out);
    put_spot(out, "thinnest", &forecast->least);
    put_spot(out, "thickest", &forecast->most);
}

static void put_corners(FILE *out, const rn_forecast *forecast)
{
    key(out, 1, "corners");
    fputs("[\n", out);
    for (int c = 0; c < RN_CORNERS; c++) {
        put_indent(out, 2);
        fputs("{\"name\": ", out);
        rn_json_string(out, rn_corner_names[c]);
        fputs(", \"covered_at_s\": ", out);
        rn_json_number(out, forecast->corners[c].covered_at);
        fputs(", \"film_mm\": ", out);
        rn_json_number(out, forecast->corners[c].depth * MM);
        fprintf(out, "}%s\n", c < RN_CORNERS - 1 ? "," : "");
    }
    put_indent(out, 1);
    fputs("],\n", out);
}

static void put_warnings(FILE *out, const rn_forecast *forecast)
{
    key(out, 1, "warnings");
    if (forecast->warning_count == 0) {
        fputs("[]\n", out);
        return;
    }
    fputs("[\n", out);
    for (int i = 0; i < forecast->warning_count; i++) {
        put_indent(out, 2);
        rn_json_string(out, forecast->warnings[i]);
        fputs(i < forecast->warning_count - 1 ? ",\n" : "\n", out);
    }
    put_indent(out, 1);
    fputs("]\n", out);
}

static void put_work(FILE *out, const rn_forecast *forecast)
{
    number(out, 1, "duration_s", forecast->duration);
    truth(out, 1, "complete", forecast->complete);
    number(out, 1, "steps", (double)forecast->steps);
    number(out, 1, "rejected_steps", (double)forecast->rejected);
    key(out, 1, "grid");
    fprintf(out, "{\"nx\": %d, \"ny\": %d, \"cell_mm\": ", forecast->grid.nx, forecast->grid.ny);
    rn_json_number(out, forecast->grid.dx * MM);
    fputs("},\n", out);
    number(out, 1, "wall_s", forecast->wall);
}

void rn_report_json(FILE *out, const rn_forecast *forecast, const rn_plan *plan, const rn_pattern *pattern)
{
    char headline[RN_HEADLINE_SIZE];
    rn_report_headline(headline, forecast);
    fputs("{\n", out);
    key(out, 1, "title");
    rn_json_string(out, forecast->title);
    fputs(",\n", out);
    key(out, 1, "outcome");
    rn_json_string(out, headline);
    fputs(",\n", out);
    truth(out, 1, "covered", forecast->covered);
    number(out, 1, "covered_at_s", forecast->covered ? forecast->covered_at : NAN);
    number(out, 1, "coverage", forecast->coverage);
    number(out, 1, "cover_mm", forecast->cover * MM);
    number(out, 1, "best_coverage", forecast->best_coverage);
    number(out, 1, "best_coverage_at_s", forecast->best_at);
    put_corners(out, forecast);
    put_film(out, forecast);
    number(out, 1, "still_moving_mm_per_min", forecast->still_moving * MM * 60.0);
    number(out, 1, "base_ml", forecast->base * ML);
    number(out, 1, "poured_ml", forecast->poured * ML);
    number(out, 1, "on_panel_ml", forecast->on_panel * ML);
    number(out, 1, "on_sides_ml", forecast->on_sides * ML);
    put_run_off(out, forecast);
    number(out, 1, "side_coverage", forecast->wrapped ? forecast->side_coverage : NAN);
    number(out, 1, "balance_error", forecast->balance_error);
    key(out, 1, "wet_time_h");
    fputs("[", out);
    rn_json_number(out, forecast->wet_least / 3600.0);
    fputs(", ", out);
    rn_json_number(out, forecast->wet_most / 3600.0);
    fputs("],\n", out);
    if (pattern)
        rn_report_pattern_json(out, plan, pattern);
    put_work(out, forecast);
    put_warnings(out, forecast);
    fputs("}\n", out);
}
