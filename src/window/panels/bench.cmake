target_sources(tonebath_panels PRIVATE bench_board.cpp bench_lane.cpp bench_mixed.cpp bench_panel.cpp bench_rows.cpp bench_words.cpp checks_block.cpp)
