# Version and folders. The version file is made at configure time from the project's own version.
configure_file(${CMAKE_CURRENT_SOURCE_DIR}/version.cpp.in ${CMAKE_CURRENT_BINARY_DIR}/version.cpp @ONLY)
target_sources(tonebath_base PRIVATE places.cpp ${CMAKE_CURRENT_BINARY_DIR}/version.cpp)
