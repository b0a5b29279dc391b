tonebath_test(app_kill
  SOURCES
    coats_kill_test.cpp
    kill_session.cpp
    kill_test.cpp
  LINK tonebath_app tonebath_store tonebath_model tonebath_base SQLiteCpp SQLite::SQLite3)
tonebath_test(app_fuzz
  SOURCES fuzz_test.cpp ../fuzz/doors.cpp
  LINK tonebath_app tonebath_store tonebath_model tonebath_base SQLiteCpp)
