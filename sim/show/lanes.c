/* The lanes of the clock. Releases stand as blocks of their paints, as wide as they last and as high as they flow;
   turns and spins are twisted cords, one twist for each turn; a tilt is a wedge as high as its angle, with arrows
   downhill; rests are dots. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/physical.h"
#include "show/clock.h"

#define BLOCK_LEAST 4.0 /* width of an instant burst */

typedef enum lane_kind { LANE_RELEASE, LANE_TURN, LANE_TILT, LANE_SPIN, LANE_REST, LANES } lane_kind;

typedef struct lane {
    const char *name;
    double height;
} lane;

static const lane lanes[LANES] = {
    {"release", 50.0}, {"turn", 32.0}, {"tilt", 36.0}, {"spin", 32.0}, {"rest", 22.0},
};

static int count_moves(const rn_plan *plan, rn_move_kind kind)
{
    int count = 0;
    for (int i = 0; i < plan->move_count; i++)
        count += plan->moves[i].kind == kind;
    return count;
}

static bool lane_is_used(const rn_plan *plan, lane_kind kind)
{
    switch (kind) {
    case LANE_RELEASE: return plan->pour_count > 0;
    case LANE_TURN: return count_moves(plan, RN_MOVE_TURN) > 0;
    case LANE_TILT: return count_moves(plan, RN_MOVE_TILT) > 0;
    case LANE_SPIN: return count_moves(plan, RN_MOVE_SPIN) > 0;
    case LANE_REST:
    case LANES: break;
    }
    return true;
}

double rn_lanes_height(const rn_plan *plan)
{
    double height = 0.0;
    for (int k = 0; k < LANES; k++)
        height += lane_is_used(plan, (lane_kind)k) ? lanes[k].height : 0.0;
    return height;
}

/* ---- releases ---- */

/* What of a burst is which paint: walks the stack, laid `repeat` times, from volume v0 to v1. */
typedef void piece_seen(void *context, int paint, double share);

static void walk_stack(const rn_pour *pour, double v0, double v1, piece_seen *seen, void *context)
{
    double passed = 0.0;
    const int repeats = pour->repeat > 0 ? pour->repeat : 1;
    for (int r = 0; r < repeats; r++)
        for (int k = 0; k < pour->layer_count; k++) {
            const double volume = pour->stack[k].volume / repeats;
            const double from = fmax(v0, passed), to = fmin(v1, passed + volume);
            if (to > from)
                seen(context, pour->stack[k].paint, (to - from) / (v1 - v0));
            passed += volume;
        }
}

typedef struct block {
    rn_pen *pen;
    const rn_plan *plan;
    double x, width, foot, height; /* foot moves up as pieces are laid */
} block;

static void draw_piece(void *context, int paint, double share)
{
    block *b = context;
    const double height = share * b->height;
    rn_pen_use_rgb(b->pen, b->plan->paints[paint].colour);
    cairo_rectangle(b->pen->cr, b->x, b->foot - height, b->width, height);
    cairo_fill(b->pen->cr);
    b->foot -= height;
}

static double seconds_of(const rn_clock *clock, double units)
{
    return units * clock->end / (clock->x1 - clock->x0);
}

/* Mean flow of a burst as the picture shows it [m3/s]. */
static double burst_rate(const rn_clock *clock, const rn_source *source, int burst)
{
    return source->volume * source->share[burst] / fmax(source->open, seconds_of(clock, BLOCK_LEAST));
}

static void draw_burst(rn_pen *pen, const rn_clock *clock, const rn_pour *pour, const rn_source *source, int burst,
                       double foot, double height)
{
    double v0 = 0.0;
    for (int k = 0; k < burst; k++)
        v0 += source->volume * source->share[k];
    const double v1 = v0 + source->volume * source->share[burst];
    const double start = source->start + burst * source->every;
    if (!(v1 > v0) || start >= clock->end)
        return;
    block b = {.pen = pen, .plan = clock->plan, .x = rn_clock_x(clock, start), .foot = foot, .height = height};
    b.width = fmax(rn_clock_x(clock, fmin(start + source->open, clock->end)) - b.x, BLOCK_LEAST);
    if (b.width > 12.0) { /* bursts that touch stay countable */
        b.x += 0.75;
        b.width -= 1.5;
    }
    walk_stack(pour, v0, v1, draw_piece, &b);
    cairo_rectangle(pen->cr, b.x, foot - height, b.width, height);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(pen->cr, 1.0);
    cairo_stroke(pen->cr);
}

static void draw_releases(rn_pen *pen, const rn_clock *clock, double top, double foot, char *note, size_t size)
{
    double fastest = 0.0, volume = 0.0;
    int bursts = 0;
    for (int pass = 0; pass < 2; pass++)
        for (int p = 0; p < clock->plan->pour_count; p++) {
            const rn_pour *pour = &clock->plan->pours[p];
            rn_source source = rn_pour_source(clock->plan, pour);
            for (int k = 0; k < source.bursts; k++) {
                const double rate = burst_rate(clock, &source, k);
                if (pass == 0)
                    fastest = fmax(fastest, rate);
                else
                    draw_burst(pen, clock, pour, &source, k, foot, fmax(5.0, (foot - top) * rate / fastest));
            }
            volume += pass ? 0.0 : source.volume;
            bursts += pass ? 0 : source.bursts;
        }
    snprintf(note, size, "%.4g ml, %d burst%s", volume * 1e6, bursts, bursts == 1 ? "" : "s");
}

/* ---- moves ---- */

static const rn_panel level = {.width = 1.0, .height = 1.0};

/* Two strands that cross once for each turn. */
static void draw_cord(rn_pen *pen, const rn_clock *clock, const rn_move *move, double middle, double reach)
{
    const double x0 = rn_clock_x(clock, move->start);
    const double x1 = fmin(rn_clock_x(clock, move->start + move->duration), clock->x1);
    const double turns = fabs(rn_motion_pose(move, 1, &level, move->start + move->duration).turned) / (2.0 * RN_PI);
    const int points = 2 + (int)fmin(fmax(x1 - x0, 30.0 * turns), 6000.0);
    for (int strand = -1; strand <= 1; strand += 2) {
        for (int k = 0; k <= points; k++) {
            const double x = x0 + (x1 - x0) * k / points;
            const double time =
                x / (clock->x1 - clock->x0) * clock->end - clock->x0 / (clock->x1 - clock->x0) * clock->end;
            const double turned = rn_motion_pose(move, 1, &level, time).turned;
            cairo_line_to(pen->cr, x, middle + strand * reach * sin(0.5 * turned));
        }
        if (strand < 0)
            cairo_new_sub_path(pen->cr);
    }
    rn_pen_use(pen, RN_ROLE_HAIR);
    cairo_set_fill_rule(pen->cr, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.4);
    cairo_stroke(pen->cr);
    rn_pen_line(pen, RN_ROLE_INK, 1.6, x0, middle - 0.6 * reach, x0, middle + 0.6 * reach);
    rn_pen_line(pen, RN_ROLE_INK, 1.6, x1, middle - 0.6 * reach, x1, middle + 0.6 * reach);
}

static void draw_arrow(rn_pen *pen, double x, double y, double bearing, double length)
{
    cairo_save(pen->cr);
    cairo_translate(pen->cr, x, y);
    cairo_rotate(pen->cr, -bearing);
    cairo_move_to(pen->cr, -0.5 * length, 0.0);
    cairo_line_to(pen->cr, 0.5 * length, 0.0);
    cairo_move_to(pen->cr, 0.5 * length - 3.6, -3.4);
    cairo_line_to(pen->cr, 0.5 * length, 0.0);
    cairo_line_to(pen->cr, 0.5 * length - 3.6, 3.4);
    cairo_restore(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.5);
    cairo_stroke(pen->cr);
}

static void draw_wedge(rn_pen *pen, const rn_clock *clock, const rn_move *move, double foot, double height)
{
    const double x0 = rn_clock_x(clock, move->start), x1 = rn_clock_x(clock, move->start + move->duration);
    enum { POINTS = 80 };
    cairo_move_to(pen->cr, x0, foot);
    for (int k = 0; k <= POINTS; k++) {
        const double time = move->start + move->duration * k / POINTS;
        const double share = move->amount > 0.0 ? rn_motion_pose(move, 1, &level, time).tilt / move->amount : 0.0;
        cairo_line_to(pen->cr, x0 + (x1 - x0) * k / POINTS, foot - height * share);
    }
    cairo_line_to(pen->cr, x1, foot);
    rn_pen_use(pen, RN_ROLE_HAIR);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.4);
    cairo_stroke(pen->cr);

    const double width = x1 - x0;
    if (width < 9.0 || height < 7.0)
        return;
    const int arrows = width < 60.0 ? 1 : (int)fmin(width / 40.0, 8.0);
    for (int k = 0; k < arrows; k++) {
        const double share = (k + 0.5) / arrows;
        /* As the panel truly slopes: bench, other moves and the turning of a slope fixed in the room included. */
        const rn_pose pose = rn_motion_pose(clock->plan->moves, clock->plan->move_count, &clock->plan->panel,
                                            move->start + share * move->duration);
        draw_arrow(pen, x0 + share * width, foot - 0.5 * height, pose.downhill, fmin(13.0, width - 4.0));
    }
}

/* Draws the moves of one kind and says the greatest: "4 times, to 8 deg". */
static void draw_moves(rn_pen *pen, const rn_clock *clock, rn_move_kind kind, double top, double foot, char *note,
                       size_t size)
{
    const rn_plan *plan = clock->plan;
    const rn_move *last = NULL;
    double most = 0.0;
    for (int i = 0; i < plan->move_count; i++)
        if (plan->moves[i].kind == kind && (!last || fabs(plan->moves[i].amount) > most)) {
            last = &plan->moves[i];
            most = fabs(last->amount);
        }
    for (int i = 0; i < plan->move_count; i++) {
        const rn_move *move = &plan->moves[i];
        if (move->kind != kind || move->start >= clock->end)
            continue;
        if (kind == RN_MOVE_TILT)
            draw_wedge(pen, clock, move, foot, (foot - top) * (most > 0.0 ? move->amount / most : 0.0));
        else
            draw_cord(pen, clock, move, 0.5 * (top + foot), 0.42 * (foot - top));
    }
    char amount[40];
    if (kind == RN_MOVE_TILT)
        snprintf(amount, sizeof amount, "%.3g\u00b0", most / RN_DEGREE);
    else
        snprintf(amount, sizeof amount, "%.3g rpm", most * 60.0 / (2.0 * RN_PI));
    const int count = count_moves(plan, kind);
    const char *sense = kind == RN_MOVE_TILT ? "" : last && last->amount < 0.0 ? " \u21bb" : " \u21ba";
    if (count == 1 && last)
        snprintf(note, size, "%s%s, %.4g\u2013%.4g s", amount, sense, last->start, last->start + last->duration);
    else
        snprintf(note, size, "%d times, to %s", count, amount);
}

/* ---- rests ---- */

typedef struct span {
    double from, to;
} span;

static int by_start(const void *a, const void *b)
{
    const span *p = a, *q = b;
    return (p->from > q->from) - (p->from < q->from);
}

static void draw_dots(rn_pen *pen, const rn_clock *clock, span rest, double y)
{
    const double x0 = rn_clock_x(clock, rest.from), x1 = rn_clock_x(clock, rest.to);
    if (x1 - x0 < 12.0)
        return;
    cairo_save(pen->cr);
    cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_ROUND);
    cairo_set_dash(pen->cr, (const double[]){0.0, 6.0}, 2, 0.0);
    rn_pen_line(pen, RN_ROLE_INK2, 2.4, x0 + 3.0, y, x1 - 2.0, y);
    cairo_restore(pen->cr);
}

/* Whatever time neither a release nor a move fills. */
static void draw_rests(rn_pen *pen, const rn_clock *clock, double y, char *note, size_t size)
{
    span busy[RN_MOVES_MOST + RN_POURS_MOST];
    int count = 0;
    for (int i = 0; i < clock->plan->move_count; i++) {
        const rn_move *move = &clock->plan->moves[i];
        if (move->kind != RN_MOVE_REST)
            busy[count++] = (span){move->start, move->start + move->duration};
    }
    for (int i = 0; i < clock->plan->pour_count; i++) {
        rn_source source = rn_pour_source(clock->plan, &clock->plan->pours[i]);
        busy[count++] = (span){source.start, rn_source_end(&source)};
    }
    qsort(busy, (size_t)count, sizeof *busy, by_start);
    double quiet_from = 0.0;
    for (int i = 0; i < count; i++) {
        draw_dots(pen, clock, (span){quiet_from, fmin(busy[i].from, clock->end)}, y);
        quiet_from = fmax(quiet_from, busy[i].to);
    }
    note[0] = 0;
    if (quiet_from < clock->end) {
        draw_dots(pen, clock, (span){quiet_from, clock->end}, y);
        snprintf(note, size, "from %.4g s", quiet_from);
    }
}

static void draw_lane(rn_pen *pen, const rn_clock *clock, lane_kind kind, double top, char *note, size_t size)
{
    const double foot = top + lanes[kind].height - 4.0, head = top + 4.0;
    switch (kind) {
    case LANE_RELEASE: draw_releases(pen, clock, head, foot, note, size); break;
    case LANE_TURN: draw_moves(pen, clock, RN_MOVE_TURN, head, foot, note, size); break;
    case LANE_TILT: draw_moves(pen, clock, RN_MOVE_TILT, head, foot, note, size); break;
    case LANE_SPIN: draw_moves(pen, clock, RN_MOVE_SPIN, head, foot, note, size); break;
    case LANE_REST:
    case LANES: draw_rests(pen, clock, 0.5 * (head + foot), note, size); break;
    }
}

void rn_lanes_draw(rn_pen *pen, const rn_clock *clock, double top)
{
    for (int k = 0; k < LANES; k++) {
        if (!lane_is_used(clock->plan, (lane_kind)k))
            continue;
        char note[80] = "";
        const double height = lanes[k].height, text_y = top + 0.5 * height + 4.5;
        rn_pen_line(pen, RN_ROLE_LINE, 1.0, clock->box.x + 18.0, top, clock->x1, top);
        cairo_save(pen->cr);
        cairo_rectangle(pen->cr, clock->x0 - 2.0, top, clock->x1 - clock->x0 + 4.0, height);
        cairo_clip(pen->cr);
        draw_lane(pen, clock, (lane_kind)k, top, note, sizeof note);
        cairo_restore(pen->cr);
        rn_pen_text(pen, clock->box.x + 18.0, text_y, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, lanes[k].name);
        rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2, .align = 0.0};
        if (note[0])
            rn_pen_text(pen, clock->box.x + 78.0, text_y, letters, note);
        top += height;
    }
}
