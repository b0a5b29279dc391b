target_sources(tonebath_app PRIVATE
  exchange/columns.cpp exchange/csv.cpp exchange/export.cpp exchange/given.cpp exchange/import.cpp exchange/new_folder.cpp exchange/notebook.cpp exchange/notebook_rows.cpp
  exchange/read_rows.cpp exchange/schema.cpp)
target_link_libraries(tonebath_app PRIVATE nlohmann_json::nlohmann_json)
