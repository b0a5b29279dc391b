// Odd values that were kept against every question: the pages, the fit and the plans bear them, and give out no figure that
// is none.
#include "app/views_look.hpp"

using namespace tonebath;
using namespace tonebath::test;

namespace {

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
    INFO(written << " of " << all.size() << " written; not finite:\n" << all_of(figures.none));
    CHECK(figures.none.empty());
    CHECK(written > all.size() / 2);
    CHECK(desk.log().faults().empty());
}
