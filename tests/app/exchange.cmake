tonebath_test(app_exchange
  SOURCES exchange_test.cpp exchange_kill_test.cpp notebook_test.cpp
  LINK tonebath_app tonebath_store tonebath_model tonebath_base nlohmann_json::nlohmann_json SQLiteCpp)
