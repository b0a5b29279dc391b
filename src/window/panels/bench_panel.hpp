// Bench: hands wet, eyes on the piece. One key; huge seconds; the strip with the dip moving along it.
#pragma once

#include "app/reckoner.hpp"
#include "app/views/bench_view.hpp"
#include "app/views/mixed_view.hpp"
#include "model/cue.hpp"
#include "window/panels/checks_block.hpp"
#include "window/panels/page.hpp"
#include "window/panels/scales.hpp"
#include "window/widgets/field.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::window {

class BenchPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::bench; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::dip; }
    [[nodiscard]] std::string fact() const override;
    void lend(app::Reckoner& reckoner) override;
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) override;
    void catch_up() override;
    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override;
    [[nodiscard]] std::vector<FootHint> hints() const override;
    void hint_used(std::string_view id, Wishes& wishes) override;
    void told(const Told& told) override;
    // A batch's id, or "strip": asks for the bench to be laid out with it.
    void choose(std::string_view record) override;
    [[nodiscard]] double seconds_to_next_change() const override;

    // What the one key would do now; nothing when it would do nothing. Used on other pages and over emergency pages.
    [[nodiscard]] std::optional<BenchKeyView> key_view() const;
    [[nodiscard]] std::optional<DipBandView> band() const;
    // What is to be heard from now on.
    [[nodiscard]] std::vector<Cue> cues() const override;
    // The key was pressed: adds the form for it. Echoes of a press are swallowed.
    void press(Wishes& wishes);

private:
    void read_mixed();
    // Words of a waiting lane whose piece has another metal too; null: none.
    [[nodiscard]] const app::MixedView* mixed_of(const app::BenchLane& lane) const;
    void draw_mixed(Ui& ui, const Rect& place, const app::BenchLane& lane);
    [[nodiscard]] KeyAct act() const;
    [[nodiscard]] const app::BenchLane* lane(int number) const;
    [[nodiscard]] const app::BenchLane* shown_lane() const;
    void draw_lane(Ui& ui, Rect place, const app::BenchLane& lane, Wishes& wishes);
    void draw_cue(Ui& ui, const Rect& place, const app::BenchLane& lane, bool out, double left_s);
    void draw_far(Ui& ui, const Rect& place, const app::BenchLane& lane);
    void draw_bath_now(Ui& ui, const Rect& place);
    void draw_look(Ui& ui, const Rect& place, const app::BenchLane& lane);
    void draw_strip(Ui& ui, const Rect& place, const app::BenchLane& lane, Wishes& wishes);
    void draw_board(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes);
    void draw_next(Ui& ui, const Rect& place, const std::vector<Lane>& lanes, const Glance& glance, Wishes& wishes);
    void draw_bath_card(Ui& ui, const Rect& place, const std::vector<Lane>& lanes);
    void draw_lanes(Ui& ui, const Rect& place, const std::vector<Lane>& lanes);
    void draw_lane_words(Ui& ui, const Rect& column, float y, const Lane& lane, const app::BenchLane& one);
    void pick_by_keys(Ui& ui, bool running);
    void draw_key(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes);
    void draw_reading(Ui& ui, const Glance& glance, Wishes& wishes);
    void draw_nothing(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes);
    [[nodiscard]] LaneStripView upright_of(const app::BenchLane& lane) const;
    [[nodiscard]] StripView strip_of(const app::BenchLane& lane) const;

    app::Studio* studio_ = nullptr;
    std::shared_ptr<const app::Learned> learned_;
    app::BenchView view_;
    app::Reckoner* reckoner_ = nullptr;
    std::vector<int> mixed_of_;               // lanes that were asked about, in order
    app::Reckoned<std::vector<app::MixedView>> mixed_;
    Scales scales_;
    Stamp read_at_;
    std::optional<int> picked_;
    Debounce debounce_;
    ChecksBlock checks_;                      // the list that holds the next dip back
    std::optional<TonePlace> touched_;        // first touch of a judgement
    std::string touched_lane_;
    bool reading_open_ = false;
    bool reading_focus_ = false;
    FieldState reading_;
    std::optional<Refusal> refusal_;          // of a reading typed here
    std::optional<app::Form> asked_form_;
    std::string refused_words_;               // of any other form
    std::optional<WishSheet> asked_sheet_;    // from choose()
    PlotState plot_;
};

[[nodiscard]] std::unique_ptr<Page> make_bench_page();

}  // namespace tonebath::window
