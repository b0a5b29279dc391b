// The doors at which a file of unknown make comes in, for the everyday test and for the fuzzer: each answers by a result, a
// refusal or a StoreError. What escapes from here is a fault.
#pragma once

#include <filesystem>
#include <string>

namespace tonebath::fuzz {

// Lists, metals and scales.
void feed_toml(const std::filesystem::path& file);
// Tables: the program's own, and the records of every noun.
void feed_csv(const std::filesystem::path& file);
// Records of every noun.
void feed_json(const std::filesystem::path& file);
// Another bench's log, or a backup: looked at, never changed.
void feed_log(const std::filesystem::path& file);

// The bytes of a log with a metal and a piece in it; `file` is where it is made.
[[nodiscard]] std::string small_log(const std::filesystem::path& file);
// With other bytes in their places: a recipe has "offset hex" a line, or is a remark that begins with #.
[[nodiscard]] std::string with_bytes(std::string log, const std::string& recipe);

}  // namespace tonebath::fuzz
