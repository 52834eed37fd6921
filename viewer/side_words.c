/* The sentence over plans side by side. It tells the moment shown, what comes of them by their ends only there, and ranks
   them by nothing but what is known of every one of them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/report.h"
#include "side.h"

#define NONE 0.05e-6  /* less run-off is not told [m3] */
#define BARELY 0.0005 /* less coverage is not told */
#define ENDING 0.05   /* so close to its end a plan has ended [s] */

static const char *const counts[] = {"", "One plan", "Two plans", "Three plans"};

/* The column with the least of something; -1 if one of them does not tell it, or two have it up to what counts as alike. A
   plan that is never covered is no first. */
static int least_of(const rv_side *side, rv_side_rule rule, double alike)
{
    int best = -1;
    double least = INFINITY, second = INFINITY;
    for (int k = 0; k < side->all; k++) {
        double own;
        if (!side_figure(&own, &side->every[k], rule) || (isnan(own) && rule != RULE_COVERED))
            return -1;
        if (own < least) {
            second = least;
            least = own;
            best = k;
        } else if (own < second) {
            second = own;
        }
    }
    return isfinite(second) && second - least <= fmax(0.01 * least, alike) ? -1 : best;
}

static void say_what(rv_phrase *phrase, const rv_canvas *canvas, const rv_side *side)
{
    const double time = canvas->view->time;
    phrase->role = RN_ROLE_INK;
    switch (side->unlike.kind) {
    case RN_ALIKE:
        snprintf(phrase->lead, PHRASE_SIZE, "%s at %.0f s, ", counts[side->all], time);
        snprintf(phrase->strong, PHRASE_SIZE, "alike");
        break;
    case RN_UNLIKE_SEVERAL:
        snprintf(phrase->lead, PHRASE_SIZE, "%s at %.0f s, unlike in ", counts[side->all], time);
        snprintf(phrase->strong, PHRASE_SIZE, "%s", side->unlike.whole.words);
        break;
    case RN_UNLIKE_CONSISTENCY:
    case RN_UNLIKE_POURED:
    case RN_UNLIKE_ONE:
        snprintf(phrase->lead, PHRASE_SIZE, "%s at %.0f s, unlike only in ", counts[side->all], time);
        snprintf(phrase->strong, PHRASE_SIZE, "%s", side->unlike.whole.words);
        break;
    }
}

/* ---- by the end ---- */

static void say_first_covered(rv_phrase *phrases, int *count, const rv_side *side, int best)
{
    const double first = side->every[best].tale->forecast.covered_at;
    rv_phrase *phrase = &phrases[(*count)++];
    *phrase = (rv_phrase){.has_tile = true, .tile = TILE_COVERED, .role = RN_ROLE_INK, .keep = 3};
    snprintf(phrase->lead, PHRASE_SIZE, "first covered ");
    snprintf(phrase->strong, PHRASE_SIZE, first < RN_AT_START ? "%s, from the start" : "%s, %.0f s",
             side->every[best].letter, first);
}

static int say_outcomes(rv_phrase *phrases, int count, const rv_canvas *canvas, const rv_side *side)
{
    bool any = false;
    int best;
    char volume[40];
    for (int k = 0; k < side->all; k++)
        any = any || side->every[k].tale->forecast.covered;
    if ((best = least_of(side, RULE_COVERED, 0.5)) >= 0) {
        say_first_covered(phrases, &count, side, best);
    } else if (!any) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_SHORT, .role = RN_ROLE_SHORT, .keep = 3};
        snprintf(phrases[count++].strong, PHRASE_SIZE, side->all == 2 ? "neither is covered" : "none is covered");
    }
    if ((best = least_of(side, RULE_RUN_OFF, NONE)) >= 0) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_RUN_OFF, .role = RN_ROLE_RUN_OFF, .keep = 2};
        snprintf(phrases[count].lead, PHRASE_SIZE, "least run-off ");
        const double least = side->every[best].tale->forecast.run_off;
        snprintf(phrases[count++].strong, PHRASE_SIZE, "%s, %s", side->every[best].letter,
                 least < NONE ? "none" : canvas_volume(canvas, volume, sizeof volume, least));
    }
    if ((best = least_of(side, RULE_STRETCH, 0.05)) >= 0) {
        phrases[count] = (rv_phrase){.role = RN_ROLE_INK, .keep = 1};
        snprintf(phrases[count].lead, PHRASE_SIZE, "least stretch ");
        snprintf(phrases[count++].strong, PHRASE_SIZE, "%s, %.1f ×", side->every[best].letter,
                 side->every[best].tale->forecast.stretch);
    }
    return count;
}

/* ---- on the way ---- */

static double gone(const rv_side_column *column)
{
    return rn_moment_run_off(&column->moment);
}

static double bare(const rv_side_column *column)
{
    return 1 - column->moment.coverage;
}

/* As least_of, of the moment shown; also what is the greatest. */
static int least_now(double *most, const rv_side *side, double of(const rv_side_column *), double alike)
{
    int best = 0;
    double second = INFINITY;
    *most = of(&side->every[0]);
    for (int k = 1; k < side->all; k++) {
        const double own = of(&side->every[k]), least = of(&side->every[best]);
        *most = fmax(*most, own);
        second = fmin(second, fmax(own, least));
        best = own < least ? k : best;
    }
    return second - of(&side->every[best]) <= alike ? -1 : best;
}

static void say_coverage(rv_phrase *phrases, int *count, const rv_canvas *canvas, const rv_side *side)
{
    double most;
    const int first = least_of(side, RULE_COVERED, 0.5);
    if (first >= 0 && side->every[first].tale->forecast.covered_at <= canvas->view->time) {
        say_first_covered(phrases, count, side, first);
        return;
    }
    const int best = least_now(&most, side, bare, BARELY);
    rv_phrase phrase = {.has_tile = true, .tile = TILE_PART, .role = RN_ROLE_INK, .keep = 3};
    if (best >= 0) {
        phrase.share = side->every[best].moment.coverage;
        snprintf(phrase.lead, PHRASE_SIZE, "most covered ");
        snprintf(phrase.strong, PHRASE_SIZE, "%s, %.1f %%", side->every[best].letter, fmin(100 * phrase.share, 99.9));
    } else if (bare(&side->every[0]) >= 1 - BARELY && most >= 1 - BARELY) {
        snprintf(phrase.strong, PHRASE_SIZE, "nothing covered yet");
    } else {
        return;
    }
    phrases[(*count)++] = phrase;
}

static void say_run_off(rv_phrase *phrases, int *count, const rv_canvas *canvas, const rv_side *side)
{
    double most;
    char volume[40];
    const int best = least_now(&most, side, gone, NONE);
    rv_phrase phrase = {.has_tile = true, .tile = TILE_RUN_OFF, .role = RN_ROLE_RUN_OFF, .keep = 2};
    if (best >= 0) {
        const double least = gone(&side->every[best]);
        snprintf(phrase.lead, PHRASE_SIZE, "least run-off so far ");
        snprintf(phrase.strong, PHRASE_SIZE, "%s, %s", side->every[best].letter,
                 least < NONE ? "none" : canvas_volume(canvas, volume, sizeof volume, least));
    } else if (most < NONE) {
        phrase = (rv_phrase){.role = RN_ROLE_INK, .keep = 2};
        snprintf(phrase.lead, PHRASE_SIZE, "nothing run off yet");
    } else {
        return;
    }
    phrases[(*count)++] = phrase;
}

/* Plans told by other grids than each other, or than the bench's finest, differ by that too. */
static void say_grids(rv_phrase *phrases, int *count, const rv_canvas *canvas, const rv_side *side)
{
    const int first = side->every[0].tale->cells;
    bool alike = true, outline = false;
    for (int k = 0; k < side->all; k++) {
        alike = alike && side->every[k].tale->cells == first;
        outline = outline || side->every[k].tale->outline;
    }
    if (*count >= PHRASES_MOST || (alike && !outline && first >= canvas->view->finest))
        return;
    rv_phrase *phrase = &phrases[(*count)++];
    *phrase = (rv_phrase){.role = RN_ROLE_INK2, .keep = 1, .aside = alike};
    if (alike) {
        snprintf(phrase->lead, PHRASE_SIZE, "first look, %d cells", first);
        return;
    }
    int used = snprintf(phrase->lead, PHRASE_SIZE, "cells:");
    for (int k = 0; k < side->all && used < PHRASE_SIZE; k++)
        used += snprintf(phrase->lead + used, (size_t)(PHRASE_SIZE - used), "%s %s %d", k ? "," : "",
                         side->every[k].letter, side->every[k].tale->cells);
}

/* ---- the whole ---- */

static int say_alone(rv_phrase *phrases)
{
    phrases[0].role = phrases[1].role = RN_ROLE_INK;
    phrases[1].keep = 1;
    snprintf(phrases[0].strong, PHRASE_SIZE, "One plan.");
    snprintf(phrases[1].lead, PHRASE_SIZE, "T sets a thinner and a thicker one beside it, Ctrl+D a copy.");
    return 2;
}

int side_phrases(rv_phrase phrases[PHRASES_MOST], const rv_canvas *canvas, const rv_side *side)
{
    int count = 0;
    bool ended = true, known = true, complete = true;
    memset(phrases, 0, PHRASES_MOST * sizeof *phrases);
    if (side->all == 1)
        return say_alone(phrases);
    say_what(&phrases[count++], canvas, side);
    for (int k = 0; k < side->all; k++) {
        const rv_side_column *column = &side->every[k];
        ended = ended && canvas->view->time >= column->plan->end - ENDING;
        known = known && column->known;
        complete = complete && column->tale && column->tale->complete;
    }
    if (ended ? !complete : !known) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_UNKNOWN, .role = RN_ROLE_INK2, .keep = 3};
        snprintf(phrases[count++].lead, PHRASE_SIZE, "not all worked out yet");
        return count;
    }
    if (ended) {
        count = say_outcomes(phrases, count, canvas, side);
    } else {
        say_coverage(phrases, &count, canvas, side);
        say_run_off(phrases, &count, canvas, side);
    }
    say_grids(phrases, &count, canvas, side);
    return count;
}
