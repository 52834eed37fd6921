/* Paint laws against published mixing law and hand-worked stresses. */
#include "check.h"

#include <string.h>

#include "matter/paint.h"

static void equal_paints_mix_to_themselves(void **state)
{
    (void)state;
    /* To the last bit, whatever the shares: a plain viscosity must not become a law that is nearly one. */
    const rn_law same[] = {{1.1, 1, 0}, {1.1, 1, 0}, {1.1, 1, 0}};
    rn_law mixed = rn_law_mixed(same, (const double[]){27.871, 30.0 / 7, 0.1}, 3);
    check_within(mixed.consistency, 1.1, 0);
    check_within(mixed.power, 1, 0);
    check_within(mixed.yield, 0, 0);
}

static void mixtures_follow_the_log_law(void **state)
{
    (void)state;
    /* Grunberg and Nissan 1949 [grunberg1949], ideal (G = 0): ln eta = sum x ln eta. 2 and 0.01 Pa s at 0.7 and
       0.3 give 0.408057 Pa s (computed independently from the formula). */
    const rn_law laws[] = {{2, 1, 0}, {0.01, 1, 0}, {99, 0.5, 50}};
    check_close(rn_law_mixed(laws, (const double[]){0.7, 0.3, 0}, 3).consistency, 0.408057, 2e-6);
    check_close(rn_law_mixed(laws, (const double[]){70, 30, 0}, 3).consistency, 0.408057, 2e-6);
    rn_law alone = rn_law_mixed(laws, (const double[]){0, 0, 3}, 3);
    check_close(alone.consistency, 99, 1e-14);
    check_close(alone.power, 0.5, 1e-15);
    check_close(alone.yield, 50, 1e-15);
    rn_law half = rn_law_mixed(laws, (const double[]){0, 1, 1}, 3);
    check_close(half.power, 0.75, 1e-15);
    check_close(half.yield, 25, 1e-15);
}

static void apparent_viscosity_is_stress_over_rate(void **state)
{
    (void)state;
    /* Herschel and Bulkley 1926 [herschel1926]: tau = tau_y + K rate^n, worked by hand:
       0.6 + 2 * 10^0.8 = 13.2191 Pa at 10 1/s. */
    rn_law law = {2, 0.8, 0.6};
    check_close(rn_law_viscosity(&law, 10), 1.32191, 1e-5);
    check_close(rn_law_viscosity(&law, 1), 2.6, 1e-15);
    rn_law newtonian = {1.1, 1, 0};
    check_close(rn_law_viscosity(&newtonian, 1e-9), 1.1, 0);
    check_close(rn_law_viscosity(&newtonian, 0), 1.1, 0);
    assert_true(isinf(rn_law_viscosity(&law, 0)));
    rn_law thinning = {1, 0.5, 0};
    assert_true(isinf(rn_law_viscosity(&thinning, 0)));
}

static void spread_counts_only_paints_that_are_used(void **state)
{
    (void)state;
    const rn_law laws[] = {{1, 1, 0}, {1.5, 1, 0}, {40, 1, 0}};
    check_close(rn_law_spread(laws, (const double[]){1, 1, 0}, 3), 1.5, 1e-15);
    check_close(rn_law_spread(laws, (const double[]){1, 0, 0.1}, 3), 40, 1e-15);
    check_close(rn_law_spread(laws, (const double[]){1, 0, 0}, 3), 1, 0);
    check_close(rn_law_spread(laws, (const double[]){0, 0, 0}, 3), 1, 0);
}

static void ladder_words_cover_all_viscosities(void **state)
{
    (void)state;
    /* Which stretch a word describes is this program's own choice; the edges are tried from both sides. */
    static const struct {
        double viscosity;
        const char *word;
    } cases[] = {{0.001, "sugar syrup"},
                 {0.0349, "sugar syrup"},
                 {0.035, "olive oil"},
                 {0.1299, "olive oil"},
                 {0.13, "maple syrup"},
                 {0.3199, "maple syrup"},
                 {0.7, "castor oil"},
                 {1.3999, "castor oil"},
                 {0.32, "thinned glycerine"},
                 {0.6999, "thinned glycerine"},
                 {1.4, "warm honey"},
                 {5.9999, "warm honey"},
                 {6, "honey"},
                 {1e4, "honey"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_string_equal(rn_consistency_word(cases[i].viscosity), cases[i].word);
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++) /* each word stands for a value it also describes */
        assert_string_equal(rn_consistency_word(rn_consistency_ladder[i].viscosity), rn_consistency_ladder[i].word);
}

/* Viscosity of glycerol with water [Pa s], by its share of the mass and the warmth in deg C: Cheng 2008 [cheng2008]. */
static double glycerol(double share, double celsius)
{
    const double water = 1.790e-3 * exp((-1230 - celsius) * celsius / (36100 + 360 * celsius));
    const double pure = 12.1 * exp((-1233 + celsius) * celsius / (9900 + 70 * celsius));
    const double a = 0.705 - 0.0017 * celsius, b = (4.9 + 0.036 * celsius) * pow(a, 2.5);
    const double alpha = 1 - share + a * b * share * (1 - share) / (a * share + b * (1 - share));
    return pow(water, alpha) * pow(pure, 1 - alpha);
}

/* Of sugar in water [Pa s], by per cent of the mass [genotelle1978]. */
static double sugar(double per_cent, double celsius)
{
    const double moles = per_cent / (1900 - 18 * per_cent);
    return 1e-3 * pow(10, 22.46 * moles - 0.114 + (30 - celsius) / (91 + celsius) * (1.1 + 43.1 * pow(moles, 1.25)));
}

/* Of honey [Pa s], led from one warmth to another by its activation energy [J/mol] [juszczak2006]. */
static double honey(double viscosity, double from, double to, double energy)
{
    return viscosity * exp(energy / 8.314 * (1 / (to + 273.15) - 1 / (from + 273.15)));
}

static void published_figures(double *least, double *most, const char *word)
{
    /* 20 deg C but where said. Sugar syrup: half and half [swindells1958: 15.4 mPa s, memory]. Maple syrup has 66 % at
       least; two parts of sugar and one of water are 66.7 %. Oils [crc1986]: olive 84, castor 986 mPa s, memory; a
       school's table has 81 and 985, a refiner's sheet 950 to 1100 for castor oil. Seven honeys of 14.7 to 18 % water:
       1.76 Pa s, the thinnest at 40 deg C, to 252.6, the thickest at 10 deg C, 92.34 to 105.25 kJ/mol [juszczak2006];
       clover honey of 16 % water: 19 at 20 deg C, 2.0 at 40 deg C (a beekeepers' page). */
    const struct {
        const char *word;
        double least, most;
    } known[] = {
        {"sugar syrup", 0.0154, sugar(50, 20)},
        {"olive oil", 0.081, 0.084},
        {"maple syrup", sugar(66, 20), sugar(68, 20)},
        {"thinned glycerine", glycerol(0.95, 22), glycerol(0.95, 18)},
        {"castor oil", 0.95, 1.1},
        {"warm honey", 1.76, honey(252.6, 10, 40, 105250)},
        {"honey", 19, honey(252.6, 10, 20, 105250)},
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        if (!strcmp(known[i].word, word)) {
            *least = known[i].least;
            *most = known[i].most;
            return;
        }
    fail_msg("nothing published is known of %s", word);
}

static void the_ladder_agrees_with_what_is_published(void **state)
{
    (void)state;
    check_close(glycerol(1, 20), 1.41, 0.005); /* the handbook's value of pure glycerol */
    check_close(sugar(65, 20), 0.1472, 0.02);  /* [swindells1958] */
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++) {
        const rn_consistency *word = &rn_consistency_ladder[i];
        double least = NAN, most = NAN;
        published_figures(&least, &most, word->word);
        check_close(word->published_least, least, 0.04); /* told with one or two digits */
        check_close(word->published_most, most, 0.04);
        check_at_least(word->viscosity, 0.96 * least);
        check_at_most(word->viscosity, 1.04 * most);
    }
}

static void old_words_name_the_number_and_a_new_word(void **state)
{
    (void)state;
    char text[300], number[40];
    for (int i = 0; i < RN_CONSISTENCY_OLD_COUNT; i++) {
        const rn_consistency_old *old = &rn_consistency_olds[i];
        rn_consistency_old_text(text, sizeof text, i);
        snprintf(number, sizeof number, " %g Pa s", old->viscosity);
        assert_non_null(strstr(text, old->word));
        assert_non_null(strstr(text, number));
        assert_non_null(strstr(text, rn_consistency_word(old->viscosity)));
        assert_int_equal(rn_consistency_find(old->word), -1); /* one word, one number */
        assert_int_equal(rn_consistency_find_old(old->word), i);
    }
    assert_int_equal(rn_consistency_find_old("warm honey"), -1); /* it means what it did */
    check_close(rn_consistency_ladder[rn_consistency_find("Warm Honey")].viscosity, 2, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mixtures_follow_the_log_law),
        cmocka_unit_test(equal_paints_mix_to_themselves),
        cmocka_unit_test(apparent_viscosity_is_stress_over_rate),
        cmocka_unit_test(spread_counts_only_paints_that_are_used),
        cmocka_unit_test(ladder_words_cover_all_viscosities),
        cmocka_unit_test(the_ladder_agrees_with_what_is_published),
        cmocka_unit_test(old_words_name_the_number_and_a_new_word),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
