#include "trenchwright/site/mark_paint.hpp"

namespace trenchwright {

MarkPaint mark_paint(Facility facility)
{
    switch (facility) {
    case Facility::electric: return {0xC4271F, {11, 3.5}, 1.4, 0x9C1F18};
    case Facility::gas: return {0xE3A900, {9, 2.5, 1.6, 2.5}, 1.9, 0x7A5A00};
    case Facility::communication: return {0xDE6A0E, {1.8, 2.2}, 1.8, 0x9C4700};
    case Facility::water: return {0x155FB4, {9, 2, 1.6, 2, 1.6, 2}, 1.4, 0x114A8C};
    case Facility::sanitary_sewer: return {0x2A7A34, {}, 2.0, 0x1F5C27};
    case Facility::storm_sewer: return {0x2A7A34, {18, 3}, 2.0, 0x1F5C27};
    case Facility::sewer_unstated: return {0x2A7A34, {5, 2}, 2.0, 0x1F5C27};
    case Facility::reclaimed: return {0x7528A0, {5, 2.5}, 1.4, 0x5E1580};
    case Facility::unstated: break;
    }
    // A gray of our own: every color of the code means something, and pink is temporary survey marking.
    return {0x555555, {4, 3}, 1.6, 0x333333};
}

std::vector<double> probable_dashes_pt()
{
    return {3, 5};
}

const std::vector<Facility>& all_facilities()
{
    static const std::vector<Facility> all{
        Facility::electric,       Facility::gas,         Facility::communication,  Facility::water,
        Facility::sanitary_sewer, Facility::storm_sewer, Facility::sewer_unstated, Facility::reclaimed,
        Facility::unstated};
    return all;
}

} // namespace trenchwright
