#include "show/table.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/physical.h"

#define ML 1e6
#define MM 1e3

static void put_header(FILE *out)
{
    fputs("time_s,poured_ml,coverage,run_off_ml", out);
    for (int s = 0; s < RN_SIDES; s++)
        fprintf(out, ",run_off_%s_ml", rn_side_names[s]);
    fputs(",on_sides_ml,wet_area,deepest_mm", out);
    for (int c = 0; c < RN_CORNERS; c++) {
        char name[40];
        snprintf(name, sizeof name, "%s", rn_corner_names[c]);
        for (char *blank = strchr(name, ' '); blank; blank = strchr(blank, ' '))
            *blank = '_';
        fprintf(out, ",corner_%s_mm", name);
    }
    fputs(",tilt_deg,downhill_deg,turned_deg,spin_rpm\n", out);
}

static void put_moment(FILE *out, const rn_moment *moment)
{
    const double run_off = rn_moment_run_off(moment);
    fprintf(out, "%.9g,%.9g,%.9g,%.9g", moment->time, moment->released * ML, moment->coverage, run_off * ML);
    for (int s = 0; s < RN_SIDES; s++)
        fprintf(out, ",%.9g", moment->run_off[s] * ML);
    fprintf(out, ",%.9g,%.9g,%.9g", moment->on_sides * ML, moment->wet_area, moment->deepest * MM);
    for (int c = 0; c < RN_CORNERS; c++)
        fprintf(out, ",%.9g", moment->corner[c] * MM);
    fprintf(out, ",%.9g,%.9g,%.9g,%.9g\n", moment->tilt / RN_DEGREE, moment->downhill / RN_DEGREE,
            moment->turned / RN_DEGREE, moment->rate / RN_RPM);
}

void rn_series_csv(FILE *out, const rn_record *record)
{
    put_header(out);
    for (int i = 0; i < record->moment_count; i++)
        put_moment(out, &record->moments[i]);
}

/* A double's bytes, least significant first, on any machine. */
static void put_double(FILE *out, double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    unsigned char bytes[8];
    for (int i = 0; i < 8; i++)
        bytes[i] = (unsigned char)(bits >> (8 * i));
    fwrite(bytes, 1, sizeof bytes, out);
}

void rn_field_npy(FILE *out, const rn_record *record)
{
    enum { PREFIX = 10, BLOCK = 64 }; /* magic, version and length; the whole header is padded to the block */
    const int nx = record->grid.nx, ny = record->grid.ny;
    char text[256];
    int length = snprintf(text, sizeof text, "{'descr': '<f8', 'fortran_order': False, 'shape': (%d, %d), }", ny, nx);
    int padded = (PREFIX + length + 1 + BLOCK - 1) / BLOCK * BLOCK - PREFIX;
    memset(text + length, ' ', (size_t)(padded - length));
    text[padded - 1] = '\n';
    const unsigned char prefix[PREFIX] = {
        0x93, 'N', 'U', 'M', 'P', 'Y', 1, 0, (unsigned char)(padded & 0xFF), (unsigned char)(padded >> 8)};
    fwrite(prefix, 1, sizeof prefix, out);
    fwrite(text, 1, (size_t)padded, out);
    for (int j = ny - 1; j >= 0; j--)
        for (int i = 0; i < nx; i++) {
            size_t cell = (size_t)j * (size_t)nx + (size_t)i;
            put_double(out, record->inside[cell] ? record->depth[cell] : (double)NAN);
        }
}
