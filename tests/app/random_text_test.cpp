// Whatever is typed into whatever field: an answer in words, never a stop, and nothing written on a refusal.
#include "app/studio_desk.hpp"

#include <rapidcheck.h>

using namespace tonebath;
using namespace tonebath::test;

namespace {

// Text that people and cats type: numbers with units, other scripts, signs, broken bytes, long runs.
rc::Gen<std::string> typed_text() {
    return rc::gen::oneOf(
        rc::gen::arbitrary<std::string>(),
        rc::gen::map(rc::gen::arbitrary<double>(), [](double value) { return std::to_string(value); }),
        rc::gen::element<std::string>("", " ", "nan", "-inf", "1e999", "1,5", "1.234,5", "140", "140 F", "−3", "1:20",
                                      "1:99", "2 g", "400 ml", "1/2 cup", "4 drops", "now", "31 Feb 2026", "9999-12-31",
                                      "00:00", "10 min ago", "yes", "perhaps", "blue", "sterling: blue", "1", "L-1",
                                      "L-1..L-9", "L-9..L-1", "..", "L-1 whole", "1/1", "1/99999999999999999999", "銀",
                                      "\xFF\xFE", "'; DROP TABLE bath; --", "ses.air: on", ":", "liver of sulfur",
                                      "heat patina", "bath", "reading", "water", "MK", "LS-2"),
        rc::gen::map(rc::gen::inRange(0, 12000),
                     [](int length) { return std::string(static_cast<std::size_t>(length), '7'); }));
}

}  // namespace

TEST_CASE("Random text never stops the program and never writes on a refusal") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    std::size_t refusals = 0;
    const auto one_form = [&] {
        const auto actions = app::actions();
        const app::ActionSpec& action = actions[*rc::gen::inRange<std::size_t>(0, actions.size())];
        app::Form form;
        form.action = action.id;
        for (const app::FieldSpec& field : action.fields) {
            if (field.required || *rc::gen::inRange(0, 3) == 0) {
                form.typed[field.key] = *typed_text();
            }
        }
        desk.clock.advance(1.0);
        const std::vector<std::string> before = desk.content();
        const Result<app::Outcome> outcome = desk.studio().carry_out(form);
        if (outcome) {
            RC_ASSERT(!outcome->said.empty());
            return;
        }
        ++refusals;
        RC_ASSERT(desk.content() == before);
        RC_ASSERT(!outcome.error().code.empty());
        RC_ASSERT(!outcome.error().message.empty());
        // A rule of the tables is the last line of defence; what is typed must be caught before it.
        RC_ASSERT(outcome.error().code != "log.trouble");
        RC_ASSERT(is_valid_utf8(outcome.error().text()));
        RC_ASSERT(outcome.error().value.size() <= 200U);
    };
    REQUIRE(rc::check("any action, any fields", [&] {
        for (int i = 0; i < 20; ++i) {
            one_form();
        }
    }));
    CHECK(refusals > 0);
    CHECK(desk.log().faults().empty());
}
