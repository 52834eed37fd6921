#include "parts.h"

void keys_draw(rv_canvas *canvas)
{
    (void)canvas;
}
