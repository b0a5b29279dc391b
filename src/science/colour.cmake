target_sources(tonebath_science PRIVATE
  colour.cpp colour_difference.cpp colour_path.cpp colour_spread.cpp colour_vision.cpp counts.cpp number_table.cpp
  photo_colour.cpp photo_patch.cpp photo_rules.cpp run_chart.cpp silver_ladder.cpp spectrum.cpp survival.cpp thin_film.cpp)
