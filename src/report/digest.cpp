#include "report/digest.hpp"

#include <glib.h>

namespace tonebath::report {

void Digest::Free::operator()(_GChecksum* sum) const { g_checksum_free(sum); }

Digest::Digest() : sum_(g_checksum_new(G_CHECKSUM_SHA256)) {}

void Digest::add(std::string_view bytes) {
    const void* start = bytes.data();
    g_checksum_update(sum_.get(), static_cast<const guchar*>(start), static_cast<gssize>(bytes.size()));
}

std::string Digest::hex() const { return g_checksum_get_string(sum_.get()); }

}  // namespace tonebath::report
