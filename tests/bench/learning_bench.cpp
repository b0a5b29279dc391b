// Times of fit and plan at 50, 500, 5,000 and 100,000 dips (Google Benchmark), and the two fits that R has as well, on rows
// that R reads from the same files: survreg's censored maximum likelihood, lme4's REML. Run by beside_r.sh.
//   learning_bench write DIR    writes exact_N.csv and censored_N.csv, and what the project's fits of them give
//   learning_bench ...          the benchmarks; options as Google Benchmark has them
#include "science/censored_regression.hpp"
#include "science/studio_simulation.hpp"
#include "science/tone_plan.hpp"

#include <benchmark/benchmark.h>

#include <cstdio>
#include <limits>
#include <string>

namespace {

namespace sc = tonebath::science;
namespace sim = studio_simulation;

constexpr std::uint64_t kSeed = 20260600;  // fixed beforehand
constexpr std::array<std::size_t, 4> kSizes = {50, 500, 5000, 100000};

const sim::Studio& studio_of(std::size_t dips) {
    static std::array<std::optional<sim::Studio>, kSizes.size()> made;
    const auto at = static_cast<std::size_t>(std::ranges::find(kSizes, dips) - kSizes.begin());
    if (!made[at]) {
        sim::Draw draw(kSeed + dips);
        made[at] = sim::draw_studio(draw, dips, sim::Purpose::comparison);
    }
    return *made[at];
}

// Every tone measured: what lme4 can fit.
sc::MixedData exact_rows(const sim::Studio& studio, bool grouped) {
    sc::MixedData data(dip_model::kCoefs, studio.u.size());
    for (const sim::Dip& d : studio.dips) {
        const auto x = dip_model::terms(d.ratio, d.temp_c, d.age_h, d.time_s);
        data.add({x, grouped ? std::optional(d.bath) : std::nullopt, sc::RowKind::exact, {d.log_h}});
    }
    return data;
}

// As read, no baths: what survreg can fit.
sc::MixedData censored_rows(const sim::Studio& studio) {
    sc::MixedData data(dip_model::kCoefs, 0);
    for (const sim::Dip& d : studio.dips) {
        dip_model::add_reading(data, dip_model::terms(d.ratio, d.temp_c, d.age_h, d.time_s), std::nullopt, d.lower, d.upper);
    }
    return data;
}

sc::MixedFit reml(const sc::MixedData& data) {
    constexpr double kInfinity = std::numeric_limits<double>::infinity();
    const std::vector<double> zero(dip_model::kCoefs, 0.0);
    const std::vector<double> flat(dip_model::kCoefs, kInfinity);
    sc::MixedModel model;
    model.coef = sc::CoefPrior::independent(zero, flat);
    model.scatter = {0.12, kInfinity};
    model.group = {0.15, kInfinity};
    sc::FitOptions options;
    options.only_mode = true;
    options.mode_tolerance = 1e-10;
    return sc::fit_mixed(data, model, options);
}

// The program's own model: one scale of nine tones, every piece judged, four to a bath.
sc::ToneInput tone_input(std::size_t dips) {
    sim::Draw draw(kSeed + 7 * dips);
    sc::ToneInput input;
    input.scales = {sc::unknown_scale_prior(9)};
    input.lots = 2;
    for (std::size_t b = 0; b < (dips + 3) / 4; ++b) {
        sc::ToneBath bath;
        bath.course.temp = sc::TempCurve::constant(55.0 + draw.normal(0.0, 4.0));
        bath.course.strength = {{0.0, 0.0, 0.0}};
        bath.lot = b % 2;
        input.baths.push_back(std::move(bath));
        const double offset = draw.normal(0.0, 0.2);
        for (std::size_t k = 0; k < 4 && input.subjects.size() < dips; ++k) {
            const double in_s = 5400.0 * draw.uniform();
            const double seconds = 40.0 * std::exp(draw.normal(0.0, 0.6));
            const double log_dose = std::log(seconds) - 0.173 * in_s / 3600.0 + offset + draw.normal(0.0, 0.16);
            const double steps = std::clamp((log_dose - std::log(10.0)) / 0.45, -1.0, 8.0);
            sc::ToneSubject subject;
            subject.dips = {{b, in_s, in_s + seconds}};
            subject.says = steps < 0.0 ? sc::ToneSays::lighter_than : steps >= 8.0 ? sc::ToneSays::at_ceiling : sc::ToneSays::judged;
            subject.tone = static_cast<std::size_t>(std::max(0.0, std::floor(steps)));
            input.subjects.push_back(std::move(subject));
        }
    }
    return input;
}

void method_model(benchmark::State& state) {
    const sim::Studio& studio = studio_of(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) {
        benchmark::DoNotOptimize(sim::fit(studio));
    }
}
void reml_fit(benchmark::State& state) {
    const sc::MixedData data = exact_rows(studio_of(static_cast<std::size_t>(state.range(0))), true);
    for (auto _ : state) {
        benchmark::DoNotOptimize(reml(data));
    }
}
void censored_fit(benchmark::State& state) {
    const sc::MixedData data = censored_rows(studio_of(static_cast<std::size_t>(state.range(0))));
    for (auto _ : state) {
        benchmark::DoNotOptimize(sc::censored_maximum_likelihood(data, sc::normal_noise()));
    }
}
void tone_fit(benchmark::State& state) {
    const sc::ToneInput input = tone_input(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) {
        benchmark::DoNotOptimize(sc::fit_tones(input));
    }
}
void tone_refit(benchmark::State& state) {
    sc::ToneInput input = tone_input(static_cast<std::size_t>(state.range(0)));
    const sc::ToneFit before = sc::fit_tones(input);
    input.subjects.push_back(input.subjects.front());
    const sc::ToneStart start = sc::start_from(before);
    for (auto _ : state) {
        benchmark::DoNotOptimize(sc::fit_tones(input, {}, &start));
    }
}
void tone_plan(benchmark::State& state) {
    const sc::ToneInput input = tone_input(static_cast<std::size_t>(state.range(0)));
    const sc::ToneFit fit = sc::fit_tones(input);
    const sc::PlanQuery query{.aim = 4.5, .course = &input.baths.back().course, .bath = input.baths.size() - 1, .lot = 0, .start_s = 600.0};
    for (auto _ : state) {
        benchmark::DoNotOptimize(sc::plan_tone(fit, query));
    }
}

void sizes(benchmark::internal::Benchmark* bench) {
    for (const std::size_t size : kSizes) {
        bench->Arg(static_cast<std::int64_t>(size));
    }
    bench->Unit(benchmark::kMillisecond);
}
BENCHMARK(method_model)->Apply(sizes);
BENCHMARK(reml_fit)->Apply(sizes);
BENCHMARK(censored_fit)->Apply(sizes);
BENCHMARK(tone_fit)->Apply(sizes);
BENCHMARK(tone_refit)->Apply(sizes);
BENCHMARK(tone_plan)->Apply(sizes);

int write_rows(const std::string& folder) {
    for (const std::size_t size : kSizes) {
        const sim::Studio& studio = studio_of(size);
        for (const bool exact : {true, false}) {
            const std::string name = folder + (exact ? "/exact_" : "/censored_") + std::to_string(size) + ".csv";
            std::FILE* file = std::fopen(name.c_str(), "w");
            if (file == nullptr) {
                std::fprintf(stderr, "%s cannot be written\n", name.c_str());
                return 1;
            }
            std::fprintf(file, "bath,m,ea,age,p,low,high\n");
            for (const sim::Dip& d : studio.dips) {
                const auto x = dip_model::terms(d.ratio, d.temp_c, d.age_h, d.time_s);
                std::fprintf(file, "%zu,%.17g,%.17g,%.17g,%.17g", d.bath, x[1].value, x[2].value, x[3].value, x[4].value);
                if (exact) {
                    std::fprintf(file, ",%.17g,%.17g\n", d.log_h, d.log_h);
                } else if (std::isnan(d.upper)) {
                    std::fprintf(file, ",%.17g,NA\n", std::log(d.lower));
                } else {
                    std::fprintf(file, ",%.17g,%.17g\n", std::log(d.lower), std::log(d.upper));
                }
            }
            std::fclose(file);
        }
        const sc::MixedFit mixed = reml(exact_rows(studio, true));
        const auto censored = sc::censored_maximum_likelihood(censored_rows(studio), sc::normal_noise());
        std::printf("ours %zu reml p %.8f scatter %.8f bath %.8f\n", size, mixed.nodes.front().mean[4], mixed.nodes.front().scatter_sd,
                    mixed.nodes.front().group_sd);
        if (censored) {
            std::printf("ours %zu censored p %.8f scatter %.8f\n", size, censored->coef[4], censored->scale);
        }
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc == 3 && std::string(argv[1]) == "write") {
        return write_rows(argv[2]);
    }
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
