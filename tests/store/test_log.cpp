#include "store/test_log.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>

namespace tonebath::store {

TemporaryFolder::TemporaryFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "tonebath-store-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) {
        throw std::runtime_error("no temporary folder");
    }
    path_ = name;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::unique_ptr<Log> opened(const std::filesystem::path& file, OpenMode mode) {
    Result<std::unique_ptr<Log>> log = Log::open(file, mode);
    if (!log) {
        FAIL(log.error().text());
    }
    return std::move(log).value();
}

std::string in_change(Log& log, IdSource& ids, const std::string& step, const std::function<void()>& write,
                      const Stamp& at) {
    Change change(log, step, at, "", ids);
    write();
    return change.commit();
}

Vessel vessel_named(IdSource& ids, const std::string& number) {
    Vessel vessel;
    vessel.id = ids.next<Vessel>(kMorning);
    vessel.number = number;
    vessel.kind = "glass bowl";
    vessel.made_at = kMorning;
    return vessel;
}

Bath bath_numbered(IdSource& ids, const std::string& number) {
    Bath bath;
    bath.id = ids.next<Bath>(kMorning);
    bath.number = number;
    bath.finish_kind = "liver_of_sulfur";
    bath.made_up_at = kMorning;
    bath.made_at = kMorning;
    return bath;
}

Piece piece_numbered(IdSource& ids, const std::string& number) {
    Piece piece;
    piece.id = ids.next<Piece>(kMorning);
    piece.number = number;
    piece.made_at = kMorning;
    return piece;
}

}  // namespace tonebath::store
