#include "support/photo_study.hpp"

#include "picture/read.hpp"
#include "science/colour_difference.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>

namespace tonebath::test {

namespace {

science::Lab lab_of(const scene::Triple& colour) {
    return {colour.a, colour.b, colour.c};
}

}  // namespace

double Piece::chroma() const {
    return std::hypot(truth.b, truth.c);
}

const std::vector<Piece>& study_pieces() {
    static const std::vector<Piece> all = [] {
        std::vector<Piece> pieces;
        const auto add = [&](std::string name, const scene::Spectrum& surface) { pieces.push_back({std::move(name), surface, scene::truth(surface)}); };
        for (const double nm : {3.0, 8.0, 12.5, 17.0, 20.0, 22.8, 26.0, 31.0, 40.0, 60.0}) {
            add(fmt::format("film of {} nm, polished", nm), scene::scaled(scene::film_on_silver(nm), 0.75));
            add(fmt::format("film of {} nm, matt", nm), scene::mixed(scene::scaled(scene::film_on_silver(nm), 0.4), scene::grey(0.06), 0.5));
        }
        for (const double share : {0.03, 0.045, 0.07, 0.11, 0.2, 0.35}) {
            add(fmt::format("grey of {} %", 100.0 * share), scene::grey(share));
        }
        const scene::Tables& t = scene::tables();
        for (std::size_t i = 0; i < 18; ++i) {
            add(t.paint_names[i], t.paints[i]);
            add(t.paint_names[i] + ", thinned", scene::mixed(t.paints[i], scene::grey(0.12), 0.72));
            add(t.paint_names[i] + ", thinned light", scene::mixed(t.paints[i], scene::grey(0.3), 0.6));
        }
        return pieces;
    }();
    return all;
}

Tray tray(std::size_t first, const std::string& light, bool chart, unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> guess(0.93, 1.07), tilt(-0.04, 0.04);
    Tray made;
    scene::Shot& shot = made.shot;
    shot.light = light;
    shot.seed = seed;
    shot.width = 400;
    shot.height = chart ? 400 : 220;
    shot.balance_off = {guess(random), 1.0, guess(random)};
    shot.tilt_x = tilt(random);
    shot.tilt_y = tilt(random);
    shot.ground = scene::scaled(scene::tables().paints[22], 1.4);
    shot.things.push_back({.x = 30.0, .y = 70.0, .width = 70.0, .height = 80.0, .surface = scene::card()});
    made.marks.card = picture::rectangle(38.0, 78.0, 54.0, 64.0);
    const std::vector<Piece>& pieces = study_pieces();
    for (std::size_t i = 0; i < 12; ++i) {
        const Piece& piece = pieces[(first + i) % pieces.size()];
        const double x = 125.0 + 66.0 * static_cast<double>(i % 4), y = 14.0 + 68.0 * static_cast<double>(i / 4);
        shot.things.push_back({.x = x, .y = y, .width = 52.0, .height = 54.0, .surface = piece.surface, .texture = 0.04, .glare = 0.02});
        made.marks.areas.push_back(picture::rectangle(x + 6.0, y + 6.0, 40.0, 42.0));
        made.pieces.push_back(&piece);
    }
    if (chart) {
        app::ChartMark mark;
        const double x0 = 20.0, y0 = 225.0, side = 41.0;
        for (std::size_t i = 0; i < 24; ++i) {
            const double x = x0 + side * static_cast<double>(i % 6), y = y0 + side * static_cast<double>(i / 6);
            shot.things.push_back({.x = x + 2.0, .y = y + 2.0, .width = side - 4.0, .height = side - 4.0, .surface = scene::tables().paints[i]});
            mark.known.push_back(lab_of(scene::truth(scene::tables().paints[i])));
        }
        mark.corners = {picture::Point{x0, y0}, picture::Point{x0 + 6 * side, y0}, picture::Point{x0 + 6 * side, y0 + 4 * side}, picture::Point{x0, y0 + 4 * side}};
        made.marks.chart = mark;
    }
    return made;
}

Result<app::MeasuredPhoto> measured(const Tray& tray, const FileParts& parts) {
    const auto picture = picture::read_picture_bytes(jpeg_of(scene::taken(tray.shot), parts), "rendered");
    return picture ? app::measure_photo(*picture, "rendered", tray.marks) : picture.error();
}

StudyFound study(const StudyAsk& ask) {
    StudyFound found;
    for (std::size_t first = 0; first < study_pieces().size(); first += 12 * ask.every) {
        Tray one = tray(first, ask.light, ask.chart, static_cast<unsigned>(first + 1));
        one.marks.light = ask.said;
        one.shot.contrast = ask.contrast;
        const auto photo = measured(one);
        if (!photo) {
            throw std::runtime_error(photo.error().text());
        }
        for (std::size_t i = 0; i < photo->areas.size() && first + i < study_pieces().size(); ++i) {
            const app::MeasuredArea& area = photo->areas[i];
            ++found.pieces;
            if (!area.reading) {
                continue;
            }
            const double off = away(area, *one.pieces[i]);
            found.covered += off <= area.reading->error.total ? 1u : 0u;
            found.mean_error += area.reading->error.total;
            if (!area.words.empty() || !photo->words.empty()) {
                ++found.warned;
                found.widest_warned = std::max(found.widest_warned, off);
                continue;
            }
            ++found.accepted;
            found.away.push_back(off);
            if (one.pieces[i]->chroma() < 15.0) {
                found.away_quiet.push_back(off);
            }
        }
    }
    found.mean_error /= static_cast<double>(std::max<std::size_t>(1, found.accepted + found.warned));
    std::sort(found.away.begin(), found.away.end());
    std::sort(found.away_quiet.begin(), found.away_quiet.end());
    return found;
}

double median(const std::vector<double>& ordered) {
    return ordered.empty() ? 0.0 : ordered[ordered.size() / 2];
}

double away(const app::MeasuredArea& area, const Piece& piece) {
    return science::delta_e2000(area.reading->lab, lab_of(piece.truth));
}

}  // namespace tonebath::test
