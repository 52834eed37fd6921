#include "poured.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"

#include "base/physical.h"
#include "json.h"
#include "shell.h"

static void read_field(poured *end, const char *path)
{
    size_t size;
    char *bytes = shell_read(path, &size);
    assert_non_null(bytes);
    const char *shape = strstr(bytes + 10, "'shape': (");
    assert_non_null(shape);
    assert_int_equal(sscanf(shape, "'shape': (%d, %d)", &end->ny, &end->nx), 2);
    size_t count = (size_t)end->nx * (size_t)end->ny * sizeof(double);
    end->depth = malloc(count);
    assert_non_null(end->depth);
    memcpy(end->depth, bytes + size - count, count);
    free(bytes);
}

poured poured_until(void **state, const char *plan, double width, int cells, const char *until)
{
    char grid[16];
    snprintf(grid, sizeof grid, "%d", cells);
    const char *field = shell_path(state, "field.npy");
    poured end = {0};
    shell got = {0};
    shell_run_fed(&got, plan, "forecast", "-", "--quiet", "--json", "--grid", grid, "--field", field,
                  until ? "--until" : NULL, until, NULL);
    if (got.exit != 0)
        fail_msg("exit %d: %s", got.exit, got.err);
    check_at_most(json_number(got.out, "balance_error"), 1e-10);
    end.on_panel = 1e-6 * json_number(got.out, "on_panel_ml");
    shell_clear(&got);
    read_field(&end, field);
    end.cell = width / end.nx;
    return end;
}

poured poured_from(void **state, const char *plan, double width, int cells)
{
    return poured_until(state, plan, width, cells, NULL);
}

double poured_depth(const poured *end, double x, double y)
{
    double u = 0.5 * end->nx + x / end->cell - 0.5, v = 0.5 * end->ny - y / end->cell - 0.5;
    int i = (int)floor(u), j = (int)floor(v);
    assert_true(i >= 0 && j >= 0 && i + 1 < end->nx && j + 1 < end->ny);
    const double *at = end->depth + (long)j * end->nx + i;
    u -= i;
    v -= j;
    return (1 - v) * ((1 - u) * at[0] + u * at[1]) + v * ((1 - u) * at[end->nx] + u * at[end->nx + 1]);
}

double poured_reach(const poured *end, double bearing, double level)
{
    double r = 0, step = 0.01 * end->cell;
    while (poured_depth(end, r * cos(bearing), r * sin(bearing)) >= level)
        r += step;
    return r;
}

double poured_radius(const poured *end, double level)
{
    long count = 0;
    for (long n = 0; n < (long)end->nx * end->ny; n++)
        count += end->depth[n] >= level;
    return sqrt((double)count * end->cell * end->cell / RN_PI);
}
