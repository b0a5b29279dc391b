#include "window/shell/canvas.hpp"

#include <stb/stb_image.h>
#include <catch2/catch.hpp>

#include <vector>

using tonebath::window::Picture;

TEST_CASE("A PNG reads back to the same pixels, first row on top") {
    Picture picture{3, 2, {}};
    for (int i = 0; i < 18; ++i) {
        picture.rgb.push_back(static_cast<std::uint8_t>(i * 14));
    }
    const std::string png = png_of(picture);
    int width = 0;
    int height = 0;
    int channels = 0;
    unsigned char* pixels = stbi_load_from_memory(reinterpret_cast<const unsigned char*>(png.data()),
                                                  static_cast<int>(png.size()), &width, &height, &channels, 3);
    REQUIRE(pixels != nullptr);
    CHECK(width == 3);
    CHECK(height == 2);
    CHECK(std::vector<std::uint8_t>(pixels, pixels + 18) == picture.rgb);
    stbi_image_free(pixels);
}
