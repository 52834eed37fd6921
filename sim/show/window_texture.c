/* What tiles wear that do not work: hatching, hanging drops, slanted ovals, crosses; told apart without their colours. */
#include <math.h>

#include "base/physical.h"
#include "show/window_map.h"

#define PITCH_X 15.0 /* of drops, ovals and crosses */
#define PITCH_Y 24.0
#define HATCH 7.0

static void hatch(rn_pen *pen, rn_box box)
{
    const double reach = box.height;
    rn_pen_use(pen, RN_ROLE_SHORT);
    cairo_set_line_width(pen->cr, 1.1);
    for (double x = floor((box.x - reach) / HATCH) * HATCH; x < box.x + box.width; x += HATCH) {
        cairo_move_to(pen->cr, x, box.y + box.height);
        cairo_line_to(pen->cr, x + reach, box.y);
    }
    cairo_stroke(pen->cr);
}

static void drop(rn_pen *pen, double x, double y, int column, int row)
{
    const double length = 10.0 + 2.5 * ((column * 5 + row * 3) % 4);
    cairo_set_line_width(pen->cr, 1.2);
    cairo_move_to(pen->cr, x, y - 11.0);
    cairo_line_to(pen->cr, x, y - 11.0 + length);
    cairo_stroke(pen->cr);
    cairo_arc(pen->cr, x, y - 11.0 + length, 2.0, 0, 2 * RN_PI);
    cairo_fill(pen->cr);
}

/* A drop that does not hang: too little runs off. */
static void dry_drop(rn_pen *pen, double x, double y)
{
    cairo_set_line_width(pen->cr, 1.2);
    cairo_new_sub_path(pen->cr);
    cairo_arc(pen->cr, x, y, 2.6, 0, 2 * RN_PI);
    cairo_stroke(pen->cr);
}

static void oval(rn_pen *pen, double x, double y)
{
    cairo_save(pen->cr);
    cairo_translate(pen->cr, x, y);
    cairo_rotate(pen->cr, -0.6);
    cairo_scale(pen->cr, 6.0, 2.4);
    cairo_new_sub_path(pen->cr);
    cairo_arc(pen->cr, 0, 0, 1, 0, 2 * RN_PI);
    cairo_restore(pen->cr);
    cairo_set_line_width(pen->cr, 1.2);
    cairo_stroke(pen->cr);
}

static void cross(rn_pen *pen, double x, double y)
{
    cairo_set_line_width(pen->cr, 1.1);
    cairo_move_to(pen->cr, x - 2.5, y - 2.5);
    cairo_line_to(pen->cr, x + 2.5, y + 2.5);
    cairo_move_to(pen->cr, x - 2.5, y + 2.5);
    cairo_line_to(pen->cr, x + 2.5, y - 2.5);
    cairo_stroke(pen->cr);
}

static void dots(rn_pen *pen, double x, double y)
{
    cairo_arc(pen->cr, x, y, 0.9, 0, 2 * RN_PI);
    cairo_fill(pen->cr);
}

int rn_window_look(const rn_window *window, int column, int row)
{
    const rn_tile *tile = rn_window_tile(window, column, row);
    return rn_tile_is_dry(tile, rn_window_goal(window)) ? RN_WINDOW_DRY : (int)tile->kind;
}

const int rn_window_looks[RN_WINDOW_LOOKS] = {RN_TILE_WORKS,  RN_TILE_SHORT, RN_TILE_SPILLED, RN_WINDOW_DRY,
                                              RN_TILE_PULLED, RN_TILE_NONE,  RN_TILE_OPEN};

void rn_window_count_looks(int counts[RN_WINDOW_LOOKS], const rn_window *window)
{
    const rn_window_options options = rn_window_options_of(window);
    for (int look = 0; look < RN_WINDOW_LOOKS; look++)
        counts[look] = 0;
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++)
            counts[rn_window_look(window, column, row)]++;
}

const char *rn_window_look_word(int look)
{
    return look == RN_WINDOW_DRY ? "runs off too little" : rn_tile_word((rn_tile_kind)look);
}

rn_role rn_window_ground(int look)
{
    return look == RN_TILE_WORKS ? RN_ROLE_PAPER : look == RN_TILE_OPEN ? RN_ROLE_STRIP : RN_ROLE_WELL;
}

static rn_role role_of(int look)
{
    if (look == RN_TILE_SPILLED || look == RN_WINDOW_DRY)
        return RN_ROLE_RUN_OFF;
    return look == RN_TILE_PULLED ? RN_ROLE_PULLED : RN_ROLE_INK2;
}

/* On a lattice of the page, every other row moved by half, so that neighbouring tiles join. */
static void scatter(rn_pen *pen, rn_box box, int look)
{
    const double high = look == RN_TILE_SPILLED ? PITCH_Y : 0.5 * PITCH_Y;
    rn_pen_use(pen, role_of(look));
    for (int row = (int)floor(box.y / high) - 1; row * high < box.y + box.height + high; row++)
        for (int column = (int)floor(box.x / PITCH_X) - 1; column * PITCH_X < box.x + box.width + PITCH_X; column++) {
            const double x = (column + (row % 2 ? 0.75 : 0.25)) * PITCH_X, y = (row + 0.5) * high;
            if (look == RN_TILE_SPILLED)
                drop(pen, x, y, column, row);
            else if (look == RN_WINDOW_DRY)
                dry_drop(pen, x, y);
            else if (look == RN_TILE_PULLED)
                oval(pen, x, y);
            else if (look == RN_TILE_NONE)
                cross(pen, x, y);
            else
                dots(pen, x, y);
        }
}

void rn_window_texture(rn_pen *pen, rn_box box, int look)
{
    cairo_save(pen->cr);
    cairo_new_path(pen->cr);
    cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_ROUND);
    if (look == RN_TILE_SHORT)
        hatch(pen, box);
    else if (look != RN_TILE_WORKS)
        scatter(pen, box, look);
    cairo_restore(pen->cr);
    cairo_new_path(pen->cr);
}
