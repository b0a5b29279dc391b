tonebath_test(app_learning
  SOURCES
    learning_agree_test.cpp
    learning_test.cpp
    learning_plan_test.cpp
    learning_usual_test.cpp
    planning_test.cpp
    winter_test.cpp
  LINK tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base SQLiteCpp)
