target_sources(tonebath_panels PRIVATE bath_picture.cpp baths_panel.cpp)
