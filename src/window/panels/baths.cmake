target_sources(tonebath_panels PRIVATE bath_picture.cpp baths_panel.cpp jar_block.cpp)
