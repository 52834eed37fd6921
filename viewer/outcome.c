#include "parts.h"

void outcome_draw(rv_canvas *canvas)
{
    (void)canvas;
}

void name_draw(rv_canvas *canvas)
{
    (void)canvas;
}
