target_sources(tonebath_panels PRIVATE findings.cpp plan_card.cpp planning_block.cpp tone_axis.cpp tones_panel.cpp)
