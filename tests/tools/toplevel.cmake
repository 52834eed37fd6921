# Fails where the top of the tree holds more than it should.
#   cmake -DTREE=<top of the tree> -P toplevel.cmake
file(GLOB entries RELATIVE ${TREE} ${TREE}/*)
set(allowed README.md DEVELOPERS.md CMakeLists.txt LICENSE sim viewer tests presets docs build)
foreach(entry IN LISTS entries)
    if(NOT entry IN_LIST allowed AND NOT entry MATCHES "^\\.")
        message(SEND_ERROR "'${entry}' does not belong at the top level")
    endif()
endforeach()
foreach(entry README.md DEVELOPERS.md LICENSE sim viewer tests presets docs)
    if(NOT EXISTS ${TREE}/${entry})
        message(SEND_ERROR "'${entry}' is missing")
    endif()
endforeach()
