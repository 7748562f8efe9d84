#include "profile/profile.hpp"
