# Warnings for our own targets only; errors in development builds, never in a user's build.
function(aftercurve_warnings target)
    target_compile_options(${target} PRIVATE
        -Wall -Wextra -Wpedantic -Wshadow -Wnon-virtual-dtor -Woverloaded-virtual -Wold-style-cast -Wcast-qual
        -Wformat=2 -Wdouble-promotion -Wimplicit-fallthrough ${ARGN})
    if(AFTERCURVE_WARNINGS_AS_ERRORS)
        target_compile_options(${target} PRIVATE -Werror)
    endif()
endfunction()
