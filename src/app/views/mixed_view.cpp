#include "app/views/mixed_view.hpp"

#include "app/resolve.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "app/two_metals.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

namespace tonebath::app {

MixedView mixed_view(Studio& studio, const Learned& learned, const Id<Piece>& piece, const PlanRequest& request, std::optional<double> seconds) {
    MixedView view;
    if (const auto bath = store::find(studio.log(), request.bath_id)) {
        view.words = tender_stones(studio, piece, bath->finish_kind);
    }
    if (const auto found = two_metals(studio, learned, piece, request, seconds)) {
        view.words.insert(view.words.end(), found->warnings.begin(), found->warnings.end());
    }
    view.piece = view.words.empty() ? std::string() : name_of(studio, piece);
    return view;
}

MixedView mixed_waiting(Studio& studio, const Learned& learned, const PlanRequest& request) {
    const auto scale = store::find(studio.log(), request.scale_id);
    if (!scale) {
        return {};
    }
    store::Query waiting(studio.log(),
                         "SELECT p.id FROM piece p LEFT JOIN batch b ON b.id = p.batch_id WHERE p.sold_utc_ms IS NULL "
                         "AND EXISTS (SELECT 1 FROM part own WHERE own.piece_id = p.id AND own.metal_id = ?1) "
                         "AND NOT EXISTS (SELECT 1 FROM dip d WHERE d.piece_id = p.id OR d.part_id IN (SELECT id FROM part WHERE piece_id = p.id)) "
                         "ORDER BY b.made_utc_ms DESC, p.number LIMIT 1",
                         {scale->metal_id.text});
    if (!waiting.next()) {
        return {};
    }
    return mixed_view(studio, learned, {waiting.text(0)}, request, std::nullopt);
}

std::vector<MixedView> mixed_lanes(Studio& studio, const Learned& learned, const std::vector<MixedLane>& lanes) {
    std::vector<MixedView> views;
    for (const MixedLane& one : lanes) {
        views.push_back(mixed_view(studio, learned, one.piece, one.request, one.seconds));
    }
    return views;
}

}  // namespace tonebath::app
