#include "matter/panel.h"

#include <math.h>

#include "base/physical.h"

double rn_panel_area(const rn_panel *panel)
{
    double rectangle = panel->width * panel->height;
    return panel->round ? 0.25 * RN_PI * rectangle : rectangle;
}

void rn_panel_place(double *x, double *y, const rn_panel *panel, int side_x, int side_y, double radius)
{
    *x = side_x * (0.5 * panel->width - radius);
    *y = side_y * (0.5 * panel->height - radius);
    if (panel->round && side_x != 0 && side_y != 0) {
        *x *= sqrt(0.5);
        *y *= sqrt(0.5);
    }
}
