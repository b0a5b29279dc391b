// The photographs that the program's claims about measured colour are held against: known pieces beside a card, and a
// chart where asked, under a named light.
#pragma once

#include "app/photo_tone.hpp"
#include "support/photo_scene.hpp"

#include <string>
#include <vector>

namespace tonebath::test {

struct Piece {
    std::string name;
    scene::Spectrum surface{};
    scene::Triple truth;
    [[nodiscard]] double chroma() const;
};
// Films on silver, paints thinned with grey, greys and the paints themselves.
[[nodiscard]] const std::vector<Piece>& study_pieces();

struct Tray {
    scene::Shot shot;
    app::PhotoMarks marks;
    std::vector<const Piece*> pieces;  // one for each of marks.areas
};
// Twelve of the pieces, from number `first` on, in four columns beside the card; a chart below them where asked.
[[nodiscard]] Tray tray(std::size_t first, const std::string& light, bool chart, unsigned seed);
// As a camera would write it.
[[nodiscard]] Result<app::MeasuredPhoto> measured(const Tray& tray, const FileParts& parts = {.exif = {}, .icc = srgb_profile(), .xmp = {}, .jpeg_quality = 92});

// How far a reading is from the truth, CIEDE2000.
[[nodiscard]] double away(const app::MeasuredArea& area, const Piece& piece);

// All pieces under one light, as many trays as they need.
struct StudyAsk {
    std::string light;
    bool chart = false;
    science::LightKind said = science::LightKind::not_said;
    double contrast = 0.0;  // of the camera
    std::size_t every = 1;  // 3 = every third tray
};
struct StudyFound {
    std::size_t pieces = 0;
    std::size_t accepted = 0;  // a reading and no warning
    std::size_t warned = 0;    // a reading with one
    std::size_t covered = 0;   // readings whose error holds the truth
    std::vector<double> away;  // of the accepted, in order
    std::vector<double> away_quiet;  // of those, truths of chroma under 15
    double widest_warned = 0.0;
    double mean_error = 0.0;
};
[[nodiscard]] StudyFound study(const StudyAsk& ask);
[[nodiscard]] double median(const std::vector<double>& ordered);

}  // namespace tonebath::test
