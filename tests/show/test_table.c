/* CSV against what went in; NPY against the published format [nep1], read here byte by byte. */
#include "check.h"

#include <string.h>

#include "sample.h"
#include "scratch.h"
#include "show/table.h"

static const char header[] =
    "time_s,poured_ml,coverage,run_off_ml,run_off_front_ml,run_off_right_ml,run_off_back_ml,run_off_left_ml,"
    "on_sides_ml,wet_area,deepest_mm,corner_back_left_mm,corner_back_right_mm,corner_front_right_mm,"
    "corner_front_left_mm,tilt_deg,downhill_deg,turned_deg,spin_rpm";

static void the_history_has_a_line_for_each_moment(void **state)
{
    (void)state;
    sample s = sample_make(sample_defaults());
    char *text;
    size_t size;
    SCRATCH_CAPTURE(text, size, rn_series_csv(out, &s.record));
    char *rest = text;
    char *line = strtok_r(rest, "\n", &rest);
    assert_string_equal(line, header);
    int lines = 0;
    for (; (line = strtok_r(NULL, "\n", &rest)) != NULL; lines++) {
        double value[19];
        int columns = 0;
        for (char *at = line; columns < 19; columns++) {
            char *end;
            value[columns] = strtod(at, &end);
            assert_ptr_not_equal(end, at);
            if (*end != ',') {
                assert_int_equal(*end, 0);
                columns++;
                break;
            }
            at = end + 1;
        }
        assert_int_equal(columns, 19);
        const rn_moment *m = &s.record.moments[lines];
        check_close(value[0], m->time, 1e-8);
        check_close(value[1], 1e6 * m->released, 1e-8);
        check_within(value[3], value[4] + value[5] + value[6] + value[7], 1e-6);
        check_close(value[6], 1e6 * m->run_off[RN_BACK], 1e-8);
        check_close(value[10], 1e3 * m->deepest, 1e-8);
        check_close(value[12], 1e3 * m->corner[1], 1e-8);
    }
    assert_int_equal(lines, s.record.moment_count);
    free(text);
    sample_clear(&s);
}

static void angles_and_rates_have_the_units_of_the_header(void **state)
{
    (void)state;
    /* 1 rpm is 0.1047197551 rad/s, 1 deg is 0.01745329252 rad [nist811]. */
    rn_moment moment = {.tilt = 8 * 0.01745329252, .downhill = -135 * 0.01745329252, .rate = -40 * 0.1047197551};
    const rn_record record = {.moment_count = 1, .moments = &moment};
    char *text;
    size_t size;
    SCRATCH_CAPTURE(text, size, rn_series_csv(out, &record));
    double value[4] = {0};
    char *at = strrchr(text, '\n');
    *at = 0;
    for (int k = 3; k >= 0; k--) {
        at = strrchr(text, ',');
        value[k] = strtod(at + 1, NULL);
        *at = 0;
    }
    check_within(value[0], 8.0, 1e-6);
    check_within(value[1], -135.0, 1e-6);
    check_within(value[3], -40.0, 1e-6);
    free(text);
}

/* A little-endian float64, put together from its sign, exponent and fraction [ieee 754]. */
static double float64_at(const unsigned char *bytes)
{
    uint64_t bits = 0;
    for (int i = 7; i >= 0; i--)
        bits = bits << 8 | bytes[i];
    const int exponent = (int)(bits >> 52 & 0x7FF);
    const uint64_t fraction = bits & ((UINT64_C(1) << 52) - 1);
    const double sign = bits >> 63 ? -1.0 : 1.0;
    if (exponent == 0x7FF)
        return fraction ? NAN : sign * INFINITY;
    return sign *
           (exponent ? ldexp((double)(fraction | UINT64_C(1) << 52), exponent - 1075) : ldexp((double)fraction, -1074));
}

static void the_film_is_an_npy_array(void **state)
{
    (void)state;
    sample_options options = sample_defaults();
    options.round = true;
    options.cells = 70;
    options.height = 0.3048;
    sample s = sample_make(options);
    const int nx = s.record.grid.nx, ny = s.record.grid.ny;
    char *text;
    size_t size;
    SCRATCH_CAPTURE(text, size, rn_field_npy(out, &s.record));
    const unsigned char *bytes = (const unsigned char *)text;
    assert_memory_equal(bytes, "\x93NUMPY\x01\x00", 8);
    const size_t length = bytes[8] | (size_t)bytes[9] << 8;
    assert_int_equal((10 + length) % 64, 0);
    assert_int_equal(bytes[10 + length - 1], '\n');
    char dictionary[128], found[256] = "";
    snprintf(dictionary, sizeof dictionary, "{'descr': '<f8', 'fortran_order': False, 'shape': (%d, %d), }", ny, nx);
    memcpy(found, bytes + 10, length < sizeof found ? length : sizeof found - 1);
    found[strcspn(found, "}") + 1] = 0;
    assert_string_equal(found, dictionary);
    assert_int_equal(size, 10 + length + 8 * (size_t)nx * (size_t)ny);

    const unsigned char *data = bytes + 10 + length;
    int outside = 0;
    for (int row = 0; row < ny; row++)
        for (int i = 0; i < nx; i++) {
            const double value = float64_at(data + 8 * ((size_t)row * (size_t)nx + (size_t)i));
            const int cell = (ny - 1 - row) * nx + i; /* row 0 is the back edge */
            if (s.record.inside[cell])
                assert_true(value == s.record.depth[cell]);
            else
                assert_true(isnan(value));
            outside += !s.record.inside[cell];
        }
    assert_true(outside > nx * ny / 6); /* 1 - pi/4 of a square */
    free(text);
    sample_clear(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_history_has_a_line_for_each_moment),
        cmocka_unit_test(angles_and_rates_have_the_units_of_the_header),
        cmocka_unit_test(the_film_is_an_npy_array),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
