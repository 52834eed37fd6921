#include "parts.h"

void slip_draw(canvas *canvas)
{
    (void)canvas;
}
