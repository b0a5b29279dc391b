#include "picture/picture.hpp"

#include "picture/colour_reader.hpp"
#include "picture/read.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::picture {

namespace {

using science::LinearRgb;
using science::PhotoPatch;
using science::PixelState;

// One level of 255 beside each end counts as the end: the loss of a JPEG moves clipped pixels by that much.
constexpr double kTop = 253.5 / 255.0;
constexpr double kBottom = 1.5 / 255.0;
// How wide a band round a mark is, as a share of the mark's shorter side (ours).
constexpr double kBand = 0.34, kLeastBand_px = 6.0, kWide = 0.5;

// Even-odd rule; the middle of a pixel decides.
bool holds(const Outline& line, double x, double y) {
    bool inside = false;
    for (std::size_t i = 0, j = line.size() - 1; i < line.size(); j = i++) {
        const Point& a = line[i];
        const Point& b = line[j];
        if ((a.y > y) != (b.y > y) && x < (b.x - a.x) * (y - a.y) / (b.y - a.y) + a.x) {
            inside = !inside;
        }
    }
    return inside;
}

}  // namespace

// Left upper corner and the one past the right lower one, in whole pixels.
struct Picture::Box {
    int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    [[nodiscard]] bool empty() const { return x1 <= x0 || y1 <= y0; }
    [[nodiscard]] Box grown(double by) const {
        const int step = static_cast<int>(std::lround(by));
        return {x0 - step, y0 - step, x1 + step, y1 + step};
    }
    [[nodiscard]] double shorter_side() const { return std::min(x1 - x0, y1 - y0); }
    [[nodiscard]] Outline outline() const { return rectangle(x0, y0, x1 - x0, y1 - y0); }

    static Box of(const Outline& line) {
        if (line.size() < 3) {
            return {};
        }
        Point low = line.front(), high = line.front();
        for (const Point& at : line) {
            low = {std::min(low.x, at.x), std::min(low.y, at.y)};
            high = {std::max(high.x, at.x), std::max(high.y, at.y)};
        }
        // Marks come from people and files: whatever they hold, whole pixels come out.
        const auto whole = [](double value) { return static_cast<int>(std::clamp(value, -1e6, 1e6)); };
        return {whole(std::floor(low.x)), whole(std::floor(low.y)), whole(std::ceil(high.x)), whole(std::ceil(high.y))};
    }
};

Outline rectangle(double x, double y, double width, double height) {
    return {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
}

std::array<double, 3> Pixels::encoded(int x, int y) const {
    const std::size_t at = 3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x));
    if (bits == 16) {
        return {wide[at] / 65535.0, wide[at + 1] / 65535.0, wide[at + 2] / 65535.0};
    }
    return {narrow[at] / 255.0, narrow[at + 1] / 255.0, narrow[at + 2] / 255.0};
}

Picture::Picture(Raw raw) : raw_(std::move(raw)), exif_(read_exif(raw_.exif)) {
    raw_.exif.clear();
    if (raw_.edit_history) {
        exif_.edits.emplace_back("a history of edits");
    }
    turned_ = raw_.turned.value_or(exif_.orientation);
    if (raw_.primaries == Primaries::unknown && exif_.srgb.value_or(false)) {
        raw_.primaries = Primaries::srgb;
    }
    colour_ = std::make_unique<ColourReader>(raw_.icc, raw_.primaries);
    colours_ = colour_->name();
    profile_damaged_ = colour_->damaged();
}

Picture::Picture(Picture&&) noexcept = default;
Picture& Picture::operator=(Picture&&) noexcept = default;
Picture::~Picture() = default;

int Picture::width() const {
    return turned_ >= 5 ? raw_.pixels.height : raw_.pixels.width;
}

int Picture::height() const {
    return turned_ >= 5 ? raw_.pixels.width : raw_.pixels.height;
}

// Orientation as TIFF 6.0 has it: which corner of the stored picture is the upper left one of the upright picture.
std::array<double, 3> Picture::encoded_at(int x, int y) const {
    const int last_x = raw_.pixels.width - 1, last_y = raw_.pixels.height - 1;
    switch (turned_) {
        case 2: return raw_.pixels.encoded(last_x - x, y);
        case 3: return raw_.pixels.encoded(last_x - x, last_y - y);
        case 4: return raw_.pixels.encoded(x, last_y - y);
        case 5: return raw_.pixels.encoded(y, x);
        case 6: return raw_.pixels.encoded(y, last_y - x);
        case 7: return raw_.pixels.encoded(last_x - y, last_y - x);
        case 8: return raw_.pixels.encoded(last_x - y, x);
        default: return raw_.pixels.encoded(x, y);
    }
}

LinearRgb Picture::light_at(int x, int y) const {
    LinearRgb light;
    colour_->light(encoded_at(x, y), std::span(&light, 1));
    return light;
}

PhotoPatch Picture::patch(const Box& asked, std::size_t most_pixels, const Outline* in, const Outline* out) const {
    const Box box{std::max(0, asked.x0), std::max(0, asked.y0), std::min(width(), asked.x1), std::min(height(), asked.y1)};
    PhotoPatch patch;
    if (box.empty()) {
        return patch;
    }
    const double pixels = static_cast<double>(box.x1 - box.x0) * static_cast<double>(box.y1 - box.y0);
    const int merged = std::max(1, static_cast<int>(std::ceil(std::sqrt(pixels / static_cast<double>(most_pixels)))));
    patch.merged = merged;
    patch.width = std::max(1, (box.x1 - box.x0) / merged);
    patch.height = std::max(1, (box.y1 - box.y0) / merged);
    const auto row = static_cast<std::size_t>(patch.width);
    patch.light.assign(row * static_cast<std::size_t>(patch.height), {});
    patch.state.assign(patch.light.size(), PixelState::outside);

    std::vector<double> encoded(3 * row * static_cast<std::size_t>(merged));
    std::vector<LinearRgb> light(encoded.size() / 3);
    for (int y = 0; y < patch.height; ++y) {
        std::vector<LinearRgb> sum(row);
        std::vector<int> count(row, 0);
        std::vector<PixelState> worst(row, PixelState::good);
        for (int line = 0; line < merged && box.y0 + y * merged + line < box.y1; ++line) {
            const int py = box.y0 + y * merged + line;
            const int used = std::min(patch.width * merged, box.x1 - box.x0);
            for (int i = 0; i < used; ++i) {
                const std::array<double, 3> one = encoded_at(box.x0 + i, py);
                std::copy(one.begin(), one.end(), encoded.begin() + 3 * i);
            }
            colour_->light(std::span(encoded).first(3 * static_cast<std::size_t>(used)), std::span(light).first(static_cast<std::size_t>(used)));
            for (int i = 0; i < used; ++i) {
                const double px = box.x0 + i + 0.5;
                if ((in != nullptr && !holds(*in, px, py + 0.5)) || (out != nullptr && holds(*out, px, py + 0.5))) {
                    continue;
                }
                const auto at = static_cast<std::size_t>(i / merged);
                const LinearRgb& here = light[static_cast<std::size_t>(i)];
                const auto [low, high] = std::minmax({encoded[3 * static_cast<std::size_t>(i)], encoded[3 * static_cast<std::size_t>(i) + 1],
                                                      encoded[3 * static_cast<std::size_t>(i) + 2]});
                if (high > kTop) {
                    worst[at] = PixelState::clipped_high;
                } else if ((low < kBottom || !std::isfinite(here.r + here.g + here.b)) && worst[at] == PixelState::good) {
                    worst[at] = PixelState::clipped_low;
                }
                sum[at].r += here.r;
                sum[at].g += here.g;
                sum[at].b += here.b;
                ++count[at];
            }
        }
        for (std::size_t x = 0; x < row; ++x) {
            // A square of which less than half is marked lies outside.
            if (2 * count[x] <= merged * merged - 1) {
                continue;
            }
            const std::size_t at = static_cast<std::size_t>(y) * row + x;
            patch.state[at] = worst[x];
            patch.light[at] = {sum[x].r / count[x], sum[x].g / count[x], sum[x].b / count[x]};
        }
    }
    return patch;
}

PhotoPatch Picture::inside(const Outline& mark, std::size_t most_pixels) const {
    return patch(Box::of(mark), most_pixels, &mark, nullptr);
}

PhotoPatch Picture::round(const Outline& mark, double gap, std::size_t most_pixels) const {
    const Box box = Box::of(mark);
    const double gap_px = std::max(2.0, gap * box.shorter_side());
    const Outline hole = box.grown(gap_px).outline();
    return patch(box.grown(gap_px + std::max(kLeastBand_px, kBand * box.shorter_side())), most_pixels, nullptr, &hole);
}

PhotoPatch Picture::wide(const Outline& mark, std::size_t most_pixels) const {
    const Box box = Box::of(mark);
    return patch(box.grown(std::max(kLeastBand_px, kWide * box.shorter_side())), most_pixels, nullptr, nullptr);
}

}  // namespace tonebath::picture
