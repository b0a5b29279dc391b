target_sources(tonebath_panels PRIVATE matched_block.cpp pieces_panel.cpp rescue_block.cpp scales.cpp why_block.cpp)
