#include "parts.h"

void lanes_draw(canvas *canvas)
{
    (void)canvas;
}
