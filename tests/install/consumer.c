#include <stdio.h>

#include "base/grid.h"
#include "matter/drying.h"

int main(void)
{
    rn_error err = {0};
    rn_grid grid;
    if (rn_grid_make(&grid, 0.3, 0.2, 192, &err) != RN_OK) {
        fprintf(stderr, "%s\n", err.message);
        return 1;
    }
    double least, most;
    rn_drying_wet_band(&least, &most, 1e-3, 0.35);
    printf("%d x %d cells, wet for %.1f to %.1f h\n", grid.nx, grid.ny, least / 3600, most / 3600);
    return !(grid.nx == 192 && grid.ny == 128 && least > 0 && most > least);
}
