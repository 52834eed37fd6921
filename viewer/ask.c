#include "parts.h"

void ask_draw(rv_canvas *canvas)
{
    (void)canvas;
}
