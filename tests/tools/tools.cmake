# Checks of the tree itself.
set(tools ${CMAKE_CURRENT_SOURCE_DIR}/tools)
add_test(NAME tools.floors COMMAND ${CMAKE_COMMAND} -DTREE=${PROJECT_SOURCE_DIR} -P ${tools}/floors.cmake)
add_test(NAME tools.toplevel COMMAND ${CMAKE_COMMAND} -DTREE=${PROJECT_SOURCE_DIR} -P ${tools}/toplevel.cmake)
add_test(NAME tools.references COMMAND ${CMAKE_COMMAND} -DTREE=${PROJECT_SOURCE_DIR} -P ${tools}/references.cmake)
add_test(NAME tools.readme COMMAND ${CMAKE_COMMAND} -DTREE=${PROJECT_SOURCE_DIR} -DRUNNEL=$<TARGET_FILE:runnel>
    -DWORK=${CMAKE_CURRENT_BINARY_DIR}/readme -P ${tools}/readme.cmake)

# The library as others get it: installed, found by their CMake, every header compiled alone.
if(NOT RUNNEL_SANITIZE)
    add_test(NAME tools.install COMMAND ${CMAKE_COMMAND} -DTREE=${PROJECT_SOURCE_DIR} -DBUILD=${PROJECT_BINARY_DIR}
        -DCONFIG=$<CONFIG> -P ${tools}/install.cmake)
    add_test(NAME tools.headers
        COMMAND ${CMAKE_COMMAND} --build ${PROJECT_BINARY_DIR} --target all_verify_interface_header_sets)
    set_tests_properties(tools.install tools.headers PROPERTIES TIMEOUT ${patience})
endif()

# Pictures and tables of the docs are those of the tree as it is. Under watch they would take an hour.
if(RUNNEL_VIEWER AND NOT RUNNEL_SANITIZE)
    add_executable(pictures ${tools}/pictures.c)
    target_link_libraries(pictures PRIVATE runnel_flags PkgConfig::CAIRO)
    add_test(NAME tools.docs
        COMMAND ${tools}/docs.sh ${PROJECT_BINARY_DIR} ${PROJECT_SOURCE_DIR} $<TARGET_FILE:pictures>)
    set_tests_properties(tools.docs PROPERTIES TIMEOUT 2400 COST 1000) # the longest: it begins first
endif()

# The floors check finds what is planted for it, and nothing in a sound tree.
add_test(NAME tools.floors_sound COMMAND ${CMAKE_COMMAND} -DTREE=${tools}/planted/sound -P ${tools}/floors.cmake)
set(said_upward "is on a higher floor")
set(said_neighbour "is the neighbour on the same floor")
set(said_window "names SDL")
foreach(fault upward neighbour window)
    add_test(NAME tools.floors_${fault}
        COMMAND ${CMAKE_COMMAND} -DTREE=${tools}/planted/${fault} -P ${tools}/floors.cmake)
    set_tests_properties(tools.floors_${fault} PROPERTIES PASS_REGULAR_EXPRESSION "${said_${fault}}")
endforeach()

# Every preset meets what it expects of itself, and is forecast as it was: the figures stand in a file of their own, since a
# painter wants no more waste than need be, and no less coverage than can be had.
set(figures ${PROJECT_SOURCE_DIR}/tests/plans/figures.txt)
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${figures})
file(STRINGS ${figures} figures)
file(GLOB presets CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/presets/*.yaml)
foreach(preset IN LISTS presets)
    cmake_path(GET preset STEM name)
    set(more)
    foreach(figure IN LISTS figures)
        if(figure MATCHES "^${name}: (.+)$")
            list(APPEND more --set "expect.${CMAKE_MATCH_1}")
        endif()
    endforeach()
    add_test(NAME presets.${name} COMMAND runnel check ${preset} ${more})
    set_tests_properties(presets.${name} PROPERTIES LABELS presets TIMEOUT ${patience})
endforeach()

# One falls short on purpose, and says so.
add_test(NAME presets.too-little_falls_short COMMAND runnel check ${PROJECT_SOURCE_DIR}/presets/too-little.yaml)
set_tests_properties(presets.too-little_falls_short PROPERTIES LABELS presets TIMEOUT ${patience}
    PASS_REGULAR_EXPRESSION "1 of 3 met")

# Studies shared between machines, by the recipes of docs/sharing.md.
add_test(NAME tools.share COMMAND ${CMAKE_CURRENT_LIST_DIR}/share.sh $<TARGET_FILE:runnel> ${PROJECT_SOURCE_DIR})
set_tests_properties(tools.share PROPERTIES TIMEOUT ${patience})

# The window program: without a window, and with a real one on a screen of its own.
if(RUNNEL_VIEWER)
    add_test(NAME viewer.command COMMAND ${CMAKE_CURRENT_LIST_DIR}/view.sh $<TARGET_FILE:runnel_viewer>
        ${PROJECT_SOURCE_DIR} ${PROJECT_BINARY_DIR} ${CMAKE_COMMAND})
    set_tests_properties(viewer.command PROPERTIES LABELS viewer TIMEOUT 300)
    add_test(NAME viewer.window COMMAND ${CMAKE_CURRENT_LIST_DIR}/window.sh $<TARGET_FILE:runnel_viewer>
        ${PROJECT_SOURCE_DIR})
    set_tests_properties(viewer.window PROPERTIES LABELS viewer TIMEOUT ${patience})
endif()
