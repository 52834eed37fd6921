/* What is said of a wrong value is what a painter may follow blindly: no unit is glued on that gives an unlikely value,
   what could be meant in two ways is asked with both, and no word of another kind is offered. Each line was judged so by
   hand. What is usual at a pour is common practice, no source. */
#include "check.h"

#include <string.h>

#include "plan/plan.h"

static const struct {
    const char *path, *value, *hint;
} wrong[] = {
    {"paints.slate.viscosity", "1000", "'1000' has no unit: did you mean 1000 mPa s, which is 1 Pa s?"},
    {"paints.slate.viscosity", "1", "'1' has no unit: did you mean 1 Pa s?"},
    {"paints.slate.viscosity", "0.4", "'0.4' has no unit: did you mean 0.4 Pa s?"},
    {"paints.slate.viscosity", "400", "'400' has no unit: did you mean 400 mPa s, which is 0.4 Pa s?"},
    {"paints.slate.viscosity", "25", "'25' has no unit: did you mean 25 Pa s or 25 mPa s?"},
    {"paints.slate.viscosity", "100000", "'100000' has no unit: a viscosity takes Pa s or mPa s, for example 1.1 Pa s"},
    {"paints.slate.viscosity", "1000 cps", "unknown unit 'cps' in '1000 cps': that is 1 Pa s"},
    {"paints.slate.viscosity", "1000 cSt",
     "unknown unit 'cSt' in '1000 cSt': a viscosity is written for example 1.1 Pa s"},
    {"paints.slate.viscosity", "12 poise", "unknown unit 'poise' in '12 poise': that is 1.2 Pa s"},
    {"paints.slate.viscosity", "1,2 Pa s", "'1,2 Pa s' has a decimal comma: write 1.2 Pa s"},
    {"paints.slate.viscosity", "1,200 mPa s", "'1,200 mPa s' has a comma: did you mean 1200 mPa s or 1.200 mPa s?"},
    {"paints.slate.viscosity", "2 Pa", "'2 Pa' is a stress where a viscosity is wanted: write for example 1.1 Pa s"},
    {"paints.slate.viscosity", "2 pas", "unknown unit 'pas' in '2 pas'; did you mean 'Pa s'?"},
    {"paints.slate.viscosity", "honey", "'honey' is a word: it goes under consistency, and a number under viscosity"},
    {"paints.slate.consistency", "1000", "'1000' is no word of consistency: a number goes under viscosity"},
    {"paints.slate.consistency", "1 Pa s", "'1 Pa s' is no word of consistency: a number goes under viscosity"},
    {"paints.slate.consistency", "heavy cream",
     "unknown consistency 'heavy cream': it is sugar syrup, olive oil, maple syrup, thinned glycerine, castor oil, "
     "warm honey or honey"},
    {"paints.slate.consistency", "golden syrup",
     "unknown consistency 'golden syrup': it is sugar syrup, olive oil, maple syrup, thinned glycerine, castor oil, "
     "warm honey or honey"},
    {"paints.slate.consistency", "glycerin",
     "unknown consistency 'glycerin': it is sugar syrup, olive oil, maple syrup, thinned glycerine, castor oil, warm "
     "honey or honey"},
    {"paints.slate.yield", "0.6", "'0.6' has no unit: did you mean 0.6 Pa?"},
    {"paints.slate.yield", "200", "'200' has no unit: did you mean 200 mPa, which is 0.2 Pa?"},
    {"paints.slate.yield", "0.6 kPa", "unknown unit 'kPa' in '0.6 kPa': that is 600 Pa"},
    {"paints.slate.power", "80 %", "'80 %' is a share where a plain number is wanted: did you mean 0.8?"},
    {"paints.slate.density", "1.2", "'1.2' has no unit: did you mean 1.2 g/ml?"},
    {"paints.slate.density", "1200", "'1200' has no unit: did you mean 1200 kg/m3, which is 1.2 g/ml?"},
    {"paints.slate.density", "10", "'10' has no unit: a density takes g/ml or kg/m3, for example 1.2 g/ml"},
    {"paints.slate.density", "10 lb/gal",
     "unknown unit 'lb/gal' in '10 lb/gal': by the American measure that is 1.198 g/ml"},
    {"paints.slate.density", "1.2 g/cc", "unknown unit 'g/cc' in '1.2 g/cc': that is 1.2 g/ml"},
    {"paints.slate.density", "1.2 g", "'1.2 g' is a weight where a density is wanted: write for example 1.2 g/ml"},
    {"paints.slate.tension", "33", "'33' has no unit: did you mean 33 mN/m?"},
    {"paints.slate.tension", "0.033", "'0.033' has no unit: did you mean 0.033 N/m, which is 33 mN/m?"},
    {"paints.slate.tension", "33 dyne/cm", "unknown unit 'dyne/cm' in '33 dyne/cm'; did you mean 'dyn/cm'?"},
    {"paints.slate.solids", "0.35", "'0.35' has no unit: did you mean 35 % or 0.35 %?"},
    {"paints.slate.solids", "35", "'35' has no unit: did you mean 35 %?"},
    {"paints.slate.solids", "1", "'1' has no unit: did you mean 100 % or 1 %?"},
    {"paints.slate.solids", "350", "'350' has no unit: a share goes from 0 % to 100 %, for example 35 %"},
    {"paints.slate.solids", "35 pct", "unknown unit 'pct' in '35 pct': a share is written for example 35 %"},
    {"paints.slate.price", "0.95", "'0.95' has no unit: did you mean 0.95 per fl oz, which is 0.0321 per ml?"},
    {"paints.slate.price", "0.04", "'0.04' has no unit: did you mean 0.04 per ml?"},
    {"paints.slate.price", "40", "'40' has no unit: did you mean 40 per l, which is 0.04 per ml?"},
    {"paints.slate.price", "12", "'12' has no unit: did you mean 12 per l or 12 per fl oz?"},
    {"paints.slate.price", "40 per kg",
     "unknown unit 'per kg' in '40 per kg': a price is written for example 0.04 per ml"},
    {"paints.slate.price", "40 per litre", "unknown unit 'per litre' in '40 per litre': that is 0.04 per ml"},
    {"paints.slate.price", "12 per bottle",
     "unknown unit 'per bottle' in '12 per bottle': a price is written for example 0.04 per ml"},
    {"paints.slate.price", "9 per cup",
     "unknown unit 'per cup' in '9 per cup': by the American measure that is 0.03804 per ml"},
    {"paints.slate.price", "$0.95 per oz", "'$0.95 per oz' is no price: write for example 0.04 per ml"},
    {"cover", "0.15", "'0.15' has no unit: did you mean 0.15 mm?"},
    {"cover", "15", "'15' has no unit: a length takes mm, cm, in, m, ft or um, for example 0.15 mm"},
    {"cover", "0.15 s", "'0.15 s' is a time where a length is wanted: write for example 0.15 mm"},
    {"cover", "150 microns", "unknown unit 'microns' in '150 microns': that is 0.15 mm"},
    {"cover", "6 mil", "unknown unit 'mil' in '6 mil': that is 0.1524 mm"},
    {"cover", "0,15 mm", "'0,15 mm' has a decimal comma: write 0.15 mm"},
    {"end", "90", "'90' has no unit: did you mean 90 s?"},
    {"end", "4", "'4' has no unit: did you mean 4 min, which is 240 s?"},
    {"end", "2000", "'2000' has no unit: did you mean 2000 s?"},
    {"end", "24", "'24' has no unit: did you mean 24 s or 24 min?"},
    {"end", "4:00", "'4:00' is written as a clock has it: did you mean 240 s?"},
    {"end", "0:30", "'0:30' could be minutes or hours: write 30 s or 30 min"},
    {"end", "1:30:00", "'1:30:00' is no time: write for example 180 s"},
    {"end", "240000 ms", "unknown unit 'ms' in '240000 ms': that is 240 s"},
    {"end", "4 m", "'4 m' is a length where a time is wanted: write for example 180 s"},
    {"end", "4 mins", "unknown unit 'mins' in '4 mins'; did you mean 'min'?"},
    {"end", "2 hrs", "unknown unit 'hrs' in '2 hrs': that is 7200 s"},
    {"panel.size", "12 x 12", "'12 x 12' has no unit: did you mean 12 cm x 12 cm or 12 in x 12 in?"},
    {"panel.size", "300 x 400", "'300 x 400' has no unit: did you mean 300 mm x 400 mm?"},
    {"panel.size", "30 x 40", "'30 x 40' has no unit: did you mean 30 cm x 40 cm or 30 in x 40 in?"},
    {"panel.size", "12", "'12' is no size: write width x height, for example 12 in x 16 in"},
    {"panel.size", "12 inch x 12", "'12 inch x 12' has a unit for its width alone: did you mean 12 inch x 12 inch?"},
    {"panel.size", "1 x 1", "'1 x 1' has no unit: did you mean 1 m x 1 m or 1 ft x 1 ft?"},
    {"panel.across", "30", "'30' has no unit: did you mean 30 cm or 30 in?"},
    {"panel.across", "300", "'300' has no unit: did you mean 300 mm?"},
    {"panel.slope", "0.2", "'0.2' has no unit: did you mean 0.2 deg?"},
    {"panel.slope", "20", "'20' has no unit: an angle takes deg or rad, for example 0.2 deg"},
    {"panel.advance", "25", "'25' has no unit: did you mean 25 deg?"},
    {"panel.downhill", "90", "'90' has no unit: did you mean 90 deg?"},
    {"panel.downhill", "up",
     "'up' is no direction: write left, right, back, front, a pair such as back right, or an angle such as 135 deg"},
    {"panel.edges", "wrap", "edges cannot be 'wrap': it is one of clean, wrapped, walls, open"},
    {"panel.edges", "taped", "edges cannot be 'taped': it is one of clean, wrapped, walls, open"},
    {"panel.ground", "primer", "ground cannot be 'primer'; did you mean 'primed'?"},
    {"base.1.volume", "8", "'8' has no unit: did you mean 8 ml or 8 fl oz?"},
    {"base.1.volume", "0.25", "'0.25' has no unit: did you mean 0.25 fl oz or 0.25 l?"},
    {"base.1.volume", "2 lb", "unknown unit 'lb' in '2 lb': that is 907.2 g"},
    {"base.1.volume", "2 tbsp", "unknown unit 'tbsp' in '2 tbsp': by the American measure that is 29.57 ml"},
    {"base.1.volume", "1 cup", "unknown unit 'cup' in '1 cup': by the American measure that is 236.6 ml"},
    {"base.1.volume", "8 mls", "unknown unit 'mls' in '8 mls'; did you mean 'ml'?"},
    {"base.1.volume", "8 mg", "unknown unit 'mg' in '8 mg': that is 0.008 g"},
    {"base.1.volume", "8 mm", "'8 mm' is a length where a volume is wanted: write for example 30 ml"},
    {"base.1.volume", "1,500 ml", "'1,500 ml' has a comma: did you mean 1500 ml or 1.500 ml?"},
    {"base.1.depth", "0.3", "'0.3' has no unit: did you mean 0.3 mm?"},
    {"base.1.depth", "3", "'3' has no unit: a length takes mm, cm, in, m, ft or um, for example 0.3 mm"},
    {"pours.1.across", "7", "'7' has no unit: did you mean 7 cm or 7 in?"},
    {"pours.1.across", "70", "'70' has no unit: did you mean 70 mm?"},
    {"pours.1.across", "2 3/4", "'2 3/4' has no unit: did you mean 2 3/4 cm or 2 3/4 in?"},
    {"pours.1.width", "1", "'1' has no unit: did you mean 1 cm or 1 in?"},
    {"pours.1.width", "10", "'10' has no unit: did you mean 10 mm?"},
    {"pours.1.start", "5", "'5' has no unit: did you mean 5 s or 5 min?"},
    {"pours.1.every", "5", "'5' has no unit: did you mean 5 s?"},
    {"pours.1.open", "2000", "'2000' has no unit: a time takes s, min or h, for example 2 s"},
    {"pours.1.open", "2000 ms", "unknown unit 'ms' in '2000 ms': that is 2 s"},
    {"pours.1.open", "3 sce", "unknown unit 'sce' in '3 sce'; did you mean 'sec'?"},
    {"pours.1.open", "0.5", "'0.5' has no unit: did you mean 0.5 s?"},
    {"pours.1.lifts", "8 times", "'8 times' has a unit where a whole number is wanted: write for example 8"},
    {"pours.1.lifts", "2.5", "'2.5' is no whole number: write for example 8"},
    {"pours.1.uneven", "0.1", "'0.1' has no unit: did you mean 10 % or 0.1 %?"},
    {"pours.1.uneven", "10", "'10' has no unit: did you mean 10 %?"},
    {"pours.1.stack.1", "40", "'40' has no unit: did you mean 40 ml?"},
    {"pours.1.stack", "[slate 40, kelp 45]", "'40' has no unit: did you mean 40 ml?"},
    {"pours.1.stack", "[slate 2, kelp 45 ml]", "'2' has no unit: did you mean 2 ml or 2 fl oz?"},
    {"pours.1.stack", "[slate 2 lb]", "unknown unit 'lb' in '2 lb': that is 907.2 g"},
    {"pours.1.stack", "[slate 2 oz, klep 45 ml]", "unknown paint 'klep'; did you mean 'kelp'?"},
    {"pours.1.stack", "[slat 2 oz]", "unknown paint 'slat'; did you mean 'slate'?"},
    {"pours.1.at", "40 right", "'40' has no unit: did you mean 40 mm or 40 cm?"},
    {"pours.1.at", "4 left 2 back", "'4' has no unit: did you mean 4 mm, 4 cm or 4 in?"},
    {"pours.1.at", "middle",
     "'middle' is no place: write centre, back right corner, front edge, or 40 mm right 20 mm front"},
    {"pours.1.at", "top left",
     "'top left' is no place: write centre, back right corner, front edge, or 40 mm right 20 mm front"},
    {"moves.1.turn", "6", "'6' has no unit: did you mean 6 rpm?"},
    {"moves.1.turn", "0.1", "'0.1' has no unit: a turning rate takes rpm or deg/s, for example 6 rpm"},
    {"moves.1.turn", "0.1 rps", "unknown unit 'rps' in '0.1 rps': that is 6 rpm"},
    {"moves.2.tilt", "9", "'9' has no unit: did you mean 9 deg?"},
    {"moves.2.tilt", "0.15", "'0.15' has no unit: did you mean 0.15 rad, which is 8.59 deg?"},
    {"moves.2.tilt", "15 %", "'15 %' is a share where an angle is wanted: write for example 8 deg"},
    {"moves.2.toward", "135", "'135' has no unit: did you mean 135 deg?"},
    {"moves.2.toward", "2.36", "'2.36' has no unit: did you mean 2.36 rad, which is 135 deg?"},
    {"moves.2.toward", "north",
     "'north' is no direction: write left, right, back, front, a pair such as back right, or an angle such as 135 deg"},
    {"moves.2.for", "10", "'10' has no unit: did you mean 10 s?"},
    {"moves.2.for", "1/2", "'1/2' has no unit: did you mean 1/2 s or 1/2 min?"},
    {"moves.6.spin", "45", "'45' has no unit: did you mean 45 rpm?"},
    {"moves.6.spin", "45 rp", "unknown unit 'rp' in '45 rp'; did you mean 'rpm'?"},
    {"moves.6.spin", "45 rmp", "unknown unit 'rmp' in '45 rmp'; did you mean 'rpm'?"},
    {"moves.6.spin", "270", "'270' has no unit: did you mean 270 rpm?"},
    {"moves.6.spin", "720", "'720' has no unit: did you mean 720 deg/s, which is 120 rpm?"},
    {"moves.6.spin", "slow", "'slow' is no turning rate: write for example 6 rpm"},
    {"moves.2.ramp", "500", "'500' has no unit: a time takes s, min or h, for example 8 s"},
    {"limits.spin", "60", "'60' has no unit: did you mean 60 rpm?"},
    {"limits.deepest", "4", "'4' has no unit: did you mean 4 mm?"},
    {"limits.deepest", "0.004", "'0.004' has no unit: did you mean 0.004 m or 0.004 ft?"},
    {"limits.stretch", "2 x", "'2 x' has a unit where a plain number is wanted: write for example 2"},
    {"expect.coverage", "at least 0.99", "'0.99' has no unit: did you mean 99 % or 0.99 %?"},
    {"expect.coverage", "at least 1", "'1' has no unit: did you mean 100 % or 1 %?"},
    {"expect.coverage", "at least 99", "'99' has no unit: did you mean 99 %?"},
    {"expect.coverage", "0.99",
     "'0.99' does not say 'at least', 'at most' or '+-': write for example coverage: at least 99 %"},
    {"expect.covered by", "120", "'120' has no unit: did you mean 120 s?"},
    {"expect.covered by", "2", "'2' has no unit: did you mean 2 min, which is 120 s?"},
    {"expect.run-off", "at most 0.2",
     "'0.2' has no unit: run-off takes ml, fl oz or % of all paint, for example 30 ml"},
    {"expect.run-off", "at most 20", "'20' has no unit: run-off takes ml, fl oz or % of all paint, for example 30 ml"},
    {"expect.run-off", "at most 20 g", "'20 g' is a weight, and no density is known here: write for example 30 ml"},
    {"expect.run-off", "20 +- 5", "'20 ' has no unit: run-off takes ml, fl oz or % of all paint, for example 30 ml"},
    {"expect.corner", "at least 0.2", "'0.2' has no unit: did you mean 0.2 mm or 0.2 cm?"},
    {"expect.corner", "at least 200", "'200' has no unit: did you mean 200 um?"},
    {"expect.thinnest", "at least 0.15", "'0.15' has no unit: did you mean 0.15 mm or 0.15 cm?"},
    {"expect.stretch", "at most 2 mm", "'2 mm' has a unit where a plain number is wanted: write for example 2"},
    {"expect.twist", "10 +- 5", "'10' has no unit: did you mean 10 deg?"},
    {"expect.twist", "at most 10", "'10' has no unit: did you mean 10 deg?"},
    {"poured", "155", "'155' has no unit: did you mean 155 ml?"},
    {"poured", "5.25", "'5.25' has no unit: did you mean 5.25 fl oz, which is 155 ml?"},
    {"poured", "2 cups", "unknown unit 'cups' in '2 cups': by the American measure that is 473.2 ml"},
    {"poured", "3", "'3' has no unit: did you mean 3 fl oz, which is 88.7 ml?"},
    {"consistency", "1000", "'1000' has no unit: did you mean 1000 mPa s, which is 1 Pa s?"},
    {"consistency", "0.4", "'0.4' has no unit: did you mean 0.4 Pa s?"},
    {"consistency", "honney", "unknown consistency 'honney'; did you mean 'honey'?"},
};

static rn_plan *tide_table(void)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, "presets/tide-table.yaml", &err), &err);
    return plan;
}

static void wrong_values_are_hinted_at_without_harm(void **state)
{
    (void)state;
    rn_plan *plan = tide_table();
    int bad = 0;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        rn_error err = {0};
        char message[sizeof err.message];
        check_status(rn_plan_set(plan, wrong[i].path, wrong[i].value, &err), RN_E_PLAN, &err);
        snprintf(message, sizeof message, "%s: %s", wrong[i].path, wrong[i].hint);
        if (strcmp(err.message, message) != 0) {
            fprintf(stderr, "%s\n    wanted %s\n", err.message, message);
            bad++;
        }
    }
    assert_int_equal(bad, 0);
    rn_plan_free(plan);
}

/* Whatever one reading a hint gives is a value that the plan takes. */
static void what_is_offered_is_taken(void **state)
{
    (void)state;
    rn_plan *plan = tide_table();
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        const char *offer = strstr(wrong[i].hint, "did you mean "), * or = offer ? strstr(offer, " or ") : NULL;
        if (!offer || or || strchr(offer, '\'') || strchr(wrong[i].value, '[') || !strncmp(wrong[i].path, "expect", 6))
            continue;
        char value[120];
        snprintf(value, sizeof value, "%.*s", (int)strcspn(offer + 13, "?,"), offer + 13);
        rn_plan *copy = rn_plan_copy(plan);
        rn_error err = {0};
        if (strcmp(wrong[i].path, "pours.1.stack.1") == 0)
            snprintf(value, sizeof value, "slate 40 ml");
        const rn_status status = rn_plan_set(copy, wrong[i].path, value, &err);
        if (status && !strstr(err.message, "the plan ends") && !strstr(err.message, "overlap"))
            fail_msg("%s: %s", value, err.message);
        rn_plan_free(copy);
    }
    rn_plan_free(plan);
}

static void a_key_is_not_taken_for_one_of_another_kind(void **state)
{
    (void)state;
    static const char text[] = "plan: 1\npanel: {size: 12 in x 12 in}\nnotes: try more\npaints: {slate: }\n"
                               "pours: [{stack: [slate 100 ml]}]\n";
    rn_plan *plan = NULL;
    rn_error err = {0};
    assert_int_equal(rn_plan_read(&plan, text, (long)strlen(text), "text", &err), RN_E_PLAN);
    assert_string_equal(err.message, "unknown key 'notes': a plan has plan, title, panel, cover, paints, base, pours, "
                                     "moves, limits, end, expect");
}

static void an_error_carries_the_one_thing_that_is_right(void **state)
{
    (void)state;
    static const struct {
        const char *path, *value, *wrong, *right;
    } tries[] = {{"paints.slate.viscosity", "1000", "1000", "1000 mPa s"},
                 {"cover", "0.15", "0.15", "0.15 mm"},
                 {"cover", "0,15 mm", "0,15 mm", "0.15 mm"},
                 {"pours.1.open", "2000 ms", "2000 ms", "2 s"},
                 {"paints.slate.solids", "0.35", "", ""},
                 {"panel.across", "30", "", ""},
                 {"base.1.volume", "1 cup", "", ""}};
    rn_plan *plan = tide_table();
    for (size_t i = 0; i < sizeof tries / sizeof tries[0]; i++) {
        rn_error err = {0};
        check_status(rn_plan_set(plan, tries[i].path, tries[i].value, &err), RN_E_PLAN, &err);
        assert_string_equal(err.wrong, tries[i].wrong);
        assert_string_equal(err.right, tries[i].right);
    }
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wrong_values_are_hinted_at_without_harm),
        cmocka_unit_test(what_is_offered_is_taken),
        cmocka_unit_test(a_key_is_not_taken_for_one_of_another_kind),
        cmocka_unit_test(an_error_carries_the_one_thing_that_is_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
