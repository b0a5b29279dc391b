// A studio on an empty log in memory, with a clock turned by hand: for tests of actions.
#pragma once

#include "app/actions.hpp"
#include "app/answers.hpp"
#include "app/studio.hpp"
#include "store/log.hpp"
#include "store/query.hpp"
#include "store/record.hpp"
#include "support/lists.hpp"

#include <catch2/catch.hpp>

#include <initializer_list>
#include <string>
#include <utility>
#include <vector>

namespace tonebath::test {

using Typed = std::initializer_list<std::pair<const std::string, std::string>>;

inline app::Form form_of(const std::string& action, Typed typed, std::initializer_list<std::string> kept = {},
                         std::initializer_list<std::string> from_memory = {}) {
    return app::Form{.action = action, .typed = typed, .kept = kept, .from_memory = from_memory};
}

class Desk {
public:
    explicit Desk(UnitChoice units = {}) : clock(*parse_iso("2026-03-31T09:00+01:00", 0)) {
        app::StudioOptions options;
        options.units = units;
        options.data = std::string(TONEBATH_SOURCE_DIR) + "/data";
        Result<std::unique_ptr<app::Studio>> opened = app::Studio::open(options, clock);
        INFO((opened ? std::string() : opened.error().text()));
        REQUIRE(opened);
        studio_ = std::move(opened).value();
    }
    app::Studio& studio() { return *studio_; }
    store::Log& log() { return studio_->log(); }

    // Does it, or fails the test with the refusal's words.
    app::Outcome does(const app::Form& form) {
        if (answers_lists) {
            answer_lists(*studio_, form);
        }
        const Result<app::Outcome> outcome = studio_->carry_out(form);
        INFO(form.action << ": " << (outcome ? std::string() : outcome.error().code + " " + outcome.error().text()));
        REQUIRE(outcome);
        return *outcome;
    }
    app::Outcome does(const std::string& action, Typed typed = {}) { return does(form_of(action, typed)); }

    // Is refused with this code, names field, value and remedy, and leaves the log as it was.
    Refusal refused(const app::Form& form, const std::string& code) {
        const std::vector<std::string> before = content();
        const Result<app::Outcome> outcome = studio_->carry_out(form);
        INFO(form.action << ": " << (outcome ? outcome->said : outcome.error().code + " " + outcome.error().text()));
        REQUIRE_FALSE(outcome);
        CHECK(outcome.error().code == code);
        CHECK_FALSE(outcome.error().message.empty());
        CHECK_FALSE(outcome.error().remedy.empty());
        CHECK_FALSE(outcome.error().field.empty());
        CHECK(content() == before);
        return outcome.error();
    }
    Refusal refused(const std::string& action, Typed typed, const std::string& code) {
        return refused(form_of(action, typed), code);
    }

    // Number of records of every noun, and of changes: what "nothing was written" is held against.
    std::vector<std::string> content() {
        std::vector<std::string> rows;
        for_each_noun([&]<class Noun>(const Noun&) {
            store::Query query(log(), "SELECT count(*) FROM " + std::string(Noun::kTable));
            REQUIRE(query.next());
            rows.push_back(std::string(Noun::kTable) + " " + std::to_string(query.integer(0)));
        });
        store::Query query(log(), "SELECT count(*), COALESCE(max(seq), 0) FROM change");
        REQUIRE(query.next());
        rows.push_back("change " + std::to_string(query.integer(0)) + " " + std::to_string(query.integer(1)));
        return rows;
    }
    template <class Noun>
    std::vector<Noun> all() {
        return store::list<Noun>(log(), "ORDER BY made_utc_ms, id");
    }
    template <class Noun>
    Noun last() {
        std::vector<Noun> records = all<Noun>();
        REQUIRE_FALSE(records.empty());
        return records.back();
    }
    std::string one_text(const std::string& sql) {
        store::Query query(log(), sql);
        REQUIRE(query.next());
        return query.text(0);
    }
    double one_real(const std::string& sql) {
        store::Query query(log(), sql);
        REQUIRE(query.next());
        return query.real(0);
    }

    // A maker at the bench, one lot, one vessel.
    void set_up() {
        does("person.add", {{"initials", "MK"}, {"role", "maker"}});
        does("lot.add", {{"number", "LS-2"},
                         {"amount", "100 g"},
                         {"usual", "5"},
                         {"bought", "1 Mar 2026"},
                         {"opened", "2 Mar 2026"}});
        does("vessel.add", {{"number", "V1"}, {"kind", "glass bowl"}, {"volume", "400 ml"}});
    }
    // Bath 1: 2 g of LS-2 in 400 ml at 60 °C, room 19 °C.
    void make_bath() {
        set_up();
        does("bath.make-up", {{"lot", "LS-2"},
                              {"amount", "2 g"},
                              {"water", "400 ml"},
                              {"start-temp", "60"},
                              {"room-temp", "19"},
                              {"vessel", "V1"}});
    }
    void check_bath(const std::string& bath = "1") {
        answer_lists(*studio_, form_of("dip.drop", {{"bath", bath}}));
    }

    HandClock clock;
    bool answers_lists = true;  // before each act, the lists that hold it back: false in the tests of the lists themselves

private:
    std::unique_ptr<app::Studio> studio_;
};

}  // namespace tonebath::test
