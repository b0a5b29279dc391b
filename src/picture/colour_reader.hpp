// Encoded colour of a file to linear light of the sRGB primaries, by the file's own profile where it has one.
#pragma once

#include "picture/picture.hpp"

#include <span>
#include <string>

namespace tonebath::picture {

class ColourReader {
public:
    // Without a profile, or with one that cannot be read, `primaries`; sRGB where those are unknown.
    ColourReader(std::span<const std::uint8_t> icc, Primaries primaries);
    ~ColourReader();
    ColourReader(const ColourReader&) = delete;
    ColourReader& operator=(const ColourReader&) = delete;

    // `encoded` holds red, green, blue in turn, each 0 to 1; as many colours come out as there are threes.
    void light(std::span<const double> encoded, std::span<science::LinearRgb> out) const;
    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] bool damaged() const { return damaged_; }

private:
    struct Profile;
    std::unique_ptr<Profile> profile_;  // none: by primaries_
    Primaries primaries_;
    std::string name_;
    bool damaged_ = false;
};

}  // namespace tonebath::picture
