target_sources(tonebath_app PRIVATE views/tones_view.cpp)
