#include "parts.h"

void ask_draw(canvas *canvas)
{
    (void)canvas;
}
