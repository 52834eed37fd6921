/* The two figures at the head of a jar's slip, its volume and its consistency, as they are typed and stepped. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "edit.h"
#include "plan/plan_value.h"
#include "slip.h"
#include "slip_edit.h"

#define LEAST_VOLUME 1e-8    /* [m3] */
#define MOST_VOLUME 20e-3    /* [m3] */
#define SAME_VOLUME 1e-9     /* an edit rounds to so much [m3] */
#define STEPPED_MOST 5e-3    /* by steps no further than a drag [m3] */
#define LEAST_VISCOSITY 1e-4 /* [Pa s] */
#define MOST_VISCOSITY 1e4   /* [Pa s] */

static const rn_unit *unit_of(const rv_view *view)
{
    int count;
    const rn_unit *units = rn_units_table(&count);
    for (int k = 0; k < count && view->ounces; k++)
        if (strcmp(units[k].name, "fl oz") == 0)
            return &units[k];
    return rn_units_own(RN_DIM_VOLUME);
}

static bool stands(const rv_view *view)
{
    return view->slip.kind == SLIP_JAR && view->slip.index < document_plan(view->doc)->paint_count;
}

void slip_jar_value(char *text, int size, const rv_view *view, int row)
{
    const rn_plan *plan = document_plan(view->doc);
    const int paint = view->slip.index;
    text[0] = '\0';
    if (stands(view) && row == SLIP_ROW_VOLUME)
        rn_units_round(text, size, edit_jar_volume(plan, paint), RN_DIM_VOLUME, unit_of(view), 7);
    else if (stands(view) && row == SLIP_ROW_CONSISTENCY)
        rn_units_round(text, size, edit_jar_viscosity(plan, paint), RN_DIM_VISCOSITY, NULL, 6);
}

/* A quantity with its unit, a weight by the density; a number alone is in `usual`. */
static rn_status read_amount(double *value, const char *text, rn_dimension dimension, const rn_unit *usual,
                             double density, double least, double most, rn_error *err)
{
    double found;
    const rn_unit *unit = usual;
    if (rn_units_read(&found, NULL, text, RN_DIM_PLAIN, 0, NULL) == RN_OK) {
        found *= usual->factor;
    } else {
        const rn_status status = rn_units_read(&found, &unit, text, dimension, density, err);
        if (status != RN_OK)
            return status;
    }
    if (!(found >= least && found <= most)) {
        char quoted[RN_QUOTE_SIZE], low[64], high[64];
        unit = unit->dimension == dimension ? unit : usual;
        return rn_fail(err, RN_E_PLAN, "'%s' is out of range: it goes from %s to %s", rn_text_quote(quoted, text),
                       rn_units_round(low, sizeof low, least, dimension, unit, 2),
                       rn_units_round(high, sizeof high, most, dimension, unit, 4));
    }
    *value = found;
    return RN_OK;
}

static rn_status put_volume(rn_plan *draft, const rv_view *view, const char *text, rn_error *err)
{
    const int paint = view->slip.index;
    double volume;
    const rn_status status = read_amount(&volume, text, RN_DIM_VOLUME, unit_of(view), draft->paints[paint].density,
                                         LEAST_VOLUME, MOST_VOLUME, err);
    if (status != RN_OK)
        return status;
    edit_set_jar_volume(draft, paint, volume);
    const double now = edit_jar_volume(draft, paint);
    if (now <= 0 && draft->pour_count == 0)
        return rn_fail(err, RN_E_PLAN, "No release pours it yet: draw one on the clock, or press Insert.");
    if (now <= 0)
        return rn_fail(err, RN_E_PLAN, "The first release holds no more paints: take one out of it.");
    if (fabs(now - volume) > SAME_VOLUME) {
        char quoted[RN_QUOTE_SIZE];
        return rn_fail(err, RN_E_PLAN, "'%s' cannot be shared out to all of its places in the releases",
                       rn_text_quote(quoted, text));
    }
    return RN_OK;
}

static rn_status put_consistency(rn_plan *draft, const rv_view *view, const char *text, rn_error *err)
{
    char plain[TYPING_SIZE];
    if (!rn_units_plain(plain, sizeof plain, text))
        plain[0] = '\0';
    double viscosity = rn_value_consistency(draft, plain);
    if (isnan(viscosity) && strpbrk(plain, "0123456789")) {
        const rn_status status = read_amount(&viscosity, text, RN_DIM_VISCOSITY, rn_units_own(RN_DIM_VISCOSITY), 0,
                                             LEAST_VISCOSITY, MOST_VISCOSITY, err);
        if (status != RN_OK)
            return status;
    }
    if (isnan(viscosity))
        return rn_value_fail_consistency(text, ", or for example 1.2 Pa s", err);
    rn_law *law = &draft->paints[view->slip.index].law;
    if (law->yield > 0)
        edit_set_jar_viscosity(draft, view->slip.index, viscosity);
    else
        law->consistency = viscosity; /* all its digits, as a value that is typed keeps them */
    return RN_OK;
}

rn_status slip_jar_put(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err)
{
    char now[64];
    if (!stands(view))
        return rn_fail(err, RN_E_USAGE, "nothing to set there");
    slip_jar_value(now, sizeof now, view, row);
    if (strcmp(now, text) == 0)
        return RN_OK;
    return row == SLIP_ROW_VOLUME ? put_volume(draft, view, text, err) : put_consistency(draft, view, text, err);
}

void slip_jar_step(char *text, int size, const rv_view *view, int row, int up, bool coarse)
{
    const rn_plan *plan = document_plan(view->doc);
    text[0] = '\0';
    if (!stands(view))
        return;
    if (row == SLIP_ROW_VOLUME) {
        const double volume = edit_jar_volume(plan, view->slip.index), most = fmax(STEPPED_MOST, volume);
        rn_units_round(text, size, fmin(fmax(volume + up * (coarse ? 10e-6 : 1e-6), 1e-6), most), RN_DIM_VOLUME, NULL,
                       7);
    } else {
        const double factor = coarse ? 1.5 : 1.05;
        rn_units_round(text, size, edit_jar_viscosity(plan, view->slip.index) * (up > 0 ? factor : 1 / factor),
                       RN_DIM_VISCOSITY, NULL, 3);
    }
}

const char *slip_jar_help(int row)
{
    return row == SLIP_ROW_VOLUME ? "How much of it is poured in all: 40 ml, 1.4 fl oz, or 48 g by its density."
                                  : "How it runs from a stick: sugar syrup, olive oil, maple syrup, thinned glycerine, "
                                    "castor oil, warm honey, honey, or for example 1.2 Pa s.";
}
