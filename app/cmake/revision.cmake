# AFTERCURVE_REVISION: short commit id of the checkout, "+" appended where tracked files were changed.
set(AFTERCURVE_REVISION "unknown")
find_package(Git QUIET)
if(GIT_FOUND AND EXISTS "${CMAKE_SOURCE_DIR}/.git")
    execute_process(COMMAND "${GIT_EXECUTABLE}" describe --always --dirty=+ --abbrev=10 --exclude=*
        WORKING_DIRECTORY "${CMAKE_SOURCE_DIR}" OUTPUT_VARIABLE described OUTPUT_STRIP_TRAILING_WHITESPACE
        ERROR_QUIET RESULT_VARIABLE status)
    if(status EQUAL 0 AND described)
        set(AFTERCURVE_REVISION "${described}")
    endif()
endif()
