/* Currents that others have poured and measured, at the scale of paint, written as plans and forecast as they stand: nothing
   in them is fitted here.
   [lister1992] silicone oil, 11.3 cm2/s and 970 kg/m3, 1.48 ml/s from a point on a glass plate at 2.5 deg. The outlines were
     read off his figures by others, in the public repository barbagroup/geoclaw-landspill-paper; the greatest reach down
     the plate and the greatest half width of each are below. Its surface tension, 21 mN/m, is the usual one of silicone oil
     (handbook value, from memory); oil wets glass, so the ground holds nothing.
   [sayag2013] 1 % xanthan gum in water, 1000 kg/m3, 3.8173 g/s through a pipe of 8 mm radius onto a level table. Their law
     is n = 5.9 +- 0.2, 11.4 +- 0.25 Pa s^(1/n) between the tensors of stress and rate: in simple shear
     K = 2^(1 - 1/n) 11.4 Pa s^(1/n). Radii as kept in the public repository pism/pism (examples/labgum). The law was
     fitted to such radii: this tests the solver more than the law.
   The grid is the same under watch: a coarser one does not hold what was measured. */
#include "check.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "poured.h"
#include "shell.h"

/* Thinner than this is not told from glass in a photograph, and no deeper than the film of a front [m]. */
#define SEEN 0.2e-3

/* How far the wet film reaches down the plate along its middle, from x0 [m]. */
static double reach_down(const poured *end, double x0)
{
    int last = 0;
    for (int i = 0; i < end->nx; i++)
        if (end->depth[(end->ny / 2) * end->nx + i] > SEEN)
            last = i;
    return (last + 1) * end->cell - 0.5 * end->nx * end->cell - x0;
}

static double greatest_half_width(const poured *end)
{
    int most = 0;
    for (int i = 0; i < end->nx; i++) {
        int wet = 0;
        for (int j = 0; j < end->ny; j++)
            wet += end->depth[j * end->nx + i] > SEEN;
        most = wet > most ? wet : most;
    }
    return 0.5 * most * end->cell;
}

static void oil_down_a_plate(void **state)
{
    static const struct {
        const char *until;
        double down, half_width; /* [m] */
    } measured[] = {{"32 s", 0.0967, 0.0699}, {"59 s", 0.1455, 0.0922}, {"122 s", 0.2446, 0.1276}};
    for (int k = 0; k < 3; k++) {
        poured end = poured_until(
            state,
            "plan: 1\npanel: {size: 480 mm x 360 mm, edges: walls, ground: sealed, advance: 0 deg}\n"
            "paints: {oil: {viscosity: 1.0961 Pa s, density: 970 kg/m3, tension: 21 mN/m}}\n"
            "pours: [{from: cup, at: 120 mm left, across: 16 mm, start: 0 s, lifts: 200, every: 0.61 s, open: 0.61 s, "
            "stack: [oil 180.56 ml]}]\n"
            "moves: [{start: 0 s, for: 122 s, tilt: 2.5 deg, toward: right, ramp: 0 s}]\nend: 122 s\n",
            0.48, 192, measured[k].until);
        print_message("oil %s: %.1f mm down, measured %.1f; half width %.1f mm, measured %.1f\n", measured[k].until,
                      1e3 * reach_down(&end, -0.12), 1e3 * measured[k].down, 1e3 * greatest_half_width(&end),
                      1e3 * measured[k].half_width);
        check_close(reach_down(&end, -0.12), measured[k].down, 0.06);
        check_close(greatest_half_width(&end), measured[k].half_width, 0.04);
        free(end.depth);
    }
}

static void gum_on_a_level_table(void **state)
{
    static const struct {
        const char *until;
        double radius, off; /* [m], share; the first is still a heap under its pipe */
    } measured[] = {{"50 s", 0.078794, 0.02},
                    {"100 s", 0.106831, 0.02},
                    {"200 s", 0.144027, 0.02},
                    {"400 s", 0.193057, 0.02},
                    {"746 s", 0.252107, 0.02}};
    for (int k = 0; k < 5; k++) {
        poured end =
            poured_until(state,
                         "plan: 1\npanel: {size: 560 mm x 560 mm, edges: walls}\n"
                         "paints: {gum: {viscosity: 20.272 Pa s^n, power: 0.16949, density: 1000 kg/m3, "
                         "tension: 0 mN/m}}\n"
                         "pours: [{from: cup, at: centre, across: 16 mm, start: 0 s, lifts: 200, every: 3.73 s, "
                         "open: 3.73 s, stack: [gum 2847.7 ml]}]\nend: 746 s\n",
                         0.56, 128, measured[k].until);
        const double radius = poured_radius(&end, 0.5e-3);
        print_message("gum %s: radius %.1f mm, measured %.1f\n", measured[k].until, 1e3 * radius,
                      1e3 * measured[k].radius);
        check_close(radius, measured[k].radius, measured[k].off);
        free(end.depth);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(oil_down_a_plate, shell_make_folder, shell_remove_folder),
        cmocka_unit_test_setup_teardown(gum_on_a_level_table, shell_make_folder, shell_remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
