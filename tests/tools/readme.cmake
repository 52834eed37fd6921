# Fails where README or DEVELOPERS name a file or a command that is not there.
#   cmake -DTREE=<top of the tree> -DRUNNEL=<the program> -P readme.cmake
cmake_minimum_required(VERSION 3.25)

foreach(page README.md DEVELOPERS.md)
    file(READ ${TREE}/${page} text)

    # links and pictures: [..](path); "](" is replaced because CMake's lists trip over brackets
    string(REPLACE "](" "@to(" linked "${text}")
    string(REGEX MATCHALL "@to\\([^):#]+\\)" links "${linked}")
    foreach(link IN LISTS links)
        string(REGEX REPLACE "^@to\\(([^)]*)\\)$" "\\1" path "${link}")
        if(NOT EXISTS ${TREE}/${path})
            message(SEND_ERROR "${page}: '${path}' is not there")
        endif()
    endforeach()

    # paths in backquotes
    string(REGEX MATCHALL "`(sim|viewer|tests|presets|docs)/[A-Za-z0-9_./-]+`" paths "${text}")
    foreach(path IN LISTS paths)
        string(REPLACE "`" "" path "${path}")
        if(NOT EXISTS ${TREE}/${path})
            message(SEND_ERROR "${page}: '${path}' is not there")
        endif()
    endforeach()

    # "runnel WORD" in code: every command named is one that the program helps with
    string(REGEX MATCHALL "(`|\n    +)[a-z/.]*runnel [a-z]+" commands "${text}")
    list(TRANSFORM commands REPLACE "^.*runnel " "")
    list(REMOVE_DUPLICATES commands)
    foreach(command IN LISTS commands)
        execute_process(COMMAND ${RUNNEL} help ${command} RESULT_VARIABLE status OUTPUT_QUIET ERROR_QUIET)
        if(NOT status EQUAL 0)
            message(SEND_ERROR "${page}: 'runnel help ${command}' ends with ${status}")
        endif()
    endforeach()
endforeach()
