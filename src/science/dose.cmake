target_sources(tonebath_science PRIVATE air.cpp capacity.cpp coat_plan.cpp paired.cpp cooling.cpp cooling_fit.cpp dilution.cpp dose.cpp fade.cpp lane_rounds.cpp lanes.cpp
                                        splits.cpp spread.cpp strip_plan.cpp students_t.cpp two_strips.cpp)
