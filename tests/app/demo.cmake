tonebath_test(demo
  SOURCES
    demo_fixture.cpp
    demo_test.cpp
    demo_baths_truth_test.cpp
    demo_classes_truth_test.cpp
    demo_join_truth_test.cpp
    demo_pieces_truth_test.cpp
    demo_stones_truth_test.cpp
  LINK tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base nlohmann_json::nlohmann_json SQLiteCpp fmt::fmt)
