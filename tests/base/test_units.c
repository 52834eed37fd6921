/* Units against the published exact factors: NIST SP 811 (2008), appendix B [nist811]; the imperial fluid ounce
   from the UK Weights and Measures (gallon of 4.54609 L, exact). Confirmed against a second list. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "base/units.h"

static double read_weighed(const char *text, rn_dimension dimension, double density)
{
    rn_error err = {0};
    double value = NAN;
    if (rn_units_read(&value, NULL, text, dimension, density, &err))
        print_error("%s: %s\n", text, err.message);
    return value;
}

static double read(const char *text, rn_dimension dimension)
{
    return read_weighed(text, dimension, 0);
}

static void factors_are_the_published_ones(void **state)
{
    (void)state;
    check_close(read("1 fl oz", RN_DIM_VOLUME), 29.5735295625e-6, 1e-15);
    check_close(read("1 oz", RN_DIM_VOLUME), 29.5735295625e-6, 1e-15);
    check_close(read("1 US fl oz", RN_DIM_VOLUME), 29.5735295625e-6, 1e-15);
    check_close(read("1 imp fl oz", RN_DIM_VOLUME), 28.4130625e-6, 1e-15);
    check_close(read("128 fl oz", RN_DIM_VOLUME), 231 * pow(0.0254, 3), 1e-14); /* the US gallon */
    check_close(read("160 imp fl oz", RN_DIM_VOLUME), 4.54609e-3, 1e-14);
    check_close(read("1 in", RN_DIM_LENGTH), 0.0254, 1e-15);
    check_close(read("1 ft", RN_DIM_LENGTH), 0.3048, 1e-15);
    check_close(read("1 rpm", RN_DIM_RATE), 0.1047197551, 1e-9);
    check_close(read("1 P", RN_DIM_VISCOSITY), 0.1, 1e-15);
    check_close(read("1 cP", RN_DIM_VISCOSITY), 1e-3, 1e-15);
    check_close(read("1 dyn/cm", RN_DIM_TENSION), 1e-3, 1e-15);
    check_close(read("1 dyn/cm2", RN_DIM_STRESS), 0.1, 1e-15);
    check_close(read("1 deg", RN_DIM_ANGLE), 1.745329e-2, 1e-6);
    check_close(read("1 h", RN_DIM_TIME), 3600, 0);
    check_close(read("2 min", RN_DIM_TIME), 120, 0);
    check_close(read("1 g/cm3", RN_DIM_DENSITY), 1000, 1e-15);
    check_close(read("0.04 per ml", RN_DIM_PRICE), 4e4, 1e-15);
    check_close(read("1 per oz", RN_DIM_PRICE), 1 / 29.5735295625e-6, 1e-15);
    check_close(read("35 %", RN_DIM_SHARE), 0.35, 1e-15);
}

static void a_square_foot_holds_the_trade_s_depths(void **state)
{
    (void)state;
    /* Volumes over 12 x 12 in: arithmetic on the exact factors; the volumes are common practice, no source. */
    double area = pow(read("12 in", RN_DIM_LENGTH), 2);
    check_close(area, 0.09290304, 1e-15);
    check_within(read("5 fl oz", RN_DIM_VOLUME), 147.868e-6, 0.5e-9);
    check_within(read("5 fl oz", RN_DIM_VOLUME) / area, 1.59163e-3, 5e-9);
    check_within(read("5 1/4 fl oz", RN_DIM_VOLUME) / area, 1.67122e-3, 5e-9);
    check_within(read("5.5 fl oz", RN_DIM_VOLUME) / area, 1.75080e-3, 5e-9);
    check_within(read("6.5 fl oz", RN_DIM_VOLUME) / area, 2.06912e-3, 5e-9);
}

static void people_s_spellings_are_read(void **state)
{
    (void)state;
    check_close(read("3/4 in", RN_DIM_LENGTH), 0.01905, 1e-15);
    check_close(read("1 1/2 in", RN_DIM_LENGTH), 0.0381, 1e-15);
    check_close(read("1\u00BD in", RN_DIM_LENGTH), 0.0381, 1e-15);
    check_close(read("9\"", RN_DIM_LENGTH), 0.2286, 1e-15);
    check_close(read("\u22123 rpm", RN_DIM_RATE), -3 * RN_PI / 30, 1e-15);
    check_close(read("-1 1/2 deg", RN_DIM_ANGLE), -1.5 * RN_PI / 180, 1e-15);
    check_close(read("25\u00B0", RN_DIM_ANGLE), 25 * RN_PI / 180, 1e-15);
    check_close(read("6\u00B0/s", RN_DIM_RATE), 6 * RN_PI / 180, 1e-15);
    check_close(read("6 deg per s", RN_DIM_RATE), 6 * RN_PI / 180, 1e-15);
    static const char *const pascal_seconds[] = {"1.2 Pa s",  "1.2 Pa\u00B7s", "1.2 Pa*s",   "1.2 Pa.s",
                                                 "1.2Pa s",   "1.2 pa s",      "1200 mPa s", "1200mPa\u00B7s",
                                                 "1200 cP",   "12 P",          "1.2 Pa s^n", "1.2 Pa\u00B7s\u207F",
                                                 "1.2e0 Pa s"};
    for (size_t i = 0; i < sizeof pascal_seconds / sizeof pascal_seconds[0]; i++)
        check_close(read(pascal_seconds[i], RN_DIM_VISCOSITY), 1.2, 1e-15);
    static const char *const millilitres[] = {"5 ml",    "5 mL",  "5 ML",       "5ml",       "0.005 l",
                                              "0.005 L", ".5 cl", "5 cm\u00B3", "5\u00A0ml", "  5   ml ",
                                              "+5 ml",   "5. ml", "5cc"};
    for (size_t i = 0; i < sizeof millilitres / sizeof millilitres[0]; i++)
        check_close(read(millilitres[i], RN_DIM_VOLUME), 5e-6, 1e-15);
    check_close(read("1.2 g / ml", RN_DIM_DENSITY), 1200, 1e-15);
    check_close(read("1200 kg/m\u00B3", RN_DIM_DENSITY), 1200, 1e-15);
    check_close(read("0.04/ml", RN_DIM_PRICE), 4e4, 1e-15);
    check_close(read("33 mN/m", RN_DIM_TENSION), 0.033, 1e-15);
    check_close(read("0.8", RN_DIM_PLAIN), 0.8, 0);
    check_close(read("8", RN_DIM_COUNT), 8, 0);
}

static void a_weight_is_a_volume_where_a_density_is_known(void **state)
{
    (void)state;
    check_close(read_weighed("40 g", RN_DIM_VOLUME, 1250), 32e-6, 1e-15);
    rn_error err = {0};
    double value = 7;
    check_status(rn_units_read(&value, NULL, "40 g", RN_DIM_VOLUME, 0, &err), RN_E_PLAN, &err);
    assert_non_null(strstr(err.message, "density"));
    check_close(value, 7, 0);
}

static void refuses(const char *text, rn_dimension dimension, const char *message)
{
    rn_error err = {0};
    double value = 7;
    const rn_unit *unit = NULL;
    check_status(rn_units_read(&value, &unit, text, dimension, 0, &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, message);
    check_close(value, 7, 0);
    assert_null(unit);
}

static void wrong_quantities_say_what_would_be_right(void **state)
{
    (void)state;
    refuses("40", RN_DIM_LENGTH, "'40' has no unit: did you mean 40 mm or 40 cm?");
    refuses("40 s", RN_DIM_LENGTH, "'40 s' is a time where a length is wanted: write for example 40 mm");
    refuses("40 mm", RN_DIM_ANGLE, "'40 mm' is a length where an angle is wanted: write for example 8 deg");
    refuses("1,5 mm", RN_DIM_LENGTH, "'1,5 mm' has a decimal comma: write 1.5 mm");
    refuses("0:30", RN_DIM_TIME, "'0:30' is written as a clock has it: did you mean 30 s?");
    refuses("0:04", RN_DIM_TIME, "'0:04' could be minutes or hours: write 4 s or 4 min");
    refuses("0:30", RN_DIM_LENGTH, "'0:30' is no length: write for example 40 mm");
    refuses("nan mm", RN_DIM_LENGTH, "'nan mm' is no length that can be worked with: write for example 40 mm");
    refuses(".NaN", RN_DIM_PLAIN, "'.NaN' is no plain number that can be worked with: write for example 0.8");
    refuses("-.inf s", RN_DIM_TIME, "'-.inf s' is no time that can be worked with: write for example 8 s");
    refuses("infinity", RN_DIM_TIME, "'infinity' is no time that can be worked with: write for example 8 s");
    refuses("1e999 mm", RN_DIM_LENGTH, "'1e999 mm' is too large a number: write for example 40 mm");
    refuses("0x10 mm", RN_DIM_LENGTH, "unknown unit 'x10 mm' in '0x10 mm': a length is written for example 40 mm");
    refuses("1/0 in", RN_DIM_LENGTH, "'1/0 in' is too large a number: write for example 40 mm");
    refuses("4 mmm", RN_DIM_LENGTH, "unknown unit 'mmm' in '4 mmm'; did you mean 'mm'?");
    refuses("4 MPa s", RN_DIM_VISCOSITY, "unknown unit 'MPa s' in '4 MPa s'; did you mean 'mPa s'?");
    refuses("1.2.3 mm", RN_DIM_LENGTH, "'1.2.3 mm' cannot be read as one number: write for example 40 mm");
    refuses("1 000 mm", RN_DIM_LENGTH, "'1 000 mm' cannot be read as one number: write for example 40 mm");
    refuses("", RN_DIM_VOLUME, "nothing is given where a volume is wanted: write for example 30 ml");
    refuses("much", RN_DIM_VOLUME, "'much' is no volume: write for example 30 ml");
    refuses("ml", RN_DIM_VOLUME, "'ml' is no volume: write for example 30 ml");
    refuses("2 mm", RN_DIM_PLAIN, "'2 mm' has a unit where a plain number is wanted: write for example 0.8");
    refuses("2.5", RN_DIM_COUNT, "'2.5' is no whole number: write for example 8");
    refuses("two\nlines", RN_DIM_TIME, "'two?lines' is no time: write for example 8 s");
    refuses("0.35", RN_DIM_SHARE, "'0.35' has no unit: did you mean 35 % or 0.35 %?");
}

static void every_unit_reads_back_as_written(void **state)
{
    (void)state;
    static const double values[] = {0, 1, -1, 0.1, 1.0 / 3, 12.7, 29.5735295625e-6, 1e-9, 123456.789, 2.5e-4, 1e7};
    int count;
    const rn_unit *units = rn_units_table(&count);
    for (int i = 0; i < count; i++)
        for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
            char text[80], again[80];
            double value = values[v] * units[i].factor;
            rn_units_write(text, sizeof text, value, units[i].dimension, &units[i]);
            double back = read(text, units[i].dimension);
            check_close(back, value, 1.5e-15);
            rn_units_write(again, sizeof again, back, units[i].dimension, &units[i]);
            assert_string_equal(again, text);
        }
}

static void units_are_written_as_people_do(void **state)
{
    (void)state;
    char text[80];
    assert_string_equal(rn_units_write(text, sizeof text, 0.3048, RN_DIM_LENGTH, NULL), "304.8 mm");
    assert_string_equal(rn_units_write(text, sizeof text, 25 * RN_PI / 180, RN_DIM_ANGLE, NULL), "25 deg");
    assert_string_equal(rn_units_write(text, sizeof text, -0.0, RN_DIM_TIME, NULL), "0 s");
    assert_string_equal(rn_units_write(text, sizeof text, 155e-6, RN_DIM_VOLUME, NULL), "155 ml");
    assert_string_equal(rn_units_write(text, sizeof text, 0.8, RN_DIM_PLAIN, NULL), "0.8");
    assert_string_equal(rn_units_write(text, sizeof text, 4e4, RN_DIM_PRICE, NULL), "0.04 per ml");
    assert_string_equal(rn_units_write(text, sizeof text, 0.35, RN_DIM_SHARE, NULL), "35 %");
}

/* Rounded, and still as one reads it: no power of ten where zeros do. */
static void rounded_numbers_are_plain(void **state)
{
    (void)state;
    static const struct {
        double value;
        rn_dimension dimension;
        int digits;
        const char *text;
    } cases[] = {
        {1.4712e-3, RN_DIM_VOLUME, 3, "1470 ml"},    {-1.4712e-3, RN_DIM_VOLUME, 3, "-1470 ml"},
        {12346e-6, RN_DIM_VOLUME, 4, "12350 ml"},    {999.6e-6, RN_DIM_VOLUME, 3, "1000 ml"},
        {86400, RN_DIM_TIME, 2, "86000 s"},          {147.12e-6, RN_DIM_VOLUME, 3, "147 ml"},
        {1234567, RN_DIM_PLAIN, 6, "1234570"},       {6.02e23, RN_DIM_PLAIN, 3, "6.02e+23"},
        {1.234e-8, RN_DIM_LENGTH, 3, "1.23e-05 mm"},
    };
    char text[60];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_string_equal(
            rn_units_round(text, sizeof text, cases[i].value, cases[i].dimension, NULL, cases[i].digits),
            cases[i].text);
}

static void words_are_offered_when_near(void **state)
{
    (void)state;
    static const char *const words[] = {"tilt", "toward", "turn", "covered by"};
    assert_string_equal(rn_text_nearest("tilr", words, 4), "tilt");
    assert_string_equal(rn_text_nearest("titl", words, 4), "tilt");
    assert_string_equal(rn_text_nearest("towards", words, 4), "toward");
    assert_string_equal(rn_text_nearest("covered_by", words, 4), "covered by");
    assert_null(rn_text_nearest("colour", words, 4));
    assert_null(rn_text_nearest("", words, 4));
    assert_int_equal(rn_text_distance("ca", "abc"), 3); /* optimal string alignment */
    assert_int_equal(rn_text_distance("kitten", "sitting"), 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(factors_are_the_published_ones),
        cmocka_unit_test(a_square_foot_holds_the_trade_s_depths),
        cmocka_unit_test(people_s_spellings_are_read),
        cmocka_unit_test(a_weight_is_a_volume_where_a_density_is_known),
        cmocka_unit_test(wrong_quantities_say_what_would_be_right),
        cmocka_unit_test(every_unit_reads_back_as_written),
        cmocka_unit_test(units_are_written_as_people_do),
        cmocka_unit_test(rounded_numbers_are_plain),
        cmocka_unit_test(words_are_offered_when_near),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
