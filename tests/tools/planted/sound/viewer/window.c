#include <SDL2/SDL.h>
#include "view.h"
#include "show/figure.h"
