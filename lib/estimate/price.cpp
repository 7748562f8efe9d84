#include "estimate/price.hpp"
