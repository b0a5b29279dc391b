tonebath_test(app_bench
  SOURCES
    bench_layout_test.cpp
    bench_programs_test.cpp
    bench_typed_test.cpp
    kill_session.cpp
    views_empty_test.cpp
    views_corrected_test.cpp
    views_odd_test.cpp
  LINK tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base SQLiteCpp SQLite::SQLite3)

# Figures for the record, no test.
add_executable(app_measure bench_measure.cpp)
target_link_libraries(app_measure PRIVATE tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base tonebath_options tonebath_warnings)
set_tests_properties(app_bench PROPERTIES COST 200)  # long: begun early
