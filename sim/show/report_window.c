#include "show/report_window.h"

#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "show/dial_axis.h"
#include "show/window_map.h"

#define SETTING_SIZE 180
#define PLACE_SIZE RN_REPORT_WINDOW_PLACE
#define FAILURE_SIZE 360 /* what is wanted, and what comes of it */
#define MAP_COLUMNS 64   /* of the little map, at most; a letter is about twice as high as wide */

/* ---- in words ---- */

static const rn_outcome *own_of(const rn_window_answer *answer)
{
    return answer->own.state != RN_OUTCOME_NONE ? &answer->own : &answer->own_told;
}

/* "1.31 Pa s", "123 ml": what they are of is plain; else "37 rpm spin of move 4". */
static void write_setting(char text[SETTING_SIZE], const rn_dial *dial, double value)
{
    char figure[RN_SEARCH_VALUE], words[RN_DIAL_PATH + 20];
    rn_dial_text(figure, sizeof figure, dial, value);
    rn_dial_words(words, sizeof words, dial);
    const bool plain = rn_dial_is_poured(dial) || strcmp(dial->path, "consistency") == 0;
    snprintf(text, SETTING_SIZE, "%s%s%s", figure, plain ? "" : " ", plain ? "" : words);
}

void rn_report_window_place(char *text, int size, const rn_window *window, double x, double y)
{
    char of_x[SETTING_SIZE], of_y[SETTING_SIZE];
    write_setting(of_x, rn_window_x(window), x);
    write_setting(of_y, rn_window_y(window), y);
    snprintf(text, (size_t)size, "%s, %s", of_x, of_y);
}

static void write_tile(char text[PLACE_SIZE], const rn_window *window, int column, int row)
{
    const rn_tile *tile = rn_window_tile(window, column, row);
    rn_report_window_place(text, PLACE_SIZE, window, tile->x, tile->y);
}

/* A demand may be missed on either side. */
static const char *failure_word(const rn_expect *demand, const rn_margin *margin, rn_tile_kind kind)
{
    const bool under = margin->value < demand->value;
    if (kind == RN_TILE_SPILLED)
        return under ? "runs off too little" : rn_tile_word(kind);
    if (kind == RN_TILE_PULLED)
        return under ? "is pulled too little" : "is pulled too far";
    if (demand->kind == RN_EXPECT_COVERED_BY)
        return under ? "is covered too soon" : "falls short";
    return margin->value > demand->value ? "has too much" : "falls short";
}

/* "falls short: corner at least 0.2 mm missed by 0.07 mm: 0.13 mm". */
static void write_failure(char *text, size_t size, const rn_goal *goal, const rn_outcome *outcome)
{
    char wanted[RN_JUDGE_SIZE], said[RN_JUDGE_SIZE];
    const rn_goal_verdict verdict = rn_goal_judge(goal, outcome);
    const rn_tile_kind kind = rn_window_kind(goal, outcome);
    if (kind == RN_TILE_NONE || verdict.worst < 0) {
        snprintf(text, size, "%s: %s", rn_tile_word(RN_TILE_NONE), outcome->why);
        return;
    }
    rn_goal_wanted(wanted, &goal->demands[verdict.worst]);
    rn_goal_said(said, &goal->demands[verdict.worst], outcome);
    snprintf(text, size, "%s: %s %s",
             failure_word(&goal->demands[verdict.worst], &verdict.margins[verdict.worst], kind), wanted, said);
}

static int tile_count(const rn_window *window)
{
    const rn_window_options options = rn_window_options_of(window);
    return options.columns * options.rows;
}

/* How many of those that work were not run; empty where all were. */
static const char *write_told(char text[60], const rn_window *window)
{
    const rn_window_options options = rn_window_options_of(window);
    int told = 0;
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++) {
            const rn_tile *tile = rn_window_tile(window, column, row);
            told += tile->kind == RN_TILE_WORKS && !tile->worked;
        }
    snprintf(text, 60, " (%d as their neighbours tell)", told);
    return told > 0 ? text : "";
}

/* What comes of the tiles that are known; of those that are not nothing is said but how many. */
static size_t say_works(char text[RN_REPORT_WINDOW_SIZE], const rn_window *window, const rn_window_answer *answer)
{
    char place[PLACE_SIZE], told[60];
    const int all = tile_count(window), works = rn_window_count(window, RN_TILE_WORKS);
    const int known = all - rn_window_count(window, RN_TILE_OPEN);
    if (answer->found) {
        write_tile(place, window, answer->best.column, answer->best.row);
        if (known < all)
            return (size_t)snprintf(text, RN_REPORT_WINDOW_SIZE,
                                    "Stopped; of the %d of %d plans worked out %d work%s; %s stands safest so far.",
                                    known, all, works, works == 1 ? "s" : "", place);
        return (size_t)snprintf(text, RN_REPORT_WINDOW_SIZE, "%d of %d plans work%s; %s stands safest.", works, all,
                                write_told(told, window), place);
    }
    if (known == 0)
        return (size_t)snprintf(text, RN_REPORT_WINDOW_SIZE, "Stopped before any of %d plans was worked out.", all);
    if (known < all)
        return (size_t)snprintf(text, RN_REPORT_WINDOW_SIZE, "Stopped; of the %d of %d plans worked out none works.",
                                known, all);
    return (size_t)snprintf(text, RN_REPORT_WINDOW_SIZE, "Nothing that was run works.");
}

static void say_closest(char *text, size_t size, const rn_window *window, const rn_window_answer *answer)
{
    char place[PLACE_SIZE], failure[FAILURE_SIZE];
    if (answer->closest_column < 0)
        return;
    write_tile(place, window, answer->closest_column, answer->closest_row);
    write_failure(failure, sizeof failure, rn_window_goal(window),
                  &rn_window_tile(window, answer->closest_column, answer->closest_row)->outcome);
    snprintf(text, size, " Closest: %s, which %s.", place, failure);
}

void rn_report_window_headline(char text[RN_REPORT_WINDOW_SIZE], const rn_window *window,
                               const rn_window_answer *answer)
{
    const size_t used = say_works(text, window, answer);
    if (!answer->found)
        say_closest(text + used, RN_REPORT_WINDOW_SIZE - used, window, answer);
    else if (answer->best_own.state != RN_OUTCOME_NONE && !rn_window_answer_holds(answer, window))
        snprintf(text + used, RN_REPORT_WINDOW_SIZE - used, " But on %d cells that does not hold, see below.",
                 answer->cells);
}

void rn_report_window_own(char text[RN_REPORT_WINDOW_SIZE], const rn_window *window, const rn_window_answer *answer)
{
    char failure[FAILURE_SIZE], place[PLACE_SIZE];
    const rn_outcome *own = own_of(answer);
    if (own->state == RN_OUTCOME_NONE) {
        snprintf(text, RN_REPORT_WINDOW_SIZE, "This plan was not worked out.");
        return;
    }
    if (rn_goal_judge(rn_window_goal(window), own).met) {
        snprintf(text, RN_REPORT_WINDOW_SIZE, "This plan works.");
        return;
    }
    write_failure(failure, sizeof failure, rn_window_goal(window), own);
    const int used = snprintf(text, RN_REPORT_WINDOW_SIZE, "This plan %s.", failure);
    if (answer->has_nearest) {
        write_tile(place, window, answer->nearest_column, answer->nearest_row);
        snprintf(text + used, RN_REPORT_WINDOW_SIZE - (size_t)used, " Nearest that works: %s.", place);
    }
}

/* ---- a screen ---- */

static const char map_letters[RN_WINDOW_LOOKS] = {
    [RN_TILE_OPEN] = '.',  [RN_TILE_WORKS] = '#',  [RN_TILE_SHORT] = '/', [RN_TILE_SPILLED] = '!',
    [RN_WINDOW_DRY] = '-', [RN_TILE_PULLED] = '0', [RN_TILE_NONE] = 'x',
};

static int near(double along)
{
    return isfinite(along) ? (int)lround(fmin(fmax(along, -9), 999)) : -9;
}

static char letter_at(const rn_window *window, const rn_window_answer *answer, int column, int row, int wide, int high)
{
    const int own_column = near(rn_window_along_x(window, rn_window_x(window)->now));
    const int own_row = near(rn_window_along_y(window, rn_window_y(window)->now));
    if (own_column >= column && own_column < column + wide && own_row <= row && own_row > row - high)
        return '@';
    if (answer->found && answer->best.column >= column && answer->best.column < column + wide &&
        answer->best.row <= row && answer->best.row > row - high)
        return '+';
    return map_letters[rn_window_look(window, column, row)];
}

/* One letter for a tile, or for several where there are many; every other row where that shows enough. */
static void say_map(rn_screen *page, const rn_window *window, const rn_window_answer *answer)
{
    const rn_window_options options = rn_window_options_of(window);
    const int wide = (options.columns + MAP_COLUMNS - 1) / MAP_COLUMNS;
    const int high = options.rows > 16 ? (2 * options.rows + 31) / 32 : 1;
    char line[MAP_COLUMNS + 1];
    for (int row = options.rows - 1; row >= 0; row -= high) {
        int used = 0;
        for (int column = 0; column < options.columns; column += wide)
            line[used++] = letter_at(window, answer, column, row, wide, high);
        line[used] = '\0';
        rn_screen_say(page, row == options.rows - 1 ? "map" : "", "%s", line);
    }
}

static void say_counts(rn_screen *page, const rn_window *window)
{
    int counts[RN_WINDOW_LOOKS];
    char text[400];
    size_t used = 0;
    text[0] = '\0';
    rn_window_count_looks(counts, window);
    for (int i = 0; i < RN_WINDOW_LOOKS; i++) {
        const int look = rn_window_looks[i];
        if (counts[look] > 0 && used < sizeof text)
            used += (size_t)snprintf(text + used, sizeof text - used, "%s%c %s %d", used ? ", " : "", map_letters[look],
                                     rn_window_look_word(look), counts[look]);
    }
    rn_screen_say(page, "tiles", "%s; @ this plan%s", text, counts[RN_TILE_WORKS] > 0 ? ", + the safest" : "");
}

static void write_room(char text[PLACE_SIZE], const rn_dial *dial, double less, double more)
{
    char from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE];
    rn_units_round(from, sizeof from, rn_dial_signed(dial, less), dial->dimension, NULL, 3);
    rn_units_round(to, sizeof to, rn_dial_signed(dial, more), dial->dimension, NULL, 3);
    snprintf(text, PLACE_SIZE, "%s from %s to %s", dial->path, from, to);
}

void rn_report_window_inside(char *text, int size, const rn_window_answer *answer)
{
    const int run = answer->inside_run, told = answer->inside_told;
    if (run + told <= 1)
        snprintf(text, (size_t)size, "no other tile lies in the oval of both");
    else if (told == 0)
        snprintf(text, (size_t)size, "in the oval of both lie %d tiles, all run, and work", run);
    else
        snprintf(text, (size_t)size, "in the oval of both %d tile%s run and work%s, %d %s told from neighbours", run,
                 run == 1 ? " was" : "s were", run == 1 ? "s" : "", told, told == 1 ? "is" : "are");
}

static void say_safest(rn_screen *page, const rn_window *window, const rn_window_answer *answer)
{
    char place[PLACE_SIZE], x[PLACE_SIZE], y[PLACE_SIZE], inside[RN_REPORT_WINDOW_INSIDE];
    const rn_window_best *best = &answer->best;
    if (!answer->found)
        return;
    write_tile(place, window, best->column, best->row);
    rn_screen_say(page, "safest", "%s", place);
    rn_search_say_goal(page, rn_window_goal(window),
                       answer->best_own.state == RN_OUTCOME_NONE
                           ? &rn_window_tile(window, best->column, best->row)->outcome
                           : &answer->best_own);
    if (!(best->radius > 0)) {
        rn_screen_say(page, "room", "none: it stands at the edge of what works or of what was looked at");
        return;
    }
    write_room(x, rn_window_x(window), best->x_less, best->x_more);
    write_room(y, rn_window_y(window), best->y_less, best->y_more);
    rn_screen_say(page, "room", "%s while the other stays; %s likewise%s", x, y,
                  answer->ends_run ? ": the ends were run and work"
                                   : ", as far as tiles this size tell; the ends were not run");
    rn_report_window_inside(inside, sizeof inside, answer);
    rn_screen_say(page, "", "%s", inside);
}

static void say_axis(rn_screen *page, const char *label, const rn_dial *dial, int tiles)
{
    char from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE], now[RN_SEARCH_VALUE];
    rn_search_value(from, dial, dial->from);
    rn_search_value(to, dial, dial->to);
    rn_search_value(now, dial, dial->now);
    rn_screen_say(page, label, "%s from %s to %s in %d tiles%s; the plan has %s", dial->path, from, to, tiles,
                  dial->logarithmic ? ", by factors" : "", now);
}

static void say_grids(rn_screen *page, const rn_window *window, const rn_window_answer *answer)
{
    const int cells = rn_window_options_of(window).cells;
    const bool own = answer->own.state != RN_OUTCOME_NONE;
    if (own)
        rn_screen_say(page, "grids", "%d cells along the longer side for the map, %d for this plan%s", cells,
                      answer->cells, answer->best_own.state != RN_OUTCOME_NONE ? " and the safest" : "");
    else
        rn_screen_say(page, "grid", "%d cells along the longer side; nothing was confirmed on %d", cells,
                      answer->cells);
}

/* Where the two grids do not agree on a plan. */
static void say_doubt(rn_screen *page, const rn_window *window, const char *which, const rn_outcome *told,
                      const rn_outcome *own, int cells)
{
    const rn_goal *goal = rn_window_goal(window);
    const int coarse = rn_window_options_of(window).cells;
    if (told->state == RN_OUTCOME_NONE || own->state == RN_OUTCOME_NONE)
        return;
    const bool met = rn_goal_judge(goal, own).met;
    if (rn_goal_judge(goal, told).met != met)
        rn_screen_say(page, "mind", "%s works on %d cells and not on %d: the border lies close by; try --coarse %d.",
                      which, met ? cells : coarse, met ? coarse : cells, cells);
}

void rn_report_window_text(FILE *out, const rn_window *window, const rn_window_answer *answer,
                           const rn_search_facts *facts)
{
    rn_screen page = {.out = out};
    char text[RN_REPORT_WINDOW_SIZE];
    const rn_window_options options = rn_window_options_of(window);
    rn_report_window_headline(text, window, answer);
    rn_screen_say(&page, NULL, "%s", text);
    rn_report_window_own(text, window, answer);
    rn_screen_say(&page, NULL, "%s", text);
    if (facts->title && facts->title[0])
        rn_screen_say(&page, "plan", "%s", facts->title);
    if (own_of(answer)->state == RN_OUTCOME_WHOLE)
        rn_search_say_goal(&page, rn_window_goal(window), own_of(answer));
    say_safest(&page, window, answer);
    say_map(&page, window, answer);
    say_counts(&page, window);
    say_axis(&page, "across", rn_window_x(window), options.columns);
    say_axis(&page, "up", rn_window_y(window), options.rows);
    say_doubt(&page, window, "This plan", &answer->own_told, &answer->own, answer->cells);
    if (answer->found)
        say_doubt(&page, window, "The safest", &answer->best_told, &answer->best_own, answer->cells);
    say_grids(&page, window, answer);
    rn_search_say_facts(&page, facts);
    if (rn_window_told(window) > 0)
        rn_screen_say(&page, "", "%d tiles were run, %d told from their neighbours", rn_window_worked(window),
                      rn_window_told(window));
}

/* ---- a table ---- */

static const char *const kind_words[RN_TILE_KINDS] = {
    [RN_TILE_OPEN] = "open",       [RN_TILE_WORKS] = "works",   [RN_TILE_SHORT] = "short",
    [RN_TILE_SPILLED] = "run-off", [RN_TILE_PULLED] = "pulled", [RN_TILE_NONE] = "none",
};

/* What is told of each tile besides its place, in the order of the table. */
typedef struct figure {
    const char *name;
    double value;
} figure;

#define FIGURES 9

static void list_figures(figure figures[FIGURES], const rn_tile *tile)
{
    const rn_outcome *o = &tile->outcome;
    const bool known = o->state == RN_OUTCOME_WHOLE;
    const figure all[FIGURES] = {
        {"lack", known ? tile->lack : NAN},
        {"coverage", known ? o->coverage : NAN},
        {"covered_at_s", known ? o->covered_at : NAN},
        {"run_off_ml", known ? o->run_off * 1e6 : NAN},
        {"run_off_share", known ? rn_outcome_lost(o) : NAN},
        {"thinnest_mm", known ? o->thinnest * 1e3 : NAN},
        {"least_corner_mm", known ? rn_outcome_least_corner(o) * 1e3 : NAN},
        {"stretch", known && o->has_pattern ? o->stretch : NAN},
        {"twist_deg", known && o->has_pattern ? o->twist / RN_DEGREE : NAN},
    };
    memcpy(figures, all, sizeof all);
}

/* A field of the table, in quotes where it holds what would end it. */
static void put_field(FILE *out, const char *text)
{
    if (!strpbrk(text, ",\"\r\n")) {
        fputs(text, out);
        return;
    }
    putc('"', out);
    for (const char *c = text; *c; c++)
        fputs(*c == '"' ? "\"\"" : (char[]){*c, '\0'}, out);
    putc('"', out);
}

static void put_row(FILE *out, const rn_window *window, const rn_tile *tile)
{
    figure figures[FIGURES];
    list_figures(figures, tile);
    fprintf(out, "%.9g,%.9g,%s,%s", rn_dial_signed(rn_window_x(window), tile->x),
            rn_dial_signed(rn_window_y(window), tile->y), kind_words[tile->kind], tile->worked ? "yes" : "no");
    for (int i = 0; i < FIGURES; i++) {
        putc(',', out);
        if (isfinite(figures[i].value))
            fprintf(out, "%.9g", figures[i].value);
    }
    putc(',', out);
    put_field(out, tile->outcome.why);
    fputs("\n", out);
}

void rn_report_window_csv(FILE *out, const rn_window *window)
{
    const rn_window_options options = rn_window_options_of(window);
    const rn_tile none = {.outcome = {.state = RN_OUTCOME_NONE}};
    figure figures[FIGURES];
    list_figures(figures, &none);
    put_field(out, rn_window_x(window)->path);
    fputs("_si,", out);
    put_field(out, rn_window_y(window)->path);
    fputs("_si,kind,run", out);
    for (int i = 0; i < FIGURES; i++)
        fprintf(out, ",%s", figures[i].name);
    fputs(",why\n", out);
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++)
            put_row(out, window, rn_window_tile(window, column, row));
}

/* ---- JSON ---- */

static void put_axis(FILE *out, const char *name, const rn_dial *dial, int tiles)
{
    fprintf(out, "\"%s\": {", name);
    rn_search_put_dial(out, dial);
    fprintf(out, ", \"tiles\": %d, \"by_factors\": %s}", tiles, dial->logarithmic ? "true" : "false");
}

static void put_values(FILE *out, const rn_window *window, double x, double y)
{
    rn_search_put_number(out, "x_si", rn_dial_signed(rn_window_x(window), x));
    fputs(", ", out);
    rn_search_put_number(out, "y_si", rn_dial_signed(rn_window_y(window), y));
}

static void put_tile_place(FILE *out, const char *name, const rn_window *window, bool there, int column, int row)
{
    char place[PLACE_SIZE];
    fprintf(out, "\"%s\": ", name);
    if (!there) {
        fputs("null", out);
        return;
    }
    const rn_tile *tile = rn_window_tile(window, column, row);
    write_tile(place, window, column, row);
    fprintf(out, "{\"column\": %d, \"row\": %d, ", column, row);
    put_values(out, window, tile->x, tile->y);
    fputs(", ", out);
    rn_search_put_string(out, "values", place);
    fputs("}", out);
}

/* A plan on both grids. */
static void put_looks(FILE *out, const rn_window *window, const rn_outcome *told, const rn_outcome *own, int cells)
{
    const rn_outcome *outcomes[] = {told, own};
    const int grids[] = {rn_window_options_of(window).cells, cells};
    bool any = false;
    fputs("[", out);
    for (int i = 0; i < 2; i++) {
        if (outcomes[i]->state == RN_OUTCOME_NONE)
            continue;
        fprintf(out, "%s{\"cells\": %d, \"kind\": \"%s\", \"met\": %s, ", any ? ",\n    " : "\n    ", grids[i],
                kind_words[rn_window_kind(rn_window_goal(window), outcomes[i])],
                rn_goal_judge(rn_window_goal(window), outcomes[i]).met ? "true" : "false");
        rn_search_put_goal(out, rn_window_goal(window), outcomes[i]);
        fputs(",\n     \"outcome\": ", out);
        rn_search_put_outcome(out, outcomes[i]);
        fputs("}", out);
        any = true;
    }
    fputs(any ? "\n  ]" : "]", out);
}

static void put_best(FILE *out, const rn_window *window, const rn_window_answer *answer)
{
    const rn_window_best *best = &answer->best;
    put_tile_place(out, "safest", window, answer->found, best->column, best->row);
    fputs(",\n  \"room\": ", out);
    if (!answer->found) {
        fputs("null", out);
        return;
    }
    fputs("{", out);
    rn_search_put_number(out, "radius", best->radius);
    fputs(", ", out);
    rn_search_put_number(out, "x_from_si", rn_dial_signed(rn_window_x(window), best->x_less));
    fputs(", ", out);
    rn_search_put_number(out, "x_to_si", rn_dial_signed(rn_window_x(window), best->x_more));
    fputs(", ", out);
    rn_search_put_number(out, "y_from_si", rn_dial_signed(rn_window_y(window), best->y_less));
    fputs(", ", out);
    rn_search_put_number(out, "y_to_si", rn_dial_signed(rn_window_y(window), best->y_more));
    fprintf(out, ", \"ends_run\": %s, \"tiles_run\": %d, \"tiles_told\": %d}", answer->ends_run ? "true" : "false",
            answer->inside_run, answer->inside_told);
}

static void put_tile(FILE *out, const rn_window *window, const rn_tile *tile)
{
    figure figures[FIGURES];
    list_figures(figures, tile);
    fputs("{", out);
    put_values(out, window, tile->x, tile->y);
    fprintf(out, ", \"kind\": \"%s\", \"run\": %s", kind_words[tile->kind], tile->worked ? "true" : "false");
    for (int i = 0; i < FIGURES; i++) {
        fputs(", ", out);
        rn_search_put_number(out, figures[i].name, figures[i].value);
    }
    fputs(", ", out);
    rn_search_put_string(out, "why", tile->outcome.why);
    fputs("}", out);
}

static void put_counts(FILE *out, const rn_window *window)
{
    fputs("\"counts\": {", out);
    for (int kind = 0; kind < RN_TILE_KINDS; kind++)
        fprintf(out, "%s\"%s\": %d", kind ? ", " : "", kind_words[kind], rn_window_count(window, (rn_tile_kind)kind));
    fputs("}", out);
}

void rn_report_window_json(FILE *out, const rn_window *window, const rn_window_answer *answer,
                           const rn_search_facts *facts)
{
    const rn_window_options options = rn_window_options_of(window);
    char text[RN_REPORT_WINDOW_SIZE];
    fputs("{\n  ", out);
    rn_search_put_string(out, "title", facts->title ? facts->title : "");
    fputs(",\n  ", out);
    rn_report_window_headline(text, window, answer);
    rn_search_put_string(out, "says", text);
    fputs(",\n  ", out);
    rn_report_window_own(text, window, answer);
    rn_search_put_string(out, "says_of_plan", text);
    fputs(",\n  ", out);
    put_axis(out, "x", rn_window_x(window), options.columns);
    fputs(",\n  ", out);
    put_axis(out, "y", rn_window_y(window), options.rows);
    fprintf(out,
            ",\n  \"cells\": %d, \"confirmed_cells\": %d, \"pattern\": %s, \"every_tile\": %s, \"tiles_run\": %d, ",
            options.cells, answer->cells, options.pattern ? "true" : "false", options.every ? "true" : "false",
            rn_window_worked(window));
    rn_search_put_facts(out, facts);
    fputs(",\n  ", out);
    put_counts(out, window);
    fputs(",\n  ", out);
    put_best(out, window, answer);
    fputs(",\n  ", out);
    put_tile_place(out, "nearest", window, answer->has_nearest, answer->nearest_column, answer->nearest_row);
    fputs(",\n  ", out);
    put_tile_place(out, "closest", window, !answer->found && answer->closest_column >= 0, answer->closest_column,
                   answer->closest_row);
    fputs(",\n  \"plan_looks\": ", out);
    put_looks(out, window, &answer->own_told, &answer->own, answer->cells);
    fputs(",\n  \"safest_looks\": ", out);
    put_looks(out, window, &answer->best_told, &answer->best_own, answer->cells);
    fputs(",\n  \"tiles\": [", out);
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++) {
            fputs(row + column > 0 ? ",\n    " : "\n    ", out);
            put_tile(out, window, rn_window_tile(window, column, row));
        }
    fputs("\n  ]\n}\n", out);
}
