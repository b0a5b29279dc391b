target_sources(tonebath_panels PRIVATE air_gauge.cpp safety_panel.cpp safety_book.cpp safety_bottles.cpp safety_waste.cpp safety_air.cpp safety_sources.cpp safety_winter.cpp)
