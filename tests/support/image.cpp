#include "support/image.hpp"

#include <stb/stb_image.h>
#include <stb/stb_image_write.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <memory>

namespace tonebath::testing {

bool write_png(const Image& image, const std::filesystem::path& file) {
    std::error_code fault;
    std::filesystem::create_directories(file.parent_path(), fault);
    static_assert(sizeof(Pixel) == 3);
    return stbi_write_png(file.c_str(), image.width, image.height, 3, image.pixels.data(), image.width * 3) != 0;
}

std::optional<Image> read_png(const std::filesystem::path& file) {
    Image image;
    int channels = 0;
    const std::unique_ptr<unsigned char, decltype(&stbi_image_free)> data(
        stbi_load(file.c_str(), &image.width, &image.height, &channels, 3), &stbi_image_free);
    if (!data) {
        return std::nullopt;
    }
    image.pixels.resize(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height));
    std::memcpy(image.pixels.data(), data.get(), image.pixels.size() * sizeof(Pixel));
    return image;
}

std::size_t pixels_that_differ(const Image& a, const Image& b, int tolerance) {
    if (a.width != b.width || a.height != b.height) {
        return std::max(a.pixels.size(), b.pixels.size());
    }
    std::size_t count = 0;
    for (std::size_t i = 0; i < a.pixels.size(); ++i) {
        const Pixel p = a.pixels[i];
        const Pixel q = b.pixels[i];
        const int worst = std::max({std::abs(p.r - q.r), std::abs(p.g - q.g), std::abs(p.b - q.b)});
        count += worst > tolerance ? 1U : 0U;
    }
    return count;
}

}  // namespace tonebath::testing
