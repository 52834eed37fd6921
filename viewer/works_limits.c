/* At the right of the window of plans that work: what must hold, with a knob for each, and the figures of the tile that is
   looked at. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "side.h"
#include "works.h"

static void draw_head(rv_canvas *canvas, double y, const char *words)
{
    const rn_box right = canvas->at.right;
    canvas_words(canvas, right.x, y, (rn_letters){.size = 12, .lettering = RN_LETTERS_HEAD, .role = RN_ROLE_INK},
                 right.width, words);
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, right.x, y + 9, right.x + right.width, y + 9);
}

/* ---- limits ---- */

static const rv_tile signs[LIMITS] = {[LIMIT_COVERED] = TILE_COVERED,
                                      [LIMIT_RUN_OFF] = TILE_RUN_OFF,
                                      [LIMIT_THINNEST] = TILE_THIN,
                                      [LIMIT_STRETCH] = TILE_PULLED,
                                      [LIMIT_TWIST] = TILE_TWIST};

static void draw_track(rv_canvas *canvas, rn_box track, const rv_limit_at *at, bool focused)
{
    const double x = track.x + track.width * limit_along(at, at->value);
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 2, track.x, track.y, track.x + track.width, track.y);
    for (int k = 0; k <= 8; k += 4)
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, track.x + track.width * k / 8, track.y - 4,
                    track.x + track.width * k / 8, track.y + 2);
    if (at->on) /* what is allowed */
        rn_pen_line(&canvas->pen, RN_ROLE_INK2, 3, at->least ? x : track.x, track.y,
                    at->least ? track.x + track.width : x, track.y);
    canvas_knob(canvas, x, track.y, 6.5, 0, focused);
}

static void draw_limit(rv_canvas *canvas, const rv_works_at *works, rv_limit limit)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rv_limit_at at = limit_get(plan, limit);
    const rn_box track = works->track[limit];
    const bool compact = canvas->at.compact;
    const double x = canvas->at.right.x, y = track.y - (compact ? 11 : 16);
    const rv_typing *typing = &canvas->view->typing;
    const bool typed = typing->on && typing->what.part == PART_LIMIT && typing->what.a == (int)limit;
    char value[80];
    if (typed)
        snprintf(value, sizeof value, "%.*s|%.30s", typing->caret < 40 ? typing->caret : 40, typing->text,
                 typing->text + typing->caret);
    else
        limit_text(value, sizeof value, plan, limit, canvas->view->ounces);
    const double longer = canvas->pen.longer;
    canvas->pen.longer = at.on || typed ? 0 : longer; /* figures are as long in any language */
    const rn_letters figure = {.size = compact ? 12 : 13,
                               .bold = at.on || typed,
                               .align = 1,
                               .role = typed   ? RN_ROLE_BRASS
                                       : at.on ? RN_ROLE_INK
                                               : RN_ROLE_INK2,
                               .most = 0.75 * canvas->at.right.width};
    const rn_box taken = rn_pen_measure(&canvas->pen, x + canvas->at.right.width, y, figure, value);
    rn_pen_text(&canvas->pen, x + canvas->at.right.width, y, figure, value);
    canvas->pen.longer = longer;
    const double left = compact ? 19 : 22, room = canvas->at.right.width - left - taken.width - 8;
    canvas_tile(canvas, x + 7, y - 5, signs[limit], 0);
    const bool about = at.on && plan->expects[at.expect].relation == RN_ABOUT;
    const char *const wordings[] = {about ? limit_short(limit) : limit_words(limit), limit_short(limit), NULL};
    canvas_say(canvas, x + left, y, (rn_letters){.size = compact ? 12 : 13, .role = RN_ROLE_INK}, room, wordings);
    draw_track(canvas, track, &at, canvas_focused(canvas, PART_LIMIT, (int)limit, 0));
    canvas_handle(canvas, PART_LIMIT, (int)limit, 0, (rn_box){track.x - 8, track.y - 12, track.width + 16, 24});
}

/* "coverage at least 99 %" as "coverage ≥ 99 %". */
static void shorten(char shorter[RN_JUDGE_SIZE], const char *text)
{
    static const char *const words[2] = {" at least ", " at most "}, *const signs_of[2] = {" ≥ ", " ≤ "};
    snprintf(shorter, RN_JUDGE_SIZE, "%s", text);
    for (int k = 0; k < 2; k++) {
        const char *at = strstr(text, words[k]);
        if (at)
            snprintf(shorter, RN_JUDGE_SIZE, "%.*s%s%s", (int)(at - text), text, signs_of[k], at + strlen(words[k]));
    }
}

/* Demands without a knob, or, where the plan asks for nothing, by what it is judged all the same; y below them. */
static double draw_others(rv_canvas *canvas, double y)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const bool compact = canvas->at.compact;
    const rn_goal goal = rn_goal_of_plan(plan);
    const rn_box right = canvas->at.right;
    const double step = compact ? 15 : 18;
    const int most = compact ? 2 : 3;
    int shown = 0, all = 0;
    for (int k = 0; k < goal.count; k++)
        all += k >= plan->expect_count || limit_of(plan, k) == LIMITS;
    for (int k = 0; k < goal.count && shown < most; k++) {
        char text[RN_JUDGE_SIZE];
        if (k < plan->expect_count && limit_of(plan, k) != LIMITS)
            continue;
        rn_goal_wanted(text, &goal.demands[k]);
        char *about = strstr(text, "+-"); /* as print has it; both take two bytes */
        if (about)
            memcpy(about, "±", 2);
        if (shown == most - 1 && all > most)
            snprintf(text, sizeof text, "and %d more", all - shown);
        char shorter[RN_JUDGE_SIZE];
        shorten(shorter, text);
        const char *const wordings[] = {text, shorter, NULL};
        canvas_say(canvas, right.x + (compact ? 19 : 22), y,
                   (rn_letters){.size = compact ? 11.5 : 12.5, .role = RN_ROLE_INK2}, right.width - (compact ? 19 : 22),
                   wordings);
        shown++;
        y += step;
    }
    return y;
}

/* ---- the tile that is looked at ---- */

typedef struct figures {
    rv_canvas *canvas;
    double y, foot, step;
} figures;

static void figure(figures *f, rv_tile sign, bool bad, const char *text)
{
    if (f->y > f->foot)
        return;
    const rn_box right = f->canvas->at.right;
    const rn_role role = !bad                   ? RN_ROLE_INK
                         : sign == TILE_RUN_OFF ? RN_ROLE_RUN_OFF
                         : sign == TILE_PULLED  ? RN_ROLE_PULLED
                                                : RN_ROLE_SHORT;
    canvas_tile(f->canvas, right.x + 7, f->y - 5, sign, 0);
    canvas_words(f->canvas, right.x + 22, f->y,
                 (rn_letters){.size = f->canvas->at.compact ? 12 : 13, .bold = bad, .role = role}, right.width - 22,
                 text);
    f->y += f->step;
}

/* Whether any demand of that kind is missed. */
static bool misses(const rn_goal *goal, const rn_goal_verdict *verdict, rn_expect_kind kind)
{
    for (int k = 0; k < goal->count; k++)
        if (goal->demands[k].kind == kind && !verdict->margins[k].met)
            return true;
    return false;
}

static void list_figures(figures *f, const rn_goal *goal, const rn_outcome *outcome)
{
    const rn_goal_verdict verdict = rn_goal_judge(goal, outcome);
    char text[96], volume[40];
    const bool bare = misses(goal, &verdict, RN_EXPECT_COVERAGE) || misses(goal, &verdict, RN_EXPECT_COVERED_BY);
    if (isnan(outcome->covered_at))
        snprintf(text, sizeof text, "%.1f\u00a0%% covered", 100 * fmin(outcome->coverage, 0.999));
    else if (outcome->covered_at < 0.5)
        snprintf(text, sizeof text, "covered from the start");
    else
        snprintf(text, sizeof text, "covered %.0f\u00a0s", outcome->covered_at);
    figure(f, bare ? TILE_SHORT : TILE_COVERED, bare, text);
    snprintf(text, sizeof text, "run-off %s, %.0f\u00a0%%",
             canvas_volume(f->canvas, volume, sizeof volume, outcome->run_off), 100 * rn_outcome_lost(outcome));
    figure(f, TILE_RUN_OFF, misses(goal, &verdict, RN_EXPECT_RUN_OFF), text);
    const bool thin = misses(goal, &verdict, RN_EXPECT_THINNEST);
    snprintf(text, sizeof text, "thinnest %.2f\u00a0mm", 1e3 * outcome->thinnest);
    figure(f, thin ? TILE_SHORT : TILE_THIN, thin, text);
    if (misses(goal, &verdict, RN_EXPECT_CORNER)) {
        snprintf(text, sizeof text, "corner %.2f\u00a0mm", 1e3 * rn_outcome_least_corner(outcome));
        figure(f, TILE_SHORT, true, text);
    }
    if (outcome->has_pattern && !isnan(outcome->stretch)) {
        snprintf(text, sizeof text, "stretch %.1f\u00a0×", outcome->stretch);
        figure(f, TILE_PULLED, misses(goal, &verdict, RN_EXPECT_STRETCH), text);
    }
    if (outcome->has_pattern && !isnan(outcome->twist)) {
        snprintf(text, sizeof text, "twist %.0f°", outcome->twist * 180 / RN_PI);
        figure(f, TILE_TWIST, misses(goal, &verdict, RN_EXPECT_TWIST), text);
    }
}

static void quiet_words(rv_canvas *canvas, double *y, double foot, rn_role role, const char *text, const char *shorter)
{
    if (*y > foot)
        return;
    const rn_letters letters = {.size = canvas->at.compact ? 11.5 : 12.5, .role = role};
    const char *const wordings[] = {text, shorter, NULL};
    canvas_say(canvas, canvas->at.right.x, *y, letters, canvas->at.right.width, wordings);
    *y += canvas->at.compact ? 15 : 18;
}

static void draw_looked_at(rv_canvas *canvas, double top, double foot)
{
    const rv_view *view = canvas->view;
    const rv_map *map = view->map;
    const bool compact = canvas->at.compact;
    int column, row;
    double y = top;
    draw_head(canvas, y, view->map_hand.keyed ? "the tile held" : "under the pointer");
    y += compact ? 27 : 30;
    if (!works_looked_at(&column, &row, view)) {
        quiet_words(canvas, &y, foot, RN_ROLE_INK2, "Point at a tile, or use the arrows.", "Point at a tile.");
        quiet_words(canvas, &y, foot, RN_ROLE_INK2, "A press makes it the plan.", "Press: the plan.");
        return;
    }
    const rn_tile tile = map_tile(map, column, row);
    char place[100];
    works_say_place(place, sizeof place, map->window, tile.x, tile.y, view->ounces);
    canvas_words(canvas, canvas->at.right.x, y,
                 (rn_letters){.size = compact ? 12.5 : 13.5, .bold = true, .role = RN_ROLE_INK}, canvas->at.right.width,
                 place);
    figures f = {.canvas = canvas, .y = y + (compact ? 17 : 21), .foot = foot, .step = compact ? 16 : 19};
    if (tile.outcome.state == RN_OUTCOME_WHOLE)
        list_figures(&f, &map->goal, &tile.outcome);
    else if (tile.outcome.why[0])
        figure(&f, TILE_REFUSED, true, tile.outcome.why);
    else
        figure(&f, TILE_UNKNOWN, false, "not worked out yet");
    y = f.y + 2;
    if (tile.outcome.state == RN_OUTCOME_WHOLE && !tile.worked)
        quiet_words(canvas, &y, foot, RN_ROLE_INK2, "told from its neighbours", "from neighbours");
    if (tile.kind != RN_TILE_NONE)
        quiet_words(canvas, &y, foot, RN_ROLE_BRASS,
                    view->map_hand.keyed ? "Enter makes this the plan" : "a press makes this the plan",
                    view->map_hand.keyed ? "Enter: the plan" : "press: the plan");
}

void works_limits(rv_canvas *canvas, const rv_works_at *at)
{
    const bool compact = canvas->at.compact;
    draw_head(canvas, canvas->at.right.y + (compact ? 10 : 14), "what must hold");
    for (rv_limit limit = 0; limit < LIMITS; limit++)
        draw_limit(canvas, at, limit);
    const double y = draw_others(canvas, at->limits_end + (compact ? 0 : 2));
    draw_looked_at(canvas, y + (compact ? 8 : 14), at->strip.y - 8);
}
