#include "science/students_t.hpp"

#include "science/normal.hpp"

#include <boost/math/distributions/students_t.hpp>

namespace tonebath::science {

double two_sided_quantile(double share, std::size_t df) {
    const double p = 0.5 * (1.0 + share);
    if (df == 0) {
        return normal_quantile(p);
    }
    return boost::math::quantile(boost::math::students_t(static_cast<double>(df)), p);
}

}  // namespace tonebath::science
