# SPDX-License-Identifier: MIT
#
# What is packed bears the day of the release, in UTC. CPack reads it before it packs (CPACK_PROJECT_CONFIG_FILE).
execute_process(COMMAND date -u -d ${CPACK_SIMPLING_DATE} +%s OUTPUT_VARIABLE seconds
                OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
set(ENV{SOURCE_DATE_EPOCH} ${seconds})
