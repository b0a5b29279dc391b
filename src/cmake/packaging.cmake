# What is installed, and the Debian package made of it: cmake --install, cpack.
include(GNUInstallDirs)
set(shared ${CMAKE_INSTALL_DATADIR}/tonebath)

install(TARGETS tonebath RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY data/ DESTINATION ${shared}/data PATTERN desktop EXCLUDE)
install(DIRECTORY checklists DESTINATION ${shared})
install(FILES README.md LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} OPTIONAL)
install(DIRECTORY docs/ DESTINATION ${CMAKE_INSTALL_DOCDIR} PATTERN tonebath.1 EXCLUDE PATTERN manual EXCLUDE)
install(DIRECTORY docs/manual DESTINATION ${shared}/docs OPTIONAL) # the window shows it
install(FILES docs/tonebath.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES data/desktop/tonebath.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES data/desktop/tonebath.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
install(FILES data/desktop/tonebath.png DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/256x256/apps)

set(CPACK_PACKAGE_NAME tonebath)
set(CPACK_PACKAGE_VENDOR "The Tonebath project")
set(CPACK_PACKAGE_CONTACT "The Tonebath project <tonebath@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY ${PROJECT_DESCRIPTION})
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_GENERATOR DEB)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# What the program looks for by itself while it runs; libraries are found by the line above.
set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-inter, fonts-dejavu-core, fonts-materialdesignicons-webfont, tzdata")
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "libgl1-mesa-dri")
include(CPack)
