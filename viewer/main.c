/* runnel-view: the window in which a pour is rehearsed. */
#include <math.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "app.h"
#include "base/file_place.h"
#include "base/text.h"
#include "base/units.h"
#include "keys.h"
#include "show/leaf.h"
#include "slip.h"
#include "window.h"

#define FRAME (1.0 / 60) /* the least time from frame to frame [s] */
#define ASLEEP 0.5       /* a still window looks up so often [s] */
#define SHOT_LONGEST 600 /* a picture is given up after so long [s] */
#define FRAMES_MOST 100000

enum { EXIT_DONE = 0, EXIT_USAGE = 2, EXIT_FAILED = 4 };

typedef struct command {
    const char *plan, *shot, *log;
    double at; /* [s]; NaN: the plan's end */
    int width, height, cells;
    bool light, still_hands, times, trio, slip, room, recovery;
    rv_page page;
    unsigned sheets;
} command;

static const char usage[] =
    "usage: runnel-view [PLAN] [options]\n"
    "\n"
    "Opens a plan on the bench: see it run, change it, rehearse it by hand, set plans side by side. F1 lists all "
    "keys.\n"
    "\n"
    "  --cells N        grid of the refined outcome, along the longer side: 64 to 512 (256)\n"
    "  --size WxH       of the window, 900x600 at least (1280x800)\n"
    "  --light          the light bench\n"
    "  --still-hands    nothing on screen moves by itself but the paint\n"
    "  --no-recovery    keep neither recent plans nor a bench for after a crash\n"
    "  --shot FILE      no window: draw what it would show, worked out, as PNG\n"
    "  --at TIME        the moment that a shot shows (the plan's end)\n"
    "  --page WORD      of a shot: bench, side or window\n"
    "  --sheet WORD     of a shot: face, depth, arrival, peel, stretch or section; may be repeated\n"
    "  --trio           of a shot: thin, usual and thick side by side\n"
    "  --slip           of a shot: the first jar's slip lies open\n"
    "  --room           of a shot: the panel turns, the reader stands still\n"
    "  --time           at the end say how long frames took\n"
    "  --log FILE       write what is shown, a line each time that it changes\n"
    "  --keys           print all keys as a table\n"
    "  --help, --version\n";

static bool word_of(int *which, const char *text, const char *const *words, int count)
{
    for (int k = 0; k < count; k++)
        if (strcmp(text, words[k]) == 0) {
            *which = k;
            return true;
        }
    return false;
}

/* On one line of standard error, whatever a file is called. */
__attribute__((format(printf, 1, 2))) static void say(const char *format, ...)
{
    char line[RN_PATH_SIZE + 512], shown[RN_PATH_SIZE + 512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line, sizeof line, format, arguments);
    va_end(arguments);
    fprintf(stderr, "runnel-view: %s\n", rn_text_show(shown, sizeof shown, line));
}

static bool wrong(const char *option, const char *text, const char *right)
{
    say("%s %s: write %s", option, text ? text : "", right);
    return false;
}

static bool take_value(command *c, const char *option, const char *text)
{
    static const char *const pages[] = {"bench", "side", "window"};
    static const char *const sheets[] = {"face", "depth", "arrival", "peel", "stretch", "section"};
    int which;
    rn_error err = {0};
    if (!text)
        return wrong(option, text, "a value after it");
    if (!strcmp(option, "--cells")) {
        double cells = 0;
        if (rn_units_read(&cells, NULL, text, RN_DIM_COUNT, 0, NULL) != RN_OK || !(cells >= 64 && cells <= 512))
            return wrong(option, text, "a number from 64 to 512");
        c->cells = (int)cells;
        return true;
    }
    if (!strcmp(option, "--size"))
        return (sscanf(text, "%dx%d", &c->width, &c->height) == 2 && c->width >= 900 && c->height >= 600 &&
                c->width <= 8192 && c->height <= 8192) ||
               wrong(option, text, "for example 1280x800, at least 900x600");
    if (!strcmp(option, "--at"))
        return rn_units_read(&c->at, NULL, text, RN_DIM_TIME, 0, &err) == RN_OK || wrong(option, text, "a time, 57 s");
    if (!strcmp(option, "--page")) {
        if (!word_of(&which, text, pages, PAGES))
            return wrong(option, text, "bench, side or window");
        c->page = (rv_page)which;
        return true;
    }
    if (!strcmp(option, "--sheet")) {
        if (!word_of(&which, text, sheets, SHEETS))
            return wrong(option, text, "face, depth, arrival, peel, stretch or section");
        c->sheets |= 1u << which;
        return true;
    }
    if (!strcmp(option, "--shot"))
        c->shot = text;
    else
        c->log = text;
    return true;
}

static bool read_command(command *c, int count, char **words)
{
    static const char *const valued[] = {"--cells", "--size", "--at", "--page", "--sheet", "--shot", "--log"};
    int which;
    for (int k = 1; k < count; k++) {
        const char *word = words[k];
        if (word_of(&which, word, valued, sizeof valued / sizeof *valued)) {
            if (!take_value(c, word, k + 1 < count ? words[k + 1] : NULL))
                return false;
            k++;
        } else if (!strcmp(word, "--light")) {
            c->light = true;
        } else if (!strcmp(word, "--still-hands")) {
            c->still_hands = true;
        } else if (!strcmp(word, "--no-recovery")) {
            c->recovery = false;
        } else if (!strcmp(word, "--time")) {
            c->times = true;
        } else if (!strcmp(word, "--trio")) {
            c->trio = true;
        } else if (!strcmp(word, "--slip")) {
            c->slip = true;
        } else if (!strcmp(word, "--room")) {
            c->room = true;
        } else if (word[0] == '-' && word[1]) {
            say("there is no %s; runnel-view --help lists what there is", word);
            return false;
        } else if (c->plan) {
            say("%s is one plan too many", word);
            return false;
        } else {
            c->plan = word;
        }
    }
    return true;
}

/* Neither the picture nor the log replaces the plan or the other. */
static bool keeps_all(const command *c)
{
    const char *const names[] = {c->plan, c->shot, c->log};
    for (int i = 0; i < 3; i++)
        for (int k = i + 1; k < 3; k++) {
            rn_file_place one, other;
            if (names[i] && names[k] && rn_file_place_find(&one, names[i]) && rn_file_place_find(&other, names[k]) &&
                rn_file_place_same(&one, &other)) {
                say("%s and %s are the same file: name another", names[i], names[k]);
                return false;
            }
        }
    return true;
}

/* ---- a picture without a window ---- */

static void tick(rv_app *app)
{
    const rv_input input = {.kind = INPUT_TICK, .now = window_clock()};
    app_apply(app, &input);
}

static void set_scene(rv_app *app, const command *c)
{
    rv_view *view = app_view(app);
    view->width = c->width;
    view->height = c->height;
    view->time = isnan(c->at) ? view_end(view) : fmin(c->at, view_end(view));
    view->page = c->page;
    view->room = c->room;
    if (c->sheets)
        view->sheets = c->sheets;
    if (c->trio) {
        const rv_input press = {.kind = INPUT_KEY, .key = 't', .now = window_clock()};
        app_apply(app, &press);
    }
    if (c->slip)
        view->slip = (rv_slip){SLIP_JAR, 0, SLIP_ROW_VOLUME};
}

/* Takes up answers until all is there that was asked for; nothing is drawn meanwhile. False if that takes too long. */
static bool await_all(rv_app *app, double until)
{
    for (;;) {
        tick(app);
        app_update(app);
        if (app_still(app))
            return true;
        if (window_clock() >= until)
            return false;
        nanosleep(&(struct timespec){0, 20000000}, NULL);
    }
}

static int shoot(rv_app *app, const command *c)
{
    rn_error err = {0};
    char text[sizeof err.file + sizeof err.message + 32];
    const double begun = window_clock();
    const rv_view *view = app_view(app);
    if (c->plan && view->cover == COVER_MEND)
        say("%s was not opened; the picture shows why", c->plan);
    set_scene(app, c);
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, c->width, c->height);
    bool good = cairo_surface_status(image) == CAIRO_STATUS_SUCCESS;
    tick(app);
    app_update(app);
    good = good && app_draw(app, image, NULL); /* finds out how large the panel is drawn, and so what is asked for */
    if (good && !await_all(app, begun + SHOT_LONGEST))
        say("not all is worked out after %d s; the picture shows what is", SHOT_LONGEST);
    good = good && app_draw(app, image, NULL);
    if (!good)
        say("there is no memory left for the picture");
    else if (rn_leaf_save(c->shot, stdout, image, &err) != RN_OK) {
        good = false;
        rn_error_text(&err, text, sizeof text);
        say("%s", text);
    }
    cairo_surface_destroy(image);
    return good ? EXIT_DONE : EXIT_FAILED;
}

/* ---- the window ---- */

typedef struct times {
    double begun, first; /* [s] */
    long count;
    float *draw, *show, *apart; /* of each frame [ms] */
} times;

static int by_size(const void *a, const void *b)
{
    const float x = *(const float *)a, y = *(const float *)b;
    return x < y ? -1 : x > y;
}

static void say_times(times *t)
{
    if (!t->count)
        return;
    const struct {
        const char *what;
        float *of;
    } rows[] = {{"drawing", t->draw}, {"showing", t->show}, {"frame to frame", t->apart}};
    printf("first picture after %.0f ms; %ld frames\n", 1e3 * (t->first - t->begun), t->count);
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        qsort(rows[k].of, (size_t)t->count, sizeof(float), by_size);
        printf("%-15s median %.1f ms, 95 %% under %.1f ms, at most %.1f ms\n", rows[k].what,
               (double)rows[k].of[t->count / 2], (double)rows[k].of[t->count * 95 / 100],
               (double)rows[k].of[t->count - 1]);
    }
}

/* One line for each change of what is shown. */
static void log_state(FILE *log, rv_app *app, char last[1024])
{
    const rv_view *view = app_view(app);
    const rv_shown *shown = app_shown(app, 0);
    char line[1024];
    const rv_studio_tale *tale = shown->tale;
    const rn_window *window = view->map ? view->map->window : NULL;
    snprintf(line, sizeof line,
             "page %d cover %d version %ld undo %d changed %d playing %d time %.1f rehearsal %d worked %.1f cells %d "
             "complete %d run-off %.2f picture %d columns %d tiles %d works %d mapped %d message %s",
             (int)view->page, (int)view->cover, document_version(view->doc), document_undo_depth(view->doc),
             document_changed(view->doc), view->playing, view->time, view->rehearsal.on, tale ? tale->solved : 0,
             tale ? tale->cells : 0, tale ? tale->complete : 0, tale ? tale->forecast.run_off * 1e6 : 0,
             shown->picture ? 1 : 0, view->column_count, window ? rn_window_worked(window) + view->map->note_count : 0,
             window ? rn_window_count(window, RN_TILE_WORKS) : 0, window && view->map->complete, view->message);
    if (strcmp(line, last) == 0)
        return;
    strcpy(last, line);
    fprintf(log, "%s\n", line);
    fflush(log);
}

static bool show_frame(rv_window *window, rv_app *app, cairo_surface_t **image, times *t, rn_error *err)
{
    const rv_view *view = app_view(app);
    const double begun = window_clock();
    if (!*image || cairo_image_surface_get_width(*image) != view->width ||
        cairo_image_surface_get_height(*image) != view->height) {
        if (*image)
            cairo_surface_destroy(*image);
        *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, view->width, view->height);
    }
    if (!app_draw(app, *image, NULL)) {
        rn_fail(err, RN_E_MEMORY, "no memory for a picture of the window");
        return false;
    }
    const double drawn = window_clock();
    if (window_show(window, *image, err) != RN_OK)
        return false;
    const double now = window_clock();
    if (!t->first)
        t->first = now;
    if (t->draw && t->count < FRAMES_MOST) {
        t->draw[t->count] = (float)(1e3 * (drawn - begun));
        t->show[t->count] = (float)(1e3 * (now - drawn));
        t->count++;
    }
    return true;
}

static void take_inputs(rv_window *window, rv_app *app, double wait)
{
    rv_input input;
    while (window_next(window, &input, wait)) {
        if (input.kind == INPUT_KEY && input.key == KEY_F1 + 10)
            window_full(window);
        else
            app_apply(app, &input);
        wait = 0;
    }
}

static void fit(rv_window *window, rv_app *app)
{
    rv_input size = {.kind = INPUT_SIZE, .now = window_clock()};
    window_size(window, &size.width, &size.height, &size.ratio);
    app_apply(app, &size);
}

static int run_window(rv_window *window, rv_app *app, const command *c, times *t)
{
    rn_error err = {0};
    cairo_surface_t *image = NULL;
    FILE *log = c->log ? fopen(c->log, "w") : NULL;
    char title[512], last_title[512] = "", last_line[1024] = "";
    double last = 0, previous = 0;
    bool good = true;
    if (c->log && !log) {
        say("--log %s: that cannot be written", c->log);
        return EXIT_FAILED;
    }
    fit(window, app);
    while (good && !app_leaves(app)) {
        const bool moves = view_moves(app_view(app));
        const double due = last + FRAME - window_clock();
        take_inputs(window, app, moves ? fmax(due, 0) : due > 0 ? due : ASLEEP);
        tick(app);
        if (!app_update(app))
            continue;
        const double begun = window_clock();
        good = show_frame(window, app, &image, t, &err);
        if (t->apart && t->count > 0 && t->count <= FRAMES_MOST)
            t->apart[t->count - 1] = (float)(1e3 * (previous > 0 && moves ? begun - previous : FRAME));
        previous = last = begun;
        app_title(title, sizeof title, app);
        if (strcmp(title, last_title) != 0)
            window_title(window, title);
        strcpy(last_title, title);
        if (log)
            log_state(log, app, last_line);
    }
    if (log)
        fclose(log);
    if (image)
        cairo_surface_destroy(image);
    if (!good)
        say("%s", err.message);
    return good ? EXIT_DONE : EXIT_FAILED;
}

static int begin(const command *c)
{
    rn_error err = {0};
    rv_window *window = NULL;
    rv_app *app = NULL;
    times t = {.begun = window_clock()};
    rv_app_options options = app_defaults();
    options.cells = c->cells;
    options.keeps = c->recovery && !c->shot;
    if (!c->shot && window_open(&window, c->width, c->height, &err) != RN_OK) {
        say("%s", err.message);
        return EXIT_FAILED;
    }
    options.wake = window ? window_wake : NULL;
    options.context = window;
    int left = EXIT_FAILED;
    if (app_new(&app, options, &err) != RN_OK) {
        say("%s", err.message);
    } else {
        app_view(app)->dark = !c->light;
        app_view(app)->still_hands = c->still_hands;
        if (c->plan)
            app_open(app, c->plan);
        if (c->times) {
            t.draw = calloc(3 * FRAMES_MOST, sizeof(float));
            t.show = t.draw ? t.draw + FRAMES_MOST : NULL;
            t.apart = t.draw ? t.show + FRAMES_MOST : NULL;
        }
        left = window ? run_window(window, app, c, &t) : shoot(app, c);
        if (c->times)
            say_times(&t);
        free(t.draw);
    }
    app_free(app); /* its threads wake the window: they end first */
    if (window)
        window_close(window);
    return left;
}

int main(int count, char **words)
{
    command c = {.at = NAN, .width = 1280, .height = 800, .cells = 256, .recovery = true};
    for (int k = 1; k < count; k++) {
        if (!strcmp(words[k], "--help")) {
            fputs(usage, stdout);
            return EXIT_DONE;
        }
        if (!strcmp(words[k], "--keys")) {
            char *keys = keys_markdown();
            fputs(keys ? keys : "", stdout);
            free(keys);
            return EXIT_DONE;
        }
        if (!strcmp(words[k], "--version")) {
            puts("runnel-view " RN_VERSION);
            return EXIT_DONE;
        }
    }
    signal(SIGXFSZ, SIG_IGN); /* a file that may not grow is then an error of writing */
    if (!read_command(&c, count, words) || !keeps_all(&c))
        return EXIT_USAGE;
    return begin(&c);
}
