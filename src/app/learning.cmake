target_sources(tonebath_app PRIVATE course.cpp)
