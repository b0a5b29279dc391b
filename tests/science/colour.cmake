tonebath_test(colour SOURCES colour_test.cpp colour_difference_test.cpp colour_path_test.cpp film_colour_test.cpp
                             spectrum_test.cpp thin_film_test.cpp
              LINK tonebath_science nlohmann_json::nlohmann_json)
tonebath_test(counts SOURCES counts_test.cpp run_chart_test.cpp survival_test.cpp
              LINK tonebath_science nlohmann_json::nlohmann_json)
tonebath_test(photo SOURCES photo_test.cpp LINK tonebath_science)
