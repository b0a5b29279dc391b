// What a C library gave is given back by its own function.
#pragma once

namespace tonebath::picture {

template <auto release>
struct Release {
    template <class T>
    void operator()(T* held) const {
        release(held);
    }
};

}  // namespace tonebath::picture
