// A studio with baths whose temperature is held, and plans asked of it: for tests of what the log teaches.
#pragma once

#include "app/studio_desk.hpp"

#include "app/learned.hpp"
#include "app/learning.hpp"
#include "app/plan.hpp"

#include <string>

namespace tonebath::test {

struct LearningDesk : Desk {
    LearningDesk() {
        set_up();
        // A vessel that keeps its heat: the temperature stays what was read last.
        does("vessel.add", {{"number", "W1"}, {"kind", "bowl in a water bath"}, {"volume", "2 l"}, {"cooling", "0.00001"}});
    }

    // A bath of LS-2 held at this temperature: 5 g/l is its usual strength.
    void held_bath(const std::string& number, const std::string& temp, const std::string& grams = "2 g", const std::string& water = "400 ml") {
        does("bath.make-up", {{"number", number}, {"lot", "LS-2"}, {"amount", grams}, {"water", water}, {"start-temp", temp}, {"room-temp", "19"}, {"vessel", "W1"}, {"agitation", "gentle"}});
        check_bath(number);
    }
    void ends(const std::string& number) { does("bath.end", {{"bath", number}}); }
    // Brought to another temperature and held there.
    void brought_to(const std::string& bath, const std::string& temp) { does("bath.read", {{"bath", bath}, {"temp", temp}, {"reheated", "yes"}}); }

    // A strip pulled just as it reached the tone (or judged afterwards).
    void strip(const std::string& number, const std::string& bath, double seconds, const std::string& tone, bool watched = true,
               const std::string& metal = "sterling") {
        does("strip.add", {{"number", number}, {"metal", metal}});
        does("dip.drop", {{"bath", bath}, {"strip", number}});
        clock.advance(seconds);
        does("dip.out", {{"watched", watched ? "yes" : "no"}});
        does("judgement.add", {{"strip", number}, {"tone", tone}});
    }

    Bath bath(const std::string& number) {
        for (const Bath& one : all<Bath>()) {
            if (one.number == number) {
                return one;
            }
        }
        FAIL("no bath " << number);
        return {};
    }
    Id<ToneScale> scale(const std::string& metal) {
        return {one_text("SELECT s.id FROM tone_scale s JOIN metal m ON m.id = s.metal_id WHERE m.name = '" + metal + "'")};
    }
    Id<Tone> tone(const std::string& metal, const std::string& word) {
        return {one_text("SELECT id FROM tone WHERE scale_id = '" + scale(metal).text + "' AND word = '" + word + "'")};
    }
    app::PlanRequest request(const std::string& bath_number, const std::string& word, const std::string& metal = "sterling") {
        app::PlanRequest asked;
        asked.bath_id = bath(bath_number).id;
        asked.scale_id = scale(metal);
        asked.tone_id = tone(metal, word);
        return asked;
    }
    // Must give a time.
    app::Plan planned(const app::Learned& learned, const app::PlanRequest& asked) {
        app::Plan plan = app::plan(studio(), learned, asked);
        INFO((plan.refusal ? plan.refusal->code + " " + plan.refusal->text() : std::string()));
        REQUIRE_FALSE(plan.refusal);
        REQUIRE(plan.out_s);
        REQUIRE(plan.comes_s);
        REQUIRE(*plan.aim_low_s <= *plan.out_s);
        REQUIRE(*plan.out_s <= *plan.aim_high_s);
        return plan;
    }
    app::Plan planned(const std::string& bath_number, const std::string& word, const std::string& metal = "sterling") {
        return planned(*app::learn(studio()), request(bath_number, word, metal));
    }
    static double spread(const app::Plan& plan) { return *plan.aim_high_s / *plan.aim_low_s; }
};

inline std::string all_of(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) {
        text += line + "\n";
    }
    return text;
}

}  // namespace tonebath::test
