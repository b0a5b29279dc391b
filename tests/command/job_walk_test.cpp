// The whole job by commands alone, from no log at all to the repeat of the order.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <set>

using namespace tonebath::test;

namespace {

std::size_t with(const nlohmann::json& rows, const char* column, const nlohmann::json& value) {
    return static_cast<std::size_t>(
        std::count_if(rows.begin(), rows.end(), [&](const auto& row) { return row.at(column) == value; }));
}

}  // namespace

TEST_CASE("A maker's day by commands: the log holds what was typed") {
    const Program program;
    // Nothing is there yet, and a name typed wrong makes no log.
    CHECK(program.on_log({"bath", "list"}).code == 3);
    CHECK_FALSE(std::filesystem::exists(program.log()));

    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--opened", "2 Mar 2025",
                  "--bought", "1 Mar 2025"});
    program.does({"vessel", "add", "--number", "V1", "--kind", "glass bowl", "--volume", "400 ml"});
    program.does({"target", "add", "--name", "Limpet lid blue", "--scale", "sterling", "--tone", "blue", "--tolerance",
                  "0.5", "--keep-piece", "L-131"});
    program.does({"order", "add", "--number", "R-07", "--target", "Limpet lid blue"});
    program.does(
        {"batch", "add", "--number", "31", "--design", "Limpet", "--order", "R-07", "--target", "Limpet lid blue"});
    program.does({"piece", "add", "--number", "L-131..L-138", "--batch", "31", "--rack", "1", "--metal", "sterling"});
    CHECK(program.does({"today"}).find("No bath is in use") != std::string::npos);
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--number", "46", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml",
                  "--start-temp", "60", "--room-temp", "19", "--vessel", "V1", "--at", "20 min ago"});
    program.does({"bath", "read", "--bath", "46", "--temp", "57.7", "--at", "18 min ago"});
    program.does({"bath", "read", "--bath", "46", "--temp", "55.6", "--at", "16 min ago"});
    program.does({"bath", "read", "--bath", "46", "--temp", "51.7", "--at", "12 min ago"});
    program.does({"preparation", "add", "--batch", "31", "--degreased", "yes", "--water-sheeted", "yes"});

    // Before any strip the plan says so; two strips narrow it.
    const std::vector<std::string> ask{"plan", "--bath", "46", "--tone", "blue", "--metal", "sterling"};
    const auto before = program.tells(ask);
    CHECK(before.at("cautions").dump().find("dip a strip first") != std::string::npos);
    program.does({"strip", "add", "--number", "1..2", "--metal", "sterling"});
    // A drop is refused until the check before the bath is done.
    CHECK(program.refuses({"dip", "drop", "--bath", "46", "--strip", "1"})
              .at("refused")
              .get<std::string>()
              .starts_with("check."));
    program.checks_bath("46");
    program.does({"dip", "enter", "--bath", "46", "--strip", "1", "--length", "44", "--dropped", "17 min ago",
                  "--watched", "yes"});
    program.does({"dip", "enter", "--bath", "46", "--strip", "2", "--length", "64", "--dropped", "11 min ago",
                  "--watched", "yes"});
    program.does({"judgement", "add", "--strip", "1", "--tone", "blue"});
    program.does({"judgement", "add", "--strip", "2", "--tone", "blue"});
    const auto after = program.tells(ask);
    const auto ratio = [](const nlohmann::json& plan) {
        return plan.at("aim_high_s").get<double>() / plan.at("aim_low_s").get<double>();
    };
    CHECK(ratio(after) < 0.7 * ratio(before));
    CHECK(after.at("rests_on").dump().find("2 strips in this bath") != std::string::npos);
    const auto today = program.tells({"today"});
    CHECK(today.at("next").at("batch") == "31");
    CHECK(today.at("next").at("plan").at("out_s").is_number());

    // The bench: one goes in and out by presses, eight are written down.
    program.does({"bench", "lay-out", "--bath", "46", "--batch", "31", "--aim", "blue"});
    program.does({"strip", "add", "--number", "3", "--metal", "sterling"});
    program.does({"dip", "drop", "--bath", "46", "--strip", "3", "--lane", "1"});
    program.does({"dip", "out", "--lane", "1"});
    program.does({"dip", "rinsed", "--strip", "3"});
    program.does({"dip", "enter", "--bath", "46", "--piece", "L-131..L-138", "--length", "70", "--dropped", "8 min ago",
                  "--rinse", "30", "--target", "Limpet lid blue"});
    for (int number = 131; number <= 137; ++number) {
        program.does({"judgement", "add", "--piece", "L-" + std::to_string(number), "--tone", "blue"});
    }
    // Lighter than a strip that was in for less: asked about, and kept in the words on offer.
    CHECK(program.refuses({"judgement", "add", "--piece", "L-138", "--tone", "amber"}).at("answers").size() == 1);
    program.does({"judgement", "add", "--piece", "L-138", "--tone", "amber", "--answer", "Keep it"});
    program.does({"after-work", "add", "--batch", "31", "--step", "sealed", "--with", "wax"});

    const auto spread = program.tells({"spread", "--batch", "31"});
    CHECK(spread.at("judged") == 8);
    CHECK(spread.at("target") == "blue");
    CHECK(spread.at("mates").size() == 8);
    CHECK(spread.at("outliers") == nlohmann::json::array({"L-138"}));
    CHECK(program.does({"spread", "--batch", "31"}).find("L-138") != std::string::npos);
    const auto story = program.tells({"story", "L-131"});
    CHECK(story.at("title").get<std::string>().find("Limpet") != std::string::npos);
    CHECK(story.dump().find("70 s") != std::string::npos);
    CHECK(story.dump().find("Judged blue") != std::string::npos);

    program.does({"order", "add", "--number", "R-12", "--repeat-of", "R-07"});
    const auto again = program.tells({"repeat", "R-12"});
    CHECK(again.at("pattern") == "order R-07");
    CHECK(again.at("dose_s").get<double>() > 0.0);
    CHECK(again.at("then_s") == 70.0);
    CHECK(again.at("out_s").get<double>() > 70.0);  // colder by now than when they went in
    CHECK(again.at("strips_s").size() == 2);

    // A step taken back by a command of its own, and brought forward.
    program.does({"bath", "read", "--bath", "46", "--temp", "45.0", "--at", "1 min ago"});
    CHECK(program.rows("reading").size() == 4);
    program.does({"undo"});
    CHECK(program.rows("reading").size() == 3);
    program.does({"redo"});
    CHECK(program.rows("reading").size() == 4);
    program.does({"log", "undo"});
    CHECK(program.rows("reading").size() == 3);
    program.does({"bath", "end", "--bath", "46"});

    const auto dips = program.rows("dip");
    CHECK(dips.size() == 11);
    CHECK(with(dips, "past_work", 1) == 10);
    CHECK(with(dips, "in_bath_s", 70.0) == 8);
    CHECK(with(dips, "in_bath_s", nullptr) == 0);
    CHECK(program.rows("piece").size() == 8);
    CHECK(program.rows("strip").size() == 3);
    CHECK(program.rows("judgement").size() == 10);
    CHECK(program.rows("rinse").size() == 9);
    CHECK(program.rows("press").size() == 3);
    CHECK(with(program.rows("bath"), "number", "46") == 1);
    CHECK_FALSE(program.rows("bath").at(0).at("ended").is_null());
    CHECK(program.tells({"find", "blue"}).size() >= 8);
    CHECK(program.on_log({"find", "no", "such", "thing"}).code == 1);
    CHECK(program.does({"log", "check"}).find("is whole") != std::string::npos);
    CHECK(program.tells({"log", "changes"}).size() > 20);
    program.does({"log", "backup"});
    CHECK(program.tells({"log", "backups"}).size() == 1);
    // A list as CSV has its header line and one line for each record.
    const std::string csv = program.does({"piece", "list", "--csv"});
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 9);
    CHECK(csv.starts_with("id,number,design"));
}
