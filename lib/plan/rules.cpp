#include "plan/rules.hpp"
