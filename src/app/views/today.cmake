target_sources(tonebath_app PRIVATE views/today_view.cpp)
