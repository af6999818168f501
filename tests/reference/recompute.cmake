# Runs the headless program on invented studies, and recompute.R on what it writes: every number must agree. Then alters
# a reported number, and a sample, and the script must say so.
#     cmake -DRUN=aftercurve-run -DRSCRIPT=Rscript -DPYTHON=python3 -DROOT=. -DOUT=folder [-DEVERY=ON] -P recompute.cmake
# EVERY: all studies of recompute_studies.py, not only those that the suite runs (cmake -DAFTERCURVE_RECOMPUTE_ALL=ON).
file(REMOVE_RECURSE "${OUT}")
file(MAKE_DIRECTORY "${OUT}/studies")
execute_process(COMMAND "${PYTHON}" "${ROOT}/tests/reference/recompute_studies.py" "${OUT}/studies"
    RESULT_VARIABLE status OUTPUT_VARIABLE names OUTPUT_STRIP_TRAILING_WHITESPACE)
if(NOT status EQUAL 0)
    message(FATAL_ERROR "recompute_studies.py failed: ${status}")
endif()
string(REPLACE "\n" ";" names "${names}")
if(NOT EVERY)
    # The others take three minutes more.
    set(names missing-span determinations ties equal-differences odd-codes crossover-incomplete
        blocks-kenward-roger margins choices-tukey choices-carry-over portions insulin-units insulin-odd
        digestion digestion-odd digestion-percent digestion-dunnett digestion-apart digestion-excluded
        fibre fibre-odd fibre-one fibre-excluded diary diary-doses diary-zero diary-one-subject diary-one-arm)
endif()
set(studies "${ROOT}/sample_studies/barley-index" "${ROOT}/sample_studies/pulse-wafer-crossover"
    "${ROOT}/sample_studies/seaweed-bread-breakfast" "${ROOT}/sample_studies/kelp-barley-crisps")
foreach(name IN LISTS names)
    list(APPEND studies "${OUT}/studies/${name}")
endforeach()

# Runs the script in `folder`; its exit status and what it printed.
function(recompute folder locale)
    execute_process(COMMAND "${CMAKE_COMMAND}" -E env "LC_ALL=${locale}" "${RSCRIPT}" recompute.R
        WORKING_DIRECTORY "${folder}" RESULT_VARIABLE status OUTPUT_VARIABLE printed ERROR_VARIABLE said)
    set(status "${status}" PARENT_SCOPE)
    set(printed "${printed}" PARENT_SCOPE)
    set(said "${said}" PARENT_SCOPE)
endfunction()

set(failed "")
foreach(study IN LISTS studies)
    get_filename_component(name "${study}" NAME)
    execute_process(COMMAND "${RUN}" analyse "${study}" --out "${OUT}/results/${name}" --no-figures
        RESULT_VARIABLE status OUTPUT_QUIET ERROR_VARIABLE said)
    # 4: some part could not be estimated.
    if(NOT status EQUAL 0 AND NOT status EQUAL 4)
        message(FATAL_ERROR "aftercurve-run ${name}: ${status}\n${said}")
    endif()
    set(locales C)
    if(name STREQUAL "odd-codes")
        list(APPEND locales C.UTF-8)
    endif()
    foreach(locale IN LISTS locales)
        recompute("${OUT}/results/${name}/recompute" ${locale})
        string(REGEX MATCH "[0-9]+ numbers reported: ([0-9]+) agree, [0-9]+ do not, [0-9]+ not recomputed" line "${printed}")
        message(STATUS "${name}, ${locale}: ${line}")
        if(NOT status EQUAL 0 OR NOT line MATCHES "^([0-9]+) numbers reported: ([0-9]+) agree, 0 do not, "
                OR CMAKE_MATCH_2 EQUAL 0 OR NOT said STREQUAL "")
            string(REGEX MATCHALL "[^\n]*\tNO\n" no "${printed}")
            message(STATUS "${name}: exit ${status}\n${no}\n${said}")
            list(APPEND failed "${name}")
        endif()
    endforeach()
endforeach()
if(failed)
    message(FATAL_ERROR "not recomputed alike: ${failed}")
endif()

# A script that always agrees would be worth nothing.
function(must_disagree file before after)
    set(folder "${OUT}/altered")
    file(REMOVE_RECURSE "${folder}")
    file(COPY "${OUT}/results/ties/recompute/" DESTINATION "${folder}")
    file(READ "${folder}/${file}" text)
    string(REGEX REPLACE "${before}" "${after}" altered "${text}")
    if(altered STREQUAL text)
        message(FATAL_ERROR "${file}: nothing to alter")
    endif()
    file(WRITE "${folder}/${file}" "${altered}")
    recompute("${folder}" C)
    if(NOT status EQUAL 1)
        message(FATAL_ERROR "${file} was altered, and the script's exit status is ${status}: ${said}")
    endif()
endfunction()
must_disagree(reported.csv "(wilcoxon_p,0\\.[0-9][0-9][0-9])[0-9]" "\\10")
must_disagree(reported.csv "(,area_total,[0-9]+\\.)" "\\11")
must_disagree(samples.csv "(,30,30,[0-9]+,)0x[0-9a-fp.+]+" "\\10x1.8p+2")
must_disagree(plan.csv "alpha,0.05" "alpha,0.06")
