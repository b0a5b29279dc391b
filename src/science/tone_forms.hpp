// Forms of a plan in the regression of a ToneFit. Internal to tone_plan and tone_worth.
#pragma once

#include "science/tone_plan.hpp"

#include <optional>
#include <vector>

namespace tonebath::science {

// Seconds from start on a fixed grid, with the linear dose of each.
struct DoseGrid {
    std::vector<double> seconds;
    std::vector<LinearDose> dose;
};

class PlanForms {
public:
    PlanForms(const ToneFit& fit, const PlanQuery& query);

    [[nodiscard]] std::optional<PlanWhy> refusal() const { return refusal_; }
    [[nodiscard]] const DoseGrid& grid() const { return grid_; }
    [[nodiscard]] LinearDose dose_at(double seconds) const;

    // log dose + lot + bath + factors - theta at `aim`, at one node: mean and variance (no piece scatter).
    [[nodiscard]] NormalPart form(std::size_t node, const LinearDose& dose, double aim) const;
    // Covariance of two such forms with different dose and aim.
    [[nodiscard]] double covariance(std::size_t node, const LinearDose& a, double aim_a, const LinearDose& b,
                                    double aim_b) const;
    [[nodiscard]] std::vector<NormalPart> mixture(const LinearDose& dose, double aim) const;
    // P(form >= 0), scatter of the piece included or not.
    [[nodiscard]] double chance(const LinearDose& dose, double aim, bool piece) const;
    [[nodiscard]] RangeCauses causes(const LinearDose& dose) const;
    [[nodiscard]] BeyondTried beyond(double seconds) const;
    [[nodiscard]] double beyond_var(const LinearDose& dose) const;
    // Fade that no record tells of: half the spread between its prior at -1 and +1 sd, squared.
    [[nodiscard]] double untold_fade_var(const LinearDose& dose) const;

private:
    [[nodiscard]] std::vector<Term> terms(const LinearDose& dose, double aim) const;
    [[nodiscard]] double constant(std::size_t node, const LinearDose& dose) const;
    [[nodiscard]] LinearForm with_group(std::span<const Term> terms) const;
    [[nodiscard]] LinearDose with_stretch(const LinearDose& sum, double from_s, double to_s) const;
    void build_grid();

    const ToneFit& fit_;
    const PlanQuery& query_;
    NoiseMixture noise_;
    std::optional<PlanWhy> refusal_;
    DoseGrid grid_;
    double edge_d_ea_ = 0.0;  // d log D / d Ea at the nearer edge of the tried temperatures
    bool outside_ = false;
};

}  // namespace tonebath::science
