target_sources(tonebath_panels PRIVATE matched_block.cpp pieces_panel.cpp scales.cpp why_block.cpp)
