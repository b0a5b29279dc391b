target_sources(tonebath_panels PRIVATE stones_due.cpp stones_panel.cpp stones_register.cpp stones_rows.cpp)
