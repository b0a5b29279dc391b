// Odd values that were kept against every question: the pages, the fit and the plans bear them, and give out no figure that
// is none.
#include "app/learning_desk.hpp"

#include "app/course.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/bench_view.hpp"
#include "app/views/pieces_view.hpp"
#include "app/views/scales_view.hpp"
#include "app/views/today_view.hpp"
#include "app/views/tones_view.hpp"

#include <cmath>
#include <set>

using namespace tonebath;
using namespace tonebath::test;

namespace {

// Names what is not a finite figure.
class Figures {
public:
    void see(const std::string& what, double value) {
        if (!std::isfinite(value)) {
            none.insert(what);
        }
    }
    void see(const std::string& what, const std::optional<double>& value) {
        if (value) {
            see(what, *value);
        }
    }
    void see(const std::string& what, const app::Plan& plan) {
        see(what + " out", plan.out_s);
        see(what + " aim from", plan.aim_low_s);
        see(what + " aim to", plan.aim_high_s);
        see(what + " comes", plan.comes_s);
        see(what + " look", plan.look_s);
        see(what + " dose", plan.dose_s);
        see(what + " over", plan.over_chance);
        see(what + " strip from", plan.strip_low_s);
        see(what + " strip to", plan.strip_high_s);
        see(what + " alone", plan.alone.out_s);
        for (const app::RangeShare& share : plan.shares) {
            see(what + " share", share.percent);
        }
        if (plan.refusal && (plan.refusal->message.empty() || plan.refusal->remedy.empty())) {
            none.insert(what + " refused without words: " + plan.refusal->code);
        }
        if (plan.out_s && !(*plan.aim_low_s <= *plan.out_s && *plan.out_s <= *plan.aim_high_s)) {
            none.insert(what + " out of its own range");
        }
    }
    std::set<std::string> none;
};

void look_at_all(LearningDesk& desk, Figures& figures) {
    app::Studio& studio = desk.studio();
    const std::shared_ptr<const app::Learned> learned = app::learn(studio);
    const science::RateLaw law = app::law_of(*learned);
    figures.see("law", law.ea_kj_per_mol);
    for (const app::LearnedFigure& figure : app::learned_figures(*learned)) {
        figures.see(figure.name, figure.middle);
        figures.see(figure.name + " from", figure.low);
        figures.see(figure.name + " to", figure.high);
    }
    const app::TodayView today = app::today_view(studio, learned);
    if (today.next && today.next->plan) {
        figures.see("today", *today.next->plan);
    }
    static_cast<void>(app::today_text(studio, today));
    for (const app::BathRow& row : app::baths_list(studio).baths) {
        const auto portrait = app::bath_portrait(studio, row.id, law);
        REQUIRE(portrait);
        figures.see("temperature now", portrait->temp_now_c);
        figures.see("strength now", portrait->strength_now);
        for (const app::TempPoint& point : portrait->expected) {
            figures.see("expected temperature", point.temp_c);
        }
        app::PlanRequest asked;
        asked.bath_id = row.id;
        asked.scale_id = desk.scale("sterling");
        asked.tone_id = desk.tone("sterling", "blue");
        figures.see("plan", app::plan(studio, *learned, asked));
    }
    for (const app::BenchLane& lane : app::bench_view(studio, learned).lanes) {
        figures.see("dose before", lane.dose_before_s);
        if (lane.plan) {
            figures.see("lane", *lane.plan);
        }
    }
    for (const app::PieceRow& row : app::piece_list(studio, "").rows) {
        static_cast<void>(app::piece_story(studio, row.id, law));
    }
    for (const Batch& batch : desk.all<Batch>()) {
        static_cast<void>(app::batch_spread(studio, batch.id));
    }
    const app::TonesView tones = app::tones_view(studio, learned, {});
    for (const app::ToneBegins& begins : tones.begins) {
        figures.see("tone begins", begins.middle_s);
        figures.see("tone begins to", begins.high_s);
    }
    for (const app::RecordRow& row : tones.rows) {
        for (const app::LearnedRecord& record : row.records) {
            figures.see("record " + record.what, record.dose_s);
        }
    }
}

struct Odd {
    std::string action;
    std::map<std::string, std::string> typed;
};

// Written down whatever is asked, when it can be kept at all.
bool insists(LearningDesk& desk, const Odd& odd) {
    app::Form form{.action = odd.action, .typed = odd.typed, .kept = {}, .from_memory = {}};
    for (int asked = 0; asked < 8; ++asked) {
        desk.clock.advance(1.0);
        const Result<app::Outcome> outcome = desk.studio().carry_out(form);
        if (outcome) {
            return true;
        }
        CHECK(outcome.error().code != "log.trouble");
        if (!app::may_be_kept(outcome.error())) {
            return false;
        }
        app::give_answer(form, outcome.error(), "Keep it");
    }
    return false;
}

}  // namespace

TEST_CASE("Odd values that were kept never stop a page, a fit or a plan") {
    LearningDesk desk;
    desk.does("batch.add", {{"number", "31"}});
    desk.does("piece.add", {{"number", "L-1..L-4"}, {"metal", "sterling"}, {"batch", "31"}});
    std::vector<Odd> all;
    int number = 100;
    const auto bath = [&](std::map<std::string, std::string> typed) {
        const std::string name = std::to_string(++number);
        typed.emplace("number", name);
        typed.emplace("lot", "LS-2");
        typed.emplace("amount", "2 g");
        typed.emplace("water", "400 ml");
        typed.emplace("past", "yes");
        typed.emplace("start-temp", "60");
        all.push_back({"bath.make-up", typed});
        const std::string strip = "S" + name;
        all.push_back({"strip.add", {{"number", strip}, {"metal", "sterling"}}});
        all.push_back({"dip.enter", {{"bath", name}, {"strip", strip}, {"length", "40"}, {"watched", "yes"}}});
        all.push_back({"judgement.add", {{"strip", strip}, {"tone", "blue"}}});
        return name;
    };
    for (const char* temp : {"0", "-3", "4", "99", "100", "105", "150", "212 F"}) {
        bath({{"start-temp", temp}});
    }
    for (const char* room : {"-30", "-5", "0", "45", "59", "60", "80"}) {
        bath({{"room-temp", room}});
    }
    for (const char* water : {"1 ml", "5 ml", "20 l", "1000 l"}) {
        bath({{"water", water}});
    }
    for (const char* amount : {"0.0001 g", "0.01 g", "30 g"}) {
        bath({{"amount", amount}});
    }
    for (const char* length : {"0", "0.001", "1", "23:59:59", "86399", "10 min"}) {
        const std::string name = bath({});
        all.push_back({"strip.add", {{"number", "D" + name}, {"metal", "sterling"}}});
        all.push_back({"dip.enter", {{"bath", name}, {"strip", "D" + name}, {"length", length}}});
        all.push_back({"judgement.add", {{"strip", "D" + name}, {"tone", "black"}}});
        all.push_back({"dip.enter", {{"bath", name}, {"piece", "L-1"}, {"length", length}, {"temp", "99"}}});
    }
    for (const char* tone : {"bright", "straw", "black"}) {
        for (const char* sense : {"is", "lighter than", "gone over"}) {
            const std::string name = bath({});
            all.push_back({"strip.add", {{"number", "T" + name}, {"metal", "sterling"}}});
            all.push_back({"dip.enter", {{"bath", name}, {"strip", "T" + name}, {"length", "40"}, {"watched", "yes"}}});
            all.push_back({"judgement.add", {{"strip", "T" + name}, {"tone", tone}, {"sense", sense}}});
        }
    }
    const std::string topped = bath({});
    for (const auto& [key, value] : {std::pair{"water", "1 l"}, {"water", "0.001 ml"}, {"volume-now", "1 ml"}, {"volume-now", "2 l"}, {"amount", "0.001 g"}, {"amount", "20 g"}}) {
        all.push_back({"bath.top-up", {{"bath", topped}, {key, value}}});
    }
    const std::string read = bath({});
    for (const char* temp : {"59", "20", "100", "1", "60"}) {
        all.push_back({"bath.read", {{"bath", read}, {"temp", temp}}});
        all.push_back({"bath.read", {{"bath", read}, {"temp", temp}, {"at", "now"}}});
    }
    all.push_back({"thermometer.add", {{"number", "T9"}, {"from", "1 Jan 2020"}}});
    all.push_back({"thermometer.check", {{"thermometer", "T9"}, {"reads", "30"}, {"in", "ice water"}, {"applies-from", "1 Jan 2020"}}});
    all.push_back({"thermometer.check", {{"thermometer", "T9"}, {"reads", "40"}, {"in", "boiling water"}, {"applies-from", "1 Jan 2020"}}});
    all.push_back({"bench.lay-out", {{"bath", read}, {"piece", "L-1\nL-2"}, {"aim", "blue"}}});
    Figures figures;
    std::size_t written = 0;
    int steps = 0;
    for (const Odd& odd : all) {
        std::string what = odd.action;
        for (const auto& [key, value] : odd.typed) {
            what += " " + key + "=" + value;
        }
        INFO(what);
        written += insists(desk, odd) ? 1U : 0U;
        if (++steps % 8 == 0 || odd.action == "bath.top-up" || odd.action == "bath.read" || odd.action == "thermometer.check") {
            look_at_all(desk, figures);
        }
    }
    look_at_all(desk, figures);
    std::string faults;
    for (const std::string& one : figures.none) {
        faults += one + "\n";
    }
    INFO(written << " of " << all.size() << " written; not finite:\n" << faults);
    CHECK(figures.none.empty());
    CHECK(written > all.size() / 2);
    CHECK(desk.log().faults().empty());
}
