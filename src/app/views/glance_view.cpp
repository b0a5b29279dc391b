#include "app/views/glance_view.hpp"

#include "app/studio.hpp"
#include "store/query.hpp"

namespace tonebath::app {

GlanceView glance_view(Studio& studio) {
    GlanceView view;
    if (const auto person = studio.at_bench()) {
        view.who = person->initials;
    }
    store::Query any(studio.log(),
                     "SELECT EXISTS(SELECT 1 FROM lot) OR EXISTS(SELECT 1 FROM bath) OR EXISTS(SELECT 1 FROM strip) OR "
                     "EXISTS(SELECT 1 FROM piece), EXISTS(SELECT 1 FROM dip WHERE out_utc_ms IS NULL AND in_bath_s IS NULL "
                     "AND dropped_utc_ms IS NOT NULL)");
    if (any.next()) {
        view.empty = any.integer(0) == 0;
        view.dip_running = any.integer(1) != 0;
    }
    return view;
}

bool many_at_bench(Studio& studio) {
    store::Query people(studio.log(), "SELECT count(*) FROM person WHERE blanked = 0 AND role <> 'student'");
    return people.next() && people.integer(0) > 1;
}

}  // namespace tonebath::app
