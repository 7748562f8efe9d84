#include "draw/overview.hpp"
