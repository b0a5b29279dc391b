target_sources(tonebath_app PRIVATE views/bath_portrait.cpp views/baths_view.cpp)
