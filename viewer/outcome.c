#include "outcome.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"
#include "run/judge.h"
#include "run/warn.h"

#define SIZE_REGULAR 15.5
#define SIZE_COMPACT 14.0
#define BETWEEN 20.0 /* phrases */
#define TILE_ROOM 23.0
#define MESSAGE_LEAST 10.5

static rv_phrase *add(rv_phrase *phrases, int *count, int keep, rn_role role)
{
    rv_phrase *phrase = &phrases[*count < PHRASES_MOST ? (*count)++ : PHRASES_MOST - 1];
    *phrase = (rv_phrase){.keep = keep, .role = role};
    return phrase;
}

static void words(char text[PHRASE_SIZE], const char *format, ...) __attribute__((format(printf, 2, 3)));

static void words(char text[PHRASE_SIZE], const char *format, ...)
{
    va_list list;
    va_start(list, format);
    vsnprintf(text, PHRASE_SIZE, format, list);
    va_end(list);
}

/* `tale` may be NULL. The end of a plan is a rest only if the paint has come to one by then. */
static void say_when(rv_phrase *phrase, const rv_canvas *canvas, const rn_plan *plan, const rv_studio_tale *tale,
                     double time)
{
    const bool at_end = time >= plan->end - 0.05;
    const bool rests = tale && tale->complete && tale->forecast.still_moving <= RN_WARN_MOVING;
    words(phrase->lead,
          !at_end ? "At %.0f s"
          : rests ? "At rest, %.0f s"
                  : "At the end, %.0f s",
          fmin(time, plan->end));
    if (!at_end && canvas->view->rehearsal.on)
        words(phrase->lead, "By hand, at %.0f s", time);
}

/* since: from when on all has been covered, if that is known [s]; else NaN. */
static void say_coverage(rv_phrase *phrases, int *count, const rn_moment *moment, double since)
{
    rv_phrase *phrase = add(phrases, count, 0, RN_ROLE_INK);
    phrase->has_tile = true;
    if (moment->coverage >= 0.99995) {
        phrase->tile = TILE_COVERED;
        words(phrase->strong, "covered");
        if (since > 0.5)
            words(phrase->tail, " since %.0f s", since);
        return;
    }
    phrase->tile = TILE_PART;
    phrase->share = moment->coverage;
    words(phrase->strong, "%.1f %%", fmin(100 * moment->coverage, 99.9));
    words(phrase->tail, " covered");
}

/* The corner that is covered last, or that never is. */
static void say_last_corner(rv_phrase *phrases, int *count, const rv_studio_tale *tale)
{
    const rn_forecast *forecast = &tale->forecast;
    int last = -1, bare = 0, which = 0;
    for (int c = 0; c < RN_CORNERS; c++) {
        const double at = forecast->corners[c].covered_at;
        if (isnan(at)) {
            bare++;
            which = c;
        } else if (last < 0 || at > forecast->corners[last].covered_at) {
            last = c;
        }
    }
    const double when = bare ? NAN : forecast->corners[last].covered_at;
    if (when < 0.5 || when < forecast->covered_at - 1)
        return; /* paint lay there from the start, or the rest was longer in coming */
    rv_phrase *phrase = add(phrases, count, 4, bare ? RN_ROLE_SHORT : RN_ROLE_INK);
    phrase->has_tile = true;
    phrase->tile = bare ? TILE_SHORT : TILE_CORNER;
    const char *corner = forecast->round ? "quarter" : "corner";
    if (bare == RN_CORNERS) {
        words(phrase->strong, "no %s is covered", corner);
    } else if (bare > 1) {
        words(phrase->strong, "%d %ss stay bare", bare, corner);
    } else if (bare == 1) {
        words(phrase->lead, "%s ", corner);
        words(phrase->strong, "%s stays bare", rn_corner_names[which]);
    } else {
        words(phrase->lead, "last %s ", corner);
        words(phrase->strong, "%s, %.0f s", rn_corner_names[last], forecast->corners[last].covered_at);
    }
}

static void say_run_off(rv_phrase *phrases, int *count, const rv_canvas *canvas, const rn_moment *moment, double base)
{
    const double run_off = rn_moment_run_off(moment);
    if (run_off < 0.05e-6)
        return;
    rv_phrase *phrase = add(phrases, count, 0, RN_ROLE_RUN_OFF);
    phrase->has_tile = true;
    phrase->tile = TILE_RUN_OFF;
    canvas_volume(canvas, phrase->strong, PHRASE_SIZE, run_off);
    const double all = base + moment->released;
    if (all > 0 && run_off > 0.005 * all)
        words(phrase->tail, " run off, %.0f %%", 100 * run_off / all);
    else
        words(phrase->tail, " run off");
}

/* Whether it is thick enough is judged at the end: on the way paint is still to come. */
static void say_thinnest(rv_phrase *phrases, int *count, const rn_plan *plan, double thinnest, bool at_end)
{
    double wanted = NAN;
    for (int k = 0; k < plan->expect_count; k++)
        if (plan->expects[k].kind == RN_EXPECT_THINNEST && plan->expects[k].relation == RN_AT_LEAST)
            wanted = plan->expects[k].value;
    const bool is_short = at_end && thinnest < (isnan(wanted) ? plan->cover : wanted);
    rv_phrase *phrase = add(phrases, count, 5, is_short ? RN_ROLE_SHORT : RN_ROLE_INK);
    phrase->has_tile = true;
    phrase->tile = is_short ? TILE_SHORT : TILE_THIN;
    words(phrase->lead, "thinnest ");
    if (!is_short)
        words(phrase->strong, "%.2f mm", 1e3 * thinnest);
    else if (!isnan(wanted))
        words(phrase->strong, "%.2f mm, short of %.2f", 1e3 * thinnest, 1e3 * wanted);
    else
        words(phrase->strong, thinnest < 1e-5 ? "bare" : "%.2f mm, short", 1e3 * thinnest);
}

static void say_design(rv_phrase *phrases, int *count, const rn_plan *plan, const rv_studio_tale *tale)
{
    const rn_forecast *forecast = &tale->forecast;
    if (!forecast->has_pattern)
        return;
    if (!isnan(forecast->twist) && fabs(forecast->twist) > 0.5 * RN_DEGREE) {
        rv_phrase *phrase = add(phrases, count, 2, RN_ROLE_INK);
        phrase->has_tile = true;
        phrase->tile = TILE_TWIST;
        words(phrase->lead, "twist ");
        words(phrase->strong, "%.0f°%s", fabs(forecast->twist) * 180 / RN_PI,
              isnan(tale->twist) ? ""
              : tale->twist > 0  ? " ↺"
                                 : " ↻");
    }
    if (isnan(forecast->stretch))
        return;
    const bool pulled = forecast->stretch > plan->limits.stretch;
    rv_phrase *phrase = add(phrases, count, 3, pulled ? RN_ROLE_PULLED : RN_ROLE_INK);
    phrase->has_tile = pulled;
    phrase->tile = TILE_PULLED;
    words(phrase->lead, "stretch ");
    words(phrase->strong, pulled ? "%.1f ×, pulled too far" : "%.1f ×", forecast->stretch);
}

/* Wishes of the plan that are missed: the first in words, and how many more. What the film is short of is told with the
   thinnest. */
static void say_missed(rv_phrase *phrases, int *count, const rn_plan *plan, const rn_forecast *forecast)
{
    rn_judgement first = {.by = NAN};
    int missed = 0;
    for (int k = 0; k < plan->expect_count; k++) {
        const rn_judgement judged = rn_judge_expect(&plan->expects[k], forecast);
        if (judged.verdict != RN_MISSED || plan->expects[k].kind == RN_EXPECT_THINNEST)
            continue;
        if (missed++ == 0)
            first = judged;
    }
    if (!missed)
        return;
    rv_phrase *phrase = add(phrases, count, 5, RN_ROLE_SHORT);
    phrase->has_tile = true;
    phrase->tile = TILE_SHORT;
    char *about = strstr(first.wanted, "+-"); /* as print has it; both take two bytes */
    if (about)
        memcpy(about, "±", 2);
    static const char by[] = "covered by at most "; /* once is enough */
    const bool twice = strncmp(first.wanted, by, sizeof by - 1) == 0;
    words(phrase->lead, "wish missed: ");
    words(phrase->strong, "%s%s", twice ? "covered by " : "", first.wanted + (twice ? sizeof by - 1 : 0));
    if (missed > 1)
        words(phrase->tail, ", and %d more", missed - 1);
}

/* How fine the grid is that tells it; a finer one, when it is there, may tell a little otherwise. */
static void say_grid(rv_phrase *phrases, int *count, const rv_canvas *canvas, const rv_studio_tale *tale)
{
    const int cells = tale->cells;
    const bool first_look = tale->outline || cells < canvas->view->finest;
    rv_phrase *phrase = add(phrases, count, 1, RN_ROLE_INK2);
    phrase->aside = true;
    words(phrase->lead, first_look ? "first look, %d cells" : "%d cells", cells);
}

static double thinnest_of(const rn_still *still)
{
    double least = INFINITY;
    const long cells = (long)still->grid.nx * still->grid.ny;
    for (long k = 0; k < cells; k++)
        if (still->inside[k])
            least = fmin(least, still->depth[k]);
    return least;
}

static void say_unknown(rv_phrase *phrases, int *count, const rv_studio_tale *tale)
{
    rv_phrase *phrase = add(phrases, count, 0, RN_ROLE_INK2);
    phrase->has_tile = true;
    phrase->tile = TILE_UNKNOWN;
    if (tale && tale->trouble[0]) {
        phrase->role = RN_ROLE_SHORT;
        phrase->tile = TILE_REFUSED;
        words(phrase->strong, "Worked out to %.0f s, then stopped", tale->solved);
        words(phrase->tail, ": %.*s", PHRASE_SIZE - 8, tale->trouble);
    } else {
        words(phrase->strong, "not worked out yet");
    }
}

static void say_empty(rv_phrase *phrases, int *count, const rn_plan *plan)
{
    rv_phrase *phrase = add(phrases, count, 0, RN_ROLE_INK);
    phrase->has_tile = true;
    phrase->tile = TILE_UNKNOWN;
    words(phrase->strong, "Nothing poured yet.");
    words(add(phrases, count, 0, RN_ROLE_INK)->lead, plan->paint_count ? "Draw a release on the clock."
                                                                       : "Put paints on the shelf and draw a release "
                                                                         "on the clock.");
}

int outcome_phrases(rv_phrase phrases[PHRASES_MOST], const rv_canvas *canvas)
{
    int count = 0;
    const rv_view *view = canvas->view;
    const rn_plan *plan = document_plan(view->doc);
    const rv_shown *shown = &canvas->shown[PLACE_BENCH];
    if (!edit_pourable(plan)) {
        say_empty(phrases, &count, plan);
        return count;
    }
    const long version = document_version(view->doc);
    const rv_studio_tale *tale = shown->tale && shown->tale->version == version ? shown->tale : NULL;
    const rv_studio_picture *picture = shown->picture && shown->picture->version == version ? shown->picture : NULL;
    rn_moment moment = {.time = view->time};
    const bool known = canvas_told(&moment, canvas, tale, picture);
    const double time = known ? moment.time : view->time;
    say_when(add(phrases, &count, 6, RN_ROLE_INK2), canvas, plan, tale, time);
    if (!known) {
        say_unknown(phrases, &count, tale);
        return count;
    }
    say_coverage(phrases, &count, &moment,
                 tale->complete && tale->forecast.covered_at <= time ? tale->forecast.covered_at : NAN);
    if (tale->complete)
        say_last_corner(phrases, &count, tale);
    say_run_off(phrases, &count, canvas, &moment, tale->forecast.base);
    const bool at_end = tale->complete && time >= tale->end - 0.05;
    const bool still_known = picture && picture->cells == tale->cells && fabs(picture->time - time) < 0.3;
    if (at_end)
        say_thinnest(phrases, &count, plan, tale->forecast.least.depth, true);
    else if (still_known && moment.coverage >= 0.99995)
        say_thinnest(phrases, &count, plan, thinnest_of(picture->still), false);
    if (at_end)
        say_design(phrases, &count, plan, tale);
    if (at_end)
        say_missed(phrases, &count, plan, &tale->forecast);
    if (tale->trouble[0])
        say_unknown(phrases, &count, tale);
    if (tale->cells > 0)
        say_grid(phrases, &count, canvas, tale);
    return count;
}

void outcome_join(char *text, int size, const rv_phrase *phrases, int count)
{
    int used = 0;
    text[0] = '\0';
    for (int k = 0; k < count && used < size; k++) {
        const char *between = k == 0 ? "" : text[used - 1] == '.' ? " " : "; ";
        used += snprintf(text + used, (size_t)(size - used), "%s%s%s%s", between, phrases[k].lead, phrases[k].strong,
                         phrases[k].tail);
    }
}

void outcome_text(char *text, int size, const rv_canvas *canvas)
{
    rv_phrase phrases[PHRASES_MOST];
    outcome_join(text, size, phrases, outcome_phrases(phrases, canvas));
}

/* ---- setting it in lines ---- */

/* Words stand apart; a comma or colon stands closer to what is before it. */
static double apart(const char *text)
{
    return text[0] == ',' || text[0] == ':' ? 2 : 4.5;
}

static double width_of(rv_canvas *canvas, const rv_phrase *phrase, double size)
{
    double width = phrase->has_tile ? TILE_ROOM : 0;
    const char *parts[3] = {phrase->lead, phrase->strong, phrase->tail};
    for (int k = 0; k < 3; k++) {
        if (!parts[k][0])
            continue;
        const rn_letters letters = {.size = size, .bold = k == 1};
        const rn_box box = rn_pen_measure(&canvas->pen, 0, 0, letters, parts[k]);
        width += box.x + box.width + (k < 2 && parts[k + 1][0] ? apart(parts[k + 1]) : 0);
    }
    return width;
}

static double draw_phrase(rv_canvas *canvas, double x, double y, const rv_phrase *phrase, double size)
{
    const double left = x;
    if (phrase->has_tile) {
        canvas_tile(canvas, x + 7, y - 5, phrase->tile, phrase->share);
        x += TILE_ROOM;
    }
    const struct {
        const char *text;
        bool bold;
        rn_role role;
    } parts[3] = {{phrase->lead, false, phrase->strong[0] ? RN_ROLE_INK : phrase->role},
                  {phrase->strong, true, phrase->role},
                  {phrase->tail, false, RN_ROLE_INK}};
    for (int k = 0; k < 3; k++) {
        if (!parts[k].text[0])
            continue;
        const rn_letters letters = {.size = size, .bold = parts[k].bold, .role = parts[k].role};
        const rn_box box = rn_pen_text(&canvas->pen, x, y, letters, parts[k].text);
        x = fmax(x, box.x + box.width) + (k < 2 ? apart(parts[k + 1].text) : 0);
    }
    if (phrase->part != PART_NONE) {
        const rn_box target = {left - 4, y - 17, x - left + 8, 24};
        canvas_handle(canvas, phrase->part, 0, 0, target);
        if (canvas_focused(canvas, phrase->part, 0, 0))
            canvas_focus(canvas, target);
    }
    return x;
}

/* How many lines they take within a width; `breaks` says after which the first line ends. */
static int lines_within(const double *widths, int count, double most, int *breaks)
{
    int lines = 1;
    double used = 0;
    *breaks = count;
    for (int k = 0; k < count; k++) {
        const double with = used > 0 ? used + BETWEEN + widths[k] : widths[k];
        if (with <= most || used == 0) {
            used = with;
            continue;
        }
        if (lines == 1)
            *breaks = k;
        lines++;
        used = widths[k];
    }
    return lines;
}

void outcome_set(rv_canvas *canvas, rn_box box, const rv_phrase *phrases, int count)
{
    rv_phrase kept[PHRASES_MOST + 2];
    double widths[PHRASES_MOST + 2], size = canvas->at.compact ? SIZE_COMPACT : SIZE_REGULAR;
    int breaks = 0;
    memcpy(kept, phrases, (size_t)count * sizeof *kept);
    for (;;) {
        double widest = 0;
        for (int k = 0; k < count; k++) {
            widths[k] = width_of(canvas, &kept[k], size);
            widest = fmax(widest, widths[k]);
        }
        const int lines = lines_within(widths, count, box.width, &breaks);
        if (lines <= 2 && widest <= box.width)
            break;
        int drop = -1;
        for (int k = 0; k < count; k++)
            if (kept[k].keep >= 1 && (drop < 0 || kept[k].keep < kept[drop].keep))
                drop = k;
        const bool aside = drop >= 0 && kept[drop].aside;
        if (!aside && size > 12.5) { /* a little smaller, before anything that matters is left out */
            size -= 0.5;
            continue;
        }
        if (drop < 0) {
            for (int k = 0; k < count; k++) /* words that only lead go next */
                kept[k].lead[0] = kept[k].strong[0] ? '\0' : kept[k].lead[0];
            if (count > 2)
                count--;
            else
                break;
            continue;
        }
        memmove(&kept[drop], &kept[drop + 1], (size_t)(count - drop - 1) * sizeof *kept);
        count--;
    }
    if (breaks < count) { /* balanced: the narrowest width that still takes two lines */
        double narrow = 0.3 * box.width, wide = box.width;
        int at;
        while (wide - narrow > 4) {
            const double middle = 0.5 * (narrow + wide);
            if (lines_within(widths, count, middle, &at) <= 2)
                wide = middle;
            else
                narrow = middle;
        }
        lines_within(widths, count, wide, &breaks);
    }
    const double first = box.y + (canvas->at.compact ? 23 : 29), step = 22;
    double x = box.x;
    for (int k = 0; k < count; k++) {
        const bool second = k >= breaks;
        if (k == breaks)
            x = box.x;
        draw_phrase(canvas, x, first + (second ? step : 0), &kept[k], size);
        x += widths[k] + BETWEEN;
    }
}

/* ---- the head of a page ---- */

/* Of the plans that the page shows the one whose corners pass fastest. */
static bool say_danger(rv_phrase *phrase, const rv_view *view)
{
    double fastest = 0;
    const rn_plan *plan = NULL;
    for (int place = 0; place < PLACE_COUNT; place++) {
        const rn_plan *here = view_on_page(view, place) ? view_plan(view, place) : NULL;
        const double speed = here && rn_warn_danger(NULL, here, here->end) ? rn_warn_speed(here, here->end) : 0;
        plan = speed > fastest ? here : plan;
        fastest = fmax(fastest, speed);
    }
    if (!plan)
        return false;
    *phrase = (rv_phrase){.has_tile = true, .tile = TILE_REFUSED, .role = RN_ROLE_SHORT, .part = PART_CAUTIONS_WORD};
    words(phrase->strong, "danger: %s at %.2g m/s", plan->panel.round ? "the rim passes" : "corners pass", fastest);
    return true;
}

/* What else the plan on the bench is warned of, once that is known. */
static bool say_warnings(rv_phrase *phrase, const rv_canvas *canvas, bool dangerous)
{
    const rv_view *view = canvas->view;
    const rv_studio_tale *tale = canvas->shown[PLACE_BENCH].tale;
    if (view->page != PAGE_BENCH || !tale || tale->version != document_version(view->doc) || !tale->complete)
        return false;
    const int count = tale->forecast.warning_count - dangerous;
    if (count < 1)
        return false;
    *phrase = (rv_phrase){.role = RN_ROLE_INK2, .keep = 2, .part = PART_CAUTIONS_WORD};
    words(phrase->strong, count == 1 ? "1 warning" : "%d warnings", count);
    return true;
}

/* Whole, in as many lines and as small letters as that takes. */
static void draw_message(rv_canvas *canvas, rn_box box, const char *text, bool bad, double first)
{
    const double indent = bad ? TILE_ROOM : 0, room = box.y + box.height - first;
    rn_letters letters = {.size = canvas->at.compact ? SIZE_COMPACT : SIZE_REGULAR,
                          .bold = true,
                          .role = bad ? RN_ROLE_SHORT : RN_ROLE_INK,
                          .most = box.width - indent};
    for (; letters.size > MESSAGE_LEAST; letters.size -= 0.5) {
        letters.lines = 8;
        if (rn_pen_depth(&canvas->pen, letters, text) <= room - 0.3 * letters.size)
            break;
    }
    if (bad)
        canvas_tile(canvas, box.x + 7, first - 5, TILE_REFUSED, 0);
    rn_pen_text(&canvas->pen, box.x + indent, first, letters, text);
}

void outcome_head(rv_canvas *canvas, const rv_phrase *phrases, int count)
{
    rv_phrase all[PHRASES_MOST + 2];
    const rv_view *view = canvas->view;
    rn_box box = canvas->at.outcome;
    const bool dangerous = say_danger(&all[0], view);
    const double first = box.y + (canvas->at.compact ? 23 : 29);
    if (view->message[0]) {
        if (dangerous)
            outcome_set(canvas, box, all, 1);
        draw_message(canvas, box, view->message, view->message_bad, dangerous ? first + 18 : first);
        return;
    }
    int used = dangerous;
    for (int k = 0; k < count && k < PHRASES_MOST; k++)
        all[used++] = phrases[k];
    if (say_warnings(&all[used], canvas, dangerous)) {
        for (int k = 0; k < used; k++) /* how fine the grid is gives no way to them: letters become smaller first */
            all[k].aside = false;
        used++;
    }
    outcome_set(canvas, box, all, used);
}

void outcome_draw(rv_canvas *canvas)
{
    rv_phrase phrases[PHRASES_MOST];
    outcome_head(canvas, phrases, outcome_phrases(phrases, canvas));
}
