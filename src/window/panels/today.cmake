target_sources(tonebath_panels PRIVATE first_steps.cpp today_panel.cpp)
