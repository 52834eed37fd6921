# Installs a built tree into a folder of its own, then configures, builds and runs a stranger's project on it.
#   cmake -DTREE=<top of the tree> -DBUILD=<its build folder> -DCONFIG=<build type> -P install.cmake
cmake_minimum_required(VERSION 3.25)

set(work ${BUILD}/install-test)
file(REMOVE_RECURSE ${work})
function(run)
    execute_process(COMMAND ${ARGV} RESULT_VARIABLE status OUTPUT_VARIABLE said ERROR_VARIABLE said)
    if(NOT status EQUAL 0)
        message(FATAL_ERROR "${ARGV}\nends with ${status}:\n${said}")
    endif()
endfunction()
run(${CMAKE_COMMAND} --install ${BUILD} --config ${CONFIG} --prefix ${work}/prefix)
run(${CMAKE_COMMAND} -S ${TREE}/tests/install -B ${work}/build -DCMAKE_PREFIX_PATH=${work}/prefix
    -DCMAKE_BUILD_TYPE=${CONFIG} -DHEADERS=${work}/prefix/include/runnel)
run(${CMAKE_COMMAND} --build ${work}/build --config ${CONFIG})
run(${work}/build/consumer)
run(${work}/prefix/bin/runnel help)
