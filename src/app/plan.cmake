target_sources(tonebath_app PRIVATE batch_plan.cpp grade.cpp heat_choice.cpp matched.cpp plan_course.cpp rescue.cpp source_words.cpp stone_notes.cpp two_metals.cpp winter.cpp views/planning_view.cpp)
target_sources(tonebath_app PRIVATE reckoner.cpp views/explain_view.cpp views/findings_view.cpp views/matched_view.cpp views/mixed_view.cpp)
