# SPDX-License-Identifier: MIT
#
# Tests of the house itself: its arrows, what core calls, its layout, its public headers. The label
# `once` marks tests that the sanitizer build has nothing to add to, `slow` those of run.sh --all, `long`
# those of run.sh --long, which ctest runs only as `ctest -C long`.

# house_test(NAME LABELS command...)
function(house_test name labels)
  if("long" IN_LIST labels)
    add_test(NAME ${name} COMMAND ${ARGN} CONFIGURATIONS long)
  else()
    add_test(NAME ${name} COMMAND ${ARGN})
  endif()
  set_tests_properties(${name} PROPERTIES LABELS "${labels}" SKIP_RETURN_CODE 77)
endfunction()

house_test(house.arrows "house;once"
  sh ${CMAKE_CURRENT_SOURCE_DIR}/arrows/test.sh ${CMAKE_SOURCE_DIR})

house_test(house.words "house;once"
  sh ${CMAKE_CURRENT_SOURCE_DIR}/words/test.sh ${CMAKE_SOURCE_DIR})

house_test(house.format "house;once"
  sh ${CMAKE_CURRENT_SOURCE_DIR}/format/test.sh ${CMAKE_SOURCE_DIR})

add_library(core_symbols_planted STATIC core_symbols/planted.c)
target_link_libraries(core_symbols_planted PRIVATE PkgConfig::GLIB)
house_test(house.core_symbols "house;once"
  sh ${CMAKE_CURRENT_SOURCE_DIR}/core_symbols/test.sh ${CMAKE_SOURCE_DIR}
     $<TARGET_FILE:core> $<TARGET_FILE:core_symbols_planted>)

# Every public header compiles by itself, first in its file, with pedantic warnings.
file(GLOB public_headers CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR}/include
     ${CMAKE_SOURCE_DIR}/include/simpling/*.h ${CMAKE_SOURCE_DIR}/include/simpling/record/*.h)
set(header_sources)
foreach(header ${public_headers})
  string(MAKE_C_IDENTIFIER ${header} stem)
  set(header_source ${CMAKE_CURRENT_BINARY_DIR}/headers/${stem}.c)
  file(CONFIGURE OUTPUT ${header_source} CONTENT "#include \"${header}\"\n#include \"${header}\"\nextern int ${stem};\n")
  list(APPEND header_sources ${header_source})
endforeach()
add_library(public_headers OBJECT ${header_sources})
if(SIMPLING_SANITIZE OR SIMPLING_COVERAGE)
  set_target_properties(public_headers PROPERTIES EXCLUDE_FROM_ALL ON) # the plain build tells it
endif()
target_include_directories(public_headers PRIVATE ${CMAKE_SOURCE_DIR}/include)
target_link_libraries(public_headers PRIVATE PkgConfig::GLIB)
target_compile_options(public_headers PRIVATE -Wpedantic)

# Faults under SQLite: a library for the tests of whatever writes a book.
add_library(fault STATIC fault/fault_vfs.c fault/fault_disk.c fault/fault_loop.c)
target_include_directories(fault PUBLIC ${CMAKE_CURRENT_SOURCE_DIR} ${CMAKE_CURRENT_SOURCE_DIR}/fault
                           ${CMAKE_SOURCE_DIR}/include)
target_link_libraries(fault PUBLIC PkgConfig::GLIB PkgConfig::SQLITE PkgConfig::CMOCKA base m)
add_executable(fault_harness fault/test_harness.c)
target_link_libraries(fault_harness PRIVATE fault)
house_test(fault.harness "fault" fault_harness)

set(tidy sh ${CMAKE_CURRENT_SOURCE_DIR}/lint/tidy.sh ${CMAKE_SOURCE_DIR} ${CMAKE_BINARY_DIR})
house_test(lint.tidy_reading "lint;slow;once" ${tidy} 40000 base book exchange)
house_test(lint.tidy_season "lint;slow;once" ${tidy} 20000 season)
house_test(lint.tidy_others "lint;slow;once" ${tidy} 20000 others base book exchange season)
# As deep as the analyzer goes by itself.
house_test(lint.tidy_deep "lint;long" ${tidy} 225000 others)
house_test(lint.cppcheck "lint;slow;once"
  sh ${CMAKE_CURRENT_SOURCE_DIR}/lint/cppcheck.sh ${CMAKE_SOURCE_DIR})
set_tests_properties(lint.tidy_reading lint.tidy_season lint.tidy_others lint.cppcheck PROPERTIES
                     TIMEOUT 1200)
set_tests_properties(lint.tidy_deep PROPERTIES TIMEOUT 7200)

# Defects planted in core, each of which must break its test.
house_test(core.mutants "core;once"
  sh ${CMAKE_SOURCE_DIR}/tests/mutants/test.sh ${CMAKE_SOURCE_DIR} ${CMAKE_BINARY_DIR})
# Without the random verdicts, whose paths core.verdict goes too.
list(TRANSFORM core_tests REPLACE "(.+)" "$<TARGET_FILE:\\1>" OUTPUT_VARIABLE core_programs)
list(FILTER core_programs EXCLUDE REGEX "verdict_(property|runs)")
house_test(core.memcheck "core;slow;once"
  sh ${CMAKE_SOURCE_DIR}/tests/core/memcheck.sh ${core_programs})
set_tests_properties(core.memcheck PROPERTIES TIMEOUT 1200)
add_executable(fault_writer fault/test_writer.c)
target_link_libraries(fault_writer PRIVATE fault)
target_include_directories(fault_writer PRIVATE ${CMAKE_SOURCE_DIR}/src)
target_link_options(fault_writer PRIVATE -Wl,--wrap=write,--wrap=fsync,--wrap=rename)
house_test(fault.writer "fault" fault_writer)

# Fuzz targets, replayed over what their archives hold: the seeds with fixed changes of each, and what
# the fuzzer kept as it is. SIMPLING_FUZZ builds them for libFuzzer instead (tests/fuzz/run.sh).
# fuzz_target(NAME ROOM more seeds...)
add_library(fuzz_shared STATIC fuzz/fuzz.c)
target_link_libraries(fuzz_shared PUBLIC base)
target_include_directories(fuzz_shared PUBLIC ${CMAKE_CURRENT_SOURCE_DIR}/fuzz)
file(GLOB fuzz_archives CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/fuzz/corpus/*.tar.gz)
function(fuzz_target name room)
  set(archive ${CMAKE_CURRENT_SOURCE_DIR}/fuzz/corpus/${name}.tar.gz)
  set(corpus ${CMAKE_CURRENT_BINARY_DIR}/corpus/${name})
  add_executable(fuzz_${name} fuzz/fuzz_${name}.c)
  target_link_libraries(fuzz_${name} PRIVATE fuzz_shared ${room} m)
  if(SIMPLING_COVERAGE)
    set_target_properties(fuzz_${name} PROPERTIES EXCLUDE_FROM_ALL ON) # coverage.sh runs none
  endif()
  if(archive IN_LIST fuzz_archives)
    add_custom_command(OUTPUT ${corpus}.unpacked DEPENDS ${archive}
      COMMAND ${CMAKE_COMMAND} -E rm -rf ${corpus}
      COMMAND ${CMAKE_COMMAND} -E make_directory ${corpus}
      COMMAND ${CMAKE_COMMAND} -E chdir ${corpus} ${CMAKE_COMMAND} -E tar xf ${archive}
      COMMAND ${CMAKE_COMMAND} -E touch ${corpus}.unpacked)
    add_custom_target(corpus_${name} DEPENDS ${corpus}.unpacked)
    add_dependencies(fuzz_${name} corpus_${name})
  endif()
  if(SIMPLING_FUZZ)
    target_link_options(fuzz_${name} PRIVATE -fsanitize=fuzzer)
    return()
  endif()
  target_sources(fuzz_${name} PRIVATE fuzz/replay.c)
  if(archive IN_LIST fuzz_archives)
    house_test(fuzz.${name}_kept "fuzz" fuzz_${name} 0 ${corpus}/kept)
    list(APPEND ARGN ${corpus}/seeds)
  endif()
  house_test(fuzz.${name} "fuzz" fuzz_${name} ${fuzz_changes} ${ARGN})
endfunction()
set(fuzz_changes 40) # copies of each seed
fuzz_target(values base)
fuzz_target(wkt core)
fuzz_target(csv exchange ${CMAKE_SOURCE_DIR}/data/presses.csv ${CMAKE_SOURCE_DIR}/data/hazards.csv)
fuzz_target(weather exchange)
fuzz_target(shapefile exchange)
fuzz_target(gpx exchange)
fuzz_target(geojson exchange)
add_executable(seeds_shapefile EXCLUDE_FROM_ALL fuzz/seeds_shapefile.c)
target_link_libraries(seeds_shapefile PRIVATE PkgConfig::GLIB m)
fuzz_target(ical exchange ${CMAKE_CURRENT_SOURCE_DIR}/data/ical ${CMAKE_SOURCE_DIR}/calendars)
target_compile_definitions(fuzz_ical PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
# Photos are made when the tests are built.
set(photos ${CMAKE_CURRENT_BINARY_DIR}/photo_seeds)
add_executable(seeds_photo fuzz/seeds_photo.c)
target_include_directories(seeds_photo PRIVATE ${CMAKE_CURRENT_SOURCE_DIR})
target_link_libraries(seeds_photo PRIVATE exchange)
add_custom_command(OUTPUT ${photos}/two.png COMMAND ${CMAKE_COMMAND} -E make_directory ${photos}
                   COMMAND seeds_photo ${photos} DEPENDS seeds_photo)
add_custom_target(photo_seeds DEPENDS ${photos}/two.png)
fuzz_target(photo exchange ${photos})
add_dependencies(fuzz_photo photo_seeds)
set(fuzz_changes 2) # each is a whole book; the fuzzer itself is run by hand
fuzz_target(book season)
fuzz_target(notes season ${CMAKE_CURRENT_SOURCE_DIR}/command/samples/notes.txt
            ${CMAKE_SOURCE_DIR}/data/manual/notes.md ${CMAKE_CURRENT_SOURCE_DIR}/data/note_lines.csv)
target_compile_definitions(fuzz_notes PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
target_link_libraries(fuzz_book PRIVATE PkgConfig::SQLITE)
target_compile_definitions(fuzz_book PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}")

add_executable(fault_book fault/test_book.c fault/fault_check.c)
target_link_libraries(fault_book PRIVATE fault book)
target_compile_definitions(fault_book PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
# Under the sanitizers in few steps; what the plain build does in more of them is the same and beyond.
if(SIMPLING_SANITIZE)
  house_test(fault.book "fault;slow" fault_book)
  set_tests_properties(fault.book PROPERTIES TIMEOUT 3000)
endif()
house_test(fault.every_schema "fault;slow;once" fault_book earlier_schemas*)
set_tests_properties(fault.every_schema PROPERTIES TIMEOUT 3000 ENVIRONMENT "SIMPLING_FAULT=wide")
house_test(fault.every_schema_step "fault;long" fault_book)
set_tests_properties(fault.every_schema_step PROPERTIES TIMEOUT 7200 ENVIRONMENT "SIMPLING_FAULT=all")

# The finished program under faults. Not in the sanitizer build, whose runtime must be loaded first.
add_library(fault_preload MODULE fault/fault_preload.c fault/fault_vfs.c fault/fault_disk.c)
target_link_libraries(fault_preload PRIVATE PkgConfig::GLIB PkgConfig::SQLITE)
add_library(fault_program STATIC fault/fault_program.c)
target_link_libraries(fault_program PUBLIC fault)
target_compile_definitions(fault_program PRIVATE FAULT_PROGRAM="$<TARGET_FILE:simpling>"
                           FAULT_PRELOAD="$<TARGET_FILE:fault_preload>")
add_executable(fault_commands fault/test_commands.c fault/fault_check.c)
target_link_libraries(fault_commands PRIVATE fault_program command)
target_compile_definitions(fault_commands PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
add_executable(fault_kill fault/test_kill.c)
target_link_libraries(fault_kill PRIVATE fault_program book)
foreach(test fault_commands fault_kill)
  add_dependencies(${test} simpling fault_preload)
endforeach()
if(NOT SIMPLING_SANITIZE)
  house_test(fault.commands "fault" fault_commands)
  house_test(fault.every_command "fault;slow" fault_commands)
  set_tests_properties(fault.every_command PROPERTIES TIMEOUT 3000
                       ENVIRONMENT "SIMPLING_FAULT=wide")
  house_test(fault.every_command_step "fault;long" fault_commands)
  set_tests_properties(fault.every_command_step PROPERTIES TIMEOUT 7200 ENVIRONMENT "SIMPLING_FAULT=all")
endif()
house_test(fault.kill "fault" fault_kill)
house_test(fault.kill_many "fault;long" fault_kill)
set_tests_properties(fault.kill_many PROPERTIES TIMEOUT 600 ENVIRONMENT "SIMPLING_KILLS=500")
house_test(fault.disk "fault"
  sh ${CMAKE_CURRENT_SOURCE_DIR}/fault/disk.sh $<TARGET_FILE:simpling>)

house_test(house.pages "house;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/pages/test.sh
  $<TARGET_FILE:simpling> ${PAGES} $<TARGET_FILE:write_pages> ${CMAKE_SOURCE_DIR})

# Who is let in at the desk, by raw sockets.
house_test(desk.door "desk;slow" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/door.py $<TARGET_FILE:simpling>)
# And killed while forms are sent to it.
# Full disk, a book of an earlier version.
house_test(desk.trouble "desk;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/trouble.py $<TARGET_FILE:simpling> ${CMAKE_SOURCE_DIR})
# Its memory, and requests made wrong at random: the latter says something in a build with the sanitizers.
house_test(desk.memory "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/memory.py $<TARGET_FILE:simpling> 800)
house_test(desk.memory_long "desk;long" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/memory.py $<TARGET_FILE:simpling> 10000)
# By hand: a machine that does other things beside it has its part in it.
house_test(desk.fast "desk;long" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/fast.py $<TARGET_FILE:simpling>
  ${CMAKE_CURRENT_BINARY_DIR}/bench_big_book)
house_test(fuzz.desk "fuzz;long" python3 ${CMAKE_CURRENT_SOURCE_DIR}/fuzz/desk.py $<TARGET_FILE:simpling> 900)
set_tests_properties(desk.memory_long fuzz.desk PROPERTIES TIMEOUT 3600)
# Every form from one page, and what some of them write.
house_test(desk.forms "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/forms.py $<TARGET_FILE:simpling>)
# A way in it for every row of the table of commands; the plan made there, and a search that is stopped.
house_test(desk.ways "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/ways.py $<TARGET_FILE:simpling> ${CMAKE_SOURCE_DIR})
# Files sent to it, forty of them hostile.
house_test(desk.papers "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/papers.py $<TARGET_FILE:simpling>)
house_test(desk.tour "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/tour.py $<TARGET_FILE:simpling>)
house_test(desk.tables "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/tables.py $<TARGET_FILE:simpling>)
house_test(desk.uploads "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/uploads.py $<TARGET_FILE:simpling>)
set_tests_properties(desk.uploads PROPERTIES TIMEOUT 600)
house_test(desk.downloads "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/downloads.py $<TARGET_FILE:simpling>)
house_test(desk.kill "desk;slow;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/kill.py $<TARGET_FILE:simpling> 20)
house_test(desk.kill_many "desk;long" python3 ${CMAKE_CURRENT_SOURCE_DIR}/desk/kill.py $<TARGET_FILE:simpling> 500)
set_tests_properties(desk.door desk.kill PROPERTIES TIMEOUT 300)
set_tests_properties(desk.kill_many PROPERTIES TIMEOUT 3600)

# Every command's JSON against its schema, by another program's validator.
house_test(house.answers "house;slow;once" /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/pages/answers.py
  $<TARGET_FILE:simpling> ${PAGES}/bash/simpling ${CMAKE_SOURCE_DIR})

# Plans of outings of invented books against what the book says elsewhere; thirty by hand with the
# number 30.
house_test(outside.plan "outside;slow;once" /usr/bin/python3
  ${CMAKE_CURRENT_SOURCE_DIR}/outside/plan/check_plan.py $<TARGET_FILE:simpling>
  ${CMAKE_SOURCE_DIR} 4 11)

# The tables through another program's reader of CSV, and an own row that it wrote.
house_test(outside.tables_by_python "outside;once" /usr/bin/python3
  ${CMAKE_CURRENT_SOURCE_DIR}/outside/tables_by_python.py $<TARGET_FILE:simpling> ${CMAKE_SOURCE_DIR})

house_test(install.works "install;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/install/test.sh
  ${CMAKE_SOURCE_DIR} ${CMAKE_BINARY_DIR})
house_test(install.reproducible "install;long;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/install/reproducible.sh
  ${CMAKE_SOURCE_DIR})
house_test(install.package "install;slow;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/install/test.sh
  ${CMAKE_SOURCE_DIR} ${CMAKE_BINARY_DIR} deb)
get_property(all_targets DIRECTORY ${CMAKE_SOURCE_DIR} PROPERTY BUILDSYSTEM_TARGETS)
set(helpers)
foreach(target ${all_targets})
  if(target MATCHES "^simpling-")
    list(APPEND helpers $<TARGET_FILE:${target}>)
  endif()
endforeach()
house_test(install.light "install;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/install/light.sh
  $<TARGET_FILE:simpling> ${helpers})
house_test(install.packages "install;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/install/packages.sh
  ${CMAKE_SOURCE_DIR})
# Of a build that optimises and has no sanitizer: that is what is installed.
set(rooms)
foreach(room base core book exchange picture season command desk)
  list(APPEND rooms $<TARGET_FILE:${room}>)
endforeach()
house_test(install.hardening "install;slow;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/install/hardening.sh
  $<TARGET_FILE:simpling> ${helpers} -- ${rooms})

# For tests/bench/run.sh, built when asked for.
add_executable(bench_side EXCLUDE_FROM_ALL bench/side.c)
target_link_libraries(bench_side PRIVATE PkgConfig::GLIB)
add_executable(bench_cost EXCLUDE_FROM_ALL bench/cost.c)
target_link_libraries(bench_cost PRIVATE PkgConfig::GLIB)
if(TARGET book)
  add_executable(bench_big_book EXCLUDE_FROM_ALL bench/big_book.c)
  target_link_libraries(bench_big_book PRIVATE book m)
  target_compile_definitions(bench_big_book PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
  add_executable(bench_big_calendar EXCLUDE_FROM_ALL bench/big_calendar.c)
  target_link_libraries(bench_big_calendar PRIVATE book m)
endif()
if(NOT TARGET bench_ical)
  add_executable(bench_ical EXCLUDE_FROM_ALL bench/bench_ical.c)
  target_link_libraries(bench_ical PRIVATE exchange PkgConfig::ICAL)
endif()
if(NOT TARGET bench_outings)
  add_executable(bench_outings EXCLUDE_FROM_ALL bench/bench_outings.c)
  target_include_directories(bench_outings PRIVATE ${CMAKE_CURRENT_SOURCE_DIR})
  target_link_libraries(bench_outings PRIVATE exchange core m)
  target_compile_definitions(bench_outings PRIVATE SPL_BUILD_DIR="${CMAKE_BINARY_DIR}")
endif()

# What drawing libraries keep until the end is known by their frames (tests/lsan.supp), which only the
# slow unwinder sees: leaks are looked for in two of the picture tests, among the slow ones. The
# solver's child takes minutes there.
set_property(TEST command.examples APPEND PROPERTY LABELS once)
set_property(TEST season.order APPEND PROPERTY LABELS slow) # two hundred books
if(SIMPLING_SANITIZE)
  foreach(target ${picture_tests})
    string(REPLACE "picture_" "picture." test ${target})
    set_tests_properties(${test} PROPERTIES ENVIRONMENT "ASAN_OPTIONS=detect_leaks=0")
  endforeach()
  set_tests_properties(command.draw PROPERTIES ENVIRONMENT "ASAN_OPTIONS=detect_leaks=0")
  foreach(target picture_page picture_label_sheet)
    if(TARGET ${target})
      house_test(leaks.${target} "picture;slow" ${target})
      set_tests_properties(leaks.${target} PROPERTIES TIMEOUT 600
        ENVIRONMENT "ASAN_OPTIONS=detect_leaks=1:fast_unwind_on_malloc=0")
    endif()
  endforeach()
  if(TARGET exchange_solver)
    set_tests_properties(exchange.solver PROPERTIES LABELS "exchange;slow" TIMEOUT 600)
  endif()
endif()

# A face that trusts nothing, on include/simpling alone.
add_executable(face_inputs face/test_inputs.c face/tables.c face/tables_log.c face/tables_season.c
               face/book.c)
target_include_directories(face_inputs PRIVATE ${CMAKE_CURRENT_SOURCE_DIR})
target_link_libraries(face_inputs PRIVATE season PkgConfig::CMOCKA m)
target_compile_definitions(face_inputs PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}" SPL_BUILD_DIR="${CMAKE_BINARY_DIR}")
add_dependencies(face_inputs simpling-photo)
house_test(face.inputs "face" face_inputs)
# The same calls over faults: a record that a call fills is untouched when it fails.
add_executable(fault_face fault/test_face.c face/tables.c face/tables_log.c face/tables_season.c face/book.c)
target_include_directories(fault_face PRIVATE ${CMAKE_CURRENT_SOURCE_DIR} ${CMAKE_CURRENT_SOURCE_DIR}/face)
target_link_libraries(fault_face PRIVATE fault season PkgConfig::CMOCKA m)
target_compile_definitions(fault_face PRIVATE SPL_SOURCE_DIR="${CMAKE_SOURCE_DIR}" SPL_BUILD_DIR="${CMAKE_BINARY_DIR}")
add_dependencies(fault_face simpling-photo)
house_test(fault.face "fault;slow;once" fault_face)
# One field more in the log: tests/face/one_field.txt, on a copy of the tree.
house_test(face.one_field "face;once" python3 ${CMAKE_CURRENT_SOURCE_DIR}/face/one_field.py ${CMAKE_SOURCE_DIR}
           ${CMAKE_BINARY_DIR})
house_test(face.registered "face;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/face/registered.sh ${CMAKE_SOURCE_DIR})
house_test(face.wrong_member "face;once" sh ${CMAKE_CURRENT_SOURCE_DIR}/face/wrong_member.sh
  ${CMAKE_C_COMPILER} ${CMAKE_SOURCE_DIR})
