#include "show/figure.h"

#include <string.h>

#include "show/leaf.h"
#include "show/page.h"

rn_figure_options rn_figure_defaults(void)
{
    return (rn_figure_options){.width = 1600.0};
}

static bool ends_in(const char *path, const char *suffix)
{
    const size_t length = strlen(path), tail = strlen(suffix);
    if (length < tail)
        return false;
    for (size_t i = 0; i < tail; i++) {
        char letter = path[length - tail + i];
        if (letter >= 'A' && letter <= 'Z')
            letter = (char)(letter - 'A' + 'a');
        if (letter != suffix[i])
            return false;
    }
    return true;
}

rn_status rn_figure_check_path(const char *path, rn_error *err)
{
    if (strcmp(path, "-") != 0 && !ends_in(path, ".png") && !ends_in(path, ".pdf") && !ends_in(path, ".svg"))
        return rn_fail(err, RN_E_USAGE, "'%s': a picture's name ends in .png, .pdf or .svg", path);
    return RN_OK;
}

static double page_height(rn_pen *pen, const void *matter)
{
    return rn_page_height(pen, matter);
}

static bool page_draw(rn_pen *pen, double height, const void *matter)
{
    return rn_page_draw(pen, matter, height);
}

rn_status rn_figure_forecast(const char *path, FILE *standard, const rn_figure *figure, rn_figure_options options,
                             rn_error *err)
{
    const rn_leaf leaf = {.title = figure->forecast->title,
                          .page_width = RN_PAGE_WIDTH,
                          .matter = figure,
                          .height = page_height,
                          .draw = page_draw};
    return rn_leaf_write(path, standard, &leaf, options, err);
}
