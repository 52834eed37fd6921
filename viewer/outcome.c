#include "parts.h"

void outcome_draw(canvas *canvas)
{
    (void)canvas;
}

void name_draw(canvas *canvas)
{
    (void)canvas;
}
