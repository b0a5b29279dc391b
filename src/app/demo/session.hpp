// One session at one bath: from make-up to the last look. For the .cpp files of this folder only.
#pragma once

#include "app/demo/writers.hpp"

#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

inline double to_tenth(double value) {
    return std::round(value * 10.0) / 10.0;
}

class Session {
public:
    Session(DemoBook& book, const DemoBath& plan);
    void write();

private:
    struct RackTime {
        double t_s = 0.0;  // since make-up
        double planned_s = 0.0;
        double seconds = 0.0;  // as it came
    };

    [[nodiscard]] Stamp at(double t_s) const { return plus_seconds(made_up_, t_s); }
    [[nodiscard]] Id<Person> maker() const { return book_.people.at(std::string(plan_.who)).id; }

    // The bath (session_writer.cpp).
    void write_bath();
    void check();
    // A dip as the bench writes it, and its rinse. Returns it as written.
    Dip put_dip(Dip dip, double t_s, double seconds);
    // Three strips a bath: two pulled as they turned, at different heats, and one of another metal or judged
    // afterwards.
    void strips();
    // Watched for a word, or for so many seconds and judged afterwards.
    void strip(double t_s, DemoAlloy alloy, const char* metal, const char* watched_for, double seconds);
    // Three to six readings, spread over the session; on the cold day one as each rack went in.
    void readings();
    void finish();

    // Its pieces (rack_writer.cpp).
    void stage(const DemoTask& task);
    // The moment at which the bath has come down to this temperature.
    [[nodiscard]] double when_at(double temp_c) const;
    // What the silver (or the one metal) should get at this stage.
    [[nodiscard]] static double wanted(const DemoPart& lead, const DemoTask& task, std::size_t third);
    [[nodiscard]] RackTime lane_time(double t_s, double wanted_s, DemoAlloy alloy);
    // One time for the whole rack, or none when each lane has its own.
    [[nodiscard]] std::optional<RackTime> rack_time(int rack, double start_s, double wanted_s, DemoAlloy alloy);
    void dip_rack(DemoWork& work, const DemoTask& task, int rack, std::size_t third);
    void dip_piece(DemoWork& work, DemoPiece& piece, const DemoTask& task, const RackTime& time, int lane,
                   bool second_part);
    // P17: typed twenty minutes later from memory, far from what it was.
    void from_memory(Dip& dip, const RackTime& time) const;
    // Two dips of the last session still lack a name: they wait in the fill-in list.
    void no_name(const DemoPiece& piece);
    void look_between(DemoPiece& piece, const Dip& dip, const DemoTask& task);
    // The look at the end of a stage.
    void after(DemoWork& work, const DemoTask& task);
    // Second parts first, so that the leading part's tone is the piece's last. P14: one lid 11 L* darker than its
    // mates.
    void measure(DemoWork& work, const Stamp& looked);
    void dried(const DemoWork& work, const Stamp& when);

    DemoBook& book_;
    const DemoBath plan_;
    Stamp made_up_;
    DemoBathLaw law_;
    bool new_probe_ = false;
    Bath bath_;
    double end_s_ = 0.0;  // of the last dip so far
    double last_stage_end_s_ = 0.0;
    std::vector<double> exact_readings_;
    std::map<std::string, Id<Dip>> looked_at_;  // last dip, by piece
    std::map<std::string, int> thirds_done_;
};

}  // namespace tonebath::app
