#include "picture/colour_reader.hpp"

#include "base/check.hpp"
#include "base/text.hpp"
#include "picture/release.hpp"
#include "science/photo_colour.hpp"

#include <lcms2.h>

#include <array>

namespace tonebath::picture {

namespace {

using ProfileHandle = std::unique_ptr<void, Release<cmsCloseProfile>>;
using TransformHandle = std::unique_ptr<void, Release<cmsDeleteTransform>>;
using ContextHandle = std::unique_ptr<_cmsContext_struct, Release<cmsDeleteContext>>;

void keep_quiet(cmsContext, cmsUInt32Number, const char*) {}

std::string name_of(cmsHPROFILE profile) {
    std::array<char, 100> text{};
    cmsGetProfileInfoASCII(profile, cmsInfoDescription, "en", "US", text.data(), static_cast<cmsUInt32Number>(text.size()) - 1);
    const std::string_view name = trimmed(text.data());
    return name.empty() ? "a profile without a name" : shown(name);
}

}  // namespace

struct ColourReader::Profile {
    ContextHandle context;
    TransformHandle transform;
};

ColourReader::ColourReader(std::span<const std::uint8_t> icc, Primaries primaries) : primaries_(primaries) {
    if (!icc.empty()) {
        auto own = std::make_unique<Profile>();
        own->context.reset(cmsCreateContext(nullptr, nullptr));
        cmsSetLogErrorHandlerTHR(own->context.get(), keep_quiet);
        const ProfileHandle profile(cmsOpenProfileFromMemTHR(own->context.get(), icc.data(), static_cast<cmsUInt32Number>(icc.size())));
        if (profile && cmsGetColorSpace(profile.get()) == cmsSigRgbData) {
            const ProfileHandle xyz(cmsCreateXYZProfileTHR(own->context.get()));
            own->transform.reset(cmsCreateTransformTHR(own->context.get(), profile.get(), TYPE_RGB_DBL, xyz.get(), TYPE_XYZ_DBL,
                                                       INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE));
            if (own->transform) {
                name_ = name_of(profile.get());
                profile_ = std::move(own);
            }
        }
        damaged_ = profile_ == nullptr;
    }
    if (!profile_ && !damaged_ && primaries_ != Primaries::unknown) {
        name_ = primaries_ == Primaries::display_p3 ? "Display P3" : "sRGB";
    }
}

ColourReader::~ColourReader() = default;

void ColourReader::light(std::span<const double> encoded, std::span<science::LinearRgb> out) const {
    TB_CHECK(encoded.size() == 3 * out.size());
    if (profile_) {
        std::vector<double> xyz(encoded.size());
        cmsDoTransform(profile_->transform.get(), encoded.data(), xyz.data(), static_cast<cmsUInt32Number>(out.size()));
        for (std::size_t i = 0; i < out.size(); ++i) {
            out[i] = science::linear_from_icc_xyz(xyz[3 * i], xyz[3 * i + 1], xyz[3 * i + 2]);
        }
        return;
    }
    for (std::size_t i = 0; i < out.size(); ++i) {
        const science::Srgb colour{encoded[3 * i], encoded[3 * i + 1], encoded[3 * i + 2]};
        out[i] = primaries_ == Primaries::display_p3 ? science::linear_from_display_p3(colour) : science::linear_from_srgb(colour);
    }
}

}  // namespace tonebath::picture
