// Every field of every record corrected to what it should not be: refused in words or taken, and the pages, the fit and
// the plans bear what was taken. The last steps of each kind can still be taken back.
#include "app/views_look.hpp"

#include "store/record.hpp"

using namespace tonebath;
using namespace tonebath::test;

namespace {

struct Corrected : LearningDesk {
    Corrected() {
        does("thermometer.add", {{"number", "T1"}, {"from", "1 Mar 2026"}});
        does("thermometer.check", {{"thermometer", "T1"}, {"reads", "0.2"}, {"in", "ice water"}});
        does("target.add", {{"name", "lid blue"}, {"scale", "sterling"}, {"tone", "blue"}});
        does("order.add", {{"number", "R-1"}, {"target", "lid blue"}});
        does("batch.add", {{"number", "31"}, {"design", "Limpet"}, {"order", "R-1"}, {"target", "lid blue"}});
        does("lot.weigh", {{"lot", "LS-2"}, {"left", "99 g"}});
        held_bath("1", "60");
        strip("1", "1", 40, "blue");
        strip("2", "1", 20, "amber", false);
        does("dip.rinsed", {{"strip", "2"}});
        clock.advance(5);
        does("bath.read", {{"bath", "1"}, {"temp", "59.5"}});
        does("bath.top-up", {{"bath", "1"}, {"amount", "0.2 g"}});
        does("piece.add", {{"number", "L-1..L-2"}, {"metal", "sterling"}, {"batch", "31"}});
        does("piece.add", {{"number", "B-1"}});
        does("part.add", {{"piece", "B-1"}, {"name", "lid"}, {"metal", "sterling"}});
        does("part.add", {{"piece", "B-1"}, {"name", "cup"}, {"metal", "copper"}});
        does("preparation.add", {{"piece", "L-1"}, {"degreased", "yes"}});
        does("dip.drop", {{"bath", "1"}, {"piece", "B-1"}});
        clock.advance(40);
        does("dip.out");
        does("judgement.add", {{"part", "B-1 lid"}, {"tone", "blue"}});
        does("judgement.add", {{"part", "B-1 cup"}, {"tone", "brown"}});
        does("dip.enter", {{"bath", "1"}, {"piece", "L-1"}, {"length", "30"}, {"temp", "59"}});
        does("after-work.add", {{"piece", "L-1"}, {"step", "dried"}});
        does("bench.lay-out", {{"bath", "1"}, {"piece", "L-2"}, {"aim", "blue"}});
    }
};

const std::vector<std::string> kValues{"", "0", "-1", "1", "2", "0.5", "1e300", "NaN", "60", "150", "40 s", "23 h", "400 ml", "1 ml", "2 g", "6 mm", "now",
                                       "1 Jan 1990", "31 Mar 2026 08:00", "yes", "no", "blue", "copper", "sterling", "copper: brown", "B-1", "L-2", "B-1 cup", "31", "LS-2", "V1", "MK", "R-1", "lid blue", "liver of sulfur",
                                       "heat patina", "bright", "lighter than", "after sealing", "recess", "still", "brisk", "gel", "drops", std::string(10240, 'y'), "硫黄\n👩‍🏭", "\xFF"};

}  // namespace

TEST_CASE("Every field of every record corrected to anything stops nothing, and can be taken back") {
    Corrected desk;
    Figures figures;
    look_at_all(desk, figures);
    std::set<std::string> poor;
    std::size_t taken = 0;
    std::size_t refused = 0;
    int columns = 0;
    const auto last_taken_back = [&] {
        for (int step = 0; step < 10; ++step) {
            const auto next = desk.studio().undo_step();
            if (!next || next->rfind("correct", 0) != 0) {
                return;
            }
            desk.clock.advance(1.0);
            const Result<app::Outcome> undone = desk.studio().undo();
            if (!undone) {
                poor.insert("cannot be taken back: " + *next + ": " + undone.error().text());
                return;
            }
        }
    };
    for_each_noun([&]<class Noun>(const Noun&) {
        std::vector<Noun> records = store::list<Noun>(desk.log(), "ORDER BY id");
        if (records.empty()) {
            return;
        }
        for (const std::string& column : store::columns<Noun>()) {
            for (const std::string& value : kValues) {
                app::Form form{.action = "record.correct",
                               .typed = {{"noun", std::string(Noun::kTable)}, {"number", records.back().id.text}, {"field", column}, {"value", value}},
                               .kept = {},
                               .from_memory = {}};
                desk.clock.advance(1.0);
                const std::string where = std::string(Noun::kTable) + "." + column + " = " + value.substr(0, 20);
                INFO(where);
                Result<app::Outcome> outcome = desk.studio().carry_out(form);
                for (int asked = 0; asked < 5 && !outcome && app::may_be_kept(outcome.error()); ++asked) {
                    app::give_answer(form, outcome.error(), "Keep it");
                    outcome = desk.studio().carry_out(form);
                }
                if (outcome) {
                    ++taken;
                    continue;
                }
                ++refused;
                if (outcome.error().code == "log.trouble") {
                    poor.insert(where + ": only the tables stopped it: " + outcome.error().message);
                } else if (outcome.error().message.empty() || outcome.error().remedy.empty() || outcome.error().field.empty()) {
                    poor.insert(where + ": refused without words: " + outcome.error().code);
                }
            }
            if (++columns % 3 == 0) {
                look_at_all(desk, figures);
            }
        }
        look_at_all(desk, figures);
        last_taken_back();
        look_at_all(desk, figures);
    });
    INFO(taken << " taken, " << refused << " refused\n" << all_of(poor) << "not finite:\n" << all_of(figures.none));
    CHECK(poor.empty());
    CHECK(figures.none.empty());
    CHECK(taken > 200);
    CHECK(refused > 1000);
    CHECK(desk.log().faults().empty());
}
