tonebath_test(learn
  SOURCES ${CMAKE_CURRENT_LIST_DIR}/calibration_long_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/calibration_smoke_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/censored_regression_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/drift_watch_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/least_squares_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/mixed_regression_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/noise_site_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/tone_account_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/tone_calibration_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/tone_dose_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/tone_model_test.cpp
          ${CMAKE_CURRENT_LIST_DIR}/tone_shape_test.cpp
  LINK tonebath_science nlohmann_json::nlohmann_json Boost::headers)
