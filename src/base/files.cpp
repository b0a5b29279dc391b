#include "base/files.hpp"

#include "base/file_writer.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <optional>
#include <system_error>
#include <utility>

namespace tonebath {

namespace {

std::string reason(int code) {
    switch (code) {
        case ENOSPC:
        case EDQUOT:
            return "the disk is full. Make room on it, or choose another folder.";
        case EACCES:
        case EPERM:
            return "that is not allowed there. Choose another folder, or change the permissions of this one.";
        case EROFS:
            return "the disk can only be read. Choose a folder on another disk.";
        case ENOENT:
            return "it is not there. Look whether the name is right and the disk or stick is plugged in.";
        case ENOTDIR:
            return "part of the path is a file, not a folder. Choose another folder.";
        case EISDIR:
            return "it is a folder, not a file. Choose the name of a file.";
        case ENAMETOOLONG:
            return "the name is too long. Choose a shorter one.";
        case EFBIG:
            return "the file would be larger than is allowed there. Choose another folder.";
        case EIO:
            return "the disk did not answer as it should. Copy what is on it to another disk.";
        default:
            return std::generic_category().message(code) + ". Choose another folder, or try once more.";
    }
}

[[noreturn]] void fail(std::string_view what, const std::filesystem::path& path, int code) {
    throw FileError(std::string(what) + " \"" + path.string() + "\": " + reason(code));
}

// An open file, closed at the end in any case.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number_ >= 0) {
            ::close(number_);
        }
    }

    [[nodiscard]] bool is_open() const { return number_ >= 0; }
    [[nodiscard]] int number() const { return number_; }
    // Some disks tell only now that a write did not fit.
    [[nodiscard]] bool close() {
        const int number = number_;
        number_ = -1;
        return ::close(number) == 0;
    }

private:
    int number_;
};

// The file beside, removed again unless it took its place.
class Beside {
public:
    explicit Beside(const std::filesystem::path& file) {
        static std::atomic<unsigned> count{0};
        path_ =
            file.parent_path() / (".tonebath-" + std::to_string(::getpid()) + "-" + std::to_string(count++) + ".part");
    }
    Beside(const Beside&) = delete;
    Beside& operator=(const Beside&) = delete;
    ~Beside() {
        if (made_) {
            ::unlink(path_.c_str());
        }
    }

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    void made() { made_ = true; }
    void took_its_place() { made_ = false; }

private:
    std::filesystem::path path_;
    bool made_ = false;
};

// 0, or errno of what went wrong.
int write_all(int descriptor, std::string_view content) {
    while (!content.empty()) {
        const ssize_t written = ::write(descriptor, content.data(), content.size());
        if (written < 0) {
            if (errno == EINTR) {
                continue;
            }
            return errno;
        }
        content.remove_prefix(static_cast<std::size_t>(written));
    }
    return 0;
}

// The file a link stands for, or the path itself; in the current folder as "./name".
std::filesystem::path resolved(const std::filesystem::path& file) {
    std::error_code unresolved;
    std::filesystem::path real = std::filesystem::weakly_canonical(file, unresolved);
    if (unresolved || real.empty()) {
        real = file;
    }
    return real.has_parent_path() ? real : std::filesystem::path(".") / real;
}

}  // namespace

std::string read_file(const std::filesystem::path& file) {
    constexpr std::string_view kWhat = "Could not read";
    const Descriptor descriptor(::open(file.c_str(), O_RDONLY | O_CLOEXEC));
    if (!descriptor.is_open()) {
        fail(kWhat, file, errno);
    }
    std::string content;
    struct stat facts {};
    if (::fstat(descriptor.number(), &facts) == 0 && facts.st_size > 0) {
        content.reserve(static_cast<std::size_t>(facts.st_size));
    }
    std::array<char, 65'536> block{};
    for (;;) {
        const ssize_t count = ::read(descriptor.number(), block.data(), block.size());
        if (count == 0) {
            return content;
        }
        if (count > 0) {
            content.append(block.data(), static_cast<std::size_t>(count));
        } else if (errno != EINTR) {
            fail(kWhat, file, errno);
        }
    }
}

struct FileWriter::State {
    explicit State(std::filesystem::path given)
        : file(std::move(given)), target(resolved(file)), beside(target), replaces(::stat(target.c_str(), &facts) == 0) {
        if (file.filename().empty() || (replaces && S_ISDIR(facts.st_mode))) {
            fail(kWhat, file, EISDIR);
        }
        descriptor.emplace(::open(beside.path().c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, kNewFile));
        if (!descriptor->is_open()) {
            const int code = errno;
            std::error_code unknown;
            if (code == ENOENT && !std::filesystem::exists(target.parent_path(), unknown)) {
                throw FileError("Could not write \"" + file.string() + "\": the folder \"" +
                                target.parent_path().string() + "\" is not there. Make the folder, or choose another one.");
            }
            // Some file systems take no new files and answer as if the name were missing.
            fail(kWhat, file, code == ENOENT ? EACCES : code);
        }
        beside.made();
        if (replaces && ::fchmod(descriptor->number(), facts.st_mode & kPermissionBits) != 0) {
            fail(kWhat, file, errno);
        }
    }

    void put(std::string_view bytes) {
        if (const int code = write_all(descriptor->number(), bytes); code != 0) {
            fail(kWhat, file, code);
        }
    }

    static constexpr std::string_view kWhat = "Could not write";
    static constexpr mode_t kNewFile = 0666;  // less what the account's mask takes away
    static constexpr mode_t kPermissionBits = 07777;
    static constexpr std::size_t kAtOnce = 65'536;
    std::filesystem::path file, target;
    struct stat facts {};
    Beside beside;
    bool replaces;
    std::optional<Descriptor> descriptor;
    std::string waiting;  // bytes not handed to the system yet
};

FileWriter::FileWriter(std::filesystem::path file) : state_(std::make_unique<State>(std::move(file))) {}

FileWriter::~FileWriter() = default;

void FileWriter::write(std::string_view bytes) {
    if (state_->waiting.size() + bytes.size() < State::kAtOnce) {
        state_->waiting += bytes;
        return;
    }
    state_->put(state_->waiting);
    state_->waiting.clear();
    state_->put(bytes);
}

void FileWriter::finish() {
    State& state = *state_;
    state.put(state.waiting);
    state.waiting.clear();
    if (::fsync(state.descriptor->number()) != 0 || !state.descriptor->close()) {
        fail(State::kWhat, state.file, errno);
    }
    if (::rename(state.beside.path().c_str(), state.target.c_str()) != 0) {
        fail(State::kWhat, state.file, errno);
    }
    state.beside.took_its_place();
    // Not every file system can sync a folder; the file itself is whole by now.
    const Descriptor folder(::open(state.target.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (folder.is_open() && ::fsync(folder.number()) != 0 && errno != EINVAL && errno != ENOTSUP) {
        fail("Could not make sure of", state.file, errno);
    }
}

void write_file_whole(const std::filesystem::path& file, std::string_view content) {
    FileWriter writer(file);
    writer.write(content);
    writer.finish();
}

}  // namespace tonebath
