target_sources(tonebath_app PRIVATE coating.cpp stone_gate.cpp stone_grid.cpp stone_rows.cpp views/stones_view.cpp actions/coat_actions.cpp actions/stone_actions.cpp)
