#include "canvas.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/units.h"
#include "parts.h"

#define TEXT_LEAST 10.4 /* smallest letters on a screen [pixels of the window's own measure] */
#define TARGET 24.0     /* least size of what is dragged */
#define APART 0.55      /* a picture so far from the time shown is of another moment [s] */
#define SIGN 22.0       /* room for the sign of a notice */

void canvas_handle(rv_canvas *canvas, rv_part part, int a, int b, rn_box box)
{
    rv_handles *handles = canvas->handles;
    if (handles->count < HANDLES_MOST)
        handles->list[handles->count++] = (rv_handle){{part, a, b}, box};
    else
        handles->lost++;
}

void canvas_grip(rv_canvas *canvas, rv_part part, int a, int b, double x, double y)
{
    canvas_handle(canvas, part, a, b, (rn_box){x - 0.5 * TARGET, y - 0.5 * TARGET, TARGET, TARGET});
}

bool canvas_is(rv_part_at what, rv_part part, int a, int b)
{
    return what.part == part && what.a == a && what.b == b;
}

bool canvas_focused(const rv_canvas *canvas, rv_part part, int a, int b)
{
    return canvas->view->focus_seen && canvas_is(canvas->view->focus, part, a, b);
}

bool canvas_dragged(const rv_canvas *canvas, rv_part part, int a, int b)
{
    return canvas_is(canvas->view->drag, part, a, b);
}

void canvas_knob(rv_canvas *canvas, double x, double y, double radius, double turn, bool focused)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_new_path(cr);
    cairo_arc(cr, x, y, radius, 0, 2 * RN_PI);
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_fill(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_ON_BRASS);
    cairo_set_line_width(cr, fmax(0.22 * radius, 1.1));
    const double c = cos(turn), s = sin(turn), half = 0.42 * radius, apart = 0.24 * radius;
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(cr, x + side * apart * c + half * s, y + side * apart * s - half * c);
        cairo_line_to(cr, x + side * apart * c - half * s, y + side * apart * s + half * c);
    }
    cairo_stroke(cr);
    if (!focused)
        return;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.5);
    cairo_arc(cr, x, y, radius + 4, 0, 2 * RN_PI);
    cairo_stroke(cr);
}

void canvas_plate(cairo_t *cr, rn_box box, double radius)
{
    const double x1 = box.x + box.width, y1 = box.y + box.height, r = radius;
    cairo_new_path(cr);
    cairo_arc(cr, x1 - r, box.y + r, r, -0.5 * RN_PI, 0);
    cairo_arc(cr, x1 - r, y1 - r, r, 0, 0.5 * RN_PI);
    cairo_arc(cr, box.x + r, y1 - r, r, 0.5 * RN_PI, RN_PI);
    cairo_arc(cr, box.x + r, box.y + r, r, RN_PI, 1.5 * RN_PI);
    cairo_close_path(cr);
}

void canvas_focus(rv_canvas *canvas, rn_box box)
{
    const double out = 4;
    canvas_plate(canvas->pen.cr, (rn_box){box.x - out, box.y - out, box.width + 2 * out, box.height + 2 * out}, 4);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(canvas->pen.cr, 1.5);
    cairo_stroke(canvas->pen.cr);
}

double canvas_least_size(const rv_canvas *canvas, double full)
{
    return fmin(full, TEXT_LEAST * canvas->view->ratio / canvas->at.scale);
}

/* Whether the text, set this way, has room there. */
static bool fits(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *text)
{
    const rn_box box = rn_pen_measure(&canvas->pen, x, y, letters, text);
    const double along = letters.turn ? box.height : box.width;
    return along <= most && box.x >= 0 && box.y >= 0 && box.x + box.width <= canvas->at.width &&
           box.y + box.height <= canvas->at.height && rn_pen_vacant(&canvas->pen, box, RN_BOX_GAP);
}

/* One text, at its size or smaller. */
static bool set(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *text)
{
    const double full = letters.size, least = canvas_least_size(canvas, full);
    for (letters.size = full; letters.size >= least - 1e-9; letters.size -= 0.5)
        if (fits(canvas, x, y, letters, most, text)) {
            rn_pen_text(&canvas->pen, x, y, letters, text);
            return true;
        }
    return false;
}

bool canvas_say(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *const wordings[])
{
    for (int k = 0; wordings[k]; k++)
        if (set(canvas, x, y, letters, most, wordings[k]))
            return true;
    return false;
}

bool canvas_words(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *text)
{
    char words[512];
    snprintf(words, sizeof words, "%s", text);
    letters.most = 0;
    letters.lines = 0;
    while (words[0]) {
        if (set(canvas, x, y, letters, most, words))
            return true;
        char *blank = strrchr(words, ' ');
        if (!blank)
            break;
        *blank = '\0';
    }
    return false;
}

bool canvas_apart(const rv_canvas *canvas, const rv_studio_picture *picture, const rn_plan *plan)
{
    const rv_view *view = canvas->view;
    const bool coming = (view->playing || view->drag.part != PART_NONE) && picture->wish.time != view->time;
    return !coming && fabs(picture->time - fmin(view->time, plan->end)) > APART;
}

rv_apart_words canvas_apart_words(const rv_studio_picture *picture)
{
    rv_apart_words words;
    snprintf(words.text, sizeof words.text, "face and drips at %.0f s", picture->time);
    snprintf(words.less, sizeof words.less, "seen at %.0f s", picture->time);
    return words;
}

bool canvas_notice(rv_canvas *canvas, double cx, double cy, double room, const char *const wordings[])
{
    static const double places[] = {0.26, 0.17, 0.35, 0.08, 0, -0.1, -0.2, -0.3}; /* below the middle, of the room */
    const rn_letters letters = {.size = 14, .bold = true, .role = RN_ROLE_INK};
    for (int k = 0; wordings[k]; k++)
        for (size_t place = 0; place < sizeof places / sizeof *places; place++) {
            const double y = cy + places[place] * room + 5;
            const double width = rn_pen_measure(&canvas->pen, 0, 0, letters, wordings[k]).width + SIGN;
            const double x = cx - 0.5 * width;
            const rn_box plate = {x - 10, y - 17, width + 20, 25};
            if (plate.width > 0.9 * room || !rn_pen_vacant(&canvas->pen, plate, RN_BOX_GAP))
                continue;
            canvas_plate(canvas->pen.cr, plate, 3);
            rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
            cairo_fill_preserve(canvas->pen.cr);
            rn_pen_use(&canvas->pen, RN_ROLE_LINE);
            cairo_set_line_width(canvas->pen.cr, 1);
            cairo_stroke(canvas->pen.cr);
            canvas_tile(canvas, x + 7, y - 4.5, TILE_UNKNOWN, 0);
            rn_pen_text(&canvas->pen, x + SIGN, y, letters, wordings[k]);
            return true;
        }
    return false;
}

const char *canvas_sense(double turn)
{
    return turn < 0 ? "↻" : "↺";
}

double canvas_volume_unit(const rv_canvas *canvas)
{
    return canvas->view->ounces ? RN_FLUID_OUNCE : 1e-6;
}

const char *canvas_volume(const rv_canvas *canvas, char *text, int size, double volume)
{
    return view_volume(text, size, canvas->view, volume);
}

bool canvas_moment(rn_moment *moment, const rv_studio_tale *tale, double time)
{
    if (!tale || !tale->record || tale->record->moment_count < 1)
        return false;
    const rn_record *record = tale->record;
    const rn_moment *all = record->moments;
    const int last = record->moment_count - 1;
    if (time > all[last].time + 1e-9)
        return false;
    int low = 0, high = last;
    while (low < high) { /* the first at or after `time` */
        const int middle = (low + high) / 2;
        if (all[middle].time < time)
            low = middle + 1;
        else
            high = middle;
    }
    *moment = all[low];
    if (low == 0 || all[low].time <= time)
        return true;
    const rn_moment *from = &all[low - 1], *to = &all[low];
    const double u = (time - from->time) / (to->time - from->time);
    moment->time = time;
    moment->released = from->released + u * (to->released - from->released);
    moment->coverage = from->coverage + u * (to->coverage - from->coverage);
    moment->wet_area = from->wet_area + u * (to->wet_area - from->wet_area);
    for (int k = 0; k < RN_SIDES; k++)
        moment->run_off[k] = from->run_off[k] + u * (to->run_off[k] - from->run_off[k]);
    for (int k = 0; k < RN_CORNERS; k++)
        moment->corner[k] = from->corner[k] + u * (to->corner[k] - from->corner[k]);
    moment->on_sides = from->on_sides + u * (to->on_sides - from->on_sides);
    moment->deepest = from->deepest + u * (to->deepest - from->deepest);
    moment->turned = from->turned + u * (to->turned - from->turned);
    moment->tilt = from->tilt + u * (to->tilt - from->tilt);
    moment->downhill = u < 0.5 ? from->downhill : to->downhill; /* a bearing does not run linearly over the turn */
    moment->rate = from->rate + u * (to->rate - from->rate);
    return true;
}

bool canvas_told(rn_moment *moment, const rv_canvas *canvas, const rv_studio_tale *tale,
                 const rv_studio_picture *picture)
{
    const double time = fmin(canvas->view->time, document_plan(canvas->view->doc)->end);
    if (canvas_moment(moment, tale, time))
        return true;
    if (!canvas->view->rehearsal.on || !tale || !tale->record || tale->record->moment_count < 1)
        return false;
    *moment = tale->record->moments[tale->record->moment_count - 1];
    /* A record keeps few moments of a long plan: the film that is seen may be further. */
    if (picture && picture->cells == tale->cells && picture->time > moment->time && picture->time <= time)
        *moment = picture->still->moment;
    return true;
}

static void find_empty_lanes(bool empty[LANES], const rn_plan *plan)
{
    for (int k = 0; k < LANES; k++)
        empty[k] = true;
    empty[LANE_RELEASE] = plan->pour_count == 0;
    for (int k = 0; k < plan->move_count; k++)
        switch (plan->moves[k].kind) {
        case RN_MOVE_TURN: empty[LANE_TURN] = false; break;
        case RN_MOVE_TILT: empty[LANE_TILT] = false; break;
        case RN_MOVE_SPIN: empty[LANE_SPIN] = false; break;
        case RN_MOVE_REST: empty[LANE_REST] = false; break;
        }
}

static bool bare_bench(const rv_view *view)
{
    const rn_plan *plan = document_plan(view->doc);
    return plan->paint_count == 0 && plan->pour_count == 0;
}

static void draw_bench(rv_canvas *canvas)
{
    outcome_draw(canvas);
    clock_draw(canvas);
    bench_draw(canvas);
    film_draw(canvas);
    dipstick_draw(canvas);
    level_draw(canvas);
    if (bare_bench(canvas->view)) {
        start_draw(canvas);
    } else {
        sheets_draw(canvas);
        core_draw(canvas);
    }
}

static void draw_page(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    name_draw(canvas);
    if (view->page == PAGE_SIDE) {
        side_draw(canvas);
        return;
    }
    shelf_draw(canvas);
    if (view->page == PAGE_WINDOW)
        works_draw(canvas);
    else
        draw_bench(canvas);
    if (view->slip.kind != SLIP_NONE) {
        canvas->pen.veil = (rn_box){0};
        slip_draw(canvas);
    }
}

static void draw_cover(rv_canvas *canvas)
{
    switch (canvas->view->cover) {
    case COVER_NONE: break;
    case COVER_KEYS: keys_draw(canvas); break;
    case COVER_CAUTIONS: cautions_draw(canvas); break;
    case COVER_MEND:
    case COVER_FILE: mend_draw(canvas); break;
    case COVER_LEAVE:
    case COVER_PATH:
    case COVER_REPLACE:
    case COVER_RECOVER: ask_draw(canvas); break;
    }
}

/* Where the first two texts that stand too close are. */
static void name_pair(rv_frame_check *check, const rn_pen *pen)
{
    for (int i = 0; i < pen->box_count; i++)
        for (int k = i + 1; k < pen->box_count; k++) {
            const rn_box *a = &pen->boxes[i], *b = &pen->boxes[k];
            if (a->x + a->width + RN_BOX_GAP <= b->x || b->x + b->width + RN_BOX_GAP <= a->x ||
                a->y + a->height + RN_BOX_GAP <= b->y || b->y + b->height + RN_BOX_GAP <= a->y)
                continue;
            snprintf(check->first, sizeof check->first, "%.0f x %.0f at %.0f, %.0f and %.0f x %.0f at %.0f, %.0f",
                     a->width, a->height, a->x, a->y, b->width, b->height, b->x, b->y);
            return;
        }
}

/* Adds what is wrong with the texts drawn so far and forgets them: what comes next lies on top. */
static void check_texts(rv_frame_check *check, rv_canvas *canvas)
{
    rn_pen *pen = &canvas->pen;
    if (check) {
        const int pairs = rn_pen_overlaps(pen);
        if (pairs && !check->overlaps)
            name_pair(check, pen);
        check->overlaps += pairs;
        check->lost += pen->box_lost;
        for (int k = 0; k < pen->box_count; k++) {
            const rn_box *box = &pen->boxes[k];
            check->outside += box->x < 0 || box->y < 0 || box->x + box->width > canvas->at.width ||
                              box->y + box->height > canvas->at.height;
        }
    }
    pen->box_count = pen->box_lost = 0;
}

bool canvas_frame(cairo_surface_t *surface, rv_view *view, const rv_shown shown[PLACE_COUNT], rv_frame_check *check)
{
    const rn_plan *plan = document_plan(view->doc);
    bool empty[LANES];
    find_empty_lanes(empty, plan);
    view->layout = layout_make(view->width, view->height, view->ratio, &plan->panel, empty);
    view->handles.count = view->handles.lost = view->handles.scroll_most = view->handles.scroll_page = 0;
    view->handles.arrives = false;

    cairo_t *cr = cairo_create(surface);
    rv_canvas canvas = {.at = view->layout, .view = view, .shown = shown, .handles = &view->handles};
    if (cairo_status(cr) != CAIRO_STATUS_SUCCESS || !rn_pen_init(&canvas.pen, cr, view->dark)) {
        cairo_destroy(cr);
        return false;
    }
    cairo_scale(cr, canvas.at.scale, canvas.at.scale);
    if (check) {
        canvas.pen.longer = check->longer;
        *check = (rv_frame_check){.longer = check->longer};
    }
    rn_pen_use(&canvas.pen, RN_ROLE_BENCH);
    cairo_paint(cr);
    if (view->slip.kind != SLIP_NONE && view->page != PAGE_SIDE)
        canvas.pen.veil = slip_box(&canvas);
    draw_page(&canvas);
    check_texts(check, &canvas);
    if (view->cover != COVER_NONE) {
        canvas.handles->count = 0; /* what lies under a cover cannot be pressed */
        draw_cover(&canvas);
        check_texts(check, &canvas);
    }
    rn_pen_clear(&canvas.pen);
    const bool drawn = cairo_status(cr) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    return drawn;
}
