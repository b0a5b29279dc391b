#include "app/pin.hpp"

#include <crypt.h>

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

// What crypt(3) gives back when it cannot: "*0" or "*1".
std::string or_empty(const char* made) {
    return made == nullptr || made[0] == '*' ? std::string() : std::string(made);
}

std::string crypted(std::string_view typed, const std::string& setting) {
    crypt_data data{};
    return or_empty(crypt_r(std::string(typed).c_str(), setting.c_str(), &data));
}

}  // namespace

bool is_pin(std::string_view typed) {
    return typed.size() >= 4 && typed.size() <= 12 && std::all_of(typed.begin(), typed.end(), [](char c) { return c >= '0' && c <= '9'; });
}

std::string keep_pin(std::string_view typed) {
    std::array<char, CRYPT_GENSALT_OUTPUT_SIZE> salt{};
    const std::string setting = or_empty(crypt_gensalt_rn("$y$", 0, nullptr, 0, salt.data(), static_cast<int>(salt.size())));
    return setting.empty() ? std::string() : crypted(typed, setting);
}

bool is_same_pin(std::string_view typed, const std::string& kept) {
    return !kept.empty() && crypted(typed, kept) == kept;
}

}  // namespace tonebath::app
