#include "export/plan_files.hpp"
