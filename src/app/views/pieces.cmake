target_sources(tonebath_app PRIVATE views/judged.cpp views/piece_story.cpp views/pieces_view.cpp)
