target_sources(tonebath_app PRIVATE repeat.cpp repeat_words.cpp repeat_changes.cpp repeat_pattern.cpp)
