// The one place where the database's error codes become words.
#pragma once

#include <filesystem>
#include <utility>

namespace tonebath::store {

// Called inside a catch block: throws the database's exception again as a StoreError that names `file`, what it means
// for the records and the way out; throws any other exception again as it is.
[[noreturn]] void rethrow_as_store_error(const std::filesystem::path& file);

// Runs `work`; what the database throws in it comes out as a StoreError.
template <class Work>
auto translated(const std::filesystem::path& file, Work&& work) -> decltype(work()) {
    try {
        return std::forward<Work>(work)();
    } catch (...) {
        rethrow_as_store_error(file);
    }
}

}  // namespace tonebath::store
