#include "trenchwright/report/cautions.hpp"

namespace trenchwright {

const std::vector<std::string>& cautions()
{
    static const std::vector<std::string> texts{
        "This plan is not permission to dig. Call your one-call center (811 in the US) first, wait for every owner's "
        "answer, and keep the ticket current.",
        "Marks show horizontal position only, and only approximately. Depth is unknown until the line is exposed.",
        "Inside a hand-dig zone use hand tools or vacuum only, and expose the utility by hand before any machine "
        "comes near.",
        "Private lines (irrigation, sewer lateral, propane, yard power, septic, old drains) are not marked by the "
        "one-call center. Ask the owner and have them located.",
        "No marks supplied for a utility does not mean that there is none.",
        "Depths, slopes and volumes are only as good as the ground shots they come from. Check levels before and "
        "while digging.",
        "Local code, the permit, and licensed or competent persons on site decide. Where they differ from this plan, "
        "they are right.",
    };
    return texts;
}

} // namespace trenchwright
