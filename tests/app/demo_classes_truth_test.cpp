// Rooms and classes of the demo, found again from its records (truth.json: classes, P11).
#include "demo_fixture.hpp"

#include <catch2/catch.hpp>

using namespace tonebath;
using namespace tonebath::demo_test;

TEST_CASE("nine classes with eighty-four students as seats, by month, and nobody's name", "[demo]") {
    const auto& classes = truth()["volumes"]["classes"];
    const auto& students = truth()["volumes"]["students"];
    const auto& months = truth()["months"];
    for (std::size_t i = 0; i < months.size(); ++i) {
        const std::string month = months[i].get<std::string>();
        INFO(month);
        const std::string in_month = "strftime('%Y-%m', at_utc_ms / 1000, 'unixepoch') = ?1";
        CHECK(count(demo(), "SELECT count(*) FROM class_session WHERE " + in_month, {month}) == classes[i].get<std::int64_t>());
        CHECK(count(demo(), "SELECT count(*) FROM seat WHERE class_id IN (SELECT id FROM class_session WHERE " + in_month + ")", {month}) ==
              students[i].get<std::int64_t>());
    }
    CHECK(count(demo(), "SELECT count(*) FROM seat") == truth()["totals"]["students"].get<std::int64_t>());
    CHECK(count(demo(), "SELECT count(*) FROM seat WHERE person_id IS NOT NULL") == 0);
    CHECK(count(demo(), "SELECT count(*) FROM bath WHERE class_id IS NOT NULL") == 2);
    CHECK_THAT(real(demo(), "SELECT volume_m3 FROM room WHERE id = (SELECT value FROM setting WHERE key = 'room_now')"),
               Catch::Matchers::WithinAbs(truth()["totals"]["room_m3"].get<double>(), 1e-9));
}

TEST_CASE("P11: one class of twelve in a room that is set for ten, and the gap stays", "[demo]") {
    const auto& p11 = planted("P11");
    const std::string number = p11["records"]["crowded_class"].get<std::string>();
    CHECK(count(demo(), "SELECT count(*) FROM seat s JOIN class_session c ON c.id = s.class_id WHERE c.number = ?1", {number}) ==
          p11["expect"]["seats"].get<std::int64_t>());
    CHECK(count(demo(), "SELECT r.seat_limit FROM class_session c JOIN room r ON r.id = c.room_id WHERE c.number = ?1", {number}) ==
          p11["expect"]["limit"].get<std::int64_t>());
    // No name, no reason, typed in afterwards; every other class kept to its limit with every seat briefed.
    CHECK(count(demo(), "SELECT count(*) FROM seat WHERE over_limit_by IS NOT NULL OR over_limit_why <> ''") == 0);
    CHECK(count(demo(), "SELECT past_work FROM class_session WHERE number = ?1", {number}) == 1);
    CHECK(count(demo(), "SELECT count(*) FROM class_session c WHERE c.number <> ?1 AND (SELECT count(*) FROM seat s WHERE s.class_id = c.id) > c.seat_limit",
                {number}) == 0);
    CHECK(count(demo(), "SELECT count(*) FROM seat s JOIN class_session c ON c.id = s.class_id WHERE c.number <> ?1 AND c.started_utc_ms IS NOT NULL "
                        "AND s.briefed_utc_ms IS NULL",
                {number}) == 0);
}

TEST_CASE("every class that was held has its own finished check from the hour before it", "[demo]") {
    CHECK(count(demo(), "SELECT count(*) FROM class_session c WHERE c.started_utc_ms IS NOT NULL") == 8);
    CHECK(count(demo(), "SELECT count(*) FROM class_session c WHERE c.started_utc_ms IS NOT NULL AND (SELECT count(*) FROM check_run r WHERE r.class_id = c.id AND r.bath_id IS NULL "
                        "AND r.room_id = c.room_id AND r.who = c.supervisor AND r.done_utc_ms < c.at_utc_ms AND r.at_utc_ms > c.at_utc_ms - 3600000) = 1") == 8);
    CHECK(count(demo(), "SELECT count(*) FROM check_run WHERE class_id IS NOT NULL") == 8);
}
