# Learning from strips and pieces: the regression engine, the classical fits, the tone model.
target_sources(tonebath_science PRIVATE
  ${CMAKE_CURRENT_LIST_DIR}/censored_regression.cpp
  ${CMAKE_CURRENT_LIST_DIR}/drift_watch.cpp
  ${CMAKE_CURRENT_LIST_DIR}/least_squares.cpp
  ${CMAKE_CURRENT_LIST_DIR}/mixed_data.cpp
  ${CMAKE_CURRENT_LIST_DIR}/mixed_forms.cpp
  ${CMAKE_CURRENT_LIST_DIR}/mixed_inner.cpp
  ${CMAKE_CURRENT_LIST_DIR}/mixed_regression.cpp
  ${CMAKE_CURRENT_LIST_DIR}/mixed_setup.cpp
  ${CMAKE_CURRENT_LIST_DIR}/noise_site.cpp
  ${CMAKE_CURRENT_LIST_DIR}/promise_record.cpp
  ${CMAKE_CURRENT_LIST_DIR}/quadrature.cpp
  ${CMAKE_CURRENT_LIST_DIR}/shift_search.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_account.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_dose.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_forms.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_model.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_plan.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_priors.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_rows.cpp
  ${CMAKE_CURRENT_LIST_DIR}/tone_worth.cpp)
