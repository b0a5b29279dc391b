#include "base/files.hpp"

#include <catch2/catch.hpp>

#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <string>

using namespace tonebath;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

// A folder of its own for one test, gone afterwards.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "tonebath-files-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        fs::permissions(path_, fs::perms::owner_all, ignored);
        fs::remove_all(path_, ignored);
    }

    [[nodiscard]] const fs::path& path() const { return path_; }
    [[nodiscard]] fs::path operator/(const char* name) const { return path_ / name; }
    [[nodiscard]] long count() const { return std::distance(fs::directory_iterator(path_), fs::directory_iterator()); }

private:
    fs::path path_;
};

std::string words_of_failure(const fs::path& file, std::string_view content) {
    try {
        write_file_whole(file, content);
    } catch (const FileError& failure) {
        return failure.what();
    }
    FAIL("the write went through");
    return {};
}

// No file of this process may grow beyond `bytes` meanwhile: a disk that runs full part of the way.
class SizeLimit {
public:
    explicit SizeLimit(rlim_t bytes) {
        REQUIRE(::getrlimit(RLIMIT_FSIZE, &before_) == 0);
        old_handler_ = std::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{bytes, before_.rlim_max};
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &limit) == 0);
    }
    SizeLimit(const SizeLimit&) = delete;
    SizeLimit& operator=(const SizeLimit&) = delete;
    ~SizeLimit() {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, old_handler_);
    }

private:
    rlimit before_{};
    void (*old_handler_)(int) = nullptr;
};

}  // namespace

TEST_CASE("a file reads back as it was written") {
    const Folder folder;
    const fs::path file = folder / "log é 銀.txt";
    std::string all_bytes;
    for (int i = 0; i < 300'000; ++i) {
        all_bytes += static_cast<char>(i * 7 % 256);
    }
    for (const std::string& content : {std::string("first"), all_bytes, std::string(), std::string("a\0b\r\n", 5)}) {
        write_file_whole(file, content);
        CHECK(read_file(file) == content);
        CHECK(folder.count() == 1);  // nothing is left beside
    }
    CHECK(read_file("/proc/self/stat").size() > 10);  // a file that tells no size beforehand
}

TEST_CASE("a missing or unreadable file is named with the way out") {
    const Folder folder;
    CHECK_THROWS_WITH(read_file(folder / "none.csv"), Contains("none.csv") && Contains("not there"));
    CHECK_THROWS_AS(read_file(folder.path()), FileError);
    CHECK_THROWS_WITH(read_file(folder.path()), Contains("folder, not a file"));
}

TEST_CASE("a missing folder, a folder as target and a file as folder are refused in words") {
    const Folder folder;
    CHECK_THAT(words_of_failure(folder / "none/plan.csv", "x"),
               Contains("plan.csv") && Contains("folder") && Contains("not there"));
    fs::create_directory(folder / "sub");
    CHECK_THAT(words_of_failure(folder / "sub", "x"), Contains("it is a folder"));
    CHECK_THAT(words_of_failure(folder / "sub/", "x"), Contains("it is a folder"));
    write_file_whole(folder / "file", "x");
    CHECK_THAT(words_of_failure(folder / "file/plan.csv", "x"), Contains("not a folder"));
    CHECK_THAT(words_of_failure(folder / std::string(300, 'n').c_str(), "x"), Contains("too long"));
    CHECK(folder.count() == 2);
}

TEST_CASE("the old file stays whole when a write fails part of the way") {
    const Folder folder;
    const fs::path file = folder / "report.csv";
    write_file_whole(file, "old content");
    std::string failure;
    {
        const SizeLimit limit(64 * 1024);
        failure = words_of_failure(file, std::string(1'000'000, 'n'));
    }
    CHECK_THAT(failure, Contains("report.csv") && Contains("larger than is allowed"));
    CHECK(read_file(file) == "old content");
    CHECK(folder.count() == 1);
}

TEST_CASE("a full disk is told in words and the old file stays") {
    const Folder folder;
    const fs::path disk = folder / "disk";
    fs::create_directory(disk);
    if (::mount("tmpfs", disk.c_str(), "tmpfs", 0, "size=128k") != 0) {
        WARN("not tried: this account may not mount a small disk");
        return;
    }
    write_file_whole(disk / "report.csv", "old content");
    const std::string failure = words_of_failure(disk / "report.csv", std::string(1'000'000, 'n'));
    const std::string kept = read_file(disk / "report.csv");
    const long count = std::distance(fs::directory_iterator(disk), fs::directory_iterator());
    REQUIRE(::umount(disk.c_str()) == 0);
    CHECK_THAT(failure, Contains("report.csv") && Contains("disk is full") && Contains("Make room"));
    CHECK(kept == "old content");
    CHECK(count == 1);
}

TEST_CASE("a folder that may not be written is told in words and the old file stays") {
    const Folder folder;
    if (::geteuid() == 0) {
        // Nothing is forbidden to this account; a file system that takes no files from anyone stands in.
        const std::string failure = words_of_failure("/proc/tonebath-test.csv", "x");
        CHECK_THAT(failure,
                   Contains("tonebath-test.csv") && Contains("not allowed there") && Contains("Choose another folder"));
        return;
    }
    write_file_whole(folder / "plan.csv", "old");
    fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec);
    CHECK_THAT(words_of_failure(folder / "plan.csv", "new"), Contains("not allowed there"));
    CHECK(read_file(folder / "plan.csv") == "old");
}

TEST_CASE("permissions are kept, links are followed, and a bare name goes to the current folder") {
    const Folder folder;
    const fs::path file = folder / "plan.csv";
    write_file_whole(file, "one");
    REQUIRE(::chmod(file.c_str(), 0640) == 0);
    fs::create_symlink("plan.csv", folder / "link.csv");
    write_file_whole(folder / "link.csv", "two");
    CHECK(read_file(file) == "two");
    CHECK(fs::is_symlink(folder / "link.csv"));
    struct stat facts {};
    REQUIRE(::stat(file.c_str(), &facts) == 0);
    CHECK((facts.st_mode & 07777) == 0640);

    const fs::path before = fs::current_path();
    fs::current_path(folder.path());
    write_file_whole("bare.csv", "three");
    fs::current_path(before);
    CHECK(read_file(folder / "bare.csv") == "three");
}
