#include "store/join.hpp"

#include "store/change.hpp"
#include "store/joiner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>

namespace tonebath::store {
namespace {

std::optional<Refusal> not_joined(Log& ours, OtherLog& theirs) {
    std::error_code failed;
    if (std::filesystem::equivalent(ours.file(), theirs.file(), failed) && !failed) {
        return join_refused("join.itself", theirs.file().string(), "that is this log itself.", "Name the log of the other bench.");
    }
    const bool demo = ours.setting("demo").value_or("") == "yes";
    if (demo != (theirs.log().setting("demo").value_or("") == "yes")) {
        return join_refused("join.demo", theirs.file().string(),
                            demo ? "this is an invented studio, that is not." : "that is an invented studio, this is not.",
                            "An invented studio is joined with an invented one only.");
    }
    return std::nullopt;
}

Result<JoinFindings> gone_through(Joiner& joiner) {
    try {
        return joiner.go_through();
    } catch (const Joiner::GivenUp&) {
        return join_refused("join.given_up", "", "the join was given up; nothing was written.", "");
    } catch (const Refusal& no) {
        return no;
    }
}

}  // namespace

Refusal join_refused(std::string code, std::string value, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code), .field = "other log", .value = std::move(value), .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

JoinCount JoinFindings::count_of(std::string_view table) const {
    const auto found = std::find_if(counts.begin(), counts.end(), [table](const JoinCount& count) { return count.table == table; });
    return found == counts.end() ? JoinCount{.table = std::string(table)} : *found;
}

bool JoinFindings::nothing() const {
    return changes_added == 0 &&
           std::all_of(counts.begin(), counts.end(), [](const JoinCount& count) { return count.added + count.changed + count.removed == 0; });
}

Result<JoinFindings> preview_join(Log& ours, OtherLog& theirs, const JoinOptions& options, const JoinProgress& progress) {
    if (std::optional<Refusal> no = not_joined(ours, theirs)) {
        return *no;
    }
    const Snapshot moment(ours);
    Joiner joiner(ours, theirs, options, progress, Joiner::Does::looks);
    return gone_through(joiner);
}

Result<JoinFindings> join(Log& ours, OtherLog& theirs, const JoinOptions& options, const Stamp& at, const std::string& who_id, IdSource& ids,
                          const JoinProgress& progress) {
    if (std::optional<Refusal> no = not_joined(ours, theirs)) {
        return *no;
    }
    const std::string mark = options.mark.empty() ? theirs.log().setting(kBenchMark).value_or("") : options.mark;
    Change change(ours, fmt::format("{}{}", kJoinStep, mark.empty() ? theirs.file().filename().string() : "of bench " + mark), at, who_id, ids);
    run(ours, "PRAGMA defer_foreign_keys = ON");
    Joiner joiner(ours, theirs, options, progress, Joiner::Does::writes);
    Result<JoinFindings> found = gone_through(joiner);
    if (!found) {
        return found;
    }
    JoinFindings done = std::move(found).value();
    done.change_id = change.commit();
    return done;
}

}  // namespace tonebath::store
