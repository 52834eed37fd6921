/* Legend: h depth, G drive per volume, U speed of the face, L length over which the depth changes, R radius, mu
   viscosity at the stress of the moment, nu = mu/rho, Omega rate of turning. */
#include "run/warn.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"

static void warn(rn_forecast *forecast, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void warn(rn_forecast *forecast, const char *format, ...)
{
    if (forecast->warning_count >= RN_WARNINGS_MOST)
        return;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(forecast->warnings[forecast->warning_count++], RN_WARNING_SIZE, format, arguments);
    va_end(arguments);
}

/* All the paint of a plan, base and stacks, as the one liquid the film is made of. */
typedef struct mixture {
    double volume, density, spread;
    rn_law law;
} mixture;

static mixture mix(const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST], based[RN_PAINTS_MOST];
    rn_law laws[RN_PAINTS_MOST];
    mixture mixed = {.spread = 1};
    const rn_paint all = rn_plan_mixture(&mixed.volume, plan);
    mixed.density = all.density;
    mixed.law = all.law;
    rn_plan_poured(volumes, plan);
    rn_plan_based(based, plan);
    for (int i = 0; i < plan->paint_count; i++) {
        volumes[i] += based[i];
        laws[i] = plan->paints[i].law;
    }
    if (mixed.volume > 0)
        mixed.spread = rn_law_spread(laws, volumes, plan->paint_count);
    return mixed;
}

static void warn_volume(rn_forecast *forecast, const rn_plan *plan, const mixture *mixed)
{
    const double needed = plan->cover * rn_panel_area(&plan->panel);
    if (mixed->volume < needed)
        warn(forecast, "%.3g ml cannot cover this panel, even spread evenly: %.3g mm over its face takes %.3g ml.",
             mixed->volume * 1e6, plan->cover * 1e3, needed * 1e6);
}

static void warn_spread(rn_forecast *forecast, const mixture *mixed)
{
    if (mixed->spread > RN_WARN_SPREAD)
        warn(forecast,
             "The paints differ in consistency by %.3g times (more than %.1f): each layer flows by its own, but where "
             "they meet they are taken not to mingle.",
             mixed->spread, RN_WARN_SPREAD);
}

/* The fastest turn or spin that begins before `until` [rad/s]; *which is 0 where there is none. */
static double fastest(const rn_plan *plan, double until, int *which)
{
    double rate = 0;
    *which = 0;
    for (int i = 0; i < plan->move_count; i++) {
        const rn_move *move = &plan->moves[i];
        const bool turns = move->kind == RN_MOVE_SPIN || move->kind == RN_MOVE_TURN;
        if (turns && move->start < until && fabs(move->amount) > rate) {
            rate = fabs(move->amount);
            *which = i + 1;
        }
    }
    return rate;
}

/* From the middle to what is farthest from it [m]. */
static double reach(const rn_panel *panel)
{
    return panel->round ? panel->width / 2 : hypot(panel->width, panel->height) / 2;
}

double rn_warn_speed(const rn_plan *plan, double until)
{
    int move;
    return fastest(plan, until, &move) * reach(&plan->panel);
}

bool rn_warn_danger(char text[RN_WARN_DANGER_SIZE], const rn_plan *plan, double until)
{
    int move;
    const double speed = fastest(plan, until, &move) * reach(&plan->panel);
    if (!(speed > RN_WARN_CORNER_SPEED))
        return false;
    if (text)
        snprintf(text, RN_WARN_DANGER_SIZE,
                 "in move %d the panel's %s at %.2g m/s, too fast to stand beside (over %.2g m/s: common practice, no "
                 "source)",
                 move, plan->panel.round ? "rim passes" : "corners pass", speed, RN_WARN_CORNER_SPEED);
    return true;
}

/* What leaves over the edges while the panel turns faster than one should stand beside [m3]. */
static double thrown(const rn_plan *plan, const rn_moment *moments, int count)
{
    const double limit = RN_WARN_CORNER_SPEED / reach(&plan->panel);
    double sum = 0;
    for (int i = 1; i < count; i++)
        if (fabs(moments[i - 1].rate) > limit || fabs(moments[i].rate) > limit)
            sum += rn_moment_run_off(&moments[i]) - rn_moment_run_off(&moments[i - 1]);
    return sum;
}

/* No key of the plan takes this away: a turntable that can go so fast makes it no safer. */
static void warn_danger(rn_forecast *forecast, const rn_plan *plan, const rn_moment *moments, int count)
{
    char text[RN_WARN_DANGER_SIZE];
    if (rn_warn_danger(text, plan, forecast->duration))
        warn(forecast, "Danger: %s. %.3g ml of paint are thrown off. Fasten, balance and guard it.", text,
             thrown(plan, moments, count) * 1e6);
}

static void warn_spin(rn_forecast *forecast, const rn_plan *plan)
{
    int which;
    const double rate = fastest(plan, forecast->duration, &which);
    if (rate > plan->limits.spin)
        warn(forecast, "Move %d turns at %.4g rpm, faster than the table's limit of %.4g rpm.", which, rate / RN_RPM,
             plan->limits.spin / RN_RPM);
}

static void warn_depth(rn_forecast *forecast, const rn_plan *plan)
{
    if (forecast->complete && forecast->most.depth > plan->limits.deepest)
        warn(forecast, "The film stays up to %.3g mm deep; from %.3g mm on it often cracks as it dries.",
             forecast->most.depth * 1e3, plan->limits.deepest * 1e3);
}

static void warn_moving(rn_forecast *forecast)
{
    if (forecast->complete && forecast->still_moving > RN_WARN_MOVING)
        warn(forecast, "At the end the paint still moves at %.*f mm per minute; a later 'end' tells where it settles.",
             forecast->still_moving < RN_WARN_MOVING * 10 ? 1 : 0, forecast->still_moving * 60e3);
}

/* A base coat that hides by itself is no answer to whether the pour reaches the corners. */
static void warn_base(rn_forecast *forecast, const rn_plan *plan)
{
    double depth = 0;
    for (int i = 0; i < plan->base_count; i++) {
        const rn_base *base = &plan->bases[i];
        if (base->kind == RN_BASE_ALL)
            depth += isnan(base->depth) ? base->volume / rn_panel_area(&plan->panel) : base->depth;
    }
    if (depth >= plan->cover && plan->pour_count > 0)
        warn(forecast,
             "The base coat, %.2g mm, counts as covered by itself; a corner that is no deeper has not been reached by "
             "the pour.",
             depth * 1e3);
}

static void warn_angle(rn_forecast *forecast, const rn_plan *plan)
{
    for (int i = 0; i < plan->base_count; i++)
        if (plan->bases[i].kind == RN_BASE_ALL)
            return; /* no dry ground is left */
    if (plan->panel.advance > RN_WARN_ANGLE_DEG * RN_DEGREE)
        warn(forecast,
             "An advancing angle of %.3g deg is beyond the gentle slopes the film is worked out with (up to %.0f deg): "
             "where its front stops is less sure.",
             plan->panel.advance / RN_DEGREE, RN_WARN_ANGLE_DEG);
}

/* Viscosity of the liquid where the shear stress is this, infinite up to the yield stress. */
static double viscosity_at(const rn_law *law, double stress)
{
    if (!(stress > law->yield))
        return INFINITY;
    return stress / pow((stress - law->yield) / law->consistency, 1 / law->power);
}

/* Speed of the face under a drive that is the same through the depth [balmforth2002]. */
static double face_speed(const rn_law *law, double drive, double depth)
{
    const double n = law->power;
    const double yielded = depth - law->yield / drive;
    if (!(drive > 0) || yielded <= 0)
        return 0;
    return n / (n + 1) * pow(drive / law->consistency, 1 / n) * pow(yielded, 1 + 1 / n);
}

/* rho U h/mu h/L. */
static double reduced_reynolds(const rn_law *law, double density, double drive, double depth, double length)
{
    const double speed = face_speed(law, drive, depth);
    return density * speed * depth / viscosity_at(law, drive * depth) * depth / length;
}

/* Radius of the heaps that have been poured: that of their rims, or of the ground they have spread to. */
static double heap_radius(const rn_plan *plan, const rn_moment *first, const rn_moment *moment)
{
    double rim = 0;
    int heaps = 0;
    for (int i = 0; i < plan->pour_count; i++) {
        const rn_pour *pour = &plan->pours[i];
        if (pour->start > moment->time)
            continue;
        const double radius = pour->across / 2 + (pour->cup ? 0 : pour->width / 2);
        rim = heaps == 0 ? radius : fmin(rim, radius);
        heaps++;
    }
    if (heaps == 0)
        return INFINITY;
    const double wetted = fmax(0, moment->wet_area - first->wet_area) * rn_panel_area(&plan->panel);
    return fmax(rim, sqrt(wetted / heaps / RN_PI));
}

static void keep_greatest(double *greatest, double *at, double value, double time)
{
    if (value > *greatest) {
        *greatest = value;
        *at = time;
    }
}

rn_extremes rn_warn_extremes(const rn_plan *plan, const rn_law *law, double density, const rn_moment *moments,
                             int count)
{
    const double half_long = fmax(plan->panel.width, plan->panel.height) / 2;
    const double half_short = fmin(plan->panel.width, plan->panel.height) / 2;
    rn_extremes found = {0};
    for (int i = 0; i < count; i++) {
        const rn_moment *m = &moments[i];
        const double h = m->deepest, turning = fabs(m->rate);
        const double outward = density * turning * turning * half_long;
        const double heap = heap_radius(plan, &moments[0], m);
        const double drive = density * RN_GRAVITY * sin(m->tilt) + outward;

        keep_greatest(&found.coriolis, &found.coriolis_at, turning * h * h * density / viscosity_at(law, outward * h),
                      m->time);
        keep_greatest(&found.reynolds, &found.reynolds_at, reduced_reynolds(law, density, drive, h, half_short),
                      m->time);
        keep_greatest(&found.reynolds, &found.reynolds_at,
                      reduced_reynolds(law, density, density * RN_GRAVITY * h / heap, h, heap), m->time);
        keep_greatest(&found.steep, &found.steep_at, h / heap, m->time);
    }
    return found;
}

static void warn_validity(rn_forecast *forecast, const rn_plan *plan, const mixture *mixed, const rn_moment *moments,
                          int count)
{
    if (!(mixed->volume > 0))
        return;
    const rn_extremes found = rn_warn_extremes(plan, &mixed->law, mixed->density, moments, count);
    if (found.steep > RN_WARN_STEEP)
        warn(forecast,
             "At %.3g s the heap is steep for a thin film, %.2g of its radius deep (more than %.1f): it spreads slower "
             "at first than forecast.",
             found.steep_at, found.steep, RN_WARN_STEEP);
    if (found.reynolds > RN_WARN_REYNOLDS)
        warn(forecast,
             "At %.3g s the paint flows so fast that its inertia counts, which is left out (reduced Reynolds number "
             "%.2g, more than %.1f).",
             found.reynolds_at, found.reynolds, RN_WARN_REYNOLDS);
    if (found.coriolis > RN_WARN_CORIOLIS)
        warn(forecast,
             "At %.3g s the turning bends the flow sideways, which is left out (Coriolis number %.2g, more than %.1f).",
             found.coriolis_at, found.coriolis, RN_WARN_CORIOLIS);
}

void rn_warn_all(rn_forecast *forecast, const rn_plan *plan, const rn_moment *moments, int count)
{
    const mixture mixed = mix(plan);
    warn_danger(forecast, plan, moments, count); /* first, so that it is never the one that finds no room */
    warn_volume(forecast, plan, &mixed);
    warn_moving(forecast);
    warn_spin(forecast, plan);
    warn_depth(forecast, plan);
    warn_spread(forecast, &mixed);
    warn_validity(forecast, plan, &mixed, moments, count);
    warn_angle(forecast, plan);
    warn_base(forecast, plan);
}
