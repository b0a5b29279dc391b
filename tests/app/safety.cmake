tonebath_test(app_safety
  SOURCES bottles_test.cpp class_test.cpp safety_test.cpp waste_test.cpp
  LINK tonebath_app tonebath_store tonebath_model tonebath_base SQLiteCpp)
tonebath_test(app_lists
  SOURCES lists_test.cpp lists_random_test.cpp
  LINK tonebath_app tonebath_store tonebath_model tonebath_base SQLiteCpp)
