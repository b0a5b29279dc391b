tonebath_test(app_repeat
  SOURCES
    repeat_test.cpp
  LINK tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base SQLiteCpp)
