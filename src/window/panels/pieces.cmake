target_sources(tonebath_panels PRIVATE pieces_panel.cpp scales.cpp why_block.cpp)
