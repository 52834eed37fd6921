#include "show/report.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/physical.h"
#include "show/screen.h"

#define WORD_SIZE 160

static const double millimetre = 1e-3, millilitre = 1e-6;

/* A share in percent, rounded down, so that 99.96 % is never called all of it. */
static double percent_down(double share)
{
    return floor(share * 1000.0 + 1e-6) / 10.0;
}

static bool corner_is_short(const rn_corner_outcome *corner)
{
    return !(corner->covered_at >= 0.0);
}

static bool corner_is_bare(const rn_corner_outcome *corner)
{
    return !(corner->depth >= RN_BARE_DEPTH);
}

static void append(char *text, size_t size, const char *format, ...) __attribute__((format(printf, 3, 4)));

static void append(char *text, size_t size, const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text + used, size - used, format, arguments);
    va_end(arguments);
}

/* "back left, back right and front left corners" of those that are bare, or short but not bare. */
static int list_corners(char *text, size_t size, const rn_forecast *forecast, bool bare)
{
    int chosen[RN_CORNERS], count = 0;
    for (int c = 0; c < RN_CORNERS; c++) {
        const rn_corner_outcome *corner = &forecast->corners[c];
        if (corner_is_short(corner) && corner_is_bare(corner) == bare)
            chosen[count++] = c;
    }
    const char *noun = forecast->round ? "quarter" : "corner";
    text[0] = 0;
    if (count == RN_CORNERS) {
        append(text, size, "all four %ss", noun);
    } else if (count > 0) {
        for (int i = 0; i < count; i++)
            append(text, size, "%s%s", i == 0 ? "" : i < count - 1 ? ", " : " and ", rn_corner_names[chosen[i]]);
        append(text, size, " %s%s", noun, count > 1 ? "s" : "");
    }
    return count;
}

/* What is missing, without a full stop: "back left corner stays bare, front left corner stays short". */
static void describe_missing(char *text, size_t size, const rn_forecast *forecast)
{
    char bare[WORD_SIZE], scant[WORD_SIZE];
    int bare_count = list_corners(bare, sizeof bare, forecast, true);
    int scant_count = list_corners(scant, sizeof scant, forecast, false);
    text[0] = 0;
    if (bare_count > 0)
        append(text, size, "%s %s bare", bare, bare_count > 1 ? "stay" : "stays");
    if (scant_count > 0)
        append(text, size, "%s%s %s short", bare_count > 0 ? ", " : "", scant, scant_count > 1 ? "stay" : "stays");
}

/* Covered is nearly all of the face; what is left of it is said. */
static void append_rest(char text[RN_HEADLINE_SIZE], const rn_forecast *forecast)
{
    const double rest = 100.0 - percent_down(forecast->coverage);
    if (rest >= 0.05)
        append(text, RN_HEADLINE_SIZE, ", but for %.1f %% of the face.", rest);
    else
        append(text, RN_HEADLINE_SIZE, ".");
}

void rn_report_headline(char text[RN_HEADLINE_SIZE], const rn_forecast *forecast)
{
    const bool stopped = !forecast->complete;
    text[0] = 0;
    if (stopped)
        append(text, RN_HEADLINE_SIZE, "Stopped at %.0f s, ", forecast->duration);
    if (forecast->covered && forecast->covered_at >= RN_AT_START) {
        append(text, RN_HEADLINE_SIZE, "%sovered from %.0f s on", stopped ? "c" : "C", forecast->covered_at);
        append_rest(text, forecast);
        return;
    }
    if (forecast->covered) {
        append(text, RN_HEADLINE_SIZE, "%sovered from the start", stopped ? "c" : "C");
        append_rest(text, forecast);
        return;
    }
    char missing[2 * WORD_SIZE];
    describe_missing(missing, sizeof missing, forecast);
    append(text, RN_HEADLINE_SIZE, "%s: ", stopped ? "not covered by then" : "Not covered");
    if (missing[0])
        append(text, RN_HEADLINE_SIZE, "%s; %.1f %% of the face is covered.", missing,
               percent_down(forecast->coverage));
    else
        append(text, RN_HEADLINE_SIZE, "%.1f %% of the face stays short of %.3g mm.",
               100.0 - percent_down(forecast->coverage), forecast->cover / millimetre);
}

void rn_report_place(char *text, int size, double x, double y)
{
    char part[2][40] = {"", ""};
    int parts = 0;
    double across = round(fabs(x) / millimetre), along = round(fabs(y) / millimetre);
    if (across > 0.0)
        snprintf(part[parts++], sizeof part[0], "%.0f mm %s", across, x < 0.0 ? "left" : "right");
    if (along > 0.0)
        snprintf(part[parts++], sizeof part[0], "%.0f mm %s", along, y < 0.0 ? "front" : "back");
    if (parts == 0)
        snprintf(text, (size_t)size, "at the centre");
    else
        snprintf(text, (size_t)size, "%s%s%s of the centre", part[0], parts > 1 ? " " : "", part[1]);
}

static void say_corners(rn_screen *page, const rn_forecast *forecast)
{
    for (int c = 0; c < RN_CORNERS; c++) {
        const rn_corner_outcome *corner = &forecast->corners[c];
        const char *label = c > 0 ? "" : forecast->round ? "quarters" : "corners";
        double depth_mm = corner->depth / millimetre;
        if (!corner_is_short(corner) && corner->covered_at >= RN_AT_START)
            rn_screen_say(page, label, "%-11s covered from %.0f s on, %.2f mm deep", rn_corner_names[c],
                          corner->covered_at, depth_mm);
        else if (!corner_is_short(corner))
            rn_screen_say(page, label, "%-11s covered from the start, %.2f mm deep", rn_corner_names[c], depth_mm);
        else if (corner_is_bare(corner))
            rn_screen_say(page, label, "%-11s bare", rn_corner_names[c]);
        else
            rn_screen_say(page, label, "%-11s short, %.2f mm deep", rn_corner_names[c], depth_mm);
    }
}

static void say_film(rn_screen *page, const rn_forecast *forecast)
{
    char place[80];
    if (!(forecast->most.depth >= RN_BARE_DEPTH)) {
        rn_screen_say(page, "film", "none: the panel is bare");
        return;
    }
    rn_screen_say(page, "film", "%.2f mm deep in the mean", forecast->mean / millimetre);
    rn_report_place(place, sizeof place, forecast->least.x, forecast->least.y);
    rn_screen_say(page, "", "thinnest %.2f mm, %s", forecast->least.depth / millimetre, place);
    rn_report_place(place, sizeof place, forecast->most.x, forecast->most.y);
    rn_screen_say(page, "", "thickest %.2f mm, %s", forecast->most.depth / millimetre, place);
    if (forecast->wrapped)
        rn_screen_say(page, "sides", "%.1f %% wetted, %.1f ml on them", percent_down(forecast->side_coverage),
                      forecast->on_sides / millilitre);

    const double speed = forecast->still_moving * 60.0 / millimetre;
    if (forecast->still_moving < RN_REST_SPEED)
        rn_screen_say(page, "at the end", "at rest after %.0f s (under %.1f mm/min)", forecast->duration,
                      RN_REST_SPEED * 60.0 / millimetre);
    else
        rn_screen_say(page, "at the end", "still moving after %.0f s, at %.*f mm/min", forecast->duration,
                      speed < 10.0 ? 1 : 0, speed);
}

static void say_paint(rn_screen *page, const rn_forecast *forecast)
{
    char text[300] = "";
    append(text, sizeof text, "%.1f ml poured", forecast->poured / millilitre);
    if (forecast->base > 0.0)
        append(text, sizeof text, " onto %.1f ml of base coat", forecast->base / millilitre);
    append(text, sizeof text, "; %.1f ml stay on the panel", forecast->on_panel / millilitre);
    if (isfinite(forecast->poured_cost))
        append(text, sizeof text, "; all of it cost %.2f", forecast->poured_cost);
    rn_screen_say(page, "paint", "%s", text);

    const double all = forecast->base + forecast->poured;
    if (forecast->run_off < 0.005 * millilitre) {
        rn_screen_say(page, "run-off", "none");
        return;
    }
    const int digits = forecast->run_off < 0.095 * millilitre ? 2 : 1; /* half a drop is not 0.0 ml */
    text[0] = 0;
    append(text, sizeof text, "%.*f ml", digits, forecast->run_off / millilitre);
    if (digits == 1)
        append(text, sizeof text, " (%.2f fl oz)", forecast->run_off / RN_FLUID_OUNCE);
    append(text, sizeof text, ", %.*f %% of the paint", digits, all > 0.0 ? 100.0 * forecast->run_off / all : 0.0);
    if (isfinite(forecast->run_off_cost))
        append(text, sizeof text, "; it cost %.2f", forecast->run_off_cost);
    rn_screen_say(page, "run-off", "%s", text);
    text[0] = 0;
    for (int s = 0; s < RN_SIDES; s++)
        append(text, sizeof text, "%s%s %.*f ml", s > 0 ? ", " : "", rn_side_names[s], digits,
               forecast->run_off_by_side[s] / millilitre);
    rn_screen_say(page, "", "%s", text);
}

static void say_drying(rn_screen *page, const rn_forecast *forecast)
{
    if (!isfinite(forecast->wet_least) || !isfinite(forecast->wet_most) || !(forecast->most.depth >= RN_BARE_DEPTH))
        return;
    const double least = forecast->wet_least / 3600.0, most = forecast->wet_most / 3600.0;
    rn_screen_say(page, "wet",
                  "gives off its water in about %.*f to %.*f h at 20 degC and 50 %% humidity; "
                  "dry to the touch takes longer",
                  least < 3.0 ? 1 : 0, least, most < 3.0 ? 1 : 0, most);
}

static void say_warnings(rn_screen *page, const rn_forecast *forecast)
{
    for (int i = 0; i < forecast->warning_count; i++) {
        const char *label = i == 0 ? "mind" : "";
        const bool last = i == forecast->warning_count - 1;
        rn_screen trial = {.lines = page->lines};
        rn_screen_say(&trial, label, "%s", forecast->warnings[i]);
        if (trial.lines + (last ? 0 : 1) > RN_REPORT_LINES_MOST) {
            rn_screen_say(page, label, "and %d more, listed by --json", forecast->warning_count - i);
            return;
        }
        rn_screen_say(page, label, "%s", forecast->warnings[i]);
    }
}

void rn_report_text(FILE *out, const rn_forecast *forecast)
{
    rn_screen page = {.out = out};
    char headline[RN_HEADLINE_SIZE];
    rn_report_headline(headline, forecast);
    rn_screen_say(&page, NULL, "%s", headline);
    if (!forecast->covered && forecast->best_coverage > forecast->coverage + 5e-4)
        rn_screen_say(&page, NULL, "Best on the way: %.1f %% at %.0f s.", percent_down(forecast->best_coverage),
                      forecast->best_at);
    if (forecast->title[0])
        rn_screen_say(&page, "plan", "%s", forecast->title);
    say_corners(&page, forecast);
    say_film(&page, forecast);
    say_paint(&page, forecast);
    say_drying(&page, forecast);
    rn_screen_say(&page, "worked out",
                  "%.0f s on %d x %d cells of %.2f mm, in %ld steps and %.1f s; paint balances to %.0e",
                  forecast->duration, forecast->grid.nx, forecast->grid.ny, forecast->grid.dx / millimetre,
                  forecast->steps, forecast->wall, forecast->balance_error);
    say_warnings(&page, forecast);
}
