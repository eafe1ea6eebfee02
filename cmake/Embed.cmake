# armslength_embed(TARGET NAME GLOB pattern): data files become a table inside the
# program, so that one binary works from any folder. Read with EmbeddedFiles_NAME().
function(armslength_embed target name)
  cmake_parse_arguments(ARG "" "" "GLOB" ${ARGN})
  file(GLOB files CONFIGURE_DEPENDS ${ARG_GLOB})
  set(out ${CMAKE_CURRENT_BINARY_DIR}/embedded_${name}.cc)
  add_custom_command(OUTPUT ${out}
    COMMAND ${CMAKE_COMMAND} -DOUT=${out} -DNAME=${name} "-DFILES=${files}" -P ${CMAKE_SOURCE_DIR}/cmake/EmbedScript.cmake
    DEPENDS ${files} ${CMAKE_SOURCE_DIR}/cmake/EmbedScript.cmake VERBATIM)
  target_sources(${target} PRIVATE ${out})
endfunction()
