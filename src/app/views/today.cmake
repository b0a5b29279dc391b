target_sources(tonebath_app PRIVATE views/fill_in_view.cpp views/today_view.cpp)
