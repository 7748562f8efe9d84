#include "draw/sheet_parts.hpp"

namespace trenchwright {

void tie_table(ColumnText& /*column*/, const SheetSet& /*set*/) {}

} // namespace trenchwright
