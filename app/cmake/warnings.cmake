# Warnings for our own targets only; errors in development builds, never in a user's build.
function(aftercurve_warnings target)
    target_compile_options(${target} PRIVATE
        -Wall -Wextra -Wpedantic -Wshadow -Wnon-virtual-dtor -Woverloaded-virtual -Wold-style-cast -Wcast-qual
        -Wformat=2 -Wdouble-promotion -Wimplicit-fallthrough ${ARGN})
    if(AFTERCURVE_WARNINGS_AS_ERRORS)
        target_compile_options(${target} PRIVATE -Werror)
        if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
            # GCC 12 finds these in inlined library code where there is nothing (std::string's operator+ above all).
            target_compile_options(${target} PRIVATE -Wno-error=array-bounds -Wno-error=stringop-overflow
                -Wno-error=stringop-overread -Wno-error=restrict)
        endif()
    endif()
endfunction()
