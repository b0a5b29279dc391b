// Random sequences of what the pages and the commands do: nothing begins at the bench with an open stop, and each answer
// and each line that was passed over stands in the change log.
//
// What is allowed is told here from the records alone, without the gates of the program: before a make-up, a drop, a
// coating or a disposal that was written down as done now, its person confirmed every stop of the list that applies to
// the finish, and answered or passed over every must, in one use of the list that was not withdrawn; and no bottle stands
// out that must never meet what begins.
#include "app/studio_desk.hpp"

#include "app/views/checks_view.hpp"
#include "support/list_oracle.hpp"

#include <algorithm>
#include <cstdlib>
#include <random>
#include <string>

using namespace tonebath;
using namespace tonebath::test;

namespace {

class Bench {
public:
    explicit Bench(std::uint64_t seed) : dice_(seed) { open(); }

    void sequence(int acts) {
        for (int i = 0; i < acts; ++i) {
            act();
        }
        if (++sequences_ % 120 == 0) {  // a small log keeps the walk quick
            check_changes();
            open();
        }
    }
    void check_changes() {
        // Every answer, also of lines passed over, was written inside a change.
        CHECK(count("SELECT count(*) FROM check_answer WHERE id NOT IN (SELECT record_id FROM change_row WHERE table_name = 'check_answer' AND kind = 'insert')") == 0);
        CHECK(count("SELECT count(*) FROM check_answer WHERE state = 'passed over' AND (level <> 'must' OR reason = '' OR who IS NULL)") == 0);
        CHECK(count("SELECT count(*) FROM change_row WHERE kind = 'delete' AND table_name IN ('check_run', 'check_answer', 'disposal')") == 0);
        passed_over += count("SELECT count(*) FROM check_answer WHERE state = 'passed over'");
    }
    int begun[4] = {0, 0, 0, 0};  // make-ups, drops, coatings, disposals that were allowed
    int refused[4] = {0, 0, 0, 0};
    std::int64_t passed_over = 0;

private:
    void open() {
        desk_ = std::make_unique<Desk>();
        desk_->answers_lists = false;
        desk_->set_up();
        desk_->does("lot.add", {{"number", "BK-1"}, {"kind", "HCl-based blackener"}, {"amount", "50 ml"}});
        desk_->does("person.add", {{"initials", "AP"}, {"role", "apprentice"}, {"may-dip-alone", "no"}, {"may-make-up", "no"}});
        desk_->does("person.add", {{"initials", "ST"}, {"role", "student"}});
        desk_->does("person.at-bench", {{"who", "MK"}});
        desk_->does("chemical.add", {{"name", "bleach"}, {"kind", "bleach dip"}, {"read", "today"}, {"sheet", "1 Mar 2025"}});
        for (const char* number : {"1", "2", "3"}) {
            desk_->does("strip.add", {{"number", number}, {"metal", "sterling"}});
        }
    }
    int pick(int below) { return static_cast<int>(dice_() % static_cast<std::uint64_t>(below)); }
    bool one_in(int many) { return pick(many) == 0; }
    std::string any(std::initializer_list<const char*> words) { return *(words.begin() + pick(static_cast<int>(words.size()))); }
    std::int64_t count(const std::string& sql) { return count_of(desk_->log(), sql); }
    Result<app::Outcome> go(app::Form form) { return desk_->studio().carry_out(form); }
    std::string any_bath() { return std::to_string(1 + pick(static_cast<int>(std::max<std::int64_t>(1, count("SELECT count(*) FROM bath"))))); }
    std::string any_who() { return any({"", "", "MK", "AP", "ST"}); }

    app::Form form(const std::string& action, std::map<std::string, std::string> typed) {
        std::erase_if(typed, [](const auto& one) { return one.second.empty(); });
        app::Form made{.action = action, .typed = std::move(typed)};
        if (one_in(2)) {
            made.kept.insert("check.quick");
        }
        return made;
    }

    // As the page does: the list that is wanted now or another, its next line or all of it, or a line passed over.
    void at_the_list() {
        const app::ChecksView view = app::checks_view(desk_->studio(), one_in(2) ? app::ChecksChoice{}
                                                                                 : app::ChecksChoice{.list = any({"before_mixing", "before_session", "during", "after_disposal", "lacquer", "monthly"}),
                                                                                                     .bath = one_in(2) ? any_bath() : "",
                                                                                                     .kind = {}});
        if (view.key.empty()) {
            return;
        }
        const bool all = !one_in(4);
        std::string lines;
        for (const app::ChecksItem& item : view.items) {
            if (item.answered || item.asks.empty() || (!all && !one_in(3)) || (item.completion && one_in(5))) {
                continue;
            }
            if (item.can_pass && one_in(6)) {
                static_cast<void>(go(app::pass_form(view, item, any({"MK", "AP"}), any({"tap under repair", "lent out"}))));
                continue;
            }
            lines += (lines.empty() ? "" : "\n") + item.key + ": " + (item.unit.empty() ? "seen" : "seen, 21");
        }
        if (!lines.empty()) {
            app::Form answer = app::answer_form(view, view.items.front(), "");
            answer.typed["item"] = lines;
            answer.kept.insert("check.quick");
            if (one_in(4)) {
                answer.typed["with"] = "MK";
            }
            if (const std::string who = one_in(4) ? any_who() : ""; !who.empty()) {
                answer.typed["who"] = who;
            }
            static_cast<void>(go(answer));
        }
    }

    void act() {
        switch (pick(23)) {
            case 0:
            case 1:
            case 2:
            case 3:
            case 4:
            case 5:
            case 6:
                return at_the_list();
            case 7:
                return begin(0, form("bath.make-up", {{"lot", any({"LS-2", "LS-2", "BK-1", ""})}, {"amount", ""}, {"who", any_who()}, {"with", one_in(3) ? "MK" : ""}}));
            case 8:
            case 9:
            case 10:
                return begin(1, form("dip.drop", {{"bath", any_bath()}, {"strip", any({"1", "2", "3"})}, {"who", one_in(3) ? any_who() : ""}, {"with", one_in(4) ? "MK" : ""}}));
            case 11:
            case 12: {
                // The key that takes a piece out works whatever list is open.
                const bool hangs = count("SELECT count(*) FROM dip WHERE dropped_utc_ms IS NOT NULL AND out_utc_ms IS NULL") == 1;
                const auto out = go(form("dip.out", {}));
                if (hangs) {
                    INFO((out ? "" : out.error().text()));
                    CHECK(out);
                }
                static_cast<void>(go(form("dip.rinsed", {{"length", one_in(2) ? "20" : ""}})));
                return;
            }
            case 13:
                return begin(2, form("coating.begin", {{"stones", "4"}, {"who", any_who()}, {"with", one_in(3) ? "MK" : ""}}));
            case 14:
                return begin(3, form("disposal.add", {{"bath", one_in(2) ? any_bath() : ""}, {"route", "collection"}, {"who", any_who()}, {"past", one_in(8) ? "yes" : ""}}));
            case 15:
                static_cast<void>(go(form("check.withdraw", {{"check", any({"1/1", "2/1", "before_mixing/1", "lacquer/1", "1/2"})}})));
                return;
            case 16:
                static_cast<void>(go(form("check.reopen", {{"bath", any_bath()}, {"what", any({"meter alarm", "extraction off", "someone unwell"})}})));
                return;
            case 17:
                static_cast<void>(one_in(2) ? desk_->studio().undo() : desk_->studio().redo());
                return;
            case 18:
                static_cast<void>(go(form("person.at-bench", {{"who", any({"MK", "MK", "AP", "ST"})}})));
                return;
            case 19:
                static_cast<void>(go(form(one_in(2) ? "coating.end" : "check.comment", {})));
                static_cast<void>(go(form("check.comment", {{"check", "1/1"}, {"words", "looked again"}})));
                return;
            case 20:
                if (one_in(6)) {
                    static_cast<void>(go(form("bath.end", {{"bath", any_bath()}})));
                }
                static_cast<void>(go(form("bath.read", {{"bath", any_bath()}, {"temp", "58"}})));
                return;
            case 21:
                // It must never meet a sulfide, an acid or a solvent: all that is begun here. Mostly it is put away again.
                static_cast<void>(go(form(one_in(4) ? "chemical.out" : "chemical.away", {{"product", "bleach"}})));
                return;
            default:
                desk_->clock.advance(one_in(8) ? 60.0 * pick(150) : 10.0 + pick(200));
        }
    }

    void begin(int which, const app::Form& form) {
        const std::optional<Person> at_bench = desk_->studio().at_bench();
        const auto done = go(form);
        if (!done) {
            ++refused[which];
            return;
        }
        ++begun[which];
        static constexpr const char* kLists[] = {"before_mixing", "before_session", "lacquer", "after_disposal"};
        const std::string noun[] = {"bath", "dip", "coating", "disposal"};
        const std::string id = done->made.at(noun[which]);
        std::string kind = "lacquer_solvent", bath;
        if (which == 0) {
            kind = store::find(desk_->log(), Id<Bath>{id})->finish_kind;
        } else if (which == 1) {
            bath = store::find(desk_->log(), Id<Dip>{id})->bath_id.text;
            kind = store::find(desk_->log(), Id<Bath>{bath})->finish_kind;
        } else if (which == 3) {
            const Disposal disposal = *store::find(desk_->log(), Id<Disposal>{id});
            if (disposal.past_work) {
                return;
            }
            bath = disposal.bath_id ? disposal.bath_id->text : "";
            kind = disposal.bath_id ? store::find(desk_->log(), *disposal.bath_id)->finish_kind : newest_kind();
        }
        std::string who = at_bench->id.text;
        if (const std::string typed(form.text("who")); !typed.empty()) {
            who = app::resolve<Person>(desk_->studio(), "Who", typed)->id.text;
        }
        INFO(form.action << " " << id << " by " << who << " of " << kind);
        CHECK(count("SELECT count(*) FROM chemical WHERE on_bench_utc_ms IS NOT NULL AND gone_utc_ms IS NULL") == 0);
        CHECK(list_answered(desk_->studio(), kLists[which], kind, who, which_bath(kLists[which]) ? bath : "", desk_->studio().now()));
        const Person person = *store::find(desk_->log(), Id<Person>{who});
        const bool may[] = {person.may_make_up, person.may_dip_alone, person.may_coat, person.may_dispose};
        if (!may[which]) {
            CHECK((!form.text("with").empty() || count("SELECT count(*) FROM check_run WHERE second IS NOT NULL AND who = '" + who + "'") > 0));
        }
    }

    std::string newest_kind() {
        store::Query query(desk_->log(), "SELECT finish_kind FROM bath ORDER BY made_utc_ms DESC, id DESC LIMIT 1");
        return query.next() ? query.text(0) : "liver_of_sulfur_lump";
    }

    static bool which_bath(const std::string& key) { return key == "before_session" || key == "after_disposal"; }

    std::mt19937_64 dice_;
    std::unique_ptr<Desk> desk_;
    int sequences_ = 0;
};

void walk(int sequences, std::uint64_t seed) {
    Bench bench(seed);
    for (int i = 0; i < sequences; ++i) {
        bench.sequence(7);
    }
    bench.check_changes();
    // The walk got somewhere: each act was allowed and refused, and lines were passed over.
    for (int which = 0; which < 4; ++which) {
        INFO("act " << which << ": " << bench.begun[which] << " begun, " << bench.refused[which] << " refused");
        CHECK(bench.begun[which] > sequences / 400);
        CHECK(bench.refused[which] > sequences / 400);
    }
    CHECK(bench.passed_over > sequences / 400);
    if (std::getenv("TONEBATH_WALK_SAYS") != nullptr) {
        WARN("make-ups " << bench.begun[0] << "/" << bench.refused[0] << ", drops " << bench.begun[1] << "/" << bench.refused[1] << ", coatings " << bench.begun[2] << "/"
                         << bench.refused[2] << ", disposals " << bench.begun[3] << "/" << bench.refused[3] << ", passed over " << bench.passed_over);
    }
}

}  // namespace

TEST_CASE("no random sequence begins work at the bench with an open stop") {
    walk(2'000, 20260331);
}

TEST_CASE("no random sequence begins work at the bench with an open stop, 100 000 times", "[.long][long]") {
    walk(100'000, 20260401);
}
