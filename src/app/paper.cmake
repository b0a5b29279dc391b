target_sources(tonebath_app PRIVATE
  label_number.cpp paper/air_sheet.cpp paper/bench_card.cpp paper/cards.cpp paper/door_card.cpp paper/labels.cpp paper/pack_gaps.cpp
  paper/pack_report.cpp paper/paper.cpp paper/paper_forms.cpp paper/period.cpp paper/record_pack.cpp)
target_link_libraries(tonebath_app PUBLIC tonebath_report)
