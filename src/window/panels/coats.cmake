target_sources(tonebath_panels PRIVATE coats_books.cpp coats_panel.cpp coats_planner.cpp coats_rows.cpp)
