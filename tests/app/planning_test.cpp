// Batches, heat and make-up of the next bath, two metals, what would have matched, rescue, and the program's own marks.
#include "app/learning_desk.hpp"

#include "app/batch_plan.hpp"
#include "app/course.hpp"
#include "app/grade.hpp"
#include "app/heat_choice.hpp"
#include "app/matched.hpp"
#include "app/rescue.hpp"
#include "app/two_metals.hpp"

#include <algorithm>
#include <cmath>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

// A bowl that cools at a known rate, with strips behind it.
struct CoolingDesk : LearningDesk {
    CoolingDesk() {
        held_bath("1", "60");
        strip("1", "1", 40, "blue");
        strip("2", "1", 41, "blue");
        ends("1");
        does("vessel.add", {{"number", "B1"}, {"kind", "glass bowl"}, {"volume", "400 ml"}, {"cooling", "0.035"}});
        does("bath.make-up", {{"number", "2"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "20"}, {"vessel", "B1"}, {"agitation", "gentle"}});
        check_bath("2");
    }
    app::BatchAsk ask(std::size_t pieces, const std::string& word = "blue") {
        return {.first = request("2", word), .tones = std::vector<Id<Tone>>(pieces, tone("sterling", word))};
    }
};

std::size_t may_be_done(const app::Rescue& rescue) {
    return static_cast<std::size_t>(std::count_if(rescue.choices.begin(), rescue.choices.end(), [](const app::RescueChoice& one) {
        return one.state == app::RescueState::open || one.state == app::RescueState::careful;
    }));
}

const app::RescueChoice& choice(const app::Rescue& rescue, const std::string& key) {
    for (const app::RescueChoice& one : rescue.choices) {
        if (one.key == key) {
            return one;
        }
    }
    FAIL("no choice " << key);
    return rescue.choices.front();
}

}  // namespace

TEST_CASE("A batch on the falling curve: later pieces hang longer, no cues within 4 s, each to its dose") {
    CoolingDesk desk;
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const app::BatchPlan plan = app::batch_plan(desk.studio(), *learned, desk.ask(12));
    INFO((plan.refusal ? plan.refusal->text() : std::string()));
    REQUIRE_FALSE(plan.refusal);
    REQUIRE(plan.lanes.size() == 12);
    REQUIRE(plan.rounds.size() == 1);
    CHECK(plan.lanes.back().in_bath_s > plan.lanes.front().in_bath_s);
    CHECK(plan.lanes.back().temp_c < plan.lanes.front().temp_c);
    // The first hangs as a single piece would (the batch follows the middle law, the single plan the whole belief).
    CHECK_THAT(plan.lanes.front().in_bath_s, WithinRel(*desk.planned(*learned, desk.request("2", "blue")).out_s, 1e-3));
    std::vector<double> cues;
    for (const app::BatchLane& lane : plan.lanes) {
        cues.push_back(lane.in_s);
        cues.push_back(lane.out_s);
    }
    std::sort(cues.begin(), cues.end());
    for (std::size_t i = 1; i < cues.size(); ++i) {
        CHECK(cues[i] - cues[i - 1] >= 4.0);
    }
}

TEST_CASE("A batch that outlasts the heat is given a reheat, and one asked for badly a remedy") {
    CoolingDesk desk;
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    app::BatchAsk ask = desk.ask(30);
    ask.interval_s = 30.0;
    ask.longest_s = 55.0;
    const app::BatchPlan plan = app::batch_plan(desk.studio(), *learned, ask);
    REQUIRE_FALSE(plan.refusal);
    REQUIRE(plan.rounds.size() > 1);
    CHECK(plan.rounds[1].reheat_to_c == 60.0);
    CHECK_THAT(all_of(plan.words), Contains("Reheat to 60.0 °C before piece"));
    for (const app::BatchLane& lane : plan.lanes) {
        CHECK(lane.in_bath_s <= 55.0);
    }
    ask.tones.clear();
    CHECK(app::batch_plan(desk.studio(), *learned, ask).refusal->code == "batch.none");
    ask = desk.ask(3);
    ask.interval_s = 1.0;
    CHECK(app::batch_plan(desk.studio(), *learned, ask).refusal->code == "batch.interval");
}

TEST_CASE("The next bath: hotter and stronger is quicker, and the choice lies within 20 to 90 s") {
    CoolingDesk desk;
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const app::HeatChoice found = app::heat_choice(desk.studio(), *learned, {.like = desk.bath("2").id, .scale_id = desk.scale("sterling"), .tone_id = desk.tone("sterling", "blue")});
    REQUIRE_FALSE(found.refusal);
    REQUIRE(found.cells.size() > 12);
    for (const app::HeatCell& a : found.cells) {
        CHECK(a.practical == (a.low_s >= 20.0 && a.high_s <= 90.0));
        for (const app::HeatCell& b : found.cells) {
            if (a.make_up == b.make_up && a.temp_c < b.temp_c) {
                CHECK(a.out_s > b.out_s);
            }
            if (a.temp_c == b.temp_c && a.make_up < b.make_up) {
                CHECK(a.out_s > b.out_s);
            }
        }
        if (a.make_up == 1.0) {
            CHECK_THAT(a.amount.value(), WithinAbs(2.0, 1e-9));  // 5 g/l in 400 ml
        }
        if (a.make_up == 1.0 && a.temp_c == 60.0) {
            CHECK(a.out_s > 38.0);  // two strips had blue come at 40 s there
            CHECK(a.out_s < 60.0);
        }
    }
    if (found.best) {
        CHECK(found.cells[*found.best].practical);
    }
    CHECK_FALSE(found.words.empty());
}

TEST_CASE("What would have matched gives the actual time for the actual tone, and more time for a darker one") {
    CoolingDesk desk;
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    desk.clock.advance(300);
    desk.does("dip.drop", {{"bath", "2"}, {"piece", "L-1"}});
    desk.clock.advance(33);
    desk.does("dip.out");
    SECTION("one dip") {}
    SECTION("the second of two") {
        desk.does("dip.rinsed", {{"piece", "L-1"}});
        desk.clock.advance(20);
        desk.does("dip.drop", {{"bath", "2"}, {"piece", "L-1"}});
        desk.clock.advance(12);
        desk.does("dip.out");
    }
    desk.clock.advance(5);
    desk.does("judgement.add", {{"piece", "L-1"}, {"tone", "purple"}});
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const auto subject = app::dipped_subject(desk.studio(), "L-1");
    REQUIRE(subject);
    const auto found = app::what_would_have_matched(desk.studio(), *learned, *subject);
    INFO((found ? std::string() : found.error().text()));
    REQUIRE(found);
    REQUIRE(found->tones[static_cast<std::size_t>(found->tone)].word == "purple");
    CHECK_THAT(*found->tones[static_cast<std::size_t>(found->tone)].middle_s, WithinAbs(found->actual_s, 1e-6));
    CHECK_THAT(*app::place_after(*found, found->actual_s), WithinAbs(found->place, 1e-9));
    for (std::size_t i = 1; i < found->tones.size(); ++i) {
        if (found->tones[i - 1].middle_s && found->tones[i].middle_s && *found->tones[i].middle_s > 0.0) {
            CHECK(*found->tones[i].middle_s > *found->tones[i - 1].middle_s);
            CHECK_THAT(*app::place_after(*found, *found->tones[i].comes_s), WithinAbs(static_cast<double>(i), 1e-6));
        }
    }
    // The dose at the blue time is the dose of blue, reckoned by the dose law itself.
    const double blue_s = *app::seconds_for(*found, found->tone + 1.5);
    const double dose = science::dose_s(found->course, found->law, found->in_s, found->in_s + blue_s).value();
    CHECK(dose > found->dose_s);
    CHECK(app::what_would_have_matched(desk.studio(), *learned, app::subject_of(desk.all<Strip>().front())));
}

TEST_CASE("Two metals in one piece are warned of before the dip; reports that contradict stand side by side") {
    CoolingDesk desk;
    desk.does("piece.add", {{"number", "B-1"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "lid"}, {"metal", "sterling"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "cup"}, {"metal", "copper"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "ring"}, {"metal", "yellow brass"}});
    desk.does("piece.add", {{"number", "S-1"}, {"metal", "sterling"}});
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const auto piece = [&](const std::string& number) {
        for (const Piece& one : desk.all<Piece>()) {
            if (one.number == number) {
                return one.id;
            }
        }
        return Id<Piece>{};
    };
    const auto found = app::two_metals(desk.studio(), *learned, piece("B-1"), desk.request("2", "blue"));
    REQUIRE(found);
    REQUIRE(found->parts.size() == 3);
    CHECK_THAT(found->seconds, WithinRel(*desk.planned(*learned, desk.request("2", "blue")).out_s, 1e-9));
    const auto part = [&](const std::string& name) {
        return *std::find_if(found->parts.begin(), found->parts.end(), [&](const app::PartThen& one) { return one.part == name; });
    };
    CHECK(part("lid").tone == "blue");
    CHECK_FALSE(part("cup").tone.empty());
    CHECK(found->gap);
    const app::PartThen ring = part("ring");
    REQUIRE(ring.reports.size() == 2);
    CHECK_THAT(all_of(found->warnings), Contains("reported not to take the bath") && Contains("reported to go reddish") && Contains("dip a strip first"));
    CHECK_THAT(found->warnings.front(), Contains("Two metals in one bath"));
    const auto one = app::two_metals(desk.studio(), *learned, piece("S-1"), desk.request("2", "blue"));
    REQUIRE(one);
    CHECK(one->warnings.empty());
    CHECK_FALSE(one->gap);
}

TEST_CASE("A metal plated over an unknown base says so") {
    CoolingDesk desk;
    desk.does("metal.add", {{"name", "silver plate"}, {"base-under", "unknown"}});
    desk.does("piece.add", {{"number", "P-1"}, {"metal", "silver plate"}});
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const auto found = app::two_metals(desk.studio(), *learned, desk.last<Piece>().id, desk.request("2", "blue"));
    REQUIRE(found);
    CHECK_THAT(all_of(found->warnings), Contains("base under silver plate is not known") && Contains("blotchy"));
    CHECK(found->parts.front().tone.empty());
}

TEST_CASE("Rescue: never heat or acid with a stone set, unknown asks first, and no stone offers more") {
    CoolingDesk desk;
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    const Id<Piece> id = desk.last<Piece>().id;
    const auto unknown = app::rescue(desk.studio(), {.piece = id});
    const auto bare = app::rescue(desk.studio(), {.piece = id, .no_stone = true});
    REQUIRE(unknown);
    REQUIRE(bare);
    CHECK_FALSE(unknown->stones_known);
    REQUIRE_FALSE(unknown->ask_first.empty());
    CHECK(choice(*unknown, "heat_off").state == app::RescueState::ask);
    CHECK(choice(*unknown, "redip").state == app::RescueState::ask);
    CHECK(bare->ask_first.empty());
    CHECK(choice(*bare, "heat_off").state == app::RescueState::careful);
    CHECK_THAT(choice(*bare, "redip").warning, Contains("dark at once"));
    for (const app::RescueChoice& one : bare->choices) {
        CHECK_FALSE(one.source.empty());
    }

    const auto with = [&](const std::string& kind, const std::string& backing) {
        desk.does("stone.add", {{"number", "S-1"}, {"kind", kind}, {"backing", backing}, {"piece", "L-1"}});
        desk.clock.advance(60);
        const auto found = app::rescue(desk.studio(), {.piece = id});
        REQUIRE(found);
        for (const char* key : {"heat_off", "pickle_off", "foil_soda"}) {
            CHECK(choice(*found, key).state == app::RescueState::closed);
        }
        CHECK(may_be_done(*found) < may_be_done(*bare));
        CHECK(choice(*found, "leave").state == app::RescueState::open);
        return *found;
    };
    SECTION("turquoise: the list says avoid for a sulfide bath") {
        CHECK(choice(with("turquoise, untreated", "none"), "redip").state == app::RescueState::closed);
    }
    SECTION("foil: no tumbling, the bath with care") {
        const app::Rescue found = with("crystal", "foil");
        CHECK(choice(found, "tumble").state == app::RescueState::closed);
        CHECK(choice(found, "redip").state == app::RescueState::careful);
    }
    SECTION("a kind of which nothing is noted asks first") {
        const app::Rescue found = with("moon dust", "none");
        CHECK(choice(found, "redip").state == app::RescueState::ask);
        CHECK_THAT(all_of(found.ask_first), Contains("moon dust"));
    }
}

TEST_CASE("Rescue: her own log first, then what is published; where they differ both stand, and the stricter decides") {
    CoolingDesk desk;
    int many = 0;
    // Pieces with a stone, dipped so long, looked at a day later.
    const auto seen = [&](const std::string& kind, const std::string& backing, double seconds, int whole, int harmed) {
        for (int i = 0; i < whole + harmed; ++i) {
            const std::string number = std::to_string(++many);
            desk.does("piece.add", {{"number", "P-" + number}, {"metal", "sterling"}});
            desk.does("stone.add", {{"number", "S-" + number}, {"kind", kind}, {"backing", backing}, {"piece", "P-" + number}, {"set", "1 min ago"}});
            desk.clock.advance(30.0);
            desk.does("dip.drop", {{"bath", "2"}, {"piece", "P-" + number}});
            desk.clock.advance(seconds);
            desk.does("dip.out");
            desk.clock.advance(30.0);
            desk.does("stone.look", {{"stone", "S-" + number}, {"seen", i < whole ? "unharmed" : "dulled"}});
        }
        return store::list<Piece>(desk.log(), "ORDER BY rowid DESC LIMIT 1").front().id;
    };
    const auto redip = [&](const Id<Piece>& piece) {
        const auto found = app::rescue(desk.studio(), {.piece = piece});
        REQUIRE(found);
        return choice(*found, "redip");
    };
    SECTION("nothing is published: ten of hers unharmed open it with care, nine do not, and never without") {
        CHECK(redip(seen("garnet", "none", 20.0, 9, 0)).state == app::RescueState::ask);
        const app::RescueChoice ten = redip(seen("garnet", "none", 20.0, 1, 0));
        CHECK(ten.state == app::RescueState::careful);
        CHECK_THAT(ten.why, Contains("your own log alone"));
        CHECK_THAT(all_of(ten.own), Contains("up to 30 s: 10 of 10 unharmed; at most about 28 in 100"));
        CHECK_FALSE(ten.conflict);
    }
    SECTION("published to be avoided, hers unharmed: it stays closed, and both stand there") {
        const app::RescueChoice both = redip(seen("turquoise, untreated", "none", 20.0, 12, 0));
        CHECK(both.state == app::RescueState::closed);
        CHECK(both.conflict);
        CHECK_THAT(all_of(both.own), Contains("12 of 12 unharmed"));
        CHECK_THAT(all_of(both.noted), Contains("avoid"));
    }
    SECTION("published with care, half of hers harmed: closed by her own log") {
        const app::RescueChoice harmed = redip(seen("crystal", "foil", 20.0, 2, 2));
        CHECK(harmed.state == app::RescueState::closed);
        CHECK_THAT(harmed.why, Contains("your own log: 2 of 4"));
        CHECK(harmed.conflict);
    }
    SECTION("bands are not pooled: harm far beyond a short dip more is told, and does not close it") {
        seen("garnet", "none", 150.0, 0, 5);
        const app::RescueChoice brief = redip(seen("garnet", "none", 20.0, 10, 0));
        CHECK(brief.state == app::RescueState::careful);
        CHECK_THAT(all_of(brief.own), Contains("up to 30 s: 10 of 10 unharmed") && Contains("over 120 s: 5 of 5 harmed"));
    }
    SECTION("what was rubbed or tumbled counts from its own day on") {
        const Id<Piece> piece = seen("garnet", "none", 20.0, 1, 0);
        desk.clock.advance(30.0);
        desk.does("after-work.add", {{"piece", "P-1"}, {"step", "tumbled"}});
        CHECK(choice(*app::rescue(desk.studio(), {.piece = piece}), "tumble").own.empty());
        desk.clock.advance(86400.0);
        desk.does("stone.look", {{"stone", "S-1"}, {"seen", "chipped"}});
        const app::RescueChoice tumbled = choice(*app::rescue(desk.studio(), {.piece = piece}), "tumble");
        CHECK_THAT(all_of(tumbled.own), Contains("tumbled: 1 of 1 harmed"));
    }
}

TEST_CASE("What is done to a piece after it went over is recorded as rework") {
    CoolingDesk desk;
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    const Id<Piece> id = desk.last<Piece>().id;
    desk.does("dip.drop", {{"bath", "2"}, {"piece", "L-1"}});
    desk.clock.advance(60);
    desk.does("dip.out");
    CHECK(app::rescue(desk.studio(), {.piece = id})->rework.empty());
    desk.does("judgement.add", {{"piece", "L-1"}, {"tone", "blue"}, {"sense", "gone over"}});
    desk.clock.advance(60);
    desk.does("after-work.add", {{"piece", "L-1"}, {"step", "rinsed"}});
    desk.clock.advance(60);
    desk.does("after-work.add", {{"piece", "L-1"}, {"step", "rubbed back"}});
    desk.clock.advance(60);
    desk.does("dip.drop", {{"bath", "2"}, {"piece", "L-1"}});
    desk.clock.advance(30);
    desk.does("dip.out");
    const auto found = app::rescue(desk.studio(), {.piece = id});
    REQUIRE(found);
    REQUIRE(found->rework.size() == 2);
    CHECK(found->rework[0].what == "rubbed back");
    CHECK(found->rework[1].what == "dipped again");
}

TEST_CASE("The program's marks count only what was known before the dip") {
    CoolingDesk desk;
    const auto piece = [&](const std::string& number, double seconds, const std::string& tone) {
        desk.does("piece.add", {{"number", number}, {"metal", "sterling"}});
        desk.clock.advance(30);
        desk.does("dip.drop", {{"bath", "2"}, {"piece", number}});
        desk.clock.advance(seconds);
        desk.does("dip.out");
        desk.clock.advance(5);
        desk.does("judgement.add", {{"piece", number}, {"tone", tone}});
    };
    const auto mark = [&](const std::string& number) {
        const app::Grade grade = app::grade(desk.studio(), *app::learn(desk.studio()));
        for (const app::GradedPiece& one : grade.pieces) {
            if (one.what.starts_with(number)) {
                return one;
            }
        }
        FAIL("not graded: " << number);
        return app::GradedPiece{};
    };
    piece("L-1", 50, "blue");
    const app::GradedPiece before = mark("L-1");
    CHECK(before.mark.inside == true);
    CHECK(before.mark.promised >= 0.8);
    // What comes later, however odd, does not move the promise that was made for the first.
    piece("L-2", 50, "straw");
    desk.strip("9", "2", 30, "straw");
    desk.does("bath.read", {{"bath", "2"}, {"temp", "55"}});
    const app::GradedPiece after = mark("L-1");
    CHECK(after.from == before.from);
    CHECK(after.to == before.to);
    CHECK_THAT(after.mark.promised, WithinAbs(before.mark.promised, 0.01));
    CHECK(mark("L-2").mark.inside == false);
    const app::Grade grade = app::grade(desk.studio(), *app::learn(desk.studio()));
    CHECK(grade.record.seen == 2);
    CHECK(grade.record.inside == 1);
    CHECK(grade.record.verdict == science::PromiseVerdict::too_few);
    CHECK_THAT(grade.words, Contains("1 of 2 pieces"));
}

TEST_CASE("Beyond what was tried the range widens and says so, far beyond it no time is given") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    desk.strip("1", "1", 40, "blue");
    desk.strip("2", "1", 41, "blue");
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const app::Plan inside = desk.planned(*learned, desk.request("1", "blue"));
    CHECK_THAT(all_of(inside.cautions), !Contains("Outside what was tried"));
    desk.clock.advance(60);
    desk.brought_to("1", "48");
    const app::Plan outside = desk.planned(*learned, desk.request("1", "blue"));
    CHECK(LearningDesk::spread(outside) > LearningDesk::spread(inside));
    CHECK_THAT(all_of(outside.cautions), Contains("Outside what was tried by 12 °C in heat"));
    desk.clock.advance(60);
    desk.brought_to("1", "25");
    const app::Plan far = app::plan(desk.studio(), *learned, desk.request("1", "blue"));
    REQUIRE(far.refusal);
    CHECK(far.refusal->code == "plan.far_beyond");
    CHECK_FALSE(far.out_s);
}

TEST_CASE("Strips narrow the range until they need not, and the plan says which") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    const app::Plan none = desk.planned("1", "blue");
    REQUIRE(none.strip_at_s);
    CHECK(*none.strip_high_s / *none.strip_low_s < LearningDesk::spread(none));
    CHECK_THAT(none.strip_words, Contains("pulled as blue comes"));
    for (const char* number : {"1", "2", "3", "4"}) {
        desk.strip(number, "1", 40, "blue");
        desk.strip(std::string(number) + "m", "1", 60, "gunmetal");
    }
    const app::Plan some = desk.planned("1", "blue");
    CHECK(LearningDesk::spread(some) < LearningDesk::spread(none));
}
