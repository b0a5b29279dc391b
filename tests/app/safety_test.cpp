// The safety desk: the room and its air, limits, and the pairs that must never meet.
#include "app/studio_desk.hpp"

#include "app/air.hpp"
#include "app/checklist_file.hpp"
#include "app/hood.hpp"
#include "app/gas_effects.hpp"
#include "app/pairs.hpp"
#include "app/paper/air_sheet.hpp"
#include "app/paper/paper.hpp"
#include "app/rooms.hpp"
#include "base/air_quantity.hpp"
#include "app/views/safety_view.hpp"

#include <filesystem>
#include <fstream>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

const std::filesystem::path kData = std::filesystem::path(TONEBATH_SOURCE_DIR) / "data";

std::filesystem::path written(const std::string& name, const std::string& text) {
    const std::filesystem::path file = std::filesystem::temp_directory_path() / name;
    std::ofstream(file) << text;
    return file;
}

}  // namespace

TEST_CASE("the pair of a sulfide and a pickle is met from both sides") {
    Desk desk;
    const auto pairs = app::read_pairs(kData / "incompatibilities.csv");
    REQUIRE(pairs);
    REQUIRE(pairs->size() >= 46);
    const FinishKind& sulfide = desk.studio().finish_kind("liver_of_sulfur_lump");
    const FinishKind& pickle = desk.studio().finish_kind("acid_pickle");
    const auto met = app::pairs_between(*pairs, pickle, sulfide);
    REQUIRE_FALSE(met.empty());
    CHECK(met.front().level == CheckLevel::stop);
    CHECK_THAT(met.front().gives, Contains("H2S"));
    CHECK(app::pairs_between(*pairs, sulfide, pickle).size() == met.size());
}

TEST_CASE("a product whose sheet is not read counts as acid: it never stands beside a sulfide") {
    Desk desk;
    const auto pairs = app::read_pairs(kData / "incompatibilities.csv");
    REQUIRE(pairs);
    const FinishKind& unknown = desk.studio().finish_kind("something nobody wrote down");
    for (const FinishKind& kind : desk.studio().finish_kinds()) {
        if (in_family(kind, "sulfide") || kind.key == "hypochlorite_dip") {
            INFO(kind.key);
            const auto met = app::pairs_between(*pairs, unknown, kind);
            REQUIRE_FALSE(met.empty());
            CHECK(met.front().level == CheckLevel::stop);
        }
    }
    CHECK_THAT(app::first_words(), Contains("Smell is no guide"));
}

TEST_CASE("the air on paper: the figure, the limit's body and year and trust, every assumption, every source, who decides") {
    Desk desk;
    app::AirAsk ask;
    ask.grams = 10.0;
    ask.sulfide = science::Sulfide::k2s;
    ask.room_m3 = 30.0;
    ask.flow_m3_h = 180.0;
    const auto limits = app::air_limits(desk.studio());
    REQUIRE(limits);
    const auto air = app::air_of(ask, *limits, {});
    REQUIRE(air);
    const std::string text = app::report_text(app::air_sheet(desk.studio(), *air, "10 g of lump", 1.0));
    INFO(text);
    for (const char* part : {"72.7 ppm", "at 25 °C 73.9 ppm", "129 to 43 min", "10 ppm, ceiling over 10 min, NIOSH REL before 2019, read", "all 10 g gives gas, as K2S", "far higher and not computed",
                             "CDC 2003", "licensed professional decide"}) {
        CHECK_THAT(text, Contains(part));
    }
}

TEST_CASE("a limit of the studio's own stands below the program's, the lowest is used, and one that has ended is not") {
    Desk desk;
    const auto program = app::air_limits(desk.studio());
    REQUIRE(program);
    desk.does("limit.add", {{"substance", "Hydrogen Sulfide"}, {"body", "our inspector"}, {"kind", "15 min"}, {"ppm", "3"}, {"year", "2026"}, {"source", "letter of 4 Feb"}});
    const auto all = app::air_limits(desk.studio());
    REQUIRE(all);
    CHECK(all->size() == program->size() + 1);
    const app::AirLimit* used = app::limit_for(*all, "hydrogen sulfide", app::AirCase::sudden);
    REQUIRE(used != nullptr);
    CHECK(used->body == "our inspector");
    CHECK(used->words() == "over 15 min, our inspector 2026, typed in here");
    CHECK(app::limit_for(*program, "hydrogen sulfide", app::AirCase::sudden)->ppm == 10.0);
    // Over eight hours it says nothing: like with like.
    CHECK(app::limit_for(*all, "hydrogen sulfide", app::AirCase::sitting)->body == app::limit_for(*program, "hydrogen sulfide", app::AirCase::sitting)->body);
    desk.refused("limit.add", {{"substance", "phlogiston"}, {"body", "b"}, {"ppm", "3"}}, "limit.substance");
    for (const char* ppm : {"0", "-3", "nan", "1e9", "three"}) {
        INFO(ppm);
        CHECK_FALSE(desk.studio().carry_out(form_of("limit.add", {{"substance", "toluene"}, {"body", "b"}, {"ppm", ppm}})));
    }
    desk.does("limit.end", {{"limit", "AL-1"}});
    CHECK(app::limit_for(*app::air_limits(desk.studio()), "hydrogen sulfide", app::AirCase::sudden)->ppm == 10.0);
    desk.refused("limit.end", {{"limit", "AL-1"}}, "limit.ended");
}

TEST_CASE("a table of pairs or limits that is not understood is a fault with its line") {
    const std::string head = "a,b,families_a,families_b,gives,level,source,trust\n";
    CHECK(app::read_pairs(written("pairs_good.csv", head + "x,y,acid,sulfide,gas,stop,s,read\n")));
    for (const char* row :
         {"x,y,acid,sulfide,gas,halt,s,read\n", "x,y,acid,sulfide,gas,stop,s\n", "x,y,acid,sulfide,,stop,s,read\n"}) {
        const auto bad = app::read_pairs(written("pairs_bad.csv", head + row));
        REQUIRE_FALSE(bad);
        CHECK(bad.error().field == "pairs_bad.csv:2");
    }
    const std::string limits = "substance,body,kind,ppm,average_min,year,source,trust,use\n";
    CHECK(app::read_air_limits(written("limits_good.csv", limits + "x,b,8 h,5,480,2009,s,read,limit\n")));
    for (const char* row : {"x,b,8 h,0,480,2009,s,read,limit\n", "x,b,8 h,5,480,2009,s,sure,limit\n",
                            "x,b,8 h,5,480,2009,s,read,maybe\n", "x,b,8 h,5,480,,s,read,limit\n"}) {
        const auto bad = app::read_air_limits(written("limits_bad.csv", limits + row));
        REQUIRE_FALSE(bad);
        CHECK(bad.error().field == "limits_bad.csv:2");
    }
}

TEST_CASE("like is compared with like, and only with what was read or quoted") {
    const auto limits = app::read_air_limits(kData / "air_limits.csv");
    REQUIRE(limits);
    const app::AirLimit* sudden = app::limit_for(*limits, "hydrogen sulfide", app::AirCase::sudden);
    const app::AirLimit* sitting = app::limit_for(*limits, "hydrogen sulfide", app::AirCase::sitting);
    REQUIRE(sudden != nullptr);
    REQUIRE(sitting != nullptr);
    CHECK(sudden->ppm == 10.0);
    CHECK(sudden->trust == "read");
    CHECK(sitting->ppm == 5.0);
    CHECK(sitting->trust == "second-hand");
    for (const app::AirLimit& limit : *limits) {
        for (const app::AirCase what : {app::AirCase::sudden, app::AirCase::sitting}) {
            const app::AirLimit* used = app::limit_for(*limits, limit.substance, what);
            if (used != nullptr) {
                CHECK_FALSE(used->context);
                CHECK((used->trust == "read" || used->trust == "second-hand"));
            }
        }
    }
    CHECK(app::limit_for(*limits, "milk", app::AirCase::sudden) == nullptr);
}

TEST_CASE("the page's figures: the room that is written down, and the bath in it") {
    Desk desk;
    CHECK_FALSE(app::safety_view(desk.studio()).has_room);
    desk.refused("room.set", {{"size", "2"}}, "room.too_small");
    desk.refused("room.set", {{"size", "5000"}}, "room.hall");
    desk.refused("room.set", {{"size", "30"}, {"mixing", "0.5"}}, "number.out_of_range");
    desk.does("room.set", {{"size", "30"}, {"flow", "180"}, {"flow-known", "measured"}, {"openings", "one window"}});
    const std::optional<Room> room = app::room_now(desk.studio());
    REQUIRE(room);
    CHECK(room->volume_m3 == 30.0);
    CHECK(room->flow_m3_h == 180.0);
    CHECK(room->flow_known == AirKnown::measured);
    CHECK_FALSE(room->still_per_h);
    CHECK(room->openings == "one window");
    CHECK_FALSE(app::safety_view(desk.studio()).air);

    desk.make_bath();
    app::SafetyView view = app::safety_view(desk.studio());
    REQUIRE(view.air);
    CHECK_THAT(view.air->ppm_at_25_c, WithinAbs(73.9 / 5.0, 0.01));
    CHECK_THAT(view.about, Contains("2.0 g of LS-2"));
    CHECK(view.effects.size() > 8);
    // Top-ups count; every figure carries where it is from.
    desk.does("bath.top-up", {{"bath", "1"}, {"amount", "8 g"}});
    view = app::safety_view(desk.studio());
    REQUIRE(view.air);
    CHECK_THAT(view.air->ppm_at_25_c, WithinAbs(73.9, 0.05));
    CHECK_THAT(*view.air->purge_long_min, WithinAbs(129.0, 0.6));
    CHECK(view.air->sources.size() >= view.air->limits.size());
    CHECK_THAT(view.air->at_vessel, Contains("far higher and not computed"));
    CHECK_THAT(view.air->decides, Contains("local rules"));
}

TEST_CASE("a hood's face and what it catches, against what was published") {
    const auto ranges = app::read_air_speeds(kData / "air_speeds.csv");
    REQUIRE(ranges);
    for (const app::AirSpeedRange& range : *ranges) {
        // Nothing of these was read in the body's own text.
        CHECK((range.trust == "second-hand" || range.trust == "memory"));
    }
    // Abulencia and Theodore, example 20.4: a hood of 30 by 25 in at 100 ft/min draws 521 ft³/min.
    const auto opening = parse_opening("Opening", "30 x 25 in");
    const auto speed = parse_air_speed("Speed", "100 ft/min");
    const auto hood = app::hood_of({.area_m2 = *opening, .speed_m_s = *speed}, *ranges);
    REQUIRE(hood);
    CHECK_THAT(hood->flow_m3_h / (60.0 * kCubicFoot_m3), WithinAbs(521.0, 0.5));
    REQUIRE(hood->face.size() == 2);
    for (const app::SpeedHeld& held : hood->face) {
        CHECK(held.stands == app::SpeedStands::within);
        CHECK_THAT(held.words, Contains("second-hand"));
    }
    CHECK(hood->capture.empty());
    // 0.5 m/s wanted 0.2 m in front of 0.05 m²: 810 m³/h; the same flow is 4.5 m/s in the face, past where eddies begin.
    const auto spot = app::hood_of({.area_m2 = 0.05, .flow_m3_h = 810.0, .distance_m = 0.2}, *ranges);
    REQUIRE(spot);
    CHECK_THAT(*spot->capture_m_s, WithinAbs(0.5, 1e-9));
    CHECK_THAT(spot->face_m_s, WithinAbs(4.5, 1e-9));
    CHECK(spot->face.front().stands == app::SpeedStands::above);
    REQUIRE(spot->capture.size() == 2);
    CHECK(spot->capture[1].stands == app::SpeedStands::within);
    CHECK_THAT(*spot->capture[1].flow_for_low_m3_h, WithinAbs(810.0, 1e-6));
    CHECK_THAT(spot->notes.front(), Contains("eddies"));
    // Half a metre away the same hood catches next to nothing.
    const auto far = app::hood_of({.area_m2 = 0.05, .flow_m3_h = 810.0, .distance_m = 0.5}, *ranges);
    REQUIRE(far);
    CHECK(far->capture.front().stands == app::SpeedStands::below);

    CHECK(app::hood_of({.flow_m3_h = 276.0}, *ranges).error().code == "hood.no_opening");
    CHECK(app::hood_of({.area_m2 = 0.5}, *ranges).error().code == "hood.no_air");
    CHECK(app::hood_of({.area_m2 = 0.5, .flow_m3_h = 276.0, .speed_m_s = 1.0}, *ranges).error().code ==
          "hood.two_flows");
    CHECK(app::hood_of({.area_m2 = 0.5, .flow_m3_h = -1.0}, *ranges).error().code == "number.out_of_range");
    const std::string head = "kind,situation,low_m_s,high_m_s,body,year,source,trust\n";
    for (const char* row : {"face,x,0.5,0.3,b,2000,s,read\n", "mouth,x,0.3,0.5,b,2000,s,read\n",
                            "face,x,0.3,0.5,b,2000,s,sure\n", "face,,0.3,0.5,b,2000,s,read\n"}) {
        const auto bad = app::read_air_speeds(written("speeds_bad.csv", head + row));
        REQUIRE_FALSE(bad);
        CHECK(bad.error().field == "speeds_bad.csv:2");
    }
}

TEST_CASE("a gel or a liquid has a figure only by the highest percentage on its own sheet") {
    Desk desk;
    desk.does("room.set", {{"size", "6.0 × 3.2 × 2.4 m"}});
    desk.does("person.add", {{"initials", "MK"}});
    desk.does("lot.add", {{"number", "LS-3"}, {"kind", "liver of sulfur"}, {"form", "gel"}, {"amount", "100 g"}, {"usual", "20"}});
    desk.does("bath.make-up", {{"lot", "LS-3"}, {"amount", "10 g"}, {"water", "400 ml"}});
    app::SafetyView view = app::safety_view(desk.studio());
    CHECK_FALSE(view.air);
    CHECK_THAT(view.why_no_air, Contains("strength not stated on the sheet"));
    // The sheet of another lot says nothing of this one; a sheet that nobody read says nothing at all.
    Chemical sheet{.name = "gel of the shelf", .finish_kind = "liver_of_sulfur_gel", .strength_percent = 40.0};
    sheet.lot_id = desk.last<Lot>().id;
    sheet.made_at = desk.studio().now();
    sheet.id = desk.studio().ids().next<Chemical>(sheet.made_at);
    const auto put = [&] { return desk.studio().write("a sheet", [&]() -> Result<app::Outcome> { store::insert(desk.log(), sheet); return app::Outcome{}; }); };
    REQUIRE(put());
    CHECK_FALSE(app::safety_view(desk.studio()).air);
    sheet.read_at = desk.studio().now();
    sheet.sheet_at = *parse_iso("2026-01-12T00:00+00:00", 0);
    sheet.name = "gel, read";
    sheet.id = desk.studio().ids().next<Chemical>(sheet.made_at);
    REQUIRE(put());
    view = app::safety_view(desk.studio());
    REQUIRE(view.air);
    // 4 g of K2S at most: 0.309 g of gas a gram in 46.08 m³ at 25 °C.
    CHECK_THAT(view.air->ppm_at_25_c, WithinAbs(73.9 * 4.0 / 10.0 * 30.0 / 46.08, 0.02));
    CHECK_THAT(view.air->facts.front().what, Contains("at most 40 % by the sheet of 12 Jan 2026"));
}

TEST_CASE("rooms: named, chosen, and the one that earlier programs kept as a setting") {
    Desk desk;
    desk.does("room.add", {{"name", "net store"}, {"size", "6.0 × 3.2 × 2.4 m"}, {"flow", "162 cfm"}, {"flow-known", "smoke-tested"}, {"seats", "10"}, {"opening", "0.3 × 0.3 m"}, {"distance", "0.5 m"}});
    const Room room = desk.last<Room>();
    CHECK_THAT(room.volume_m3, WithinAbs(46.08, 1e-9));
    CHECK_THAT(*room.flow_m3_h, WithinAbs(275.24, 0.01));
    CHECK(room.seat_limit == 10);
    CHECK(room.limit_at);
    CHECK(app::room_now(desk.studio())->name == "net store");
    desk.refused("room.add", {{"name", "Net store"}, {"size", "46 m3"}}, "number.taken");
    desk.refused("room.add", {{"name", "loft"}, {"size", "19.2 m2"}}, "room.floor_area");
    desk.refused("room.add", {{"name", "loft"}, {"size", "4 m3"}}, "room.too_small");
    desk.refused("room.add", {{"name", "loft"}}, "form.missing");
    const Refusal floor = desk.refused("room.add", {{"name", "loft"}, {"size", "19.2"}}, "room.maybe_floor");
    CHECK(floor.answers.front() == "46.1 m3");
    desk.does(form_of("room.add", {{"name", "loft"}, {"size", "19.2"}}, {"room.maybe_floor"}));
    CHECK(app::room_now(desk.studio())->name == "net store");  // a second one does not take its place by itself
    desk.does("room.use", {{"name", "loft"}});
    CHECK(app::room_now(desk.studio())->name == "loft");
    desk.does("room.set", {{"flow", "100 l/s"}});
    CHECK(app::room_now(desk.studio())->flow_m3_h == 360.0);
    CHECK_THAT(app::room_now(desk.studio())->volume_m3, WithinAbs(19.2, 1e-9));
    desk.refused("room.use", {{"name", "cellar"}}, "room.unknown");

    Desk old;
    old.log().set_setting("room", "volume_m3 46\nflow_m3_h 276\nflow_known smoke-tested\nopenings window fan");
    CHECK(old.all<Room>().empty());
    app::bring_room_in(old.studio());
    REQUIRE(old.all<Room>().size() == 1);
    CHECK(old.last<Room>().flow_m3_h == 276.0);
    CHECK(old.last<Room>().flow_known == AirKnown::smoke_tested);
    CHECK(old.last<Room>().openings == "window fan");
    app::bring_room_in(old.studio());
    CHECK(old.all<Room>().size() == 1);
    CHECK(app::room_now(old.studio())->volume_m3 == 46.0);
}

TEST_CASE("a sitting and a measured figure are held against what fits them") {
    const auto limits = app::read_air_limits(kData / "air_limits.csv");
    const auto solvents = app::read_solvents(kData / "solvents.csv");
    REQUIRE(limits);
    REQUIRE(solvents);
    app::AirAsk ask{.sulfide = science::Sulfide::k2s, .grams = 10.0, .sitting_h = 2.0, .room_m3 = 30.0, .flow_m3_h = 180.0, .still_per_h = 0.0};
    const auto sitting = app::air_of(ask, *limits, *solvents);
    REQUIRE(sitting);
    // Without any air the whole 72.7 ppm are there after two hours, and the mean of eight is 7/8 of that.
    CHECK_THAT(sitting->ppm, WithinAbs(72.7, 0.05));
    CHECK_THAT(*sitting->mean_ppm, WithinAbs(72.7 * 7.0 / 8.0, 0.05));
    REQUIRE(sitting->used_mean);
    CHECK(sitting->used_mean->ppm == 5.0);
    CHECK(*sitting->mean_fan_ppm < *sitting->mean_ppm);
    const auto measured = app::air_of({.measured_ppm = 73.9, .room_m3 = 30.0, .flow_m3_h = 180.0}, *limits, *solvents);
    REQUIRE(measured);
    CHECK_THAT(*measured->purge_long_min, WithinAbs(129.0, 0.6));
    CHECK(measured->facts.front().how == "measured");
    CHECK(measured->used->ppm == 10.0);
    // Ethyl acetate has no short-time limit that was read or quoted: its mean is held against a shift's, its highest against none.
    const auto evening = app::air_of({.solvent = "ethyl acetate", .liquid_ml = 30.0, .room_m3 = 46.0}, *limits, *solvents);
    REQUIRE(evening);
    CHECK_FALSE(evening->used);
    REQUIRE(evening->used_mean);
    CHECK(evening->used_mean->ppm == 400.0);
    CHECK(*evening->mean_ppm < evening->ppm);
    CHECK(app::air_of({.measured_ppm = -1.0, .room_m3 = 30.0}, *limits, *solvents).error().code == "air.out_of_range");
    CHECK(app::air_of({.sulfide = science::Sulfide::k2s, .grams = 1.0, .sitting_h = 9.0, .room_m3 = 30.0}, *limits, *solvents).error().code == "air.out_of_range");
    // Every figure goes with where it is from: a body, a year and a trust for each limit that is drawn.
    for (const app::AirLimit& limit : measured->limits) {
        const std::string words = limit.words();
        CHECK(std::any_of(measured->sources.begin(), measured->sources.end(), [&](const std::string& line) { return line.find(words) != std::string::npos; }));
        CHECK_THAT(words, Contains(limit.body));
        CHECK_THAT(words, Contains(limit.trust));
    }
}

// Against Rubright, Pearce and Peterson 2017, table 4, as it quotes OSHA: smell is lost at 100 to 150 ppm; collapse within one
// or two breaths at 700 to 1000.
TEST_CASE("what the gas does is drawn beside the figure as the review tells it, and is no limit") {
    const auto effects = app::read_gas_effects(kData / "gas_effects.csv");
    REQUIRE(effects);
    const auto drawn = [&](std::string_view words) {
        return std::find_if(effects->begin(), effects->end(), [&](const app::GasEffect& one) { return one.drawn.starts_with(words); });
    };
    REQUIRE(drawn("smell is lost") != effects->end());
    CHECK(drawn("smell is lost")->low_ppm == 100.0);
    CHECK(drawn("smell is lost")->high_ppm == 150.0);
    REQUIRE(drawn("down within") != effects->end());
    CHECK(drawn("down within")->low_ppm == 700.0);
    CHECK(drawn("smell is lost")->ppm_words() == "100 to 150 ppm");
    const std::string head = "ppm_low,ppm_high,effect,drawn,bodies,source,trust\n";
    for (const char* row : {"x,,sore eyes,,OSHA,S07,read", "0,,sore eyes,,OSHA,S07,read", "20,10,sore eyes,,OSHA,S07,read", "20,,,,OSHA,S07,read", "20,,sore eyes,,OSHA,,read"}) {
        CAPTURE(row);
        const auto bad = app::read_gas_effects(written("gas_effects_bad.csv", head + row + "\n"));
        REQUIRE_FALSE(bad);
        CHECK_THAT(bad.error().field, Contains("gas_effects_bad.csv:2"));
    }
}
