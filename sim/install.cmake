# What is installed, in three components: runtime (the program and its plans), viewer, dev (the library);
# and the packages made of them by cpack.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

install(TARGETS runnel RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT runtime)
install(DIRECTORY presets DESTINATION ${CMAKE_INSTALL_DATADIR}/runnel COMPONENT runtime
    FILES_MATCHING PATTERN "*.yaml")
install(FILES README.md LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT runtime)

install(FILES docs/runnel.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT runtime)

if(RUNNEL_VIEWER)
    install(TARGETS runnel_viewer RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT viewer)
    install(FILES docs/runnel-view.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT viewer)
endif()

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/runnel)
install(TARGETS runnel_sim EXPORT runnel-targets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT dev
    LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT dev
    FILE_SET HEADERS DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/runnel COMPONENT dev)
install(EXPORT runnel-targets NAMESPACE runnel:: DESTINATION ${package_dir} COMPONENT dev)
configure_package_config_file(sim/runnel-config.cmake.in ${PROJECT_BINARY_DIR}/runnel-config.cmake
    INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/runnel-config-version.cmake
    COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/runnel-config.cmake ${PROJECT_BINARY_DIR}/runnel-config-version.cmake
    DESTINATION ${package_dir} COMPONENT dev)

set(CPACK_GENERATOR DEB TGZ)
set(CPACK_PACKAGE_CONTACT "the runnel developers <runnel@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY ${PROJECT_DESCRIPTION})
set(CPACK_RESOURCE_FILE_LICENSE ${PROJECT_SOURCE_DIR}/LICENSE)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME runnel)
set(CPACK_DEBIAN_VIEWER_PACKAGE_NAME runnel-viewer)
set(CPACK_DEBIAN_DEV_PACKAGE_NAME librunnel-dev)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_VIEWER_PACKAGE_DEPENDS "runnel, fonts-sil-andika")
set(CPACK_DEBIAN_VIEWER_PACKAGE_SUGGESTS "zenity, fonts-routed-gothic, fonts-b612")
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS "libcairo2-dev, libpango1.0-dev, libwebp-dev, libyaml-dev, libfftw3-dev, libglib2.0-dev, libnlopt-dev")
set(CPACK_COMPONENTS_ALL runtime dev)
if(RUNNEL_VIEWER)
    list(APPEND CPACK_COMPONENTS_ALL viewer)
endif()
include(CPack)
