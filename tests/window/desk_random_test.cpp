// Random keys and touches on every page, mixed with commands on the same log: whatever is pressed, nothing begins with an open
// stop. What is allowed is told from the records alone.
#include "support/list_oracle.hpp"
#include "window/walk.hpp"

#include <random>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

class RandomHands {
public:
    explicit RandomHands(std::uint64_t seed) : dice_(seed), walk_(false) {
        walk_.answers_lists = false;
        walk_.has("person.add", {{"initials", "MK"}, {"role", "maker"}});
        walk_.has("lot.add", {{"number", "LS-1"}, {"kind", "liver_of_sulfur_lump"}, {"form", "lump"}, {"amount", "100 g"}});
        walk_.has("strip.add", {{"number", "1..4"}, {"metal", "sterling"}});
        if (pick(3) != 0) {  // a bath with its list before mixing, and a strip before it
            test::answer_lists(walk_.window().studio(), {.action = "bath.make-up", .typed = {{"lot", "LS-1"}}});
            command("bath.make-up", kMakeUp);
            command("strip.lay-out", {{"bath", "1"}, {"metal", "sterling"}, {"aim", "blue"}});
        }
    }
    void act() {
        switch (pick(16)) {
            case 0:
            case 1:
            case 2: return answer_list();
            case 3:
            case 4: return at_the_bench();
            case 5: return walk_.press(kPages[static_cast<std::size_t>(pick(8))], pick(2) == 0 ? kAlt : Mods{});
            case 6: return walk_.press(static_cast<Key>(static_cast<int>(Key::a) + pick(26)), pick(5) == 0 ? kAlt : Mods{});
            case 7: return walk_.press(Key::enter, pick(2) == 0 ? kCtrl : Mods{});
            case 8: return walk_.press(Key::esc);
            case 9: return walk_.press(pick(2) == 0 ? Key::tab : Key::down);
            case 10: return walk_.press(pick(2) == 0 ? Key::z : Key::y, kCtrl);
            case 11: return touch_any();
            case 12: return command("bath.make-up", kMakeUp);
            case 13: return command("strip.lay-out", {{"bath", std::to_string(1 + pick(2))}, {"metal", "sterling"}, {"aim", "blue"}});
            case 14: return command(pick(2) == 0 ? "coating.begin" : "disposal.add", pick(2) == 0 ? std::map<std::string, std::string>{{"stones", "4"}} : std::map<std::string, std::string>{{"bath", "1"}, {"route", "collection"}});
            default: walk_.clock().advance(pick(10) == 0 ? 60.0 * pick(150) : 5.0 + pick(60)); return walk_.settle();
        }
    }
    Walk& walk() { return walk_; }
    std::int64_t count(const std::string& sql) { return test::count_of(walk_.window().studio().log(), sql); }

private:
    inline static const std::map<std::string, std::string> kMakeUp{{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}};
    static constexpr std::array<Key, 8> kPages{Key::d1, Key::d2, Key::d3, Key::d4, Key::d5, Key::d6, Key::d7, Key::d8};

    int pick(int below) { return static_cast<int>(dice_() % static_cast<std::uint64_t>(below)); }
    void command(const std::string& action, const std::map<std::string, std::string>& typed) { static_cast<void>(walk_.does(action, typed)); }
    void leave_forms() {
        for (int i = 0; i < 3 && walk_.driver().shows("Leave it"); ++i) {
            walk_.press(Key::esc);
        }
    }
    void at_the_bench() {
        if (pick(3) == 0) {
            leave_forms();
            walk_.press(Key::d2, kAlt);
        }
        walk_.press(Key::space);
    }
    // Some lines of the list on the screen, mostly all of them.
    void answer_list() {
        leave_forms();
        walk_.press(pick(4) == 0 ? kSafetyKey : Key::d2, kAlt);
        for (int line = pick(4) == 0 ? pick(5) : 9; line >= 0 && walk_.driver().shows("Signed by"); --line) {
            const bool in_words = walk_.driver().shows("Say:");
            walk_.clock().advance(20.0);
            walk_.press(Key::enter);
            if (in_words) {
                walk_.driver().type("looked at, 40");
                walk_.press(Key::enter);
            }
        }
    }
    void touch_any() {
        std::vector<ProbeWidget> all;
        for (const ProbeWidget& widget : walk_.driver().probe().widgets()) {
            if (widget.interactive && walk_.driver().ui().screen().has(widget.rect.mid())) {
                all.push_back(widget);
            }
        }
        if (!all.empty()) {
            walk_.clock().advance(0.5);
            walk_.driver().click_at(all[static_cast<std::size_t>(pick(static_cast<int>(all.size())))].rect.mid());
            walk_.settle();
        }
    }

    std::mt19937_64 dice_;
    Walk walk_;
};

void random_walks(int walks, std::uint64_t seed) {
    std::int64_t baths = 0, dips = 0, refused_open = 0;
    for (int i = 0; i < walks; ++i) {
        RandomHands hands(seed + static_cast<std::uint64_t>(i));
        for (int k = 0; k < 40; ++k) {
            hands.act();
        }
        INFO("walk " << i);
        for (const std::string& one : test::begun_without_list(hands.walk().window().studio())) {
            FAIL_CHECK(one << " began without its list");
        }
        CHECK(hands.count("SELECT count(*) FROM check_answer WHERE id NOT IN (SELECT record_id FROM change_row WHERE table_name = 'check_answer' AND kind = 'insert')") == 0);
        baths += hands.count("SELECT count(*) FROM bath WHERE past_work = 0");
        dips += hands.count("SELECT count(*) FROM dip WHERE past_work = 0");
        refused_open += hands.count("SELECT count(*) FROM check_run WHERE done_utc_ms IS NULL");
    }
    // They got somewhere: things began, and lists were left half answered.
    INFO(baths << " baths, " << dips << " dips, " << refused_open << " lists left open");
    CHECK(baths > walks / 6);
    CHECK(dips > walks / 12);
    CHECK(refused_open > 0);
}

}  // namespace

TEST_CASE("whatever keys are pressed, nothing begins with an open stop") {
    random_walks(6, 20260331);
}

TEST_CASE("whatever keys are pressed, nothing begins with an open stop, 1500 walks", "[.long][long]") {
    random_walks(1500, 20260402);
}
