// Strict reading of toml: every key must be known, every value of the right kind. For .cpp files of this layer only.
#pragma once

#include "base/files.hpp"
#include "base/result.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

// Collects the first fault of one file; everything read after it comes out empty.
class TomlReader {
public:
    explicit TomlReader(std::filesystem::path file) : file_(std::move(file)) {}

    void fault(const toml::source_region& where, std::string words) {
        if (!fault_) {
            const auto line = where.begin.line;
            fault_ = Refusal{
                .code = "data.bad_file",
                .field = fmt::format("{}:{}", file_.filename().string(), line),
                .value = {},
                .message = std::move(words),
                .remedy = fmt::format("Correct {}, or put back the one that came with the program.", file_.string()),
                .answers = {}};
        }
    }
    [[nodiscard]] const std::optional<Refusal>& fault() const { return fault_; }

    // Refuses keys that are not in `known`.
    void only(const toml::table& table, std::initializer_list<std::string_view> known) {
        for (const auto& [key, value] : table) {
            bool found = false;
            for (const std::string_view one : known) {
                found = found || key.str() == one;
            }
            if (!found) {
                fault(value.source(), fmt::format("the key \"{}\" is not known here.", key.str()));
            }
        }
    }
    template <class T>
    T value(const toml::table& table, std::string_view key, bool required = true) {
        const toml::node* node = table.get(key);
        if (node == nullptr) {
            if (required) {
                fault(table.source(), fmt::format("the key \"{}\" is missing.", key));
            }
            return T{};
        }
        if (const std::optional<T> exact = node->value_exact<T>()) {
            return *exact;
        }
        fault(node->source(), fmt::format("\"{}\" is of the wrong kind.", key));
        return T{};
    }
    std::vector<std::string> words(const toml::table& table, std::string_view key, bool required = true) {
        std::vector<std::string> found;
        const toml::node* node = table.get(key);
        if (node == nullptr) {
            if (required) {
                fault(table.source(), fmt::format("the key \"{}\" is missing.", key));
            }
            return found;
        }
        const toml::array* row = node->as_array();
        if (row == nullptr) {
            fault(node->source(), fmt::format("\"{}\" is not a row of words.", key));
            return found;
        }
        for (const toml::node& entry : *row) {
            if (const auto word = entry.value_exact<std::string>(); word && !word->empty()) {
                found.push_back(*word);
            } else {
                fault(entry.source(), fmt::format("\"{}\" is not a row of words.", key));
            }
        }
        return found;
    }
    // The tables of an array of tables.
    std::vector<const toml::table*> tables(const toml::table& table, std::string_view key, bool required = true) {
        std::vector<const toml::table*> found;
        const toml::node* node = table.get(key);
        const toml::array* row = node != nullptr ? node->as_array() : nullptr;
        if (row == nullptr) {
            if (required || node != nullptr) {
                fault(table.source(), fmt::format("there is no [[{}]].", key));
            }
            return found;
        }
        for (const toml::node& entry : *row) {
            if (const toml::table* one = entry.as_table()) {
                found.push_back(one);
            } else {
                fault(entry.source(), fmt::format("[[{}]] holds something else.", key));
            }
        }
        return found;
    }

    // Reads the file; what cannot be read or parsed becomes the fault.
    toml::table parse() {
        try {
            return toml::parse(read_file(file_), file_.string());
        } catch (const toml::parse_error& trouble) {
            fault(trouble.source(), std::string(trouble.description()) + ".");
        } catch (const FileError& trouble) {
            fault(toml::source_region{}, trouble.what());
        }
        return {};
    }

private:
    std::filesystem::path file_;
    std::optional<Refusal> fault_;
};

}  // namespace tonebath::app
