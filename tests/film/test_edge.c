/* Wrapped sides: one vertical film of mean depth.
   [jeffreys1930] Jeffreys 1930, Proc. Camb. Phil. Soc. 26:204: a draining vertical film is sqrt(mu x/(rho g t)) deep at x
     below its top, its mean over a height H two thirds of the depth at the foot (confirmed for the profile; the mean by
     quadrature).
   [huppert1982slope] Huppert 1982, Nature 300:427: a fixed volume A per width creeps down to (9 A^2 g t/(4 nu))^(1/3). */
#include "check.h"

#include "base/physical.h"
#include "film/edge.h"

static rn_edges tall_edges(double side)
{
    return (rn_edges){.kind = RN_EDGE_WRAPPED, .side = side, .density = 1200};
}

static void a_side_drains_as_jeffreys_film(void **state)
{
    (void)state;
    double side = 0.02, viscosity = 1, t = 0, dt = 0.05;
    rn_edges edges = tall_edges(side);
    const rn_law law = {viscosity, 1, 0};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {.side_volume = side * 1.5e-3, .side_wetted = side};
    double given = face.side_volume, dripped = 0;
    for (int k = 0; k < 12000; k++, t += dt)
        dripped += rn_edge_side_step(&face, &edges, &paint, 0, dt);
    double mean = 2.0 / 3.0 * sqrt(viscosity * side / (1200 * RN_GRAVITY * t));
    check_close(face.side_volume / side, mean, 5e-3); /* the start is forgotten as t0/t */
    check_close(face.side_volume + dripped, given, 1e-12);
}

static void a_fixed_volume_creeps_down_as_huppert_says(void **state)
{
    (void)state;
    double viscosity = 2, area = 2e-6, t = 0, dt = 0.02;
    rn_edges edges = tall_edges(10);
    const rn_law law = {viscosity, 1, 0};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {0};
    double dripped = rn_edge_side_step(&face, &edges, &paint, area, dt);
    for (int k = 1; k < 5000; k++, t += dt)
        dripped += rn_edge_side_step(&face, &edges, &paint, 0, dt);
    double reach = cbrt(9 * area * area * RN_GRAVITY * t * 1200 / (4 * viscosity));
    check_close(face.side_wetted, reach, 1e-2);
    check_within(dripped, 0, 0);
    check_close(face.side_volume, area, 1e-14);
}

static void paint_with_a_yield_stress_stays_on_the_side(void **state)
{
    (void)state;
    /* A vertical film yields where rho g d > tau_y: with 1.5 d at the foot, d = tau_y/(1.5 rho g) stays. */
    rn_edges edges = tall_edges(0.02);
    const rn_law law = {1, 1, 6};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {.side_volume = 0.02 * 2e-3, .side_wetted = 0.02};
    for (int k = 0; k < 20000; k++)
        rn_edge_side_step(&face, &edges, &paint, 0, 0.5);
    check_close(face.side_volume / 0.02, 6 / (1.5 * 1200 * RN_GRAVITY), 2e-2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_side_drains_as_jeffreys_film),
        cmocka_unit_test(a_fixed_volume_creeps_down_as_huppert_says),
        cmocka_unit_test(paint_with_a_yield_stress_stays_on_the_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
