# Headers that nearly every file of a target includes, compiled once. Not with a compiler launcher: a cache of
# object files does not look into precompiled headers, and is faster without.
function(aftercurve_precompile target)
    if(NOT CMAKE_CXX_COMPILER_LAUNCHER)
        target_precompile_headers(${target} PRIVATE ${ARGN})
    endif()
endfunction()
