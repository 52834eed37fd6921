/* A front on dry ground slips over a length that cells do not show, until they are small enough. Its resistance hangs on the
   logarithm of that length [voinov1976, cox1986] and not on the cells: from 1.2 mm, where the slip is all in the wall law, to
   0.3 mm, where the law has to give way to it, a front arrives at the same time. */
#include "lab.h"

#define LENGTH 0.1 /* of the strip [m] */

static double arrival(int cells)
{
    rn_film_options options = lab_options(LENGTH, cells, LAB_STRIP);
    options.density = 1200.0;
    options.tension = 0.033;
    options.advance = 25.0 * DEG;
    laboratory lab = lab_new(&options);
    lab.input.gravity_x = RN_GRAVITY * sin(4.0 * DEG);
    lab.input.gravity_normal = RN_GRAVITY * cos(4.0 * DEG);
    for (int n = 0; n < cells * LAB_STRIP; n++)
        lab.depth[n] = n % cells < 3 * cells / 10 ? 2e-3 : 0.0;
    rn_film_set(lab.film, lab.depth);
    const int at = LAB_STRIP / 2 * cells + 4 * cells / 5;
    double t = 0.0, before = 0.0, step = 0.5;
    while (t < 200.0) {
        lab_run(&lab, t += step);
        const double now = lab.depth[at];
        if (now >= 0.15e-3) {
            t -= step * (now - 0.15e-3) / (now - before);
            break;
        }
        before = now;
    }
    printf("cells of %.2f mm: 80 mm far after %.1f s, %ld steps\n", 1e3 * LENGTH / cells, t, rn_film_steps(lab.film));
    lab_free(&lab);
    return t;
}

static void a_front_is_as_fast_on_cells_that_show_its_slip(void **state)
{
    (void)state;
    const double medium = arrival(160);
    check_close(arrival(80), medium, 2e-2);
    check_close(arrival(320), medium, 2e-2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_front_is_as_fast_on_cells_that_show_its_slip),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
