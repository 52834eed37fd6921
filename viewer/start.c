#include "parts.h"

void start_draw(rv_canvas *canvas)
{
    (void)canvas;
}
