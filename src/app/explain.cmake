target_sources(tonebath_app PRIVATE explain.cpp explain_compare.cpp explain_curves.cpp explain_drift.cpp explain_records.cpp)
