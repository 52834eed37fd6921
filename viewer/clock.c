#include "parts.h"

void clock_draw(canvas *canvas)
{
    (void)canvas;
}
