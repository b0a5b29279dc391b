# Every package the project uses, from the system. Nothing is downloaded here: see packages.txt and install.sh.
find_package(Threads REQUIRED)
find_package(Eigen3 3.4 REQUIRED NO_MODULE)
find_package(Boost 1.74 REQUIRED)
find_package(SQLite3 3.40 REQUIRED)
find_package(SQLiteCpp REQUIRED)
find_package(fmt 9 REQUIRED)
find_package(nlohmann_json 3.11 REQUIRED)
find_package(tomlplusplus 3.3 REQUIRED)
find_package(CLI11 2.1 REQUIRED)
find_package(date REQUIRED)

# Dear ImGui: a static library whose pkg-config file puts freetype before the library that needs it,
# so it gets imported targets of our own. Panels and tests link imgui_core (no display needed).
find_package(glfw3 3.3 REQUIRED)
find_package(OpenGL REQUIRED COMPONENTS OpenGL)
find_package(Freetype REQUIRED)
find_package(OpenAL REQUIRED)
find_library(IMGUI_LIB NAMES libimgui.a REQUIRED)
find_path(IMGUI_INC imgui.h PATH_SUFFIXES imgui REQUIRED)
find_library(STB_LIB stb REQUIRED)
add_library(imgui_core STATIC IMPORTED)
set_target_properties(imgui_core PROPERTIES IMPORTED_LOCATION ${IMGUI_LIB})
target_include_directories(imgui_core SYSTEM INTERFACE ${IMGUI_INC} ${IMGUI_INC}/backends)
target_link_libraries(imgui_core INTERFACE ${STB_LIB} Freetype::Freetype)
add_library(imgui_glfw INTERFACE)
target_link_libraries(imgui_glfw INTERFACE imgui_core glfw OpenGL::OpenGL ${CMAKE_DL_LIBS})

# Paper: letters, lines and QR codes of the PDFs.
find_package(PkgConfig REQUIRED)
pkg_check_modules(paper REQUIRED IMPORTED_TARGET pangocairo cairo-pdf libqrencode)

# Photographs. HEIC can be left out, because its library's package brings a GPL encoder along.
find_package(JPEG REQUIRED)
find_package(PNG 1.6.32 REQUIRED)
find_package(TIFF 4.5 REQUIRED)
pkg_check_modules(photo REQUIRED IMPORTED_TARGET lcms2 libexif)
option(TONEBATH_HEIC "Read HEIC photographs" ON)
if(TONEBATH_HEIC)
  pkg_check_modules(heif IMPORTED_TARGET libheif>=1.12)
  if(NOT heif_FOUND)
    message(WARNING "libheif is not found: HEIC photographs will not be read (package libheif-dev)")
  endif()
endif()

if(TONEBATH_TESTS)
  find_package(Catch2 2.13 REQUIRED)
  find_package(rapidcheck REQUIRED)
endif()
