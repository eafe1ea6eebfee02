# Warnings and sanitizers are one interface target, so every module gets the same.
add_library(armslength_flags INTERFACE)
target_compile_options(armslength_flags INTERFACE -Wall -Wextra -Wshadow -Wnon-virtual-dtor -Wold-style-cast)
option(ARMSLENGTH_WERROR "Warnings stop the build" OFF)
if(ARMSLENGTH_WERROR)
  # GCC 12 reports these falsely inside the standard library and Eigen; they stay warnings.
  target_compile_options(armslength_flags INTERFACE -Werror -Wno-error=array-bounds -Wno-error=stringop-overflow
    -Wno-error=stringop-overread -Wno-error=maybe-uninitialized -Wno-error=restrict)
endif()
set(ARMSLENGTH_SANITIZE "" CACHE STRING "Sanitizers, e.g. address,undefined")
if(ARMSLENGTH_SANITIZE)
  # Without the checks before every access through a pointer: they double compiling, and the address sanitizer stops at a null pointer anyway.
  target_compile_options(armslength_flags INTERFACE -fsanitize=${ARMSLENGTH_SANITIZE} -fno-sanitize=null,alignment,vptr -fno-omit-frame-pointer)
  target_link_options(armslength_flags INTERFACE -fsanitize=${ARMSLENGTH_SANITIZE})
endif()

# Headers most files of a target read, parsed once: about half of a build from nothing is parsing. Off beside a compiler cache, which keeps
# more; such builds also show a file that forgets to include what it uses.
set(parse_once ON)
if(CCACHE)
  set(parse_once OFF)
endif()
option(ARMSLENGTH_PCH "Precompile common headers" ${parse_once})
function(armslength_common_headers target)
  if(ARMSLENGTH_PCH)
    target_precompile_headers(${target} PRIVATE <algorithm> <array> <cmath> <filesystem> <functional> <map> <memory> <optional> <span>
      <string> <vector> ${ARGN})
  endif()
endfunction()

# armslength_module(NAME DEPS lib… [PRIVATE_DEPS lib…] [HEADERS header…])   HEADERS: what most of its files read besides the standard's
# One static library from every .cc in and below the current folder. Include paths start at
# src/, so a header is named by its module: #include "marks/figure.h".
function(armslength_module name)
  cmake_parse_arguments(ARG "" "" "DEPS;PRIVATE_DEPS;EMBED;HEADERS" ${ARGN})
  file(GLOB_RECURSE sources CONFIGURE_DEPENDS *.cc)
  file(GLOB_RECURSE headers CONFIGURE_DEPENDS *.h)
  if(NOT sources)
    add_library(al_${name} INTERFACE)
    target_include_directories(al_${name} INTERFACE ${CMAKE_SOURCE_DIR}/src ${CMAKE_SOURCE_DIR})
    target_link_libraries(al_${name} INTERFACE ${ARG_DEPS} armslength_flags)
    return()
  endif()
  add_library(al_${name} STATIC ${sources} ${headers})
  target_include_directories(al_${name} PUBLIC ${CMAKE_SOURCE_DIR}/src ${CMAKE_SOURCE_DIR})
  target_link_libraries(al_${name} PUBLIC ${ARG_DEPS} PRIVATE ${ARG_PRIVATE_DEPS} armslength_flags)
  list(LENGTH sources files)
  if(files GREATER 7)
    armslength_common_headers(al_${name} ${ARG_HEADERS})
  endif()
endfunction()

set(ARMSLENGTH_PROGRAM "" CACHE FILEPATH "A program already built, for tests that run it: spares a sanitized build of everything")
# armslength_tests(MODULE DEPS lib…): one test program from every *_test.cc here.
function(armslength_tests name)
  cmake_parse_arguments(ARG "" "" "DEPS" ${ARGN})
  file(GLOB_RECURSE sources CONFIGURE_DEPENDS *_test.cc)
  if(NOT sources)
    return()
  endif()
  add_executable(${name}_test ${sources})
  set(program "${ARMSLENGTH_PROGRAM}")
  if(NOT program)
    set(program "$<TARGET_FILE:armslength>")
    add_dependencies(${name}_test armslength)
  endif()
  target_link_libraries(${name}_test PRIVATE ${ARG_DEPS} GTest::gmock GTest::gtest_main armslength_flags)
  target_include_directories(${name}_test PRIVATE ${CMAKE_SOURCE_DIR}/tests)
  target_compile_definitions(${name}_test PRIVATE
    AL_TEST_DATA="${CMAKE_SOURCE_DIR}/tests/data" AL_SOURCE_DIR="${CMAKE_SOURCE_DIR}"
    AL_BINARY="${program}")
  list(LENGTH sources files)
  if(files GREATER 3)
    armslength_common_headers(${name}_test <gmock/gmock.h> <gtest/gtest.h>)
  endif()
  gtest_discover_tests(${name}_test DISCOVERY_TIMEOUT 60 PROPERTIES TIMEOUT 600)
endfunction()
