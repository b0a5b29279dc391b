#include "app/form.hpp"

#include "base/text.hpp"

namespace tonebath::app {

std::string_view Form::text(std::string_view key) const {
    const auto found = typed.find(std::string(key));
    return found == typed.end() ? std::string_view{} : trimmed(found->second);
}

}  // namespace tonebath::app
