#include "app/demo/writers.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

constexpr int kRack = 6;
constexpr double kDay_s = 86400.0;
constexpr double kSetUp_s = 54.0 * 60.0, kBrush_s = 5.0 * 60.0;

const DemoBath* first_bath_of(int batch) {
    for (const DemoBath& bath : demo_baths()) {
        for (const DemoTask& task : bath.tasks) {
            if (task.batch == batch) {
                return &bath;
            }
        }
    }
    return nullptr;
}

std::string number_of(std::string_view design, int n) {
    const char letter = design == "Limpet"       ? 'L'
                        : design == "Breakwater" ? 'B'
                        : design == "Samphire"   ? 'P'
                        : design == "Groyne"     ? 'G'
                                                 : 'N';
    return fmt::format("{}-{:03}", letter, n);
}

DemoPart part_of(const char* name, DemoAlloy alloy, std::string_view written_as, std::string_view aim,
                 const char* surface, double area_cm2) {
    DemoPart part;
    part.record.name = name;
    part.record.surface = surface;
    part.record.area_cm2 = area_cm2;
    part.alloy = alloy;
    part.written_as = written_as;
    part.aim = aim;
    return part;
}

std::vector<DemoPart> parts_of(const DemoBatch& plan, int yellow_batch) {
    using enum DemoAlloy;
    if (plan.design == "Limpet") {
        return {part_of("lid", sterling, "sterling", plan.aim, "bright", 4.2),
                part_of("cup", copper, "copper", "purplish brown", "hammered", 9.0)};
    }
    if (plan.design == "Breakwater") {
        const bool yellow = plan.number == yellow_batch;
        return {
            part_of("tabs", sterling, "sterling", plan.aim, "satin", 2.5),
            part_of("base", yellow ? yellow_brass : red_brass, plan.number == 14 ? "brass" : "red brass", "brown", "satin", 7.5)};
    }
    if (plan.design == "Samphire") {
        return {part_of("whole", fine_silver, "fine silver", plan.aim, "bright", 3.0)};
    }
    if (plan.design == "Groyne") {
        return {part_of("whole", copper, "copper", plan.aim, "hammered", 11.0)};
    }
    return {part_of("whole", sterling, "sterling", plan.aim, "bright", 5.0)};
}

class PieceWriter {
public:
    PieceWriter(DemoBook& book, const DemoBatch& plan) : book_(book), plan_(plan), work_(book.works[plan.number]) {
        work_.plan = &plan;
    }

    void begin(int first_number, const Stamp& at) {
        Batch batch;
        batch.id = book_.id<Batch>(at);
        batch.number = std::to_string(plan_.number);
        batch.design = plan_.design;
        if (!plan_.order.empty()) {
            batch.order_id = book_.orders.at(std::string(plan_.order)).id;
        }
        batch.target_id = book_.targets.at(std::string(plan_.target)).id;
        batch.made_at = at;
        store::insert(book_.log, batch);
        work_.record = batch;
        for (int i = 0; i < plan_.pieces; ++i) {
            add_piece(i, first_number + i, at);
        }
        if (plan_.number != 31) {
            prepare(at);
        }
    }

    // Limpets are joined when lid and cup are toned; all others before the bath. Batch 14 still waits in parts.
    void join(const Stamp& at) {
        for (DemoPiece& piece : work_.pieces) {
            piece.record.assembled_at = at;
            store::update(book_.log, piece.record);
            for (DemoPart& part : piece.parts) {
                part.record.assembled_at = at;
                store::update(book_.log, part.record);
            }
            write_stones(book_, piece, at, at);
        }
    }

    void seal(const Stamp& at) {
        struct Shift {
            double mean, sd, b;
        };
        const Shift shift = plan_.sealed == "wax"               ? Shift{-2.1, 0.6, 0.0}
                            : plan_.sealed == "brushed lacquer" ? Shift{-3.4, 1.2, 1.4}
                                                                : Shift{-1.2, 0.5, 0.0};
        for (DemoPiece& piece : work_.pieces) {
            AfterWork sealed;
            sealed.id = book_.id<AfterWork>(at);
            sealed.piece_id = piece.record.id;
            sealed.at = at;
            sealed.step = AfterStep::sealed;
            sealed.with = plan_.sealed;
            sealed.who = book_.people.at("MK").id;
            sealed.made_at = at;
            store::insert(book_.log, sealed);
            const DemoPart& lead = piece.parts.front();
            const Stamp looked = plus_seconds(at, 3600.0);
            Judgement judgement;
            judgement.id = book_.id<Judgement>(looked);
            if (piece.parts.size() > 1) {
                judgement.part_id = lead.record.id;
            } else {
                judgement.piece_id = piece.record.id;
            }
            judgement.at = looked;
            judgement.moment = Moment::after_sealing;
            judgement.l = rounded(std::max(0.0, lead.measured->l + shift.mean + shift.sd * book_.dice.normal()));
            judgement.a = rounded(lead.measured->a);
            judgement.b = rounded(lead.measured->b + shift.b);
            judgement.who = book_.people.at("MK").id;
            judgement.made_at = looked;
            store::insert(book_.log, judgement);
        }
    }

    // P18: the wheel and its fixtures take 54 min to set up, whatever the batch; each piece then takes 5.
    void brush(const Stamp& at) {
        const auto step = [&](const Stamp& when, double length_s, const char* with) {
            AfterWork one;
            one.id = book_.id<AfterWork>(when);
            one.at = one.made_at = when;
            one.step = AfterStep::brushed;
            one.with = with;
            one.length = Seconds::from_seconds(length_s);
            one.who = book_.people.at("MK").id;
            return one;
        };
        AfterWork whole = step(at, kSetUp_s, "wheel and fixtures set up");
        whole.batch_id = work_.record.id;
        store::insert(book_.log, whole);
        double t_s = kSetUp_s;
        for (const DemoPiece& piece : work_.pieces) {
            AfterWork one = step(plus_seconds(at, t_s), kBrush_s, "fine brush");
            one.piece_id = piece.record.id;
            store::insert(book_.log, one);
            t_s += kBrush_s;
        }
    }

    void sell(const Stamp& at) {
        for (DemoPiece& piece : work_.pieces) {
            if (!piece.record.keep_piece) {
                piece.record.sold_at = at;
                store::update(book_.log, piece.record);
            }
        }
    }

private:
    static double rounded(double value) { return std::round(value * 10.0) / 10.0; }

    void add_piece(int i, int n, const Stamp& at) {
        DemoPiece piece;
        piece.record.id = book_.id<Piece>(at);
        piece.record.number = number_of(plan_.design, n);
        piece.record.design = plan_.design;
        piece.record.batch_id = work_.record.id;
        piece.record.rack = i / kRack + 1;
        piece.record.order_id = work_.record.order_id;
        piece.record.keep_piece = piece.record.number == "L-003";
        piece.record.made_at = at;
        store::insert(book_.log, piece.record);
        // In the batches that they share, the apprentice has the first rack (P13).
        const auto& hers = book_.faults.apprentice_batches;
        const bool shared = std::find(hers.begin(), hers.end(), plan_.number) != hers.end();
        piece.who = book_.people.at(shared && i < kRack ? "AP" : "MK").id;
        piece.parts = parts_of(plan_, book_.faults.yellow_batch);
        for (DemoPart& part : piece.parts) {
            part.record.id = book_.id<Part>(at);
            part.record.piece_id = piece.record.id;
            part.record.metal_id = book_.scales.at(part.written_as).metal.id;
            part.record.made_at = at;
            if (part.record.name == "cup") {
                part.record.note = plan_.number < book_.faults.second_roll_from ? "copper sheet, first roll" : "copper sheet, second roll";
            } else if (part.record.name == "base") {
                part.record.note = plan_.number < 14 ? "sheet of the first delivery" : "sheet of the second delivery";
            }
            store::insert(book_.log, part.record);
        }
        work_.pieces.push_back(piece);
        if (plan_.number == 14 || plan_.number == 31) {
            write_stones(book_, piece, std::nullopt, at);
        }
    }

    Preparation preparation(const Stamp& at, bool ticked) {
        Preparation one;
        one.id = book_.id<Preparation>(at);
        one.at = at;
        one.surface = work_.pieces.front().parts.front().record.surface;
        one.degreased = ticked ? Answer::yes : Answer::unknown;
        one.degreased_how = ticked ? "pumice and washing soda" : "";
        one.water_sheeted = ticked ? Answer::yes : Answer::unknown;
        one.pickled = plan_.design == "Groyne" ? Answer::yes : Answer::no;
        if (one.pickled == Answer::yes) {
            one.rinses_after_pickle = 2;
        }
        one.who = book_.people.at("MK").id;
        one.made_at = at;
        return one;
    }

    // One tick for the batch; on 19 November piece by piece, and four of the six without the tick (P5).
    void prepare(const Stamp& made) {
        const Stamp at = plus_seconds(made, 1200.0);
        if (plan_.number != 12) {
            Preparation one = preparation(at, true);
            one.batch_id = work_.record.id;
            store::insert(book_.log, one);
            return;
        }
        for (std::size_t i = 0; i < work_.pieces.size(); ++i) {
            Preparation one = preparation(at, i < 2);
            one.piece_id = work_.pieces[i].record.id;
            store::insert(book_.log, one);
        }
    }

    DemoBook& book_;
    const DemoBatch& plan_;
    DemoWork& work_;
};

// The day of the last bath of a batch before March's second tries.
const DemoBath& last_bath_of(int batch) {
    const DemoBath* last = first_bath_of(batch);
    for (const DemoBath& bath : demo_baths()) {
        for (const DemoTask& task : bath.tasks) {
            if (task.batch == batch) {
                last = &bath;
            }
        }
    }
    TB_CHECK(last != nullptr);
    return *last;
}

}  // namespace

std::string demo_blotch(const DemoPiece& piece) {
    const std::string& number = piece.record.number;
    static constexpr std::array<std::string_view, 4> kHandCream{"P-015", "P-016", "P-017", "P-018"};
    if (std::find(kHandCream.begin(), kHandCream.end(), number) != kHandCream.end()) {
        return number == "P-016" ? "pale patches, as of fingers" : "pale patches";
    }
    return number == "L-025"   ? "dark ring at the rivet hole"
           : number == "G-009" ? "streak"
           : number == "B-030" ? "spot"
                               : "";
}

void plan_pieces(DemoBook& book) {
    std::map<std::string_view, int> next;
    for (const DemoBatch& plan : demo_batches()) {
        const int first = next[plan.design] + 1;
        next[plan.design] += plan.pieces;
        const DemoBath* bath = first_bath_of(plan.number);
        const Stamp at = bath != nullptr ? demo_moment(bath->month, bath->day, 8, 30) : demo_moment(3, 30, 16, 0);
        const std::string name = fmt::format("batch {}", plan.number);
        book.plan(at, name, "MK", [&book, &plan, first, at] { PieceWriter(book, plan).begin(first, at); });
        if (bath == nullptr || plan.number == 14) {
            continue;
        }
        const DemoBath& last = last_bath_of(plan.number);
        const bool limpet = plan.design == "Limpet";
        const Stamp joined = demo_moment(limpet ? last.month : bath->month, limpet ? last.day : bath->day, 9, 10);
        book.plan(joined, name, "MK", [&book, &plan, joined] { PieceWriter(book, plan).join(joined); });
        const Stamp done = demo_moment(last.month, last.day, 15, 0);
        if (plan.pieces == 6 || plan.pieces == 18) {
            const Stamp brushed = plus_seconds(done, 1800.0);
            book.plan(brushed, name, "MK", [&book, &plan, brushed] { PieceWriter(book, plan).brush(brushed); });
        }
        if (!plan.sealed.empty()) {
            const Stamp sealed = plus_seconds(done, 2.0 * kDay_s);
            book.plan(sealed, name + " sealed", "MK", [&book, &plan, sealed] { PieceWriter(book, plan).seal(sealed); });
        }
        if (!plan.order.empty() || plan.number < 9) {
            const Stamp sold = plan.order.empty() ? demo_moment(12, 13, 17, 0) : plus_seconds(done, 5.0 * kDay_s);
            book.plan(sold, name + (plan.order.empty() ? " sold at the market" : " handed over"), "MK",
                      [&book, &plan, sold] { PieceWriter(book, plan).sell(sold); });
        }
    }
}

}  // namespace tonebath::app
