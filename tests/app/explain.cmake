tonebath_test(app_explain
  SOURCES
    demo_fixture.cpp
    explain_rates.cpp
    explain_rates_test.cpp
    explain_test.cpp
    faults_studio.cpp
    stone_rates_test.cpp
  LINK tonebath_app tonebath_store tonebath_science tonebath_model tonebath_base nlohmann_json::nlohmann_json SQLiteCpp fmt::fmt)
