#include "ground/ground.hpp"
