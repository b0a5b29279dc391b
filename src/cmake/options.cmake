# Flags live here and only here: link tonebath_options (public) and tonebath_warnings (private).
add_library(tonebath_options INTERFACE)
target_include_directories(tonebath_options INTERFACE ${CMAKE_SOURCE_DIR}/src)
target_compile_features(tonebath_options INTERFACE cxx_std_20)
if(TONEBATH_SANITIZE)
  target_compile_options(tonebath_options INTERFACE -fsanitize=${TONEBATH_SANITIZE} -fno-omit-frame-pointer
                                                    -fno-sanitize-recover=all)
  target_link_options(tonebath_options INTERFACE -fsanitize=${TONEBATH_SANITIZE})
endif()

add_library(tonebath_warnings INTERFACE)
target_compile_options(tonebath_warnings INTERFACE
  -Wall -Wextra -Wshadow -Wconversion -Wsign-conversion -Wold-style-cast -Wdouble-promotion
  -Wswitch-enum -Wnull-dereference -Wnon-virtual-dtor -Woverloaded-virtual -Wcast-align -Wunused
  -Wno-missing-field-initializers) # designated initialisers leave the rest at its default on purpose
if(TONEBATH_WERROR)
  target_compile_options(tonebath_warnings INTERFACE -Werror)
endif()

# tonebath_layer(NAME SOURCES ... LINK ... PRIVATE_LINK ...): one static library a layer.
function(tonebath_layer name)
  cmake_parse_arguments(ARG "" "" "SOURCES;LINK;PRIVATE_LINK" ${ARGN})
  add_library(tonebath_${name} STATIC ${ARG_SOURCES})
  target_link_libraries(tonebath_${name} PUBLIC tonebath_options ${ARG_LINK} PRIVATE tonebath_warnings ${ARG_PRIVATE_LINK})
endfunction()
