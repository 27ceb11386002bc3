# SPDX-License-Identifier: MIT
#
# What browsers make of our pages. The driver of all of them is driver.mjs.
# browser_test(NAME SCRIPT ARGUMENT...)
function(browser_test name script)
  house_test(browser.${name} "browser;slow;once" ${CMAKE_COMMAND} -E env NODE_MODULES=${CMAKE_BINARY_DIR}/node
    node ${CMAKE_SOURCE_DIR}/tests/browser/${script} ${ARGN})
  set_tests_properties(browser.${name} PROPERTIES TIMEOUT 600)
endfunction()

add_executable(write_hostile ${CMAKE_CURRENT_LIST_DIR}/write_hostile.c)
target_link_libraries(write_hostile PRIVATE desk)
browser_test(writer writer.mjs $<TARGET_FILE:write_hostile>)
browser_test(slip slip.mjs $<TARGET_FILE:simpling>)
# The desk's pages on the demo's season; its pictures of them go into a folder that is given as one
# more argument by hand.
browser_test(desk desk.mjs $<TARGET_FILE:simpling>)
browser_test(desk_acts desk_acts.mjs $<TARGET_FILE:simpling>)
browser_test(desk_errors desk_errors.mjs $<TARGET_FILE:simpling>)
