#include "model/checklist.hpp"
#include "model/rules/bath_rules.hpp"

#include <catch2/catch.hpp>

using namespace tonebath;
using Catch::Matchers::Contains;

namespace {

FinishKind kind(std::string key, std::vector<std::string> families, std::string measure, bool dose) {
    FinishKind one;
    one.name = key;
    one.key = std::move(key);
    one.families = std::move(families);
    one.measure = std::move(measure);
    one.dose = dose;
    return one;
}

}  // namespace

TEST_CASE("An item applies where it shares a family with the finish") {
    Checklist list;
    list.items = {{.key = "a",
                   .text = "",
                   .response = "",
                   .why = "",
                   .level = CheckLevel::stop,
                   .families = {"sulfide"},
                   .source = {}},
                  {.key = "b",
                   .text = "",
                   .response = "",
                   .why = "",
                   .level = CheckLevel::stop,
                   .families = {"acid", "heat"},
                   .source = {}},
                  {.key = "c",
                   .text = "",
                   .response = "",
                   .why = "",
                   .level = CheckLevel::advise,
                   .families = {"any"},
                   .source = {}}};
    const auto keys = [&](const FinishKind& finish) {
        std::string all;
        for (const ChecklistItem& item : items_for(list, finish)) {
            all += item.key;
        }
        return all;
    };
    CHECK(keys(kind("los", {"sulfide"}, "seconds", true)) == "ac");
    CHECK(keys(kind("heat", {"heat"}, "metal °C", false)) == "bc");
    CHECK(keys(kind("wax", {"inert"}, "coats", false)) == "c");
}

TEST_CASE("A dose is only for a finish that has one") {
    const rules::Typed typed{"Dose", "40"};
    CHECK_FALSE(rules::dose_of_kind(typed, kind("los", {"sulfide"}, "seconds", true)));
    const rules::Question refused = rules::dose_of_kind(typed, kind("heat patina", {"heat"}, "metal °C", false));
    REQUIRE(refused);
    CHECK_THAT(refused->text(), Contains("Dose 40") && Contains("metal °C"));
    CHECK_FALSE(rules::may_be_kept(*refused));
}

TEST_CASE("Acid and bleach are found among additives by their everyday names") {
    const FinishKind sulfide = kind("liver of sulfur", {"sulfide"}, "seconds", true);
    for (const char* word : {"vinegar", "a drop of Citric", "BLEACH", "pickle water", "muriatic acid", "lemon juice"}) {
        INFO(word);
        const rules::Question at_bench = rules::additives({"Additives", word}, sulfide, false);
        REQUIRE(at_bench);
        CHECK_FALSE(rules::may_be_kept(*at_bench));
        CHECK(rules::may_be_kept(*rules::additives({"Additives", word}, sulfide, true)));
    }
    CHECK_FALSE(rules::additives({"Additives", "ammonia 5 ml, salt"}, sulfide, false));
    CHECK_FALSE(rules::additives({"Additives", "vinegar"}, kind("peroxide", {"acid"}, "passes", false), false));
}
