/* The sentence over plans side by side. It ranks them only by what is known of every one of them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/report.h"
#include "side.h"

#define NONE 0.05e-6 /* less run-off is not told [m3] */

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

int side_phrases(rv_phrase phrases[PHRASES_MOST], const rv_canvas *canvas, const rv_side *side)
{
    int count = 0, best;
    char volume[40];
    memset(phrases, 0, PHRASES_MOST * sizeof *phrases);
    if (side->all == 1) {
        phrases[count].role = RN_ROLE_INK;
        snprintf(phrases[count++].strong, PHRASE_SIZE, "One plan.");
        phrases[count].role = RN_ROLE_INK;
        phrases[count].keep = 1;
        snprintf(phrases[count++].lead, PHRASE_SIZE, "T sets a thinner and a thicker one beside it, Ctrl+D a copy.");
        return count;
    }
    say_what(&phrases[count++], canvas, side);
    bool complete = true, any = false;
    for (int k = 0; k < side->all; k++) {
        const rv_studio_tale *tale = side->every[k].tale;
        complete = complete && tale && tale->complete;
        any = any || (complete && tale->forecast.covered);
    }
    if (!complete) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_UNKNOWN, .role = RN_ROLE_INK2, .keep = 3};
        snprintf(phrases[count++].lead, PHRASE_SIZE, "not all worked out yet");
        return count;
    }
    if (!any) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_SHORT, .role = RN_ROLE_SHORT, .keep = 3};
        snprintf(phrases[count++].strong, PHRASE_SIZE, side->all == 2 ? "neither is covered" : "none is covered");
    } else if ((best = least_of(side, RULE_COVERED, 0.5)) >= 0) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_COVERED, .role = RN_ROLE_INK, .keep = 3};
        const double first = side->every[best].tale->forecast.covered_at;
        snprintf(phrases[count].lead, PHRASE_SIZE, "first covered ");
        snprintf(phrases[count++].strong, PHRASE_SIZE, first < RN_AT_START ? "%s, from the start" : "%s, %.0f s",
                 side->every[best].letter, first);
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
