#include "show/design.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/leaf.h"

#define MARGIN 24.0
#define GUTTER 44.0
#define LEFT 560.0  /* width of the stretch map */
#define UPPER 700.0 /* height of the map; of the bands and the twist beside it */
#define BANDS 300.0
#define TWIST 36.0 /* from the bands to the twist */
#define SPECTRUM 236.0

static const double text_width = RN_DESIGN_WIDTH - 2.0 * MARGIN;

void rn_design_headline(char *text, size_t size, const rn_design *design)
{
    char bands[80] = "No bands", spiral[100] = "", stretch[80] = "";
    if (design->rings && design->rings->all.count > 0)
        snprintf(bands, sizeof bands, "Bands %.1f mm wide in the middle", design->rings->all.median * 1e3);
    if (design->spiral && design->spiral->hand != RN_HAND_NONE)
        snprintf(spiral, sizeof spiral, ", turning %s by %.2f turns a decimetre",
                 design->spiral->hand == RN_HAND_CLOCKWISE ? "clockwise" : "counter-clockwise",
                 fabs(rn_spiral_per_decimetre(design->spiral)));
    else if (design->spiral && design->spiral->complete >= RN_SPIRAL_RINGS)
        snprintf(spiral, sizeof spiral, ", no spiral");
    if (design->stretch && design->stretch->known > 0)
        snprintf(stretch, sizeof stretch, "; %.1f %% of the face is pulled past %.2g to 1",
                 design->stretch->past_limit * 100.0, design->stretch->limit);
    snprintf(text, size, "%s%s%s.", bands, spiral, stretch);
}

typedef struct head {
    double title, headline, foot; /* baselines, and where the figures begin */
} head;

static rn_letters headline_letters(void)
{
    return (rn_letters){.size = 22.0, .role = RN_ROLE_INK, .bold = true, .most = text_width, .lines = 2};
}

static head lay_head(rn_pen *pen, const rn_design *design)
{
    char text[300];
    rn_design_headline(text, sizeof text, design);
    head h = {.title = MARGIN + 12.0, .headline = MARGIN + 44.0};
    h.foot = h.headline + rn_pen_depth(pen, headline_letters(), text) + 30.0;
    return h;
}

double rn_design_height(rn_pen *pen, const rn_design *design)
{
    return lay_head(pen, design).foot + UPPER + GUTTER + SPECTRUM + MARGIN;
}

void rn_design_draw(rn_pen *pen, double height, const rn_design *design)
{
    const head h = lay_head(pen, design);
    char text[300];
    const rn_letters title = {.size = 14.5, .role = RN_ROLE_INK2, .most = text_width - 220.0};
    if (design->plan->title[0])
        rn_pen_text(pen, MARGIN, h.title, title, design->plan->title);
    snprintf(text, sizeof text, "the design at %.0f s", design->time);
    rn_pen_text(pen, RN_DESIGN_WIDTH - MARGIN, h.title, (rn_letters){.size = 14.5, .role = RN_ROLE_INK2, .align = 1.0},
                text);
    rn_design_headline(text, sizeof text, design);
    rn_pen_text(pen, MARGIN, h.headline, headline_letters(), text);

    const double right = MARGIN + LEFT + GUTTER, width = RN_DESIGN_WIDTH - MARGIN - right;
    rn_design_draw_stretch(pen, (rn_box){MARGIN, h.foot, LEFT, UPPER}, design);
    rn_design_draw_bands(pen, (rn_box){right, h.foot, width, BANDS}, design);
    rn_design_draw_twist(pen, (rn_box){right, h.foot + BANDS + TWIST, width, UPPER - BANDS - TWIST}, design);
    rn_design_draw_spectrum(pen, (rn_box){MARGIN, height - MARGIN - SPECTRUM, text_width, SPECTRUM}, design);
}

static double leaf_height(rn_pen *pen, const void *matter)
{
    return rn_design_height(pen, matter);
}

static bool leaf_draw(rn_pen *pen, double height, const void *matter)
{
    rn_design_draw(pen, height, matter);
    return true;
}

rn_status rn_design_write(const char *path, FILE *standard, const rn_design *design, rn_figure_options options,
                          rn_error *err)
{
    const rn_leaf leaf = {design->plan->title, RN_DESIGN_WIDTH, design, leaf_height, leaf_draw};
    return rn_leaf_write(path, standard, &leaf, options, err);
}
