# Runs SCRIPT with OUT as its folder and compares each of FILES with the one that is committed.
file(MAKE_DIRECTORY "${OUT}")
execute_process(COMMAND "${RSCRIPT}" "${SCRIPT}" "${OUT}" WORKING_DIRECTORY "${ROOT}" RESULT_VARIABLE status)
if(NOT status EQUAL 0)
    message(FATAL_ERROR "${SCRIPT} failed: ${status}")
endif()
foreach(name IN LISTS FILES)
    execute_process(COMMAND "${CMAKE_COMMAND}" -E compare_files "${OUT}/${name}" "${ROOT}/tests/reference/${name}"
        RESULT_VARIABLE differs)
    if(differs)
        message(FATAL_ERROR "${OUT}/${name} differs from tests/reference/${name}")
    endif()
endforeach()
