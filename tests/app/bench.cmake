tonebath_test(app_bench
  SOURCES
    bench_layout_test.cpp
    bench_programs_test.cpp
    bench_typed_test.cpp
    kill_session.cpp
    views_empty_test.cpp
  LINK tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base SQLiteCpp SQLite::SQLite3)
