target_sources(tonebath_app PRIVATE label_number.cpp paper/air_sheet.cpp paper/bench_card.cpp paper/door_card.cpp paper/labels.cpp paper/paper.cpp)
target_link_libraries(tonebath_app PUBLIC tonebath_report)
