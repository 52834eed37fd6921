#include "base/error.h"
