# SPDX-License-Identifier: MIT
#
# What Debian wants beside what is installed: pages compressed, a changelog, who may do what with it.
# CPack runs it on what it is about to pack (CPACK_PRE_BUILD_SCRIPTS).
set(share ${CPACK_TEMPORARY_DIRECTORY}${CPACK_PACKAGING_INSTALL_PREFIX}/share)
set(doc ${share}/doc/simpling)
file(GLOB pages ${share}/man/man*/*.[0-9])
execute_process(COMMAND date -u -R -d ${CPACK_SIMPLING_DATE} OUTPUT_VARIABLE day
                OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
file(WRITE ${doc}/changelog
"simpling (${CPACK_PACKAGE_VERSION}) unstable; urgency=medium

  * What changed is told in simpling-manual(7), under Releases.

 -- ${CPACK_PACKAGE_CONTACT}  ${day}
")
execute_process(COMMAND gzip -9 -n -f ${pages} ${doc}/changelog COMMAND_ERROR_IS_FATAL ANY)
# The terms are those of the copyright file: they stand there once.
file(REMOVE ${doc}/LICENSE)
file(COPY ${CPACK_SIMPLING_SOURCE}/data/debian/copyright ${CPACK_SIMPLING_SOURCE}/data/SOURCES DESTINATION ${doc}
     FILE_PERMISSIONS OWNER_READ OWNER_WRITE GROUP_READ WORLD_READ)
# Whatever the umask of who packs.
execute_process(COMMAND chmod -R u=rwX,go=rX ${CPACK_TEMPORARY_DIRECTORY} COMMAND_ERROR_IS_FATAL ANY)
