// Bytes that nobody meant, at every door where a file comes in: lists and words (TOML), tables (CSV), records (CSV, JSON), logs. Each is answered by
// a result, a refusal or a StoreError, never by a crash. Known inputs are kept in cases/fuzz and fed every time; beyond them
// inputs are made from those and from the program's own files, by chance: a fixed number in the everyday run, for so many
// seconds in the long one (TONEBATH_FUZZ_SECONDS, 60 where nothing is said). The input that is under way lies in a file whose
// name is told first, so that it is still there after a crash.
//
// The same doors stand open to a fuzzer that is led by what it reaches: tests/fuzz.
#include "base/files.hpp"
#include "fuzz/doors.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <random>
#include <string>
#include <vector>

using namespace tonebath;

namespace {

namespace fs = std::filesystem;

const fs::path kSource = TONEBATH_SOURCE_DIR;
const fs::path kCases = fs::path(TONEBATH_CASES_DIR) / "fuzz";

class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "tonebath-fuzz-XXXXXX").string();
        REQUIRE(mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] fs::path operator/(const std::string& name) const { return path_ / name; }

private:
    fs::path path_;
};

std::vector<std::string> files_of(const fs::path& folder, const std::string& ending) {
    std::vector<std::string> texts;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        if (entry.path().extension() == ending) {
            texts.push_back(read_file(entry.path()));
        }
    }
    REQUIRE_FALSE(texts.empty());
    return texts;
}

void append(std::vector<std::string>& to, std::vector<std::string> more) { to.insert(to.end(), more.begin(), more.end()); }

// One of the seeds with some of its bytes changed, dropped, doubled, or a piece of another put in.
class Mutator {
public:
    Mutator(const std::vector<std::string>& seeds, std::uint32_t seed) : seeds_(seeds), random_(seed) {}

    std::string next() {
        std::string bytes = seeds_[below(seeds_.size())];
        for (std::size_t change = 0, changes = 1 + below(6); change < changes; ++change) {
            const std::size_t at = below(bytes.size() + 1);
            const std::size_t length = std::min(1 + below(64), bytes.size() - at);
            switch (below(6)) {
                case 0:
                    if (at < bytes.size()) {
                        bytes[at] = static_cast<char>(static_cast<unsigned char>(bytes[at]) ^ (1U << below(8)));
                    }
                    break;
                case 1: bytes.insert(at, 1 + below(8), static_cast<char>(below(256))); break;
                case 2: bytes.erase(at, length); break;
                case 3: bytes.insert(at, bytes.substr(at, length)); break;
                case 4: {
                    const std::string& other = seeds_[below(seeds_.size())];
                    const std::size_t from = below(other.size() + 1);
                    bytes.insert(at, other.substr(from, 1 + below(128)));
                    break;
                }
                default: {
                    static const std::vector<std::string> kOdd{"\"", "'", "\"\"\"", "[[", "]", "=", "\\u", "\\", "\n", "\r\n", std::string(1, '\0'), "\xff", "\xc0\x80", "-9223372036854775808", "1e999", "nan", ",", ";", "0x", "1979-05-27T07:32:00Z"};
                    bytes.insert(at, kOdd[below(kOdd.size())]);
                }
            }
        }
        return bytes;
    }
    // A log keeps its length: pages are where they are.
    std::string next_in_place() {
        std::string bytes = seeds_[below(seeds_.size())];
        for (std::size_t change = 0, changes = 1 + below(12); change < changes; ++change) {
            const bool head = below(3) == 0;
            const std::size_t at = below(head ? std::min<std::size_t>(bytes.size(), 300) : bytes.size());
            const std::size_t length = std::min(1 + below(8), bytes.size() - at);
            for (std::size_t i = 0; i < length; ++i) {
                bytes[at + i] = static_cast<char>(below(4) == 0 ? 255 : below(256));
            }
        }
        if (below(8) == 0) {
            bytes.resize(below(bytes.size()));
        }
        return bytes;
    }

private:
    std::size_t below(std::size_t n) { return n == 0 ? 0 : std::uniform_int_distribution<std::size_t>(0, n - 1)(random_); }
    const std::vector<std::string>& seeds_;
    std::mt19937 random_;
};

struct Door {
    std::string name;
    std::string ending;
    std::function<void(const fs::path&)> feed;
    std::vector<std::string> seeds;
    bool in_place = false;
};

std::vector<Door> doors(const Folder& folder) {
    std::vector<std::string> toml = files_of(kCases / "toml", ".toml");
    append(toml, files_of(kSource / "checklists", ".toml"));
    append(toml, files_of(kSource / "data", ".toml"));
    std::vector<std::string> csv = files_of(kCases / "csv", ".csv");
    append(csv, files_of(kSource / "data", ".csv"));
    const std::string log = fuzz::small_log(folder / "seed.tonebath");
    std::vector<std::string> logs{log};
    for (const std::string& recipe : files_of(kCases / "log", ".txt")) {
        logs.push_back(fuzz::with_bytes(log, recipe));
    }
    return {{"TOML", ".toml", fuzz::feed_toml, toml, false}, {"CSV", ".csv", fuzz::feed_csv, csv, false}, {"JSON", ".json", fuzz::feed_json, files_of(kCases / "json", ".json"), false}, {"log", ".tonebath", fuzz::feed_log, logs, true}};
}

void feed(const Door& door, const fs::path& file, const std::string& bytes) {
    write_file_whole(file, bytes);
    REQUIRE_NOTHROW(door.feed(file));
}

}  // namespace

TEST_CASE("inputs that are kept are answered, and so are some made of them by chance") {
    const Folder folder;
    for (const Door& door : doors(folder)) {
        const fs::path file = folder / ("input" + door.ending);
        CAPTURE(door.name, file.string());
        for (const std::string& seed : door.seeds) {
            feed(door, file, seed);
        }
        Mutator mutator(door.seeds, 20260331);
        for (int i = 0; i < (door.in_place ? 15 : 150); ++i) {
            feed(door, file, door.in_place ? mutator.next_in_place() : mutator.next());
        }
    }
}

TEST_CASE("inputs made by chance for so many seconds at each door", "[.long]") {
    const char* asked = std::getenv("TONEBATH_FUZZ_SECONDS");
    const std::chrono::seconds budget(asked != nullptr ? std::atoi(asked) : 60);
    const std::uint32_t seed = std::random_device()();
    CAPTURE(seed);
    const Folder folder;
    for (const Door& door : doors(folder)) {
        const fs::path file = fs::temp_directory_path() / ("tonebath-fuzz-under-way" + door.ending);
        WARN(door.name << ": the input under way is " << file.string() << ", seed " << seed);
        Mutator mutator(door.seeds, seed);
        std::size_t fed = 0;
        for (const auto until = std::chrono::steady_clock::now() + budget; std::chrono::steady_clock::now() < until; ++fed) {
            feed(door, file, door.in_place ? mutator.next_in_place() : mutator.next());
        }
        WARN(door.name << ": " << fed << " inputs answered");
        CHECK(fed > 0);
        fs::remove(file);
    }
}
