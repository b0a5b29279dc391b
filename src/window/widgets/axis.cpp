// Axes of a plot: where things stand, and round figures to print beside them.
#include "window/widgets/plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

// 1, 2 or 5 times a power of ten, not less than the given step.
double round_step(double least) {
    const double power = std::pow(10.0, std::floor(std::log10(least)));
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (factor * power >= least * (1 - 1e-9)) {
            return factor * power;
        }
    }
    return 10 * power;
}

std::vector<double> even_ticks(double low, double high, double step) {
    std::vector<double> out;
    const auto first = static_cast<long long>(std::ceil(low / step - 1e-9));
    const auto last = static_cast<long long>(std::floor(high / step + 1e-9));
    for (long long i = first; i <= last && out.size() < 200; ++i) {
        out.push_back(static_cast<double>(i) * step);
    }
    return out;
}

std::vector<double> log_ticks(double low, double high, int most) {
    const std::vector<std::vector<double>> choices{{1, 2, 3, 5, 7}, {1, 2, 5}, {1, 3}, {1}};
    const int first = static_cast<int>(std::floor(std::log10(low)));
    const int last = static_cast<int>(std::ceil(std::log10(high)));
    for (int every = 1; every <= 12; ++every) {
        for (const auto& factors : choices) {
            if (every > 1 && factors.size() > 1) {
                continue;
            }
            std::vector<double> out;
            for (int decade = first; decade <= last; decade += every) {
                for (const double factor : factors) {
                    const double value = factor * std::pow(10.0, decade);
                    if (value >= low * (1 - 1e-9) && value <= high * (1 + 1e-9)) {
                        out.push_back(value);
                    }
                }
            }
            if (static_cast<int>(out.size()) <= most + 1) {
                return out;
            }
        }
    }
    return {};
}

int decimals_for(double step) {
    return step >= 1 ? 0 : std::min(6, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
}

double tick_step(const Axis& axis) {
    const std::vector<double> ticks = axis_ticks(axis);
    return ticks.size() < 2 ? std::max(std::abs(axis.high - axis.low), 1e-6) : ticks[1] - ticks[0];
}

}  // namespace

std::vector<double> axis_ticks(const Axis& axis) {
    const double span = axis.high - axis.low;
    if (!(span > 0) || !std::isfinite(span) || axis.most_ticks < 1) {
        return {};
    }
    if (axis.kind == AxisKind::log) {
        return axis.low > 0 ? log_ticks(axis.low, axis.high, axis.most_ticks) : std::vector<double>{};
    }
    const double least = span / axis.most_ticks;
    if (axis.kind == AxisKind::time_of_day) {
        for (const double minutes : {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 180.0, 360.0, 720.0, 1440.0}) {
            if (minutes / 60 >= least * (1 - 1e-9)) {
                return even_ticks(axis.low, axis.high, minutes / 60);
            }
        }
        return even_ticks(axis.low, axis.high, 24 * round_step(least / 24));
    }
    return even_ticks(axis.low, axis.high, round_step(least));
}

std::string tick_text(const Axis& axis, double value) {
    if (axis.kind == AxisKind::time_of_day) {
        const long minutes = std::lround(value * 60);
        const long day = ((minutes % 1440) + 1440) % 1440;
        return fmt::format("{:02d}:{:02d}", day / 60, day % 60);
    }
    const int decimals = axis.kind == AxisKind::log ? decimals_for(value) : decimals_for(tick_step(axis));
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.find_first_not_of("-0.") == std::string::npos) {
        text = "0";
    } else if (text.starts_with("-")) {
        text = "−" + text.substr(1);
    }
    if (!axis.unit.empty() && (axis.unit_on_all || value == axis.low || text == "0")) {
        text += " " + axis.unit;
    }
    return text;
}

std::optional<double> axis_share(const Axis& axis, double value) {
    if (axis.kind == AxisKind::log) {
        if (!(value > 0) || !(axis.low > 0) || !(axis.high > axis.low)) {
            return std::nullopt;
        }
        return std::log(value / axis.low) / std::log(axis.high / axis.low);
    }
    if (!std::isfinite(value) || !(axis.high > axis.low)) {
        return std::nullopt;
    }
    return (value - axis.low) / (axis.high - axis.low);
}

double axis_value(const Axis& axis, double share) {
    if (axis.kind == AxisKind::log && axis.low > 0) {
        return axis.low * std::pow(axis.high / axis.low, share);
    }
    return axis.low + (axis.high - axis.low) * share;
}

Axis fitted_axis(Axis axis, const std::vector<double>& values) {
    bool any = false;
    double low = 0;
    double high = 0;
    for (const double value : values) {
        if (!std::isfinite(value) || (axis.kind == AxisKind::log && value <= 0)) {
            continue;
        }
        low = any ? std::min(low, value) : value;
        high = any ? std::max(high, value) : value;
        any = true;
    }
    if (!any) {
        return axis;
    }
    if (axis.kind == AxisKind::log) {
        const double room = std::pow(std::max(high / low, 1.5), 0.06);
        axis.low = low / room;
        axis.high = high * room;
        return axis;
    }
    const double span = high > low ? high - low : std::max(std::abs(high) * 0.2, 1.0);
    axis.low = (low >= 0 && low < span * 0.5) ? 0 : low - span * 0.06;
    axis.high = high + span * 0.06;
    return axis;
}

namespace {

std::string csv_cell(const std::string& text) {
    if (text.find_first_of(",\"\n") == std::string::npos) {
        return text;
    }
    std::string out = "\"";
    for (const char c : text) {
        out += c == '"' ? "\"\"" : std::string(1, c);
    }
    return out + "\"";
}

std::string axis_head(const Axis& axis, std::string_view otherwise) {
    std::string head = axis.name.empty() ? std::string(otherwise) : axis.name;
    if (axis.kind == AxisKind::time_of_day) {
        return csv_cell(head + " (hours)");
    }
    return csv_cell(axis.unit.empty() ? head : head + " (" + axis.unit + ")");
}

}  // namespace

std::string plot_csv(const PlotView& view) {
    std::string out = fmt::format("what,{},{},{}\n", axis_head(view.x, "x"), axis_head(view.y, "y"), "upper end");
    const auto row = [&out](const std::string& what, double x, double y, const std::string& high) {
        out += fmt::format("{},{},{},{}\n", csv_cell(what), x, y, high);
    };
    for (const PlotBand& band : view.bands) {
        for (std::size_t i = 0; i < std::min(band.low.size(), band.high.size()); ++i) {
            row(band.name, band.low[i].x, band.low[i].y, fmt::format("{}", band.high[i].y));
        }
    }
    for (const PlotLine& line : view.lines) {
        for (const PlotPoint point : line.points) {
            row(line.expected ? line.name + " (expected)" : line.name, point.x, point.y, "");
        }
    }
    for (const PlotMarks& marks : view.marks) {
        for (const PlotPoint point : marks.points) {
            row(marks.name, point.x, point.y, "");
        }
    }
    for (const PlotLimit& limit : view.limits) {
        out += fmt::format("{},,{},\n", csv_cell("limit: " + limit.words), limit.y);
    }
    return out;
}

}  // namespace tonebath::window
