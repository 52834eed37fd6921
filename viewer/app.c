#define _XOPEN_SOURCE 700 /* realpath */

#include "app.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "chooser.h"
#include "desk.h"
#include "filing.h"
#include "recovery.h"
#include "show/leaf.h"

#define FACE_CELLS 128 /* of the faces along a row: on fewer, bands about the middle come out ragged */
#define KEEP_EVERY 5.0 /* the bench, at most so often [s] */

struct rv_app {
    rv_app_options options;
    rv_view *view;
    rv_desk_options desk_options;
    rv_desk desks[PLACE_COUNT];
    rv_shown shown[PLACE_COUNT]; /* for the frame */
    rv_mapping *mapping;
    rv_chooser chooser;
    rv_errand asked; /* what the chooser was opened for */
    bool leaves;
    long kept; /* version of the bench that was kept last */
    double kept_at;
    rv_left_bench left;
    bool told;    /* of that bench, where it is not offered */
    bool changed; /* since the last frame */
};

rv_app_options app_defaults(void)
{
    return (rv_app_options){.cells = 256, .preview = 96, .points = 512, .keeps = true, .asks = true, .caches = true};
}

rv_view *app_view(rv_app *app)
{
    return app->view;
}

bool app_leaves(const rv_app *app)
{
    return app->leaves;
}

const rv_shown *app_shown(const rv_app *app, int place)
{
    return &app->desks[place].shown;
}

void app_title(char *text, int size, const rv_app *app)
{
    const rv_document *doc = app->view->doc;
    snprintf(text, (size_t)size, "%s%s - runnel", document_name(doc), document_changed(doc) ? " *" : "");
}

/* ---- what an empty bench can begin from ---- */

/* The folder that the program lies in, links followed; false where the system does not tell. */
static bool find_own_folder(char folder[DOCUMENT_PATH_SIZE])
{
    const ssize_t length = readlink("/proc/self/exe", folder, DOCUMENT_PATH_SIZE - 1);
    folder[length > 0 ? length : 0] = '\0';
    char *slash = strrchr(folder, '/');
    if (slash)
        *slash = '\0';
    return slash != NULL;
}

static bool find_preset(char *path, size_t size, const char *name)
{
    static const char *const places[] = {RN_PRESETS_INSTALLED, RN_PRESETS_BUILT}; /* seen from there */
    char folder[DOCUMENT_PATH_SIZE];
    if (!find_own_folder(folder))
        return false;
    for (size_t k = 0; k < sizeof places / sizeof *places; k++) {
        const int length = snprintf(path, size, "%s/%s/%s", folder, places[k], name);
        char *real = length < (int)size && access(path, R_OK) == 0 ? realpath(path, NULL) : NULL;
        const bool found = real && strlen(real) < size;
        if (found) /* as a person would write it */
            snprintf(path, size, "%s", real);
        free(real);
        if (found)
            return true;
    }
    return false;
}

static void list_starts(rv_app *app)
{
    static const struct {
        const char *file, *title, *note;
    } presets[] = {{"tide-table.yaml", "Four-colour ring", "an example, 12 × 12 in"},
                   {"two-cups.yaml", "Two cups", "an example, laid on top"}};
    rv_view *view = app->view;
    view->start_count = 0;
    if (app->left.plan) { /* what may be lost comes first */
        rv_start *start = &view->starts[view->start_count++];
        *start = (rv_start){.kind = START_LEFT};
        snprintf(start->title, sizeof start->title, "Left unsaved");
        snprintf(start->note, sizeof start->note, "%s, %.60s", view->left_when, view->left);
    }
    for (size_t k = 0; k < sizeof presets / sizeof *presets; k++) {
        rv_start *start = &view->starts[view->start_count];
        *start = (rv_start){0};
        if (!find_preset(start->path, sizeof start->path, presets[k].file))
            continue;
        snprintf(start->title, sizeof start->title, "%s", presets[k].title);
        snprintf(start->note, sizeof start->note, "%s", presets[k].note);
        view->start_count++;
    }
    rv_recent *recent = app->options.keeps ? malloc(sizeof *recent) : NULL;
    if (!recent)
        return;
    recent_read(recent);
    view->recent_count = 0;
    for (int k = 0; k < recent->count && k < RECENTS_SHOWN; k++)
        snprintf(view->recents[view->recent_count++], sizeof *view->recents, "%s", recent->paths[k]);
    if (recent->count > 0) {
        rv_start *start = &view->starts[view->start_count++];
        *start = (rv_start){.kind = START_LAST};
        const char *slash = strrchr(recent->paths[0], '/');
        snprintf(start->title, sizeof start->title, "The last plan");
        snprintf(start->note, sizeof start->note, "%.*s", (int)sizeof start->note - 1,
                 slash ? slash + 1 : recent->paths[0]);
        snprintf(start->path, sizeof start->path, "%s", recent->paths[0]);
    }
    free(recent);
}

/* ---- making and ending ---- */

/* The newest bench that was left behind, if there is one. */
static void find_left(rv_app *app)
{
    rv_view *view = app->view;
    const time_t now = time(NULL);
    struct tm when = {0}, today = {0};
    if (!app->options.keeps || !recovery_find(&app->left))
        return;
    localtime_r(&app->left.when, &when);
    localtime_r(&now, &today);
    const bool same = when.tm_yday == today.tm_yday && when.tm_year == today.tm_year;
    strftime(view->left_when, sizeof view->left_when, same ? "at %H:%M" : "on %e %B at %H:%M", &when);
    snprintf(view->left, sizeof view->left, "%.120s",
             app->left.plan->title[0] ? app->left.plan->title : "a plan without a name");
}

/* Whoever began with a plan meant that one: of a bench left behind there is a word, once. */
static void tell_left(rv_app *app)
{
    rv_view *view = app->view;
    app->told = app->told || view->cover == COVER_RECOVER;
    if (!app->left.plan || app->told || view->cover != COVER_NONE || view->message[0])
        return;
    app->told = app->changed = true;
    view_say(view, false, "A bench was left %s: Ctrl+R restores it.", view->left_when);
}

static rn_status new_mapping(rv_app *app, rn_error *err)
{
    const rv_app_options *own = &app->options;
    const rv_mapping_options options = {.survey = {.threads = own->threads,
                                                   .caches = own->caches && !own->model,
                                                   .model = own->model,
                                                   .model_context = own->model_context,
                                                   .wake = own->wake,
                                                   .context = own->context},
                                        .face_cells = own->cells < FACE_CELLS ? own->cells : FACE_CELLS,
                                        .face_points = own->points * 5 / 8};
    return mapping_new(&app->mapping, options, err);
}

rn_status app_new(rv_app **made, rv_app_options options, rn_error *err)
{
    rv_app *app = calloc(1, sizeof *app);
    if (!app || !(app->view = view_new())) {
        free(app);
        return rn_fail(err, RN_E_MEMORY, "no memory to begin");
    }
    app->options = options;
    /* A first look on a finer grid than the last would never give way to it. */
    app->options.preview = options.preview < options.cells ? options.preview : options.cells;
    app->desk_options = (rv_desk_options){.cells = options.cells,
                                          .preview = app->options.preview,
                                          .points = options.points,
                                          .threads = options.threads,
                                          .wake = options.wake,
                                          .context = options.context};
    rn_status status = desk_new_bench(&app->desks[PLACE_BENCH], &app->desk_options, err);
    for (int k = 1; k < PLACE_COUNT; k++)
        app->desks[k].place = k;
    if (status == RN_OK)
        status = new_mapping(app, err);
    if (status != RN_OK) {
        app_free(app);
        return status;
    }
    app->view->finest = options.cells;
    find_left(app);
    list_starts(app);
    if (app->left.plan)
        app->view->cover = COVER_RECOVER;
    app->kept = document_version(app->view->doc);
    app->changed = true;
    *made = app;
    return RN_OK;
}

void app_free(rv_app *app)
{
    if (!app)
        return;
    for (int k = 0; k < PLACE_COUNT; k++)
        desk_clear(&app->desks[k]);
    mapping_free(app->mapping);
    chooser_close(&app->chooser);
    if (app->options.keeps && app->leaves)
        recovery_drop();
    recovery_clear(&app->left, false);
    view_free(app->view);
    free(app);
}

void app_open(rv_app *app, const char *path)
{
    view_open(app->view, path);
    if (app->view->cover == COVER_NONE && app->options.keeps) {
        recent_add(path);
        list_starts(app);
    }
    app->changed = true;
}

/* ---- errands ---- */

/* What was set aside lies beside the file: its folder need not be said. */
static void say_saved(rv_app *app)
{
    const char *path = document_path(app->view->doc), *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const rv_wording aside = document_set_aside(app->view->doc);
    if (aside == WORDING_OWN)
        view_say(app->view, false, "Saved: %s", path);
    else
        view_say(app->view, false, "Saved: %s, written anew: %s in %s~", name,
                 aside == WORDING_COMMENTED ? "its comments are" : "as it was worded it is", name);
}

static void save(rv_app *app, const char *path)
{
    rn_error err = {0};
    if (document_save(app->view->doc, path, &err) != RN_OK) {
        if (path) { /* another name may do; what waits for the saving goes on waiting */
            view_ask_again(app->view, ERRAND_SAVE_AS, path, err.message);
            return;
        }
        view_say(app->view, true, "Not saved: %s. The plan is still on the bench.", err.message);
        app->view->then = (rv_errand_slip){0};
        return;
    }
    say_saved(app);
    if (app->options.keeps) {
        recent_add(document_path(app->view->doc));
        list_starts(app);
        recovery_drop();
        app->kept = document_version(app->view->doc);
    }
    app->view->errand = app->view->then; /* what waited for it */
    app->view->then = (rv_errand_slip){0};
}

/* ---- pictures of what is shown ---- */

typedef struct shown_page {
    rv_app *app;
} shown_page;

static double page_height(rn_pen *pen, const void *matter)
{
    (void)pen;
    return ((const shown_page *)matter)->app->view->layout.height;
}

static bool page_draw(rn_pen *pen, double height, const void *matter)
{
    (void)height;
    return app_draw(((const shown_page *)matter)->app, cairo_get_target(pen->cr), NULL);
}

/* What the window shows: a PDF or SVG of its size, a PNG of twice that, so that it can be printed. */
static void picture(rv_app *app, const char *path)
{
    rv_view *view = app->view;
    const int width = view->width, height = view->height;
    const double ratio = view->ratio;
    rn_error err = {0};
    const char *ending = strrchr(path, '.');
    const bool pixels = ending && strcasecmp(ending, ".png") == 0;
    if (document_is_at(view->doc, path)) {
        view_ask_again(view, ERRAND_PICTURE, path, "That is the plan itself: a picture needs a file of its own.");
        return;
    }
    if (pixels) {
        view->width = 2 * width;
        view->height = 2 * height;
        view->ratio = 2 * ratio;
    }
    const shown_page page = {app};
    const rn_leaf leaf = {.title = document_name(view->doc),
                          .page_width = view->layout.width,
                          .matter = &page,
                          .height = page_height,
                          .draw = page_draw};
    const rn_figure_options options = {.width = view->width, .dark = view->dark};
    const rn_status status = rn_leaf_write(path, NULL, &leaf, options, &err);
    view->width = width;
    view->height = height;
    view->ratio = ratio;
    if (status == RN_OK)
        view_say(view, false, "Drawn: %s", path);
    else
        view_ask_again(view, ERRAND_PICTURE, path, err.message);
}

static void start_from(rv_app *app, int number)
{
    rv_view *view = app->view;
    if (number < 0) {
        rn_plan *plan = rn_plan_new();
        if (!plan)
            return;
        document_put(view->doc, plan, "", false);
        view_fresh(view);
    } else if (number < view->start_count && view->starts[number].kind == START_LEFT) {
        view->cover = COVER_RECOVER;
    } else if (number < view->start_count) {
        app_open(app, view->starts[number].path);
    }
}

/* Its file goes only when all that is in it is kept as this program's own bench. */
static bool take_up(rv_app *app)
{
    rv_view *view = app->view;
    document_put(view->doc, app->left.plan, app->left.path, true);
    app->left.plan = NULL;
    view_fresh(view);
    return recovery_keep(document_plan(view->doc), document_path(view->doc));
}

static void recover(rv_app *app, bool take)
{
    rv_view *view = app->view;
    if (!app->left.plan)
        return;
    const bool done = !take || take_up(app);
    recovery_clear(&app->left, done);
    app->told = true;
    if (done) /* one that stays would only be found again */
        find_left(app);
    list_starts(app);
    if (!take)
        view->cover = app->left.plan ? COVER_RECOVER : view->cover;
    else if (app->left.plan)
        view_say(view, false, "As it was left. Ctrl+S saves it. Another was left %s: Ctrl+R.", view->left_when);
    else
        view_say(view, false, "As it was left. Ctrl+S saves it.");
}

/* By the desktop's dialog, or typed. */
static void ask(rv_app *app, rv_errand what)
{
    static const char *const titles[] = {[ERRAND_OPEN] = "Open a plan",
                                         [ERRAND_SAVE] = "Save the plan",
                                         [ERRAND_SAVE_AS] = "Save the plan",
                                         [ERRAND_PICTURE] = "Save a picture (.png, .pdf or .svg)"};
    char folder[DOCUMENT_PATH_SIZE], name[TYPING_SIZE], path[CHOOSER_SIZE];
    filing_folder(folder, app->view->doc);
    filing_propose(name, sizeof name, app->view->doc, what, folder);
    const int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    if (app->options.asks && chooser_there() && length < (int)sizeof path &&
        chooser_open(&app->chooser, what != ERRAND_OPEN, titles[what], path)) {
        app->asked = what;
        return;
    }
    view_ask_path(app->view, what);
}

static void run_errands(rv_app *app)
{
    char path[CHOOSER_SIZE];
    if (chooser_done(&app->chooser, path)) {
        app->changed = true;
        if (path[0])
            view_take_path(app->view, app->asked, path);
        else
            app->view->then = (rv_errand_slip){0};
    }
    const rv_errand_slip errand = view_take_errand(app->view);
    if (errand.what == ERRAND_NONE)
        return;
    app->changed = true;
    switch (errand.what) {
    case ERRAND_NONE: break;
    case ERRAND_OPEN:
    case ERRAND_PICTURE:
        if (errand.path[0])
            errand.what == ERRAND_OPEN ? app_open(app, errand.path) : picture(app, errand.path);
        else
            ask(app, errand.what);
        break;
    case ERRAND_SAVE:
    case ERRAND_SAVE_AS:
        if (errand.path[0])
            save(app, errand.path);
        else if (errand.what == ERRAND_SAVE && document_path(app->view->doc)[0])
            save(app, NULL);
        else
            ask(app, ERRAND_SAVE_AS);
        break;
    case ERRAND_QUIT: app->leaves = true; break;
    case ERRAND_START: start_from(app, errand.number); break;
    case ERRAND_RECOVER:
    case ERRAND_FORGET: recover(app, errand.what == ERRAND_RECOVER); break;
    case ERRAND_ASK: mapping_ask(app->mapping, app->view, (rv_question)errand.number); break;
    case ERRAND_ASK_NOT: mapping_ask_not(app->mapping); break;
    }
}

static void keep_bench(rv_app *app)
{
    rv_document *doc = app->view->doc;
    const long version = document_version(doc);
    if (!app->options.keeps || version == app->kept || app->view->now - app->kept_at < KEEP_EVERY)
        return;
    app->kept = version;
    app->kept_at = app->view->now;
    if (document_changed(doc))
        recovery_keep(document_plan(doc), document_path(doc));
    else
        recovery_drop();
}

static void mind_mapping(rv_app *app)
{
    const rv_view *view = app->view;
    const bool busy = view->playing || (view->drag.part != PART_NONE && view->page != PAGE_WINDOW);
    if (mapping_update(app->mapping, app->view, busy))
        app->changed = true;
}

void app_apply(rv_app *app, const rv_input *input)
{
    const bool before = view_moves(app->view);
    view_apply(app->view, input);
    if (input->kind != INPUT_TICK || before)
        app->changed = true;
}

/* Until when all that is on the page can be shown; a plan that ends sooner holds nothing up. */
static double solved(const rv_app *app)
{
    double until = INFINITY;
    for (int k = 0; k < PLACE_COUNT; k++) {
        const rv_desk *d = &app->desks[k];
        if (!view_on_page(app->view, k))
            continue;
        const double traced = fmax(d->quick_traced, d->fine_traced);
        until = fmin(until, d->told && traced >= d->told->end ? INFINITY : traced);
    }
    return fmin(until, view_end(app->view));
}

bool app_update(rv_app *app)
{
    run_errands(app);
    tell_left(app);
    for (int k = 0; k < PLACE_COUNT; k++) {
        desk_update(&app->desks[k], &app->desk_options, app->view);
        app->changed = app->changed || app->desks[k].changed;
        app->desks[k].changed = false;
    }
    app->view->solved = solved(app);
    mind_mapping(app);
    keep_bench(app);
    const bool changed = app->changed || view_moves(app->view);
    app->changed = false;
    return changed;
}

bool app_draw(rv_app *app, cairo_surface_t *surface, rv_frame_check *check)
{
    for (int k = 0; k < PLACE_COUNT; k++)
        app->shown[k] = app->desks[k].shown;
    return canvas_frame(surface, app->view, app->shown, check);
}

bool app_still(const rv_app *app)
{
    const rv_view *view = app->view;
    if (view->page == PAGE_WINDOW)
        return mapping_still(app->mapping, view);
    for (int k = 0; k < PLACE_COUNT; k++)
        if (view_on_page(view, k) && !desk_still(&app->desks[k], app->options.cells, view))
            return false;
    return true;
}
