#include "dig/quantities.hpp"
