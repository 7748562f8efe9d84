#pragma once

#include "trenchwright/page/column.hpp"
#include "trenchwright/report/crew_alerts.hpp"

namespace trenchwright {

/// What the crew must know before anything else, in a red frame: a heading and a line each, STOPs bold. Each line is a
/// piece of its own, so a long box goes on in the next column or on the next page. Nothing where there are no lines.
void alert_box(ColumnText& column, const Canvas& canvas, const std::vector<Alert>& lines, double text_pt);

} // namespace trenchwright
