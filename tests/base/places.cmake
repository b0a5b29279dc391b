tonebath_test(places SOURCES base/places_test.cpp LINK tonebath_base)
