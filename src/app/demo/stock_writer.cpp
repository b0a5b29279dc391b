#include "app/demo/writers.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

void write_people(DemoBook& book, const Stamp& at) {
    const auto person = [&](const char* initials, const char* role, bool alone, bool leads) {
        Person one;
        one.id = book.id<Person>(at);
        one.initials = initials;
        one.role = role;
        one.may_make_up = alone;
        one.may_dip_alone = alone;
        one.may_coat = leads;
        one.may_dispose = leads;
        one.may_supervise = leads;
        one.made_at = at;
        store::insert(book.log, one);
        book.people[initials] = one;
    };
    person("MK", "maker", true, true);
    person("AP", "apprentice", false, false);
    person("TB", "travelling bench", true, true);
}

// A metal that says too little: what batch 14 was written down as.
void write_vague_brass(DemoBook& book, const Stamp& at) {
    const DemoScale& like = book.scales.at("red brass");
    DemoScale brass;
    brass.metal.id = book.id<Metal>(at);
    brass.metal.name = "brass";
    brass.metal.bare_colour = "#bf9c5c";
    brass.metal.note = "which brass is not written down";
    brass.metal.made_at = at;
    store::insert(book.log, brass.metal);
    brass.scale.id = book.id<ToneScale>(at);
    brass.scale.metal_id = brass.metal.id;
    brass.scale.made_at = at;
    store::insert(book.log, brass.scale);
    for (const auto& [word, tone] : like.tones) {
        Tone copy = tone;
        copy.id = book.id<Tone>(at);
        copy.scale_id = brass.scale.id;
        copy.made_at = at;
        store::insert(book.log, copy);
        brass.tones[word] = copy;
    }
    book.scales["brass"] = brass;
}

void write_vessels(DemoBook& book, const Stamp& at) {
    const auto vessel = [&](const char* number, const char* kind, double ml, bool strips_only, std::optional<double> k,
                            const char* note) {
        Vessel one;
        one.id = book.id<Vessel>(at);
        one.number = number;
        one.kind = kind;
        one.volume = Millilitres::from_ml(ml);
        one.cooling_per_min = k;
        one.strips_only = strips_only;
        one.note = note;
        one.made_at = at;
        store::insert(book.log, one);
        book.vessels[number] = one;
    };
    vessel("V1", "glass bowl", 400.0, false, std::nullopt, "");
    vessel("V2", "steel cup", 250.0, true, 0.045, "for strips away from the bench");
    vessel("V3", "glass bowl in a water bath", 400.0, false, std::nullopt, "V1, standing in warm water");
}

Lot lot_of(const char* number, const char* kind, LotForm form, AmountUnit unit, double bought,
           std::optional<double> usual, const Stamp& bought_at, std::optional<Stamp> opened_at) {
    Lot lot;
    lot.number = number;
    lot.finish_kind = kind;
    lot.form = form;
    lot.unit = unit;
    lot.bought_amount = bought;
    lot.usual_per_litre = usual;
    lot.bought_at = bought_at;
    lot.opened_at = opened_at;
    lot.place = "dark shelf, lidded box";
    return lot;
}

void plan_lot(DemoBook& book, Lot lot, const Stamp& at) {
    book.plan(at, "jar " + lot.number, "MK", [&book, lot, at]() mutable {
        lot.id = book.id<Lot>(at);
        lot.made_at = at;
        store::insert(book.log, lot);
        book.lots[lot.number] = lot;
    });
}

void plan_weighing(DemoBook& book, const char* number, const Stamp& at, std::optional<double> left, const char* what,
                   const char* note) {
    book.plan(at, fmt::format("jar {}", number), "MK", [&book, number, at, left, what, note] {
        LotWeighing weighing;
        weighing.id = book.id<LotWeighing>(at);
        weighing.lot_id = book.lots.at(number).id;
        weighing.at = at;
        weighing.left_amount = left;
        weighing.event = what;
        weighing.note = note;
        weighing.made_at = at;
        store::insert(book.log, weighing);
    });
}

void plan_thermometer(DemoBook& book, const char* number, const Stamp& at, const char* note) {
    book.plan(at, fmt::format("thermometer {}", number), "MK", [&book, number, at, note] {
        Thermometer one;
        one.id = book.id<Thermometer>(at);
        one.number = number;
        one.note = note;
        one.in_use_from = at;
        one.made_at = at;
        store::insert(book.log, one);
        book.thermometers[number] = one;
    });
}

void plan_ice_check(DemoBook& book, const char* number, const Stamp& at, double reads_c) {
    book.plan(at, fmt::format("ice check of thermometer {}", number), "MK", [&book, number, at, reads_c] {
        ThermometerCheck check;
        check.id = book.id<ThermometerCheck>(at);
        check.thermometer_id = book.thermometers.at(number).id;
        check.at = at;
        check.applies_from = at;
        check.reads = Celsius::from_celsius(reads_c);
        check.truth = Celsius::from_celsius(0.0);
        check.note = "ice and tap water, stirred";
        check.made_at = at;
        store::insert(book.log, check);
    });
}

struct TargetWords {
    const char* name;
    const char* metal;
    const char* word;
};

void write_targets(DemoBook& book, const Stamp& at) {
    static constexpr std::array<TargetWords, 8> kTargets{{{"Limpet lid blue", "sterling", "blue"},
                                                          {"Limpet lid blue, R-07", "sterling", "blue"},
                                                          {"Breakwater tabs gunmetal", "sterling", "gunmetal"},
                                                          {"Samphire gold", "fine silver", "gold"},
                                                          {"Groyne dark brown", "copper", "dark brown"},
                                                          {"Lantern magenta", "sterling", "magenta"},
                                                          {"Lantern gold", "sterling", "gold"},
                                                          {"Lantern black", "sterling", "black"}}};
    for (const TargetWords& words : kTargets) {
        const DemoScale& scale = book.scales.at(words.metal);
        Target target;
        target.id = book.id<Target>(at);
        target.name = words.name;
        target.scale_id = scale.scale.id;
        target.tone_id = scale.tones.at(words.word).id;
        target.made_at = at;
        if (target.name == "Limpet lid blue, R-07") {
            // 34 s at 55 °C in this invented studio, told at 60 °C.
            target.dose_s = 24.7;
            target.tolerance_steps = 0.5;
            target.keep_piece = "L-003";
        }
        store::insert(book.log, target);
        book.targets[words.name] = target;
    }
}

void plan_order(DemoBook& book, const char* number, const char* target, const Stamp& at, const Stamp& wanted_by,
                const char* repeat_of = "") {
    book.plan(at, fmt::format("order {}", number), "MK", [&book, number, target, at, wanted_by, repeat_of] {
        Order order;
        order.id = book.id<Order>(at);
        order.number = number;
        order.target_id = book.targets.at(target).id;
        order.received_at = at;
        order.wanted_by = wanted_by;
        if (*repeat_of != '\0') {
            order.repeat_of = book.orders.at(repeat_of).id;
            order.note = fmt::format("six more, as {}", repeat_of);
        }
        order.made_at = at;
        store::insert(book.log, order);
        book.orders[number] = order;
    });
}

struct ProductWords {
    const char* name;
    const char* kind;
    const char* lot;
    const char* hazards;
    std::optional<Stamp> sheet, read;
    const char* place;
    bool locked;
};

// The register: two sheets not read, one old, and what a studio forgets.
void plan_products(DemoBook& book, const Stamp& at) {
    const Stamp read = demo_moment(10, 1, 10, 0);
    const auto sheet = [](const char* day) { return parse_iso(day, 0); };
    const std::vector<ProductWords> products{
        {"LS-1 dry lump", "liver_of_sulfur_lump", "LS-1", "H314, H400, EUH031", sheet("2024-11-12"), read, "dark shelf, lidded box", true},
        {"LS-2 dry lump", "liver_of_sulfur_lump", "LS-2", "H314, H400, EUH031", sheet("2025-01-20"), read, "dark shelf, lidded box", true},
        {"LS-3 gel", "liver_of_sulfur_gel", "LS-3", "H315, H318, H400", sheet("2024-06-03"), read, "dark shelf, lidded box", true},
        {"LS-4 liquid", "liver_of_sulfur_liquid", "LS-4", "H315, H318, H400", std::nullopt, read, "dark shelf, lidded box", true},
        {"BK-1 blackener", "hcl_tellurium_blackener", "BK-1", "H290, H314", sheet("2021-05-04"), read, "other room, acid shelf", true},
        {"pickle salt", "acid_pickle", "", "H318", sheet("2024-02-19"), read, "other room, acid shelf", true},
        {"vinegar", "acid_pickle", "", "", std::nullopt, std::nullopt, "kitchen", false},
        {"limescale remover", "unknown", "", "", std::nullopt, std::nullopt, "under the sink", false},
        {"clear lacquer LQ-3", "lacquer_solvent", "", "H225, H319, H336, EUH066", sheet("2025-07-01"), read, "metal cupboard, hall", false},
    };
    for (const ProductWords& words : products) {
        const auto known = std::string_view(words.lot).empty() ? at : demo_moment(12, 3, 9, 30);
        const bool early = std::string_view(words.lot) == "LS-1" || std::string_view(words.lot) == "BK-1";
        const Stamp when = early ? at : known;
        book.plan(when, "register", "MK", [&book, words, when] {
            Chemical one;
            one.id = book.id<Chemical>(when);
            one.name = words.name;
            one.finish_kind = words.kind;
            if (*words.lot != '\0') {
                const Lot& lot = book.lots.at(words.lot);
                one.lot_id = lot.id;
                one.opened_at = lot.opened_at;
            }
            one.hazards = words.hazards;
            one.sheet_at = words.sheet;
            one.read_at = words.read ? std::optional(std::max(*words.read, when)) : std::nullopt;
            one.place = words.place;
            one.locked = words.locked;
            one.made_at = when;
            if (one.name == "LS-2 dry lump") {
                one.on_bench_at = demo_moment(3, 31, 9, 22);
            }
            store::insert(book.log, one);
        });
    }
}

// P11: vinegar on the bench; it waits for a comment.
void plan_near_miss(DemoBook& book) {
    const Stamp at = demo_moment(12, 14, 17, 20);
    book.plan(at, "near miss", "MK", [&book, at] {
        NearMiss miss;
        miss.id = book.id<NearMiss>(at);
        miss.number = "N-1";
        miss.at = miss.made_at = at;
        miss.kind = NearMissKind::near_miss;
        miss.words = "A cup of vinegar stood on the bench, left from cleaning the kettle. Found before a bath was made up, and taken back to the kitchen.";
        miss.who = book.people.at("MK").id;
        store::insert(book.log, miss);
    });
}

void plan_rule(DemoBook& book) {
    const Stamp at = demo_moment(11, 4, 12, 0);
    book.plan(at, "letter of the local office", "MK", [&book, at] {
        LocalRule rule;
        rule.id = book.id<LocalRule>(at);
        rule.name = "letter of 4 Nov 2025";
        rule.said_by = "local waste office";
        rule.said_at = demo_moment(11, 4);
        rule.covers = "spent sulfide baths and their first rinse";
        rule.route = "collection";
        rule.limit_kg = 20.0;
        rule.made_at = at;
        store::insert(book.log, rule);
        book.rule = rule.id;
    });
}

void plan_disposals(DemoBook& book) {
    int next = 1;
    for (const DemoDisposal& plan : demo_disposals()) {
        std::vector<std::string> numbers;
        while (static_cast<int>(numbers.size()) < plan.baths) {
            if (next != kUnloggedBath) {
                numbers.push_back(std::to_string(next));
            }
            ++next;
        }
        const Stamp at = demo_moment(plan.month, plan.day, 16, 30);
        book.plan(at, "collection", "MK", [&book, at, numbers] {
            Disposal disposal;
            disposal.id = book.id<Disposal>(at);
            disposal.at = at;
            disposal.volume = Millilitres::from_ml(kBathWater_ml * static_cast<double>(numbers.size()));
            disposal.route = "collection";
            const bool with_letter = at >= demo_moment(11, 4);
            disposal.rule = with_letter ? "letter of 4 Nov 2025" : "";
            disposal.rule_id = with_letter ? std::optional(book.rule) : std::nullopt;
            disposal.baths = joined(numbers, "\n");
            disposal.note = "baths " + joined(numbers, ", ") + (with_letter ? "" : "; made before the letter");
            disposal.who = book.people.at("MK").id;
            disposal.made_at = at;
            store::insert(book.log, disposal);
            write_check(book, {.list = "after_disposal", .kind = "liver_of_sulfur_lump", .at = plus_seconds(at, -600.0), .bath_id = {}, .every_s = 20.0,
                               .number = disposal.volume->ml() / 1000.0, .note = {}});
        });
    }
}

}  // namespace

void write_beginnings(DemoBook& book, const Stamp& at) {
    write_people(book, at);
    write_vague_brass(book, at);
    write_vessels(book, at);
    write_targets(book, at);
}

void plan_stock(DemoBook& book) {
    const Stamp first = demo_moment(10, 1, 9, 30);
    const char* lump = "liver_of_sulfur_lump";
    plan_lot(book, lot_of("LS-1", lump, LotForm::lump, AmountUnit::g, 100.0, 5.0, first, first), first);
    plan_lot(book, lot_of("LS-2", lump, LotForm::lump, AmountUnit::g, 100.0, 5.0, first, demo_moment(11, 5, 9, 0)),
             demo_moment(11, 5, 9, 0));
    plan_lot(book,
             lot_of("LS-3", "liver_of_sulfur_gel", LotForm::gel, AmountUnit::g, 100.0, 15.0, demo_moment(11, 12),
                    demo_moment(11, 14, 9, 0)),
             demo_moment(11, 14, 9, 0));
    plan_lot(book,
             lot_of("LS-4", "liver_of_sulfur_liquid", LotForm::liquid, AmountUnit::ml, 120.0, 20.0, demo_moment(12, 1),
                    demo_moment(12, 3, 9, 0)),
             demo_moment(12, 3, 9, 0));
    Lot blackener = lot_of("BK-1", "hcl_tellurium_blackener", LotForm::liquid, AmountUnit::ml, 50.0, std::nullopt,
                           first, std::nullopt);
    blackener.place = "other room, acid shelf";
    blackener.note = "never beside a sulfide bath, never with stones";
    plan_lot(book, blackener, first);

    plan_weighing(book, "LS-1", demo_moment(11, 28, 20, 30), std::nullopt, "left open",
                  "lid off all evening, found after the class");
    plan_weighing(book, "LS-1", demo_moment(1, 31, 11, 0), 59.0, "", "on the kitchen scale, give or take 1 g");
    plan_weighing(book, "LS-2", demo_moment(1, 31, 11, 5), 82.0, "", "");

    plan_thermometer(book, "T1", first, "glass, alcohol");
    plan_ice_check(book, "T1", demo_moment(10, 1, 9, 40), 0.0);
    if (const DemoFaults& faults = book.faults; faults.probe_month != 0) {
        plan_thermometer(book, "T2", demo_moment(faults.probe_month, faults.probe_day, 9, 0), "new probe");
        plan_ice_check(book, "T2", demo_moment(faults.check_month, faults.check_day, 9, 0), faults.probe_error_c);
    }

    plan_order(book, "R-07", "Limpet lid blue, R-07", demo_moment(10, 1, 11, 0), demo_moment(10, 24));
    plan_order(book, "R-08", "Breakwater tabs gunmetal", demo_moment(10, 10, 11, 0), demo_moment(11, 7));
    plan_order(book, "R-09", "Lantern gold", demo_moment(11, 7, 11, 0), demo_moment(12, 5));
    plan_order(book, "R-10", "Breakwater tabs gunmetal", demo_moment(12, 1, 11, 0), demo_moment(12, 22));
    plan_order(book, "R-11", "Lantern black", demo_moment(1, 9, 11, 0), demo_moment(2, 13));
    plan_order(book, "R-12", "Limpet lid blue, R-07", demo_moment(3, 24, 11, 0), demo_moment(4, 17), "R-07");
    plan_rule(book);
    plan_disposals(book);
    plan_products(book, first);
    plan_near_miss(book);
}

}  // namespace tonebath::app
