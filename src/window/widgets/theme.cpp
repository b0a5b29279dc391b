#include "window/widgets/theme.hpp"

#include "window/widgets/strict_toml.hpp"

#include <fmt/format.h>

#include <fstream>
#include <sstream>

namespace tonebath::window {

float StrictTable::number(std::string_view key, double low, double high) {
    const toml::node* found = node(key);
    if (found == nullptr) {
        return static_cast<float>(low);
    }
    const auto value = found->value<double>();
    if (!found->is_number() || !value) {
        fail(key, "is not a number");
        return static_cast<float>(low);
    }
    if (!(*value >= low && *value <= high)) {
        fail(key, fmt::format("is {}, outside {} to {}", *value, low, high));
        return static_cast<float>(low);
    }
    return static_cast<float>(*value);
}

float StrictTable::number_or(std::string_view key, float otherwise, double low, double high) {
    return has(key) ? number(key, low, high) : otherwise;
}

bool StrictTable::flag(std::string_view key) {
    const toml::node* found = node(key);
    if (found == nullptr) {
        return false;
    }
    if (!found->is_boolean()) {
        fail(key, "is not true or false");
        return false;
    }
    return found->value<bool>().value_or(false);
}

bool StrictTable::flag_or(std::string_view key, bool otherwise) {
    return has(key) ? flag(key) : otherwise;
}

std::string StrictTable::words(std::string_view key) {
    const toml::node* found = node(key);
    if (found == nullptr) {
        return {};
    }
    if (!found->is_string()) {
        fail(key, "is not text");
        return {};
    }
    return found->value<std::string>().value_or("");
}

Colour StrictTable::colour(std::string_view key) {
    const std::string text = words(key);
    if (!wrong_.empty()) {
        return {};
    }
    const auto parsed = colour_from_hex(text);
    if (!parsed) {
        fail(key, fmt::format("is \"{}\", not a colour like \"#d4966a\"", text));
        return {};
    }
    return *parsed;
}

StrictTable StrictTable::table(std::string_view key) {
    const toml::node* found = node(key);
    const toml::table* inner = found == nullptr ? nullptr : found->as_table();
    if (found != nullptr && inner == nullptr) {
        fail(key, "is not a table");
    }
    return {inner, name_.empty() ? std::string(key) : name_ + "." + std::string(key), wrong_};
}

const toml::array* StrictTable::array(std::string_view key) {
    const toml::node* found = node(key);
    const toml::array* inner = found == nullptr ? nullptr : found->as_array();
    if (found != nullptr && inner == nullptr) {
        fail(key, "is not a list");
    }
    return inner;
}

std::vector<std::string> StrictTable::keys() const {
    std::vector<std::string> out;
    if (table_ != nullptr) {
        for (const auto& [key, value] : *table_) {
            out.emplace_back(key.str());
        }
    }
    return out;
}

void StrictTable::nothing_else() {
    for (const std::string& key : keys()) {
        if (!used_.contains(key)) {
            fail(key, "is not known here");
        }
    }
}

void StrictTable::fail(std::string_view key, std::string_view what) {
    if (wrong_.empty()) {
        wrong_ = fmt::format("{}{}{} {}", name_, name_.empty() ? "" : ".", key, what);
    }
}

const toml::node* StrictTable::node(std::string_view key) {
    if (!wrong_.empty()) {
        return nullptr;
    }
    used_.emplace(key);
    const toml::node* found = table_ == nullptr ? nullptr : table_->get(key);
    if (found == nullptr) {
        fail(key, "is missing");
    }
    return found;
}

Result<toml::table> read_toml(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in) {
        return Refusal{.code = "look.file.missing",
                       .field = file.filename().string(),
                       .value = {},
                       .message = "the file cannot be opened.",
                       .remedy = "Install the program's data again.",
                       .answers = {}};
    }
    std::ostringstream text;
    text << in.rdbuf();
    try {
        return toml::parse(text.str(), file.string());
    } catch (const toml::parse_error& fault) {
        return Refusal{.code = "look.file.malformed",
                       .field = file.filename().string(),
                       .value = {},
                       .message = fmt::format("line {}: {}.", fault.source().begin.line, fault.description()),
                       .remedy = "Correct the file, or install the program's data again.",
                       .answers = {}};
    }
}

Result<Theme> load_theme(const std::filesystem::path& file) {
    auto parsed = read_toml(file);
    if (!parsed) {
        return parsed.error();
    }
    std::string wrong;
    StrictTable top(&parsed.value(), "", wrong);
    Theme theme;
    top.number("schema", 1, 1);
    theme.name = top.words("name");
    theme.dark = top.flag("dark");
    theme.film_not_yet_alpha = top.number("film_not_yet_alpha", 0, 1);
    StrictTable colours = top.table("colours");
    for (int i = 0; i < kRoleCount; ++i) {
        theme.colours[static_cast<std::size_t>(i)] = colours.colour(role_name(static_cast<Role>(i)));
    }
    colours.nothing_else();
    top.nothing_else();
    if (!wrong.empty()) {
        return Refusal{.code = "look.theme.wrong",
                       .field = file.filename().string(),
                       .value = {},
                       .message = wrong + ".",
                       .remedy = "Every role needs one colour, and nothing else may stand there.",
                       .answers = {}};
    }
    return theme;
}

Result<LookBook> load_look_book(const std::filesystem::path& folder) {
    auto look = load_look(folder / "look.toml");
    if (!look) {
        return look.error();
    }
    LookBook book{std::move(look).value(), {}, {}, {}};
    for (auto& [name, place] : {std::pair<const char*, Theme*>{"slate.toml", &book.slate},
                                {"chalk.toml", &book.chalk},
                                {"contrast.toml", &book.contrast}}) {
        auto theme = load_theme(folder / name);
        if (!theme) {
            return theme.error();
        }
        *place = std::move(theme).value();
    }
    return book;
}

}  // namespace tonebath::window
