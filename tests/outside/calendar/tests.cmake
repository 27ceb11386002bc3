# SPDX-License-Identifier: MIT
#
# What we write, read by programs and libraries of other makers.
add_executable(write_calendar ${CMAKE_CURRENT_LIST_DIR}/write_calendar.c)
target_link_libraries(write_calendar PRIVATE exchange)
foreach(library icalendar vobject ical.js node-ical)
  house_test(outside.calendar_${library} "outside;once"
    sh ${CMAKE_CURRENT_LIST_DIR}/round_trip.sh $<TARGET_FILE:write_calendar> ${library}
       ${CMAKE_BINARY_DIR})
endforeach()
house_test(outside.calendar_khal "outside;slow;once"
  sh ${CMAKE_CURRENT_LIST_DIR}/khal.sh $<TARGET_FILE:write_calendar>)
house_test(outside.calendar_radicale "outside;slow;once"
  sh ${CMAKE_CURRENT_LIST_DIR}/radicale.sh $<TARGET_FILE:simpling>)
house_test(outside.calendar_calcurse "outside;slow;once"
  sh ${CMAKE_CURRENT_LIST_DIR}/calcurse.sh $<TARGET_FILE:write_calendar>)
house_test(outside.calendar_demo "outside;once"
  sh ${CMAKE_CURRENT_LIST_DIR}/demo.sh $<TARGET_FILE:simpling> ${CMAKE_BINARY_DIR})
house_test(outside.calendar_readers "outside;slow;once"
  sh ${CMAKE_CURRENT_LIST_DIR}/readers.sh $<TARGET_FILE:simpling>)
foreach(name sync changes growth)
  house_test(outside.calendar_${name} "outside;slow;once"
    /usr/bin/python3 ${CMAKE_CURRENT_LIST_DIR}/${name}.py $<TARGET_FILE:simpling>)
endforeach()
