#include "show/report_pattern.h"

#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "show/report.h"
#include "show/screen.h"

static const double millimetre = 1e-3, millilitre = 1e-6;

static double degrees(double radians)
{
    return radians / RN_DEGREE;
}

/* Amounts under half of the last digit are told as none. */
static void put_amount(rn_screen *page, int width, double amount, const char *none)
{
    char text[24];
    if (amount < 0.05)
        snprintf(text, sizeof text, "%s", none);
    else
        snprintf(text, sizeof text, "%.1f", amount);
    fprintf(page->out, "%*s", width, text);
}

/* The paint's name in so many columns, cut where it is longer. */
static void put_name(rn_screen *page, const char *name, int width)
{
    const char *end = name;
    for (int column = 0; *end && column < width; column++)
        do
            end++;
        while (((unsigned char)*end & 0xC0) == 0x80);
    const int used = rn_screen_columns(name, (size_t)(end - name));
    fprintf(page->out, "%.*s%*s", (int)(end - name), name, width - used, "");
}

static void say_colours(rn_screen *page, const rn_plan *plan, const rn_colours *colours)
{
    fprintf(page->out, "  %-11s seen  panel  front  right   back   left   %% in bl   br   fr   fl\n", "colours, ml");
    page->lines++;
    for (int p = 0; p < colours->paint_count; p++) {
        if (!(colours->came[p] > 0))
            continue;
        fputs("  ", page->out);
        put_name(page, plan->paints[p].name, 11);
        fprintf(page->out, "%3.0f %%", 100 * colours->visible[p]);
        put_amount(page, 7, colours->on_face[p] / millilitre, "-");
        for (int s = 0; s < RN_SIDES; s++)
            put_amount(page, 7, colours->over[s][p] / millilitre, "-");
        fprintf(page->out, "%5s", "");
        for (int c = 0; c < RN_CORNERS; c++)
            fprintf(page->out, "%5.0f", 100 * colours->corner[c][p]);
        fputc('\n', page->out);
        page->lines++;
    }
    if (colours->bare >= 0.0005)
        rn_screen_say(page, "", "bare ground on %.1f %% of the panel", 100 * colours->bare);
    rn_screen_say(page, "", "fitted to what was poured; %.1f %% of the paint was traced to another colour before",
                  100 * colours->misplaced);
}

/* Tenths of a millimetre are told under ten. */
static int decimals(double length)
{
    return length < 9.95 * millimetre ? 1 : 0;
}

static void say_rings(rn_screen *page, const rn_pour_pattern *pour, const char *label)
{
    const rn_rings *rings = &pour->rings;
    int least = rings->bearings[0].count, most = least;
    for (int b = 1; b < RN_RING_BEARINGS; b++) {
        least = rings->bearings[b].count < least ? rings->bearings[b].count : least;
        most = rings->bearings[b].count > most ? rings->bearings[b].count : most;
    }
    if (rings->all.count == 0) {
        rn_screen_say(page, label, "%d band%s from the middle out, none whole", most, most == 1 ? "" : "s");
        return;
    }
    rn_screen_say(page, label, "%d to %d bands from the middle out, %.*f to %.*f mm wide, half of them under %.*f mm",
                  least, most, decimals(rings->all.least), rings->all.least / millimetre, decimals(rings->all.greatest),
                  rings->all.greatest / millimetre, decimals(rings->all.median), rings->all.median / millimetre);
}

static void say_spiral(rn_screen *page, const rn_spiral *spiral)
{
    if (spiral->count == 0)
        return;
    if (spiral->hand == RN_HAND_NONE)
        rn_screen_say(page, "", "no spiral (%d of %d band edges go all the way round in sight)", spiral->complete,
                      spiral->count);
    else
        rn_screen_say(page, "", "a spiral, %s outward, %.2f turns per decimetre, %.0f degrees in all",
                      spiral->hand == RN_HAND_CLOCKWISE ? "clockwise" : "counter-clockwise",
                      fabs(rn_spiral_per_decimetre(spiral)), fabs(degrees(spiral->turned)));
}

static void say_circles(rn_screen *page, const rn_pour_pattern *pour)
{
    int last = -1;
    for (int c = 0; c < RN_PATTERN_CIRCLES; c++)
        if (!pour->circles[c].lost)
            last = c;
    if (last < 0) {
        rn_screen_say(page, "", "circles drawn in the face at %.0f s have all run over an edge", pour->drawn);
        return;
    }
    const rn_circle_fate *fate = &pour->circles[last];
    rn_screen_say(page, "",
                  "a circle of %.0f mm drawn in the face at %.0f s: %.0f mm, moved by %.0f mm, turned by %.0f degrees; "
                  "oval by %.1f, square by %.1f, fingers %.1f mm",
                  fate->drawn / millimetre, pour->drawn, fate->radius / millimetre,
                  hypot(fate->drift_x, fate->drift_y) / millimetre, round(degrees(fate->twist)) + 0.0,
                  fate->oval / millimetre, fate->square / millimetre, fate->fingers / millimetre);
}

static void say_stretch(rn_screen *page, const rn_pattern *pattern)
{
    const rn_stretch *stretch = &pattern->stretch;
    if (!(stretch->known > 0)) {
        rn_screen_say(page, "stretch", "none to tell: no paint of %.0f s is left in the face", pattern->since);
        return;
    }
    rn_screen_say(page, "stretch",
                  "since %.0f s half of the face under %.2f; beyond 1.5 on %.0f %%, beyond 2 on %.0f %%, beyond 3 on "
                  "%.0f %%",
                  pattern->since, stretch->median, 100 * stretch->past[0], 100 * stretch->past[1],
                  100 * stretch->past[2]);
}

static void say_cells(rn_screen *page, const rn_cells *cells)
{
    if (!(cells->turns_over > 0)) {
        rn_screen_say(page, "cells", "none to expect: no heavier paint lies over a lighter one");
    } else {
        rn_screen_say(page, "cells",
                      "%s: over %.0f %% of the film heavier paint lies on lighter; %.1f mm wide, growing 2.7-fold in "
                      "%.0f s, with %.0f s of rest from %.0f s on",
                      cells->expected ? "to expect" : "hardly any", 100 * cells->turns_over, cells->width / millimetre,
                      cells->growth, cells->rest, cells->opened);
    }
    if (!isnan(cells->kept))
        rn_screen_say(page, "",
                      "at the end half of them stretched under %.2f, nine in ten under %.2f; %.0f %% keep "
                      "their shape (to %.3g)",
                      cells->stretch, cells->stretch_high, 100 * cells->kept, cells->limit);
}

static void say_rest(rn_screen *page, const rn_pattern *pattern)
{
    if (pattern->mud >= 0.0005)
        rn_screen_say(page, "mud", "bands thinner than %.1f mm on %.1f %% of the face", RN_MUD_WIDTH / millimetre,
                      100 * pattern->mud);
    say_stretch(page, pattern);
    say_cells(page, &pattern->cells);
}

static void say_pour(rn_screen *page, const rn_plan *plan, const rn_pattern *pattern, int p)
{
    char label[16] = "rings";
    if (pattern->pour_count > 1)
        snprintf(label, sizeof label, "pour %d", p + 1);
    if (pattern->pour_count > 1 && plan->pours[p].name[0])
        rn_screen_say(page, label, "%s", plan->pours[p].name);
    say_rings(page, &pattern->pours[p], pattern->pour_count > 1 && plan->pours[p].name[0] ? "" : label);
    say_spiral(page, &pattern->pours[p].spiral);
    say_circles(page, &pattern->pours[p]);
}

static bool has_begun(const rn_pour_pattern *pour)
{
    return pour->rings.bearings[0].reach > 0;
}

/* The pours that fit between what is said already and what must still be said. */
static void say_pours(rn_screen *page, const rn_plan *plan, const rn_pattern *pattern)
{
    rn_screen rest = {.out = NULL};
    int left = 0;
    say_rest(&rest, pattern);
    for (int p = 0; p < pattern->pour_count; p++)
        left += has_begun(&pattern->pours[p]);
    for (int p = 0; p < pattern->pour_count; p++) {
        rn_screen one = {.out = NULL};
        if (!has_begun(&pattern->pours[p]))
            continue;
        say_pour(&one, plan, pattern, p);
        if (page->lines + one.lines + (left > 1) + rest.lines > RN_REPORT_LINES_MOST) {
            rn_screen_say(page, "", "%d more pour%s: the JSON object tells of all", left, left == 1 ? "" : "s");
            return;
        }
        say_pour(page, plan, pattern, p);
        left--;
    }
}

void rn_report_pattern(FILE *out, const rn_plan *plan, const rn_pattern *pattern)
{
    rn_screen page = {.out = out};
    if (pattern->has_colours)
        say_colours(&page, plan, &pattern->colours);
    say_pours(&page, plan, pattern);
    say_rest(&page, pattern);
}
