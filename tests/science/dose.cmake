tonebath_test(dose
  SOURCES air_test.cpp capacity_test.cpp coat_plan_test.cpp cooling_test.cpp dose_test.cpp fade_test.cpp lanes_test.cpp promise_record_test.cpp splits_test.cpp spread_test.cpp
          strip_plan_test.cpp two_strips_test.cpp worked_examples_test.cpp
  LINK tonebath_science)
