// SHA-256 (FIPS 180-4) of what is written: whoever holds a file can see whether it is the one that was meant.
#pragma once

#include <memory>
#include <string>
#include <string_view>

struct _GChecksum;

namespace tonebath::report {

class Digest {
public:
    Digest();
    void add(std::string_view bytes);
    // 64 hexadecimal digits, lower case, of all that was added. Nothing can be added after it.
    [[nodiscard]] std::string hex() const;

private:
    struct Free {
        void operator()(_GChecksum* sum) const;
    };
    std::unique_ptr<_GChecksum, Free> sum_;
};

}  // namespace tonebath::report
