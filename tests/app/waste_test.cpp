// The waste: what was made and went, lots by the scale, the mass of a month, and the rule that it left by.
#include "app/studio_desk.hpp"

#include "app/learning.hpp"
#include "app/lot_ageing.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/today_view.hpp"
#include "app/waste.hpp"
#include "base/text.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

// Three baths of 400 ml, all ended; nothing gone yet.
void three_baths(Desk& desk) {
    desk.set_up();
    for (const char* number : {"1", "2", "3"}) {
        desk.does("bath.make-up", {{"number", number}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
        desk.clock.advance(600.0);
        desk.does("bath.end", {{"bath", number}});
    }
}

}  // namespace

TEST_CASE("made less gone is owed or unlogged; evaporation is offered and never assumed") {
    Desk desk;
    three_baths(desk);
    app::WasteBalance all = app::waste_balance(desk.studio());
    CHECK_THAT(all.made_ml, WithinAbs(1200.0, 1e-9));
    CHECK_THAT(all.open_ml, WithinAbs(1200.0, 1e-9));
    CHECK(all.owed.size() == 3);
    desk.does("disposal.add", {{"bath", "1\n2"}, {"volume", "760 ml"}, {"route", "collection"}});
    all = app::waste_balance(desk.studio());
    CHECK_THAT(all.gone_ml, WithinAbs(760.0, 1e-9));
    CHECK_THAT(all.open_ml, WithinAbs(440.0, 1e-9));
    REQUIRE(all.owed.size() == 1);
    CHECK(all.owed.front().number == "3");
    CHECK_THAT(all.unlogged_ml, WithinAbs(40.0, 1e-9));
    CHECK_THAT(joined(all.words, "\n"), Contains("3 baths, 1.20 l made") && Contains("0.44 l owed or unlogged") &&
                                            Contains("0.04 l neither stands here") && Contains("never assumed"));
    // The other pages say the same of them.
    for (const app::BathRow& row : app::baths_list(desk.studio()).baths) {
        CHECK((row.state == app::BathState::owed) == (row.number == "3"));
    }
    CHECK(app::today_view(desk.studio(), nullptr).owed.size() >= 1);
    // A bath that is in use is not owed; what its vessel says was lost is counted once it is read.
    desk.does("bath.make-up", {{"number", "4"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
    desk.clock.advance(600.0);
    desk.does("bath.top-up", {{"bath", "4"}, {"volume-now", "350 ml"}});
    all = app::waste_balance(desk.studio());
    CHECK_THAT(all.found_lost_ml, WithinAbs(50.0, 1e-9));
    CHECK_THAT(all.in_use_ml, WithinAbs(350.0, 1e-9));
    CHECK_THAT(all.unlogged_ml, WithinAbs(40.0, 1e-9));
    // Withdrawn, it did not go.
    desk.does("disposal.withdraw", {{"disposal", desk.last<Disposal>().id.text}});
    CHECK_THAT(app::waste_balance(desk.studio()).gone_ml, WithinAbs(0.0, 1e-9));
    CHECK(app::waste_balance(desk.studio()).owed.size() == 3);
}

TEST_CASE("more gone than made is asked about, of one bath, of several, and of all together") {
    Desk desk;
    three_baths(desk);
    desk.refused("disposal.add", {{"bath", "1"}, {"volume", "500 ml"}, {"route", "collection"}},
                 "disposal.more_than_made");
    desk.refused("disposal.add", {{"bath", "1\n2"}, {"volume", "900 ml"}, {"route", "collection"}},
                 "disposal.more_than_made");
    desk.does("disposal.add", {{"volume", "1 l"}, {"route", "collection"}});
    desk.refused("disposal.add", {{"volume", "300 ml"}, {"route", "collection"}}, "disposal.more_than_all_made");
    desk.does(
        form_of("disposal.add", {{"volume", "300 ml"}, {"route", "collection"}}, {"disposal.more_than_all_made"}));
    CHECK_THAT(joined(app::waste_balance(desk.studio()).words, "\n"), Contains("0.10 l more gone than made"));
    desk.does("disposal.add", {{"bath", "1\n2"}, {"route", "collection"}});
    desk.refused("disposal.add", {{"bath", "2"}, {"volume", "10 ml"}, {"route", "collection"}},
                 "disposal.gone_already");
}

TEST_CASE("a route comes before \"disposed\", a drain only by a rule in writing, and the rule on file stays on file") {
    Desk desk;
    three_baths(desk);
    desk.refused("disposal.add", {{"bath", "1"}}, "disposal.no_route");
    desk.refused("disposal.add", {{"bath", "1"}, {"route", "Disposed"}}, "disposal.no_route");
    desk.refused("disposal.add", {{"bath", "1"}, {"route", "kitchen sink"}}, "disposal.drain");
    desk.refused("disposal.add", {{"bath", "1"}, {"route", "on the weeds"}}, "disposal.ground");
    desk.refused("rule.add", {{"name", "letter"}}, "form.missing");
    desk.does("rule.add", {{"name", "letter of 4 Nov 2025"},
                           {"said-by", "local waste office"},
                           {"said", "4 Nov 2025"},
                           {"covers", "spent sulfide baths"},
                           {"route", "collection"},
                           {"limit", "0.5"}});
    // Words keep working, and say that they are no rule on file.
    const app::Outcome words =
        desk.does("disposal.add", {{"bath", "1"}, {"volume", "400 ml"}, {"route", "collection"}});
    CHECK_THAT(joined(words.cautions, "\n"),
               Contains("On file: \"letter of 4 Nov 2025\"") && Contains("local authority decides"));
    desk.does("disposal.add", {{"bath", "2"}, {"volume", "400 ml"}, {"rule", "Letter of 4 Nov 2025"}});
    const Disposal by_rule = desk.last<Disposal>();
    REQUIRE(by_rule.rule_id);
    CHECK(by_rule.route == "collection");
    desk.does("disposal.add",
              {{"bath", "3"}, {"mass", "0.38"}, {"route", "collection"}, {"rule", "told on the telephone, 2 Feb"}});
    CHECK_FALSE(desk.last<Disposal>().rule_id);

    // 0.8 kg from litres at 1 kg each and 0.38 weighed, against the half kilogram that was typed.
    const std::vector<app::WasteMonth> months = app::waste_months(desk.studio());
    REQUIRE(months.size() == 1);
    CHECK_THAT(months.front().kg, WithinAbs(1.18, 1e-9));
    CHECK_THAT(months.front().from_volume_kg, WithinAbs(0.8, 1e-9));
    CHECK(months.front().over());
    CHECK_THAT(months.front().words, Contains("0.8 kg of it from litres at 1 kg each") &&
                                         Contains("over the 0.5 kg a month typed with \"letter of 4 Nov 2025\""));
    REQUIRE(app::local_rules(desk.studio()).size() == 1);
    CHECK(app::local_rules(desk.studio()).front().disposals == 1);
    desk.does("rule.end", {{"rule", "letter of 4 Nov 2025"}, {"at", "1 Feb 2026"}});
    desk.refused("rule.end", {{"rule", "letter of 4 Nov 2025"}}, "rule.ended");
    CHECK_FALSE(app::waste_months(desk.studio()).front().limit_kg);
    desk.refused("disposal.add", {{"volume", "100 ml"}, {"rule", "letter of 4 Nov 2025"}}, "disposal.rule_ended");
}

TEST_CASE("bought less used, spoiled and left is unaccounted for, give or take the scale") {
    Desk desk;
    desk.set_up();
    const auto balance = [&] { return app::lot_balances(desk.studio()).front(); };
    CHECK_FALSE(balance().unaccounted);
    for (int i = 0; i < 3; ++i) {
        desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
        desk.clock.advance(60.0);
    }
    desk.does("lot.weigh", {{"lot", "LS-2"}, {"left", "89.5"}, {"spoiled", "4"}});
    REQUIRE(balance().unaccounted);
    CHECK_THAT(*balance().unaccounted, WithinAbs(100.0 - 6.0 - 4.0 - 89.5, 1e-9));
    CHECK_FALSE(balance().asks());
    desk.clock.advance(60.0);
    // What is used after the weighing does not change what it found.
    desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "5 g"}, {"water", "1 l"}});
    CHECK_THAT(*balance().unaccounted, WithinAbs(0.5, 1e-9));
    desk.clock.advance(60.0);
    desk.does("lot.weigh", {{"lot", "LS-2"}, {"left", "78"}});
    CHECK_THAT(*balance().unaccounted, WithinAbs(7.0, 1e-9));
    CHECK(balance().asks());
    CHECK_THAT(balance().words, Contains("7.0 g unaccounted for, give or take 1.0 g of the scale"));
    desk.refused("lot.weigh", {{"lot", "LS-2"}, {"left", "130"}}, "lot.left_more_than_bought");
}

TEST_CASE("a lot with few baths is too few to tell; what happened to it is told all the same") {
    Desk desk;
    desk.set_up();
    desk.does("lot.weigh", {{"lot", "LS-2"}, {"happened", "left open"}, {"at", "20 Mar 2026"}});
    const auto learned = app::learn(desk.studio());
    const std::vector<app::LotAgeing> lots = app::lot_ageing(desk.studio(), *learned);
    REQUIRE(lots.size() == 1);
    CHECK_FALSE(lots.front().useless);
    REQUIRE(lots.front().happened.size() == 1);
    CHECK_THAT(lots.front().words, Contains("left open") && Contains("too few to tell"));
}
