#include "layout.h"

#include <math.h>

#define REGULAR_WIDTH 1280.0
#define REGULAR_HEIGHT 800.0
#define COMPACT_WIDTH 900.0
#define COMPACT_HEIGHT 600.0
#define COMPACT_BELOW 0.95 /* of the regular size */
#define SCALE_MOST 4.0

#define RING_ROOM 60.0    /* between the middle of a panel's side and the ring's outer edge */
#define DIAGONAL 1.004    /* a panel's half diagonal over the ring's radius: its corners lie just over the ring */
#define STRIP_DOWN 38.0   /* from the clock's top to its strip */
#define STRIP_UP 22.0     /* from the window's foot to the strip's */
#define LEVEL_TILT 0.1396 /* at the rim of the level: 8 deg [rad] */

static double panel_scale(const rv_layout *at, const rn_panel *panel)
{
    const double a = 0.5 * panel->width, b = 0.5 * panel->height;
    const double by_side = (at->ring - RING_ROOM) / fmax(a, b);
    return panel->round ? by_side : fmin(by_side, DIAGONAL * at->ring / hypot(a, b));
}

static void place_bench(rv_layout *at, const rn_panel *panel)
{
    at->cx = at->bench.x + 0.5 * at->bench.width;
    at->cy = at->bench.y + 0.5 * at->bench.height;
    at->ring = fmin(0.5 * at->bench.height - 14, 0.5 * at->bench.width - 70);
    at->band = at->compact ? 18 : 20;
    at->per_metre = panel_scale(at, panel);
    const double width = panel->width * at->per_metre, height = panel->height * at->per_metre;
    at->panel = (rn_box){at->cx - 0.5 * width, at->cy - 0.5 * height, width, height};
    const double left = at->shelf.x + at->shelf.width + 8;
    at->slip = (rn_box){left, at->bench.y + 8, 165, at->bench.height - 16};
}

static void place_right(rv_layout *at)
{
    const rn_box right = at->right;
    at->level_radius = at->compact ? 44 : 66;
    at->level_tilt = LEVEL_TILT;
    at->level_x = right.x + 0.5 * right.width;
    at->level_y = right.y + (at->compact ? 62 : 88);
    const double sheets = at->level_y + (at->compact ? 118 : 140);
    const double rows = at->compact ? 200 : 192;
    at->sheets = (rn_box){right.x, sheets, right.width, rows};
    const double foot = right.y + right.height - 8, core = sheets + rows + 4;
    at->core = (rn_box){right.x, core, right.width, at->compact ? 0 : foot - core};
}

static void place_lanes(rv_layout *at, const bool empty[LANES])
{
    static const double share[LANES] = {40, 28, 28, 22, 18};
    double sum = 0, y = at->strip.y;
    for (int k = 0; k < LANES; k++) {
        const bool out = at->compact && empty && empty[k] && (k == LANE_SPIN || k == LANE_REST);
        at->lane_height[k] = out ? 0 : share[k];
        sum += at->lane_height[k];
    }
    for (int k = 0; k < LANES; k++) {
        at->lane_height[k] *= at->strip.height / sum;
        at->lane_top[k] = y;
        y += at->lane_height[k];
    }
}

rv_layout layout_make(int width, int height, double ratio, const rn_panel *panel, const bool empty[LANES])
{
    rv_layout at = {0};
    const double w = width / ratio, h = height / ratio;
    double scale = fmin(fmin(w / REGULAR_WIDTH, h / REGULAR_HEIGHT), SCALE_MOST);
    at.compact = scale < COMPACT_BELOW;
    if (at.compact)
        scale = fmin(1, fmin(w / COMPACT_WIDTH, h / COMPACT_HEIGHT));
    at.scale = scale * ratio;
    at.width = width / at.scale;
    at.height = height / at.scale;
    at.margin = at.compact ? 16 : 18;
    at.gutter = 12;

    const double top = at.compact ? 56 : 64, shelf = at.compact ? 84 : 220, right = at.compact ? 150 : 212;
    const double clock = at.compact ? 146 : 208, middle = at.height - top - clock;
    at.top = (rn_box){0, 0, at.width, top};
    at.name = (rn_box){at.margin, 0, shelf - at.margin, top};
    at.outcome = (rn_box){shelf + at.gutter, 0, at.width - shelf - right - 2 * at.gutter - (at.compact ? 44 : 0), top};
    at.views = (rn_box){at.width - right + 4, 0, right - 4 - at.margin, top};
    at.shelf = (rn_box){0, top, shelf, middle};
    at.bench = (rn_box){shelf, top, at.width - shelf - right, middle};
    at.right = (rn_box){at.width - right + 4, top, right - 4 - at.margin, middle};
    at.clock = (rn_box){0, at.height - clock, at.width, clock};
    place_bench(&at, panel);
    place_right(&at);

    at.x0 = at.compact ? 184 : shelf + at.gutter;
    at.x1 = at.width - 96;
    at.axis_y = at.height - STRIP_UP;
    at.strip = (rn_box){at.x0, at.clock.y + STRIP_DOWN, at.x1 - at.x0, at.axis_y - at.clock.y - STRIP_DOWN};
    place_lanes(&at, empty);
    return at;
}

double layout_x(const rv_layout *at, double time, double end)
{
    return at->x0 + (end > 0 ? time / end : 0) * (at->x1 - at->x0);
}

double layout_time(const rv_layout *at, double x, double end)
{
    return fmin(fmax((x - at->x0) / (at->x1 - at->x0), 0), 1) * end;
}

void layout_point(double *px, double *py, const rv_layout *at, double x, double y, double turned)
{
    const double c = cos(turned), s = sin(turned);
    *px = at->cx + (c * x - s * y) * at->per_metre;
    *py = at->cy - (s * x + c * y) * at->per_metre;
}

void layout_spot(double *x, double *y, const rv_layout *at, double px, double py, double turned)
{
    const double c = cos(turned), s = sin(turned);
    const double u = (px - at->cx) / at->per_metre, v = (at->cy - py) / at->per_metre;
    *x = c * u + s * v;
    *y = c * v - s * u;
}
