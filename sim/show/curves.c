#include "show/curves.h"

#include <math.h>

#define STEPS 60     /* of the clock that are looked at */
#define APART 4.5    /* from a letter to its curve [units] */
#define CLEAR 1.5    /* and to another one, at least */
#define FAR 40.0     /* farther is no better */
#define BESIDE 20.0  /* the same of the letter itself */
#define CROSSED 60.0 /* what a curve that is crossed takes from a place's worth, */
#define TAKEN 300.0  /* one that it would be taken for, */
#define ON_IT 4.0    /* to interrupt its own */
#define EARLY 0.2    /* and a step later */

typedef enum standing { OVER, UNDER, ON, STANDINGS } standing;

static double y_of(const rn_curves *curves, int curve, double x)
{
    const rn_axis *time = &curves->time;
    const double u = (x - time->x0) / (time->x1 - time->x0);
    return curves->y(curves->matter, curve, time->from + u * (time->to - time->from));
}

/* The least and greatest y of a curve over a box; NaN where it is not there. */
static void span(double *least, double *most, const rn_curves *curves, int curve, rn_box box)
{
    *least = *most = NAN;
    for (int k = 0; k <= 4; k++) {
        const double y = y_of(curves, curve, box.x + 0.25 * k * box.width);
        *least = fmin(*least, y); /* leaves out what is no number */
        *most = fmax(*most, y);
    }
}

/* How far the nearest other curve passes a point of one. */
static double room_at(const rn_curves *curves, int curve, double x, double y)
{
    double room = FAR;
    for (int k = 0; k < curves->count; k++)
        for (int step = -4; k != curve && step <= 4; step++) {
            const double aside = 0.25 * FAR * step, other = y_of(curves, k, x + aside);
            room = isnan(other) ? room : fmin(room, hypot(aside, other - y));
        }
    return room;
}

/* How good a place is for the letter of a curve that passes there at (x, y); -INFINITY: none at all. */
static double worth(const rn_pen *pen, const rn_curves *curves, int curve, double x, double y, rn_box box, standing how)
{
    const double middle = box.y + 0.5 * box.height;
    double beside = BESIDE, crossed = 0, taken = 0;
    if (box.y < curves->top || box.y + box.height > curves->bottom || !rn_pen_vacant(pen, box, 3) ||
        fabs(x - curves->shun) < 0.5 * box.width + APART)
        return -INFINITY;
    for (int k = 0; k < curves->count; k++) {
        double least, most;
        span(&least, &most, curves, k, box);
        if (isnan(least) || (k == curve && how == ON))
            continue;
        const double gap = fmax(least - box.y - box.height, box.y - most);
        crossed += gap < CLEAR;
        if (k == curve)
            continue;
        beside = fmin(beside, fmax(gap, 0));
        taken += fabs(y_of(curves, k, x) - middle) <= fabs(y - middle);
    }
    return beside - CROSSED * crossed - TAKEN * taken - (how == ON ? ON_IT : 0);
}

rn_box rn_curves_letter(rn_pen *pen, const rn_curves *curves, int curve, const char *letter)
{
    const rn_letters letters = {.size = curves->size, .lettering = RN_LETTERS_WIDE, .align = 0.5, .role = RN_ROLE_INK};
    const rn_box ink = rn_pen_measure(pen, 0, 0, letters, letter);
    double best = -INFINITY, best_x = 0, best_y = 0;
    for (int step = 3; step < STEPS; step++) {
        const double time = curves->time.from + (curves->time.to - curves->time.from) * step / STEPS;
        const double x = rn_axis_place(&curves->time, time), y = curves->y(curves->matter, curve, time);
        if (isnan(y))
            continue;
        const double room = 2 * room_at(curves, curve, x, y) - EARLY * step;
        const double tops[STANDINGS] = {y - APART - ink.height, y + APART, y - 0.5 * ink.height};
        for (int how = 0; how < STANDINGS; how++) {
            const rn_box box = {x + ink.x, tops[how], ink.width, ink.height};
            const double own = room + worth(pen, curves, curve, x, y, box, (standing)how);
            if (!(own > best))
                continue;
            best = own;
            best_x = x;
            best_y = box.y - ink.y;
        }
    }
    if (isinf(best))
        return (rn_box){0};
    const rn_box box = rn_pen_measure(pen, best_x, best_y, letters, letter);
    rn_pen_use(pen, curves->ground);
    cairo_rectangle(pen->cr, box.x - 2, box.y - 2, box.width + 4, box.height + 4);
    cairo_fill(pen->cr);
    return rn_pen_text(pen, best_x, best_y, letters, letter);
}
