target_sources(tonebath_app PRIVATE alone.cpp circumstances.cpp course.cpp learner.cpp learning.cpp learning_input.cpp plan.cpp usual.cpp)
