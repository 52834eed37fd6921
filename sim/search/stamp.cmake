# Writes the stamp of the sources that outcomes depend on.
#   cmake -DFILES=<a|b|c> -DMADE_WITH=<compiler and flags> -DSTAMP=<header to write> -P stamp.cmake
cmake_minimum_required(VERSION 3.25)

string(REPLACE "|" ";" files "${FILES}")
set(sums "${MADE_WITH}")
foreach(file IN LISTS files)
    file(SHA256 ${file} sum)
    string(APPEND sums " ${sum}")
endforeach()
string(SHA256 stamp "${sums}")
file(WRITE ${STAMP} "/* Written by the build. */\n#define RN_SEARCH_STAMP \"${stamp}\"\n")
