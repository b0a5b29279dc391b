// Joining the log of a second bench: what it holds that this one does not is added, in one change. Records are told apart by
// their ids; the words of a scale, a part of a piece, a seat of a class and a person of the same initials and role are one
// where their names are. A number that stands for two records gets a bench mark on one of them. Where both benches changed
// one field, the later change holds. The other log's changes are kept beside this one's own.
#pragma once

#include "store/log.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {

class Aside;

// The setting that holds a bench's own mark, at most 8 letters and digits.
inline constexpr std::string_view kBenchMark = "bench_mark";
// What the step of every join begins with.
inline constexpr std::string_view kJoinStep = "join the log ";

// The other log, copied aside, so that the file itself stays byte for byte as it is; a copy of an older form is brought up to
// date. It belongs to one thread; the copy goes with it.
class OtherLog {
public:
    // Refusals as Log::open: "log.missing", "log.not_ours", "log.newer", "log.damaged". Throws StoreError, also when there is
    // no room for the copy.
    [[nodiscard]] static Result<std::unique_ptr<OtherLog>> open(const std::filesystem::path& file);
    ~OtherLog();
    OtherLog(const OtherLog&) = delete;
    OtherLog& operator=(const OtherLog&) = delete;

    [[nodiscard]] Log& log() { return *log_; }
    [[nodiscard]] const std::filesystem::path& file() const { return file_; }  // as it was named
    [[nodiscard]] int form() const { return form_; }                          // schema version it was written in

private:
    OtherLog() = default;
    std::filesystem::path file_;
    std::unique_ptr<Aside> aside_;  // outlives the log in it
    std::unique_ptr<Log> log_;
    int form_ = 0;
};

struct JoinOptions {
    std::string mark;                             // of the other bench; empty = as its log says
    std::optional<std::int64_t> clock_offset_ms;  // to be added to its moments; unknown = found
};

struct JoinCount {
    std::string table;
    std::int64_t added = 0;    // not known here
    std::int64_t known = 0;    // in both
    std::int64_t changed = 0;  // of the known, where the other bench changed something later
    std::int64_t removed = 0;  // taken back there, and nothing here stands on it
    std::int64_t left_out = 0; // taken back here, or its place is taken
};

// Two records with one number, and what each is called afterwards; empty where no mark is known yet.
struct JoinClash {
    std::string table;
    std::string number;
    std::string ours;
    std::string theirs;
};

struct JoinClock {
    enum class Known { none, found, told, unclear };
    Known known = Known::none;
    std::int64_t offset_ms = 0;  // added to the other's moments
    std::size_t from = 0;        // moments that both logged and that agree on it
    std::size_t of = 0;          // … of so many that differ
    std::string example;         // "class C-5, started"
};

struct JoinFindings {
    std::vector<JoinCount> counts;   // only tables that the other log has records of
    std::vector<JoinClash> clashes;
    std::vector<std::string> people; // initials taken for the same person, though entered on both
    JoinClock clock;
    std::string our_mark, their_mark;
    std::int64_t changes_added = 0;  // of its change log
    int form = 0;
    std::string change_id;           // of the join; empty for a preview, and where nothing was to be written

    [[nodiscard]] JoinCount count_of(std::string_view table) const;
    // True where the join would change nothing.
    [[nodiscard]] bool nothing() const;
};

// Called now and then with rows done and rows in all; false gives up, with nothing written.
using JoinProgress = std::function<bool(std::int64_t done, std::int64_t all)>;

// What a join would do; nothing is written. Refusals: "join.itself" (the same studio's file), "join.demo" (an invented studio
// joins only with one), "join.given_up".
[[nodiscard]] Result<JoinFindings> preview_join(Log& ours, OtherLog& theirs, const JoinOptions& options,
                                                const JoinProgress& progress = {});
// Does it, in one change. Refusals besides: "join.no_mark" and "join.same_mark" (numbers clash, and the marks do not tell the
// benches apart), "join.clock_unclear". Throws StoreError.
[[nodiscard]] Result<JoinFindings> join(Log& ours, OtherLog& theirs, const JoinOptions& options, const Stamp& at,
                                        const std::string& who_id, IdSource& ids, const JoinProgress& progress = {});

// Takes a join back as one change: what it added goes, except checks, disposals, near misses and presses, which are withdrawn
// by `initials`, and the records that they stand on. Refusals as take_back.
[[nodiscard]] Result<Done> take_back_join(Log& log, const std::string& change_id, const Stamp& at, const std::string& who_id,
                                          const std::string& initials, IdSource& ids);

}  // namespace tonebath::store
