target_sources(tonebath_panels PRIVATE safety_panel.cpp)
