// Stands in for read_heic.cpp where HEIC was left out of the build.
#include "picture/read.hpp"

#include "base/text.hpp"

namespace tonebath::picture {

bool reads_heic() {
    return false;
}

Result<Raw> read_heic(const Source& source) {
    return Refusal{.code = "photo.heic_missing",
                   .field = "Photo",
                   .value = shown(source.name),
                   .message = "this build reads no HEIC.",
                   .remedy = "Save the photo as JPEG; most telephones have a setting for it.",
                   .answers = {}};
}

}  // namespace tonebath::picture
