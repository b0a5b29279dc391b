#include "app/demo/session.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::app {

void write_judgement(DemoBook& book, DemoPiece& piece, DemoPart& part, const std::optional<Id<Dip>>& dip,
                     const Stamp& at, DemoLook look, std::optional<double> l) {
    constexpr double kReadingNoise_l = 1.2;
    DemoColour colour = demo_colour(part.dose_s);
    const double true_l = colour.l;
    colour.l = l ? *l : to_tenth(std::clamp(true_l + kReadingNoise_l * book.dice.normal(), 0.0, 100.0));
    colour.a = to_tenth(colour.a + 0.5 * book.dice.normal());
    colour.b = to_tenth(colour.b + 0.5 * book.dice.normal());
    const DemoScale& scale = book.scales.at(part.written_as);
    const Tone& tone = scale.tones.find(demo_word_at(part.alloy, demo_dose_of_l(colour.l)))->second;
    const Tone& aim = scale.tones.at(part.aim);
    Judgement judgement;
    judgement.id = book.id<Judgement>(at);
    if (piece.parts.size() > 1) {
        judgement.part_id = part.record.id;
    } else {
        judgement.piece_id = piece.record.id;
    }
    judgement.dip_id = dip;
    judgement.at = at;
    if (look == DemoLook::word && tone.position < aim.position) {
        judgement.tone_id = aim.id;
        judgement.sense = Sense::lighter_than;
    } else {
        judgement.tone_id = tone.id;
    }
    if (look == DemoLook::measured) {
        judgement.l = colour.l;
        judgement.a = colour.a;
        judgement.b = colour.b;
        judgement.blotch = demo_blotch(piece);
        part.measured = colour;
    }
    judgement.who = piece.who;
    judgement.made_at = at;
    store::insert(book.log, judgement);
}

}  // namespace tonebath::app
